package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Purchase is one thing to buy for a batch.
type Purchase struct {
	Item string
	// ABVPercent is the strength of a spirit; 0 for all else.
	ABVPercent float64
	// Amounts are the amounts of the recipe it is bought for, Uses what of it
	// each is: "zest", "juice", or "".
	Amounts []quantity.Amount
	Uses    []string
	// VolumeML and MassG are the sum of the amounts, each 0 when unknown.
	VolumeML, MassG float64
	// Fruit is how many whole ones that takes, 0 when it is not bought by the
	// piece; Spare comes on top. FruitG is the weight of both, 0 when unknown.
	Fruit, Spare int
	FruitG       float64
	// ZestFirst: zest and juice come from the same fruit.
	ZestFirst bool
	// Bottles are the ways to buy a spirit.
	Bottles []BottlesBought
}

// BottlesBought is how many full bottles of a size give enough, and what is
// left over.
type BottlesBought struct {
	SizeML float64
	Count  int
	LeftML float64
}

// The sizes spirits are sold in most, in Europe and in North America: common
// practice, no source.
var spiritBottlesML = []float64{700, 750}

// shopping lists what the recipe takes, in its order. Water is not bought.
func shopping(p *parts, lib *library.Library) []Purchase {
	c := &cart{lib: lib, at: map[string]int{}}
	for _, x := range p.bases {
		if x.entry.Amount != nil {
			c.spirit(x.base.Name, x.base.ABVPercent.Value, x.base.VolumeML.Value, *x.entry.Amount)
		}
	}
	for i := range p.botanicals {
		h := &p.botanicals[i]
		if h.entry.Amount == nil || h.cut == nil {
			continue
		}
		name := h.entry.Name
		if h.known != nil {
			name = h.known.Name
		}
		var w float64
		if h.weight != nil {
			w = h.weight.G
		}
		c.solid(name, *h.entry.Amount, w, h.cut.Measures)
	}
	for i := range p.additions {
		x := &p.additions[i]
		if x.entry.Amount == nil {
			continue
		}
		a := *x.entry.Amount
		switch {
		case x.ingredient != nil && x.ingredient.Kind == "water":
		case x.ingredient != nil:
			c.solid(x.ingredient.Name, a, x.massG, x.ingredient.Measures)
		case x.cut != nil:
			c.solid(x.botanical.Name, a, x.massG, x.cut.Measures)
		case x.missing == "" && (x.spirit != nil || x.abv != nil):
			abv, _, _, _, _ := strength(x.abv, x.spirit)
			if ml, _, _, _, err := spiritVolume(&a, abv, x.entry.Name); err == nil {
				c.spirit(x.entry.Name, abv, ml, a)
			}
		default:
			c.solid(x.entry.Name, a, 0, nil)
		}
	}
	return c.done()
}

// cart gathers what is bought under one name.
type cart struct {
	lib  *library.Library
	list []Purchase
	at   map[string]int
	need []fruitNeed // beside list
}

// fruitNeed is how many fruit each use takes; zest and juice share them.
type fruitNeed struct{ zest, juice, whole float64 }

func (c *cart) item(name string, abv float64) int {
	key := fmt.Sprintf("%s %g", strings.ToLower(name), abv)
	i, ok := c.at[key]
	if !ok {
		i = len(c.list)
		c.at[key] = i
		c.list, c.need = append(c.list, Purchase{Item: name, ABVPercent: abv}), append(c.need, fruitNeed{})
	}
	return i
}

func (c *cart) add(i int, a quantity.Amount, use string, ml, g float64) {
	b := &c.list[i]
	// A sum with something unknown in it is not known.
	if first := len(b.Amounts) == 0; first || b.VolumeML > 0 && ml > 0 {
		b.VolumeML += ml
	} else {
		b.VolumeML = 0
	}
	if first := len(b.Amounts) == 0; first || b.MassG > 0 && g > 0 {
		b.MassG += g
	} else {
		b.MassG = 0
	}
	b.Amounts, b.Uses = append(b.Amounts, a), append(b.Uses, use)
}

func (c *cart) spirit(name string, abv, ml float64, a quantity.Amount) {
	bare, _ := quantity.StrengthIn(name)
	c.add(c.item(bare, abv), a, "", ml, 0)
}

// solid is anything but a spirit; g is its mass, 0 when unknown.
func (c *cart) solid(name string, a quantity.Amount, g float64, measures []library.Measure) {
	_, ml, _, _ := a.Millilitres()
	for _, of := range []string{"zest", "peel", "juice"} {
		n := perFruit(measures, of)
		counted := a.Kind == quantity.Count && (a.Of != "" || a.Noun == "fruit")
		if n == 0 || !counted && g <= 0 {
			continue
		}
		fruit := g / n
		if counted {
			fruit = a.High
		}
		i := c.item(fruitOf(name), 0)
		if of == "juice" {
			c.need[i].juice += fruit
		} else {
			c.need[i].zest += fruit
			of = "zest"
		}
		c.add(i, a, of, ml, g)
		return
	}
	i := c.item(name, 0)
	if whole := perFruit(measures, ""); whole > 0 && a.Kind == quantity.Count && (a.Noun == "fruit" || a.Noun == "") {
		c.need[i].whole += a.High
	}
	c.add(i, a, "", ml, g)
}

// perFruit is the weight [g] of one fruit, or of its zest or juice; 0 when the
// library does not know it.
func perFruit(measures []library.Measure, of string) float64 {
	i := slices.IndexFunc(measures, func(m library.Measure) bool {
		return m.Unit == "piece" && m.Noun == "fruit" && m.Of == of && m.Grams.Value > 0
	})
	if i < 0 {
		return 0
	}
	return measures[i].Grams.Value
}

// fruitOf is the fruit that a zest or a juice comes from.
func fruitOf(name string) string {
	words := strings.Fields(strings.ToLower(name))
	i := slices.IndexFunc(words, func(w string) bool {
		return slices.Contains([]string{"zest", "peel", "rind", "juice"}, strings.Trim(w, ",()"))
	})
	if i <= 0 {
		return name
	}
	return strings.Trim(strings.Join(words[:i], " "), ",() ")
}

func (c *cart) done() []Purchase {
	for i := range c.list {
		b, n := &c.list[i], c.need[i]
		if b.ABVPercent > 0 && b.VolumeML > 0 && !slices.ContainsFunc(b.Amounts, func(a quantity.Amount) bool { return a.Unit == "bottle" }) {
			for _, size := range spiritBottlesML {
				count := math.Ceil(b.VolumeML/size - 1e-9)
				b.Bottles = append(b.Bottles, BottlesBought{size, int(count), count*size - b.VolumeML})
			}
		}
		if n == (fruitNeed{}) {
			continue
		}
		b.Fruit, b.Spare = int(math.Ceil(max(n.zest, n.juice)-1e-9)+math.Ceil(n.whole-1e-9)), 1
		b.ZestFirst = n.zest > 0 && n.juice > 0
		if known, err := c.lib.Botanical(b.Item); err == nil {
			for _, cut := range known.Cuts {
				if g := perFruit(cut.Measures, ""); g > 0 {
					b.FruitG = g * float64(b.Fruit+b.Spare)
					break
				}
			}
		}
		b.VolumeML, b.MassG = 0, 0 // of zest and juice together they say nothing
	}
	return c.list
}

// fill works out what the new batch fills: bottles, glasses and the jar.
func (s *Scaled) fill(p *parts) {
	for i := range p.bases {
		if p.bases[i].missing == "" {
			s.JarML += p.bases[i].base.VolumeML.Value
		} else {
			s.JarAtLeast = true
		}
	}
	if len(p.botanicals) == 0 {
		s.JarML = 0
	}
	if s.JarML > 0 {
		for i := range p.botanicals {
			if w := p.botanicals[i].weight; w != nil {
				// A gram of fresh peel, root or fruit takes about a millilitre,
				// of dry spice a little less: judgement.
				s.JarML += w.G
			} else {
				s.JarAtLeast = true
			}
		}
	}
	s.Portions = s.Blend.portions(s.VolumeML, s.Batch.Finish.Bottle, s.Batch.Finish.Serve)
}

// closeEnough is the rounding error [share] that is not worth a word: spoons
// and cups are not filled more closely.
const closeEnough = 0.03

// warn collects what a maker should know before starting the new batch.
func (s *Scaled) warn() {
	add := func(format string, args ...any) { s.Warnings = append(s.Warnings, fmt.Sprintf(format, args...)) }
	var syringe, unweighed []string
	shows := map[string][]string{} // by what the scale has to show
	for _, r := range s.Amounts {
		if r.New == nil {
			unweighed = append(unweighed, r.Name)
			continue
		}
		scale := ""
		switch v := r.New.Low; {
		case r.New.Unit == "mg" || r.New.Unit == "g" && v < 1:
			scale = "0.01 g"
		case r.New.Unit == "g" && v != math.Trunc(v):
			scale = "0.1 g"
		case r.New.Unit == "oz wt" && v < 0.1:
			scale = "0.001 oz wt"
		case r.New.Unit == "oz wt" && 8*v != math.Trunc(8*v):
			scale = "0.01 oz wt"
		case r.New.Unit == "ml" && r.New.Low < 10:
			syringe = append(syringe, r.Name)
		}
		if scale != "" {
			shows[scale] = append(shows[scale], r.Name)
		}
		s.warnDose(r, add)
	}
	for _, scale := range []string{"0.1 g", "0.01 g", "0.01 oz wt", "0.001 oz wt"} {
		if names := shows[scale]; len(names) > 0 {
			add("%s: weigh on a scale that shows %s", strings.Join(names, ", "), scale)
		}
	}
	if len(syringe) > 0 {
		add("%s: measure with a syringe or a small cylinder", strings.Join(syringe, ", "))
	}
	if len(unweighed) > 0 {
		add("%s: no amount is written, so there is nothing to scale; weigh it this time", strings.Join(unweighed, ", "))
	}
	from, to := &s.recipe, &s.Blend
	if s.GaveShare != 1 {
		add("the old batch was measured to give %.0f %% of what its recipe comes to; the same is expected of this one, so measure it too", 100*s.GaveShare)
	}
	if from.Have() && to.Have() {
		// 0.3 % vol is what a label may be off (27 CFR 5.65; Regulation (EU) No 1169/2011, Annex XII).
		if a, b := from.Result.ABVPercent.Value, to.Result.ABVPercent.Value; math.Abs(a-b) >= 0.3 {
			add("the rounding moves the strength from %.1f to %.1f %% vol", a, b)
		}
		if a, b := from.Result.SugarGPerL.Value, to.Result.SugarGPerL.Value; math.Abs(a-b) >= max(3, 0.02*a) {
			add("the rounding moves the sugar from %.0f to %.0f g/L", a, b)
		}
	}
	if len(s.From.Batch.Botanicals) > 0 && s.Factor != 1 {
		add("steeping times do not change with the size of a batch, but surface and packing do: keep every piece as coarse as it was, let the liquid get between them, and move a large jar more often; taste as if it were new")
	}
	for _, h := range s.From.Batch.Botanicals {
		if h.Lot != "" {
			add("the lots are copied: correct them where you buy anew")
			break
		}
	}
}

// warnDose speaks of amounts that had to be rounded too far.
func (s *Scaled) warnDose(r ScaledAmount, add func(string, ...any)) {
	off := math.Abs(r.Error)
	pieces := r.Part == "botanical" && r.New.Kind == quantity.Count && r.New.Of == "" && r.New.Noun != "fruit"
	if off <= closeEnough && !(pieces && off > 0.005) {
		return
	}
	text := fmt.Sprintf("%s: %s is %.0f %% more than the exact amount", r.Name, r.New.Text, 100*off)
	switch {
	case off < 0.01:
		text = fmt.Sprintf("%s: %s is the whole number next to the exact one", r.Name, r.New.Text)
	case r.Error < 0:
		text = fmt.Sprintf("%s: %s is %.0f %% less than the exact amount", r.Name, r.New.Text, 100*off)
	}
	switch m := r.MeantG; {
	case m != nil && pieces:
		add("%s; the dose goes by mass, so weigh %s if you can (%s to %s, as pieces differ)", text, gramsText(m.Value), gramsText(m.Low), gramsText(m.High))
	case m != nil:
		add("%s; to be exact weigh %s", text, gramsText(m.Value))
	case pieces:
		add("%s; the dose goes by mass, and how much a piece weighs is not known: weigh what you put in", text)
	default:
		add("%s", text)
	}
}

// gramsText prints a mass as a fine scale shows it.
func gramsText(g float64) string {
	return strings.ReplaceAll(quantity.FormatMass(g, quantity.Metric), " ", "~")
}
