package steeping

import (
	"math"

	"steepbook/kinetics/panel"
)

// SampleStepML is what a tasting sample is measured in: half a teaspoon.
const SampleStepML = 2.5

// LeastSampleML is the least that is tasted.
const LeastSampleML = panel.LeastSampleML

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
	sweet := sugarGPerL / 1000 / syrupSugarGPerML * thinner
	syrup := math.Min(sweet, (1-share)*thinner)
	share *= thinner
	mix, err := panel.SampleAtBottleStrength(share, []panel.Part{
		{Name: "1:1 syrup (sugar and water, equal weights)", VolumeML: syrup},
		{Name: "water", VolumeML: 1 - share - syrup},
	}, SampleStepML)
	if err != nil || mix.TotalML == mix.JarML { // neat, as far as can be measured
		return
	}
	j.Sample, j.LessSweet = mix, mix.Parts[0].VolumeML < toldApart*sweet*mix.TotalML
	if thinner < 1 {
		j.ThinnedABV = panel.GlassABVPercent
	}
}
