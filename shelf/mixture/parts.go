// Package mixture computes what is in the jar and in the bottle: the volume,
// strength, sweetness, acidity, pH and water activity of blends of spirit,
// water, sugar, acid, juice and what fresh botanicals bring with them.
//
// Everything is a mass balance. Parts holds the grams of each constituent,
// Recipe.Balance follows them through steeping, straining and blending and
// carries the uncertainty of every measured amount through to every figure,
// and Solve runs the sum backwards from a wanted bottle to what to add.
// Nothing here prints and nothing knows ingredient names as such: names are
// carried along only to be shown again.
package mixture

import (
	"steepbook/shelf/acidity"
	"steepbook/shelf/activity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/growth"
)

// Parts are the masses, in grams, of what a liquid is made of. The zero value
// is an empty vessel. Divided by the mass of a portion, the same type gives a
// composition per gram.
type Parts struct {
	Ethanol     float64
	Water       float64
	Sucrose     float64 // sucrose and other disaccharides
	Glucose     float64
	Fructose    float64
	Glycerol    float64
	Citric      float64 // citric acid, anhydrous, free and as citrate
	Malic       float64 // malic acid, free and as malate
	Tartaric    float64 // tartaric acid, free and as tartrate
	Acetic      float64 // acetic acid, free and as acetate
	Lactic      float64 // lactic acid, free and as lactate
	Sorbic      float64 // sorbic acid, free and as sorbate
	Benzoic     float64 // benzoic acid, free and as benzoate
	OtherAcid   float64 // acid that may be there, from none to this; counted as lactic acid
	Fat         float64 // oil, cream fat: takes room, dissolves nothing
	OtherSolids float64 // whatever else stays when the liquid is dried

	// StrongIonsMMol is the amount, in mmol of charge, of strong cations
	// (mostly potassium) less strong anions. It is what keeps a juice from
	// being as sour as its acid alone, and it weighs nothing here.
	StrongIonsMMol float64
	// BufferMMol is the most that may have come, in mmol of charge, of salts that
	// blunt acid, out of what nobody knows the minerals and protein of: from none
	// to this. See acidity.Plant. It weighs nothing either.
	BufferMMol float64
	// StrangeMMol is the same out of what nobody knows at all: it only opens the range
	// of the pH, and the likely one is that without it.
	StrangeMMol float64
	// Cost is what it cost, in the maker's currency.
	Cost float64
}

// Plus returns p and q poured together.
//
//go:noinline
func (p Parts) Plus(q Parts) Parts { return p.plus(1, q) }

// Times returns f portions of p.
//
//go:noinline
func (p Parts) Times(f float64) Parts { return Parts{}.plus(f, p) }

// plus is p with f portions of q.
func (p Parts) plus(f float64, q Parts) Parts {
	p.Ethanol += f * q.Ethanol
	p.Water += f * q.Water
	p.Sucrose += f * q.Sucrose
	p.Glucose += f * q.Glucose
	p.Fructose += f * q.Fructose
	p.Glycerol += f * q.Glycerol
	p.Citric += f * q.Citric
	p.Malic += f * q.Malic
	p.Tartaric += f * q.Tartaric
	p.Acetic += f * q.Acetic
	p.Lactic += f * q.Lactic
	p.Sorbic += f * q.Sorbic
	p.Benzoic += f * q.Benzoic
	p.OtherAcid += f * q.OtherAcid
	p.Fat += f * q.Fat
	p.OtherSolids += f * q.OtherSolids
	p.StrongIonsMMol += f * q.StrongIonsMMol
	p.BufferMMol += f * q.BufferMMol
	p.StrangeMMol += f * q.StrangeMMol
	p.Cost += f * q.Cost
	return p
}

// MassG is the total mass in grams.
func (p Parts) MassG() float64 {
	return p.Ethanol + p.Water + p.solutesG() + p.Fat
}

// SugarG is the mass of all sugars in grams.
func (p Parts) SugarG() float64 { return p.Sucrose + p.Glucose + p.Fructose }

// AcidG is the mass of all acids in grams, free and bound, what may be there
// included. Inlined at its calls it made the program larger, and no faster.
//
//go:noinline
func (p Parts) AcidG() float64 { return p.knownAcidG() + p.OtherAcid }

// knownAcidG is AcidG without what only may be there.
func (p Parts) knownAcidG() float64 {
	return p.Citric + p.Malic + p.Tartaric + p.Acetic + p.Lactic + p.Sorbic + p.Benzoic
}

// acidTimes is p with f times its acids; water does not make room.
func (p Parts) acidTimes(f float64) Parts {
	p.Citric, p.Malic, p.Tartaric = f*p.Citric, f*p.Malic, f*p.Tartaric
	p.Acetic, p.Lactic, p.OtherAcid = f*p.Acetic, f*p.Lactic, f*p.OtherAcid
	p.Sorbic, p.Benzoic = f*p.Sorbic, f*p.Benzoic
	return p
}

// settled is p as a reading of its acidity leaves it: what may be there is there,
// and nothing else blunts it.
func (p Parts) settled() Parts {
	p.Lactic, p.OtherAcid, p.BufferMMol, p.StrangeMMol = p.Lactic+p.OtherAcid, 0, 0, 0
	return p
}

// solutesG is everything dissolved in the ethanol and water, in grams.
func (p Parts) solutesG() float64 {
	return p.SugarG() + p.AcidG() + p.Glycerol + p.OtherSolids
}

// VolumeML is the volume in mL at tC degrees Celsius:
//
//	V = (ethanol + water)/ρ(p, t) + Σ v_i m_i
//
// with ρ the density of the ethanol-water pair alone (contraction included)
// and v_i the room a gram of each dissolved thing takes. Temperatures outside
// 0 to 40 °C are taken as the nearer end. The sum is within 0.25 kg/m3 of the
// published densities of sugar solutions to 60 % and within about 0.4 mL per
// 100 mL for sweetened spirits.
//
//go:noinline
func (p Parts) VolumeML(tC float64) float64 {
	return p.volumeML(tC, 0)
}

// volumeML is VolumeML with sugarShift mL/g added to the room sugar takes: the
// model's own uncertainty, see sugarRoomSD.
func (p Parts) volumeML(tC, sugarShift float64) float64 {
	tC = clamp(tC, 0, 40)
	solvent, acid := p.Ethanol+p.Water, p.AcidG()
	v := 0.0
	if solvent > 0 {
		v = solvent / alcohol.Density(p.Ethanol/solvent, tC) * 1000
	}
	solutes := p.SugarG() + acid + p.Glycerol + p.OtherSolids
	v += (solutes - p.Glycerol) * (soluteRoom(solutes, solvent, tC) + sugarShift)
	v += p.Glucose*glucoseExtra + p.Fructose*fructoseExtra + acid*acidExtra
	return v + p.Glycerol*glycerolRoom + p.Fat*fatRoom
}

// ABVPercent is the strength in % vol: the volume the ethanol would have alone
// at 20 °C over the volume of the liquid at 20 °C. An empty vessel has 0.
//
//go:noinline
func (p Parts) ABVPercent() float64 {
	return p.abvPercent(0)
}

func (p Parts) abvPercent(sugarShift float64) float64 {
	return 100 * ratio(p.Ethanol/alcohol.EthanolDensity20*1000, p.volumeML(20, sugarShift))
}

// SugarGPerL is all sugars in grams per litre at 20 °C.
func (p Parts) SugarGPerL() float64 { return 1000 * ratio(p.SugarG(), p.VolumeML(20)) }

// AcidGPerL is the titratable acidity in grams of anhydrous citric acid per
// litre at 20 °C: the base a sample takes up on the way to pH 8.1, as a
// laboratory would find it in a sample thinned with water. Salts of the acids
// do not count. It is never below zero.
func (p Parts) AcidGPerL() float64 { return 1000 * ratio(p.titratableG(), p.VolumeML(20)) }

// titratableG is the titratable acidity as grams of citric acid.
func (p Parts) titratableG() float64 {
	return max(0, p.baseToEndPointMMol()/1000*acidity.Citric.MolarMass/3)
}

// baseToEndPointMMol is the strong base, in mmol, that would bring p to the
// end point of titration. It is linear in the masses, which the solver needs;
// the free hydroxide of pH 8.1, a micromole a litre, is left out.
func (p Parts) baseToEndPointMMol() float64 {
	base := -p.StrongIonsMMol
	var room acidRoom
	for _, a := range p.acids(&room, 0) {
		base += a.MolPerL * 1000 * float64(len(a.Acid.PKa))
	}
	return base
}

// acidRoom is as many acids as Parts may hold.
type acidRoom [8]acidity.Amount

// acids lists what is in p in mol (not yet per litre), with the share blunted (0
// to 1) of what is not known taken at its worst: see PHRange. The list is laid in
// the caller's room, for one is made at every turn of every search.
func (p Parts) acids(in *acidRoom, blunted float64) []acidity.Amount {
	as := in[:0]
	put := func(a acidity.Acid, mol float64) {
		if mol > 0 {
			as = append(as, acidity.Amount{Acid: a, MolPerL: mol})
		}
	}
	put(acidity.Citric, p.Citric/acidity.Citric.MolarMass)
	put(acidity.Malic, p.Malic/acidity.Malic.MolarMass)
	put(acidity.Tartaric, p.Tartaric/acidity.Tartaric.MolarMass)
	put(acidity.Acetic, p.Acetic/acidity.Acetic.MolarMass)
	put(acidity.Lactic, (p.Lactic+(1-blunted)*p.OtherAcid)/acidity.Lactic.MolarMass)
	put(acidity.Sorbic, p.Sorbic/acidity.Sorbic.MolarMass)
	put(acidity.Benzoic, p.Benzoic/acidity.Benzoic.MolarMass)
	put(acidity.Plant, p.bluntMMol(blunted)/1000)
	return as
}

// bluntMMol is what blunts acid with a share of what is not known taken at its worst.
func (p Parts) bluntMMol(blunted float64) float64 {
	return blunted*p.BufferMMol + max(blunted-likely, 0)/(1-likely)*p.StrangeMMol
}

// Brix is the dissolved solids, sugars and acids and the rest, in g per 100 g
// of the liquid. It is the true mass fraction: a refractometer or a float
// marked in °Bx shows it only where there is no alcohol.
func (p Parts) Brix() float64 { return 100 * ratio(p.solutesG(), p.MassG()) }

// DensityKgPerM3 is the density at 20 °C in kg/m3; an empty vessel has 0.
func (p Parts) DensityKgPerM3() float64 { return 1000 * ratio(p.MassG(), p.VolumeML(20)) }

// leastAcidGPerL is the total acid below which a pH is not worth printing:
// traces in water, dust and glass decide it there.
const leastAcidGPerL = 0.1

// solventLitres is the volume in litres that the acids are dissolved in: the
// ethanol and water without the room sugar takes.
func (p Parts) solventLitres() float64 {
	s := p.Ethanol + p.Water
	if s <= 0 {
		return 0
	}
	return s / alcohol.Density(p.Ethanol/s, 20)
}

// solventABV is the strength of the ethanol-water pair alone, in % vol, which
// is what the acids meet.
func (p Parts) solventABV() float64 {
	s := p.Ethanol + p.Water
	if s <= 0 {
		return 0
	}
	return alcohol.ABVPercent(p.Ethanol / s)
}

// PH is the likely pH at 25 °C by charge balance over the acids and strong ions:
// the middle one of PHRange.
func (p Parts) PH() (value float64, ok bool) {
	if !p.sour() {
		return 0, false
	}
	return p.phAt(likely)
}

// likely is the share of what may blunt the acid that is taken as there: half,
// until chloride and phosphate are in the tables. Judgement: for almonds, of
// which both are known, it is 0.49.
const likely = 0.5

// PHRange is the pH at 25 °C: the lowest, with all the acid that may be there and
// nothing that blunts it, the likely one, and the highest, with none of that acid
// and all that may blunt it. ok is false where nothing sour is known (under 0.1
// g/L of known acid), there is no water, or a balance lies outside pH 1 to 9;
// low then still tells what the acid that may be there would give, and high is
// that of water.
func (p Parts) PHRange() (low, value, high float64, ok bool) {
	sour := p.sour()
	if !sour && 1000*ratio(p.AcidG(), p.VolumeML(20)) < leastAcidGPerL {
		return acidity.Neutral, acidity.Neutral, acidity.Neutral, false
	}
	low, okLow := p.phAt(0)
	if !sour {
		if !okLow {
			low = acidity.Neutral
		}
		return min(low, acidity.Neutral), acidity.Neutral, acidity.Neutral, false
	}
	if p.BufferMMol == 0 && p.StrangeMMol == 0 && p.OtherAcid == 0 {
		return low, low, low, okLow
	}
	value, ok = p.phAt(likely)
	high, okHigh := p.phAt(1)
	if !okLow {
		low = leastPH
	}
	if !okHigh {
		high = mostPH
	}
	return low, value, high, ok
}

// A pH beyond these is no drink's, and none is told.
const leastPH, mostPH = 1.0, 9.0

// sour reports whether enough acid is known for its pH to mean something.
func (p Parts) sour() bool {
	return 1000*ratio(p.knownAcidG(), p.VolumeML(20)) >= leastAcidGPerL
}

// phAt is the pH with a share of what is not known taken at its worst.
func (p Parts) phAt(blunted float64) (value float64, ok bool) {
	l := p.solventLitres()
	if l <= 0 || p.Water <= 0 {
		return 0, false
	}
	var room acidRoom
	as := p.acids(&room, blunted)
	for i := range as {
		as[i].MolPerL /= l
	}
	v, err := acidity.PH(as, (p.StrongIonsMMol+p.bluntMMol(blunted))/1000/l, p.solventABV())
	if err != nil || v < leastPH || v > mostPH {
		return 0, false
	}
	return v, true
}

// WaterActivity is the water activity near 25 °C: the most likely value, and
// the span between the two readings of how much sugar and ethanol strengthen
// each other. For judging how long something keeps, high is the cautious end.
// Sucrose beyond saturation at 25 °C is counted as crystals, which lower
// nothing. Expect a further model error of activity.ModelError.
func (p Parts) WaterActivity() (central, low, high float64) {
	return activity.Water(p.activityMasses())
}

func (p Parts) activityMasses() activity.Masses {
	q := p.dissolved(25)
	return activity.Masses{
		Water: q.Water, Ethanol: q.Ethanol,
		Sucrose: q.Sucrose, Glucose: q.Glucose, Fructose: q.Fructose,
		Glycerol: q.Glycerol,
		// No constant is published for the other acids in this form; they are
		// counted with citric acid's. At a few g/L that is nothing.
		Citric: q.AcidG(),
	}
}

// fermented is p with its sugar turned to alcohol as far as yeasts stand it: of a gram of glucose
// or fructose 0.511 g at most (C6H12O6 = 2 C2H5OH + 2 CO2), of sucrose, which takes up water, 0.538.
func (p Parts) fermented() Parts {
	most := 0.538*p.Sucrose + 0.511*(p.Glucose+p.Fructose)
	room := growth.FermentsABVPercent/100*p.VolumeML(20)/1000*alcohol.EthanolDensity20 - p.Ethanol
	share := clamp(ratio(room, most), 0, 1)
	p.Ethanol += share * most
	p.Sucrose, p.Glucose, p.Fructose = (1-share)*p.Sucrose, (1-share)*p.Glucose, (1-share)*p.Fructose
	return p
}

// DelleUnits is the old sum that says how hard it is for yeast: see growth.DelleUnits.
func (p Parts) DelleUnits() float64 { return growth.DelleUnits(p.SugarGPerL(), p.ABVPercent()) }

func ratio(a, b float64) float64 {
	if b <= 0 {
		return 0
	}
	return a / b
}

func clamp(x, lo, hi float64) float64 { return min(max(x, lo), hi) }
