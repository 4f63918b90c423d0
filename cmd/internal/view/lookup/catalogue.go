package lookup

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"steepbook/cmd/internal/pen"
	"steepbook/data/library"
)

// Catalogue lists everything by kind.
func Catalogue(p *pen.Page, lib *library.Library) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("botanicals", lib.Botanicals()),
			pen.As("ingredients", lib.Ingredients()),
			pen.As("spirits", lib.Spirits()),
		})
	}
	groups := map[string][]string{}
	for _, b := range lib.Botanicals() {
		name := b.Name
		if b.Forbidden != "" {
			name += " (not to be steeped)"
		}
		groups["Botanicals: "+b.Kind] = append(groups["Botanicals: "+b.Kind], name)
	}
	for _, g := range lib.Ingredients() {
		groups["Ingredients: "+g.Kind] = append(groups["Ingredients: "+g.Kind], g.Name)
	}
	for _, s := range lib.Spirits() {
		groups["Spirits"] = append(groups["Spirits"], s.Name)
	}
	for i, h := range slices.Sorted(maps.Keys(groups)) {
		if i > 0 {
			p.Line("")
		}
		p.Answer("%s", h)
		p.Lines(p.Hang("  ", "  ", strings.Join(groups[h], ", ")))
	}
	return p.Done()
}

// Summary prints how many entries there are and how well their figures are
// known.
func Summary(p *pen.Page, lib *library.Library) error {
	shares := grades(lib)
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("botanicals", len(lib.Botanicals())),
			pen.As("ingredients", len(lib.Ingredients())),
			pen.As("spirits", len(lib.Spirits())),
			pen.As("figures_by_grade", shares),
		})
	}
	total := 0
	for _, n := range shares {
		total += n
	}
	p.Para("%d botanicals, %d ingredients, %d spirits; %d figures.", len(lib.Botanicals()),
		len(lib.Ingredients()), len(lib.Spirits()), total)
	p.Line("")
	var rows [][]string
	for _, g := range gradeOrder {
		if n := shares[g]; n > 0 {
			rows = append(rows, []string{string(g), fmt.Sprint(n),
				fmt.Sprintf("%.0f %%", 100*float64(n)/float64(total)), g.Words()})
		}
	}
	p.Table([]string{"grade", "figures", "share", "meaning"}, rows)
	return p.Done()
}

var gradeOrder = []library.Grade{library.Published, library.Derived, library.Own, library.Practice,
	library.Judgement, library.Page, library.Memory}

// grades counts the figures of the library by how they are known.
func grades(lib *library.Library) map[library.Grade]int {
	n := map[library.Grade]int{}
	count := func(rows ...figureRow) {
		for _, r := range rows {
			if r.n.Known() {
				n[r.n.Grade]++
			}
		}
	}
	hazards := func(hs []library.Hazard) {
		for _, h := range hs {
			count(hazardFigures(h)...)
		}
	}
	for _, b := range lib.Botanicals() {
		for i := range b.Cuts {
			count(cutFigures(&b.Cuts[i])...)
		}
		hazards(b.Hazards)
	}
	for _, g := range lib.Ingredients() {
		n[g.Per100G.Grade]++
		count(ingredientFigures(g)...)
		hazards(g.Hazards)
	}
	for _, s := range lib.Spirits() {
		count(spiritFigures(s)...)
	}
	return n
}
