// Command steepbook is a bench book that does the maths for people who make
// their own infusions. See the README for a walk through a batch.
package main

import (
	"context"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"

	"steepbook/cmd/internal/cli"
)

// room is what may be asked for before memory is first collected: what a batch in a book of
// hundreds takes; again is the same of each time after.
const room, again = 24 << 20, 20 << 20

func main() {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(100 * room / (4 << 20)) // of what the runtime takes for the least
		makeRoom()
	}
	os.Exit(cli.Main(context.Background(), os.Args, os.Stdin, os.Stdout, os.Stderr))
}

// makeRoom has memory collected again after some more room, or half of what is held where
// that is more, so that what it costs grows no faster than the book, and a thousand
// batches fit in 150 MB.
func makeRoom() {
	runtime.AddCleanup(&struct{ _ *int }{}, func(least uint64) {
		held := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		metrics.Read(held)
		live := held[0].Value.Uint64()
		debug.SetGCPercent(int(100 * max(least, live/2) / max(live, 1)))
		makeRoom()
	}, again)
}
