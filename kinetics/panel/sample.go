package panel

import (
	"errors"
	"math"
)

// Part is a named volume.
type Part struct {
	Name     string
	VolumeML float64
}

// Sample is a small mixture that tastes as the bottle will.
type Sample struct {
	JarML   float64
	Parts   []Part // what joins it, in the order given
	TotalML float64
	off     float64 // by how much the share of a part is wrong at most, after rounding
}

// GlassABVPercent is about how strong spirits are scored, in % vol: stronger ones numb the tongue.
// Common practice of tasting rooms, from memory, without a source.
const GlassABVPercent = 20

// LeastSampleML is the least that is tasted: two sips.
const LeastSampleML = 10

var errSample = errors.New("a sample needs a jar volume above zero and no negative volumes")

// SampleAtBottleStrength scales the bottle's recipe (jarML from the jar and the
// rest) down to the smallest sample of 10 ml or more in which every part is a whole
// number of steps (the smallest volume that can be measured, in ml) and has the share
// of the whole that it has in the bottle, to within a fortieth of the whole; or to the
// most exact sample up to 25 ml: a sip, for what is tasted is gone from the jar.
func SampleAtBottleStrength(jarML float64, rest []Part, stepML float64) (Sample, error) {
	total := jarML
	for _, p := range rest {
		if !(p.VolumeML >= 0) || math.IsInf(p.VolumeML, 0) {
			return Sample{}, errSample
		}
		total += p.VolumeML
	}
	if !(jarML > 0) || math.IsInf(total, 0) || !(stepML > 0) {
		return Sample{}, errSample
	}
	const enough, most = 0.025, 25.0
	best := Sample{off: math.Inf(1)}
	for n := 1; n <= 1000; n++ {
		jar := float64(n) * stepML
		s := Sample{JarML: jar, TotalML: jar}
		for _, p := range rest {
			v := math.Round(p.VolumeML/jarML*jar/stepML) * stepML
			s.Parts = append(s.Parts, Part{p.Name, v})
			s.TotalML += v
		}
		if s.TotalML > most && best.JarML > 0 {
			break
		}
		if s.TotalML < LeastSampleML*0.999 {
			continue
		}
		s.off = math.Abs(jar/s.TotalML - jarML/total)
		for i, p := range rest {
			s.off = math.Max(s.off, math.Abs(s.Parts[i].VolumeML/s.TotalML-p.VolumeML/total))
		}
		if s.off < best.off {
			best = s
		}
		if best.off <= enough {
			break
		}
	}
	return best, nil
}
