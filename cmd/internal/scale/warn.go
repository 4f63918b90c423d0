package scale

import (
	"fmt"
	"math"
	"strings"

	"steepbook/data/library"
	"steepbook/data/quantity"
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
	from, to := &s.plan.Blend, &s.Blend
	if s.GaveShare != 1 {
		add("the old batch was measured to give %.0f %% of what its recipe comes to; the same is expected "+
			"of this one, so measure it too: by its recipe alone blend says %s", 100*s.GaveShare,
			quantity.FormatVolume(to.Result.VolumeML.Value, s.From.Batch.Units))
	}
	if from.Have() && to.Have() {
		label := library.Builtin().Constant(library.LabelToleranceABV).Value
		if a, b := from.Result.ABVPercent.Value, to.Result.ABVPercent.Value; math.Abs(a-b) >= label {
			add("the rounding moves the strength from %.1f to %.1f %% vol", a, b)
		}
		if a, b := from.Result.SugarGPerL.Value, to.Result.SugarGPerL.Value; math.Abs(a-b) >= max(3, 0.02*a) {
			add("the rounding moves the sugar from %.0f to %.0f g/L", a, b)
		}
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
