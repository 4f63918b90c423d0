package library

import (
	"fmt"

	"steepbook/data/quantity"
)

// assay is the ingredient with the share that a name gives of what it is bought
// for, in g per 100 g: "citric acid 50 %" is dissolved in water, "vinegar 6 %" is
// that sour, "cream 30 %" that fat; the per cent of what holds alcohol is that, and not read here. nil where
// a per cent says what nobody knows.
func (i *Ingredient) assay(percent float64) *Ingredient {
	c := i.Per100G
	acid := c.Citric + c.Malic + c.OtherAcid
	out := *i
	switch {
	case i.Kind == "acid" && acid > 0:
		f := percent / acid
		more := percent - acid
		p := &out.Per100G
		p.Citric, p.Malic, p.OtherAcid, p.Water = f*c.Citric, f*c.Malic, f*c.OtherAcid, c.Water-more
		if p.Water < 0 {
			return nil
		}
		room, per := acidRoomMLPerG, acidRoomMLPerG
		if i.Acid == "acetic" || i.Acid == "lactic" {
			room = liquidAcidRoomMLPerG
		}
		if i.Liquid {
			per = 1 / i.DensityGPerML.Value
		}
		density := 1 / (per + more/100*(room-1/waterGPerML))
		out.Liquid, out.Measures = true, nil
		out.DensityGPerML = judged(density, 0.985*density, 1.015*density, "volumes added")
		out.DensityGPerML.Grade = Derived
		if i.AcidGPer100ML.Known() {
			out.AcidGPer100ML = judged(percent, 0.95*percent, 1.05*percent, "the strength in its name")
			out.AcidGPer100ML.Grade = Derived
		}
	case (i.Dairy || i.NutMilk) && c.Fat > 0 && c.Fat < 100 && percent <= 90:
		rest := (100 - percent) / (100 - c.Fat)
		out.Per100G = c.thinned(rest)
		out.Per100G.Water -= 100 * (1 - rest)
		out.Per100G.Fat = percent
	case c.Ethanol > 0.5 || percent == 100 || i.Kind == "other" && c.Fat > 20:
		return i // its alcohol, all of it, or chocolate's cocoa
	default:
		return nil
	}
	out.Name = fmt.Sprintf("%s %g %%", i.Name, percent)
	out.Names = nil
	if out.Per100G.Grade == Published {
		out.Per100G.Grade = Derived
	}
	out.Per100G.Basis = fmt.Sprintf("%s, made to %g g in 100 g", i.Name, percent)
	return &out
}

// acidRoomMLPerG is the room a gram of dissolved citric, malic or tartaric acid
// takes, within 5 %: crystals of citric acid take 0.60 (1.665 g/mL).
const acidRoomMLPerG = 0.615

// liquidAcidRoomMLPerG is that of acetic and lactic acid, 0.80 to 0.87. From memory.
const liquidAcidRoomMLPerG = 0.84

// told is the strength in a name and the name without it, where the name as it
// stands is none of the library's.
func told[T any](c *catalog[T], name string) (bare string, s quantity.NamedStrength) {
	if c.called(name) {
		return name, s
	}
	return quantity.StrengthIn(name)
}
