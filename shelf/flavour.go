package shelf

import (
	"fmt"
	"math"
	"strings"
)

// gasConstant in kJ/(mol K), zeroC in K.
const gasConstant, zeroC = 8.314e-3, 273.15

// arrhenius is how many times faster a change with activation energy ea,
// kJ/mol, runs at celsius than at reference.
func arrhenius(ea, celsius, reference float64) float64 {
	return math.Exp(-ea / gasConstant * (1/(celsius+zeroC) - 1/(reference+zeroC)))
}

// Fade is one change of taste or colour in store.
type Fade struct {
	// Attribute is what changes, Of the parts it is in.
	Attribute string
	Of        []string
	// Published is false when no rate for such a drink was found; then Time
	// is empty and Text says what is known.
	Published bool
	// Time is until half is lost, or until the change was noticed, at the
	// temperature asked for; What says which.
	Time Days
	What string
	// EaKJPerMol is the range of published activation energies, zero when
	// none.
	EaKJPerMol   [2]float64
	Text, Source string
}

// InversionRatePerDay is the first-order rate, 1/d, at which acid splits
// sucrose into glucose and fructose; S in g/L, temperature in °C.
//
//	k = 10.0·10^(-pH)·(7.13 + 0.0097 S)/7.42 · exp[-13135 (1/T - 1/297.85)]
//
// The constant at 24.7 °C is that of Kinetic salt effects on the inversion of
// sucrose, Royal Society (1950); activation energy 109.2 kJ/mol, Tombari et
// al. 2007, J. Phys. Chem. B 111:496. Measured in strong acid without alcohol;
// that weak acids act by their hydrogen ions and that alcohol does nothing are
// assumptions: a factor of 1.5 either way.
func InversionRatePerDay(pH, sucroseGPerL, celsius float64) float64 {
	return 10.0 * math.Pow(10, -pH) * (7.13 + 0.0097*sucroseGPerL) / 7.42 *
		math.Exp(-13135*(1/(celsius+zeroC)-1/297.85))
}

// Published keeping and half-life figures used below.
const (
	// Fresh orange and grapefruit juice turned stale in 10 to 16 d at 4.4 °C
	// (Fellers 1988, J. Food Sci. 53:1699-1702).
	juiceLow, juiceHigh, juiceC = 10, 16, 4.4
	// Vitamin C of citrus concentrates, 53.4 to 106.2 kJ/mol (J. Food Eng.
	// 2006, 74:211-216).
	juiceEaLow, juiceEaHigh = 53.4, 106.2
	// Red of a sour cherry liqueur at 30 °C: half lost in 5.9 to 6.6 weeks
	// (Sokol-Letowska et al. 2018, Molecules 23:2156).
	redLow, redHigh, redC = 5.9 * 7, 6.6 * 7, 30
	// Stored blackberry concentrate 65.06 kJ/mol (abstract of a storage study at
	// 5 to 37 °C), heated blueberry juice 80.42 (Antioxidants 2021, 10:1337).
	redEaLow, redEaHigh = 65.06, 80.42
)

// vitaminC is the half-life by temperature, days: grapefruit and orange juice
// kept 86 % and 91 % for 14 d at 4.4 °C (Fellers 1988); lemon juice at 27 °C
// kept 57 % for 21 d and lost slowly after that (Abbasi and Niakousari 2008,
// Pak. J. Biol. Sci. 11:1365): half in 26 d at the fast rate, 43 d by both.
var vitaminC = []knot{{4.4, span{64.3, 102.9}}, {27, span{26, 43}}}

// lasting scales a time at reference °C to celsius with the two ends of the
// activation energy, so that the range widens with the distance.
func lasting(t span, reference, celsius, eaLow, eaHigh float64) span {
	a, b := arrhenius(eaLow, celsius, reference), arrhenius(eaHigh, celsius, reference)
	return span{t.low / max(a, b), t.high / min(a, b)}
}

// Fades lists what changes in the bottle apart from microbes, at celsius, in
// order of the time it takes; changes without a published rate come last.
func Fades(b Bottle, celsius float64) []Fade {
	var out, silent []Fade
	frozen := celsius <= frozenC
	add := func(f Fade) {
		if f.Published && !frozen {
			out = append(out, f)
			return
		}
		if f.Published {
			f.Published, f.Time = false, Days{}
			f.Text = "no published rate when frozen; much slower than in a fridge"
		}
		silent = append(silent, f)
	}
	if len(b.FreshJuice) > 0 {
		t := lasting(span{juiceLow, juiceHigh}, juiceC, celsius, juiceEaLow, juiceEaHigh)
		add(Fade{Attribute: "fresh juice", Of: b.FreshJuice, Published: true, Time: t.days(), What: "until it tastes stale",
			EaKJPerMol: [2]float64{juiceEaLow, juiceEaHigh},
			Text:       "measured in orange and grapefruit juice without alcohol at 4.4 °C; other juices are taken as alike, other temperatures by the activation energy of vitamin C loss",
			Source:     "Fellers 1988, J. Food Sci. 53:1699-1702; J. Food Eng. 2006, 74:211-216"})
		v := between(celsius, vitaminC)
		add(Fade{Attribute: "vitamin C", Of: b.FreshJuice, Published: true, Time: v.days(), What: "until half is left",
			Text:   "air sets the pace more than heat, and alcohol quickens it: fill small bottles full",
			Source: "Abbasi and Niakousari 2008, Pak. J. Biol. Sci. 11:1365-1369; Fellers 1988; Hsu et al. 2012, J. Agric. Food Chem. 60:10696"})
	}
	if len(b.RedColour) > 0 {
		t := lasting(span{redLow, redHigh}, redC, max(celsius, 0), redEaLow, redEaHigh)
		add(Fade{Attribute: "red colour", Of: b.RedColour, Published: true, Time: t.days(), What: "until half is left",
			EaKJPerMol: [2]float64{redEaLow, redEaHigh},
			Text:       "measured in a sour cherry liqueur at 30 °C",
			Source:     "Sokol-Letowska et al. 2018, Molecules 23:2156; Antioxidants 2021, 10:1337"})
	}
	if b.PHKnown && b.SucroseGPerL > 0 {
		half := math.Ln2 / InversionRatePerDay(b.PH.Value, b.SucroseGPerL, celsius)
		if half < 3650 {
			add(Fade{Attribute: "sucrose", Published: true, Time: span{half / 1.5, half * 1.5}.days(), What: "until half has turned to invert sugar",
				EaKJPerMol: [2]float64{109.2, 109.2},
				Text:       "invert tastes a little different, takes up a little more water and crystallises less",
				Source:     "Kinetic salt effects on the inversion of sucrose, Royal Society 1950; Tombari et al. 2007, J. Phys. Chem. B 111:496"})
		}
	}
	if len(b.GreenLeaf) > 0 {
		add(Fade{Attribute: "green colour", Of: b.GreenLeaf, EaKJPerMol: [2]float64{67, 73},
			Text:   "no published rate in spirit; heat quickens it about threefold from fridge to room, and acid and air brown it within days (common practice)",
			Source: "Ryan-Stoneham and Tong 2000, J. Food Sci. 65:1296-1302; Weemaes et al. 1999, J. Agric. Food Chem. 47:2404-2409: activation energy only"})
	}
	if len(b.CitrusPeel) > 0 {
		text := "no published rate with alcohol; oil without citral stayed sound for three weeks in citric acid"
		if b.PHKnown && b.PH.Value <= 3.5 || len(b.FreshJuice) > 0 {
			text = "no published rate with alcohol; in acid the lemon note turned off within several days, so drink it young and keep it cold and full"
		}
		add(Fade{Attribute: "lemon note (citral)", Of: b.CitrusPeel, Text: text,
			Source: "J. Jpn. Soc. Nutr. Food Sci. 31(5), 1978:518; Choi et al. 2010, J. Food Sci. 75(6)"})
	}
	if len(b.OtherPeel) > 0 {
		add(Fade{Attribute: "peel note", Of: b.OtherPeel, Text: "no published rate with alcohol; citrus oil without citral stayed sound for three weeks in citric acid, so keep it full and dark",
			Source: "J. Jpn. Soc. Nutr. Food Sci. 31(5), 1978:518"})
	}
	if len(b.Nuts) > 0 {
		add(Fade{Attribute: "nut fat", Of: b.Nuts, Text: "no published rate; fat turns rancid in light and air, so keep it cold, dark and full", Source: "common practice, no source"})
	}
	for i := 1; i < len(out); i++ { // a handful of entries: insertion keeps their order when equal
		for j := i; j > 0 && out[j].Time.Low < out[j-1].Time.Low; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return append(out, silent...)
}

// flavourClock picks the first change that a drinker would notice. The text is
// empty when nothing is known of what is in the bottle.
func flavourClock(b Bottle, celsius float64) (*Days, string) {
	fades := Fades(b, celsius)
	for _, f := range fades {
		if f.Published && (f.Attribute == "fresh juice" || f.Attribute == "red colour") {
			d := f.Time
			past := span{2 * d.Low, 2 * d.High}
			what, advice := f.Attribute, ""
			if f.Attribute == "fresh juice" {
				what, advice = "fresh taste", "; squeeze it last, on bottling day (common practice, no source)"
			}
			return &d, fmt.Sprintf("the %s of %s goes first: at its best for %s, past it after %s (%s)%s",
				what, strings.Join(f.Of, ", "), d.Words, strings.TrimPrefix(spanWords(past), "up to "), f.Text, advice)
		}
	}
	for _, f := range fades {
		if !f.Published {
			return nil, fmt.Sprintf("%s: %s", f.Attribute, f.Text)
		}
	}
	switch {
	case len(b.Spices) == 0:
		return nil, ""
	case b.ABVPercent.Value < coldABV:
		return nil, fmt.Sprintf("no published rate for the aroma of %s in so weak a drink; microbes end it first", list(b.Spices))
	}
	in := "spirit"
	if b.SugarGPerL.Value >= 20 {
		in = "a sweet spirit"
	}
	return nil, fmt.Sprintf("no published rate for the aroma of %s in %s; within a year, full bottles in the dark (common practice, no source)", list(b.Spices), in)
}

// Rest is how long such a drink is left before it is judged, with the reason
// in Words. Common practice, no source.
func Rest(b Bottle) Days {
	d := func(low, high float64, why string) Days {
		s := span{low, high}
		return Days{Low: low, High: high, Words: spanWords(s) + ", " + why + " (common practice, no source)"}
	}
	switch {
	case len(b.FreshJuice) > 0 || b.Dairy || b.Egg || b.RawEgg || b.NutMilk || b.ABVPercent.Value < coldABV:
		return d(0, 2, "since it is best young")
	case len(b.Nuts) > 0 && b.ABVPercent.Value >= 20:
		return d(90, 365, "since nuts round off slowly")
	case b.SugarGPerL.Value < 20:
		return d(7, 30, "for the steep to settle and clear")
	}
	return d(14, 60, "for sugar, spirit and spice to come together")
}
