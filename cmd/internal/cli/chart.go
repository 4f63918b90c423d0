package cli

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/picture"
	"steepbook/cmd/internal/view"
	"steepbook/data/disk"
	"steepbook/kinetics/cores"
	"steepbook/plots"
)

func chartCommand() *cli.Command {
	return &cli.Command{
		Name:      "chart",
		Usage:     "draw strength against time, with tastings, bands and pull windows",
		ArgsUsage: "BATCH.toml",
		Category:  toSteep,
		Description: "Draws the strength of each flavour against time, where the bottle stands among what keeps, and " +
			"what fades in store: PNG, SVG or PDF.",
		UsageText: lines(
			"steepbook chart demo-book/winter-orange-2.toml",
			"steepbook chart demo-book/winter-orange-2.toml -o pictures --format svg"),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "o", Usage: "write into `DIR` (default: beside the batch)"},
			&cli.StringFlag{Name: "format", Value: "png", Usage: "png, svg or pdf"},
		},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			a, files, err := s.draw(c)
			if err != nil {
				return nil, err
			}
			return a, view.Files(page(c, s.Units), s.Batch.Name, files)
		}),
	}
}

// draw writes the pictures of a batch and returns its steep and their names. How it keeps does not wait
// for what the book teaches of the steep.
func (s *session) draw(c *cli.Context) (_ *bench.Assessment, files []string, err error) {
	format := strings.ToLower(c.String("format"))
	if !slices.Contains(plots.Formats, format) {
		return nil, nil, usagef(c, "--format is png, svg or pdf, not %q", c.String("format"))
	}
	parts, faults, asked := make([][]picture.Named, 2), make([]error, 2), [2]*bench.Assessment{}
	cores.Each(2, func(i int) {
		ask, draw := s.Steeped, picture.OfSteep
		if i > 0 {
			draw = picture.OfKeeping
			ask = func() (*bench.Assessment, error) { return s.Judged(bench.Question{}) }
		}
		a, err := ask()
		if faults[i] = err; err == nil {
			parts[i], asked[i] = draw(a, s.Units), a
		}
	})
	if err = cmp.Or(faults...); err != nil {
		return nil, nil, err
	}
	pictures := slices.Concat(parts...)
	if len(pictures) == 0 {
		return nil, nil, inputError{fmt.Errorf("%s: nothing to draw: it has no [[botanical]] and no [spirit] yet",
			s.Path)}
	}
	dir := c.String("o")
	if dir == "" {
		dir = filepath.Dir(s.Path)
	}
	switch strings.ToLower(filepath.Ext(dir)) {
	case ".png", ".svg", ".pdf":
		return nil, nil, usagef(c, "-o names a folder for the pictures, not a file like %q; write -o %s", dir,
			filepath.Dir(dir))
	}
	if err := disk.MakeFolder(dir); err != nil {
		return nil, nil, err
	}
	files, faults = make([]string, len(pictures)), make([]error, len(pictures))
	cores.Each(len(pictures), func(i int) {
		files[i] = filepath.Join(dir, stem(s.Path)+"-"+pictures[i].Name+"."+format)
		faults[i] = writePicture(files[i], pictures[i].Picture, format)
	})
	return asked[0], files, cmp.Or(faults...)
}

func stem(path string) string {
	base := filepath.Base(path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// writePicture writes a picture as a whole or not at all.
func writePicture(name string, p plots.Picture, format string) error {
	return writeWhole(name, func(w io.Writer) error { return plots.Write(w, p, format) })
}
