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
