package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

func newCommand() *cli.Command {
	return &cli.Command{
		Name:      "new",
		Usage:     "start a batch file from flags or from answers, with a first plan",
		ArgsUsage: "BATCH.toml",
		Category:  toPlan,
		Description: "Writes the file of a new batch and says when to taste what. Without flags it asks, one " +
			"thing at a time; with --from it plans the next variation of a batch.",
		UsageText: lines(
			`steepbook new clove.toml --spirit "vodka 40 %: 500 ml" --botanical "clove: 4 pieces @ 3"`,
			`steepbook new mint.toml --spirit "rum 63 %: 350 ml" -b "mint, leaves: 20 g" --watch bitter=2`,
			`steepbook new next.toml --from demo-book/winter-orange-2.toml --change "long pepper: 3 g"`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "name", Usage: "what the batch is called"},
			&cli.StringFlag{Name: "start", Usage: "when the spirit meets the first botanical: \"yesterday " +
				"6 pm\" or 2026-11-20T18:00 (default: now)"},
			&cli.StringFlag{Name: "room", Usage: "steeping temperature, 20C or 68F"},
			&cli.StringSliceFlag{Name: "spirit", Usage: "`\"NAME STRENGTH: AMOUNT\"` of what it steeps in, " +
				"once for each: \"grape brandy 57 %: 700 ml\""},
			&cli.StringFlag{Name: "abv", Usage: "the strength of the only spirit: 57, " +
				"\"57 %\" or \"114 proof\""},
			&cli.StringFlag{Name: "amount", Usage: "how much of the only spirit: \"700 ml\""},
			&cli.StringSliceFlag{Name: "botanical", Aliases: []string{"b"},
				Usage: "`\"NAME, CUT: AMOUNT @ WANTED\"`, once for each"},
			&cli.StringSliceFlag{Name: "watch", Usage: "an unwanted taste and its limit, `bitter=2`"},
			&cli.StringSliceFlag{Name: "add",
				Usage: "`\"NAME: AMOUNT\"` added after straining, once for each"},
			&cli.StringFlag{Name: "bottle", Usage: "bottle size, \"250 ml\""},
			&cli.StringFlag{Name: "store", Usage: "fridge, cellar, room, freezer or a temperature"},
			&cli.StringFlag{Name: "from", Usage: "take the recipe of this `BATCH.toml`, with one change"},
			&cli.StringSliceFlag{Name: "change", Usage: "the `CHANGE` to the recipe of --from: \"clove: 6 pieces\", " +
				"\"clove, ground\", \"clove @ 4\", \"clove in 20 h\", \"grape brandy: rum 50 %\""},
			&cli.BoolFlag{Name: "split", Usage: "with --from: both halves of a split jar, the control and the changed"},
		},
		Action: func(c *cli.Context) error {
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			if filepath.Ext(path) == "" {
				path += ".toml"
			}
			if c.IsSet("from") || c.IsSet("change") || c.IsSet("split") {
				return variation(c, path)
			}
			system, err := unitsOf(c, filepath.Dir(path), nil)
			if err != nil {
				return err
			}
			now, err := clock(c, time.Time{}, system)
			if err != nil {
				return err
			}
			a, err := fromFlags(c, now, system)
			if err != nil {
				return err
			}
			if system == quantity.US {
				a.Units = "us" // the house says so: it is read as it was typed
			}
			if a.Name == "" {
				a.Name = stem(path)
			}
			if !slices.ContainsFunc(c.Command.Flags, func(f cli.Flag) bool { return c.IsSet(f.Names()[0]) }) {
				if err := roomFor(path); err != nil {
					return err
				}
				if a, err = fromQuestions(c, path, a); err != nil {
					return err
				}
			}
			src, err := readable(path, a)
			if err != nil {
				return err
			}
			if err := batch.Create(path, src); err != nil {
				return asInput(err)
			}
			return firstPlan(c, path)
		},
	}
}

// roomFor refuses, before anything is asked, a place where the answers could not
// be written or read.
func roomFor(path string) error {
	dir := filepath.Dir(path)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return inputError{fmt.Errorf("there is no folder %s to write %s in", dir, filepath.Base(path))}
	}
	if _, err := os.Lstat(path); err == nil {
		return inputError{fmt.Errorf("%s is there already; give the new batch another name", path)}
	}
	_, err := openLibrary(dir)
	return err
}

// readable is the text of a batch that is not written yet, as book.Draft.
func readable(path string, d batch.Draft) ([]byte, error) {
	lib, err := openLibrary(filepath.Dir(path))
	if err != nil {
		return nil, err
	}
	src, _, err := book.Draft(path, d, lib)
	return src, asInput(err)
}

// firstPlan answers the new batch as it stands.
func firstPlan(c *cli.Context, path string) error {
	s, err := open(c, path)
	if err != nil {
		return err
	}
	if s.Now.Before(s.Batch.Started) {
		s.Now = s.Batch.Started
	}
	a, err := s.Steeped()
	if err != nil {
		return err
	}
	a.Judge() // the hints ask whether it may be drunk
	return view.Plan(page(c, s.Units), a, path)
}

func fromFlags(c *cli.Context, now time.Time, system quantity.System) (batch.Draft, error) {
	a := batch.Draft{
		Name: c.String("name"), Room: c.String("room"), Units: c.String("units"),
		Bottle: c.String("bottle"), Store: c.String("store"), Started: book.Dated(now), System: system,
	}
	for _, text := range c.StringSlice("spirit") {
		a.Spirits = append(a.Spirits, batch.ParseDraftSpirit(text))
	}
	if abv, amount := c.String("abv"), c.String("amount"); abv != "" || amount != "" {
		switch {
		case len(a.Spirits) == 0:
			a.Spirits = []batch.DraftSpirit{{}}
		case len(a.Spirits) > 1:
			return a, usagef(c, "--abv and --amount are of one spirit, and there are %d: "+
				"write them as --spirit \"grape brandy 57 %%: 700~ml\"", len(a.Spirits))
		}
		s := &a.Spirits[0]
		if amount != "" && s.Amount != "" {
			return a, usagef(c, "the amount of the %s stands twice, %s and %s; keep one", s.Name, s.Amount,
				amount)
		}
		s.Amount += amount
		if err := s.Strong(abv); err != nil {
			return a, usagef(c, "--abv: %s", err)
		}
	}
	if c.String("start") != "" {
		at, err := typedMoment(c, "start", "", batch.Reckoning{Now: now, System: system})
		if err != nil {
			return a, err
		}
		a.Started = book.Dated(at)
	}
	for _, text := range c.StringSlice("watch") {
		w, err := batch.ParseDraftWatch(text)
		if err != nil {
			return a, usagef(c, "--watch %s", err)
		}
		a.Watches = append(a.Watches, w)
	}
	for _, text := range c.StringSlice("add") {
		add, err := batch.ParseDraftAddition(text)
		if err != nil {
			return a, usagef(c, "--add %q: write what and how much, like \"demerara sugar: 320~g\"", text)
		}
		a.Additions = append(a.Additions, add)
	}
	for _, text := range c.StringSlice("botanical") {
		b, err := batch.ParseDraftBotanical(text)
		if err != nil {
			return a, usagef(c, "--botanical %s: %s", b.Name, err)
		}
		a.Botanicals = append(a.Botanicals, b)
	}
	return a, nil
}

// asking is the talk in which `new` learns what a batch is. An answer that the
// batch file could not hold is asked for again, with the reason.
type asking struct {
	batch.Draft
	path  string
	in    *bufio.Scanner
	out   io.Writer
	ended bool
}

// line asks one question; "" when nothing is said or the answers have ended.
func (q *asking) line(question string) string {
	if q.ended {
		return ""
	}
	fmt.Fprint(q.out, quantity.Say(question, q.System), " ")
	if !q.in.Scan() {
		q.ended = true
		fmt.Fprintln(q.out)
		return ""
	}
	return strings.TrimSpace(q.in.Text())
}

// until asks until take finds no fault in the answer and the batch so far can be
// read; an answer with a fault is forgotten. It reports whether there was an
// answer.
func (q *asking) until(question string, take func(a *batch.Draft, text string) error) bool {
	for {
		text := q.line(question)
		if text == "" {
			return false
		}
		next := q.Clone()
		err := take(&next, text)
		if err == nil {
			_, err = readable(q.path, next)
		}
		if err == nil {
			q.Draft = next
			return true
		}
		fmt.Fprintln(q.out, quantity.Say(reason(err), q.System))
	}
}

// text asks for what stands in the file as it is typed.
func (q *asking) text(question string, of func(a *batch.Draft) *string) bool {
	return q.until(question, func(a *batch.Draft, text string) error {
		*of(a) = text
		return nil
	})
}

// each asks for things of a kind until an empty answer.
func each[T any](q *asking, question string, of func(a *batch.Draft) *[]T,
	parse func(text string) (T, error)) {
	for q.until(question, func(a *batch.Draft, text string) error {
		one, err := parse(text)
		*of(a) = append(*of(a), one)
		return err
	}) {
	}
}

// reason is a fault in one sentence.
func reason(err error) string {
	text := err.Error()
	var e *strict.Error
	if errors.As(err, &e) {
		text = e.Problem
	}
	text = strings.TrimRight(text, ".")
	first, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[n:] + "."
}

// fromQuestions asks on the terminal, one short line each; an empty line
// leaves a thing out. a holds what is known already.
func fromQuestions(c *cli.Context, path string, a batch.Draft) (batch.Draft, error) {
	q := &asking{Draft: a, path: path, in: bufio.NewScanner(c.App.Reader), out: c.App.Writer}
	if !q.text("What is it called?", func(a *batch.Draft) *string { return &a.Name }) && q.ended {
		return a, usagef(c, "no answers came; use flags, e.g. --name \"Winter orange\" --spirit \"grape "+
			"brandy\" --abv 57 --amount \"700~ml\"")
	}
	q.text("How warm is the room? (20 C or 68 F; empty: not known)",
		func(a *batch.Draft) *string { return &a.Room })
	if q.until("Which spirit? (like grape brandy 57 %: 700~ml; empty for none)",
		func(a *batch.Draft, text string) error {
			a.Spirits = []batch.DraftSpirit{batch.ParseDraftSpirit(text)}
			return nil
		}) {
		if s := q.Spirits[0]; s.ABV == "" && !s.Said {
			q.until("Its strength? (57, or 114 proof)",
				func(a *batch.Draft, text string) error { return a.Spirits[0].Strong(text) })
		}
		if q.Spirits[0].Amount == "" {
			q.text("How much of it? (700~ml)", func(a *batch.Draft) *string { return &a.Spirits[0].Amount })
		}
	}
	each(q, "A botanical, as \"NAME, CUT: AMOUNT @ WANTED 0-10\"? (empty: no more)",
		func(a *batch.Draft) *[]batch.DraftBotanical { return &a.Botanicals }, batch.ParseDraftBotanical)
	if len(q.Botanicals) > 0 {
		each(q, "A taste you do not want, as \"TASTE=LIMIT 0-10\", like bitter=2? (empty: no more)",
			func(a *batch.Draft) *[]batch.DraftWatch { return &a.Watches }, batch.ParseDraftWatch)
	}
	each(q, "Added after straining, as \"NAME: AMOUNT\"? (empty: no more)",
		func(a *batch.Draft) *[]batch.DraftAddition { return &a.Additions }, batch.ParseDraftAddition)
	q.text("Bottle size? (250~ml)", func(a *batch.Draft) *string { return &a.Bottle })
	q.text("Where will it stand? (fridge, cellar, room)", func(a *batch.Draft) *string { return &a.Store })
	if err := q.in.Err(); err != nil && !errors.Is(err, io.EOF) {
		return q.Draft, err
	}
	return q.Draft, nil
}
