package mixture

import (
	"slices"
	"sort"

	"steepbook/data/quantity"
)

// This file is about what goes in after the blend was read or bottled.

// join puts in what went in after all readings: into all of the blend, or where some of it was in bottles or
// drunk by then into an open one or what was left over, each of which is another drink.
func (w *run) join(r *Recipe) {
	bottled := w.volume(w.parts) > 0
	w.lateML = w.volume(w.add(r, func(a *Addition) bool { return a.Late && !(bottled && a.apart()) }))
	w.rest = Rest{ML: w.volume(w.parts)}
	var apart []*Addition
	for i := range r.Additions {
		if a := &r.Additions[i]; bottled && a.apart() {
			apart = append(apart, a)
		}
	}
	if w.parts.Cost = r.Cost; len(apart) == 0 {
		return
	}
	for _, a := range apart {
		w.parts.Cost -= a.Cost
	}
	if w.lateML == 0 {
		w.kept.Late = 0
	}
	if !w.told && r.Only == nil {
		return
	}
	slices.SortStableFunc(apart, func(a, b *Addition) int { return a.Pour - b.Pour })
	now := map[int][]Parts{}
	for len(apart) > 0 {
		n := 1
		for n < len(apart) && apart[n].Pour == apart[0].Pour {
			n++
		}
		w.pour(apart[:n], now)
		apart = apart[n:]
	}
	if r.Only != nil {
		ways := now[max(*r.Only, 0)]
		if ways == nil { // it is filled of that, or may be
			ways = now[0]
		}
		w.only(ways)
	}
}

// only makes it the run of one vessel, ways being all that it may hold; of the blend as it was bottled it
// holds no more than all that is in it, and of what was poured into it all, for all anybody knows.
func (w *run) only(ways []Parts) {
	if len(ways) == 0 {
		return
	}
	share := min(ratio(w.volume(ways[0]), w.volume(w.parts)), 1)
	w.strainedML *= share
	w.kept = Kept{w.kept.Liquor * share, w.kept.Added * share, 1}
	w.parts, w.were = ways[0], ways[1:]
}

// pour puts what went in together into every vessel that it may have joined, now being all that each may hold
// by then; of one that nobody named it may have joined another.
func (w *run) pour(in []*Addition, now map[int][]Parts) {
	j, v := in[0].Joins, w.volume(w.parts)
	var vessels []Vessel
	left := w.rest.LeftML(j.AwayML)
	var open []float64
	for _, b := range j.Vessels {
		most := 0.0
		for _, p := range w.inVessel(b, now) {
			most = max(most, w.volume(p))
		}
		if open = append(open, most); j.To == 0 || j.To == b.Number {
			vessels = append(vessels, b)
		}
	}
	if w.levels == nil {
		w.levels, w.fills = map[int]Level{}, map[int][]Parts{}
	}
	w.levels[j.Pour] = Level{open, left}
	if len(vessels) == 0 { // of what was left over
		vessels = []Vessel{{ML: max(left, wetShare*v)}}
	}
	for _, b := range vessels {
		var ways []Parts
		if len(vessels) > 1 {
			ways = w.inVessel(b, now)
		}
		for _, p := range w.inVessel(b, now) {
			held := w.volume(p)
			into := held
			if j.IntoML > 0 {
				into = min(j.IntoML, held)
			} else if b.Number > 0 {
				into = wetShare * held
			}
			p = p.Times(into / held)
			for _, a := range in {
				g := max(a.MassG.Value, 0)
				p = p.Plus(a.perG().Times(g))
				p.Cost += a.Cost
				w.step(a.Name, func() string { return quantity.FormatNumber(g) + "~g added" }, p)
				if !b.Gone {
					w.were = append(w.were, p)
				}
			}
			ways = append(ways, p)
		}
		sort.SliceStable(ways, func(i, j int) bool { return ways[i].ABVPercent() < ways[j].ABVPercent() })
		now[b.Number] = ways[:min(len(ways), mostWays)]
		var open []Poured
		p := now[b.Number][0]
		if b.Number == 0 {
			w.fills[j.Pour+1] = now[0]
			ml := w.volume(p)
			if w.rest = (Rest{ml, j.AwayML}); j.ReadML > 0 {
				w.rest.ML = j.ReadML
			}
			left := w.rest.LeftML(j.NowML)
			b.Gone = left < w.rest.ML && left <= wetShare*j.NowML
			p = p.Times(left / ml)
		}
		if !b.Gone {
			open = append(open, Poured{b.Number, j.Pour, p})
		}
		for i := range w.open {
			if w.open[i].Number != b.Number {
				open = append(open, w.open[i])
			}
		}
		w.open = open
	}
}

// mostWays is of how many ways that a bottle may have come about the weakest are followed. Judgement.
const mostWays = 64

// wetShare is the least of a drink that something joins, where the bottles took all that there was by their
// size, as little as a bottle may lack and be full; and how much is left in an open one where nobody measured
// that, at the worst for what goes in: a small glass of the largest. Judgement.
const wetShare = 0.02

// late reports whether something went in after the blend was read, and something sour.
func (r *Recipe) late() (some, sour bool) {
	for i := range r.Additions {
		if a := &r.Additions[i]; (a.Late || a.After) && a.MassG.Value > 0 {
			some, sour = true, sour || a.PerG.AcidG() > 0
		}
	}
	for i := range r.Solids {
		if s := &r.Solids[i]; s.After && s.MassG.Value > 0 {
			some, sour = true, sour || s.PerG.AcidG() > 0
		}
	}
	return some, sour
}

// inVessel is what a vessel holds before more is poured into it, in each way that is in question.
func (w *run) inVessel(b Vessel, now map[int][]Parts) []Parts {
	ways := now[b.Number]
	if ways == nil {
		ways = w.fills[b.Of]
	}
	if ways == nil {
		ways = []Parts{w.parts}
	}
	if b.Number == 0 || now[b.Number] == nil { // of which other bottles hold some
		ways = []Parts{ways[0].Times(min(b.ML/w.volume(ways[0]), 1))}
	}
	return ways
}
