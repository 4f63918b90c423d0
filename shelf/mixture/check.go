package mixture

import (
	"math"
	"slices"
)

// mostAmount is more than any batch has, in g or mL: a slip of the keyboard.
const mostAmount = 1e9

// factors are the quantities that multiply a composition; zero means exactly 1.
func (r *Recipe) factors() (fs []*Quantity) {
	for i := range r.Bases {
		fs = append(fs, &r.Bases[i].AcidFactor, &r.Bases[i].SugarFactor)
	}
	for i := range r.Solids {
		fs = append(fs, &r.Solids[i].AcidFactor, &r.Solids[i].WaterFactor, &r.Solids[i].SugarFactor)
	}
	for i := range r.Additions {
		fs = append(fs, &r.Additions[i].AcidFactor, &r.Additions[i].SugarFactor)
	}
	return fs
}

// clone copies the recipe so that inputs may be moved, and gives unset factors
// their value of one.
func (r Recipe) clone() Recipe {
	r.Bases, r.Solids, r.Additions = slices.Clone(r.Bases), slices.Clone(r.Solids), slices.Clone(r.Additions)
	for _, q := range r.factors() {
		if q.Value == 0 {
			q.Value = 1
		}
	}
	for _, x := range r.Measured.list() {
		if *x.q != nil {
			c := **x.q
			*x.q = &c
		}
	}
	return r
}

// checker keeps the first thing that is wrong with what it was shown.
type checker struct {
	name string // of what is looked at
	err  error
}

func (c *checker) refuse(format string, args ...any) {
	if c.err == nil {
		c.err = refused(c.name, format, args...)
	}
}

// amount holds a quantity against the most that it can be.
func (c *checker) amount(what, unit string, q Quantity, most float64) {
	switch {
	case !(q.Value >= 0):
		c.refuse("%s of %g%s; it must not be below zero", what, q.Value, unit)
	case q.Value > most:
		c.refuse("%s of %g%s; the most there can be is %.0f", what, q.Value, unit, most)
	case !(q.SD >= 0 && q.SD <= most):
		c.refuse("%s with an uncertainty of %g%s; it must lie between 0 and %.0f", what, q.SD, unit, most)
	}
}

func (c *checker) number(what, unit string, v, most float64) {
	c.amount(what, unit, Quantity{Value: v}, most)
}

func (c *checker) factor(of string, q Quantity) { c.amount(of+" factor", "", q, 100) }

func (c *checker) shift(q Quantity) {
	q.Value = math.Abs(q.Value)
	c.amount("a shift of pH", "", q, 5)
}

// parts holds a composition against the mass [g] it is for; table values that
// add up to a little more than the whole are let pass.
func (c *checker) parts(p Parts, whole float64, of string) {
	for _, x := range []float64{
		p.Ethanol, p.Water, p.Sucrose, p.Glucose, p.Fructose, p.Glycerol, p.Citric, p.Malic, p.Tartaric,
		p.Acetic, p.Lactic, p.Sorbic, p.Benzoic, p.OtherAcid, p.Fat, p.OtherSolids,
		p.BufferMMol, p.StrangeMMol,
	} {
		if !(x >= 0) || math.IsInf(x, 0) {
			c.refuse("a constituent of %g g; it must not be below zero", x)
		}
	}
	if p.MassG() > 1.05*whole {
		c.refuse("what %s of it holds adds up to %.4g g", of, p.MassG())
	}
	if z := math.Abs(p.StrongIonsMMol) + p.BufferMMol + p.StrangeMMol; !(z <= 50*whole) {
		c.refuse("%g mmol of strong ions in %s; nothing edible has so many", z, of)
	}
}

// check refuses what no vessel could hold.
func (r Recipe) check() error {
	var c checker
	liquid := false
	for _, b := range r.Bases {
		c.name = b.Name
		c.amount("a volume", " ml", b.VolumeML, mostAmount)
		c.amount("a strength", " % vol", b.ABVPercent, 100)
		c.number("a sweetness", " g/l", b.SugarGPerL, 1500)
		c.parts(b.PerLitre, 1500, "a litre")
		c.factor("an acid", b.AcidFactor)
		c.factor("a sugar", b.SugarFactor)
		c.shift(b.PHShift)
		liquid = liquid || b.VolumeML.Value > 0
	}
	for _, s := range r.Solids {
		c.name = s.Name
		c.amount("a weight", " g", s.MassG, mostAmount)
		c.amount("liquor kept back", " ml/g", s.HeldMLPerG, 1000)
		c.amount("liquor kept after pressing", " ml/g", s.PressedMLPerG, 1000)
		c.parts(s.PerG, 1, "a gram")
		c.number("a share given", "", s.Given.Low, 1)
		c.number("a share given", "", s.Given.High, 1)
		c.factor("an acid", s.AcidFactor)
		c.factor("a sugar", s.SugarFactor)
		c.factor("a water", s.WaterFactor)
		liquid = liquid || s.MassG.Value > 0 && s.PerG.Water > 0
	}
	c.name = ""
	c.number("the water of what was not weighed", " g", r.Unweighed.Water, mostAmount)
	for _, ml := range []float64{r.CurdsML.Low, r.CurdsML.Value, r.CurdsML.High} {
		c.number("what curds keep", " ml", ml, mostAmount)
	}
	c.number("what the unweighed keeps", " ml", r.UnweighedHoldML, mostAmount)
	c.number("salts of what was not weighed", " mmol", r.Unweighed.BufferMMol, 50*mostAmount)
	for _, a := range r.Additions {
		c.name = a.Name
		c.amount("a weight", " g", a.MassG, mostAmount)
		c.parts(a.PerG, 1, "a gram")
		c.factor("an acid", a.AcidFactor)
		c.factor("a sugar", a.SugarFactor)
		c.shift(a.PHShift)
		c.amount("a strength", " % vol", a.ABVPercent, 100)
		liquid = liquid || a.MassG.Value > 0 && a.PerG.Water+a.PerG.Ethanol > 0
	}
	c.name = ReadingsName
	for _, x := range r.Measured.list() {
		if *x.q != nil {
			c.amount(x.article+x.what, x.unit, **x.q, x.most)
		}
	}
	if pH := r.Measured.PH; pH != nil && pH.Value < leastDrinkPH {
		c.refuse("a pH of %g; the least a drink can have is %d", pH.Value, leastDrinkPH)
	}
	if d := r.Measured.DensityKgPerM3; d != nil && d.Value < 700 {
		c.refuse("a density of %g kg/m³; drinks lie between 800 and 1400", d.Value)
	}
	c.name = ""
	if !liquid {
		c.refuse("nothing liquid goes in, so there is nothing to compute; give a spirit, water or juice " +
			"with its amount")
	}
	return c.err
}
