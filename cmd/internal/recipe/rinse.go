package recipe

import (
	"strings"

	"steepbook/shelf/alcohol"
	"steepbook/shelf/mixture"
)

// Rinsed is what washing the strained solids with water gives back.
type Rinsed struct {
	WaterML, SpiritShare, PureAlcoholML float64
}

// Rinse works out what the water among some additions brings back from the strained
// solids, used in two washings; ok is false when they keep nothing worth it.
func (b *Blend) Rinse(of []Addition) (r Rinsed, ok bool) {
	res := &b.Result
	if !b.Have() || res.MarcParts.Ethanol < 4 {
		return r, false
	}
	water := 0.0
	for i := range of {
		x := &of[i]
		if amount := x.Entry.Amount; x.Reads.Water() && amount != nil {
			if _, ml, _, ok := amount.Millilitres(); ok {
				water += ml
			}
		}
	}
	if water == 0 {
		return r, false
	}
	out, err := mixture.RinseMarc(res.MarcParts, water, 2)
	if err != nil {
		return r, false
	}
	return Rinsed{WaterML: water, SpiritShare: out.EthanolShare,
		PureAlcoholML: out.EthanolShare * res.MarcParts.Ethanol / alcohol.EthanolDensity20 * 1000}, true
}

// Weighed reports whether something is added by the scale: dry sugars and acids.
func Weighed(name string) bool {
	return (strings.Contains(name, "sugar") || strings.Contains(name, "acid")) && !strings.Contains(name, "%")
}
