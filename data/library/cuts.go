package library

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"steepbook/data/names"
	"steepbook/data/strict"
)

// Unknown is the cut of a botanical nobody has described: a wide prior, the
// median and spread of the rates of the library, as much ash and protein as the
// plant richest in them, and nothing else. Its grade says that it is a judgement.
func Unknown() *Cut {
	const median, gsd = 0.028, 4.4
	f := math.Pow(gsd, z90)
	return &Cut{
		Name:          "as is",
		RatePerH:      judged(median, median/f, median*f, "middle of the rates of the library"),
		RateGSD:       gsd,
		EarlyShare:    judged(0.1, 0, 0.3, ""),
		FirstTasteH:   3,
		HeldMLPerG:    judged(1.3, 0.5, 3.5, "between hard spice and dry leaf"),
		PressedMLPerG: judged(0.9, 0.4, 2, ""),
		// The most of tables/buffers.csv: dried green leaf.
		AshGPer100G:     judged(16.6, 16.6, 16.6, "as dried green leaf"),
		ProteinGPer100G: judged(23.2, 23.2, 23.2, "as dried green leaf"),
		name:            "this botanical",
	}
}

// FatCake is fat that washed a spirit, once it is lifted off: what it keeps of the
// liquor, and otherwise as Unknown.
func (l *Library) FatCake() (*Cut, error) {
	row, err := l.marc("fat")
	if err != nil {
		return nil, err
	}
	c := Unknown()
	c.HeldMLPerG, c.PressedMLPerG = row.Held, row.Pressed
	return c, nil
}

// Cut looks a cut up by name or synonym; "" is the first. The error is a
// *NotFoundError with all cuts there are, or a *ForbiddenError.
func (b *Botanical) Cut(name string) (*Cut, error) {
	if b.Forbidden != "" {
		return nil, &ForbiddenError{Name: b.Name, Why: b.Forbidden}
	}
	if len(b.Cuts) == 0 {
		return nil, fmt.Errorf("library: %s has no cuts", b.Name)
	}
	ws := words(name)
	if len(ws) == 0 {
		return &b.Cuts[0], nil
	}
	if c := b.listed(ws); c != nil {
		return c, nil
	}
	// A dried strip is no fresh one: it brings no water.
	dried := b.Fresh && wetMatters(b) && slices.Contains(ws, "dried") && !b.saysCut("dried")
	if c := b.cutIn(ws); c != nil && !dried {
		return c, nil
	}
	var near, known []string
	owner := make(map[string]int)
	for i, c := range b.Cuts {
		near = append(near, c.Name)
		for _, n := range c.all() {
			known, owner[n] = append(known, n), i
		}
	}
	if n, ok := strict.Nearest(strings.TrimSpace(name), known); ok {
		i := owner[n]
		near[0], near[i] = near[i], near[0]
	}
	return nil, &NotFoundError{Name: name, Kind: "cut of " + b.Name, near: these(near...)}
}

// listed is the cut that goes by these very words, nil where none does.
func (b *Botanical) listed(ws []string) *Cut {
	for i := range b.Cuts {
		if slices.ContainsFunc(b.Cuts[i].all(),
			func(n string) bool { return names.Key(words(n)) == names.Key(ws) }) {
			return &b.Cuts[i]
		}
	}
	return nil
}

// Nearest is the cut that is as fine as a maker's words say, or nearest to that, the finer of
// two; the first where they say nothing. Its error is that of Cut.
func (b *Botanical) Nearest(said string) (*Cut, error) {
	c, err := b.Cut("")
	want, known := fineness(words(said))
	if err != nil || !known {
		return c, err
	}
	off := func(c *Cut) float64 {
		for _, name := range c.all() {
			if has, known := fineness(words(name)); known {
				return math.Abs(has - want - 0.1)
			}
		}
		return math.Abs(1 - want - 0.1) // pieces
	}
	for i := range b.Cuts {
		if off(&b.Cuts[i]) < off(c) {
			c = &b.Cuts[i]
		}
	}
	return c, nil
}

// fineness is how fine the finest of some words is, from 0 (whole) to 4 (powder).
func fineness(said []string) (most float64, known bool) {
	for _, w := range said {
		if of := fineWords()[w]; len(of) == 1 {
			rank, _ := strconv.ParseFloat(of[0], 64)
			most, known = math.Max(most, rank), true
		}
	}
	return most, known
}

// cutIn finds the cut that a maker's words name: the one of whose names the
// most words occur, all of them. No two cuts may tie by how it is cut.
func (b *Botanical) cutIn(ws []string) *Cut {
	var best *Cut
	most, tied := 0, false
	for i := range b.Cuts {
		c := &b.Cuts[i]
		n := 0
		for _, name := range c.all() {
			if cws := words(name); covered(cws, ws) >= 0 {
				n = max(n, len(cws))
			}
		}
		switch {
		case n > most:
			best, most, tied = c, n, false
		case n == most && n > 0:
			tied = true
		}
	}
	if !tied {
		return best
	}
	// "ground, toasted": how it is cut says more than what was done to it besides.
	cut := slices.DeleteFunc(slices.Clone(ws), besides)
	if len(cut) == 0 || len(cut) == len(ws) {
		return nil
	}
	return b.cutIn(cut)
}

// TastesOf reports whether a taste, by a maker's name for it, is what the botanical tastes of
// itself. One that is not known tastes of nothing.
func (b *Botanical) TastesOf(taste string) bool {
	return b != nil && (sharesTaste(taste, strings.Join(b.Tastes, " ")) ||
		b.Class == "heat" && sharesTaste(taste, "hot heat burning"))
}

// TurnsInto reports whether makers say that too long a steep of it brings a taste.
func (c *Cut) TurnsInto(taste string) bool { return sharesTaste(taste, c.LateOff) }

// sharesTaste reports whether two texts name one taste: a word of each has the same root, as
// far as four letters tell or the shorter goes.
func sharesTaste(a, b string) bool {
	for _, x := range words(a) {
		for _, y := range words(b) {
			n := min(len(x), len(y), 4)
			if n >= 3 && x[:n] == y[:n] && x != "very" && x != "too" {
				return true
			}
		}
	}
	return false
}
