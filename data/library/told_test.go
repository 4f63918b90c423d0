package library

import (
	"slices"
	"testing"
)

// TestTold: what a remark says is in a drink is looked up as what the file says; a smell, a
// denial, meat and the cleaning of a jar are nothing in it.
func TestTold(t *testing.T) {
	l := Builtin()
	for remark, want := range map[string]string{
		"it was lily of the valley, not wild garlic":  "lily of the valley",
		"the vodka was methylated spirit":             "poisonous alcohol",
		"the garlic turned out to be meadow saffron":  "lily of the valley",
		"by mistake I used rubbing alcohol":           "poisonous alcohol",
		"added yew berries":                           "yew",
		"it was methanol":                             "poisonous alcohol",
		"added a few drops of methanol by mistake":    "poisonous alcohol",
		"a bit of foxglove got in":                    "foxglove",
		"put 30 g of apricot kernels in as well":      "apricot kernel",
		"put in a spoon of borax":                     "household chemical",
		"not sure it was elderflower, maybe hemlock":  "hemlock",
		"wild garlic, or maybe lily of the valley":    "lily of the valley",
		"Brennspiritus statt Wodka genommen":          "poisonous alcohol",
		"alcool à brûler utilisé":                     "poisonous alcohol",
		"Frostschutz im Glas":                         "poisonous alcohol",
		"label says not for drinking":                 "poisonous alcohol",
		"used an old antifreeze bottle":               "household chemical",
		"jar previously held bleach":                  "household chemical",
		"bottle that had held motor oil":              "household chemical",
		"not sure it was hemlock":                     "hemlock",
		"it may not be sage but foxglove":             "",
		"Wodka statt Brennspiritus genommen":          "",
		"used vodka instead of methanol":              "",
		"used bleach to clean the jar":                "",
		"cleaned the jar with bleach":                 "",
		"used acetone to remove the label":            "",
		"great with a cigar":                          "",
		"it is perfect with a cigar":                  "",
		"smoked a cigarette and poured a glass":       "",
		"sat under the yew and drank it":              "",
		"put it next to the tobacco":                  "",
		"made with Ivy":                               "",
		"it was for Ivy":                              "",
		"added sea buckthorn":                         "",
		"is there a risk of methanol":                 "",
		"no methanol in it":                           "",
		"methanol test was clean":                     "",
		"the ivy is in flower":                        "",
		"put in some colour":                          "",
		"looks like foxglove":                         "",
		"tastes of tobacco":                           "",
		"used a coffee filter":                        "",
		"added hemlock spruce tips":                   "",
		"used propylene glycol-free extract":          "",
		"it was not methanol":                         "",
		"it was wild garlic, not lily of the valley":  "",
		"smells like tobacco":                         "",
		"the smell was perfume":                       "",
		"was cleaning the jar":                        "",
		"used a cleaning cloth":                       "",
		"served with ham":                             "",
		"added bacon":                                 "",
		"put in raw eggs and milk":                    "",
		"added 2 litres of water":                     "",
		"strained it, lovely":                         "",
		"used the good bottle for Mum's rue cordials": "",
	} {
		if got := l.Told(remark); want == "" && len(got) > 0 || want != "" && !slices.Contains(got, want) {
			t.Errorf("%q: %v, want %q", remark, got, want)
		}
	}
}
