package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/vary"
	"steepbook/cmd/internal/view/newbatch"
	"steepbook/data/quantity"
)

func scaleCommand() *cli.Command {
	return &cli.Command{
		Name:      "scale",
		Usage:     "the same batch at another size, in measures that can be measured, with a shopping list",
		ArgsUsage: "BATCH.toml [NEW.toml]",
		Category:  toPlan,
		Description: "Works out the batch at another size and what to buy for it, and writes NEW.toml, which must not " +
			"exist; without a name nothing is written.",
		UsageText: lines(
			"steepbook scale demo-book/winter-orange-2.toml --to 3l",
			`steepbook scale demo-book/winter-orange-2.toml --to "12 bottles" --bottle "250 ml" gifts.toml`,
			`steepbook scale demo-book/winter-orange-2.toml --to "green cardamom=20 g" glut.toml`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "the wanted `SIZE`: 3l, x2, \"12 bottles\", or how much " +
				"there is of one thing, \"plum=1.4 kg\""},
			&cli.StringFlag{Name: "bottle", Usage: "bottle size, \"250 ml\" (default: what the batch says)"},
			startFlag(),
			whyFlag("what to buy, what is poured, and how large the jar has to be"),
		},
		Action: func(c *cli.Context) error {
			if c.NArg() == 0 {
				return usagef(c, "which batch? e.g. steepbook scale orange.toml --to 3l big.toml")
			}
			if err := surplus(c, 2); err != nil {
				return err
			}
			path, to := c.Args().Get(0), c.Args().Get(1)
			if to != "" && filepath.Ext(to) == "" {
				to += ".toml"
			}
			s, err := open(c, path)
			if err != nil {
				return err
			}
			q, err := scaleQuestion(c, s.Batch.Units, s.Now)
			if err != nil {
				return err
			}
			made, went, err := vary.AsMade(s.Batch)
			if err != nil {
				return asInput(err)
			}
			s.Batch = made
			a, err := s.Judged(bench.Question{})
			if err != nil {
				return err
			}
			q.From, q.To = filepath.Base(path), to
			if to == "" {
				q.To = path
			}
			scaled, err := scale.To(a, s.Library, q)
			if err != nil {
				return asInput(err)
			}
			for _, text := range []string{newbatch.KeepsWords(scaled.Keeps), newbatch.WentWords(went)} {
				if text != "" {
					scaled.Warnings = append([]string{text}, scaled.Warnings...)
				}
			}
			if to != "" {
				if err := create(to, scaled.Text); err != nil {
					return asInput(err)
				}
				scaled.Warnings = append(scaled.Warnings, leftBehind(path, to)...)
			}
			return actNow(a.NotToServe(), newbatch.Scale(page(c, s.Units), scaled, to, c.Bool("why")))
		},
	}
}

// scaleQuestion reads the flags.
func scaleQuestion(c *cli.Context, system quantity.System, now time.Time) (q scale.Question, err error) {
	if c.String("to") == "" {
		return q, usagef(c, `how large? add --to with a volume ("3~l"), a factor ("x2") `+
			`or a number of bottles ("12 bottles")`)
	}
	if q.Size, err = scale.ParseSize(c.String("to"), system); err != nil {
		return q, usagef(c, "--to %s", err)
	}
	if text := c.String("bottle"); text != "" {
		size, err := scale.ParseBottle(text, system)
		if err != nil {
			return q, usagef(c, "--bottle %s", err)
		}
		q.Bottle = &size
	}
	q.Start, err = startOf(c, now, system)
	return q, err
}

// leftBehind warns of a maker's library that the new batch, in another folder,
// does not see.
func leftBehind(from, to string) []string {
	a, errA := filepath.Abs(filepath.Dir(from))
	b, errB := filepath.Abs(filepath.Dir(to))
	if errA != nil || errB != nil || a == b {
		return nil
	}
	_, errFrom := os.Stat(filepath.Join(a, book.LibraryFile))
	_, errTo := os.Stat(filepath.Join(b, book.LibraryFile))
	if errFrom == nil && errTo != nil {
		return []string{fmt.Sprintf("your %s stays in %s: copy it beside the new batch, or its entries are "+
			"not found", book.LibraryFile, filepath.Dir(from))}
	}
	return nil
}
