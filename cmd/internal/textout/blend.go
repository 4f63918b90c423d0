package textout

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Blend prints what is in the bottle and, where there was a goal, what to add.
func Blend(p *Page, a *bench.Assessment, plan *bench.Plan) error {
	if p.JSON {
		return p.json(blendJSON(a, plan))
	}
	b := &a.Blend
	if len(a.Keep.MustNot) > 0 {
		p.answer("%s", "Do not drink or keep this.")
		p.items(a.Keep.MustNot)
		p.line("")
	}
	if !b.Have() {
		p.answer("%s", a.Batch.Name+": what is in the bottle cannot be worked out yet.")
		p.items(b.Missing)
		p.items(b.Warnings)
		return p.done()
	}
	if plan != nil {
		if len(a.Keep.MustNot) == 0 {
			solved(p, plan)
		}
		return p.done()
	}
	r := &b.Result
	p.answer("%s", blendSentence(p, a))
	p.line("")
	if d := b.BareABVPercent - r.ABVPercent.Value; d > 0.3 {
		p.para("Spirit and additions alone would come to %s %% vol; the water that fresh botanicals bring "+
			"and the liquor that the strained solids keep take %s off.", fixed(b.BareABVPercent, 1),
			fixed(d, 1))
		p.line("")
	}
	p.table([]string{"figure", "value", "90 % range", "most of the doubt"}, blendRows(p, r))
	p.line("")
	var pairs []pair
	if len(r.Steps) > 0 {
		stepTable(p, r.Steps)
		p.line("")
	}
	pairs = append(pairs, pours(p, &b.Portions, a.Drinks(), b.Unpriced)...)
	if word, ratio := r.Parts.Tartness(); r.AcidGPerL.Value > 0 {
		pairs = append(pairs, pair{"Sweet and sour", fmt.Sprintf("%s: %s times as much sugar as acid (our "+
			"own bands: sharp under 10, balanced to 40, flat above)", word, significant(ratio, 2))})
	}
	if rinse, ok := a.Rinse(); ok {
		pairs = append(pairs, pair{"From the marc", fmt.Sprintf("wash the strained solids with the %s of "+
			"water before it goes in, in two turns: it brings back %s of pure alcohol, %s of what they "+
			"keep; taste the washings first, late bitterness comes too",
			p.volume(rinse.WaterML), p.volume(rinse.PureAlcoholML), percent(rinse.SpiritShare))})
	}
	p.pairs(pairs)
	p.items(b.Wanting())
	for _, m := range b.Remarks {
		p.item("%s", m.Text)
	}
	p.items(b.Warnings)
	return p.done()
}

// solved says what to do to reach the goal, and the four figures that come of it.
func solved(p *Page, plan *bench.Plan) {
	q := plan.Done
	var add, less []string
	for _, x := range plan.Add {
		if x.OfG == 0 {
			add = append(add, portion(p, &x))
		}
	}
	for _, x := range plan.Less {
		if x.Use == "" {
			less = append(less, fmt.Sprintf("leave out the %s (%s)", x.Name, x.Was))
		} else {
			less = append(less, fmt.Sprintf("use %s of %s instead of %s", x.Use, x.Name, x.Was))
		}
	}
	var do []string
	if len(add) > 0 {
		do = append(do, "add "+quantity.And(add))
	}
	steps := strings.Join(append(do, less...), "; ")
	if steps == "" {
		steps = "nothing to do"
	}
	if plan.Reached {
		p.answer("%s", capital(steps)+".")
	} else {
		p.answer("%s", "Not to be had: "+strings.ToLower(plan.Why[:1])+plan.Why[1:])
		p.para("Nearest: %s.", steps)
	}
	ph := ""
	if plan.PHKnown {
		ph = ", pH " + fixed(plan.PH, 1)
	}
	p.para("It comes to %s at %s %% vol (from %s), %s g/L sugar (from %s), %s g/L acid (from %s)%s.",
		p.volume(q.VolumeML(20)), fixed(q.ABVPercent(), 1), fixed(plan.FromABVPercent, 1),
		fixed(q.SugarGPerL(), 0), fixed(plan.FromSugarGPerL, 0), fixed(q.AcidGPerL(), 1),
		fixed(plan.FromAcidGPerL, 1), ph)
	if plan.Keeping != "" {
		p.item("What microbes allow changes: %s.", plan.Keeping)
	}
	for _, m := range plan.Remarks {
		p.item("%s", m.Text)
	}
}

// portion prints an amount to add: a solid by weight, a liquid by volume with
// the weight beside it.
func portion(p *Page, m *mixture.Portion) string {
	if bench.Weighed(m.Name) {
		return fmt.Sprintf("%s %s", quantity.FormatMass(m.MassG, p.Units), m.Name)
	}
	return fmt.Sprintf("%s %s", p.volume(m.VolumeML), m.Name)
}

func blendSentence(p *Page, a *bench.Assessment) string {
	r := &a.Blend.Result
	s := fmt.Sprintf("%s: about %s %s, %s g/L sugar", a.Batch.Name, p.volume(r.VolumeML.Value),
		atStrength(r.ABVPercent), number(r.SugarGPerL))
	if r.AcidGPerL.Value >= 0.05 {
		s += fmt.Sprintf(", %s g/L acid", number(r.AcidGPerL))
	}
	if len(a.Blend.Absent) > 0 {
		s += ", without what has no amount yet"
	}
	return s + "."
}

// atStrength says "at 30 % vol", or "of at least 30 % vol" where more may be in it.
func atStrength(abv mixture.Range) string {
	at := "at "
	if math.IsInf(abv.High, 1) {
		at = "of "
	}
	return at + number(abv) + " % vol"
}

func blendRows(p *Page, r *mixture.Result) [][]string {
	var rows [][]string
	add := func(name, unit string, f mixture.Range, of mixture.Property) {
		value, d := rounded(f)
		span := ""
		if math.IsInf(f.High, 1) {
			value = number(f)
		}
		if d != noRange {
			if of == mixture.Acidity {
				d = max(d, 1) // a whole unit of pH is tenfold
			}
			value, span = fixed(f.Value, d), fixed(f.Low, d)+" to "+fixed(f.High, d)
		}
		switch {
		case unit == "ml" && p.Units == quantity.US:
			if value = p.volume(f.Value); f.High > f.Low {
				span = p.say("%.4f to %.4f~ml", f.Low, f.High)
			}
		case unit != "":
			value += " " + unit
		}
		rows = append(rows, []string{name, value, span, doubt(r.Causes[of])})
	}
	add("volume", "ml", r.VolumeML, mixture.Volume)
	add("alcohol", "% vol", r.ABVPercent, mixture.ABV)
	add("sugar", "g/L", r.SugarGPerL, mixture.Sugar)
	add("acid, as citric", "g/L", r.AcidGPerL, mixture.Acid)
	if r.PHKnown {
		add("pH", "", r.PH, mixture.Acidity)
	} else {
		rows = append(rows, []string{"pH", "not known", "", "nothing here says how sour it is: measure it"})
	}
	add("dissolved solids", "g/100 g (Brix)", r.Brix, mixture.Solids)
	if math.IsInf(r.ABVPercent.High, 1) {
		rows = append(rows, []string{"water activity", "at most " + fixed(r.WaterActivity.High, 2), "", ""})
	} else {
		add("water activity", "", r.WaterActivity, mixture.WaterActivity)
		add("density", "kg/m³", r.DensityKgPerM3, mixture.Density)
	}
	add("lost on the way", "ml", r.LossML, mixture.Loss)
	return rows
}

// doubt names the largest cause of a figure's range and what would lessen it.
func doubt(causes []mixture.Share) string {
	if len(causes) == 0 || causes[0].Fraction < 0.2 {
		return ""
	}
	s := causes[0].Cause
	if causes[0].Cure != "" {
		s += ": " + causes[0].Cure
	}
	return s
}

func stepTable(p *Page, steps []mixture.Step) {
	p.table([]string{"step", "volume", "strength", "sugar", "what was done"},
		each(steps, func(s *mixture.Step) []string {
			return []string{s.Name, p.volume(s.VolumeML), fixed(s.ABVPercent, 1) + " %",
				fixed(s.SugarGPerL, 0) +
					" g/L", s.What}
		}))
}

// volume prints a volume in the maker's units.
func (p *Page) volume(ml float64) string { return quantity.FormatVolume(ml, p.Units) }

func blendJSON(a *bench.Assessment, plan *bench.Plan) object {
	b, r := &a.Blend, &a.Blend.Result
	out := object{{"batch", a.Batch.Name}}
	ranges, causes := map[string]mixture.Range{}, map[string][]mixture.Share{}
	for _, f := range []struct {
		name string
		r    mixture.Range
		of   mixture.Property
	}{
		{"volume_ml", r.VolumeML, mixture.Volume},
		{"abv_percent", r.ABVPercent, mixture.ABV},
		{"sugar_g_per_l", r.SugarGPerL, mixture.Sugar},
		{"acid_g_per_l", r.AcidGPerL, mixture.Acid},
		{"brix", r.Brix, mixture.Solids},
		{"ph", r.PH, mixture.Acidity},
		{"water_activity", r.WaterActivity, mixture.WaterActivity},
		{"density_kg_per_m3", r.DensityKgPerM3, mixture.Density},
		{"loss_ml", r.LossML, mixture.Loss},
	} {
		known := b.Have() && (f.of != mixture.Acidity || r.PHKnown)
		out = append(out, field{f.name, where(known, f.r.Value)})
		if !known {
			continue
		}
		ranges[f.name] = f.r
		if of := r.Causes[f.of]; len(of) > 0 {
			causes[f.name] = of
		}
	}
	out = append(out, field{"abv_percent_without_botanicals", some(b.BareABVPercent)})
	out = append(out, portionsJSON(&b.Portions, where(b.Have(), b.EthanolG/drinkUSG), b.Unpriced)...)
	out = append(out, object{
		{"ranges", ranges},
		{"causes", causes},
		{"steps", r.Steps},
		{"missing", b.Wanting()},
		{"remarks", b.Remarks},
		{"warnings", b.Warnings},
	}...)
	if plan == nil {
		return out
	}
	return append(out, planJSON(plan)...)
}

func planJSON(p *bench.Plan) object {
	var add []mixture.Portion
	var less []object
	for _, x := range p.Add {
		if x.OfG > 0 { // what is left out of OfG that were still to go in
			less = append(less, pick(x, written[reflect.TypeOf(x)]+" of_g"))
		} else {
			add = append(add, x)
		}
	}
	return object{
		{"add", add},
		{"less", less},
		{"reached", p.Reached},
		{"why", p.Why},
		{"then", object{
			{"volume_ml", p.Parts.VolumeML(20)},
			{"abv_percent", p.Parts.ABVPercent()},
			{"sugar_g_per_l", p.Parts.SugarGPerL()},
			{"acid_g_per_l", p.Parts.AcidGPerL()},
			{"ph", where(p.PHKnown, p.PH)},
		}},
	}
}
