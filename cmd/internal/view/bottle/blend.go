package bottle

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/solve"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// BlendScreen is what is in the bottle or, with a plan, what to add for what is wanted.
func BlendScreen(a *bench.Assessment, plan *solve.Correction, style pen.Style) pen.Screen {
	b := &a.Blend
	s := Begin(a)
	s.Danger = append(s.Danger, lackWords(a, style)...)
	switch {
	case !b.Have():
		s.Say = append(s.Say, a.Batch.Name+": what is in the bottle cannot be worked out yet.")
		s.Notes = slices.Concat(b.Missing, b.Warnings)
		return s.Said(style.Units)
	case plan != nil && (a.Keep.Stop == keeping.Never || a.Keep.Stop == keeping.Ask):
		return s.Said(style.Units)
	case plan != nil:
		return solved(s, a, plan, style).Said(style.Units)
	}
	r := &b.Result
	s.Say = append(append(s.Say, blendSentence(a, style)), OnCurds(a)...)
	if text := perBottle(&b.Portions, Filled(a), b.Unpriced, style); text != "" {
		s.Say = append(s.Say, text)
	}
	if text := SoFar(a, style); text != "" {
		s.Say = append(s.Say, text, StillToCome(a))
	}
	s.Head = []string{"", "", "range", "to be surer"}
	said := map[string]string{}
	for _, f := range []struct {
		name, unit string
		r          mixture.Range
		of         mixture.Property
	}{{"alcohol", "% vol", r.ABVPercent, mixture.ABV}, {"sugar", "g/L", r.SugarGPerL, mixture.Sugar},
		{"acid", "g/L", r.AcidGPerL, mixture.Acid}, {"pH", "", r.PH, mixture.Acidity}} {
		switch {
		case f.of == mixture.Acidity && !r.PHKnown:
			s.Rows = append(s.Rows, []string{"pH", "not known", "",
				"measure it: nothing here says how sour it is"})
		case f.r.Value > 0 || f.r.High > 0:
			value, span := ranged(f.r, f.unit, f.of)
			cure := surer(r.Causes[f.of])
			if as := said[cure]; as != "" {
				cure = "as for " + as
			} else if cure != "" {
				said[cure] = f.name
			}
			s.Rows = append(s.Rows, []string{f.name, value, span, cure})
		}
	}
	if text := TooMuch(a, style); text != "" {
		s.Notes = append(s.Notes, text)
	}
	if ml, n := a.TastedML(); n > 0 {
		do := ""
		if r.Alone {
			do = ": measure what you strain off"
		}
		s.Notes = append(s.Notes, fmt.Sprintf("The %s took at least %s of the jar, which is not taken off%s.",
			quantity.Counted(n, "tasting", "tastings"), style.Volume(ml), do))
	}
	s.Notes = slices.Concat(s.Notes, b.Wanting(), b.Warnings)
	if text := Unlogged(a, style); text != "" && !r.MayLack {
		s.Notes = append(s.Notes, text)
	}
	for _, m := range b.Remarks {
		s.Notes = append(s.Notes, firstSentence(m.Text))
	}
	return s.Said(style.Units)
}

// Blend prints what is in the bottle and, where there was a goal, what to add; with why
// also every figure, every step, and what is poured.
func Blend(p *pen.Page, a *bench.Assessment, plan *solve.Correction, why bool) error {
	if p.JSON {
		return p.WriteJSON(BlendJSON(a, plan))
	}
	s := BlendScreen(a, plan, p.Style)
	if !why {
		p.Screen(s, pen.OfScreen)
		return p.Done()
	}
	b, r := &a.Blend, &a.Blend.Result
	if !b.Have() || plan != nil {
		p.Screen(s, pen.Whole)
		return p.Done()
	}
	s.Head, s.Rows = nil, nil // in full below
	s.Notes = s.Notes[:len(s.Notes)-len(b.Remarks)]
	p.Screen(s, pen.Whole)
	p.Line("")
	p.Table([]string{"figure", "value", "range", "what makes it unsure"}, blendRows(p, r))
	p.Line("")
	if d := b.BareABVPercent - r.ABVPercent.Value; d > 0.3 {
		p.Para("Spirit and additions alone would come to %s %% vol; the water that fresh botanicals bring "+
			"and the liquor that the strained solids keep take off %s points.", pen.Fixed(b.BareABVPercent, 1),
			pen.Fixed(d, 1))
		p.Line("")
	}
	var pairs []pen.Pair
	if len(r.Steps) > 0 {
		StepTable(p, r.Steps)
		p.Line("")
	}
	pairs = append(pairs, Pours(p, &b.Portions, Filled(a), a.Drinks(), b.Unpriced)...)
	if word, ratio := r.Parts.Tartness(); r.AcidGPerL.Value > 0 {
		pairs = append(pairs, pen.Pair{"Sweet and sour",
			fmt.Sprintf("%s: %s times as much sugar as acid (our own bands: sharp under 10, balanced to 40, flat above)",
				word, pen.Significant(ratio, 2))})
	}
	p.Pairs(append(pairs, pen.Pair{"Ranges", "hold nine times in ten"}))
	for _, m := range b.Remarks {
		p.Item("%s", m.Text)
	}
	return p.Done()
}

// solved says what to do to reach the goal, and the four figures that come of it, below what
// is to be minded of the drink as it is and as it would be.
func solved(s pen.Screen, a *bench.Assessment, plan *solve.Correction, style pen.Style) pen.Screen {
	for i, text := range newDangers(a, plan.Then) {
		if i == 0 {
			text = "Done as told: " + lowered(text)
		}
		s.Danger = append(s.Danger, text)
	}
	q := plan.Done
	var add, less []string
	for _, x := range plan.Add {
		if x.OfG == 0 {
			add = append(add, portion(style, &x))
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
		s.Say = append(s.Say, quantity.Capital(steps)+".")
	} else {
		s.Say = append(s.Say, "It cannot be had: "+lowered(plan.Why), "Nearest: "+steps+".")
	}
	var thin []string
	for i := range plan.Thinner {
		x, wanted := &plan.Thinner[i], ""
		if x.Wanted != nil {
			wanted = fmt.Sprintf(" (%s wanted)", pen.Trim(*x.Wanted))
		}
		thin = append(thin, fmt.Sprintf("%s from %s to about %s%s", x.Name, pen.Score(x.From), pen.Score(x.To), wanted))
	}
	if len(thin) > 0 {
		s.Say = append(s.Say, "That thins what is tasted in the bottle: "+quantity.And(thin)+".")
	}
	row := func(name, now, was string) { s.Rows = append(s.Rows, []string{name, now, was}) }
	s.Head = []string{"", "then", "now"}
	row("volume", style.Volume(q.VolumeML(20)), "")
	row("alcohol", pen.Fixed(q.ABVPercent(), 1)+" % vol", pen.Fixed(plan.FromABVPercent, 1))
	row("sugar", pen.Fixed(q.SugarGPerL(), 0)+" g/L", pen.Fixed(plan.FromSugarGPerL, 0))
	row("acid", pen.Fixed(q.AcidGPerL(), 1)+" g/L", pen.Fixed(plan.FromAcidGPerL, 1))
	if plan.OfML > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("For the %s that is not bottled.", style.Volume(plan.OfML)))
	}
	if plan.PHKnown {
		row("pH", pen.Fixed(plan.PH, 1), pen.Fixed(plan.FromPH, 1))
	}
	if plan.Keeping != "" {
		s.Notes = append(s.Notes, "How long it keeps changes: "+plan.Keeping+".")
	}
	for _, m := range plan.Remarks {
		s.Notes = append(s.Notes, m.Text)
	}
	return s
}

// portion prints an amount to add: a solid by weight, a liquid by volume with
// the weight beside it.
func portion(p pen.Style, m *mixture.Portion) string {
	if recipe.Weighed(m.Name) {
		return fmt.Sprintf("%s %s", quantity.FormatMass(m.MassG, p.Units), m.Name)
	}
	return fmt.Sprintf("%s %s", p.Volume(m.VolumeML), m.Name)
}

// blendSentence is what is in the bottle, as one would say it.
func blendSentence(a *bench.Assessment, style pen.Style) string {
	r := &a.Blend.Result
	s := fmt.Sprintf("%s: %s %s, %s", a.Batch.Name, style.Volume(r.VolumeML.Value), AtStrength(&a.Blend),
		tasteWords(&a.Blend))
	if len(a.Blend.Absent) > 0 {
		s += ", without what has no amount yet"
	}
	return s + "."
}

// tasteWords is how sweet and sour it is, in words.
func tasteWords(b *recipe.Blend) string {
	word, _ := b.Result.Parts.Tartness()
	switch {
	case b.Strange():
		return "how sweet and sour is not known"
	case b.Ferments():
		return "less sweet the longer it ferments"
	case word == "flat" && !b.Result.PHKnown:
		return "sweet"
	case word == "flat":
		return "sweet, hardly sour"
	case word == "balanced":
		return "sweet and sour in balance"
	case word == "sharp":
		return "more sour than sweet"
	}
	return "not sweet"
}

// AtStrength says "at 30 % vol", or "at 30 to 45 % vol" where nobody knows what is in it.
func AtStrength(b *recipe.Blend) string { return "at " + Told(b, b.Result.ABVPercent) + " % vol" }

// Told is a figure of a blend, or where nobody knows what is in it by now all that it may be.
func Told(b *recipe.Blend, r mixture.Range) string {
	text, decimals := pen.Rounded(r)
	if (b.Strange() || b.Ferments()) && decimals != pen.NoRange {
		return pen.Fixed(r.Low, decimals) + " to " + pen.Fixed(r.High, decimals)
	}
	return text
}

// ranged prints a figure, and the range that holds nine times in ten; no range where it
// is exact.
func ranged(f mixture.Range, unit string, of mixture.Property) (value, span string) {
	value, d := pen.Rounded(f)
	if d != pen.NoRange {
		if of == mixture.Acidity {
			d = max(d, 1) // a whole unit of pH is tenfold
		}
		value, span = pen.Fixed(f.Value, d), pen.Fixed(f.Low, d)+" to "+pen.Fixed(f.High, d)
	}
	if unit != "" {
		value += " " + unit
	}
	return value, span
}

func blendRows(p *pen.Page, r *mixture.Result) [][]string {
	var rows [][]string
	add := func(name, unit string, f mixture.Range, of mixture.Property) {
		value, span := ranged(f, unit, of)
		if unit == "ml" && p.Units == quantity.US {
			if value = p.Volume(f.Value); f.High > f.Low {
				span = p.Say("%.4f to %.4f~ml", f.Low, f.High)
			}
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
	add("dissolved (Brix)", "g/100 g", r.Brix, mixture.Solids)
	add("water activity", "", r.WaterActivity, mixture.WaterActivity)
	add("density", "kg/m³", r.DensityKgPerM3, mixture.Density)
	add("lost on the way", "ml", r.LossML, mixture.Loss)
	return rows
}

// surer is what would lessen the range of a figure most, else what makes it unsure.
func surer(causes []mixture.Share) string {
	switch {
	case len(causes) == 0 || causes[0].Fraction < 0.2:
		return ""
	case causes[0].Cure != "":
		return causes[0].Cure
	}
	return "depends on " + causes[0].Cause
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

// StepTable prints the steps of a blend with what came of each.
func StepTable(p *pen.Page, steps []mixture.Step) {
	p.Table([]string{"step", "volume", "strength", "sugar", "what was done"},
		pen.Each(steps, func(s *mixture.Step) []string {
			return []string{s.Name, p.Volume(s.VolumeML), pen.Fixed(s.ABVPercent, 1) + " %",
				pen.Fixed(s.SugarGPerL, 0) +
					" g/L", s.What}
		}))
}

// BlendJSON is what is in the bottle and, with a plan, what to add.
func BlendJSON(a *bench.Assessment, plan *solve.Correction) pen.Object {
	b, r := &a.Blend, &a.Blend.Result
	out := pen.Object{pen.As("batch", a.Batch.Name), pen.As("danger", CanHurt(a))}
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
		pen.As("so_far", SoFarJSON(a)), pen.As("to_come", pen.Each(a.Recipe.ToCome, ToComeJSON)))
	out = append(out, PortionsJSON(&b.Portions, Filled(a),
		pen.Where(b.Have(), b.EthanolG/DrinkUSG), b.Unpriced)...)
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
	return append(out, planJSON(a, plan)...)
}

func planJSON(a *bench.Assessment, p *solve.Correction) pen.Object {
	var add []mixture.Portion
	var less []pen.Object
	for _, x := range p.Add {
		if x.OfG > 0 { // what is left out of OfG that were still to go in
			less = append(less, pen.Pick(x, view.Written[reflect.TypeOf(x)]+" of_g"))
		} else {
			add = append(add, x)
		}
	}
	return pen.Object{
		pen.As("add", add),
		pen.As("less", less),
		pen.As("of_ml", pen.Some(p.OfML)),
		pen.As("thinner", pen.Each(p.Thinner, func(x *solve.Thinner) pen.Object {
			return pen.Object{pen.As("name", x.Name), pen.As("bottle_now", x.From), pen.As("bottle_then", x.To),
				pen.As("target", pen.Some(x.Wanted))}
		})),
		pen.As("reached", p.Reached),
		pen.As("why", p.Why),
		pen.As("then", pen.Object{
			pen.As("volume_ml", p.Parts.VolumeML(20)),
			pen.As("abv_percent", p.Parts.ABVPercent()),
			pen.As("sugar_g_per_l", p.Parts.SugarGPerL()),
			pen.As("acid_g_per_l", p.Parts.AcidGPerL()),
			pen.As("ph", pen.Where(p.PHKnown, p.PH)),
			pen.As("danger", newDangers(a, p.Then)),
		}),
	}
}
