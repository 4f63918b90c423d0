// Command steepbook is a bench book that does the maths for people who make
// their own infusions. See the README for a walk through a batch.
package main

import (
	"context"
	"os"

	"steepbook/cmd/internal/cli"
)

func main() {
	os.Exit(cli.Main(context.Background(), os.Args, os.Stdin, os.Stdout, os.Stderr))
}
