package shelf

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
)

// Margins added against the maker's favour. They are ours, chosen to be
// cautious: a computed figure gets the wider one whatever range it claims,
// an instrument reading about the repeatability of kitchen instruments. The
// range's own end counts where it lies further out.
const (
	abvMargin, abvMarginMeasured     = 1.0, 0.5   // % vol
	sugarMargin, sugarMarginMeasured = 0.10, 0.05 // share of the value
	pHMargin, pHMarginMeasured       = 0.2, 0.1
	awMargin, awMarginMeasured       = 0.02, 0.01
)

// worst is the bottle at the unfavourable end of every figure.
type worst struct {
	abv, sugar float64
	pH         float64 // read only when pHKnown
	pHKnown    bool
	aw         float64 // 1 when unknown
	awKnown    bool
	freshJuice bool
	nourishing bool
	clear      bool // strained clear, no solids
	cold       bool // dairy, egg or nut milk: always kept cold
	rich       bool // the same, or what nobody knows: as good a food as there is
	// lowAcidLeftIn: fresh low-acid pieces stay in the bottle.
	lowAcidLeftIn bool
}

func pick(measured bool, a, b float64) float64 {
	if measured {
		return b
	}
	return a
}

// lowEnd and highEnd are the ends of a range with at least that margin.
func lowEnd(r mixture.Range, margin float64) float64 { return max(min(r.Value-margin, r.Low), 0) }

func highEnd(r mixture.Range, margin float64) float64 { return max(r.Value+margin, r.High) }

func worstOf(b Bottle) worst {
	w := worst{aw: 1}
	w.abv = lowEnd(b.ABVPercent, pick(b.Measured.ABV, abvMargin, abvMarginMeasured))
	sugarShare := pick(b.Measured.Sugar, sugarMargin, sugarMarginMeasured)
	w.sugar = lowEnd(b.SugarGPerL, b.SugarGPerL.Value*sugarShare)
	if b.PHKnown {
		w.pHKnown = true
		w.pH = highEnd(b.PH, pick(b.Measured.PH, pHMargin, pHMarginMeasured))
	}
	if b.WaterActivity.Value > 0 {
		w.awKnown = true
		w.aw = min(highEnd(b.WaterActivity, pick(b.Measured.WaterActivity, awMargin, awMarginMeasured)), 1)
	}
	w.freshJuice = len(b.FreshJuice) > 0
	w.nourishing = len(b.Nourishing) > 0 || w.freshJuice || b.Pulp || b.Fruit || b.Dairy || b.Egg ||
		b.RawEgg || b.NutMilk || len(b.Unknown) > 0 ||
		len(b.FreshLowAcid) > 0 && len(b.SolidsLeftIn) > 0
	w.lowAcidLeftIn = slices.ContainsFunc(b.FreshLowAcid,
		func(n string) bool { return slices.Contains(b.SolidsLeftIn, n) })
	w.clear = b.Filtered && !b.Pulp && len(b.SolidsLeftIn) == 0
	w.cold = b.Dairy || b.Egg || b.RawEgg || b.NutMilk
	w.rich = w.cold || len(b.Unknown) > 0
	return w
}

// OrWeaker opens its computed strength to another that it may be, with the margin of that.
func (b *Bottle) OrWeaker(weak mixture.Range) {
	b.ABVPercent.Low = math.Min(b.ABVPercent.Low, lowEnd(weak, abvMargin))
}

// WorstABVPercent is the strength that it is judged on: the low end of its range, or the
// usual margin below.
func (b *Bottle) WorstABVPercent() float64 { return worstOf(*b).abv }

// Conditions are what microbes find in the bottle, closed, at a temperature in °C: the
// worst end of every figure with the margin of a computed one.
func (b *Bottle) Conditions(celsius float64) growth.Conditions {
	c := growth.Conditions{
		ABVPercent:    growth.At(lowEnd(b.ABVPercent, abvMargin)),
		SugarGPerL:    growth.At(lowEnd(b.SugarGPerL, sugarMargin*b.SugarGPerL.Value)),
		WaterActivity: growth.At(min(1, highEnd(b.WaterActivity, awMargin))),
		Celsius:       growth.At(celsius), NoAir: true,
	}
	if b.PHKnown {
		c.PH = growth.At(highEnd(b.PH, pHMargin))
	}
	return c
}

// acid reports whether the worst-case pH is known and at most limit.
func (w worst) acid(limit float64) bool { return w.pHKnown && w.pH <= limit+rounding }

// rounding keeps 2.9 + 0.2 at 3.1.
const rounding = 1e-9

// check refuses figures that cannot be.
func check(b Bottle, s Storage) error {
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	each := func(what string, r mixture.Range, lo, hi float64) error {
		if math.IsNaN(r.Value) {
			return fmt.Errorf("%s is not known", what)
		}
		if bad(r.Value) || bad(r.Low) || bad(r.High) || r.Value < lo || r.Value > hi {
			return fmt.Errorf("%s has to be between %g and %g, not %g", what, lo, hi, r.Value)
		}
		if r.Low > r.Value+rounding || r.High < r.Value-rounding {
			return fmt.Errorf("%s of %g has to lie in its own range, not outside %g to %g", what, r.Value,
				r.Low, r.High)
		}
		return nil
	}
	errs := []error{
		each("the strength in % vol", b.ABVPercent, 0, 100),
		each("the sugar in g/L", b.SugarGPerL, 0, 1600),
		each("the water activity", b.WaterActivity, 0, 1),
	}
	if b.PHKnown {
		errs = append(errs, each("the pH", b.PH, 0, 14))
	}
	if s.Measured && (bad(s.Celsius) || s.Celsius < -90 || s.Celsius > 60) {
		errs = append(errs, fmt.Errorf("the store has to be between -90 and 60~°C, not %g", s.Celsius))
	}
	switch s.Place {
	case "", Freezer, Fridge, Cellar, Room:
	default:
		errs = append(errs,
			fmt.Errorf("the place has to be freezer, fridge, cellar or room, not %q", s.Place))
	}
	var said []string
	for _, err := range errs {
		if err != nil {
			said = append(said, err.Error())
		}
	}
	if said == nil {
		return nil
	}
	return errors.New(strings.Join(said, "; "))
}

// Temperatures taken when the maker gave none, °C. Warm ends, on purpose.
const (
	roomC, cellarC, fridgeC, freezerC = 25, 18, 7, -18
)

// warmestFridgeC is the warmest store that counts as a fridge, and
// frozenC the warmest that counts as a freezer.
const warmestFridgeC, frozenC = 8, -10

// settled fills in place and temperature.
func (s Storage) settled() Storage {
	if !s.Measured {
		if s.Place == "" {
			s.Place = Room
		}
		usual := map[Place]float64{Room: roomC, Cellar: cellarC, Fridge: fridgeC, Freezer: freezerC}
		s.Celsius = usual[s.Place]
		return s
	}
	if s.Place == "" {
		s.Place = PlaceOf(s.Celsius)
	}
	return s
}

// Counts reports whether a place at a temperature [°C] is what it is called: a fridge that is too warm is none.
func (p Place) Counts(celsius float64) bool { return p != Fridge || celsius <= warmestFridgeC }

// PlaceOf names the kind of place a temperature [°C] belongs to. Our bands.
func PlaceOf(celsius float64) Place {
	switch {
	case celsius <= frozenC:
		return Freezer
	case celsius <= warmestFridgeC:
		return Fridge
	case celsius <= cellarC:
		return Cellar
	}
	return Room
}
