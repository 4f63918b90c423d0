package scale

import (
	"fmt"
	"math"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// warn collects what a maker should know before starting the new batch.
func (s *Scaled) warn() {
	add := func(format string, args ...any) { s.Warnings = append(s.Warnings, fmt.Sprintf(format, args...)) }
	var syringe, unweighed []string
	shows := map[string][]string{} // by what the scale has to show
	for _, r := range s.Amounts {
		if r.New == nil {
			unweighed = append(unweighed, r.Name)
			continue
		}
		scale := ""
		switch v := r.New.Low; {
		case r.New.Unit == "mg" || r.New.Unit == "g" && (v < 1 || math.Abs(10*v-math.Round(10*v)) > 1e-9):
			scale = "0.01 g"
		case r.New.Unit == "g" && v != math.Trunc(v):
			scale = "0.1 g"
		case r.New.Unit == "oz wt" && 8*v != math.Trunc(8*v):
			scale = "0.01 oz wt"
		case r.New.Unit == "ml" && r.New.Low < 10:
			syringe = append(syringe, r.Name)
		}
		if scale != "" {
			shows[scale] = append(shows[scale], r.Name)
		}
		s.warnDose(r, add)
	}
	for _, scale := range []string{"0.1 g", "0.01 g", "0.01 oz wt"} {
		if names := shows[scale]; len(names) > 0 {
			add("%s: weigh on a scale that shows %s", strings.Join(names, ", "), scale)
		}
	}
	if len(syringe) > 0 {
		add("%s: measure with a syringe or a small cylinder", strings.Join(syringe, ", "))
	}
	if len(unweighed) > 0 {
		add("%s: no amount is written, so there is nothing to scale; weigh it this time",
			strings.Join(unweighed, ", "))
	}
	was, plan := &s.From.Blend, &s.plan.Blend
	if v, a, g := differ(was, plan); v || a || g {
		add("the old batch came to %s, where its recipe comes to %s: what was lost, or put in besides, is not expected "+
			"again; where it will be, ask for another size", drink(was, s.From.Batch.Units), drink(plan, s.From.Batch.Units))
	}
	_, stronger, sweeter := differ(plan, &s.Blend)
	if stronger {
		add("the rounding moves the strength from %.1f to %.1f %% vol", plan.Result.ABVPercent.Value,
			s.Blend.Result.ABVPercent.Value)
	}
	if sweeter {
		add("the rounding moves the sugar from %.0f to %.0f g/L", plan.Result.SugarGPerL.Value,
			s.Blend.Result.SugarGPerL.Value)
	}
	if len(s.From.Batch.Botanicals) > 0 && s.Factor != 1 {
		add("steeping times do not change with the size of a batch, but surface and packing do: keep every " +
			"piece as coarse as it was, let the liquid get between them, and move a large jar more often; " +
			"taste as if it were new")
	}
	for _, h := range s.From.Batch.Botanicals {
		if h.Lot != "" {
			add("the lots are copied: correct them where you buy anew")
			break
		}
	}
}

// alike is how near [share] two yields or two sugars are one: about what a marked jug shows. Judgement.
const alike = 0.02

// differ says in what two blends, where both are known, are two drinks.
func differ(a, b *recipe.Blend) (volume, strength, sugar bool) {
	if !a.Have() || !b.Have() {
		return false, false, false
	}
	label := library.Builtin().Constant(library.LabelToleranceABV).Value
	apart := func(x, y mixture.Range, least float64) bool {
		return math.Abs(x.Value-y.Value) >= max(least, alike*x.Value)
	}
	p, q := &a.Result, &b.Result
	return apart(p.VolumeML, q.VolumeML, 0), math.Abs(p.ABVPercent.Value-q.ABVPercent.Value) >= label,
		apart(p.SugarGPerL, q.SugarGPerL, 3)
}

// drink says which drink a blend is.
func drink(b *recipe.Blend, units quantity.System) string {
	said := fmt.Sprintf("%s at %.1f %% vol", quantity.FormatVolume(b.Result.VolumeML.Value, units),
		b.Result.ABVPercent.Value)
	if g := b.Result.SugarGPerL.Value; g >= 1 {
		said += fmt.Sprintf(" with %.0f g/L of sugar", g)
	}
	return said
}

// leastWeighedG is what a kitchen scale shows, in grams. Common practice, no source.
const leastWeighedG = 1

// warnDose speaks of amounts that had to be rounded too far.
func (s *Scaled) warnDose(r Amount, add func(string, ...any)) {
	off := math.Abs(r.Error)
	pieces := r.Part == "botanical" && r.New.Kind == quantity.Count && r.New.Of == "" && r.New.Noun != "fruit"
	if off <= quantity.CloseEnough && !(pieces && off > 0.005) {
		return
	}
	text := fmt.Sprintf("%s: %s is %.0f %% more than the exact amount", r.Name, r.New.Text, 100*off)
	switch {
	case off < 0.01:
		text = fmt.Sprintf("%s: %s is as near as it can be counted", r.Name, r.New.Text)
	case r.Error < 0:
		text = fmt.Sprintf("%s: %s is %.0f %% less than the exact amount", r.Name, r.New.Text, 100*off)
	}
	switch m := r.MeantG; {
	case m != nil && pieces:
		add("%s; the dose goes by mass, so weigh %s if you can", text, gramsText(m.Value))
		add("%s: pieces differ, and so many weigh %s to %s", r.Name, gramsText(m.Low), gramsText(m.High))
	case m != nil:
		add("%s; to be exact weigh %s", text, gramsText(m.Value))
	case pieces:
		add("%s; the dose goes by mass, and how much a piece weighs is not known: weigh what you put in",
			text)
	default:
		add("%s", text)
	}
	if m := r.MeantG; m != nil && m.Value < leastWeighedG {
		add("%s: where no scale shows so little, weigh ten times as much, mix it well and take a tenth", r.Name)
	}
}

// gramsText prints a mass as a fine scale shows it.
func gramsText(g float64) string {
	return strings.ReplaceAll(quantity.FormatMass(g, quantity.Metric), " ", "~")
}
