package bench

import (
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Line is one thing that goes in, as the recipe has it and looked up.
type Line struct {
	Part      string // "spirit", "botanical" or "addition"
	Index     int    // 0-based entry of its part
	Name, Cut string
	Amount    *quantity.Amount // nil where none is written
	Price     *float64
	Poured    bool // a liquid, so that it fills the bottles

	// Buy is what it is bought as; empty for water, and for what cannot be read. Spirit:
	// by its strength.
	Buy    string
	Spirit bool
	// ABVPercent and VolumeML are of what is poured by strength, MassG of all else; each
	// 0 where it is not known.
	ABVPercent, VolumeML, MassG float64
	Measures                    []library.Measure

	weigh func(quantity.Amount) (library.Weight, error)
}

// Grams is what an amount of it weighs; ok is false where that is not known, and for
// spirits.
func (l *Line) Grams(a quantity.Amount) (w library.Weight, ok bool) {
	if l.weigh == nil {
		return w, false
	}
	w, err := l.weigh(a)
	return w, err == nil && w.G > 0
}

// Lines lists everything that goes in: spirits, botanicals, additions.
func (a *Assessment) Lines() []Line {
	var list []Line
	for i := range a.parts.bases {
		x := &a.parts.bases[i]
		e, b := x.entry, &x.base
		list = append(list, Line{
			Part: "spirit", Index: e.Index, Name: b.Name, Amount: e.Amount, Price: e.Price, Poured: true,
			Buy: b.Name, Spirit: true, ABVPercent: b.ABVPercent.Value, VolumeML: b.VolumeML.Value,
		})
	}
	for i := range a.parts.botanicals {
		h := &a.parts.botanicals[i]
		e := h.entry
		l := Line{Part: "botanical", Index: e.Index, Name: e.Name, Cut: e.Cut, Amount: e.Amount, Price: e.Price}
		l.weigh = func(a quantity.Amount) (library.Weight, error) { return weigh(&a, h.cut, h.known != nil) }
		if h.cut != nil {
			l.Buy, l.Measures = e.Name, h.cut.Measures
			if h.known != nil {
				l.Buy = h.known.Name
			}
		}
		if h.weight != nil {
			l.MassG = h.weight.G
		}
		list = append(list, l)
	}
	for i := range a.parts.additions {
		list = append(list, a.parts.additions[i].line())
	}
	return list
}

func (x *extra) line() Line {
	e := x.entry
	l := Line{Part: "addition", Index: e.Index, Name: e.Name, Amount: e.Amount, Price: e.Price, Buy: e.Name}
	switch {
	case x.ingredient != nil:
		l.Poured, l.weigh = x.ingredient.Liquid, x.ingredient.Grams
	case x.botanical == nil:
		l.Poured = true
	case x.cut != nil:
		l.weigh = x.cut.Grams
	}
	switch {
	case x.ingredient != nil && x.ingredient.Kind == "water":
		l.Buy = ""
	case x.ingredient != nil:
		l.Buy, l.MassG, l.Measures = x.ingredient.Name, x.massG, x.ingredient.Measures
	case x.cut != nil:
		l.Buy, l.MassG, l.Measures = x.botanical.Name, x.massG, x.cut.Measures
	case e.Amount != nil && x.missing == "" && (x.spirit != nil || x.abv != nil):
		l.Spirit = true
		l.ABVPercent, _, _, _, _ = strength(x.abv, x.spirit)
		var err error
		if l.VolumeML, _, _, _, err = spiritVolume(e.Amount, l.ABVPercent, e.Name); err != nil {
			l.Buy = ""
		}
	}
	return l
}
