package quantity

import "testing"

// An article stands before names but for what has one of the maker's own.
func TestThe(t *testing.T) {
	for _, c := range []struct {
		names []string
		want  string
	}{
		{[]string{"clove"}, "the clove"}, {[]string{"clove", "mint"}, "the clove and mint"},
		{[]string{"my garden chili"}, "my garden chili"}, {[]string{"My chili", "clove"}, "My chili and clove"},
		{[]string{"myrtle"}, "the myrtle"},
	} {
		if got := The(c.names); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
