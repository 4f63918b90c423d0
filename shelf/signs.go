package shelf

import (
	"sort"
	"strings"
	"unicode"
)

// sign is a group of words a maker may use, and the causes behind them.
type sign struct {
	words  []string
	causes func(b Bottle, lives, ferments bool) []Cause
}

const (
	throwAway = "unsure means throw it away: do not taste it; pour it out, wash and boil the bottle"
	decant    = "chill it overnight and filter through paper, or shake and drink it as it is"
)

// Sign gives the likely causes of something seen or smelt in the bottle, in
// the maker's words, with what this composition makes more or less likely,
// first the likeliest. Text that names no known sign gets one entry that asks
// for a plainer word. What could be life in a drink that does not stop life is
// never explained away.
func Sign(text string, b Bottle) []Cause {
	lives, ferments := true, true
	var out []Cause
	if check(b, Storage{}) == nil {
		w := worstOf(b)
		f := look(b, w)
		if !f.gate.pass() && (w.cold || b.Oil || len(b.FreshLowAcid) > 0) {
			// Layers alone are what milk and nut milk do.
			out = append(out, Cause{Name: "a drink in which poison can form unseen", Weight: choose(w.cold, 0.85, 1), ThrowAway: true,
				HowToTell: "it cannot be told by eye, nose or tongue", WhatToDo: "any sign but plain layers of milk or nuts, or a day past its time, ends it; " + throwAway,
				Source: "Daifas et al. 2003, J. Food Prot. 66; Huang, Weng and Chiou 2001, J. Food Prot. 64:546"})
		}
		lives = !f.line1
		ferments = !f.line1 && w.abv < fermentABV && (b.SugarGPerL.Value >= 4 || w.nourishing)
	}
	text = strings.ToLower(text)
	seen := map[string]int{}
	for _, s := range signs {
		for _, w := range s.words {
			if !mentions(text, w) {
				continue
			}
			for _, c := range s.causes(b, lives, ferments) {
				i, had := seen[c.Name]
				switch {
				case c.Weight <= 0:
				case !had:
					seen[c.Name] = len(out)
					out = append(out, c)
				case out[i].Weight < c.Weight:
					out[i] = c
				}
			}
			break
		}
	}
	if len(out) == 0 {
		return []Cause{{Name: "not a sign known here", HowToTell: "say whether it is cloud, a ring, a film, a floating tuft, threads, fizz, jelly, crystals, layers, a change of colour or a smell", WhatToDo: throwAway, Source: "common practice, no source"}}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Weight > out[j].Weight })
	return out
}

// mentions reports whether text holds word: a phrase anywhere, a single word as
// the start of a word, or, when it ends in "=", as a whole word.
func mentions(text, word string) bool {
	if strings.Contains(word, " ") {
		return strings.Contains(text, word)
	}
	whole, exact := strings.CutSuffix(word, "=")
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if w == whole || !exact && strings.HasPrefix(w, whole) {
			return true
		}
	}
	return false
}

// choose is a when the condition holds, else b.
func choose(on bool, a, b float64) float64 {
	if on {
		return a
	}
	return b
}

// oilHaze and the causes below come with a weight that the sign gives and the
// composition changes.
func oilHaze(b Bottle, lives bool, weight float64) Cause {
	if len(b.OilRich) == 0 && len(b.CitrusPeel) == 0 && len(b.OtherPeel) == 0 && len(b.Nuts) == 0 {
		weight *= 0.4
	}
	// In a weak drink life is the first thing to think of.
	if lives && b.ABVPercent.Value < weakDrinkABV {
		weight *= 0.6
	}
	return Cause{Name: "oils of peel or spice coming out", Weight: weight,
		HowToTell: "came when water or syrup went in or when it got cold; clears with a little more spirit or warmth; smells clean",
		WhatToDo:  "harmless: " + decant + "; next time cut slowly and not so far",
		Source:    "Gironi, Gonzalez Farias and Lamberti 1995, J. Chem. Eng. Data 40:578; Chiappisi and Grillo, ACS Omega"}
}

func growthHaze(weight float64) Cause {
	return Cause{Name: "yeast or bacteria growing", Weight: weight, ThrowAway: true,
		HowToTell: "grows from day to day, comes with gas, threads or a sour, cheesy or nail-varnish smell; does not clear when warmed",
		WhatToDo:  throwAway, Source: "La Vigne no. 102, 1999; Luo et al. 2021"}
}

func pectin(b Bottle, weight float64) Cause {
	fruit := b.Fruit || b.Pulp || len(b.FreshJuice) > 0 || len(b.Pectin) > 0
	peel := len(b.CitrusPeel) > 0 || len(b.OtherPeel) > 0
	return Cause{Name: "pectin of fruit", Weight: choose(fruit, weight, choose(peel, weight*0.6, weight*0.2)),
		HowToTell: "soft clumps or a jelly that came within days of adding spirit or sugar; smells of fruit",
		WhatToDo:  "harmless: let it settle and rack it off, or use pectin enzyme before the spirit goes in", Source: "common practice, no source"}
}

func mould(weight float64) Cause {
	return Cause{Name: "mould", Weight: weight, ThrowAway: true,
		HowToTell: "fuzzy or dusty, white, green or black, where air reaches: the neck, the cap, something sticking out",
		WhatToDo:  "throw it all away, not only the fur; " + throwAway, Source: "Dantigny et al. 2005, Int. J. Food Microbiol. 98:261-269: stopped by 3 to 6.4 % of alcohol by mass in the liquid"}
}

func filmYeast(b Bottle, weight float64) Cause {
	return Cause{Name: "film yeast or vinegar bacteria", Weight: weight, ThrowAway: true,
		HowToTell: "a dull skin that breaks into flakes, bottle not full, sherry or vinegar smell",
		WhatToDo:  throwAway + "; next time fill small bottles to the neck", Source: "Martinez, Perez Rodriguez and Benitez 1997, Am. J. Enol. Vitic. 48:55; Bartowsky et al. 2003, Lett. Appl. Microbiol. 36:307"}
}

func gum(b Bottle, weight float64) Cause {
	name := "gum of ground cassia or seeds"
	if len(b.Gums) > 0 {
		name = "gum of " + list(b.Gums)
	}
	return Cause{Name: name, Weight: choose(len(b.Gums) > 0, weight, weight*0.3),
		HowToTell: "came at once with hot liquid or powder, and does not grow; smells of the spice",
		WhatToDo:  "harmless: strain through cloth; use sticks and cooler liquid", Source: "common practice, no source"}
}

func fat(b Bottle, weight float64) Cause {
	return Cause{Name: "fat of nuts, milk or egg", Weight: choose(len(b.Nuts)+len(b.FatTraces) > 0 || b.Dairy || b.NutMilk || b.Egg || b.Oil, weight, 0),
		HowToTell: "greasy on the finger; gathers on top and turns hard in the cold", WhatToDo: "freeze and skim, or shake; a rancid smell ends it", Source: "common practice, no source"}
}

func clotted(b Bottle, weight float64) Cause {
	return Cause{Name: "milk or egg clotted by acid or alcohol", Weight: choose(b.Dairy || b.Egg, weight, 0),
		HowToTell: "clots at once when acid or strong spirit went in", WhatToDo: "strain it off if it came while mixing; if it came in store, throw it away", Source: "common practice, no source"}
}

func separated(b Bottle, weight float64) Cause {
	return Cause{Name: "cream or nut milk separating", Weight: choose(b.Dairy || b.NutMilk || b.Egg, weight, 0.05),
		HowToTell: "two smooth layers that shake together again, clean smell", WhatToDo: "shake it; harmless within its days", Source: "common practice, no source"}
}

func fibre(lives bool, weight float64) Cause {
	return Cause{Name: "plant fibre, honey or fatty acids clumping", Weight: choose(lives, weight*0.4, weight),
		HowToTell: "smooth, sinks or hangs still, no fuzz; often after a cold night", WhatToDo: "harmless in a strong drink: " + decant, Source: "common practice, no source"}
}

func sugarCrystals(b Bottle, weight float64) Cause {
	return Cause{Name: "sugar crystals", Weight: choose(b.SugarGPerL.Value >= 300, weight, weight*0.3),
		HowToTell: "hard, clear grains that dissolve in a drop of warm water", WhatToDo: "harmless: warm the bottle in water, away from flame, and add a little water or spirit",
		Source: "common practice, no source"}
}

var signs = []sign{
	{[]string{"cloud", "haz", "milky", "murky", "turbid", "not clear"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			oilHaze(b, lives, 0.9),
			pectin(b, 0.7),
			growthHaze(choose(lives, choose(ferments, 0.85, 0.6), 0.05)),
			{Name: "fine plant dust or starch", Weight: choose(b.Filtered, 0.2, 0.5), HowToTell: "settles in days and shakes up again", WhatToDo: "harmless: let it settle, rack or filter", Source: "common practice, no source"},
			fat(b, 0.8),
		}
	}},
	{[]string{"ring=", "rings=", "ringed=", "scum", "neck"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			oilHaze(b, lives, 0.85),
			pectin(b, 0.5),
			filmYeast(b, choose(lives, 0.7, 0.05)),
			mould(choose(lives, 0.6, 0.1)),
		}
	}},
	{[]string{"film", "skin", "pellicle", "layer on top", "mother=", "blob"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			filmYeast(b, choose(lives, 0.9, 0.1)),
			oilHaze(b, lives, choose(lives, 0.5, 0.9)),
			mould(choose(lives, 0.6, 0.1)),
			fat(b, 0.7),
		}
	}},
	{[]string{"greas", "oily", "slick", "fat=", "fatty", "droplets on top"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			fat(b, 0.95),
			oilHaze(b, lives, 0.9),
			filmYeast(b, choose(lives, 0.6, 0.05)),
		}
	}},
	{[]string{"tuft", "fuzz", "fluff", "fur=", "furs=", "furry=", "hairy", "growth", "growing", "floating", "floater", "floaties", "wisp", "mould", "mold", "spots", "speck"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			mould(choose(lives, 0.9, 0.1)),
			growthHaze(choose(lives, 0.6, 0.05)),
			pectin(b, choose(lives, 0.4, 0.6)),
			fibre(lives, 0.8),
		}
	}},
	{[]string{"thread", "rope", "ropy", "string", "hair=", "hairs=", "silky"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{growthHaze(choose(lives, 0.95, 0.1)), pectin(b, choose(lives, 0.3, 0.7)), gum(b, choose(lives, 0.6, 0.8))}
	}},
	{[]string{"fizz", "bubbl", "gas=", "gassy=", "pop=", "pops=", "popped=", "foam", "froth", "pressure", "gush", "burst", "hiss", "bulg", "ferment", "geyser", "explod"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			{Name: "fermentation", Weight: choose(ferments, 0.95, choose(lives, 0.5, 0.02)), ThrowAway: true,
				HowToTell: "bubbles keep rising after the first minute; pressure comes back after it is let off; less sweet than it was",
				WhatToDo:  "cool it first and open it over the sink, away from the face: the bottle can burst; then " + throwAway, Source: "Zuehlke, Childs and Edwards 2015, Fermentation 1:3-12"},
			{Name: "air shaken in, or a warm bottle", Weight: choose(lives, 0.2, 0.9), HowToTell: "gone in minutes, does not come back", WhatToDo: "nothing", Source: "common practice, no source"},
		}
	}},
	{[]string{"jelly", "gel", "set=", "sets=", "setting="}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{pectin(b, 0.95), gum(b, 0.9), growthHaze(choose(lives, 0.7, 0.05))}
	}},
	{[]string{"slime", "slimy", "snot", "thick", "goo=", "gooey", "gloop"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{gum(b, 0.95), pectin(b, 0.65), growthHaze(choose(lives, 0.8, 0.05))}
	}},
	{[]string{"crystal", "grain", "grit", "sand", "sediment", "deposit", "speck", "flakes at the bottom"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			sugarCrystals(b, 0.9),
			{Name: "plant dust settling", Weight: 0.7, HowToTell: "soft, brown, shakes up", WhatToDo: "harmless: rack it off", Source: "common practice, no source"},
			{Name: "acid salts of fruit or wine", Weight: choose(len(b.Nourishing) > 0, 0.5, 0.1), HowToTell: "glassy, sour or tasteless, after cold", WhatToDo: "harmless: decant", Source: "common practice, no source"},
			growthHaze(choose(lives, 0.3, 0.02)),
		}
	}},
	{[]string{"smell", "smells", "odour", "odor", "stink", "vinegar", "sour", "nail varnish", "solvent", "cheese", "rotten", "musty", "rancid", "yeast", "beery", "off taste", "off-taste"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			growthHaze(choose(lives, 0.95, 0.1)),
			{Name: "vinegar bacteria", Weight: choose(lives, 0.7, 0.05), ThrowAway: true, HowToTell: "vinegar or nail varnish, bottle not full", WhatToDo: throwAway, Source: "Bartowsky et al. 2003, Lett. Appl. Microbiol. 36:307"},
			{Name: "rancid fat", Weight: choose(len(b.Nuts)+len(b.FatTraces) > 0 || b.Dairy || b.NutMilk || b.Oil, 0.8, 0.05), ThrowAway: true, HowToTell: "old nuts, crayons, soap", WhatToDo: "throw it away", Source: "common practice, no source"},
			{Name: "lemon oil turned by acid and air", Weight: choose(len(b.CitrusPeel) > 0, 0.7, 0.05), HowToTell: "resin, phenol, old peel; came in weeks in a sour drink", WhatToDo: "harmless, and it does not come back: make it fresh, keep it cold and full", Source: "J. Jpn. Soc. Nutr. Food Sci. 31(5), 1978:518"},
			{Name: "sorbate turned in alcohol", Weight: choose(b.Preservatives.PotassiumSorbateMgPerL > 0, 0.6, 0), HowToTell: "celery or pineapple", WhatToDo: "harmless; leave sorbate out next time", Source: "University of Minnesota Enology 2014"},
			{Name: "stewed or stale leaf", Weight: choose(len(b.GreenLeaf) > 0, 0.6, 0), HowToTell: "hay, spinach; brown colour", WhatToDo: "harmless: steep leaves for a day or two only, jar full", Source: "common practice, no source"},
		}
	}},
	{[]string{"brown", "fade", "colour", "color", "dull", "dark"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			{Name: "green of leaves lost to acid and air", Weight: choose(len(b.GreenLeaf) > 0, 0.9, 0.1), HowToTell: "green to brown within days", WhatToDo: "harmless: shorter steep, full jar, dark and cold", Source: "Weemaes et al. 1999, J. Agric. Food Chem. 47:2404"},
			{Name: "red of fruit or flowers fading", Weight: choose(len(b.RedColour) > 0, 0.9, 0.05), HowToTell: "red to brick over weeks, faster warm", WhatToDo: "harmless: cold and dark", Source: "Sokol-Letowska et al. 2018, Molecules 23:2156"},
			{Name: "juice browning", Weight: choose(len(b.FreshJuice) > 0, 0.8, 0.05), HowToTell: "yellow to brown, stale taste", WhatToDo: "past its best: use it soon or make it fresh", Source: "Abbasi and Niakousari 2008, Pak. J. Biol. Sci. 11:1365"},
			growthHaze(choose(lives, 0.3, 0.02)),
		}
	}},
	{[]string{"curd", "clot", "lump"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			clotted(b, 0.95),
			growthHaze(choose(lives, choose(b.Dairy || b.NutMilk, 0.9, 0.5), 0.02)),
			separated(b, 0.6),
			pectin(b, 0.8),
		}
	}},
	{[]string{"split", "separat", "layers"}, func(b Bottle, lives, ferments bool) []Cause {
		return []Cause{
			separated(b, 0.9),
			clotted(b, 0.7),
			{Name: "syrup not mixed in", Weight: 0.5, HowToTell: "clear heavy layer below", WhatToDo: "turn the bottle over a few times", Source: "common practice, no source"},
			growthHaze(choose(lives, choose(b.Dairy || b.NutMilk, 0.6, 0.3), 0.02)),
		}
	}},
}
