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
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/view"
	"steepbook/data/disk"
	"steepbook/data/quantity"
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
		Action: onBatch(func(c *cli.Context, s *session) (bool, error) {
			a, err := s.Steeped()
			if err != nil {
				return false, err
			}
			a.Judge()
			files, err := s.draw(c, a)
			if err != nil {
				return false, err
			}
			return false, view.Files(page(c, s.Units), a.Batch.Name, files)
		}),
	}
}

// draw writes the pictures of a batch and returns their names: the curves of
// the steep, the keeping map, and what fades in store, as far as each is known.
func (s *session) draw(c *cli.Context, a *bench.Assessment) ([]string, error) {
	format := strings.ToLower(c.String("format"))
	if !slices.Contains(plots.Formats, format) {
		return nil, usagef(c, "--format is png, svg or pdf, not %q", c.String("format"))
	}
	type named struct {
		name string
		plots.Picture
	}
	var pictures []named
	if chart := picture.Chart(a); len(chart.Curves) > 0 {
		chart.Subtitle, chart.US = quantity.Say(chart.Subtitle, s.Units), s.Units == quantity.US
		pictures = append(pictures, named{"curves", chart})
	}
	if m, ok := picture.KeepingMap(a); ok {
		pictures = append(pictures, named{"keeping", m})
	}
	if f, ok := picture.Fade(a); ok {
		f.Store = quantity.Say(f.Store, s.Units)
		pictures = append(pictures, named{"fade", f})
	}
	if len(pictures) == 0 {
		return nil, inputError{fmt.Errorf("%s: nothing to draw: it has no [[botanical]] and no [spirit] yet",
			s.Path)}
	}
	dir := c.String("o")
	if dir == "" {
		dir = filepath.Dir(s.Path)
	}
	switch strings.ToLower(filepath.Ext(dir)) {
	case ".png", ".svg", ".pdf":
		return nil, usagef(c, "-o names a folder for the pictures, not a file like %q; write -o %s", dir,
			filepath.Dir(dir))
	}
	if err := disk.MakeFolder(dir); err != nil {
		return nil, err
	}
	files, faults := make([]string, len(pictures)), make([]error, len(pictures))
	prior.Each(len(pictures), func(i int) {
		files[i] = filepath.Join(dir, stem(s.Path)+"-"+pictures[i].name+"."+format)
		faults[i] = writePicture(files[i], pictures[i].Picture, format)
	})
	return files, cmp.Or(faults...)
}

func stem(path string) string {
	base := filepath.Base(path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// writePicture writes a picture as a whole or not at all.
func writePicture(name string, p plots.Picture, format string) error {
	return writeWhole(name, func(w io.Writer) error { return plots.Write(w, p, format) })
}
