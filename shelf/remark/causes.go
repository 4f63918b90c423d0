package remark

import (
	"cmp"
	"slices"
	"sort"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// Cause is one likely reason for a sign seen in a bottle.
type Cause struct {
	Name string
	// Weight is 0 (very unlikely with this composition) to 1 (the first
	// thing to think of). It is a rank, not a probability.
	Weight float64
	// HowToTell separates it from the others, WhatToDo is the next step.
	HowToTell, WhatToDo string
	// Handling is how to touch it unhurt, what WhatToDo begins with; "" where nothing hurts.
	Handling string
	// ThrowAway is set when the bottle should not be tasted or kept.
	ThrowAway bool
	// Asks is set where that stands only until somebody knows what it is.
	Asks   bool
	Source string

	named bool
}

// Named reports whether it is what the maker's own word means, which nothing in the drink
// explains away.
func (c *Cause) Named() bool { return c.named }

// causes are the texts of data/tables/causes.csv by their keys.
var causes = sync.OnceValue(func() data.Keyed[Cause] {
	whole := strings.NewReplacer(
		"{throw away}", "unsure means throw it away: do not taste it; pour it out, wash and boil the bottle",
		"{decant}", "chill it overnight and filter through paper, or shake and drink it as it is",
	)
	return data.ByKey("causes.csv", func(r data.Row) Cause {
		c := Cause{
			Name: r.Text("name"), HowToTell: r.Text("how_to_tell"),
			WhatToDo: whole.Replace(r.Text("what_to_do")), Handling: r.Text("handling"),
			ThrowAway: r.Text("throw_away") != "no", Asks: r.Text("throw_away") == "ask",
			Source: r.Text("source"),
		}
		if c.Handling != "" {
			c.WhatToDo = c.Handling + "; then " + c.WhatToDo
		}
		return c
	})
})

// Fat reports whether it is fat that floats, or makes it cloudy.
func (c *Cause) Fat() bool { return c.Name == causes().At("fat").Name }

// Harm is 2 where it means harm, 1 where it is fat, which has days of its own, else 0.
func (c *Cause) Harm() int {
	switch {
	case c.ThrowAway:
		return 2
	case c.Fat():
		return 1
	}
	return 0
}

// GrowsH is how soon what grows can be noticed, in hours: not within a day. Judgement.
const GrowsH = 24

// FatTrace reports whether it may be fat that is left where the fat came off.
func (c *Cause) FatTrace() bool { return c.Name == causes().At("trace").Name }

// Poison reports whether it is what poisons and shows nothing.
func (c *Cause) Poison() bool { return c.Name == causes().At("poison").Name }

// Clotted reports whether it is milk or egg that met acid or alcohol.
func (c *Cause) Clotted() bool { return c.Name == causes().At("clotted").Name }

// UnderPressure is how to touch what gas was made in.
func UnderPressure() string { return causes().At("fermentation").Handling }

// suspect is a bottle in which something was seen: whether microbes can live in it,
// and whether yeast can ferment in it.
type suspect struct {
	shelf.Bottle
	lives, ferments bool
}

// alive is the first weight where life is possible, else the second.
func (s suspect) alive(yes, no float64) float64 { return choose(s.lives, yes, no) }

// milky is whether it holds milk of an animal or of nuts.
func (s suspect) milky() bool { return s.Dairy || s.NutMilk }

// left is what the composition leaves of the weight that a sign gives to a cause.
func (s suspect) left(cause string, weight float64) float64 {
	peel := len(s.CitrusPeel)+len(s.OtherPeel) > 0
	switch cause {
	case "oils":
		weight *= choose(peel || len(s.OilRich)+len(s.Nuts) > 0, 1, 0.4)
		// In a weak drink life is the first thing to think of.
		return weight * choose(s.lives && s.Weak(), 0.6, 1)
	case "pectin":
		fruit := s.Fruit || s.Pulp || len(s.FreshJuice)+len(s.Pectin) > 0
		return weight * choose(fruit, 1, choose(peel, 0.6, 0.2))
	case "gum":
		return weight * choose(len(s.Gums) > 0, 1, 0.3)
	case "fat":
		return weight * choose(len(s.Nuts)+len(s.FatTraces) > 0 || s.milky() || s.Egg || s.Oil, 1, 0)
	case "clotted":
		return weight * choose(s.Dairy || s.Egg, 1, 0)
	case "fibre":
		return weight * s.alive(0.4, 1)
	case "dust":
		return choose(s.Steeping, 1, weight) // what steeps sheds it
	case "browning":
		return choose(s.Steeping, max(weight, 0.8), weight)
	case "acid":
		return weight * choose(len(s.FreshJuice) > 0, 1, 0)
	case "lemon": // it takes acid, and weeks
		return weight * choose(s.Steeping || !s.PHKnown && !s.Measured.PH, 0.05, 1)
	case "crystals":
		return weight * choose(s.SugarGPerL.Value >= 300, 1, 0.3)
	}
	return weight
}

// weighed is a cause by its key, and how likely it is.
type weighed struct {
	cause  string
	weight float64
}

// outOfTheCold are the causes of what stood warm: of what lives on nothing that was of no account.
func outOfTheCold(s suspect) []weighed {
	return []weighed{{"warmth", s.alive(0.95, 0.1)}, {"stood", 0.9}}
}

// behind are the causes of a sign of data/tables/signs.csv, by its key; what its own word
// names is added with the full weight.
var behind = map[string]func(suspect) []weighed{
	"cloud": func(s suspect) []weighed {
		return []weighed{
			{"oils", 0.9}, {"pectin", 0.7}, {"growth", s.alive(choose(s.ferments, 0.85, 0.6), 0.05)},
			{"dust", choose(s.Filtered, 0.2, 0.5)}, {s.hazes(), 0.8},
		}
	},
	"ring": func(s suspect) []weighed {
		return []weighed{{"oils", 0.85}, {"pectin", 0.5}, {"film", s.alive(0.7, 0.05)},
			{"mould", s.alive(0.6, 0.1)}}
	},
	"film": func(s suspect) []weighed {
		return []weighed{
			{"film", s.alive(0.9, 0.1)}, {"oils", s.alive(0.5, 0.9)}, {"mould", s.alive(0.6, 0.1)},
			{"fat", 0.7},
		}
	},
	"grease": func(s suspect) []weighed {
		return []weighed{{"fat", 0.95}, {"oils", 0.9}, {"film", s.alive(0.6, 0.05)}}
	},
	"tuft": tuft, "mould": tuft, "fur": tuft, "speck": tuft, "float": tuft, "life": tuft,
	"set": func(s suspect) []weighed {
		return []weighed{{"fat", 0.95}, {"fibre", 0.8}, {"film", s.alive(0.6, 0.05)}, {"crystals", 0.5},
			{"oils", 0.4}}
	},
	"lies": func(suspect) []weighed { return []weighed{{"fat", 0.95}, {"oils", 0.9}} },
	"thread": func(s suspect) []weighed {
		return []weighed{{"growth", s.alive(0.95, 0.1)}, {"pectin", s.alive(0.3, 0.7)},
			{"gum", s.alive(0.6, 0.8)}}
	},
	"fizz": gas, "gas": gas, "pop": gas, "blown": gas,
	"jelly": func(s suspect) []weighed {
		return []weighed{{"pectin", 0.95}, {"gum", 0.9}, {"growth", s.alive(0.7, 0.05)}}
	},
	"slime": thick, "thick": thick,
	"grains": func(s suspect) []weighed {
		return []weighed{
			{"crystals", 0.9}, {"settling", 0.7}, {"salts", choose(len(s.Nourishing) > 0, 0.5, 0.1)},
			{"growth", s.alive(0.3, 0.02)},
		}
	},
	"smell": smell, "off": smell, "stench": smell,
	"tart": func(s suspect) []weighed { return append(smell(s), weighed{"acid", 1}) },
	"warm": outOfTheCold, "unchilled": outOfTheCold,
	"rotten": grown, "solvent": grown, "kernel": grown, "vermin": grown, "ill": grown, "sight": grown,
	"foreign": grown, "fell": grown, "lead": grown, "metal": grown,
	"glaze": func(s suspect) []weighed { return []weighed{{"glaze", 0.9}} },
	"clay":  func(s suspect) []weighed { return []weighed{{"clay", 0.9}} },
	"odd": func(s suspect) []weighed {
		return []weighed{{"growth", s.alive(0.8, 0.02)}, {"taste", 0.5}}
	},
	"exposed": func(suspect) []weighed { return []weighed{{"exposed", 0.9}} },
	"ajar":    func(s suspect) []weighed { return []weighed{{"growth", s.alive(0.95, 0.05)}, {"ajar", 0.9}} },
	"faded":   faded, "colour": faded,
	"curd": func(s suspect) []weighed {
		return []weighed{
			{"clotted", 0.95}, {"growth", s.alive(choose(s.milky(), 0.9, 0.5), 0.02)},
			{"separated", s.parts(0.6)},
			{"pectin", 0.8},
		}
	},
	"split": func(s suspect) []weighed {
		return []weighed{
			{"separated", s.parts(0.9)}, {"clotted", 0.7}, {"syrup", 0.5},
			{"growth", s.alive(choose(s.milky(), 0.6, 0.3), 0.02)},
		}
	},
}

func tuft(s suspect) []weighed {
	return []weighed{{"mould", s.alive(0.9, 0.1)}, {"growth", s.alive(0.6, 0.05)},
		{"pectin", s.alive(0.4, 0.6)}, {"fibre", 0.8}}
}

func gas(s suspect) []weighed {
	return []weighed{{"fermentation", choose(s.ferments, 0.95, s.alive(0.5, 0.02))},
		{"air", s.alive(0.2, 0.9)}}
}

func grown(s suspect) []weighed { return []weighed{{"growth", s.alive(0.9, 0.05)}} }

func thick(s suspect) []weighed {
	return []weighed{{"gum", 0.95}, {"pectin", 0.65}, {"growth", s.alive(0.8, 0.05)}}
}

func smell(s suspect) []weighed {
	fat := len(s.Nuts)+len(s.FatTraces) > 0 || s.milky() || s.Oil
	return []weighed{
		{"growth", s.alive(0.95, 0.1)}, {"vinegar", s.alive(0.7, 0.05)},
		{"rancid", choose(fat, 0.8, 0.05)},
		{"lemon", choose(len(s.CitrusPeel) > 0, 0.7, 0.05)},
		{"sorbate", choose(s.Preservatives.PotassiumSorbateMgPerL > 0, 0.6, 0)},
		{"leaf", choose(len(s.GreenLeaf) > 0, 0.6, 0)},
		{"steeps", choose(s.Steeping, s.alive(0.2, 0.7), 0)},
	}
}

func faded(s suspect) []weighed {
	return []weighed{
		{"green", choose(len(s.GreenLeaf) > 0, 0.9, 0.1)},
		{"red", choose(len(s.RedColour) > 0, 0.9, 0.05)},
		{"browning", choose(len(s.FreshJuice) > 0, 0.8, 0.05)}, {"growth", s.alive(0.3, 0.02)},
	}
}

// hazes is the fat behind a cloud: in strong drink from which the fat came off a trace of it, which no fat
// was seen of and beside which all that it may be is harmless; anywhere else the fat itself.
func (s suspect) hazes() string {
	if len(s.FatTraces) > 0 && len(s.FatOn)+len(s.FatIn) == 0 && !s.lives {
		return "trace"
	}
	return "fat"
}

// parts is the weight of cream or nut milk separating.
func (s suspect) parts(weight float64) float64 { return choose(s.milky() || s.Egg, weight, 0.05) }

// Causes gives the likely causes of something seen or smelt in the bottle, in
// the maker's words, with what this composition makes more or less likely,
// first the likeliest. Text that names no known sign gets one entry that asks
// for a plainer word. What could be life in a drink that does not stop life is
// never explained away, and what a word names itself (mould, a cork pushed out) comes first
// in any drink; of several signs the one that means harm comes first, for what explains one does
// not explain the other. holds are the names of what is in it.
func Causes(text string, b shelf.Bottle, holds ...string) []Cause {
	s := suspect{Bottle: b}
	var out []Cause
	put := func(key string, weight float64) {
		c := causes().At(key)
		c.Weight = weight
		if key == "gum" && len(b.Gums) > 0 {
			c.Name = "gum of " + quantity.And(b.Gums)
		}
		switch i := slices.IndexFunc(out, func(o Cause) bool { return o.Name == c.Name }); {
		case i < 0:
			out = append(out, c)
		case out[i].Weight < weight:
			c.named = out[i].named
			out[i] = c
		}
	}
	var poison bool
	if s.lives, s.ferments, poison = b.Lives(); poison {
		put("poison", choose(s.milky() || s.Egg || s.RawEgg, 0.85, 1)) // layers alone are what milk and nut milk do
	}
	seen, _ := seenIn(text, holds)
	// the least weight of what is likeliest behind a sign that means harm, and what can burst
	harm, hurts := 1.0, ""
	for _, sign := range seen {
		if sign.decides != "" {
			put(sign.decides, 1)
			name := causes().At(sign.decides).Name
			out[slices.IndexFunc(out, func(o Cause) bool { return o.Name == name })].named = true
		}
		var likely weighed
		for _, c := range behind[sign.key](s) {
			if c.weight = s.left(c.cause, c.weight); c.weight > 0 {
				put(c.cause, c.weight)
			}
			if c.weight > likely.weight {
				likely = c
			}
		}
		if c := causes().At(likely.cause); c.ThrowAway {
			harm = min(harm, likely.weight)
			if c.Handling != "" {
				hurts = likely.cause
			}
		}
	}
	if len(out) == 0 {
		return []Cause{causes().At("not known")}
	}
	most := 0.0
	for i := range out {
		if !out[i].ThrowAway {
			out[i].Weight = min(out[i].Weight, harm)
		}
		if !out[i].Poison() {
			most = max(most, out[i].Weight)
		}
	}
	if hurts != "" { // before what only spoils
		put(hurts, most)
	}
	return ranked(out)
}

// ranked puts the likeliest first, and what is named before it.
func ranked(out []Cause) []Cause {
	yes := func(on bool) float64 { return choose(on, 1, 0) }
	sort.SliceStable(out, func(i, j int) bool {
		x, y := &out[i], &out[j]
		return cmp.Or(cmp.Compare(yes(y.named), yes(x.named)), cmp.Compare(y.Weight, x.Weight),
			cmp.Compare(yes(y.ThrowAway), yes(x.ThrowAway)), cmp.Compare(yes(y.Handling != ""),
				yes(x.Handling != ""))) < 0
	})
	// What was seen is named by its own cause; what else the drink can hold comes after a
	// cause that is thrown away too, and before one that is harmless.
	if len(out) > 1 && out[0].Poison() && out[1].ThrowAway {
		out[0].Weight = out[1].Weight
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// choose is a when the condition holds, else b.
func choose(on bool, a, b float64) float64 {
	if on {
		return a
	}
	return b
}
