package mixture

import (
	"fmt"
	"math"

	"steepbook/shelf/acidity"
)

// readings lets measured strength, sugar, acid, density and pH take the place
// of computed ones, the volume staying as it is.
func (w *run) readings(r *Recipe) error {
	m := r.Measured
	v := w.volume(w.parts)
	if v <= 0 {
		return nil
	}
	abv := w.parts.abvPercent(w.sugarShift)
	extract := w.parts
	extract.Ethanol, extract.Water = 0, 0
	changed := false

	if m.AcidGPerL != nil {
		extract, changed = withAcid(w.parts, math.Max(m.AcidGPerL.Value, 0), m.PH), true
	}
	if m.ABVPercent != nil {
		abv, changed = clamp(m.ABVPercent.Value, 0, 100), true
	}
	sugarRead := m.SugarGPerL != nil
	if sugarRead {
		extract, changed = withSugar(extract, math.Max(m.SugarGPerL.Value, 0)*v/1000), true
	}
	if m.Brix != nil {
		if abv > 0.5 {
			w.warn("The reading of %.1f °Bx is left out: alcohol (%.1f %% vol) moves a refractometer and a float.", m.Brix.Value, abv)
		} else if !sugarRead {
			sugarRead, changed = true, true
			extract = search(0, 1.6*v, func(g float64) (Parts, float64) {
				e := withSugar(extract, g)
				p, ok := fill(v, abv, e, w.sugarShift)
				return e, orInf(p.Brix(), ok)
			}, m.Brix.Value)
		}
	}
	if m.DensityKgPerM3 != nil {
		want := m.DensityKgPerM3.Value
		density := func(abv float64, e Parts) float64 {
			p, ok := fill(v, abv, e, w.sugarShift)
			return orInf(1000*p.MassG()/v, ok)
		}
		switch {
		case !sugarRead:
			changed = true
			extract = search(0, 1.6*v, func(g float64) (Parts, float64) {
				e := withSugar(extract, g)
				return e, density(abv, e)
			}, want)
		case m.ABVPercent == nil:
			changed = true
			// Density falls with strength, so the search runs backwards.
			abv = search(-100, 0, func(x float64) (float64, float64) { return -x, density(-x, extract) }, want)
		}
	}
	if changed {
		p, ok := fill(v, abv, extract, w.sugarShift)
		if !ok {
			return &InputError{ReadingsName, fmt.Sprintf("%.4g %% vol and %.4g g of sugar in a litre do not fit together; read them again",
				abv, 1000*extract.SugarG()/v)}
		}
		w.parts = p
		w.step("measured", func() string { return "strength, sugar and acid as read" }, p)
	}
	if m.PH != nil {
		if p, err := WithPH(w.parts, clamp(m.PH.Value, 1.5, 8)); err == nil {
			w.parts = p
		}
	}
	return nil
}

// search halves between lo and hi for the argument at which the value that f
// gives, which must rise with the argument, comes to want.
func search[T any](lo, hi float64, f func(float64) (T, float64), want float64) T {
	for range 50 {
		mid := (lo + hi) / 2
		if _, y := f(mid); y < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	x, _ := f((lo + hi) / 2)
	return x
}

func orInf(x float64, ok bool) float64 {
	if !ok {
		return math.Inf(1)
	}
	return x
}

// withSugar is p with grams of sugar in all, of the kinds it has, or sucrose.
func withSugar(p Parts, grams float64) Parts {
	have := p.SugarG()
	if have <= 0 {
		p.Sucrose = grams
		return p
	}
	f := grams / have
	p.Sucrose, p.Glucose, p.Fructose = f*p.Sucrose, f*p.Glucose, f*p.Fructose
	return p
}

// withAcid is what p has dissolved in it, with the acids scaled to the titratable
// acidity acidGPerL; with a pH read too, both are made to hold, otherwise the
// strong ions stay.
func withAcid(p Parts, acidGPerL float64, pH *Quantity) Parts {
	var done bool
	if pH != nil && acidGPerL > 0 {
		if q, err := WithTitration(p, clamp(pH.Value, 1.5, 8), acidGPerL); err == nil {
			p, done = q, true
		}
	}
	if !done {
		p = WithAcid(p, acidGPerL)
	}
	p.Ethanol, p.Water = 0, 0
	return p
}

// compare holds every reading against what the recipe gives without readings
// and warns where they do not go together; doubted holds the recipe's own
// figures there.
func (r *Recipe) compare() (warnings []string, doubted map[Figure]Range) {
	m := r.Measured
	if m == (Measured{}) {
		return nil, nil
	}
	plain := *r
	plain.Measured = Measured{}
	calc, err := plain.Balance()
	if err != nil {
		return nil, nil
	}
	var out []string
	doubted = map[Figure]Range{}
	one := func(f Figure, q *Quantity, c Range, known bool, digits int, unit, ask string) {
		if q == nil || !known {
			return
		}
		half := math.Hypot(math.Max(c.High-c.Value, c.Value-c.Low), z90*q.SD)
		if math.Abs(q.Value-c.Value) <= 1.5*half {
			return
		}
		doubted[f] = c
		out = append(out, fmt.Sprintf("Measured %.*f%s, but the recipe gives %.*f (%.*f to %.*f). The measured value is used%s. %s",
			digits, q.Value, unit, digits, c.Value, digits, c.Low, digits, c.High, judged[f], ask))
	}
	strained := Range{calc.StrainedML, calc.StrainedML - z90*calc.lossSD(), calc.StrainedML + z90*calc.lossSD()}
	one("", m.StrainedML, strained, true, 0, " ml strained", "Was all of it poured off, and is an amount missing from the list?")
	r.compareVolume(calc, doubted, one)
	one(ABV, m.ABVPercent, calc.ABVPercent, true, 1, " % vol",
		"A float reads wrong once sugar is in; only a reading before sweetening or after distilling a sample counts.")
	one(Sugar, m.SugarGPerL, calc.SugarGPerL, true, 0, " g/l sugar", "Alcohol and acid move a refractometer or float; was the reading corrected for them?")
	one(Acid, m.AcidGPerL, calc.AcidGPerL, true, 1, " g/l acid", "Was it titrated to pH 8.1 and reckoned as citric acid, and is every juice and acid on the list?")
	if m.SugarGPerL == nil || m.ABVPercent == nil {
		one(Density, m.DensityKgPerM3, calc.DensityKgPerM3, true, 0, " kg/m³", "Was it read at 20 °C, without bubbles, and is an amount missing from the list?")
	}
	if calc.ABVPercent.Value <= 0.5 {
		one(Solids, m.Brix, calc.Brix, true, 1, " °Bx", "Was the instrument set to zero in water?")
	}
	if m.PH != nil {
		// The ends hold all that the recipe can explain: no more is granted.
		c, slip := calc.explains(), z90*m.PH.SD
		const ask = "Was the meter set in two buffers, and is every juice and acid on the list?"
		switch {
		case m.PH.Value >= c.Low-slip && m.PH.Value <= c.High+slip:
		case calc.PHKnown:
			doubted[Acidity] = c
			out = append(out, fmt.Sprintf("Measured pH %.2f, but the recipe gives %.1f to %.1f. Keeping is judged on the less sour of the two. %s", m.PH.Value, c.Low, c.High, ask))
		default:
			doubted[Acidity] = c
			out = append(out, fmt.Sprintf("Measured pH %.2f, but nothing on the list is known to be so sour. It gets no credit in keeping. %s", m.PH.Value, ask))
		}
	} else if _, ok := doubted[Acid]; ok {
		doubted[Acidity] = calc.explains()
	}
	return out, doubted
}

// explains is the pH the recipe can account for, the model's error included:
// where nothing sour is known, from what may be there to that of water.
func (res *Result) explains() Range {
	if res.PHKnown {
		return res.PH
	}
	low, _, _, _ := res.Parts.PHRange()
	return Range{acidity.Neutral, math.Max(low-acidity.Error(res.ABVPercent.Value), 0), acidity.Neutral}
}

// compareVolume asks where what is missing was lost, and takes no more alcohol,
// sugar and acid for granted than went in.
func (r *Recipe) compareVolume(calc Result, doubted map[Figure]Range, one func(Figure, *Quantity, Range, bool, int, string, string)) {
	m := r.Measured
	switch {
	case m.VolumeML == nil:
	case m.VolumeML.Value > calc.VolumeML.Value:
		one(Volume, m.VolumeML, calc.VolumeML, true, 0, " ml", "What is over counts as water: is an amount missing from the list, or too small?")
		if _, over := doubted[Volume]; !over {
			return
		}
		f := calc.VolumeML.Value / m.VolumeML.Value
		for figure, c := range map[Figure]Range{ABV: calc.ABVPercent, Sugar: calc.SugarGPerL, Acid: calc.AcidGPerL} {
			doubted[figure] = Range{f * c.Value, f * c.Low, f * c.High}
		}
	case m.StrainedML == nil && len(r.Additions) > 0:
		one(Volume, m.VolumeML, calc.VolumeML, true, 0, " ml",
			"Was it lost from the strained liquor before anything was added, or at the end? The ranges hold both; strained = \"640 ml\" under [measured], read after straining, settles it.")
	default:
		one(Volume, m.VolumeML, calc.VolumeML, true, 0, " ml", "Was something left out of the list, or lost?")
	}
}

// judged says of the figures that keeping hangs on what is made of a doubted
// reading there.
var judged = map[Figure]string{
	ABV:   ", but keeping is judged on the weaker of the two",
	Sugar: ", but keeping is judged on the less sweet of the two",
}

// ReadingsName is the Name of an *InputError about Measured.
const ReadingsName = "measured"

// tooStrong refuses a measured strength above that of all that went in:
// nothing that is poured together gets stronger than its strongest part.
func (r *Recipe) tooStrong() error {
	m := r.Measured.ABVPercent
	if m == nil {
		return nil
	}
	most := 0.0
	for _, b := range r.Bases {
		most = math.Max(most, b.ABVPercent.Value+2*b.ABVPercent.SD)
	}
	for _, a := range r.Additions {
		most = math.Max(most, a.PerG.ABVPercent()+2*a.ABVPercent.SD)
	}
	if m.Value <= most+strengthSlip {
		return nil
	}
	return &InputError{ReadingsName, fmt.Sprintf("a strength of %.1f %% vol, but the strongest thing that went in has %.1f; a float reads wrong in a sweet drink, so read it again or leave it out", m.Value, most)}
}

// strengthSlip is by how much a good reading may lie above the strongest part,
// % vol: the label's tolerance and the instrument. Judgement.
const strengthSlip = 1.0

// list names every reading and the most it can be.
func (m *Measured) list() []reading {
	return []reading{
		{"a ", "strained volume", " ml", &m.StrainedML, mostAmount},
		{"a ", "volume", " ml", &m.VolumeML, mostAmount},
		{"a ", "strength", " % vol", &m.ABVPercent, 100},
		{"", "sugar", " g/l", &m.SugarGPerL, 1500},
		{"", "acid", " g/l", &m.AcidGPerL, 400},
		{"a ", "pH", "", &m.PH, 14},
		{"a ", "density", " kg/m³", &m.DensityKgPerM3, 1600},
		{"", "dissolved solids", " °Bx", &m.Brix, 90},
	}
}

type reading struct {
	article, what, unit string
	q                   **Quantity
	most                float64
}
