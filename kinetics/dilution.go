package kinetics

import (
	"errors"
	"math"
)

// Diluted is the score of a liquid after dilution to a fraction (0 to 1) of its
// concentration: score·fraction^exponent, the power law of sensation.
//
// Reference: Stevens, S. S. (1957). On the psychophysical law. Psychological
// Review 64, 153-181. Exponents in print: sugars 1.3 (Moskowitz 1970), pungency
// 0.71, aromas in the gas phase about 0.3 to 0.6.
//
// A fraction outside 0 to 1 is moved to the nearer end.
func Diluted(score, fraction, exponent float64) float64 {
	return score * math.Pow(math.Min(1, math.Max(0, fraction)), exponent)
}

// Undiluted is the score in the jar of what tasted like score in a sample that
// holds a fraction (above 0, at most 1) of jar: score·fraction^−exponent.
// It returns +Inf for a fraction of zero.
func Undiluted(score, fraction, exponent float64) float64 {
	return score * math.Pow(math.Min(1, math.Max(0, fraction)), -exponent)
}

// Part is a named volume.
type Part struct {
	Name     string
	VolumeML float64
}

// Sample is a small mixture that tastes as the bottle will.
type Sample struct {
	JarML       float64
	Parts       []Part // what joins it, in the order given
	TotalML     float64
	JarFraction float64 // wanted share of jar in the bottle
	Error       float64 // largest relative error of a part after rounding
}

// ErrSample is returned for volumes from which no sample can be mixed.
var ErrSample = errors.New("a sample needs a jar volume above zero and no negative volumes")

// SampleAtBottleStrength scales the bottle's recipe (jarML from the jar and the
// rest) down to the smallest sample of 10 ml or more in which every part is a whole number of
// steps (the smallest volume that can be measured, in ml; 0: 1 ml) to within
// 5 %, or to the most exact sample up to 60 ml.
func SampleAtBottleStrength(jarML float64, rest []Part, stepML float64) (Sample, error) {
	if stepML == 0 {
		stepML = 1
	}
	total := jarML
	for _, p := range rest {
		if !(p.VolumeML >= 0) || !finite(p.VolumeML) {
			return Sample{}, ErrSample
		}
		total += p.VolumeML
	}
	if !(jarML > 0) || !finite(total) || !(stepML > 0) {
		return Sample{}, ErrSample
	}
	const enough, least, most = 0.05, 10.0, 60.0 // least: two sips
	best := Sample{Error: math.Inf(1)}
	for n := 1; ; n++ {
		jar := float64(n) * stepML
		if n > 1 && jar*total/jarML > most || n > 1000 {
			break
		}
		s := Sample{JarML: jar, TotalML: jar, JarFraction: jarML / total}
		for _, p := range rest {
			exact := p.VolumeML / jarML * jar
			v := math.Round(exact/stepML) * stepML
			if exact > 0 {
				s.Error = math.Max(s.Error, math.Abs(v/exact-1))
			}
			s.Parts = append(s.Parts, Part{p.Name, v})
			s.TotalML += v
		}
		if s.TotalML < least*0.999 {
			continue
		}
		if s.Error < best.Error {
			best = s
		}
		if best.Error <= enough {
			break
		}
	}
	return best, nil
}
