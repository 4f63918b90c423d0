package recipe

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

// List is everything that goes in: spirits, botanicals, additions.
func (p *Lines) List() []Line {
	var list []Line
	for i := range p.Bases {
		x := &p.Bases[i]
		list = append(list, Line{
			Part: "spirit", Index: x.Entry.Index, Name: x.Base.Name, Amount: x.Entry.Amount,
			Price: x.Entry.Price, Poured: true, Buy: x.Base.Name, Spirit: true,
			ABVPercent: x.Base.ABVPercent.Value, VolumeML: x.Base.VolumeML.Value,
		})
	}
	for h := range p.Steeped {
		l := Line{
			Part: "botanical", Index: h.Entry.Index, Name: h.Entry.Name, Cut: h.Entry.Cut,
			Amount: h.Entry.Amount, Price: h.Entry.Price,
			weigh: func(a quantity.Amount) (library.Weight, error) {
				return weigh(&a, h.Cut, h.Known != nil)
			},
		}
		if h.Cut != nil {
			l.Buy, l.Measures = h.Entry.Name, h.Cut.Measures
			if h.Known != nil {
				l.Buy = h.Known.Name
			}
		}
		if h.Weight != nil {
			l.MassG = h.Weight.G
		}
		list = append(list, l)
	}
	for i := range p.Additions {
		list = append(list, p.Additions[i].line())
	}
	return list
}

func (x *Addition) line() Line {
	e := x.Entry
	l := Line{Part: "addition", Index: e.Index, Name: e.Name, Amount: e.Amount, Price: e.Price, Buy: e.Name}
	switch {
	case x.Ingredient != nil:
		l.Poured, l.weigh = x.Ingredient.Liquid, x.Ingredient.Grams
	case x.Botanical == nil:
		l.Poured = true
	case x.Cut != nil:
		l.weigh = x.Cut.Grams
	}
	switch {
	case x.Ingredient != nil && x.Ingredient.Kind == "water":
		l.Buy = ""
	case x.Ingredient != nil:
		l.Buy, l.MassG, l.Measures = x.Ingredient.Name, x.MassG(), x.Ingredient.Measures
	case x.Cut != nil:
		l.Buy, l.MassG, l.Measures = x.Botanical.Name, x.MassG(), x.Cut.Measures
	case e.Amount != nil && x.Missing == "" && (x.Spirit != nil || x.ABVPercent != nil):
		l.Spirit = true
		abv, _ := strength(x.ABVPercent, x.Spirit, e.Name)
		ml, err := spiritVolume(e.Amount, abv.Value, e.Name)
		if l.ABVPercent, l.VolumeML = abv.Value, ml.Value; err != nil {
			l.Buy = ""
		}
	}
	return l
}
