package batch

import (
	"strings"

	"steepbook/data/strict"
)

// Key is a key of the batch file, or the line of a table where Name is empty.
type Key struct {
	Table   string // the line of its table, "[finish]" or "[[tasting]]"; "" at the top
	Name    string
	Example string // a line that is right; figures in metric units with a tie, as quantity.Say has them
	Takes   string // what it says, in a few words
}

// Keys lists what may stand in a batch file, in the order people write it, as the reader
// of the file takes it. Old words for a key are left out.
func Keys() (all []Key) {
	for _, k := range strict.Keys(fileTable{}) {
		all = append(all, Key{k.Line, nameOf(k), k.Right, takes[k.Name]})
		for _, sub := range k.Keys {
			if strings.HasPrefix(sub.Right, sub.Name+" ") {
				all = append(all, Key{k.Line, sub.Name, sub.Right, takes[k.Name+"."+sub.Name]})
			}
		}
	}
	return all
}

func nameOf(k strict.Key) string {
	if k.Line != "" {
		return ""
	}
	return k.Name
}

// takes says of each key what it takes, and of each table what it is for.
var takes = map[string]string{
	"name":    "what it is called; must be there",
	"id":      "what a calendar knows it by, so that it may be renamed; new writes one: no two alike",
	"started": "when the first liquid met the first botanical; must be there",
	"room":    "what it steeps at, in C or F",
	"ready":   "the day it is to be ready by, of a gift: answers say whether it will be, and when to bottle it",
	"units":   "metric or us: how answers are printed, and whose cups are meant",

	"spirit":        "what it steeps in; [[spirit]] before each of several. A syrup steep has its water here",
	"spirit.name":   "what it is called; its strength may stand behind it, as in \"grape brandy 57 %\"",
	"spirit.abv":    "its strength in % vol, from the label",
	"spirit.proof":  "or in US proof, twice the % vol",
	"spirit.amount": "how much, by volume or by weight",
	"spirit.price":  "what that much cost; one currency in all places",

	"botanical":          "one thing that steeps; the same line before the next",
	"botanical.name":     "a name that lookup knows or a word of your own, each only once; must be there",
	"botanical.like":     "whose figures to take where the name is your own",
	"botanical.cut":      "form and fineness, which change the speed",
	"botanical.amount":   "a weight, a kitchen measure or a count: \"3 fruit\", \"zest of 2\"",
	"botanical.target":   "the strength wanted in the bottle, 0 to 10; left out: as strong as it gets",
	"botanical.in":       "when it went in; left out: at the start",
	"botanical.lot":      "which packet it is of: jars of one packet teach each other more",
	"botanical.bought":   "the day it was bought or picked: dried spice weakens with age",
	"botanical.leave_in": "it stays in the bottle until it is pulled; without it even fat is taken off again",
	"botanical.bag":      "it is in a bag, so that it comes out alone however fine it is",
	"botanical.price":    "what that much cost",

	"watch":       "an unwanted taste, scored like the rest",
	"watch.name":  "the taste; must be there",
	"watch.limit": "the most of it that is tolerable, 0 to 10; must be there",
	"watch.from":  "what brings it; left out: whatever steeps",

	"addition":            "one thing that goes in after straining",
	"addition.name":       "as under [[botanical]]; a spirit may have its strength in it; must be there",
	"addition.amount":     "a weight, a kitchen measure or a count",
	"addition.abv":        "its strength in % vol, of a spirit or a liquor",
	"addition.proof":      "or in US proof",
	"addition.ph":         "its pH as measured; where it is not known how much acid it holds, with acid",
	"addition.acid":       "its acid as measured, or off the label",
	"addition.brix":       "of a syrup or a juice: its sugar as measured, g in 100 g",
	"addition.heated":     "it was boiled or pasteurised before it went in",
	"addition.in":         "when it joined the jar, where that was before straining",
	"addition.pressed":    "of juice: the day it was pressed; its age is taken off its days",
	"addition.kept":       "of juice: where it stood since: fridge, freezer, cellar or room",
	"addition.boiled_off": "of a syrup made with water: what boiled off on the stove",
	"addition.price":      "what that much cost",

	"finish":          "how it is strained, bottled and kept",
	"finish.press":    "the solids are squeezed; false: only drained; left out: the ranges hold both",
	"finish.keeps":    "the share that the solids keep of the liquor that is usual, pressed or drained, as an earlier batch was measured: scale and new --from write it",
	"finish.heated":   "the finished drink is heated and closed hot",
	"finish.filtered": "it is strained clear",
	"finish.leave_in": "all solids stay in the bottle",
	"finish.boiled":   "the bottles are boiled",
	"finish.bottle":   "how large the bottles are",
	"finish.serve":    "how much is poured at a time",
	"finish.store":    "fridge, freezer, cellar, room or a temperature; left out: you are advised",
	"finish.strained": "when it was strained (at is an old word for it)",
	"finish.bottled":  "when it was bottled; the days count from here, else from the straining",
	"finish.opened":   "when the first bottle was opened",

	"measured":          "what you measured of the drink; it beats what is computed, and is of all that is logged above it in the file: what is logged below went in later",
	"measured.strained": "how much liquor there was after straining, before anything was added",
	"measured.ph":       "its pH",
	"measured.abv":      "its strength in % vol",
	"measured.proof":    "or in US proof",
	"measured.volume":   "how much there is of it",
	"measured.sugar":    "its sugar",
	"measured.acid":     "its acid",
	"measured.brix":     "what a refractometer or a hydrometer shows",
	"measured.density":  "its density, kg/m3",

	"measured.hydrogen_cyanide": "mg/L of it in the liquor, by a laboratory, once it is off the stones; it beats what is computed, and while they lie in it is the least there is",

	"tasting":        "one round of scores of the jar; the command taste adds it",
	"tasting.at":     "when it was: time since the start, or a clock time; must be there",
	"tasting.sample": "parts of the jar to parts of syrup or water; left out: neat",
	"tasting.taster": "who tasted; tasters meet in the middle",
	"tasting.score":  "of botanicals and watches, 0 absent to 10 nothing else; one must be there",
	"tasting.words":  "what else there is to say",

	"pulled":      "something came out; the command pull adds it",
	"pulled.name": "which botanical; must be there",
	"pulled.at":   "when: time since the start, or a clock time; must be there",

	"strained":        "it was strained; the command strain adds it. It beats strained under [finish]",
	"strained.names":  "what came out; left out: everything",
	"strained.at":     "when: time since the start, or a clock time; must be there",
	"strained.volume": "the liquor measured then; it beats strained under [measured]",

	"added":        "something went in after straining; the command add adds it",
	"added.name":   "that of an [[addition]], or another; must be there",
	"added.amount": "as it went in; must be there. For a name with such entries they count",
	"added.at":     "when: time since the start, or a clock time; must be there",
	"added.into":   "how much of the drink it went into, where that was an open bottle or what was left over",
	"added.bottle": "which open bottle it went into, counted from 1; needed where several are open",

	"bottled":         "it was bottled; the command bottle adds it. It beats bottled under [finish]",
	"bottled.bottles": "how many bottles",
	"bottled.of":      "how large they are; left out: bottle under [finish]",
	"bottled.volume":  "how much there was to bottle then, as measured; it beats volume under [measured]",
	"bottled.from":    "out of which open bottle they were poured, counted from 1; left out: of what no bottle held",
	"bottled.at":      "when: time since the start, or a clock time; must be there",

	"opened":        "a bottle was opened; the command open adds it",
	"opened.bottle": "which, counted from 1; left out: the first that is sealed",
	"opened.at":     "when: time since the start, or a clock time; must be there",

	"emptied":        "a bottle is empty; the command empty adds it",
	"emptied.bottle": "which, counted from 1; left out: everything, the batch is finished",
	"emptied.at":     "when: time since the start, or a clock time; must be there",

	"noted":      "something seen or done; the command note adds it",
	"noted.what": "what: fizzed, ring at the neck; must be there",
	"noted.at":   "when: time since the start, or a clock time; must be there",
}
