package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/view"
	"steepbook/data/disk"
)

func pageCommand() *cli.Command {
	return &cli.Command{
		Name:      "page",
		Usage:     "one page of everything, to read on the phone or to print",
		ArgsUsage: "BATCH.toml",
		Category:  toSteep,
		Description: "Writes one HTML file that needs no network: what to do, the order of work to tick off, the curves, " +
			"the bottle, where it keeps, the log. It prints on a sheet or two.",
		UsageText: lines(
			"steepbook page demo-book/winter-orange-2.toml",
			"steepbook page demo-book/winter-orange-2.toml --bench -o tasting.html"),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "o", Usage: "write to `FILE.html` (default: beside the batch)"},
			&cli.BoolFlag{Name: "bench", Usage: "a sheet to scribble on: tasting order, sample, empty boxes"},
		},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			name := stem(s.Path) + ".html"
			if c.Bool("bench") {
				name = stem(s.Path) + "-bench.html"
			}
			name, err := pageFile(c, cmp.Or(c.String("o"), filepath.Join(filepath.Dir(s.Path), name)))
			if err != nil {
				return nil, err
			}
			a, err := s.Steeped()
			if err != nil {
				return nil, err
			}
			out := page(c, s.Units)
			if err := writeWhole(name, func(w io.Writer) error {
				if c.Bool("bench") {
					return sheet.Bench(w, a, out.Style)
				}
				return sheet.Page(w, a, s.Library, out.Style)
			}); err != nil {
				return nil, err
			}
			return a, view.Files(out, a.Batch.Name, []string{name})
		}),
	}
}

// pageFile is where a page may be written: to a new file, or over an older page of ours,
// never over what a maker wrote.
func pageFile(c *cli.Context, name string) (string, error) {
	if ext := strings.ToLower(filepath.Ext(name)); ext != ".html" && ext != ".htm" {
		return "", usagef(c, "-o names a page such as orange.html, not %q", name)
	}
	old, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return name, nil
	case err != nil:
		return "", disk.Unread(name, err)
	case !bytes.Contains(old[:min(len(old), 1000)], []byte(sheet.Generator)):
		return "", inputError{fmt.Errorf(
			"%s is there already and is no page of steepbook; give another name with -o", name)}
	}
	return name, nil
}
