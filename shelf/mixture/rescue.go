package mixture

import (
	"fmt"
	"math"

	"steepbook/shelf/alcohol"
)

// Rescue thins an overdone jar so that a flavour in it comes down to the share
// keep (0 to 1) of what it is now, with the strength and sugar of the jar kept
// as near as what is at hand allows. Flavour counts as spread evenly in the
// volume, and the stock as bringing none of it. With plain spirit alone at hand
// the answer is simply how much of it. Plan.Reached says that the flavour comes
// down as wanted; Plan.Why then tells how strength and sugar shift.
func Rescue(jar Parts, keep float64, have []Stock) (Plan, error) {
	v := jar.VolumeML(20)
	if !(keep > 0 && keep < 1) {
		return Plan{}, &InputError{"rescue", fmt.Sprintf("a share of %g of the flavour is to stay; it must be between 0 and 1", keep)}
	}
	if v <= 0 {
		return Plan{}, &InputError{"rescue", "the jar is empty"}
	}
	abv, sugar, volume := jar.ABVPercent(), jar.SugarGPerL(), v/keep
	ts, err := Goal{ABVPercent: &abv, SugarGPerL: &sugar, VolumeML: &volume}.targets()
	if err != nil {
		return Plan{}, err
	}
	for i := range ts {
		if ts[i].num == nil {
			ts[i].weight = 1000 // the flavour comes first
		}
	}
	plan, err := solve(jar, have, ts)
	if err != nil {
		return Plan{}, err
	}
	got := plan.Parts
	plan.Reached = math.Abs(got.VolumeML(20)-volume) <= reachedVolume*volume
	switch {
	case !plan.Reached:
		plan.Why = fmt.Sprintf("What is at hand makes %.0f~ml; %.0f~ml would be needed.", got.VolumeML(20), volume)
	case math.Abs(got.ABVPercent()-abv) > 0.5 || math.Abs(got.SugarGPerL()-sugar) > 5:
		plan.Why = fmt.Sprintf("Strength goes from %.1f to %.1f %% vol and sugar from %.0f to %.0f g/l.", abv, got.ABVPercent(), sugar, got.SugarGPerL())
	default:
		plan.Why = ""
	}
	return plan, nil
}

// Rinse is what washing strained solids with water gives back.
type Rinse struct {
	Parts        Parts   // what runs off, all washings together
	EthanolShare float64 // of the ethanol the solids had kept, 0 to 1
	LeftABV      float64 // strength of the liquor that stays, % vol
}

// RinseMarc washes solids that keep the liquor marc with waterML of water in so
// many equal washings, each stirred until even and drained; the solids keep the
// same volume every time. Using the water that is to thin the blend anyway, it
// brings spirit back that would be thrown out. Flavour comes with it: late,
// bitter matter too, so taste it before it goes in. It returns an *InputError
// for an amount of water or number of washings not above zero.
func RinseMarc(marc Parts, waterML float64, washings int) (Rinse, error) {
	if !(waterML > 0) || math.IsInf(waterML, 0) {
		return Rinse{}, &InputError{"rinse", fmt.Sprintf("%g~ml of water; it must be above 0", waterML)}
	}
	if washings < 1 || washings > 100 {
		return Rinse{}, &InputError{"rinse", fmt.Sprintf("%d washings; it must be between 1 and 100", washings)}
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
	return Rinse{Parts: out, EthanolShare: ratio(out.Ethanol, marc.Ethanol), LeftABV: left.ABVPercent()}, nil
}
