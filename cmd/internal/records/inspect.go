package records

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Log is a log for an inspector, a row for each bottle that was opened, one for those that are sealed, and
// one for a batch that is not bottled: what it is, of which lots, when it was made, strained, bottled,
// opened and emptied, where it stands, to which day it is at its best and sound, its pH and strength with
// what they rest on, its allergens, who tasted it, and what every answer says of it that can hurt. Moments
// are those of loc, what is said in words is in units; what is not known is empty.
func Log(batches []*bench.Assessment, loc *time.Location, units quantity.System) [][]string {
	rows := [][]string{{"batch", "file", "lots", "made", "strained", "bottled", "bottles", "size", "state",
		"bottle",
		"opened", "emptied", "place", "best_by", "discard_by", "ph", "ph_range", "ph_is", "abv_percent",
		"abv_range",
		"abv_is", "allergens", "tasters", "noted", "danger"}}
	for _, a := range batches {
		b := a.Batch
		head := []string{b.Name, filepath.Base(b.File), lots(b), moment(b.Started, loc), ""}
		if hours, out := a.Strained(); out {
			head[4] = moment(b.At(hours), loc)
		}
		for _, g := range bottles(a, units) {
			own := a.Drink(g.holds)
			rows = append(rows, slices.Concat(head, g.cells(own, loc), figures(own, g.was(own), units)))
		}
	}
	return rows
}

// glass is one bottle, or those of one bottling that are sealed, or all of what is not
// bottled.
type glass struct {
	count int // 0: not known
	// the number of the first of them, whose drink they hold; 0: all of it
	holds                                   int
	size, state, number                     string
	bottled, opened, emptied, best, discard time.Time
}

// cells are those from when it was bottled to the day to discard it.
func (g *glass) cells(a *bench.Assessment, loc *time.Location) []string {
	n := ""
	if g.count > 0 {
		n = strconv.Itoa(g.count)
	}
	place, _ := a.Keep.Stands()
	if g.was(a) != "" {
		place = shelf.VerdictDiscard
	}
	return []string{moment(g.bottled, loc), n, g.size, g.state, g.number, moment(g.opened, loc),
		moment(g.emptied, loc), place, day(g.best, loc), day(g.discard, loc)}
}

// was is why nothing was to be drunk of one that is empty, "" where it was.
func (g *glass) was(a *bench.Assessment) string {
	if g.emptied.IsZero() {
		return ""
	}
	return bottle.WasStopped(a, g.holds)
}

func bottles(a *bench.Assessment, units quantity.System) []glass {
	k, all, lots := a.Keep, a.Bottles(), a.Keep.Lots()
	var out, sealed []glass
	for i := range all.List {
		x := &all.List[i]
		g := glass{count: 1, holds: x.Number, number: strconv.Itoa(x.Number), bottled: when(x.Bottled),
			opened: when(x.Opened)}
		if x.Of != nil {
			g.size = x.Of.Text
		}
		lot := slices.IndexFunc(lots,
			func(y *keeping.Lot) bool { return slices.Contains(y.Numbers, x.Number) })
		if lot >= 0 {
			g.best, g.discard = lots[lot].Until, lots[lot].Safe
		}
		switch {
		case x.Emptied != nil || all.Emptied != nil:
			if g.state, g.emptied = "empty", when(x.Emptied); x.Emptied == nil {
				g.emptied = all.Emptied.When
			}
		case lot >= 0 && lot < len(k.Open):
			g.state = "open"
		default:
			g.state, g.number = "sealed", ""
			if n := len(sealed); n > 0 && sealed[n-1].size == g.size && sealed[n-1].bottled.Equal(g.bottled) {
				sealed[n-1].count++
				continue
			}
			sealed = append(sealed, g)
			continue
		}
		out = append(out, g)
	}
	out = append(out, sealed...)
	if ml, own := a.Held(bench.LeftOver); ml > 0 || own {
		g, keep := glass{holds: bench.LeftOver, state: "left over"}, a.Drink(bench.LeftOver).Keep
		if g.best, g.discard = keep.Advised.Until, keep.Safe.Until; ml > 0 {
			g.size = "about " + quantity.FormatVolume(ml, units)
		}
		out = append(out, g)
	}
	if len(out) > 0 {
		return out
	}
	g := glass{state: "steeping", bottled: when(a.Batch.BottledAt()), opened: k.OpenedAt,
		emptied: k.EmptiedAt,
		best:    k.Advised.Until, discard: k.Safe.Until}
	switch _, strained := a.Strained(); {
	case a.ElapsedH < 0:
		g.state = "planned"
	case !g.emptied.IsZero():
		g = glass{state: "empty", bottled: g.bottled, emptied: g.emptied}
	case !g.bottled.IsZero():
		g.state = "bottled"
	case strained:
		g.state = "strained"
	}
	return []glass{g}
}

func when(s *batch.Stage) time.Time {
	if s == nil {
		return time.Time{}
	}
	return s.When
}

func moment(t time.Time, loc *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return t.In(loc).Format(time.RFC3339)
}

func day(t time.Time, loc *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return t.In(loc).Format(time.DateOnly)
}

// lots are the lots that the maker wrote down.
func lots(b *batch.Batch) string {
	var out []string
	for _, h := range b.Botanicals {
		if h.Lot != "" {
			out = append(out, h.Name+": "+h.Lot)
		}
	}
	return strings.Join(out, "; ")
}

// figures are the cells from the pH to what can hurt, of the drink that a bottle holds; was is why nothing
// was to be drunk of what is gone.
func figures(a *bench.Assessment, was string, units quantity.System) []string {
	r, m := a.Blend.Result, a.Batch.Readings()
	have := a.Blend.Have()
	if len(r.Levels) > 0 || !a.Batch.ReadWhole() { // something joined what was measured
		m = batch.Measured{}
	}
	out := append(figureOf(m.PH, r.PH, have && r.PHKnown), figureOf(m.ABVPercent, r.ABVPercent, have)...)
	var allergens, tasters, noted []string
	for _, al := range a.Recipe.Allergens() {
		allergens = append(allergens, al.Declared())
	}
	for _, t := range a.Batch.Tastings {
		if t.Taster != "" && !slices.Contains(tasters, t.Taster) {
			tasters = append(tasters, t.Taster)
		}
	}
	for _, n := range a.Batch.Notes {
		noted = append(noted, n.When.Format(time.DateOnly)+" "+n.What)
	}
	if text := bottle.NotLogged(a); text != "" {
		noted = append(noted, quantity.Capital(text))
	}
	danger := quantity.Say(strings.TrimSpace(was+" "+strings.Join(bottle.CanHurt(a), " ")), units)
	return append(out, strings.Join(allergens, "; "), strings.Join(tasters, "; "), strings.Join(noted, "; "),
		danger)
}

// figureOf is a figure, its range, and what it rests on.
func figureOf(measured *float64, computed mixture.Range, known bool) []string {
	switch {
	case measured != nil:
		return []string{number(*measured, 2), "", "measured"}
	case !known:
		return []string{"", "", "not known"}
	}
	text := ""
	if computed.Low < computed.High {
		text = number(computed.Low, 1) + " to " + number(computed.High, 1)
	}
	return []string{number(computed.Value, 1), text, "computed"}
}
