// Command steepbook is a bench book that does the maths for people who make
// their own infusions. See the README for a walk through a batch.
package main

import (
	"context"
	"os"
	"runtime"
	"runtime/debug"

	"steepbook/cmd/internal/cli"
	_ "steepbook/cmd/internal/pages"
)

// first is what may be asked for before memory is first collected [bytes]: what a batch in a book
// of hundreds takes; again is the same of each time after. least is the heap that the runtime
// takes the percentage of, where less is held.
const first, again, least = 24 << 20, 20 << 20, 4 << 20

func main() {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		collectAt(100 * first / least)
	}
	os.Exit(cli.Main(context.Background(), os.Args, os.Stdin, os.Stdout, os.Stderr))
}

// collectAt has memory collected when what was asked for since the last time is percent of what
// was held then, and from then on after some more room, or half of what is held where that is
// more, so that what it costs grows no faster than the book, and a thousand batches fit in 150 MB.
func collectAt(percent uint64) {
	debug.SetGCPercent(int(percent))
	runtime.AddCleanup(&struct{ _ *int }{}, func(percent uint64) {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		held := m.NextGC * 100 / (100 + percent)
		collectAt(100 * max(again, held/2) / held)
	}, percent)
}
