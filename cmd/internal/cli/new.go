package cli

import (
	"bufio"
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/template"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/textout"
	"steepbook/data/batch"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

//go:embed new.toml.tmpl
var newTemplate string

// answers is what `new` was told.
type answers struct {
	Name, Started, Room, Units string
	Spirits                    []answerSpirit
	Botanicals                 []answerBotanical
	Watches                    []answerWatch
	Additions                  []answerAddition
	Bottle, Store              string

	system quantity.System // for the examples
}

// answerSpirit is what it steeps in; Said: its name says how strong it is.
type answerSpirit struct {
	Name, ABV, Amount string
	Said              bool
}

type answerBotanical struct{ Name, Cut, Amount, Target string }
type answerWatch struct{ Name, Limit string }
type answerAddition struct{ Name, Amount string }

func newCommand() *cli.Command {
	return &cli.Command{
		Name:      "new",
		Usage:     "start a batch file from flags or from answers, with a first plan",
		ArgsUsage: "BATCH.toml",
		Description: `Without flags it asks. With flags:
  steepbook new orange.toml --name "Winter orange" --spirit "grape brandy" --abv 57 --amount "700 ml" \
    --botanical "blood orange zest, fine zest: 24 g @ 6" --botanical "clove: 4 pieces @ 2" \
    --watch bitter=2 --add "demerara sugar: 320 g"`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "name", Usage: "what the batch is called"},
			&cli.StringFlag{Name: "start", Usage: "when the spirit meets the first botanical: \"yesterday 6 pm\" or 2026-11-20T18:00 (default: now)"},
			&cli.StringFlag{Name: "room", Usage: "steeping temperature, 20C or 68F"},
			&cli.StringSliceFlag{Name: "spirit", Usage: "`\"NAME STRENGTH: AMOUNT\"` of what it steeps in, once for each: \"grape brandy 57 %: 700 ml\""},
			&cli.StringFlag{Name: "abv", Usage: "the strength of the only spirit: 57, \"57 %\" or \"114 proof\""},
			&cli.StringFlag{Name: "amount", Usage: "how much of the only spirit: \"700 ml\""},
			&cli.StringSliceFlag{Name: "botanical", Aliases: []string{"b"}, Usage: "`\"NAME, CUT: AMOUNT @ WANTED\"`, once for each"},
			&cli.StringSliceFlag{Name: "watch", Usage: "an unwanted taste and its limit, `bitter=2`"},
			&cli.StringSliceFlag{Name: "add", Usage: "`\"NAME: AMOUNT\"` added after straining, once for each"},
			&cli.StringFlag{Name: "bottle", Usage: "bottle size, \"250 ml\""},
			&cli.StringFlag{Name: "store", Usage: "fridge, cellar, room, freezer or a temperature"},
		},
		Action: func(c *cli.Context) error {
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			if filepath.Ext(path) == "" {
				path += ".toml"
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
			if !flagsGiven(c) {
				if err := roomFor(path); err != nil {
					return err
				}
				if a, err = fromQuestions(c, path, a); err != nil {
					return err
				}
			}
			if a.Name == "" {
				a.Name = stem(path)
			}
			src, err := a.file()
			if err != nil {
				return err
			}
			if err := tryOut(path, src); err != nil {
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

// tryOut reads and answers a batch that is not written yet: what would be
// refused later is refused before there is a file.
func tryOut(path string, src []byte) error {
	b, err := batch.Parse(path, src, time.Local)
	if err != nil {
		return asInput(unplaced(err))
	}
	lib, err := openLibrary(filepath.Dir(path))
	if err != nil {
		return err
	}
	_, err = bench.Assess(b, lib, bench.Question{Now: b.Started})
	return unplaced(err)
}

// placed finds a place in a file, such as " (first on line 9)".
var placed = pattern.New(` \((first )?(on )?line \d+\)|, first on line \d+`)

// unplaced takes file and line off a fault: the file is not written yet.
func unplaced(err error) error {
	var e *strict.Error
	if !errors.As(err, &e) {
		return err
	}
	return &strict.Error{Problem: placed().ReplaceAllString(e.Problem, ""), Right: e.Right}
}

// firstPlan answers the new batch as it stands.
func firstPlan(c *cli.Context, path string) error {
	s, err := open(c, path)
	if err != nil {
		return err
	}
	if s.now.Before(s.batch.Started) {
		s.now = s.batch.Started
	}
	a, err := s.steeped()
	if err != nil {
		return err
	}
	a.Judge() // the hints ask whether it may be drunk
	return textout.Plan(page(c, s.units), a, path)
}

func flagsGiven(c *cli.Context) bool {
	for _, name := range []string{"name", "start", "room", "spirit", "abv", "amount", "botanical", "watch", "add", "bottle", "store"} {
		if c.IsSet(name) {
			return true
		}
	}
	return false
}

func fromFlags(c *cli.Context, now time.Time, system quantity.System) (answers, error) {
	a := answers{
		Name: c.String("name"), Room: c.String("room"), Units: c.String("units"),
		Bottle: c.String("bottle"), Store: c.String("store"), Started: stamp(now), system: system,
	}
	for _, text := range c.StringSlice("spirit") {
		a.Spirits = append(a.Spirits, parseSpirit(text))
	}
	if abv, amount := c.String("abv"), c.String("amount"); abv != "" || amount != "" {
		switch {
		case len(a.Spirits) == 0:
			a.Spirits = []answerSpirit{{}}
		case len(a.Spirits) > 1:
			return a, usagef(c, "--abv and --amount are of one spirit, and there are %d: write them as --spirit \"grape brandy 57 %%: 700~ml\"", len(a.Spirits))
		}
		s := &a.Spirits[0]
		if amount != "" && s.Amount != "" {
			return a, usagef(c, "the amount of the %s stands twice, %s and %s; keep one", s.Name, s.Amount, amount)
		}
		s.Amount += amount
		if err := s.strong(abv); err != nil {
			return a, usagef(c, "--abv: %s", err)
		}
	}
	if c.String("start") != "" {
		at, err := typedMoment(c, "start", "", batch.Reckoning{Now: now, System: system})
		if err != nil {
			return a, err
		}
		a.Started = stamp(at)
	}
	for _, text := range c.StringSlice("botanical") {
		a.Botanicals = append(a.Botanicals, parseBotanical(text))
	}
	for _, text := range c.StringSlice("watch") {
		w, err := parseWatch(text)
		if err != nil {
			return a, usagef(c, "--watch %s", err)
		}
		a.Watches = append(a.Watches, w)
	}
	for _, text := range c.StringSlice("add") {
		add, ok := parseAddition(text)
		if !ok {
			return a, usagef(c, "--add %q: write what and how much, like \"demerara sugar: 320~g\"", text)
		}
		a.Additions = append(a.Additions, add)
	}
	for _, b := range a.Botanicals {
		if err := b.check(); err != nil {
			return a, usagef(c, "--botanical %s: %s", b.Name, err)
		}
	}
	return a, nil
}

// parseWatch reads "bitter=2".
func parseWatch(text string) (answerWatch, error) {
	name, limit, ok := strings.Cut(text, "=")
	w := answerWatch{strings.TrimSpace(name), strings.TrimSpace(limit)}
	if !ok || w.Name == "" {
		return w, fmt.Errorf("%q: write the taste and its limit, like bitter=2", text)
	}
	if !isNumber(w.Limit) {
		return w, fmt.Errorf("%s: %q is no limit from 0 to 10", w.Name, w.Limit)
	}
	return w, nil
}

// check finds what the batch file could not even be written with.
func (b answerBotanical) check() error {
	switch {
	case b.Name == "":
		return errors.New("the name comes first, like clove: 2~g @ 4")
	case b.Target != "" && !isNumber(b.Target):
		return fmt.Errorf("%q is no wanted strength from 0 to 10", b.Target)
	}
	return nil
}

func isNumber(text string) bool {
	v, err := strconv.ParseFloat(text, 64)
	return err == nil && !math.IsNaN(v)
}

// parseSpirit reads "grape brandy 57 %: 700 ml"; all but the name may be missing.
func parseSpirit(text string) answerSpirit {
	name, amount, _ := parted(text)
	if a, err := quantity.ParseAmount(amount); err == nil && a.Kind == quantity.Count {
		name, amount = text, "" // the 126 of "126 proof rum"
	}
	_, in := quantity.StrengthIn(name)
	return answerSpirit{Name: name, Amount: amount, Said: in.Said}
}

// strong turns "114 proof" or "57 %" into per cent by volume.
func (s *answerSpirit) strong(text string) error {
	if text == "" {
		return nil
	}
	v, err := quantity.ParseABV(text)
	if err == nil {
		s.ABV = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return err
}

// parseBotanical reads "blood orange zest, fine zest: 24 g @ 6"; all but the
// name may be missing, and the amount may come first, as in a recipe: "zest of 10 key
// limes @ 6".
func parseBotanical(text string) answerBotanical {
	rest, target, _ := strings.Cut(text, "@")
	name, amount, ok := parted(rest)
	name, cut, _ := strings.Cut(name, ",")
	if _, err := quantity.ParseAmount(cut); err == nil && !ok && strings.TrimSpace(amount) == "" {
		cut, amount = "", cut // "grated nutmeg, a pinch"
	}
	return answerBotanical{strings.TrimSpace(name), strings.TrimSpace(cut), strings.TrimSpace(amount), strings.TrimSpace(target)}
}

// parted reads "demerara sugar: 320 g" and "320 g demerara sugar"; ok is false where
// there is no amount.
func parted(text string) (name, amount string, ok bool) {
	if name, amount, ok = quantity.CutAmount(text); ok {
		return name, amount, name != ""
	}
	if a, thing, found := quantity.ParseLine(text); found {
		return strings.TrimSpace(thing), a.Text, true
	}
	return name, "", false
}

func parseAddition(text string) (answerAddition, bool) {
	name, amount, ok := parted(text)
	return answerAddition{name, amount}, ok
}

// asking is the talk in which `new` learns what a batch is. An answer that the
// batch file could not hold is asked for again, with the reason.
type asking struct {
	answers
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
	fmt.Fprint(q.out, quantity.Say(question, q.system), " ")
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
func (q *asking) until(question string, take func(a *answers, text string) error) bool {
	for {
		text := q.line(question)
		if text == "" {
			return false
		}
		next := q.answers.clone()
		err := take(&next, text)
		if err == nil {
			err = next.readable(q.path)
		}
		if err == nil {
			q.answers = next
			return true
		}
		fmt.Fprintln(q.out, quantity.Say(reason(err), q.system))
	}
}

// each asks for things of a kind until an empty answer.
func (q *asking) each(question string, take func(a *answers, text string) error) {
	for q.until(question, take) {
	}
}

func (a answers) clone() answers {
	a.Spirits, a.Botanicals = slices.Clone(a.Spirits), slices.Clone(a.Botanicals)
	a.Watches = slices.Clone(a.Watches)
	a.Additions = slices.Clone(a.Additions)
	return a
}

// readable reports what would be wrong with the batch file so far.
func (a answers) readable(path string) error {
	if a.Name == "" {
		a.Name = stem(path)
	}
	src, err := a.file()
	if err != nil {
		return err
	}
	return tryOut(path, src)
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
func fromQuestions(c *cli.Context, path string, a answers) (answers, error) {
	q := &asking{answers: a, path: path, in: bufio.NewScanner(c.App.Reader), out: c.App.Writer}
	named := q.until("What is it called?", func(a *answers, text string) error {
		a.Name = text
		return nil
	})
	if !named && q.ended {
		return a, usagef(c, "no answers came; use flags, e.g. --name \"Winter orange\" --spirit \"grape brandy\" --abv 57 --amount \"700~ml\"")
	}
	q.until("How warm is the room? (20 C or 68 F; empty: not known)", func(a *answers, text string) error {
		a.Room = text
		return nil
	})
	if q.until("Which spirit? (like grape brandy 57 %: 700~ml; empty for none)", func(a *answers, text string) error {
		a.Spirits = []answerSpirit{parseSpirit(text)}
		return nil
	}) {
		if s := q.Spirits[0]; s.ABV == "" && !s.Said {
			q.until("Its strength? (57, or 114 proof)", func(a *answers, text string) error { return a.Spirits[0].strong(text) })
		}
		if q.Spirits[0].Amount == "" {
			q.until("How much of it? (700~ml)", func(a *answers, text string) error {
				a.Spirits[0].Amount = text
				return nil
			})
		}
	}
	q.each("A botanical, as \"NAME, CUT: AMOUNT @ WANTED 0-10\"? (empty: no more)", func(a *answers, text string) error {
		b := parseBotanical(text)
		a.Botanicals = append(a.Botanicals, b)
		return b.check()
	})
	if len(q.Botanicals) > 0 {
		q.each("A taste you do not want, as \"TASTE=LIMIT 0-10\", like bitter=2? (empty: no more)", func(a *answers, text string) error {
			w, err := parseWatch(text)
			a.Watches = append(a.Watches, w)
			return err
		})
	}
	q.each("Added after straining, as \"NAME: AMOUNT\"? (empty: no more)", func(a *answers, text string) error {
		add, ok := parseAddition(text)
		a.Additions = append(a.Additions, add)
		if !ok {
			return errors.New("write what and how much, like demerara sugar: 320~g")
		}
		return nil
	})
	q.until("Bottle size? (250~ml)", func(a *answers, text string) error {
		a.Bottle = text
		return nil
	})
	q.until("Where will it stand? (fridge, cellar, room)", func(a *answers, text string) error {
		a.Store = text
		return nil
	})
	if err := q.in.Err(); err != nil && !errors.Is(err, io.EOF) {
		return q.answers, err
	}
	return q.answers, nil
}

// file is the batch file: TOML with the comments a newcomer needs.
func (a answers) file() ([]byte, error) {
	t, err := template.New("batch").Funcs(template.FuncMap{"q": quoteTOML}).Parse(quantity.Say(newTemplate, a.system))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = t.Execute(&out, a)
	return out.Bytes(), err
}

// quoteTOML writes a basic string; TOML shares JSON's escapes.
func quoteTOML(s string) (string, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		return "", err
	}
	return strings.TrimSuffix(out.String(), "\n"), nil
}
