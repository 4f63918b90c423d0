// Command steepbook is a bench book that does the maths for people who make
// their own infusions. See the README for a walk through a batch.
package main

import (
	"context"
	"os"
	"runtime/debug"

	"steepbook/cmd/internal/cli"
)

// softLimit is the memory beyond which the collector works harder rather than
// take more: a book of a thousand batches is to fit in 150 MB.
const softLimit = 130 << 20

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softLimit)
		debug.SetGCPercent(1000) // most answers end before a first collection is due, at 40 MB
	}
	os.Exit(cli.Main(context.Background(), os.Args, os.Stdin, os.Stdout, os.Stderr))
}
