package shelf

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/shelf/growth"
)

// Limits of the decision procedure. All are compared with worst-case figures.
// They are ours, set beyond the published growth named beside them; none is a
// published process limit.
const (
	// gateABV stops the pathogens whose limit was read: Staphylococcus aureus
	// 10 % by mass (12.4 % vol; Huang, Weng and Chiou 2001), Escherichia coli
	// 7.5 (9.4), Clostridium botulinum group I 6 (7.5; Daifas et al. 2003),
	// Salmonella and Listeria 10 % vol in fruit (Acharya and Nummer 2022).
	gateABV = 13.0
	// gateRichABV is asked of egg, milk, nut milk, oil and fresh low-acid
	// plants instead: what the tests above used was poorer.
	gateRichABV = 15.0
	// gatePH: Salmonella grew in alcohol-free beer at 4.2 and not at 3.8-4.0
	// (Menz et al. 2011; J. Inst. Brewing 130(4)); the Food Code asks for less
	// than 4.2.
	gatePH = 4.0
	// gateAw: the lowest limit of Staphylococcus aureus (ICMSF 1996).
	gateAw = 0.83
	// togetherAw and togetherABV hold where neither does alone. Below 0.88 the
	// Food Code (1-201.10(B), Table B) asks for no temperature control at any
	// pH; Staphylococcus aureus, which alone grows drier, stops at 10 % by mass
	// of ethanol, 12.4 % vol (Huang, Weng and Chiou 2001).
	togetherAw, togetherABV = 0.88, 12.5
	// ambientABV is one point above the highest strength claimed for any
	// lactic acid bacterium (25, Nada sake research society).
	ambientABV = 26.0
	// strongABV keeps only with acid or with nothing to feed on: lactobacilli
	// grew at 23 % vol in rice wine (Luo et al. 2021).
	strongABV, strongPH = 22.0, 3.5
	// sporePH is the pH up to which no spore of Clostridium botulinum grows out (FDA Food Code
	// 1-201.10(B), Table A): no heat of a kitchen kills those.
	sporePH = 4.6
	// dryAw: no growth of anything below it is listed (Banwart 1989).
	dryAw = 0.60
)

// Lines that are drawn elsewhere too.
const (
	// HoldsABVPercent is the strength [% vol] from which a jar holds back what makes
	// people ill, whatever lies in it.
	HoldsABVPercent = gateRichABV
	// WeakSteepH is how long [h] egg, milk, nuts or fresh low-acid plants may lie
	// in a jar that does not hold pathogens, out of the cold.
	WeakSteepH = 4.0
	// NeatABV is the strength, % vol, above which nobody drinks it as it is. Judgement: the strongest
	// spirits of the trade that are drunk at all are sold below it.
	NeatABV = 70.0
	// Noticed is the share that is left of a quality when its change is noticed: the clocks count a
	// quarter lost.
	Noticed = 0.75
)

// coldJarC is a jar that stands cold, °C (FDA Food Code 3-501.16: 41 °F).
const coldJarC = 5.0

// WeakSteepMostH is WeakSteepH of a jar at a temperature [°C]: in the cold as long as a
// bottle of it would keep.
func WeakSteepMostH(celsius float64) float64 {
	if celsius > coldJarC {
		return WeakSteepH
	}
	return 24 * gateFailLife(Bottle{}, findings{}, celsius, false).low
}

// rules are the rows of data/tables/rules.csv by their keys, as reasons without figures.
var rules = sync.OnceValue(func() data.Keyed[Reason] {
	return data.ByKey("rules.csv", func(r data.Row) Reason {
		return Reason{
			Rule: r.Text("rule"), Figure: r.Text("figure"), Unit: r.Text("unit"), Text: r.Text("text"),
			Source: r.Text("source"),
		}
	})
})

// gateResult says which hurdle, if any, keeps pathogens from growing.
type gateResult struct{ abv, acid, aw, together, heated bool }

func (g gateResult) pass() bool { return g.abv || g.acid || g.aw || g.together || g.heated }

// findings is what the rules say of a bottle, whatever the place.
type findings struct {
	gate    gateResult
	tooLate bool // pathogens had their time in the jar
	onShelf bool // a shelf, sealed or opened
	why     string
	reasons []Reason
}

// look goes through every rule.
func look(b Bottle, w worst) findings {
	f := findings{reasons: make([]Reason, 0, 12)}
	f.lookForPathogens(b, w)
	f.lookForShelf(b, w)
	if w.cold || b.Oil || f.tooLate {
		f.onShelf = false
	}
	if f.tooLate {
		f.gate = gateResult{}
	}
	return f
}

// note keeps a rule that was looked at, by its key, and returns whether it holds.
func (f *findings) note(rule string, pass bool, got, limit float64) bool {
	r := rules().At(rule)
	r.Pass, r.WorstCase, r.Limit = pass, got, limit
	f.reasons = append(f.reasons, r)
	return pass
}

// gateABVOf is the strength asked of a bottle against pathogens, % vol.
func gateABVOf(b Bottle, w worst) float64 {
	if w.rich || b.Oil || len(b.FreshLowAcid) > 0 {
		return gateRichABV
	}
	return gateABV
}

// lookForPathogens: one hurdle is enough, unless they had their time before it.
func (f *findings) lookForPathogens(b Bottle, w worst) {
	most := max(b.WeakSteepMostH, WeakSteepH)
	if f.tooLate = b.WeakSteepH > most; f.tooLate {
		f.note("too late", false, b.WeakSteepH, most)
	}
	limit := gateABVOf(b, w)
	if b.Oil {
		f.note("alcohol in oil", false, w.abv, limit)
	} else {
		f.gate.abv = f.note("alcohol", w.abv >= limit-rounding, w.abv, limit)
	}
	switch {
	case b.Oil:
		f.note("acid in oil", false, 0, gatePH)
	case b.Egg || b.RawEgg || b.Dairy || len(b.Unknown) > 0:
		f.note("acid with egg or milk", false, w.pH, gatePH)
	case w.lowAcidLeftIn:
		f.note("acid with pieces left in", false, w.pH, gatePH)
	case !w.pHKnown:
		f.note("acid not known", false, 0, gatePH)
	default:
		f.gate.acid = f.note("acid", w.acid(gatePH), w.pH, gatePH)
	}
	// Dryness of the liquor, and heat, say nothing of the inside of pieces left in.
	if b.Oil || w.lowAcidLeftIn {
		return
	}
	if w.awKnown && !b.RawEgg {
		f.gate.aw = f.note("dry", w.aw < gateAw, w.aw, gateAw)
	}
	if w.awKnown && !w.rich {
		f.gate.together = f.note("dry and strong", w.aw < togetherAw && w.abv >= togetherABV-rounding,
			w.aw, togetherAw)
	}
	if b.Heated && !w.rich {
		rule, got, limit := "heated", w.pH, sporePH
		if !w.acid(sporePH) {
			rule, got, limit = "heated dry", w.aw, pick(w.acid(5.6), 0.92, 0.95)
		}
		f.gate.heated = f.note(rule, heatedGate(w), got, limit)
	}
}

// lookForShelf: does it need the cold at all?
func (f *findings) lookForShelf(b Bottle, w worst) {
	if w.cold {
		f.note("milk or egg", false, 0, 0)
	}
	alone := f.note("strong alone", w.abv >= ambientABV-rounding, w.abv, ambientABV)
	strong := f.note("strong", w.abv >= strongABV-rounding, w.abv, strongABV)
	sourness, food := "sour", "poor"
	if !w.pHKnown {
		sourness = "sour not known"
	}
	if w.nourishing {
		food = "rich"
	}
	sour := f.note(sourness, w.acid(strongPH), w.pH, strongPH)
	poor := f.note(food, !w.nourishing, 0, 0)
	if w.nourishing {
		f.reasons[len(f.reasons)-1].Text += strings.Join(nourishingNames(b), ", ")
	}
	dry := w.awKnown && w.aw <= dryAw+rounding && !b.Oil && !w.lowAcidLeftIn
	if w.awKnown {
		f.note("very dry", dry, w.aw, dryAw)
	}
	switch {
	case alone:
		f.onShelf, f.why = true, "alcohol"
	case strong && sour:
		f.onShelf, f.why = true, "alcohol with acid"
	case strong && poor:
		f.onShelf, f.why = true, "alcohol, with nothing to feed on"
	case dry:
		f.onShelf, f.why = true, "dryness"
	}
}

// heatedGate reads Table A with the worst case; an unknown pH counts as
// neutral.
func heatedGate(w worst) bool {
	pH := 7.0
	if w.pHKnown {
		pH = w.pH
	}
	return growth.NonTCS(w.aw-rounding, pH-rounding)
}

// nourishingNames lists what feeds microbes, in the maker's words.
func nourishingNames(b Bottle) []string {
	var out []string
	for _, n := range slices.Concat(b.Nourishing, b.FreshJuice, b.FreshLowAcid) {
		if n != "" && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	for _, x := range []struct {
		on   bool
		name string
	}{{b.Pulp, "pulp"}, {b.Fruit, "fruit"}, {b.Dairy, "milk"}, {b.Egg || b.RawEgg, "egg"},
		{b.NutMilk, "nut milk"}} {
		if x.on && len(out) == 0 {
			out = append(out, x.name)
		}
	}
	return out
}
