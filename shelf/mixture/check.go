package mixture

import (
	"fmt"
	"math"
	"slices"
)

// mostAmount is more than any batch has, in g or mL: a slip of the keyboard.
const mostAmount = 1e9

// clone copies the recipe so that inputs may be moved, and gives unset factors
// their value of one.
func (r Recipe) clone() Recipe {
	r.Bases, r.Solids, r.Additions = slices.Clone(r.Bases), slices.Clone(r.Solids), slices.Clone(r.Additions)
	one := func(q *Quantity) {
		if q.Value == 0 {
			q.Value = 1
		}
	}
	for i := range r.Bases {
		one(&r.Bases[i].AcidFactor)
		one(&r.Bases[i].SugarFactor)
	}
	for i := range r.Solids {
		one(&r.Solids[i].AcidFactor)
		one(&r.Solids[i].WaterFactor)
		one(&r.Solids[i].SugarFactor)
	}
	for i := range r.Additions {
		one(&r.Additions[i].AcidFactor)
		one(&r.Additions[i].SugarFactor)
	}
	for _, x := range r.Measured.list() {
		if *x.q != nil {
			c := **x.q
			*x.q = &c
		}
	}
	return r
}

// check refuses what no vessel could hold.
func (r Recipe) check() error {
	amount := func(name, what, unit string, q Quantity, most float64) error {
		switch {
		case !(q.Value >= 0):
			return &InputError{name, fmt.Sprintf("%s of %g%s; it must not be below zero", what, q.Value, unit)}
		case q.Value > most:
			return &InputError{name, fmt.Sprintf("%s of %g%s; the most there can be is %.0f", what, q.Value, unit, most)}
		case !(q.SD >= 0 && q.SD <= most):
			return &InputError{name, fmt.Sprintf("%s with an uncertainty of %g%s; it must lie between 0 and %.0f", what, q.SD, unit, most)}
		}
		return nil
	}
	// parts holds a composition against the mass it is for; table values that
	// add up to a little more than the whole are let pass.
	parts := func(name string, p Parts, whole float64, of string) error {
		for _, x := range []float64{p.Ethanol, p.Water, p.Sucrose, p.Glucose, p.Fructose, p.Glycerol, p.Citric, p.Malic, p.Tartaric, p.Acetic, p.Lactic, p.Sorbic, p.Benzoic, p.OtherAcid, p.Fat, p.OtherSolids, p.BufferMMol} {
			if !(x >= 0) || math.IsInf(x, 0) {
				return &InputError{name, fmt.Sprintf("a constituent of %g g; it must not be below zero", x)}
			}
		}
		if p.MassG() > 1.05*whole {
			return &InputError{name, fmt.Sprintf("what %s of it holds adds up to %.4g g", of, p.MassG())}
		}
		if z := math.Abs(p.StrongIonsMMol) + p.BufferMMol; !(z <= 50*whole) {
			return &InputError{name, fmt.Sprintf("%g mmol of strong ions in %s; nothing edible has so many", z, of)}
		}
		return nil
	}
	var errs []error
	liquid := false
	for _, b := range r.Bases {
		errs = append(errs, amount(b.Name, "a volume", " ml", b.VolumeML, mostAmount), amount(b.Name, "a strength", " % vol", b.ABVPercent, 100),
			amount(b.Name, "a sweetness", " g/l", Quantity{Value: b.SugarGPerL}, 1500), parts(b.Name, b.PerLitre, 1500, "a litre"),
			amount(b.Name, "an acid factor", "", b.AcidFactor, 100), amount(b.Name, "a sugar factor", "", b.SugarFactor, 100),
			amount(b.Name, "a shift of pH", "", Quantity{Value: math.Abs(b.PHShift.Value), SD: b.PHShift.SD}, 5))
		liquid = liquid || b.VolumeML.Value > 0
	}
	for _, s := range r.Solids {
		errs = append(errs, amount(s.Name, "a weight", " g", s.MassG, mostAmount), amount(s.Name, "liquor kept back", " ml/g", s.HeldMLPerG, 1000),
			amount(s.Name, "liquor kept after pressing", " ml/g", s.PressedMLPerG, 1000), parts(s.Name, s.PerG, 1, "a gram"),
			amount(s.Name, "a share given", "", Quantity{Value: s.Given.Low}, 1), amount(s.Name, "a share given", "", Quantity{Value: s.Given.High}, 1),
			amount(s.Name, "an acid factor", "", s.AcidFactor, 100), amount(s.Name, "a sugar factor", "", s.SugarFactor, 100), amount(s.Name, "a water factor", "", s.WaterFactor, 100))
		liquid = liquid || s.MassG.Value > 0 && s.PerG.Water > 0
	}
	errs = append(errs, amount("filter", "a loss", " ml", r.FilterLossML, mostAmount),
		amount("", "the water of what was not weighed", " g", Quantity{Value: r.Unweighed.Water}, mostAmount),
		amount("", "what the unweighed keeps", " ml", Quantity{Value: r.UnweighedHoldML}, mostAmount),
		amount("", "salts of what was not weighed", " mmol", Quantity{Value: r.Unweighed.BufferMMol}, 50*mostAmount))
	for _, a := range r.Additions {
		shift := a.PHShift
		shift.Value = math.Abs(shift.Value)
		errs = append(errs, amount(a.Name, "a weight", " g", a.MassG, mostAmount), parts(a.Name, a.PerG, 1, "a gram"),
			amount(a.Name, "an acid factor", "", a.AcidFactor, 100), amount(a.Name, "a sugar factor", "", a.SugarFactor, 100),
			amount(a.Name, "a shift of pH", "", shift, 5), amount(a.Name, "a strength", " % vol", a.ABVPercent, 100))
		liquid = liquid || a.MassG.Value > 0 && a.PerG.Water+a.PerG.Ethanol > 0
	}
	for _, x := range r.Measured.list() {
		if *x.q != nil {
			errs = append(errs, amount("measured", x.article+x.what, x.unit, **x.q, x.most))
		}
	}
	if pH := r.Measured.PH; pH != nil && pH.Value < leastDrinkPH {
		errs = append(errs, &InputError{"measured", fmt.Sprintf("a pH of %g; the least a drink can have is %d", pH.Value, leastDrinkPH)})
	}
	if d := r.Measured.DensityKgPerM3; d != nil && d.Value < 700 {
		errs = append(errs, &InputError{"measured", fmt.Sprintf("a density of %g kg/m³; drinks lie between 800 and 1400", d.Value)})
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	if !liquid {
		return &InputError{Problem: "nothing liquid goes in, so there is nothing to compute; give a spirit, water or juice with its amount"}
	}
	return nil
}
