package recipe

import (
	"cmp"
	"math"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf/acidity"
	"steepbook/shelf/mixture"
)

func massQuantity(name string, w library.Weight) mixture.Quantity {
	cause, cure := "the weight of the "+name, "weigh the "+name
	if strings.Contains(w.How, "weigh") {
		cause, cure = "the scale ("+name+")", "a finer scale"
	}
	return mixture.Quantity{Value: w.G, SD: (w.High - w.Low) / Ninety, Cause: cause, Cure: mixture.Out + cure}
}

// potassiumGPerMol turns potassium into mmol of charge.
const potassiumGPerMol = 39.0983

// ingredientAddition turns a library ingredient into masses. What is poured and was read off it is as heavy
// as it then is, for it fills the measure that it was poured with.
func ingredientAddition(e batch.Addition, ing *library.Ingredient, w library.Weight) mixture.Addition {
	add := makeUp(e, ing, w)
	if e.Amount != nil && poured(e.Amount) && ing.Liquid && (e.Brix != nil || e.AcidGPer100ML != nil) {
		usual := ingredientParts(ing)
		denser := usual.VolumeML(20) / add.PerG.VolumeML(20) // of a gram each
		add.MassG.Value, add.MassG.SD = add.MassG.Value*denser, add.MassG.SD*denser
	}
	return add
}

// makeUp turns a library ingredient into masses per gram, of the weight of its amount. Its acid and
// strong ions come from a pH with a titratable acidity, the maker's own readings
// first; an acidity alone, as it stands on a label, sets the acid; a pH alone the
// ions. What else may blunt acid in it comes with its ash and protein.
func makeUp(e batch.Addition, ing *library.Ingredient, w library.Weight) mixture.Addition {
	var pH, pHSD, ta, taSD float64
	if proven(ing.PH) {
		pH, pHSD = ing.PH.Value, spread(ing.PH, 0.1)
	}
	if proven(ing.AcidGPer100ML) {
		ta, taSD = ing.AcidGPer100ML.Value, spread(ing.AcidGPer100ML, 0.12*ing.AcidGPer100ML.Value)
	}
	if e.PH != nil {
		pH, pHSD = *e.PH, 0.05
	}
	if e.AcidGPer100ML != nil {
		ta, taSD = *e.AcidGPer100ML, 0.03**e.AcidGPer100ML
	}
	c := ing.Per100G
	per := mixture.Parts{
		Ethanol: c.Ethanol, Water: c.Water,
		Sucrose: c.Sucrose + c.Maltose + c.Lactose, Glucose: c.Glucose, Fructose: c.Fructose,
		Glycerol: c.Glycerol, Fat: c.Fat, OtherSolids: c.Protein + c.Ash + c.OtherSolids,
	}
	grade, other := c.AcidGrade, ing.Acid
	if ta > 0 {
		grade = "" // how much there is was titrated: it is there
	}
	if other == "citric" {
		other = "malic" // what stands beside the citric acid of a fruit
	}
	addAcid(&per, "citric", c.Citric, grade)
	addAcid(&per, "malic", c.Malic, grade)
	addAcid(&per, other, c.OtherAcid, grade)
	per = per.Times(0.01)
	buffer := math.Max(acidity.PlantMMolPerG(c.Ash+c.UntoldAsh, c.Protein+c.UntoldProtein),
		c.PotassiumMG/100/potassiumGPerMol)
	if c.StrongIonsMMol != nil {
		per.StrongIonsMMol, buffer = *c.StrongIonsMMol/100, 0 // its ash is a salt that is known
	}
	if per.BufferMMol = buffer; ing.Kind == "water" {
		per.StrangeMMol = hardWaterMMolPerG
	}
	if e.Brix != nil {
		per = mixture.WithBrix(per, math.Min(*e.Brix, mostBrix(ing)))
	}
	add := mixture.Addition{Name: e.Name, MassG: massQuantity(e.Name, w)}
	if add.SugarFactor = fruitSugar(ing); e.Brix != nil {
		add.SugarFactor = mixture.Quantity{}
	}
	if ta > 0 {
		if per.AcidG() == 0 {
			addAcid(&per, cmp.Or(ing.Acid, "citric"), ta/100, "")
		}
		add.AcidFactor = mixture.Quantity{Value: 1, SD: taSD / ta, Cause: "the sourness of the " + ing.Name,
			Cure: mixture.Out + "write the acid of the " + ing.Name}
		asRead := 10 * ta * asCitric(ing.Acid)
		if pH > 0 {
			if juice, err := mixture.WithTitration(per, pH, asRead); err == nil {
				add.PerG = juice
				add.PHShift = mixture.Quantity{SD: pHSD, Cause: "the pH of the " + ing.Name,
					Cure: mixture.Out + "measure the pH of the " + ing.Name}
				return add
			}
		}
		per = mixture.WithAcid(per, asRead)
	} else if ing.Kind == "fruit" || ing.Kind == "juice" {
		add.AcidFactor = fruitAcid(ing.Name)
	}
	add.PerG = per
	if pH > 0 && (e.PH != nil || per.OtherAcid == 0) {
		// What its ions do not account for of its minerals and protein may still
		// blunt the acid of what it is mixed with.
		if sour, err := mixture.WithPH(per, pH); err == nil {
			add.PerG = sour
			add.PerG.BufferMMol = math.Max(buffer-sour.StrongIonsMMol, 0)
		}
	}
	return add
}

// hardWaterMMolPerG is the alkalinity that water from a tap or a spring may have, mmol of charge per g:
// 200 mg/L as calcium carbonate (100.09 g/mol, two charges), within the hardness that is called hard, 150
// to 300 mg/L (Vermont Department of Health, Hardness in Drinking Water). That it blunts acid as much as
// that is judgement.
const hardWaterMMolPerG = 200 / 100.09 * 2 / 1000

// mostBrix is the most [g per 100 g] that a reading of an ingredient is believed to
// be: of what the maker sweetens as he likes anything, of the rest what its usual
// make-up explains, were it pressed from a single fruit.
func mostBrix(ing *library.Ingredient) float64 {
	switch ing.Kind {
	case "sugar", "syrup", "honey":
		return 100
	}
	usual := ingredientParts(ing).Brix()
	_, most := mixture.Range{Value: usual, Low: usual,
		High: fruitSugarMost * usual}.Believed(func(float64) float64 { return brixSD })
	return most
}

// fruitSugarSD is how far the sugar of one fruit may lie from the usual, as a share: cherries run from 8
// to 18 % of sugar. One standard deviation, and the most, judgement.
const fruitSugarSD, fruitSugarMost = 0.15, 18 / 13.0

// brixSD is how well a refractometer reads, °Bx. Judgement.
const brixSD = 0.3

// fruitAcid is how far the acid of a fruit may lie from the usual. One standard
// deviation, judgement.
func fruitAcid(name string) mixture.Quantity {
	return mixture.Quantity{Value: 1, SD: 0.2, Cause: "the sourness of the " + name,
		Cure: mixture.Left + "measure the finished pH"}
}

// fruitSugar is how far the sugar of a juice or a fruit may lie from the usual:
// 15 % either way for nine in ten, less than fruit steeped whole since many are
// pressed together. Judgement; it stands until a Brix is written.
func fruitSugar(ing *library.Ingredient) mixture.Quantity {
	if ing.Kind != "juice" && ing.Kind != "fruit" || ing.Per100G.Sugars() <= 0 {
		return mixture.Quantity{}
	}
	return mixture.Quantity{Value: 1, SD: 0.15 / 1.645, Cause: "the sweetness of the " + ing.Name,
		Cure: mixture.Out + "read its Brix and write it"}
}

// asCitric turns a titratable acidity written as another acid into citric: one
// mole of protons is 64.04 g of citric (three), 67.04 g of malic (two), 75.04 g
// of tartaric (two), 60.05 g of acetic, 90.08 g of lactic acid.
func asCitric(acid string) float64 {
	equivalent := map[string]float64{"malic": 67.04, "tartaric": 75.04, "acetic": 60.05, "lactic": 90.08}
	if g, ok := equivalent[acid]; ok {
		return 64.04 / g
	}
	return 1
}

// ingredientParts is a gram of an ingredient at its usual composition.
func ingredientParts(ing *library.Ingredient) mixture.Parts {
	return ingredientAddition(batch.Addition{Name: ing.Name}, ing, library.Weight{}).PerG
}

func spread(n library.Number, otherwise float64) float64 {
	if n.High > n.Low {
		return (n.High - n.Low) / Ninety
	}
	return otherwise
}

// herbParts is what a gram of a botanical gives to the liquor when water and
// sugar exchange fully.
func herbParts(c *library.Cut) mixture.Parts {
	p := mixture.Parts{Water: c.WaterGPerG.Value}
	sugar := c.SugarGPerG.Value
	p.Sucrose, p.Glucose, p.Fructose = sugar*c.Sugars.Sucrose, sugar*c.Sugars.Glucose, sugar*c.Sugars.Fructose
	addAcid(&p, c.Acid, c.AcidGPerG.Value, c.AcidGPerG.Grade)
	p.BufferMMol = acidity.PlantMMolPerG(c.AshGPer100G.Value, c.ProteinGPer100G.Value)
	return p
}

// addAcid counts g of an acid as what it is. What is known from memory or an
// unsigned page, or is of an unknown kind, only may be there.
func addAcid(p *mixture.Parts, kind string, g float64, grade library.Grade) {
	dst, known := map[string]*float64{"citric": &p.Citric, "malic": &p.Malic, "tartaric": &p.Tartaric,
		"acetic": &p.Acetic, "lactic": &p.Lactic, "sorbic": &p.Sorbic, "benzoic": &p.Benzoic}[kind]
	if !known || !grade.Decides() {
		dst = &p.OtherAcid
	}
	*dst += g
}
