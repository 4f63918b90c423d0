package shelf

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/growth"
	"steepbook/shelf/harm"
)

// mayFerment reports whether yeast can make gas in it, of all the sugar that it may hold.
func mayFerment(b Bottle, w worst, f findings) bool {
	return !f.onShelf && w.abv < growth.FermentsABVPercent && highEnd(b.SugarGPerL, 0) >= 4
}

// MakesGas reports whether what is alive in it makes gas: a closed bottle of it can burst.
func (b *Bottle) MakesGas() bool {
	w := worstOf(*b)
	return len(b.Live) > 0 && mayFerment(*b, w, look(*b, w))
}

// Lives says what can live in it by its figures: anything, yeast that ferments, and what poisons and shows nothing.
// Of figures that cannot be it says the first two.
func (b Bottle) Lives() (life, yeast, poison bool) {
	if check(b, Storage{}) != nil {
		return true, true, false
	}
	w := worstOf(b)
	f := look(b, w)
	life = !f.onShelf
	yeast = life && w.abv < growth.FermentsABVPercent && (highEnd(b.SugarGPerL, 0) >= 4 || w.nourishing)
	return life, yeast, !f.gate.pass() && (w.rich || b.Oil || len(b.FreshLowAcid) > 0)
}

// Doses are the cautions of what the botanicals can give it, over a limit or not.
func (b *Bottle) Doses() []harm.Caution { return harm.Doses(b.Substances, b.ABVPercent, b.ServeML) }

// Legal ceilings of preservatives in the drink, mg/L.
const (
	// sorbicCeiling is sorbic acid in wine, OIV Code of Oenological Practices
	// II.3.4.5.
	sorbicCeiling = 200.0
	// benzoateCeiling is sodium benzoate, 0.1 % of food, 21 CFR 184.1733(d).
	benzoateCeiling = 1000.0
	// SO2 has to be named on a label from 10 mg/L (Regulation (EU) 1169/2011
	// Annex II). Potassium metabisulfite is 57.6 % SO2 by molar mass.
	sulfiteLabel, so2Share = 10.0, 0.576
)

// sorbateCeilingMgPerL is the legal ceiling of potassium sorbate in wine, the
// salt that holds 200 mg/L of sorbic acid.
const sorbateCeilingMgPerL = sorbicCeiling / growth.SorbicShareOfPotassiumSorbate

// sentences are those of data/tables/cautions.csv.
var sentences = sync.OnceValue(func() data.Keyed[data.Sentence] { return data.Sentences("cautions.csv") })

// leastFlameABV is the strength, % vol, below which nobody is warned of its vapour. Judgement.
const leastFlameABV = 20

// FlashC is from which temperature [°C] the vapour of the jar that steeps, else of the
// bottle, can catch fire; ok is false where that is too warm, or not known, to be worth a
// warning.
func (b *Bottle) FlashC() (celsius float64, ok bool) {
	abvPercent := b.ABVPercent.Value
	if b.JarABVPercent > 0 {
		abvPercent = b.JarABVPercent
	}
	_, c, ok := alcohol.FlashPointC(abvPercent)
	return c, ok && abvPercent >= leastFlameABV
}

// weakEgg says of a drink with raw egg that holds nothing back for how long it is (the days of
// gateFailLife), and what of it is still to come, before which it may hold something back.
func (f *findings) weakEgg(toCome []string) string {
	switch n := len(toCome); {
	case f.gate.pass():
		return ""
	case n > 0:
		return ", and so weak a drink, once the " + quantity.And(toCome) + quantity.Verb(n, " is", " are") +
			" in, is for the day it is made"
	}
	return ", and so weak a drink with it is for the day it is made"
}

// cautions collects what has to be said whatever the verdict.
func cautions(b Bottle, w worst, f findings) []harm.Caution {
	var out []harm.Caution
	add := func(key string, parts ...any) {
		s := sentences().At(key)
		out = append(out, harm.Caution{Kind: s.Kind, Text: s.With(parts...), Source: s.Source})
	}
	plants := strings.ReplaceAll(", "+strings.Join(b.FreshLowAcid, ", "), ", fresh ", ", ")[2:]
	if g := f.gate; len(b.FreshLowAcid) > 0 && g == (gateResult{aw: true}) {
		add("fresh plants in sugar", plants)
	}
	if len(b.FreshLowAcid) > 0 && !f.gate.pass() {
		if f.tooLate {
			add("weak jar", quantity.Digits(b.WeakSteepH, 2))
		}
		add("fresh plants", plants, map[bool]string{true: "oil", false: "syrup"}[b.Oil])
	}
	if b.RawEgg {
		which := [...]string{EggUntold: "egg untold", EggCan: "egg first", EggLate: "egg late", EggApart: "egg apart",
			EggDid: "egg had its days", EggShort: "egg"}
		add(which[b.EggAlone], b.whyNoDays()+f.weakEgg(b.ToCome))
		out[len(out)-1].Ill = b.EggAlone == EggShort || b.EggAlone == EggUntold
	}
	if b.Egg && !b.RawEgg {
		add("heated egg")
	}
	if len(b.FatOn) > 0 {
		in := b
		in.FatIn, in.FatOn = b.FatOn, nil
		add("in fat", quantity.And(b.FatOn), Judge(in, Storage{Place: Fridge}).Unopened.Words)
	}
	if fats := slices.Concat(b.FatOn, b.FatIn); len(fats) > 0 {
		add("fat", quantity.And(fats))
	}
	if stale := b.stale(); len(stale) > 0 {
		add("stale juice", quantity.And(stale))
	}
	if b.Dairy {
		add("milk")
	}
	if b.NutMilk {
		add("nut milk")
	}
	out = append(out, b.Doses()...)
	p := b.Preservatives
	if s := p.PotassiumSorbateMgPerL; s > sorbateCeilingMgPerL {
		add("too much sorbate", s, sorbateCeilingMgPerL)
	} else if s > 0 && b.ABVPercent.Value > 0 {
		add("sorbate")
	}
	if s := p.SodiumBenzoateMgPerL; s > 0 {
		if s > benzoateCeiling {
			add("too much benzoate", s, benzoateCeiling)
		}
		if w.freshJuice {
			add("benzene")
		}
	}
	if so2 := p.PotassiumMetabisulfiteMgPerL * so2Share; so2 >= sulfiteLabel {
		add("sulphite", so2)
	}
	if c, ok := b.FlashC(); ok {
		add("flame", c)
	}
	if v := b.ABVPercent.Value; v > NeatABV {
		add("neat spirit", v)
	} else if _, c, ok := alcohol.FlashPointC(v); ok && b.Heated && v >= leastFlameABV {
		add("hot spirit", v, c)
	}
	if mayFerment(b, w, f) {
		add("pressure")
	}
	if b.ABVPercent.Value >= leastABV {
		add("alcohol")
	}
	add("law")
	return out
}

// whyNoDays is why raw egg had no days alone in what it lies in, in brackets; "" where that is not why.
func (b *Bottle) whyNoDays() string {
	if b.EggLacks == "" || b.EggAlone != EggShort && b.EggAlone != EggApart && b.EggAlone != EggLate {
		return ""
	}
	return " (" + b.EggLacks + ")"
}
