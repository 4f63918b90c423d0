package library

import "testing"

// TestStonesLeft: of every stone fruit the same words say that its stones are out, or let it be taken so.
func TestStonesLeft(t *testing.T) {
	h := Builtin().Hazards()["cyanide-stones"]
	for _, c := range []struct {
		said  string
		any   bool // something is left to say
		lying bool // for so many days it may lie
	}{
		{"peach, destoned", false, false}, {"sweet cherry, stoned", false, false}, {"plum, pitted", false, false},
		{"apricot, stones removed", false, false}, {"peach, without stones", false, false},
		{"Zwetschgen, entsteint", false, false},
		{"damson, halved", true, false}, {"plum, quartered", true, false}, {"peach, sliced", true, false},
		{"peach slices", true, false}, {"peaches, peeled and chopped", true, false},
		{"peach", true, true}, {"sour cherry, crushed", true, true}, {"apricot, halved, stones in", true, true},
		{"peach, sliced, with stones", true, true}, {"cherries, not destoned", true, true},
		{"plum, halved, unstoned", true, true},
	} {
		left, any := h.Left(c.said)
		if any != c.any || left.SteepDays.Known() != c.lying {
			t.Errorf("%s: something is left %v, its days %v; want %v, %v", c.said, any, left.SteepDays, c.any, c.lying)
		}
		if any && !c.lying && left.Do != h.Taken {
			t.Errorf("%s: told %q", c.said, left.Do)
		}
	}
}
