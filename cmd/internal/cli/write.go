package cli

import (
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"steepbook/data/batch"
	"steepbook/data/disk"
)

// writeWhole writes a file that is whole or not there, in the place of an older one.
func writeWhole(name string, write func(io.Writer) error) error {
	return undisturbed(func() error { return disk.Replace(name, write) })
}

// createNew writes a file that was not there.
func createNew(name string, src []byte) error {
	return undisturbed(func() error { return disk.Create(name, src) })
}

// create writes a new batch.
func create(name string, src []byte) error {
	return undisturbed(func() error { return batch.Create(name, src) })
}

// undisturbed lets what would end the program wait for what leaves a temporary file until it
// is done.
func undisturbed(write func() error) error {
	ends := slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGTERM}, signal.Ignored)
	if len(ends) == 0 {
		return write()
	}
	came := make(chan os.Signal, 1)
	signal.Notify(came, ends...)
	err := write()
	signal.Stop(came)
	select {
	case s := <-came:
		if self, found := os.FindProcess(os.Getpid()); found == nil && self.Signal(s) == nil {
			time.Sleep(time.Second) // it ends within that
		}
		return disk.Clause("it was interrupted")
	default:
		return err
	}
}
