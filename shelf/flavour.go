package shelf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"steepbook/data"
	"steepbook/data/quantity"
	"steepbook/shelf/spoilage"
)

// zeroC is 0 °C in K.
const zeroC = 273.15

// Fade is one change of taste or colour in store that a drinker notices.
type Fade struct {
	// Attribute is what changes, Of the parts it is in.
	Attribute string
	Of        []string
	// Known is false when nothing tells how fast it is in such a drink; then
	// Time is empty and Text says what is known.
	Known bool
	// Time is until it is noticed, closed and full, at the temperature asked
	// for; Opened the same once opened.
	Time, Opened Days
	// Decides marks what counts for "best until".
	Decides bool
	// Beyond means that the store is so much warmer than what was measured
	// that only "days, not weeks" can be said.
	Beyond bool
	// Grade is how it is known: published, derived or judgement.
	Grade, Text, Source string
}

// clock is one entry of data/tables/flavour-clock.csv.
type clock struct {
	what    string
	decides bool
	knots   []spoilage.Knot
	seenC   float64
	notes   []struct{ grade, source, note string }
}

var clocks = sync.OnceValue(func() map[string]*clock {
	out := map[string]*clock{}
	for _, r := range data.Rows("flavour-clock.csv") {
		c := out[r.Text("clock")]
		if c == nil {
			c = &clock{what: r.Text("what"), decides: r.Text("decides") == "yes",
				seenC: r.Number("seen_to_c")}
			out[r.Text("clock")] = c
		}
		c.knots = append(c.knots, spoilage.Knot{Celsius: r.Number("celsius"), LowDays: r.Number("low_days"),
			HighDays: r.Number("high_days")})
		c.notes = append(c.notes, struct{ grade, source, note string }{r.Text("grade"), r.Text("source"),
			r.Text("note")})
	}
	return out
})

// at is the time of the clock at a temperature; warmer than its warmest row it
// goes on along the last slope.
func (c *clock) at(celsius float64) span {
	last := len(c.knots) - 1
	low, high := spoilage.Between(c.knots, celsius)
	if over := celsius - c.knots[last].Celsius; over > 0 && last > 0 {
		a, b := c.knots[last-1], c.knots[last]
		steps := over / (b.Celsius - a.Celsius)
		low, high = low*math.Pow(b.LowDays/a.LowDays, steps), high*math.Pow(b.HighDays/a.HighDays, steps)
	}
	return span{low, high}
}

// Alcohol earns no credit: vitamin C and colour go faster with it (Hsu et al.
// 2012, 5 to 40 % vol). The low end of a juice is cut to this share at
// alcoholFromABV and above, along a line from none. Once opened, air takes the
// low end to half (same trial, direction only). Judgement.
const juiceWithAlcohol, alcoholFromABV, openedShare = 0.7, 5.0, 0.5

// cut takes the low end of a clock, in days, to a share of it, but no time of a day or more below a day:
// no row of the table tells of hours, so no share of one does.
func cut(low, share float64) float64 { return max(low*share, min(low, 1)) }

// Between these two, a peel's clock goes from that in acid to that in spirit.
const peelInAcidPH, peelInSpiritPH = 3.5, 4.5

// beyondC is how far above the warmest measured store a time may be read.
const beyondC = 10

// inversionRatePerDay is the first-order rate, 1/d, at which acid splits
// sucrose into glucose and fructose; S in g/L, temperature in °C.
//
//	k = 10.0·10^(-pH)·(7.13 + 0.0097 S)/7.42 · exp[-13135 (1/T - 1/297.85)]
//
// The constant at 24.7 °C is that of Kinetic salt effects on the inversion of
// sucrose, Royal Society (1950); activation energy 109.2 kJ/mol, Tombari et
// al. 2007, J. Phys. Chem. B 111:496. Measured in strong acid without alcohol;
// that weak acids act by their hydrogen ions and that alcohol does nothing are
// assumptions: a factor of 1.5 either way.
func inversionRatePerDay(pH, sucroseGPerL, celsius float64) float64 {
	return 10.0 * math.Pow(10, -pH) * (7.13 + 0.0097*sucroseGPerL) / 7.42 *
		math.Exp(-13135*(1/(celsius+zeroC)-1/297.85))
}

// fade is what a clock, read as at, says of the parts that go by it.
func (c *clock) fade(of []string, at span, celsius float64) Fade {
	n := c.notes[0] // or that of the last row which is nearer in temperature than the first
	for i, k := range c.knots {
		if math.Abs(k.Celsius-celsius) < math.Abs(c.knots[0].Celsius-celsius) {
			n = c.notes[i]
		}
	}
	f := Fade{
		Attribute: c.what, Of: of, Known: celsius > frozenC, Decides: c.decides,
		Beyond: celsius > c.seenC+beyondC,
		Grade:  n.grade, Text: n.note,
	}
	f.Source = data.Cite(n.source)
	if f.Known {
		f.Time, f.Opened = at.days(), span{cut(at.low, openedShare), at.high}.days()
	} else {
		f.Text = "not measured when frozen; much slower than in a fridge"
	}
	return f
}

// byClock sorts names by the clock that each goes by.
func (b Bottle) byClock(names []string, usual string) map[string][]string {
	out := map[string][]string{}
	for _, n := range names {
		clock := cmp.Or(b.Clocks[n], usual)
		out[clock] = append(out[clock], n)
	}
	return out
}

// peels are what the peels lose: their clock goes from that in acid to that in
// spirit.
func (b Bottle) peels(celsius float64) (out []Fade) {
	inSpirit := 0.0 // how far they are from acid
	switch {
	case b.PHKnown:
		inSpirit = min(max((b.PH.Value-peelInAcidPH)/(peelInSpiritPH-peelInAcidPH), 0), 1)
	case len(b.FreshJuice) == 0:
		inSpirit = 1
	}
	for _, p := range []struct {
		of     []string
		inAcid string
	}{{b.CitrusPeel, "lemon zest in acid"}, {b.OtherPeel, "peel in acid"}} {
		if len(p.of) == 0 {
			continue
		}
		acid, spirit := clocks()[p.inAcid], clocks()["peel in spirit"]
		a, s := acid.at(celsius), spirit.at(celsius)
		mix := func(a, s float64) float64 { return math.Pow(a, 1-inSpirit) * math.Pow(s, inSpirit) }
		nearer := acid
		if inSpirit > 0.5 {
			nearer = spirit
		}
		f := nearer.fade(p.of, span{mix(a.low, s.low), mix(a.high, s.high)}, celsius)
		f.Attribute = acid.what
		out = append(out, f)
	}
	return out
}

// Fades lists what changes in the bottle apart from microbes, at celsius, in
// order of the time it takes; changes without a known rate come last.
func Fades(b Bottle, celsius float64) []Fade {
	out := b.peels(celsius)
	for name, of := range b.byClock(b.FreshJuice, "other juice") {
		c := clocks()[name]
		t := c.at(celsius)
		t.low = cut(t.low, 1-(1-juiceWithAlcohol)*min(b.ABVPercent.Value/alcoholFromABV, 1))
		out = append(out, c.fade(of, t.by(b.agedTaste(of, c)), celsius))
	}
	isJuice := func(n string) bool { return slices.Contains(b.FreshJuice, n) }
	others := b.byClock(slices.DeleteFunc(slices.Clone(b.RedColour), isJuice), "red fruit")
	if len(b.GreenLeaf) > 0 {
		others["green leaf"] = b.GreenLeaf
	}
	for name, of := range others {
		c := clocks()[name]
		out = append(out, c.fade(of, c.at(celsius), celsius))
	}
	if b.PHKnown && b.SucroseGPerL > 0 {
		t := -math.Log(Noticed) / inversionRatePerDay(b.PH.Value, b.SucroseGPerL, celsius)
		if t < 3650 && celsius > frozenC {
			s := span{t / 1.5, t * 1.5}
			out = append(out, Fade{
				Attribute: "sugar as it was", Known: true, Time: s.days(), Opened: s.days(), Grade: "derived",
				Text: "acid splits it: invert sugar tastes a little different and crystallises less",
				Source: "Kinetic salt effects on the inversion of sucrose, Royal Society 1950; Tombari et " +
					"al. 2007, J. Phys. Chem. B 111:496",
			})
		}
	}
	if fats := slices.Concat(b.Nuts, b.FatTraces); len(fats) > 0 {
		out = append(out, Fade{
			Attribute: "fat", Of: fats, Source: practice,
			Text: "no published rate; fat turns rancid in light and air, so keep it cold, dark and full",
		})
	}
	compare := func(a, b Fade) int {
		switch {
		case a.Known && !b.Known:
			return -1
		case b.Known && !a.Known:
			return 1
		}
		return cmp.Or(cmp.Compare(a.Time.Low, b.Time.Low), cmp.Compare(a.Attribute, b.Attribute),
			slices.Compare(a.Of, b.Of))
	}
	sort.SliceStable(out, func(i, j int) bool { return compare(out[i], out[j]) < 0 })
	return out
}

// practice is the source of what no publication was found for.
const practice = "common practice, no source"

// firstToFade is the change that counts and comes first; nil where none is
// known.
func firstToFade(b Bottle, celsius float64) *Fade {
	for _, f := range Fades(b, celsius) {
		if f.Known && f.Decides {
			return &f
		}
	}
	return nil
}

// bestWords says what fades first and when it is noticed.
func bestWords(b Bottle, f *Fade, sound float64) string {
	switch {
	case f != nil && f.Beyond:
		return fmt.Sprintf("%s of the %s: days, not weeks, in such warmth", f.Attribute, quantity.And(f.Of))
	case f != nil:
		return fmt.Sprintf("%s of the %s: about %s", f.Attribute, quantity.And(f.Of), f.Time.Words)
	case len(b.Spices) == 0:
		return ""
	case b.ABVPercent.Value < gateABV || sound < 365:
		return fmt.Sprintf("nothing is published on how the aroma of %s fades in such a drink",
			quantity.And(b.Spices))
	}
	return fmt.Sprintf("nothing is published on the aroma of %s; within a year, full and dark (common "+
		"practice, no source)", quantity.And(b.Spices))
}

// Rest is how long such a drink is left before it is judged, in days, with the reason in Words, which say
// where it is sound for fewer, and whether it keeps for as long. Common practice, no source.
func Rest(b Bottle, sound float64) (rest Days, keeps bool) {
	d := func(low, high float64, why string) (Days, bool) {
		words, keeps := spanWords(span{low, high}), sound >= low
		if why = ", " + why; !keeps {
			words, why = words+" would be better", why+", but it keeps for "+spanWords(span{sound, sound})
		}
		return Days{Low: low, High: high, Words: words + why + " (common practice, no source)"}, keeps
	}
	switch {
	case len(b.FreshJuice) > 0 || b.Dairy || b.Egg || b.RawEgg || b.NutMilk || b.Weak():
		return d(0, 2, "since it is best young")
	case len(b.Nuts) > 0:
		return d(90, 365, "since nuts round off slowly")
	case b.SugarGPerL.Value < 20:
		return d(7, 30, "for the steep to settle and clear")
	}
	return d(14, 60, "for sugar, spirit and spice to come together")
}

// Weak reports whether it is below the strength from which a drink is not best young and lively. Common
// practice, no source.
func (b *Bottle) Weak() bool { return b.ABVPercent.Value < 10 }
