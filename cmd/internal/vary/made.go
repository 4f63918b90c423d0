package vary

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Went is an addition of which something else went in than was planned.
type Went struct {
	Name, Amount string // Amount is "" where what went in cannot be added up, and the plan stands
	Planned      string // "" for what was not planned
}

// AsMade is a batch with the amounts that went in, by its log, in the place of those that
// were planned, and what differs. Until it is bottled, what the plan still lacks is to come.
// The error is a fault in how the file is written.
func AsMade(b *batch.Batch) (made *batch.Batch, went []Went, err error) {
	w := b.Rewrite()
	sums := map[string]*quantity.Amount{}
	var names []string
	for _, x := range b.Additives {
		switch sum, there := sums[x.Name]; {
		case b.InJar(x.Hours), b.Apart(&x):
		case !there:
			amount := x.Amount
			sums[x.Name], names = &amount, append(names, x.Name)
		case sum != nil:
			sums[x.Name] = nil // where they cannot be added up, the plan stands
			if more, ok := x.Amount.Over(*sum); ok {
				all := sum.Times(1 + more)
				sums[x.Name] = &all
			}
		}
	}
	for _, name := range names {
		sum := sums[name]
		i := slices.IndexFunc(b.Additions, func(e batch.Addition) bool { return e.Name == name })
		switch {
		case sum == nil && i >= 0 && b.Additions[i].Amount != nil:
			went = append(went, Went{name, "", b.Additions[i].Amount.Text})
		case sum == nil:
		case i < 0:
			w.End(fmt.Sprintf("\n[[addition]]\nname = %s\namount = %s\n", batch.Quote(name),
				batch.Quote(sum.String())))
			went = append(went, Went{name, sum.String(), ""})
		case b.Additions[i].Amount != nil && b.Additions[i].In == nil:
			e := &b.Additions[i]
			share, ok := sum.Over(*e.Amount)
			if !ok || math.Abs(share-1) < 1e-6 || share < 1 && b.BottledAt() == nil {
				continue
			}
			w.SetText(sum.String(), "addition", e.Index, "amount")
			if e.Price != nil {
				w.Set(money(*e.Price*share), "addition", e.Index, "price")
			}
			went = append(went, Went{name, sum.String(), e.Amount.Text})
		}
	}
	if len(went) == 0 {
		return b, nil, nil
	}
	text, err := w.Text()
	if err != nil {
		return nil, nil, err
	}
	made, err = batch.ParseBeside(b.File, text, b.Started.Location())
	return made, went, err
}

// recut is a cut with the new one in its place: what was done to it besides, such as
// toasted, stays, and is what changes where nothing else is said.
func recut(was, to string) string {
	quietly := func(list []string) (quiet, loud []string) {
		for _, part := range list {
			if part = strings.TrimSpace(part); part == "" {
				continue
			} else if library.Besides(part) {
				quiet = append(quiet, part)
			} else {
				loud = append(loud, part)
			}
		}
		return quiet, loud
	}
	quietWas, loudWas := quietly(strings.Split(was, ","))
	quiet, loud := quietly(strings.Split(to, ","))
	if len(loud) == 0 {
		loud = loudWas
	}
	if len(quiet) == 0 {
		quiet = quietWas
	}
	return strings.Join(append(loud, quiet...), ", ")
}

// Weighed holds the amount of a thing that is cut another way: what was counted or
// measured weighs another thing then, so the weight of before is written where it is
// known. The sentence says so, or that nobody knows it; "" where nothing has to be said.
// The error is a fault in the batch.
func (c *Change) Weighed(b *batch.Batch, lib *library.Library) (said string, err error) {
	if c.Factor != "cut" {
		return "", nil
	}
	was := b.Botanicals[c.entry]
	if was.Amount == nil || was.Amount.Kind == quantity.Mass {
		return "", nil
	}
	to := was
	to.Cut = c.To
	before, err := recipe.ReadBotanical(b, lib, was)
	if err != nil {
		return "", err
	}
	after, err := recipe.ReadBotanical(b, lib, to)
	if err != nil {
		return "", err
	}
	switch {
	case before.Weight == nil:
		return fmt.Sprintf("Nobody knows what %s of the %s weigh, so compare will call it two changes, the cut and the "+
			"amount: weigh both.", was.Amount.Text, c.Of), nil
	case after.Weight != nil && math.Abs(after.Weight.G/before.Weight.G-1) < 0.02:
		return "", nil
	}
	g := quantity.Rounded(before.Weight.G, 2)
	if math.Abs(g/before.Weight.G-1) > 0.01 {
		g = quantity.Rounded(before.Weight.G, 3)
	}
	grams := quantity.FormatNumber(g) + " g"
	c.sets = append(c.sets, set{key: "amount", value: batch.Quote(grams)})
	return fmt.Sprintf("%s of %s %s are about %s, so that is written: by the measure it would be two changes, the cut "+
		"and the amount. Weigh it.", was.Amount.Text, c.From, c.Of, grams), nil
}
