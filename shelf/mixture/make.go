package mixture

import (
	"fmt"
	"math"

	"steepbook/shelf/acidity"
	"steepbook/shelf/alcohol"
)

// InputError is a value no vessel could hold, in words for whoever wrote it.
type InputError struct {
	Name    string // what the value belongs to; may be empty
	Problem string // what is wrong and what would be right
}

func (e *InputError) Error() string {
	if e.Name == "" {
		return e.Problem
	}
	return e.Name + ": " + e.Problem
}

//go:noinline
func refused(name, format string, args ...any) error {
	return &InputError{name, fmt.Sprintf(format, args...)}
}

// FromVolume returns what volumeML (at 20 °C) of a liquid of abvPercent % vol
// holds; perLitre is everything besides ethanol and water in a litre of it, in
// g (its own Ethanol and Water are not read). It returns an *InputError for
// values out of range or solids that leave no room for the alcohol.
func FromVolume(volumeML, abvPercent float64, perLitre Parts) (Parts, error) {
	if !(volumeML >= 0) || math.IsInf(volumeML, 0) {
		return Parts{}, refused("", "a volume of %g~ml; it must not be below zero", volumeML)
	}
	if !(abvPercent >= 0 && abvPercent <= 100) {
		return Parts{}, refused("", "a strength of %g %% vol; it must be between 0 and 100", abvPercent)
	}
	perLitre.Ethanol, perLitre.Water = 0, 0
	p, ok := fill(volumeML, abvPercent, perLitre.Times(volumeML/1000), 0)
	if !ok {
		return Parts{}, noRoom("", abvPercent, perLitre)
	}
	return p, nil
}

func noRoom(name string, abvPercent float64, perLitre Parts) error {
	return refused(name, "%.4g %% vol leaves no room for %.4g g/L of dissolved solids", abvPercent,
		perLitre.MassG())
}

// fill tops extract up with ethanol to abvPercent and then with water to
// volumeML. ok is false when there is no room for the water.
func fill(volumeML, abvPercent float64, extract Parts, sugarShift float64) (p Parts, ok bool) {
	p = extract
	p.Ethanol = volumeML * abvPercent / 100 * alcohol.EthanolDensity20 / 1000
	p.Water = 0
	// A gram of water adds 0.9 to 1.0 mL, so stepping by the missing volume, and then by
	// what the last step added a gram, closes in fast.
	perG, was, by := 1.0, 0.0, 0.0
	for range 60 {
		missing := volumeML - p.volumeML(20, sugarShift)
		if added := (was - missing) / by; added > 0.5 && added < 1.5 {
			perG = added
		}
		was, by = missing, missing/perG
		p.Water += by
		if p.Water < 0 {
			// Rounding of pure ethanol must not count as "no room".
			ok = -p.Water <= 1e-3*volumeML
			p.Water = 0
			return p, ok
		}
		if math.Abs(missing) <= 1e-12*volumeML {
			break
		}
	}
	return p, true
}

// Sweetened is a litre at 20 °C of ethanol, water and sucrose of that strength
// [% vol] and sweetness [g/L]. ok is false where they leave no room for water.
func Sweetened(abvPercent, sugarGPerL float64) (p Parts, ok bool) {
	return fill(1000, abvPercent, Parts{Sucrose: sugarGPerL}, 0)
}

// WithPH returns p with the strong ions that give it the measured pH, its
// acids unchanged; what was not sure of them is now. Use it for a juice of which
// the total acid (free and bound) and the pH are known. It returns an *InputError
// where p has no acid or the pH is not between 1.5 and 8.
func WithPH(p Parts, pH float64) (Parts, error) {
	p = p.settled()
	l := p.solventLitres()
	if p.AcidG() <= 0 || l <= 0 {
		return p, refused("", "a pH is given but no acid; give the acid too")
	}
	if !(pH >= 1.5 && pH <= 8) {
		return p, refused("", "a pH of %g; drinks lie between 1.5 and 8", pH)
	}
	var room acidRoom
	as := p.acids(&room, 0)
	for i := range as {
		as[i].MolPerL /= l
	}
	z, err := acidity.StrongIons(as, pH, p.solventABV())
	if err != nil {
		return p, &InputError{Problem: err.Error()}
	}
	p.StrongIonsMMol = 1000 * z * l
	return p, nil
}

// WithTitration returns p with its acids scaled, and its strong ions set, so
// that both the pH and the titratable acidity come out as measured;
// titratableGPerL is in g of anhydrous citric acid per litre. Where p has no
// acid at all, citric acid is put in. Water makes room so that the mass stays.
// It returns an *InputError where the two values contradict each other.
func WithTitration(p Parts, pH, titratableGPerL float64) (Parts, error) {
	if !(titratableGPerL > 0 && titratableGPerL < 400) {
		return p, refused("", "an acidity of %g g/L; it must lie between 0 and 400", titratableGPerL)
	}
	mass := p.MassG()
	if p.AcidG() <= 0 {
		p.Citric = titratableGPerL / 1000 * p.VolumeML(20)
		p.Water -= p.Citric
	}
	at := func(f float64) (Parts, error) {
		q := p.acidTimes(f)
		q.Water += mass - q.MassG()
		if q.Water <= 0 {
			return q, refused("", "%g g/L of acid leaves no room for water", titratableGPerL)
		}
		return WithPH(q, pH)
	}
	lo, hi := 0.0, 1.0
	for {
		q, err := at(hi)
		if err != nil {
			return p, err
		}
		if q.AcidGPerL() >= titratableGPerL {
			break
		}
		if lo, hi = hi, 2*hi; hi > 1e3 {
			return p, refused("", "pH %g does not go with %g g/L of acid", pH, titratableGPerL)
		}
	}
	return at(crossing(lo, hi, func(f float64) float64 {
		q, _ := at(f) // what is good at hi is good below it
		return q.AcidGPerL() - titratableGPerL
	}))
}

// Unsure is p with acid that only may be there.
func (p Parts) Unsure() Parts {
	all := p.AcidG()
	p = p.acidTimes(0)
	p.OtherAcid = all
	return p
}

// crossing is where a rising f passes zero between lo and hi, or the end beyond
// which it does: by false position, an end that stays counting half, and halving
// where that is slow.
func crossing(lo, hi float64, f func(float64) float64) float64 {
	below, above := f(lo), f(hi)
	switch {
	case below >= 0:
		return lo
	case above <= 0:
		return hi
	}
	for stayed, step := 0, 0; hi-lo > 1e-14*math.Abs(hi); step++ {
		x := lo + (hi-lo)*below/(below-above)
		if step%4 == 3 || !(lo < x && x < hi) {
			x = (lo + hi) / 2
			if !(lo < x && x < hi) {
				break
			}
		}
		switch v := f(x); {
		case v == 0:
			return x
		case v < 0:
			if lo, below = x, v; stayed < 0 {
				above /= 2
			}
			stayed = -1
		default:
			if hi, above = x, v; stayed > 0 {
				below /= 2
			}
			stayed = 1
		}
	}
	return hi
}

// WithAcid returns p with its acids scaled to the titratable acidity in g of
// anhydrous citric acid per litre, and sure: an acidity read without a pH, as on a
// label. Its strong ions stay. Without acids, citric acid is put in; water makes
// room.
func WithAcid(p Parts, titratableGPerL float64) Parts {
	grams := titratableGPerL * p.VolumeML(20) / 1000
	q, has := p, p.baseToEndPointMMol()+p.StrongIonsMMol
	if p.AcidG() <= 0 || has <= 0 { // none, or all of it bound
		q.Citric, q.StrongIonsMMol = grams, 0
	} else {
		want := grams/acidity.Citric.MolarMass*3000 + p.StrongIonsMMol
		q = p.acidTimes(max(want, 0) / has)
	}
	q.Lactic, q.OtherAcid = q.Lactic+q.OtherAcid, 0
	q.Water = max(q.Water+p.MassG()-q.MassG(), 0)
	return q
}

// WithBrix returns a gram of a syrup with the sugar that a reading says, water making room.
func WithBrix(p Parts, brix float64) Parts {
	have := p.SugarG()
	want := brix/100 - (p.MassG() - p.Water - have)
	if want <= 0 || want >= 1 {
		return p
	}
	if have > 0 {
		f := want / have
		p.Sucrose, p.Glucose, p.Fructose = p.Sucrose*f, p.Glucose*f, p.Fructose*f
	} else {
		p.Sucrose = want
	}
	p.Water -= want - have
	return p
}

// WithABV returns p with ethanol in the place of its water, so that it has that strength; ok is false where it
// holds too little of that.
func WithABV(p Parts, abvPercent float64) (q Parts, ok bool) {
	room := p.Water + p.Ethanol
	at := func(ethanol float64) Parts {
		p.Ethanol, p.Water = ethanol, room-ethanol
		return p
	}
	low, high := 0.0, room
	if abvPercent > 0 && at(high).ABVPercent() < abvPercent {
		return p, false
	}
	for range 60 {
		if mid := (low + high) / 2; at(mid).ABVPercent() < abvPercent {
			low = mid
		} else {
			high = mid
		}
	}
	return at(low), true
}

// WithReadings returns p with what was read of its sourness, each nil where it was not: a titratable acidity as in
// WithAcid, a pH as in WithPH, both as in WithTitration, with their errors.
func WithReadings(p Parts, pH, titratableGPerL *float64) (Parts, error) {
	switch {
	case pH != nil && titratableGPerL != nil:
		return WithTitration(p, *pH, *titratableGPerL)
	case pH != nil:
		return WithPH(p, *pH)
	case titratableGPerL != nil:
		return WithAcid(p, *titratableGPerL), nil
	}
	return p, nil
}

// saturatedGPerML is the sugar in a mL of saturated syrup at room temperature: two grams to a gram of water,
// where a gram takes 0.625 mL.
const saturatedGPerML = 2 / (1 + 2*0.625)

// Undescribed is what else a gram of a liquid of that strength may be, of which nobody knows what is dissolved
// in it: as sweet as syrup beside its alcohol, or as sour; each as much of that as there is in the room of p.
func (p Parts) Undescribed(sour bool) (may []Parts) {
	abv, ml := p.ABVPercent(), p.VolumeML(20)
	most := 1000 * saturatedGPerML * (1 - abv/100)
	list := []Parts{{Sucrose: most}, {Citric: most}}
	if !sour {
		list = list[:1]
	}
	for _, more := range list {
		if full, err := FromVolume(ml, abv, p.Times(1000/ml).Plus(more)); err == nil {
			may = append(may, full)
		}
	}
	return may
}

// PerG is the composition of a gram of p; an empty p gives the zero value.
func (p Parts) PerG() Parts { return p.Times(ratio(1, p.MassG())) }
