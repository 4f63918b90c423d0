package mixture

import (
	"math"

	"steepbook/shelf/alcohol"
)

// Rinse is what washing strained solids with water gives back.
type Rinse struct {
	Parts        Parts   // what runs off, all washings together
	EthanolShare float64 // of the ethanol the solids had kept, 0 to 1
}

// RinseMarc washes solids that keep the liquor marc with waterML of water in so
// many equal washings, each stirred until even and drained; the solids keep the
// same volume every time. Using the water that is to thin the blend anyway, it
// brings spirit back that would be thrown out. Flavour comes with it: late,
// bitter matter too, so taste it before it goes in. It returns an *InputError
// for an amount of water or number of washings not above zero.
func RinseMarc(marc Parts, waterML float64, washings int) (Rinse, error) {
	if !(waterML > 0) || math.IsInf(waterML, 0) {
		return Rinse{}, refused("rinse", "%g~ml of water; it must be above 0", waterML)
	}
	if washings < 1 || washings > 100 {
		return Rinse{}, refused("rinse", "%d washings; it must be between 1 and 100", washings)
	}
	kept := marc.VolumeML(20)
	left := marc
	var out Parts
	for range washings {
		wet := left.Plus(Parts{Water: waterML / float64(washings) * alcohol.WaterDensity20 / 1000})
		stays := math.Min(ratio(kept, wet.VolumeML(20)), 1)
		left = wet.Times(stays)
		out = out.Plus(wet.Times(1 - stays))
	}
	return Rinse{Parts: out, EthanolShare: ratio(out.Ethanol, marc.Ethanol)}, nil
}
