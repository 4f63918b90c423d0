package view

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Blend prints what is in the bottle and, where there was a goal, what to add.
func Blend(p *pen.Page, a *bench.Assessment, plan *bench.Plan) error {
	if p.JSON {
		return p.WriteJSON(blendJSON(a, plan))
	}
	b := &a.Blend
	if len(a.Keep.MustNot) > 0 {
		p.Answer("%s", "Do not drink or keep this.")
		p.Items(a.Keep.MustNot)
		p.Line("")
	}
	if !b.Have() {
		p.Answer("%s", a.Batch.Name+": what is in the bottle cannot be worked out yet.")
		p.Items(b.Missing)
		p.Items(b.Warnings)
		return p.Done()
	}
	if plan != nil {
		if len(a.Keep.MustNot) == 0 {
			solved(p, plan)
		}
		return p.Done()
	}
	r := &b.Result
	p.Answer("%s", blendSentence(p, a))
	p.Note(soFarWords(a, p.Style))
	if a.Recipe.Split {
		p.Note(stillToCome(a))
	}
	p.Line("")
	if d := b.BareABVPercent - r.ABVPercent.Value; d > 0.3 {
		p.Para("Spirit and additions alone would come to %s %% vol; the water that fresh botanicals bring "+
			"and the liquor that the strained solids keep take %s off.", pen.Fixed(b.BareABVPercent, 1),
			pen.Fixed(d, 1))
		p.Line("")
	}
	p.Table([]string{"figure", "value", "90 % range", "most of the doubt"}, blendRows(p, r))
	p.Line("")
	var pairs []pen.Pair
	if len(r.Steps) > 0 {
		stepTable(p, r.Steps)
		p.Line("")
	}
	pairs = append(pairs, pours(p, &b.Portions, a.Drinks(), b.Unpriced)...)
	if word, ratio := r.Parts.Tartness(); r.AcidGPerL.Value > 0 {
		pairs = append(pairs, pen.Pair{"Sweet and sour",
			fmt.Sprintf("%s: %s times as much sugar as acid (our "+
				"own bands: sharp under 10, balanced to 40, flat above)", word, pen.Significant(ratio, 2))})
	}
	if rinse, ok := a.Blend.Rinse(a.Recipe); ok {
		pairs = append(pairs, pen.Pair{"From the marc",
			fmt.Sprintf("wash the strained solids with the %s of "+
				"water before it goes in, in two turns: it brings back %s of pure alcohol, %s of what they "+
				"keep; taste the washings first, late bitterness comes too",
				p.Volume(rinse.WaterML), p.Volume(rinse.PureAlcoholML), pen.Percent(rinse.SpiritShare))})
	}
	p.Pairs(pairs)
	p.Items(b.Wanting())
	for _, m := range b.Remarks {
		p.Item("%s", m.Text)
	}
	p.Items(b.Warnings)
	return p.Done()
}

// solved says what to do to reach the goal, and the four figures that come of it.
func solved(p *pen.Page, plan *bench.Plan) {
	q := plan.Done
	var add, less []string
	for _, x := range plan.Add {
		if x.OfG == 0 {
			add = append(add, portion(p.Style, &x))
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
		p.Answer("%s", quantity.Capital(steps)+".")
	} else {
		p.Answer("%s", "Not to be had: "+strings.ToLower(plan.Why[:1])+plan.Why[1:])
		p.Para("Nearest: %s.", steps)
	}
	ph := ""
	if plan.PHKnown {
		ph = ", pH " + pen.Fixed(plan.PH, 1)
	}
	p.Para("It comes to %s at %s %% vol (from %s), %s g/L sugar (from %s), %s g/L acid (from %s)%s.",
		p.Volume(q.VolumeML(20)), pen.Fixed(q.ABVPercent(), 1), pen.Fixed(plan.FromABVPercent, 1),
		pen.Fixed(q.SugarGPerL(), 0), pen.Fixed(plan.FromSugarGPerL, 0), pen.Fixed(q.AcidGPerL(), 1),
		pen.Fixed(plan.FromAcidGPerL, 1), ph)
	if plan.Keeping != "" {
		p.Item("What microbes allow changes: %s.", plan.Keeping)
	}
	for _, m := range plan.Remarks {
		p.Item("%s", m.Text)
	}
}

// portion prints an amount to add: a solid by weight, a liquid by volume with
// the weight beside it.
func portion(p pen.Style, m *mixture.Portion) string {
	if recipe.Weighed(m.Name) {
		return fmt.Sprintf("%s %s", quantity.FormatMass(m.MassG, p.Units), m.Name)
	}
	return fmt.Sprintf("%s %s", p.Volume(m.VolumeML), m.Name)
}

func blendSentence(p *pen.Page, a *bench.Assessment) string {
	r := &a.Blend.Result
	s := fmt.Sprintf("%s: about %s %s, %s g/L sugar", a.Batch.Name, p.Volume(r.VolumeML.Value),
		atStrength(r.ABVPercent), pen.Number(r.SugarGPerL))
	if r.AcidGPerL.Value >= 0.05 {
		s += fmt.Sprintf(", %s g/L acid", pen.Number(r.AcidGPerL))
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
	return at + pen.Number(abv) + " % vol"
}

func blendRows(p *pen.Page, r *mixture.Result) [][]string {
	var rows [][]string
	add := func(name, unit string, f mixture.Range, of mixture.Property) {
		value, d := pen.Rounded(f)
		span := ""
		if math.IsInf(f.High, 1) {
			value = pen.Number(f)
		}
		if d != pen.NoRange {
			if of == mixture.Acidity {
				d = max(d, 1) // a whole unit of pH is tenfold
			}
			value, span = pen.Fixed(f.Value, d), pen.Fixed(f.Low, d)+" to "+pen.Fixed(f.High, d)
		}
		switch {
		case unit == "ml" && p.Units == quantity.US:
			if value = p.Volume(f.Value); f.High > f.Low {
				span = p.Say("%.4f to %.4f~ml", f.Low, f.High)
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
		rows = append(rows, []string{"water activity", "at most " + pen.Fixed(r.WaterActivity.High, 2), "",
			""})
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

func stepTable(p *pen.Page, steps []mixture.Step) {
	p.Table([]string{"step", "volume", "strength", "sugar", "what was done"},
		pen.Each(steps, func(s *mixture.Step) []string {
			return []string{s.Name, p.Volume(s.VolumeML), pen.Fixed(s.ABVPercent, 1) + " %",
				pen.Fixed(s.SugarGPerL, 0) +
					" g/L", s.What}
		}))
}

func blendJSON(a *bench.Assessment, plan *bench.Plan) pen.Object {
	b, r := &a.Blend, &a.Blend.Result
	out := pen.Object{pen.As("batch", a.Batch.Name)}
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
		out = append(out, pen.As(f.name, pen.Where(known, f.r.Value)))
		if !known {
			continue
		}
		ranges[f.name] = f.r
		if of := r.Causes[f.of]; len(of) > 0 {
			causes[f.name] = of
		}
	}
	out = append(out, pen.As("abv_percent_without_botanicals", pen.Some(b.BareABVPercent)),
		pen.As("so_far", soFarJSON(a)), pen.As("to_come", pen.Each(a.Recipe.ToCome, toComeJSON)))
	out = append(out, portionsJSON(&b.Portions, pen.Where(b.Have(), b.EthanolG/drinkUSG), b.Unpriced)...)
	out = append(out, pen.Object{
		pen.As("ranges", ranges),
		pen.As("causes", causes),
		pen.As("steps", r.Steps),
		pen.As("missing", b.Wanting()),
		pen.As("remarks", b.Remarks),
		pen.As("warnings", b.Warnings),
	}...)
	if plan == nil {
		return out
	}
	return append(out, planJSON(plan)...)
}

func planJSON(p *bench.Plan) pen.Object {
	var add []mixture.Portion
	var less []pen.Object
	for _, x := range p.Add {
		if x.OfG > 0 { // what is left out of OfG that were still to go in
			less = append(less, pen.Pick(x, written[reflect.TypeOf(x)]+" of_g"))
		} else {
			add = append(add, x)
		}
	}
	return pen.Object{
		pen.As("add", add),
		pen.As("less", less),
		pen.As("reached", p.Reached),
		pen.As("why", p.Why),
		pen.As("then", pen.Object{
			pen.As("volume_ml", p.Parts.VolumeML(20)),
			pen.As("abv_percent", p.Parts.ABVPercent()),
			pen.As("sugar_g_per_l", p.Parts.SugarGPerL()),
			pen.As("acid_g_per_l", p.Parts.AcidGPerL()),
			pen.As("ph", pen.Where(p.PHKnown, p.PH)),
		}),
	}
}
