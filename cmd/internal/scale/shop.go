package scale

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
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
	Bottles []Bottles
}

// Bottles is how many full bottles of a size give enough, and what is
// left over.
type Bottles struct {
	SizeML float64
	Count  int
	LeftML float64
}

// The sizes spirits are sold in most [ml], the largest first, where makers measure in the one system and
// where in the other: common practice, no source.
var spiritBottlesML = [...][]float64{
	quantity.Metric: {1000, 750, 700, 500, 350},
	quantity.US:     {1750, 1000, 750, 375},
}

// smallBottleML is below what size one bottle is bought, but not several for one. Common practice, no source.
const smallBottleML = 700

// bottlesFor are the ways to buy so much of a spirit in bottles of one size: those of which no other leaves
// as little over in as few bottles.
func bottlesFor(ml float64, system quantity.System) (ways []Bottles) {
	for _, size := range spiritBottlesML[system] {
		count := math.Ceil(ml/size - 1e-9)
		way := Bottles{size, int(count), math.Max(0, count*size-ml)}
		switch n := len(ways); {
		case count > 1 && size < smallBottleML, n > 0 && way.LeftML >= ways[n-1].LeftML:
		case n > 0 && way.Count == ways[n-1].Count:
			ways[n-1] = way
		default:
			ways = append(ways, way)
		}
	}
	return ways
}

// shopping lists what the recipe takes, in its order. Water is not bought.
func shopping(lines []recipe.Line, lib *library.Library, system quantity.System) []Purchase {
	c := &cart{lib: lib, system: system, at: map[string]int{}}
	for i := range lines {
		switch l := &lines[i]; {
		case l.Amount == nil || l.Buy == "":
		case l.Spirit:
			c.spirit(l.Buy, l.ABVPercent, l.VolumeML, *l.Amount)
		default:
			c.solid(l.Buy, *l.Amount, l.MassG, l.Measures)
		}
	}
	return c.done()
}

// cart gathers what is bought under one name.
type cart struct {
	lib    *library.Library
	system quantity.System
	list   []Purchase
	at     map[string]int
	need   []fruitNeed // beside list
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
	first := len(b.Amounts) == 0
	sum := func(so, more float64) float64 {
		if first || so > 0 && more > 0 {
			return so + more
		}
		return 0 // with something unknown in it, it is not known
	}
	b.VolumeML, b.MassG = sum(b.VolumeML, ml), sum(b.MassG, g)
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
	if whole := perFruit(measures, ""); whole > 0 && a.Kind == quantity.Count &&
		(a.Noun == "fruit" || a.Noun == "") {
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
		if b.ABVPercent > 0 && b.VolumeML > 0 &&
			!slices.ContainsFunc(b.Amounts, func(a quantity.Amount) bool { return a.Unit == "bottle" }) {
			b.Bottles = bottlesFor(b.VolumeML, c.system)
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

// jar works out the room that the new batch needs while it steeps.
func (s *Scaled) jar(lines []recipe.Line) {
	var liquidML, solidsML float64
	steeps := false
	for i := range lines {
		l := &lines[i]
		// A gram of fresh peel, root or fruit takes about a millilitre,
		// of dry spice a little less: judgement.
		room := l.MassG
		switch l.Part {
		case "spirit":
			room = l.VolumeML
			liquidML += room
		case "botanical":
			steeps = true
			solidsML += room
		default:
			continue
		}
		s.JarAtLeast = s.JarAtLeast || room == 0
	}
	if steeps && liquidML > 0 {
		s.JarML = liquidML + solidsML
	}
}
