package steeping

import (
	"math"

	"steepbook/kinetics/panel"
)

// sampleML is how much a tasting sample is: two teaspoons, in halves of one.
const (
	sampleML     = 10
	sampleStepML = 2.5
)

// syrupSugarGPerML is the sugar in a mL of syrup of equal weights of sugar and
// water: 50 mass % of 1.2297 g/mL (ICUMSA polynomial at 20 °C).
const syrupSugarGPerML = 0.615

// thinFromABV is from which strength [% vol] a sip is thinned before it is scored: common practice,
// from memory, without a source.
const thinFromABV = 45

// TooStrong reports whether what has so many % vol numbs whoever scores it neat.
func TooStrong(abvPercent float64) bool { return abvPercent >= thinFromABV }

// Mix finds the mix that tastes at bottle strength and sweetness now; thinner, where that still numbs
// whoever scores it. share is the part of a bottle that is what steeps, as strong as it is now, which
// has so many % vol, plain parts together; the bottle has so much sugar.
func (j *Steeped) Mix(share, abvPercent, sugarGPerL float64) {
	thinner := 1.0
	if TooStrong(abvPercent * share) { // about so strong
		thinner = 2 / math.Round(2*abvPercent/panel.GlassABVPercent) / share
	} else if share > 0.97 {
		return
	}
	const toldApart = 0.75 // of a sweetness
	sweet := sugarGPerL / 1000 * sampleML / syrupSugarGPerML
	syrup := math.Min(sweet, sampleML*(1-share)) * thinner
	j.LessSweet = syrup < toldApart*sweet*thinner
	share *= thinner
	rest := sampleML * (1 - share)
	mix, err := panel.SampleAtBottleStrength(sampleML*share, []panel.Part{
		{Name: "1:1 syrup (sugar and water, equal weights)", VolumeML: syrup},
		{Name: "water", VolumeML: rest - syrup},
	}, sampleStepML)
	if err == nil {
		if j.Sample = mix; thinner < 1 {
			j.ThinnedABV = panel.GlassABVPercent
		}
	}
}
