package cli

import (
	"errors"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/solve"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

func blendCommand() *cli.Command {
	return &cli.Command{
		Name:      "blend",
		Usage:     "what is in the bottle; with targets, what to add to get the bottle you want",
		ArgsUsage: "BATCH.toml",
		Category:  toFinish,
		Description: "Says how much there will be in the bottle, how strong, how sweet and how sour, how sure that is " +
			"and what it costs. With a target it says what to add, or why it cannot be had.",
		UsageText: lines(
			"steepbook blend demo-book/winter-orange-2.toml",
			"steepbook blend demo-book/winter-orange-2.toml --abv 25 --sugar 200",
			`steepbook blend demo-book/winter-orange-2.toml --abv 30 --have "water, vodka 40 %"`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "abv", Usage: "wanted strength, `PERCENT` by volume"},
			&cli.StringFlag{Name: "sugar", Usage: "wanted sugar, `G` per litre"},
			&cli.StringFlag{Name: "acid", Usage: "wanted acid as citric, `G` per litre"},
			&cli.StringFlag{Name: "volume", Usage: "wanted volume, such as 1l or 25 fl oz"},
			&cli.StringFlag{Name: "serve", Usage: "how much is poured at a time, such as " +
				"45ml, to count its drinks"},
			whyFlag("every figure with its range, every step, what is poured and what it costs"),
			&cli.StringSliceFlag{Name: "have", Usage: "only what is at hand, once each or with commas: " +
				"\"water, vodka 40 %, lime juice: 200 ml\""},
		},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			g, err := goal(c, s.Batch.Units)
			if err != nil {
				return nil, err
			}
			if text := c.String("serve"); text != "" {
				size, err := scale.ParseBottle(text, s.Batch.Units)
				if err != nil {
					return nil, usagef(c, "--serve: %s", err)
				}
				s.Batch.Finish.Serve = &size
			}
			a, err := s.Judged(bench.Question{})
			if err != nil {
				return nil, err
			}
			var plan *solve.Correction
			if have := (*solve.HaveError)(nil); g.Wanted() {
				if plan, err = solve.For(a, s.Library, g); errors.As(err, &have) {
					return nil, usagef(c, "%s", have.Problem)
				} else if err != nil {
					return nil, err
				}
				steep, err := s.Steeped()
				if err != nil {
					return nil, err
				}
				plan.Thins(steep)
			}
			if err = bottle.Blend(page(c, s.Units), a, plan, c.Bool("why")); plan != nil && !due.MustAct(a) {
				return plan.Then, err
			}
			return a, err
		}),
	}
}

// decimalComma is a comma within a number, "37,5 %", which parts nothing.
var decimalComma = pattern.New(`(\d),(\d)`)

// goal reads the targets.
func goal(c *cli.Context, system quantity.System) (solve.Goal, error) {
	var g solve.Goal
	if text := c.String("abv"); text != "" {
		v, err := quantity.ParseABV(text)
		if err != nil {
			return g, usagef(c, "--abv: %s", err)
		}
		g.ABVPercent = &v
	}
	for _, f := range []struct {
		name string
		to   **float64
		most float64
	}{{"sugar", &g.SugarGPerL, 1000}, {"acid", &g.AcidGPerL, 400}} {
		text := strings.TrimSpace(c.String(f.name))
		if text == "" {
			continue
		}
		number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(text), "g/l"), "g"))
		v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
		if err != nil || !(v >= 0 && v <= f.most) {
			return g, usagef(c, "--%s %q is no amount in g per litre from 0 to %g; write --%s 300", f.name,
				text, f.most, f.name)
		}
		*f.to = &v
	}
	if text := c.String("volume"); text != "" {
		a, err := quantity.ParseAmount(text)
		if err == nil {
			a, err = a.In(system)
		}
		if err != nil {
			return g, usagef(c, "--volume: %s", err)
		}
		_, ml, _, ok := a.Millilitres()
		if !ok {
			return g, usagef(c, "--volume %q is no volume; write --volume \"1~l\"", text)
		}
		g.VolumeML = &ml
	}
	for _, list := range c.StringSlice("have") {
		for part := range strings.SplitSeq(decimalComma().ReplaceAllString(list, "$1.$2"), ",") {
			if part = strings.TrimSpace(part); part != "" {
				g.Have = append(g.Have, part)
			}
		}
	}
	if len(g.Have) > 0 && !g.Wanted() {
		return g, usagef(c, "--have wants something to aim for: --abv, --sugar, --acid or --volume")
	}
	return g, nil
}
