package mixture

import (
	"steepbook/shelf/acidity"
	"steepbook/shelf/alcohol"
)

// Stock is something at hand to add, or, Out, to take less of: it is in the start,
// but not yet in the vessel.
type Stock struct {
	Name   string
	PerG   Parts
	LimitG float64 // most there is, g; 0: no limit
	Out    bool
}

// Goal is what the blend should come to; figures left nil may be anything.
type Goal struct {
	ABVPercent *float64
	SugarGPerL *float64
	AcidGPerL  *float64 // titratable, as citric
	VolumeML   *float64 // at 20 °C
	// Within is how many times the start the blend may make where no volume is wanted; 0: as much as it
	// takes.
	Within float64
}

// Portion is an amount of one Stock; VolumeML is its own volume at 20 °C. Of a
// stock that is Out it is what is left out, and OfG what was meant to go in.
type Portion struct {
	Name            string
	MassG, VolumeML float64
	OfG             float64
	Of              int // which stock it is, by its place
}

// Correction is what to add and what comes of it. Add lists what is needed only,
// in the order of the stock.
type Correction struct {
	Add     []Portion
	Parts   Parts
	Reached bool
	Why     string // when not Reached: what stands in the way, and the nearest that can be had
}

// Tolerances within which a goal counts as reached. They are far inside what
// kitchen measures can do.
const (
	reachedABV    = 0.02 // % vol
	reachedSugar  = 0.2  // g/L
	reachedAcid   = 0.02 // g/L
	reachedVolume = 5e-4 // share of the volume
)

// target is one figure to be reached. Every one of them is a quotient of sums
// over what is poured together, num/V; the goal num - want·V = 0 is linear
// in the masses as soon as the volume is.
type target struct {
	figure    string
	unit      string
	more      string // "stronger"
	less      string // "weaker"
	digits    int
	want      float64
	num       func(Parts) float64 // per g; nil for the volume itself
	value     func(Parts) float64
	tolerance float64
	scale     float64 // misses are weighed in units of this
	weight    float64
}

func volumeTarget(ml float64) target {
	return target{
		figure: "volume", unit: "~ml", want: ml, tolerance: reachedVolume * ml, scale: 0.02 * ml,
		value: func(p Parts) float64 { return p.VolumeML(20) },
	}
}

func (g Goal) targets() ([]target, error) {
	var ts []target
	add := func(p *float64, most float64, t target) error {
		if p == nil {
			return nil
		}
		if !(*p >= 0 && *p <= most) {
			return refused("target", "%s of %g%s; it must be between 0 and %g", t.figure, *p, t.unit, most)
		}
		t.want, t.weight = *p, 1
		ts = append(ts, t)
		return nil
	}
	for _, err := range []error{
		add(g.ABVPercent, 100, target{
			figure: "strength", unit: " % vol", more: "stronger", less: "weaker", digits: 1,
			tolerance: reachedABV, scale: 1, value: Parts.ABVPercent,
			num: func(p Parts) float64 { return 100 * p.Ethanol / alcohol.EthanolDensity20 * 1000 },
		}),
		add(g.SugarGPerL, 1000, target{
			figure: "sugar", unit: " g/l", more: "sweeter", less: "less sweet",
			tolerance: reachedSugar, scale: 10, value: Parts.SugarGPerL,
			num: func(p Parts) float64 { return 1000 * p.SugarG() },
		}),
		add(g.AcidGPerL, 400, target{
			figure: "acid", unit: " g/l", more: "sourer", less: "less sour", digits: 1,
			tolerance: reachedAcid, scale: 1, value: Parts.AcidGPerL,
			num: func(p Parts) float64 { return p.baseToEndPointMMol() * acidity.Citric.MolarMass / 3 },
		}),
	} {
		if err != nil {
			return nil, err
		}
	}
	if v := g.VolumeML; v != nil {
		if !(*v > 0 && *v <= 1e9) {
			return nil, refused("target", "a volume of %g~ml; it must be above 0", *v)
		}
		t := volumeTarget(*v)
		t.weight = 1
		ts = append(ts, t)
	}
	if len(ts) == 0 {
		return nil, refused("target", "none is given; say a strength, sugar, acid or volume to aim for")
	}
	return ts, nil
}
