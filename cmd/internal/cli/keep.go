package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

func keepCommand() *cli.Command {
	return &cli.Command{
		Name:      "keep",
		Usage:     "shelf, fridge or freezer, until when, and what decides",
		ArgsUsage: "BATCH.toml",
		Category:  toKeep,
		Description: "Says where the bottle keeps and until which day: sound, at its best, and once opened, and what " +
			"would move that. With --sign it names what you see in a bottle.",
		UsageText: lines(
			"steepbook keep demo-book/winter-orange-2.toml",
			"steepbook keep demo-book/winter-orange-2.toml --at cellar --opened",
			`steepbook keep demo-book/bay-grapefruit-dram.toml --sign cloud`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "judge for `PLACE`: fridge, freezer, cellar, room, or a " +
				"temperature such as 20C or 68F"},
			&cli.BoolFlag{Name: "opened", Usage: "lead with the time once opened"},
			whyFlag("the rules, the other places and every caution"),
			&cli.StringFlag{Name: "sign", Usage: "what is that? `SIGN` as you see it: cloud, ring at the " +
				"neck, film, tuft, fizz, jelly, crystals, off smell"},
		},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			q, err := place(c)
			if err != nil {
				return nil, err
			}
			q.Opened = c.Bool("opened")
			a, err := s.Judged(q)
			if err != nil {
				return nil, err
			}
			if sign := strings.TrimSpace(c.String("sign")); sign != "" {
				return a, bottle.Sign(page(c, s.Units), a, sign)
			}
			return a, bottle.Keep(page(c, s.Units), a, c.Bool("why"))
		}),
	}
}

// place reads --at: the name of a place or a temperature.
func place(c *cli.Context) (bench.Question, error) {
	text := strings.ToLower(strings.TrimSpace(c.String("at")))
	if text == "" {
		return bench.Question{}, nil
	}
	switch p := shelf.Place(text); p {
	case shelf.Freezer, shelf.Fridge, shelf.Cellar, shelf.Room:
		return bench.Question{Place: p}, nil
	}
	celsius, err := quantity.ParseTemperature(text)
	if err != nil {
		return bench.Question{}, usagef(c, "--at %q is no place: write fridge, freezer, cellar, room, or a "+
			"temperature such as 20C or 68F", c.String("at"))
	}
	return bench.Question{Celsius: &celsius}, nil
}
