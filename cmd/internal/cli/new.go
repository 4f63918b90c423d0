package cli

import (
	"bufio"
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"text/template"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/textout"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

//go:embed new.toml.tmpl
var newTemplate string

// answers is what `new` was told.
type answers struct {
	Name, Started, Room, Units string
	Spirit, ABV, Amount        string
	Botanicals                 []answerBotanical
	Watches                    []answerWatch
	Additions                  []answerAddition
	Bottle, Store              string
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
			&cli.StringFlag{Name: "start", Usage: "when the spirit meets the first botanical: 2026-11-20T18:00 (default: now)"},
			&cli.StringFlag{Name: "room", Usage: "steeping temperature, 20C or 68F"},
			&cli.StringFlag{Name: "spirit", Usage: "what it steeps in"},
			&cli.StringFlag{Name: "abv", Usage: "its strength: 57, \"57 %\" or \"114 proof\""},
			&cli.StringFlag{Name: "amount", Usage: "how much of it: \"700 ml\""},
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
			a, err := fromFlags(c)
			if err != nil {
				return err
			}
			if !flagsGiven(c) {
				if a, err = fromQuestions(c); err != nil {
					return err
				}
			}
			now, err := clock(c, time.Time{})
			if err != nil {
				return err
			}
			if a.Started == "" {
				a.Started = stamp(now)
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

// tryOut reads and answers a batch that is not written yet: what would be
// refused later is refused before there is a file.
func tryOut(path string, src []byte) error {
	b, err := batch.Parse(path, src, time.Local)
	if err != nil {
		return asInput(err)
	}
	lib, err := openLibrary(filepath.Dir(path))
	if err != nil {
		return err
	}
	_, err = bench.Assess(b, lib, bench.Question{Now: b.Started})
	return err
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
	a, err := s.assessInBook(bench.Question{})
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return textout.SteepJSON(c.App.Writer, a)
	}
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

func fromFlags(c *cli.Context) (answers, error) {
	a := answers{
		Name: c.String("name"), Room: c.String("room"), Units: c.String("units"), Spirit: c.String("spirit"),
		ABV: c.String("abv"), Amount: c.String("amount"), Bottle: c.String("bottle"), Store: c.String("store"),
	}
	if text := c.String("start"); text != "" {
		at, ok := parseMoment(text)
		if !ok {
			return a, usagef(c, "--start %q is no moment; write 2026-11-20T18:00", text)
		}
		a.Started = stamp(at)
	}
	if err := a.checkABV(); err != nil {
		return a, usagef(c, "--abv: %s", err)
	}
	for _, text := range c.StringSlice("botanical") {
		a.Botanicals = append(a.Botanicals, parseBotanical(text))
	}
	for _, text := range c.StringSlice("watch") {
		name, limit, ok := strings.Cut(text, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return a, usagef(c, "--watch %q: write the taste and its limit, like bitter=2", text)
		}
		a.Watches = append(a.Watches, answerWatch{strings.TrimSpace(name), strings.TrimSpace(limit)})
	}
	for _, text := range c.StringSlice("add") {
		name, amount, ok := strings.Cut(text, ":")
		if !ok || strings.TrimSpace(name) == "" {
			return a, usagef(c, "--add %q: write what and how much, like \"demerara sugar: 320 g\"", text)
		}
		a.Additions = append(a.Additions, answerAddition{strings.TrimSpace(name), strings.TrimSpace(amount)})
	}
	for _, w := range a.Watches {
		if _, err := strconv.ParseFloat(w.Limit, 64); err != nil {
			return a, usagef(c, "--watch %s: %q is no limit from 0 to 10", w.Name, w.Limit)
		}
	}
	for _, b := range a.Botanicals {
		if b.Target == "" {
			continue
		}
		if _, err := strconv.ParseFloat(b.Target, 64); err != nil {
			return a, usagef(c, "--botanical %s: %q is no wanted strength from 0 to 10", b.Name, b.Target)
		}
	}
	return a, nil
}

// checkABV turns "114 proof" or "57 %" into per cent by volume.
func (a *answers) checkABV() error {
	if a.ABV == "" {
		return nil
	}
	v, err := quantity.ParseABV(a.ABV)
	if err != nil {
		return err
	}
	a.ABV = strconv.FormatFloat(v, 'f', -1, 64)
	return nil
}

// parseBotanical reads "blood orange zest, fine zest: 24 g @ 6"; all but the
// name may be missing.
func parseBotanical(text string) answerBotanical {
	rest, target, _ := strings.Cut(text, "@")
	name, amount, _ := strings.Cut(rest, ":")
	name, cut, _ := strings.Cut(name, ",")
	return answerBotanical{strings.TrimSpace(name), strings.TrimSpace(cut), strings.TrimSpace(amount), strings.TrimSpace(target)}
}

// fromQuestions asks on the terminal, one short line each; an empty line
// leaves a thing out.
func fromQuestions(c *cli.Context) (answers, error) {
	a := answers{Units: c.String("units")}
	in := bufio.NewScanner(c.App.Reader)
	out := c.App.Writer
	ended := false
	ask := func(question string) string {
		if ended {
			return ""
		}
		fmt.Fprint(out, question, " ")
		if !in.Scan() {
			ended = true
			fmt.Fprintln(out)
			return ""
		}
		return strings.TrimSpace(in.Text())
	}
	a.Name = ask("What is it called?")
	if a.Name == "" && ended {
		return a, usagef(c, "no answers came; use flags, e.g. --name \"Winter orange\" --spirit \"grape brandy\" --abv 57 --amount \"700 ml\"")
	}
	a.Spirit = ask("Which spirit? (empty for none)")
	if a.Spirit != "" {
		for !ended {
			a.ABV = ask("Its strength? (57, or 114 proof)")
			err := a.checkABV()
			if err == nil {
				break
			}
			fmt.Fprintln(out, err)
			a.ABV = ""
		}
		a.Amount = ask("How much of it? (700 ml)")
	}
	for !ended {
		text := ask("A botanical, as \"NAME, CUT: AMOUNT @ WANTED 0-10\"? (empty: no more)")
		if text == "" {
			break
		}
		b := parseBotanical(text)
		if b.Target != "" {
			if _, err := strconv.ParseFloat(b.Target, 64); err != nil {
				fmt.Fprintf(out, "%q is no wanted strength from 0 to 10\n", b.Target)
				continue
			}
		}
		a.Botanicals = append(a.Botanicals, b)
	}
	for !ended {
		text := ask("Added after straining, as \"NAME: AMOUNT\"? (empty: no more)")
		if text == "" {
			break
		}
		name, amount, _ := strings.Cut(text, ":")
		a.Additions = append(a.Additions, answerAddition{strings.TrimSpace(name), strings.TrimSpace(amount)})
	}
	a.Bottle = ask("Bottle size? (250 ml)")
	a.Store = ask("Where will it stand? (fridge, cellar, room)")
	if err := in.Err(); err != nil && !errors.Is(err, io.EOF) {
		return a, err
	}
	return a, nil
}

// file is the batch file: TOML with the comments a newcomer needs.
func (a answers) file() ([]byte, error) {
	t, err := template.New("batch").Funcs(template.FuncMap{"q": quoteTOML}).Parse(newTemplate)
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
