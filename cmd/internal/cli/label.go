package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/disk"
	"steepbook/data/quantity"
	"steepbook/plots"
)

func labelCommand() *cli.Command {
	return &cli.Command{
		Name:      "label",
		Usage:     "what to stick on the jar while it steeps, and on the bottle",
		ArgsUsage: "BATCH.toml",
		Category:  toKeep,
		Description: "Draws the label of the jar (what is in it, when to taste and to pull) or of the bottle (strength, " +
			"where to keep it and until when, allergens, cautions), alone or as a sheet to print.",
		UsageText: lines(
			"steepbook label demo-book/winter-orange-2.toml",
			"steepbook label demo-book/bay-grapefruit-dram.toml --size 99x68 -o dram.png",
			"steepbook label demo-book/bay-grapefruit-dram.toml --sheet A4 --skip 3 -o labels.pdf"),
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "jar", Usage: "the label of the jar (default: while it steeps)"},
			&cli.BoolFlag{Name: "bottle", Usage: "the label of the bottle (default: once it is strained)"},
			&cli.BoolFlag{Name: "opened", Usage: "the label of the bottle that is open"},
			&cli.StringFlag{Name: "size",
				Usage: "`WxH` in mm, or 2.75x1.4in (default: the smallest common one that fits)"},
			&cli.StringFlag{Name: "sheet", Usage: "a whole sheet to print, of `PAPER`: A4 or Letter"},
			&cli.IntFlag{Name: "count", Usage: "`N` labels of each size of bottle (default: one a bottle)"},
			&cli.IntFlag{Name: "skip", Usage: "leave out the first `N` places of the sheet, used before"},
			&cli.StringFlag{Name: "o",
				Usage: "write `FILE` (png, svg or pdf) or into that folder (default: beside the batch)"},
			&cli.BoolFlag{Name: "rules", Usage: "some of the rules for labels on what is sold"},
		},
		Action: func(c *cli.Context) error {
			if !c.Bool("rules") {
				return onBatch(labelOf)(c)
			}
			system, err := units(c, 0)
			if err != nil {
				return err
			}
			return label.Rules(page(c, system))
		},
	}
}

func labelOf(c *cli.Context, s *session) (*bench.Assessment, error) {
	a, kind, err := s.labelled(c)
	if err != nil {
		return nil, err
	}
	m := &label.Made{Kind: kind, Label: label.Words(a, kind, s.Units)}
	labels := []plots.Copies{{Label: m.Label, Count: 1}}
	if c.String("sheet") != "" {
		labels = label.Each(a, kind, s.Units, !c.IsSet("count"))
	}
	if err = laidOut(c, s.Units, labels, m); err != nil {
		return nil, err
	}
	file, format, err := labelFile(c, s.Path, m)
	if err != nil {
		return nil, err
	}
	var drawn plots.Picture = m.Label
	if m.Sheet != nil {
		drawn = *m.Sheet
	}
	if err := disk.MakeFolder(filepath.Dir(file)); err != nil {
		return nil, err
	}
	if err := writePicture(file, drawn, format); err != nil {
		return nil, err
	}
	m.Files = []string{file}
	return a, label.Print(page(c, s.Units), a, m)
}

// labelled is the assessment that a label is made from, and which label it is.
func (s *session) labelled(c *cli.Context) (a *bench.Assessment, kind label.Kind, err error) {
	if count(c.Bool("jar"), c.Bool("bottle"), c.Bool("opened")) > 1 {
		return nil, "", usagef(c, "--jar, --bottle and --opened are labels of their own: make one after the other")
	}
	if a, err = s.Judged(bench.Question{}); err != nil {
		return nil, "", err
	}
	switch kind, err = label.Of(a); {
	case err != nil:
		return nil, "", inputError{fmt.Errorf("%s: %w", s.Path, err)}
	case c.Bool("jar"):
		kind = label.ForJar
	case c.Bool("bottle"):
		kind = label.ForBottle
	case c.Bool("opened") && a.Keep.OpenedAt.IsZero() && len(a.Keep.Open) == 0:
		return nil, "", inputError{fmt.Errorf("%s: no bottle is open; steepbook open %[1]s logs one", s.Path)}
	case c.Bool("opened"):
		kind = label.ForOpened
	}
	if kind == label.ForJar { // alone of them it is about the steep
		a, err = s.Steeped()
	}
	return a, kind, err
}

// laidOut gives labels their size, and their sheet where one was asked for.
func laidOut(c *cli.Context, system quantity.System, labels []plots.Copies, m *label.Made) error {
	paper := c.String("sheet")
	for _, flag := range []string{"count", "skip"} {
		if paper == "" && c.IsSet(flag) {
			return usagef(c, "--%s is about a sheet: write --sheet A4 or --sheet Letter too", flag)
		}
	}
	i := slices.IndexFunc(label.Papers, func(p string) bool { return strings.EqualFold(p, paper) })
	if paper != "" && i < 0 {
		return usagef(c, "--sheet %q is no paper known here; it is A4 or Letter", paper)
	}
	switch { // of whose sizes it is, where none is typed
	case i >= 0:
		m.Paper = label.Papers[i]
	case system == quantity.US:
		m.Paper = "Letter"
	default:
		m.Paper = "A4"
	}
	ruler := label.RulerOf(system)
	if c.IsSet("size") {
		var ok bool
		if m.Label.WidthMM, m.Label.HeightMM, ok = label.ParseSize(c.String("size"), &ruler); !ok {
			return usagef(c, "--size %q is no size of a label; write it like 70x35 (mm) or 2.75x1.4in, %s to %s %s a side",
				c.String("size"), ruler.AtLeast(plots.LeastLabelMM),
				pen.Significant(plots.MostLabelMM/ruler.MM, 3), ruler.Unit)
		}
	} else {
		m.Label = label.Sized(m.Paper, labels...)
	}
	if paper != "" {
		if err := onSheet(c, labels, m, ruler); err != nil {
			return err
		}
	}
	return fitted(c, labels, m, ruler)
}

// fitted lays the labels out in the size that was found.
func fitted(c *cli.Context, labels []plots.Copies, m *label.Made, ruler label.Ruler) (err error) {
	width, height := m.Label.WidthMM, m.Label.HeightMM
	for i := range labels {
		labels[i].WidthMM, labels[i].HeightMM = width, height
	}
	m.Label = labels[0].Label
	m.Fit, err = plots.Fit(labels...)
	if small := (*plots.SmallLabelError)(nil); errors.As(err, &small) {
		return usagef(c, "%s", small.Words(ruler.Size(width, height),
			"--size "+ruler.AtLeast(small.NeedWMM)+"x"+ruler.AtLeast(small.NeedHMM)+ruler.Unit))
	}
	return err
}

// onSheet puts labels on the paper that was asked for.
func onSheet(c *cli.Context, labels []plots.Copies, m *label.Made, ruler label.Ruler) error {
	grid, common, err := label.GridFor(m.Paper, m.Label.WidthMM, m.Label.HeightMM, ruler)
	if err != nil {
		return usagef(c, "%s", err)
	}
	m.Label.WidthMM, m.Label.HeightMM = grid.WidthMM, grid.HeightMM
	s := &plots.Sheet{Grid: grid, Labels: labels, Skip: c.Int("skip"), Cut: !common}
	s.WidthMM, s.HeightMM, _, _ = label.Paper(m.Paper)
	if s.Skip < 0 || s.Skip >= grid.PerPage() {
		return usagef(c, "--skip %d: a page has %d places, so 0 to %d of them may be used already", s.Skip,
			grid.PerPage(), grid.PerPage()-1)
	}
	const most = 1000
	asked := c.Int("count")
	if c.IsSet("count") && (asked < 1 || asked > most) {
		return usagef(c, "--count %d: 1 to %d labels can be printed", asked, most)
	}
	for i := range labels {
		n := &labels[i].Count
		switch {
		case asked > 0:
			*n = asked
		case *n == 0:
			*n = grid.PerPage() - s.Skip
		}
		*n = min(*n, most)
	}
	m.Sheet = s
	return nil
}

// labelFile is where a label is written and as what.
func labelFile(c *cli.Context, batch string, m *label.Made) (file, format string, err error) {
	format = "png"
	if m.Sheet != nil {
		format = "pdf"
	}
	name := stem(batch) + "-" + string(m.Kind) + "." + format
	to := c.String("o")
	switch ext := strings.TrimPrefix(strings.ToLower(filepath.Ext(to)), "."); {
	case to == "":
		return filepath.Join(filepath.Dir(batch), name), format, nil
	case slices.Contains(plots.Formats, ext):
		if m.Sheet != nil && m.Sheet.Pages() > 1 && ext != "pdf" {
			return "", "", usagef(c, "%d pages of labels are a pdf: write -o %s.pdf", m.Sheet.Pages(),
				stem(to))
		}
		return to, ext, nil
	case ext == "toml":
		return "", "", usagef(c, "-o %s would write over a batch; a label is a png, svg or pdf", to)
	}
	return filepath.Join(to, name), format, nil
}
