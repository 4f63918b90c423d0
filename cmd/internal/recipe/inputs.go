package recipe

import (
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Input is one thing that went in, as it was written and as it is counted.
type Input struct {
	// Stage is "base", "steeped" or "added".
	Stage, Name, Written string
	// How says how the amount became grams, Source where that is from.
	How, Source string
	Grade       library.Grade
	// Parts is what it gives to the liquid, g.
	Parts mixture.Parts
	// KeptML is what the strained solid keeps of the liquor.
	KeptML float64
	// Composition says where its make-up is from.
	Composition string
}

// Inputs lists what went in, in the order of the file, for showing the working.
func (p *Lines) Inputs(from *batch.Batch) []Input {
	var out []Input
	for i := range p.Bases {
		b := &p.Bases[i]
		in := Input{Stage: "base", Name: b.Base.Name, Written: written(b.Entry.Amount),
			How: "volume at 20~°C and strength by the ethanol-water density table", Source: "OIML R 22"}
		if b.Missing != "" {
			in.How = b.Missing
		} else if parts, err := mixture.FromVolume(
			b.Base.VolumeML.Value, b.Base.ABVPercent.Value, b.Base.PerLitre); err == nil {
			in.Parts = parts
		}
		out = append(out, in)
	}
	for h := range p.Steeped {
		in := Input{Stage: "steeped", Name: h.Entry.Name, Written: written(h.Entry.Amount)}
		if w := h.Weight; w != nil {
			in.How, in.Source, in.Grade = w.How, w.Source, w.Grade
			s := solid(from, h)
			in.Parts = s.PerG.Times(w.G)
			if !s.LeftIn {
				in.KeptML = s.Keeps(pressing(from).Value) * w.G
			}
		} else {
			in.How = "no weight known: left out"
		}
		out = append(out, in)
	}
	for i := range p.Additions {
		x := &p.Additions[i]
		in := Input{Stage: "added", Name: x.Entry.Name, Written: written(x.Entry.Amount)}
		switch {
		case x.Missing != "" || x.Unread != "":
			in.How = x.Missing + x.Unread
		case x.Ingredient != nil:
			if w, err := x.Ingredient.Grams(*x.Entry.Amount); err == nil {
				in.How, in.Source, in.Grade = w.How, w.Source, w.Grade
			}
			in.Composition = x.Ingredient.Per100G.Source
		default:
			in.How, in.Source = "volume at 20~°C and strength by the ethanol-water density table", "OIML R 22"
		}
		in.Parts = x.Addition.PerG.Times(x.MassG())
		out = append(out, in)
	}
	return out
}

// written is an amount as the maker wrote it, "" where there is none.
func written(a *quantity.Amount) string {
	if a == nil {
		return ""
	}
	return a.Text
}
