package bench

import (
	"steepbook/data/library"
	"steepbook/kinetics/leastsq"
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

// LeastSquares is the plain first-order curve through the tastings of a flavour, at
// bottle strength and with equal weights: what a spreadsheet gives, and what nothing
// rests on. The errors are those of leastsq.FirstOrder.
func (c *Curve) LeastSquares() (leastsq.Fit, error) {
	var hours, scores []float64
	for _, r := range c.Points {
		if !r.AtLeast {
			hours, scores = append(hours, r.Hours-c.InH), append(scores, r.Score)
		}
	}
	return leastsq.FirstOrder(hours, scores)
}

// Inputs lists what went in, in the order of the file, for showing the working.
func (a *Assessment) Inputs() []Input {
	p := a.parts
	var out []Input
	for i := range p.bases {
		b := &p.bases[i]
		in := Input{Stage: "base", Name: b.base.Name, How: "volume at 20~°C and strength by the ethanol-water density table", Source: "OIML R 22"}
		if b.entry.Amount != nil {
			in.Written = b.entry.Amount.Text
		}
		if b.missing != "" {
			in.How = b.missing
		} else if parts, err := mixture.FromVolume(b.base.VolumeML.Value, b.base.ABVPercent.Value, b.base.PerLitre); err == nil {
			in.Parts = parts
		}
		out = append(out, in)
	}
	for i := range p.botanicals {
		h := &p.botanicals[i]
		in := Input{Stage: "steeped", Name: h.entry.Name}
		if h.entry.Amount != nil {
			in.Written = h.entry.Amount.Text
		}
		if w := h.weight; w != nil {
			in.How, in.Source, in.Grade = w.How, w.Source, w.Grade
			s := solid(a.Batch, h)
			in.Parts = s.PerG.Times(w.G)
			if !s.LeftIn {
				in.KeptML = s.Keeps(pressing(a.Batch).Value) * w.G
			}
		} else {
			in.How = "no weight known: left out"
		}
		out = append(out, in)
	}
	for i := range p.additions {
		x := &p.additions[i]
		in := Input{Stage: "added", Name: x.entry.Name}
		if x.entry.Amount != nil {
			in.Written = x.entry.Amount.Text
		}
		switch {
		case x.missing != "" || x.unread != "":
			in.How = x.missing + x.unread
		case x.ingredient != nil:
			if w, err := x.ingredient.Grams(*x.entry.Amount); err == nil {
				in.How, in.Source, in.Grade = w.How, w.Source, w.Grade
			}
			in.Composition = x.ingredient.Per100G.Source
		default:
			in.How, in.Source = "volume at 20~°C and strength by the ethanol-water density table", "OIML R 22"
		}
		in.Parts = x.addition.PerG.Times(x.massG)
		out = append(out, in)
	}
	return out
}
