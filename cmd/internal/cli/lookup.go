package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/textout"
	"steepbook/data/library"
)

func lookupCommand() *cli.Command {
	return &cli.Command{
		Name:      "lookup",
		Usage:     "what the library knows of a botanical, ingredient, spirit or microbe, every number with its source",
		ArgsUsage: "[NAME], or --learned [FOLDER]",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "summary", Usage: "how many entries there are and how well their figures are known"},
			&cli.BoolFlag{Name: "learned", Usage: "what the tastings of a book have taught, beside the library's figures"},
			&cli.BoolFlag{Name: "write", Usage: "with --learned: add the rates learned to the book's library.toml"},
			&cli.StringFlag{Name: "book", Value: ".", Usage: "the `FOLDER` whose library.toml counts too"},
		},
		Action: func(c *cli.Context) error {
			if c.Bool("learned") {
				return learned(c)
			}
			if c.Bool("write") {
				return usagef(c, "--write goes with --learned, e.g. steepbook lookup --learned --write")
			}
			lib, err := openLibrary(c.String("book"))
			if err != nil {
				return err
			}
			system, err := unitsOf(c, c.String("book"), nil)
			if err != nil {
				return err
			}
			p := page(c, system)
			switch {
			case c.Bool("summary") && c.Bool("json"):
				return textout.SummaryJSON(c.App.Writer, lib)
			case c.Bool("summary"):
				return textout.Summary(p, lib)
			case c.NArg() == 0 && c.Bool("json"):
				return textout.CatalogueJSON(c.App.Writer, lib)
			case c.NArg() == 0:
				return textout.Catalogue(p, lib)
			}
			// A name of several words needs no quotes here: nothing else follows.
			return lookup(c, p, lib, strings.Join(c.Args().Slice(), " "))
		},
	}
}

// lookup prints every entry that goes by the name: a lime is a botanical and
// its juice an ingredient.
func lookup(c *cli.Context, p *textout.Page, lib *library.Library, name string) error {
	var entries []textout.Entry
	found := 0
	show := func(kind string, entry any, err error, print func() error) error {
		var lost *library.NotFoundError
		if errors.As(err, &lost) {
			return nil
		}
		if err != nil {
			return err
		}
		found++
		if c.Bool("json") {
			entries = append(entries, textout.Entry{Kind: kind, Entry: entry})
			return nil
		}
		if found > 1 {
			fmt.Fprintln(c.App.Writer)
		}
		return print()
	}
	b, err := lib.Botanical(name)
	if err == nil && b.Forbidden != "" && lib.IsIngredient(name) { // fish gelatine is no fish
		err = &library.NotFoundError{Name: name, Kind: "botanical"}
	}
	if err := show("botanical", b, err, func() error { return textout.Botanical(p, lib, b) }); err != nil {
		return err
	}
	g, err := lib.Ingredient(name)
	if err := show("ingredient", g, err, func() error { return textout.Ingredient(p, lib, g) }); err != nil {
		return err
	}
	s, err := lib.Spirit(name)
	if err := show("spirit", s, err, func() error { return textout.Spirit(p, lib, s) }); err != nil {
		return err
	}
	if len(entries) > 0 {
		return textout.LookupJSON(c.App.Writer, lib, entries)
	}
	if found > 0 {
		return nil
	}
	if o, ok := bench.FindOrganism(name); ok {
		if c.Bool("json") {
			return textout.LookupJSON(c.App.Writer, lib, []textout.Entry{{Kind: "organism", Entry: o}})
		}
		return textout.Organism(p, o)
	}
	if near := lib.Near(name); len(near) > 0 {
		return usagef(c, "the library does not know %q; did you mean %s?", name, orWords(near))
	}
	return usagef(c, "the library does not know %q; steepbook lookup lists what it knows", name)
}

// orWords joins names as a, b or c.
func orWords(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}
