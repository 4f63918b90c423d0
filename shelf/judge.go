package shelf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/quantity"
	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// Judge says how long the bottle keeps in that place, and which is the least
// strict place where it keeps.
//
// The verdict does not get better by storing a bottle colder than it needs:
// a shelf-stable bottle in a fridge is judged "shelf", with the days of the
// fridge. It is "discard" when the bottle as made must not stand in the place
// asked for, "freezer" when the freezer was asked for and a fridge would give
// only days, and "unknown" when a figure is missing or impossible.
//
// Needs holds only what is missing or impossible; see Bottle.Needs.
func Judge(b Bottle, s Storage) Verdict {
	if err := check(b, s); err != nil {
		return Verdict{Verdict: VerdictUnknown, Confidence: "low", Needs: []string{err.Error()},
			Unopened: Days{Words: "not known"}, Opened: Days{Words: "not known"}, OpenedSound: Days{Words: "not known"}}
	}
	s = s.settled()
	b.Oil = b.Oil || len(b.FatIn) > 0
	w := worstOf(b)
	f := look(b, w)
	closed, model := life(b, w, f, s.Celsius, false)
	open, opened := life(b, w, f, s.Celsius, true)
	sound, still := open, b
	if still.Wine = ""; b.Wine != "" {
		sound, _ = life(still, w, f, s.Celsius, true)
	}
	v := Verdict{
		Place: s.Place, AtC: s.Celsius,
		Reasons:    f.reasons,
		DelleUnits: growth.DelleUnits(b.SugarGPerL.Value, b.ABVPercent.Value),
		Unopened:   closed.days(),
		Opened:     shorter(open, closed).days(), OpenedSound: shorter(sound, closed).days(),
		TooLate: f.tooLate,
		Fails:   !f.gate.pass() && !plainSyrup(b, w),
		Guild:   model.Guild, Rule: model.Rule, OpenedRule: opened.Rule,
		DecidedBy: decide(b, w, f, model, s.Celsius),
		EndedBy:   endedBy(b, f, model),
	}
	warm := s.Celsius > warmestFridgeC
	switch {
	case f.onShelf:
		v.Verdict = VerdictShelf
	case f.tooLate:
		v.Verdict = VerdictDiscard
	case warm && !f.gate.pass() && (w.rich || b.Oil || len(b.FreshLowAcid) > 0):
		v.Verdict = VerdictDiscard
		v.Unopened, v.Opened, v.OpenedSound = span{}.days(), span{}.days(), span{}.days()
	case s.Celsius <= frozenC && !f.gate.pass():
		v.Verdict = VerdictFreezer
	default:
		v.Verdict = VerdictFridge
	}
	v.Edge = edge(b, w, f)
	v.Confidence, v.ConfidenceText = confidence(b, w, f, v.Edge != "")
	v.Warnings = warnings(b, w, f, s)
	v.Cautions = cautions(b, w, f)
	v.Fades = firstToFade(b, s.Celsius)
	v.FlavourText = bestWords(b, v.Fades, v.Unopened.Low)
	return v
}

// Refuse makes it the verdict on what must not be kept anywhere, for no time at all.
func (v *Verdict) Refuse() {
	never := span{}.days()
	v.Verdict, v.Unopened, v.Opened, v.FlavourText, v.EndedBy = VerdictDiscard, never, never, "", ""
}

// hold is one of the figures that keep a drink where it is: how much of it is left at the worst, how far it
// is in doubt, and the loss of it in words.
type hold struct {
	left, doubt, step float64
	text              string
}

// share is how many times the doubt is left.
func (h hold) share() float64 { return h.left / max(h.doubt, rounding) }

// edge says how near a drink is to keeping worse, where that is less than the doubt about a figure that
// holds it: of all ways in which it is held the surest, and of that one the figure that fails first.
func edge(b Bottle, w worst, f findings) string {
	if f.onShelf && f.why == "dryness" || !f.onShelf && plainSyrup(b, w) {
		return ""
	}
	abv := func(limit float64) hold {
		return hold{w.abv - limit, b.ABVPercent.Value - w.abv, 0.1, "%.1f % vol weaker, by water or sugar"}
	}
	pH := func(limit float64) hold {
		if !w.pHKnown {
			return hold{left: -1}
		}
		return hold{limit - w.pH, w.pH - b.PH.Value, 0.01, "%.2f of pH less sour"}
	}
	aw := func(limit float64) hold {
		return hold{limit - w.aw, w.aw - b.WaterActivity.Value, 0.001, "%.3f of water activity more, by water or less sugar"}
	}
	var ways [][]hold
	held, then := f.gate, "it keeps for days only"
	if f.onShelf {
		held, then = gateResult{}, "it needs the fridge"
		sour := pH(strongPH)
		if !w.nourishing {
			sour = abv(strongABV)
		}
		ways = [][]hold{{abv(ambientABV)}, {abv(strongABV), sour}}
	}
	for _, x := range []struct {
		on   bool
		ways [][]hold
	}{
		{held.abv, [][]hold{{abv(gateABVOf(b, w))}}}, {held.acid, [][]hold{{pH(gatePH)}}},
		{held.aw, [][]hold{{aw(gateAw)}}},
		{held.together, [][]hold{{aw(togetherAw), abv(togetherABV)}}},
		{held.heated, [][]hold{{aw(0.92)}, {aw(0.95), pH(5.6)}, {pH(sporePH)}}},
	} {
		if x.on {
			ways = append(ways, x.ways...)
		}
	}
	surest := hold{left: math.Inf(-1)}
	for _, way := range ways {
		first := slices.MinFunc(way, func(x, y hold) int { return cmp.Compare(x.share(), y.share()) })
		if first.share() > surest.share() {
			surest = first
		}
	}
	if len(ways) == 0 || surest.left >= surest.doubt {
		return ""
	}
	return fmt.Sprintf(strings.Replace(surest.text, "% vol", "%% vol", 1)+", and %s",
		max(math.Ceil(surest.left/surest.step-rounding)*surest.step, surest.step), then)
}

// confidence is how far the answer can be trusted, and why; near: it is at an edge. No rate
// was found for any organism from 5 to 26 % vol with sugar and acid, so there it is low.
func confidence(b Bottle, w worst, f findings, near bool) (word, why string) {
	switch {
	case len(b.Doubtful) > 0:
		return "low", "a reading does not go with what went in"
	case len(b.stale()) > 0:
		return "low", "raw juice in it stood for longer than it keeps"
	case f.onShelf && f.why == "alcohol" && !near:
		return "high", "far beyond where anything was seen to grow"
	case f.onShelf:
		return "moderate", "beyond where anything was seen to grow, with little to spare"
	case !f.gate.pass() && !plainSyrup(b, w):
		return "moderate", "the limits are published, the days are the careful end of advice"
	case w.freshJuice && w.abv < weakABV && w.pHKnown:
		return "moderate", "days of raw juice are published"
	}
	return "low", "no days are published for such strength with sugar and acid"
}

// weakABV is the strength, % vol, up to which times of juice without alcohol
// are taken as they are.
const weakABV = 5.0

const lacticName = "lactic acid bacteria (Fructilactobacillus fructivorans and kin)"

// decide names the organism and the hurdle that settle the verdict: for a
// shelf the last one to be held back, otherwise what ends it first.
func decide(b Bottle, w worst, f findings, model spoilage.Life, celsius float64) Decision {
	d := func(organism, hurdle string, margin float64, unit, text string) Decision {
		return Decision{Organism: organism, Hurdle: hurdle, Margin: margin, MarginUnit: unit, Text: text}
	}
	switch {
	case f.onShelf && f.why == "dryness":
		return d("yeasts and moulds of dry food", "water activity", dryAw-w.aw, "aw",
			fmt.Sprintf("below a water activity of %.2f no yeast or mould should grow", dryAw))
	case f.onShelf && w.abv >= ambientABV:
		return d(lacticName, "alcohol", w.abv-ambientABV, "% vol", fmt.Sprintf(
			"from %.0f %% vol on even the hardiest bacteria should not grow", ambientABV))
	case f.onShelf:
		return d(lacticName, f.why, w.abv-strongABV, "% vol", fmt.Sprintf(
			"from %.0f %% vol on, with %s, even the hardiest bacteria should not grow", strongABV, acidOrPoor(w)))
	case !f.gate.pass() && !plainSyrup(b, w):
		return gateDecision(b, w)
	}
	if celsius <= frozenC {
		return d("", "cold", 0, "", "nothing grows while it is frozen")
	}
	// Below the shelf line the days decide, and the distance is that to a shelf.
	limit := ambientABV
	if w.acid(strongPH) || !w.nourishing {
		limit = strongABV
	}
	organism := model.Organism
	if organism == "" {
		organism = lacticName
	}
	text := fmt.Sprintf("%s end it first%s; a shelf asks for %.0f %% vol at the worst", organism,
		boundWords(model.Rule), limit)
	return d(organism, "alcohol", w.abv-limit, "% vol", text)
}

// boundWords says which published time comes sooner than the guilds.
func boundWords(rule string) string {
	switch rule {
	case "":
		return ""
	case "juice":
		return ", no later than raw juice of that sweetness and strength"
	case "heated":
		return ", no later than heated juice of that sweetness and strength"
	case string(spoilage.TableWine), string(spoilage.FortifiedWine):
		return ", after the air that spoils an opened wine"
	}
	return ", though not within the longest trials that were read"
}

// atWorst says how weak the drink may be, where that decides and its usual
// figure does not show it.
func atWorst(b Bottle, w worst) string {
	if b.ABVPercent.Value <= 0 || w.abv >= b.ABVPercent.Value {
		return ""
	}
	return fmt.Sprintf(" (at the worst this is %.1f)", math.Floor(w.abv*10)/10)
}

func acidOrPoor(w worst) string {
	if w.nourishing {
		return "that acid"
	}
	return "nothing to feed on"
}

// gateDecision names the pathogen for a drink that no hurdle protects.
func gateDecision(b Bottle, w worst) Decision {
	d := Decision{Hurdle: "pH", MarginUnit: "pH"}
	limit := gateABVOf(b, w)
	if w.pHKnown && !b.Oil && !b.Egg && !b.RawEgg && !b.Dairy && len(b.Unknown) == 0 {
		d.Margin = gatePH - w.pH
	} else {
		d.Hurdle, d.Margin, d.MarginUnit = "alcohol", w.abv-limit, "% vol"
	}
	switch {
	case len(b.FreshLowAcid) > 0:
		d.Organism = "Clostridium botulinum"
		d.Text = "fresh low-acid plants without enough acid or alcohol can turn poisonous; smell " +
			"and taste do not show it"
	case len(b.FatIn) > 0:
		d.Organism, d.Margin = "Clostridium botulinum", -limit
		d.Text = fmt.Sprintf("the %s may still be in it, and neither alcohol nor acid reaches what lies in fat",
			quantity.And(b.FatIn))
	case b.Oil:
		d.Organism, d.Margin = "Clostridium botulinum", -limit
		d.Text = "neither alcohol nor acid reaches what lies in oil or fat, so none of them holds back what makes people ill"
	case b.Egg || b.RawEgg:
		d.Organism = "Salmonella"
		d.Text = fmt.Sprintf("egg needs %.0f %% vol in the worst case%s", limit, atWorst(b, w))
	case b.Dairy:
		d.Organism = "Listeria monocytogenes and Staphylococcus aureus"
		d.Text = fmt.Sprintf("milk needs %.0f %% vol in the worst case%s", limit, atWorst(b, w))
	case b.NutMilk:
		d.Organism = "Salmonella and Bacillus cereus"
		d.Text = fmt.Sprintf("nut milk is as good a food as milk; pH %.1f or %.0f %% vol would hold them",
			gatePH, limit)
	case len(b.Unknown) > 0:
		d.Organism = "Staphylococcus aureus and Salmonella"
		d.Text = fmt.Sprintf("%s is not known, so it counts as milk, which needs %.0f %% vol in the worst case%s",
			strings.Join(b.Unknown, ", "), limit, atWorst(b, w))
	default:
		d.Organism = "Staphylococcus aureus and Salmonella"
		near := ""
		if w.abv > 0 {
			near = fmt.Sprintf(", and at worst this is %.1f %% vol", math.Floor(w.abv*10)/10)
		}
		d.Text = fmt.Sprintf("it may be neither sour nor strong enough to hold back what makes people ill (pH %.1f or %.0f %% vol would%s)",
			gatePH, limit, near)
		if b.PHKnown && !b.Measured.PH && b.PH.Value <= gatePH {
			d.Text += fmt.Sprintf(", for its pH is likely %.1f and may be up to %.1f: measure it", b.PH.Value, w.pH)
		}
	}
	return d
}

// endedBy is what the end looks like.
func endedBy(b Bottle, f findings, model spoilage.Life) string {
	switch {
	case f.onShelf:
		return ""
	case b.Dairy || b.Egg || b.RawEgg:
		return "clots, sour or rancid smell"
	case b.NutMilk:
		return "gas, sour smell, mould (splitting alone is harmless)"
	case !f.gate.pass() && len(b.FreshLowAcid) > 0:
		return "nothing that can be seen or smelt: keep to the days"
	}
	return cmp.Or(model.Looks, "gas, haze, film")
}

// leastABV is what counts as holding alcohol at all, % vol. Below delayABV no
// pathogen of the list at gateABV stops, the first of them at 7.5.
const leastABV, delayABV = 0.5, 7.0

func warnings(b Bottle, w worst, f findings, s Storage) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, d := range b.Doubtful {
		add("the measured %s does not go with what went in, so no more is judged than that can explain; "+
			"read it again", d)
	}
	if !f.gate.pass() && !plainSyrup(b, w) && s.Celsius > 4 && s.Celsius <= warmestFridgeC {
		add("the longer figure needs 4~°C or colder; freeze what will not be used by then")
	}
	if s.Celsius <= frozenC && !f.onShelf {
		add("freezing stops microbes and does not kill them; once thawed the days of the fridge count")
	}
	if b.Heated && !f.onShelf {
		add("closing it hot gets little credit here: how hot and how long it was is not measured, and in " +
			"the one trial of heated sour juice that was read yeast was back within weeks; a home-canning " +
			"process from a tested source, followed to the letter, may keep it longer")
	}
	if v := b.ABVPercent.Value; v >= leastABV && v < delayABV && !f.onShelf {
		add("%s %% vol of alcohol only delays what grows: yeast and bacteria work on in it, so treat it "+
			"as a drink without spirit", quantity.Digits(v, 2))
	}
	out = append(out, b.stood()...)
	if b.PHKnown && !b.Measured.PH && !f.onShelf && math.Abs(w.pH-gatePH) < 0.3 {
		add("the pH is computed and near a limit; a meter settles it")
	}
	return out
}

// Needs lists what to measure when a better reading would move the verdict that
// Judge gave at its place.
func (b Bottle) Needs(v Verdict) []string {
	var out []string
	judged := func(change func(*Bottle)) Verdict {
		c := b
		change(&c)
		return Judge(c, Storage{v.Place, v.AtC, true})
	}
	if !b.PHKnown && !b.Oil {
		for _, pH := range []float64{3.8, 3.3, 2.9, 2.7} {
			n := judged(func(c *Bottle) { c.PHKnown, c.PH = true, mixture.Exactly(pH) })
			if rank(n.Verdict) < rank(v.Verdict) || n.Unopened.High > 1.5*v.Unopened.High {
				would := "move the verdict"
				if pH == 3.8 {
					would = "lengthen the days"
				}
				out = append(out, fmt.Sprintf("a pH by a meter: %.1f or lower would %s", pH, would))
				break
			}
		}
	}
	for _, m := range []struct {
		of   func(*Bottle) reading
		text string
	}{
		{func(c *Bottle) reading { return reading{&c.Measured.ABV, &c.ABVPercent} },
			"a strength by distillation or from a laboratory"},
		{func(c *Bottle) reading { return reading{&c.Measured.Sugar, &c.SugarGPerL} }, "a sugar reading"},
		{func(c *Bottle) reading { return reading{&c.Measured.PH, &c.PH} }, "a pH by a meter"},
	} {
		if *m.of(&b).done {
			continue
		}
		n := judged(func(c *Bottle) {
			r := m.of(c)
			*r.done, *r.figure = true, mixture.Exactly(r.figure.Value)
		})
		if rank(n.Verdict) < rank(v.Verdict) {
			out = append(out, m.text+" would settle it: the verdict hangs on the margin")
		}
	}
	return out
}

// reading is a figure of a bottle, and whether it was measured.
type reading struct {
	done   *bool
	figure *mixture.Range
}

// rank orders verdicts, the least strict first.
func rank(verdict string) int {
	order := []string{VerdictShelf, VerdictFridge, VerdictFreezer, VerdictDiscard, VerdictUnknown}
	return slices.Index(order, verdict)
}
