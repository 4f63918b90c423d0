package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/lookup"
	"steepbook/data/library"
)

func lookupCommand() *cli.Command {
	return &cli.Command{
		Name:      "lookup",
		Usage:     "what the library knows of a botanical, ingredient, spirit, microbe or source",
		ArgsUsage: "[NAME], or --learned [FOLDER]",
		Category:  toPlan,
		Description: "Prints what the library knows of a name, every number with its source, and whether it may be " +
			"steeped at all; without a name, all that it knows.",
		UsageText: lines(
			"steepbook lookup green cardamom",
			"steepbook lookup vodka --book demo-book",
			"steepbook lookup --learned demo-book"),
		Flags: []cli.Flag{
			whyFlag("every number with its source, and what makers did"),
			&cli.BoolFlag{Name: "summary", Usage: "how many entries there are and how well " +
				"their figures are known"},
			&cli.BoolFlag{Name: "learned", Usage: "what the tastings of a book have taught, " +
				"beside the library's figures"},
			&cli.BoolFlag{Name: "write", Usage: "with --learned: add the rates learned to " +
				"the book's library.toml"},
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
			case c.Bool("summary"):
				return lookup.Summary(p, lib)
			case c.NArg() == 0:
				return lookup.Catalogue(p, lib)
			}
			// A name of several words needs no quotes here: nothing else follows.
			return lookUp(c, p, lib, strings.Join(c.Args().Slice(), " "))
		},
	}
}

// lookUp prints what the library knows of a name.
func lookUp(c *cli.Context, p *pen.Page, lib *library.Library, name string) error {
	known, err := lookup.Find(lib, name)
	switch {
	case err != nil:
		return err
	case len(known.Entries) == 0:
		return usagef(c, "the library does not know %q; %s", name, known.Instead(lib))
	}
	return lookup.Print(p, lib, known, c.Bool("why"))
}

// orWords joins names as a, b or c.
func orWords(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}
