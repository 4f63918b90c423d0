package mixture

import (
	"fmt"
	"math"
	"strings"

	"steepbook/data/quantity"
	"steepbook/shelf/acidity"
	"steepbook/shelf/growth"
)

// readings lets measured strength, sugar, acid, density and pH take the place
// of computed ones, once, the volume staying as it is.
func (w *run) readings(r *Recipe) error {
	m := r.Measured
	v := w.volume(w.parts)
	if v <= 0 || w.asRead {
		return nil
	}
	w.asRead = true
	abv := w.parts.abvPercent(w.sugarShift)
	extract := w.parts
	extract.Ethanol, extract.Water = 0, 0
	changed := false

	if m.AcidGPerL != nil {
		extract, changed = withAcid(w.parts, max(m.AcidGPerL.Value, 0), m.PH), true
	}
	if m.ABVPercent != nil {
		abv, changed = clamp(m.ABVPercent.Value, 0, 100), true
	}
	sugarRead := m.SugarGPerL != nil
	if sugarRead {
		extract, changed = withSugar(extract, max(m.SugarGPerL.Value, 0)*v/1000), true
	}
	if m.Brix != nil {
		if abv > mostABVForBrix {
			w.warn("The reading of %.1f °Bx is left out: alcohol (%.1f %% vol) moves a refractometer and "+
				"a float.", math.Round(10*m.Brix.Value)/10+0, abv) // plus 0: no "-0.0"
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
			weaker := func(x float64) (float64, float64) { return -x, density(-x, extract) }
			abv = search(-100, 0, weaker, want)
		}
	}
	if changed {
		p, ok := fill(v, abv, extract, w.sugarShift)
		if !ok {
			return refused(ReadingsName, "%.4g %% vol and %.4g g/L of sugar do not fit together; read "+
				"them again",
				abv, 1000*extract.SugarG()/v)
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

// mostABVForBrix is the strength [% vol] up to which a refractometer still reads
// dissolved solids: half a per cent moves it by about 0.2 °Bx. Judgement.
const mostABVForBrix = 0.5

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

// verdict is what the recipe makes of the readings.
type verdict struct {
	warnings []string
	doubted  map[Property]Range // the recipe's own figures where a reading lies far off
	// the readings that figures are printed from: no strength beyond what was poured
	taken    Measured
	credited Measured   // and those that are judged by, as far as the recipe explains them
	held     []Property // those that say more than that in the maker's favour
	short    bool       // more is missing than the recipe explains
	mostML   float64    // its own volume, where a measured one is more than that explains
	// how much of the strained volume is believed to have run off the solids, where that is not all; 0: all
	mostRanML float64
}

// compare holds every reading against what the recipe gives without it, the
// readings before it standing as they were credited, and doubts those that do not
// go together. What is doubted in the maker's favour is credited at the end of what
// would not be, and a strength at that of the 90 % that it has by the recipe, for a float in a sweet drink errs, so that a better reading never counts for less than a worse one;
// where the recipe explains nothing of the kind, there is no credit at all. A strength
// beyond what was poured is no reading: nothing that is steeped brings alcohol.
func (r *Recipe) compare() (v verdict, err error) {
	m := r.Measured
	v.doubted, v.taken, v.mostML = map[Property]Range{}, m, math.Inf(1)
	if err = v.compareStrained(r); err == nil {
		err = v.compareYield(r)
	}
	if err != nil {
		return v, err
	}
	without := func() (Result, error) { // of what was in when they were read
		so := *r
		so.Measured, so.mostRanML, so.Additions = v.credited, v.mostRanML, r.intime()
		if those := quantity.Those(so.Additions, func(a *Addition) bool { return !a.After }); len(those) < len(so.Additions) {
			so.Additions, so.Measured.VolumeML = those, nil
		}
		so.Solids = quantity.Those(r.Solids, func(s *Solid) bool { return !s.After })
		if len(so.Solids) < len(r.Solids) && len(so.Additions) == 0 { // read over them: what they keep is made as that is
			so.Measured.StrainedML = nil
			for i := range so.Solids {
				so.Solids[i].HeldMLPerG, so.Solids[i].PressedMLPerG = Quantity{}, Quantity{}
			}
		}
		return so.reckon(v.short)
	}
	credit, taken := &v.credited, &v.taken
	for _, c := range []comparison{
		{iABV, m.ABVPercent, &credit.ABVPercent, &taken.ABVPercent, (*Quantity).same, 1, " % vol",
			"A float reads wrong once sugar is in; only a reading before sweetening or after distilling a " +
				"sample counts."},
		{iSugar, m.SugarGPerL, &credit.SugarGPerL, &taken.SugarGPerL, (*Quantity).share, 0, " g/l sugar",
			"Alcohol and acid move a refractometer or float; was the reading corrected for them?"},
		{iAcid, m.AcidGPerL, &credit.AcidGPerL, &taken.AcidGPerL, (*Quantity).share, 1, " g/l acid",
			"Was it titrated to pH 8.1 and reckoned as citric acid, and is every juice and acid " +
				"on the list?"},
		{iSolids, m.Brix, &credit.Brix, &taken.Brix, (*Quantity).same, 1, " °Bx",
			"Was the instrument set to zero in water?"},
		{iDensity, m.DensityKgPerM3, &credit.DensityKgPerM3, &taken.DensityKgPerM3, (*Quantity).same, 0,
			" kg/m³",
			"Was it read at 20~°C, without bubbles, and is an amount missing from the list?"},
	} {
		if c.read == nil {
			continue
		}
		calc, err := without()
		if err != nil {
			return v, err
		}
		v.hold(c, &calc)
	}
	if m.PH != nil {
		calc, err := without()
		if err != nil {
			return v, err
		}
		v.comparePH(m.PH, calc)
	}
	return v, nil
}

// unread is what the recipe gives of what was in when the blend was measured, or when the strained
// liquor was, with no reading but those.
func (r *Recipe) unread(strained bool, but Measured, mostRanML float64) (Result, error) {
	q, m := *r, r.Measured
	q.Measured, q.mostRanML = but, mostRanML
	if strained {
		q.CurdsML = Range{}
		q.Solids = quantity.Those(r.Solids, func(s *Solid) bool { return !m.before(s) })
	}
	q.Additions = r.intime()
	calc, err := q.reckon(false)
	if err != nil && m.StrainedML != nil { // nothing would run off, but for the reading
		q.Measured.StrainedML = m.StrainedML
		calc, err = q.reckon(false)
	}
	return calc, err
}

// intime are the additions that were in when the blend was measured.
func (r *Recipe) intime() []Addition {
	return quantity.Those(r.Additions, func(a *Addition) bool { return !a.Late })
}

// asRead is what is made of a reading that is believed, or doubted on the careful side.
const asRead = "The measured value is used."

// comparison is a reading beside what the recipe gives of a figure.
type comparison struct {
	figure    int // its place among the figures
	read      *Quantity
	credit    **Quantity // what is believed of it
	taken     **Quantity // and what is printed
	sd        func(*Quantity, float64) float64
	digits    int
	unit, ask string
}

// hold holds a reading against the recipe's own figure and credits it as far as that
// explains it.
func (v *verdict) hold(c comparison, calc *Result) {
	*c.credit = c.read
	own := *calc.ranges()[c.figure]
	sd := func(x float64) float64 { return c.sd(c.read, x) }
	low, high := own.Believed(sd)
	least, most := own.beside(sd, 1)
	edge, favour := high, 1.0
	boozy := calc.ABVPercent.Value > mostABVForBrix
	sweet := v.credited.SugarGPerL != nil || v.credited.Brix != nil && !boozy
	switch {
	case c.figure == iSolids && boozy, c.figure == iDensity && sweet && v.credited.ABVPercent != nil:
		return // nothing is taken from it
	case c.figure == iABV:
		edge = most
	case c.figure == iDensity && sweet:
		edge, favour = low, -1 // the lighter, the stronger
	}
	used := asRead
	if favour*(c.read.Value-edge) > 0 {
		v.held = append(v.held, properties[c.figure])
		switch credit := *c.read; {
		case c.figure == iABV && c.read.Value > high || favour < 0:
			*c.taken, *c.credit = nil, nil
			used = "No more alcohol than was poured is in it, so the reading is left out."
		case c.figure == iAcid && own.High < leastAcidGPerL:
			*c.credit, used = nil, "The measured value is used, but gets no credit in keeping."
		default:
			credit.Value, credit.SD = edge, c.sd(c.read, edge)
			*c.credit = &credit
			used = fmt.Sprintf("The measured value is used, but keeping is judged on no more than %.*f.", c.digits, edge)
		}
	}
	if c.read.Value < least || c.read.Value > most {
		v.warn(properties[c.figure], c.read, own, c.digits, c.unit, used, c.ask)
	}
}

func (v *verdict) say(format string, args ...any) {
	v.warnings = append(v.warnings, fmt.Sprintf(format, args...))
}

// warn says of a reading beyond the ends what is made of it.
func (v *verdict) warn(f Property, q *Quantity, c Range, digits int, unit, used, ask string) {
	v.doubted[f] = c
	v.say("Measured %.*f%s, but the recipe gives %.*f%s (%.*f to %.*f%s). %s %s",
		digits, q.Value, unit, digits, c.Value, tied(unit), digits, c.Low, digits, c.High,
		tied(unit), used, ask)
}

// tied is a unit that a maker may have another one for, so that it stands beside each
// figure; empty for one that is said once.
func tied(unit string) string {
	word, _, _ := strings.Cut(unit, " ")
	if strings.HasPrefix(word, "~") {
		return word
	}
	return ""
}

// comparePH holds a measured pH against all that the recipe can explain: no more
// is granted.
func (v *verdict) comparePH(q *Quantity, calc Result) {
	c, slip := calc.explains(), z90*q.SD
	const ask = "Was the meter set in two buffers, and is every juice and acid on the list?"
	v.credited.PH = q
	if q.Value >= c.Low-slip && q.Value <= c.High+slip {
		return
	}
	v.doubted[Acidity] = c
	switch {
	case q.Value > c.High:
		v.say("Measured pH %.2f, but the recipe gives %.1f to %.1f. Keeping is judged on the less sour of "+
			"the two. %s", q.Value, c.Low, c.High, ask)
		return
	case c.Low < acidity.Neutral:
		edge := c.Low - slip
		v.credited.PH = &Quantity{edge, q.SD, q.Cause, q.Cure}
		v.say("Measured pH %.2f, but the recipe gives %.1f to %.1f. Keeping is judged on no less than "+
			"%.1f. %s", q.Value, c.Low, c.High, edge, ask)
	default:
		v.credited.PH = nil
		v.say("Measured pH %.2f, but nothing on the list is known to be so sour. It gets no credit in "+
			"keeping. %s", q.Value, ask)
	}
	v.held = append(v.held, Acidity)
}

// same and share are the standard deviation of a reading had it been x: of an
// instrument that errs by so much, and of one that errs by a share of what it reads.
func (q *Quantity) same(float64) float64 { return q.SD }

func (q *Quantity) share(x float64) float64 { return max(x, 0) * ratio(q.SD, q.Value) }

// Believed is how far a reading may lie from a figure that is known otherwise: half
// as far again as both may be off together at 90 %. sd is the standard deviation of
// the reading, had it been that. What lies beyond those 90 % is told.
func (c Range) Believed(sd func(float64) float64) (low, high float64) { return c.beside(sd, 1.5) }

// beside is so many times as far as a reading and the figure may be off together at 90 %.
func (c Range) beside(sd func(float64) float64, times float64) (low, high float64) {
	low, high = c.Value, c.Value
	for range 30 { // the reading's own error moves with it, and far less than it
		low = c.Value - times*math.Hypot(c.Value-c.Low, z90*sd(low))
		high = c.Value + times*math.Hypot(c.High-c.Value, z90*sd(high))
	}
	return max(low, 0), high
}

// explains is the pH the recipe can account for, the model's error included:
// where nothing sour is known, from what may be there to that of water.
func (res *Result) explains() Range {
	if res.PHKnown {
		return res.PH
	}
	low, _, _, _ := res.Parts.PHRange()
	if low < acidity.Neutral {
		low = max(low-acidity.Error(res.ABVPercent.Value), 0)
	}
	return Range{acidity.Neutral, low, acidity.Neutral}
}

// ReadingsName is the Name of an *InputError about Measured.
const ReadingsName = "measured"

// mostABVPercent is the strength of the strongest thing that went in, as strong as it may be.
func (r *Recipe) mostABVPercent() (most float64) {
	if r.Alive { // and makes it stronger
		most = growth.FermentsABVPercent
	}
	for _, b := range r.Bases {
		most = max(most, b.ABVPercent.Value+2*b.ABVPercent.SD)
	}
	for _, s := range r.Solids { // a spirit that joined the jar
		most = max(most, s.PerG.ABVPercent())
	}
	for _, a := range r.Additions {
		most = max(most, a.PerG.ABVPercent()+2*a.ABVPercent.SD)
	}
	for _, o := range r.others() { // or what nobody knows, which may be one
		for _, p := range o.may {
			most = max(most, p.ABVPercent())
		}
	}
	return min(most, 100)
}

// tooStrong refuses a measured strength above that of all that went in:
// nothing that is poured together gets stronger than its strongest part.
func (r *Recipe) tooStrong() error {
	m := r.Measured.ABVPercent
	if m == nil {
		return nil
	}
	most := r.mostABVPercent()
	if m.Value <= most+strengthSlip {
		return nil
	}
	return refused(ReadingsName, "a strength of %.1f %% vol, but the strongest thing that went in has "+
		"%.1f; a float reads wrong in a sweet drink, so read it again or leave it out", m.Value, most)
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
		{"a ", "pH", "", &m.PH, mostDrinkPH},
		{"a ", "density", " kg/m³", &m.DensityKgPerM3, 1600},
		{"", "dissolved solids", " °Bx", &m.Brix, 90},
	}
}

// A pH beyond these was not read in a drink: neat lemon juice has 2, lye 13. Judgement.
const leastDrinkPH, mostDrinkPH = 1, 12

// and are the readings that are in both.
func (m Measured) and(other Measured) Measured {
	theirs := other.list()
	for i, x := range m.list() {
		if *theirs[i].q == nil {
			*x.q = nil
		}
	}
	return m
}

type reading struct {
	article, what, unit string
	q                   **Quantity
	most                float64
}
