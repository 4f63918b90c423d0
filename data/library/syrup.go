package library

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"steepbook/data/names"
	"steepbook/data/pattern"
)

var (
	// ratio is sugar to water: "2:1", "1.5 : 1", "2 to 1".
	ratio = pattern.New(`(\d+(?:[.,]\d+)?)\s*(?::|\bto\b)\s*(\d+(?:[.,]\d+)?)`)
	// strength of a syrup in g of sugar per 100 g: "65 %", "65 brix", "65 °Bx".
	massPercent = pattern.New(`(\d+(?:[.,]\d+)?)\s*(?:%|°?\s*brix\b|°?\s*bx\b)`)

	syrupWords   = wordSet("syrup")
	vagueWords   = wordSet("vague syrup")
	byVolume     = wordSet("by volume")
	notFromSugar = wordSet("no sugar syrup")
)

// The richest syrup that is worked out, g of sugar per 100 g: the density
// formula is stated to 84.
const mostSugarPercent = 84

// ratioSyrup works out a syrup that is named by its ratio of sugar to water, by
// weight unless the name says by volume; nil for any other name.
func (l *Library) ratioSyrup(name string) *Ingredient {
	low := names.Fold(name)
	sugar, water, percent := 0.0, 0.0, false
	if m := ratio().FindStringSubmatch(low); m != nil {
		sugar, water = decimal(m[1]), decimal(m[2])
		low = strings.Replace(low, m[0], " ", 1)
	} else if m := massPercent().FindStringSubmatch(low); m != nil && slices.Contains(words(low), "syrup") {
		sugar = decimal(m[1])
		water, percent = 100-sugar, true
		low = strings.Replace(low, m[0], " ", 1)
	}
	if !(sugar > 0) || !(water > 0) || ratio().MatchString(low) || massPercent().MatchString(low) {
		return nil
	}
	var kind []string
	volume, syrup := false, false
	for _, w := range words(low) {
		syrup = syrup || w == "syrup"
		switch {
		case byVolume(w):
			volume = true
		case w[0] >= '0' && w[0] <= '9':
			return nil
		case !syrupWords(w):
			kind = append(kind, w)
		}
	}
	// Maple and corn syrups are made otherwise than from their sugar, and a
	// strength alone does not say of what.
	if len(kind) > 0 && (!syrup || percent || notFromSugar(kind[0])) || percent && volume {
		return nil
	}
	base := l.syrupBase(kind)
	if base == nil {
		return nil
	}
	return base.syrup(sugar, water, volume, percent)
}

// syrupBase is the sugar or honey that a syrup is made of.
func (l *Library) syrupBase(kind []string) *Ingredient {
	names := []string{"white sugar"}
	if len(kind) > 0 {
		word := strings.Join(kind, " ")
		names = []string{word + " sugar", word}
	}
	for _, n := range names {
		if e, _ := l.ingredients().find(n); e != nil {
			if g, err := e.get(); err == nil && (g.Kind == "sugar" || g.Kind == "honey") {
				return g
			}
		}
	}
	return nil
}

// A US cup and the density of water at 20~°C (CRC Handbook): what a cup of
// water weighs.
const cupML, waterGPerML = 236.588, 0.9982

// syrup is the sugar i dissolved in water; nil where no such syrup is, or where
// a measure of it has no known weight.
func (i *Ingredient) syrup(sugar, water float64, volume, percent bool) *Ingredient {
	weighed, cups := sugar/(sugar+water), 0.0
	grams := 0.0
	if i.Liquid {
		grams = cupML * i.DensityGPerML.Value
	} else {
		for _, m := range i.Measures {
			if m.Unit == "cup" && m.Of == "" {
				grams = m.Grams.Value
				break
			}
		}
	}
	if grams > 0 {
		cups = sugar * grams / (sugar*grams + water*cupML*waterGPerML)
	}
	share := weighed
	if volume {
		share = cups
	}
	if !(share > 0) || share*i.Per100G.Sugars() > mostSugarPercent {
		return nil
	}
	parts := fmt.Sprintf("%s:%s", figure(sugar), figure(water))
	g := &Ingredient{
		Entry: Entry{Name: "syrup " + parts, Allergens: i.Allergens, Hazards: i.Hazards, Own: i.Own},
		Kind:  "syrup", Liquid: true, Per100G: i.Per100G.thinned(share), Food: Food{Nourishing: i.Nourishing},
	}
	if i.Name != "white sugar" {
		g.Name = i.Name + " syrup " + parts
	}
	if g.Per100G.Grade == Published {
		g.Per100G.Grade = Derived
	}
	how := "by weight"
	if volume {
		how = "by volume"
		g.Name += " by volume"
	}
	g.Per100G.Basis = fmt.Sprintf("%s parts of %s to %s of water, %s",
		figure(sugar), i.Name, figure(water), how)
	if percent {
		g.Name = fmt.Sprintf("%s syrup %s %%", i.Name, figure(sugar))
		g.Per100G.Basis = fmt.Sprintf("%s g of %s in 100 g", figure(sugar), i.Name)
	}
	g.Note = fmt.Sprintf("%.1f %% %s by weight.", 100*share, i.Name)
	switch {
	case percent:
	case volume:
		g.Note = fmt.Sprintf("%.1f %% %s by weight, since a cup of it weighs %.0f~g "+
			"and a cup of water %.0f~g.", 100*share, i.Name, grams, cupML*waterGPerML)
	case cups > 0:
		g.Note = fmt.Sprintf("%.1f %% %s by weight: %s is read by weight. "+
			"Measured by volume it would be %.1f %%: say by volume then.", 100*share, i.Name, parts, 100*cups)
	}
	if i.Kind == "honey" {
		g.Note += " Thinned honey ferments."
	} else if g.Per100G.Sucrose > saturated20C+0.3 {
		g.Note += fmt.Sprintf(" Water holds %.1f %% of sugar at 20~°C, "+
			"so it will crystallise when it cools.", saturated20C)
	}
	density := func(share float64) float64 {
		if i.Kind == "honey" { // its volume and that of the water, added
			return 1 / (share/i.DensityGPerML.Value + (1-share)/waterGPerML)
		}
		return sucroseDensity(share * i.Per100G.Sugars() / 100)
	}
	round := func(x float64) float64 { return math.Round(1000*x) / 1000 }
	g.DensityGPerML = Number{
		Value: round(density(share)),
		Low:   round(density(0.97 * share)), High: round(density(min(1.03*share, 1))),
		Source: "icumsa-density", Grade: Derived,
		Note: "sucrose solution of the same sugar; the range is for 3 % more or less sugar",
	}
	if i.Kind == "honey" {
		g.DensityGPerML.Source = i.DensityGPerML.Source
		g.DensityGPerML.Note = "honey and water, volumes added"
	}
	return g
}

// saturated20C is the sucrose that water holds at 20~°C, g per 100 g of
// solution: Bubnik and Kadlec, in Sucrose: Properties and Applications (1995).
const saturated20C = 66.72

// sucroseDensity is the density at 20~°C, g/mL, of a solution of w g of sucrose
// per g, 0 to 0.84: the ICUMSA polynomial (Specification and Standard SPS-4, as
// printed in Bubnik et al., Sugar Technologists Manual, Bartens 1995, p. 164),
// whose terms in temperature vanish at 20~°C.
func sucroseDensity(w float64) float64 {
	const water = 998.2031
	a := [...]float64{385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289}
	sum := 0.0
	for i := len(a) - 1; i >= 0; i-- {
		sum = (sum + a[i]) * w
	}
	return (water + sum) / 1000
}

// thinned is the composition of share g in a gram, the rest water.
func (c Composition) thinned(share float64) Composition {
	for _, p := range c.parts() {
		*p *= share
	}
	if c.StrongIonsMMol != nil {
		ions := share * *c.StrongIonsMMol
		c.StrongIonsMMol = &ions
	}
	c.Water += 100 * (1 - share)
	return c
}

// vagueSyrup reports whether a name means some sugar syrup and does not say
// how strong: "thin syrup".
func vagueSyrup(name string) bool {
	ws := words(name)
	telling := func(w string) bool { return !vagueWords(w) }
	return slices.Contains(ws, "syrup") && !slices.ContainsFunc(ws, telling)
}

// decimal reads digits with a decimal point or comma.
func decimal(s string) float64 {
	f, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	if err != nil {
		return 0
	}
	return f
}
