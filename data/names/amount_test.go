package names_test

import (
	"testing"

	"steepbook/data/names"
)

func TestAmounted(t *testing.T) {
	for _, x := range []struct{ amount, name, want string }{
		{"", "sugar", "sugar"},
		{"9 g", "cardamom", "9 g cardamom"},
		{"3 walnuts", "walnut", "3 walnuts"},
		{"10 yolks", "egg yolk", "10 egg yolks"},
		{"4 egg yolks", "egg yolk", "4 egg yolks"},
		{"1 pod", "vanilla", "1 pod vanilla"},
		{"2 large pods", "vanilla pod", "2 large vanilla pods"},
		{"8", "egg yolk", "8 egg yolk"},
		{"zest of 3", "lime zest", "lime zest (zest of 3)"},
		{"1 grapefruit", "grapefruit peel", "grapefruit peel (1 grapefruit)"},
	} {
		if got := names.Amounted(x.amount, x.name); got != x.want {
			t.Errorf("%q of %q: %q, want %q", x.amount, x.name, got, x.want)
		}
	}
}
