package library

import "testing"

// Who scores a taste may call it by any word of it.
func TestTastes(t *testing.T) {
	lib := Builtin()
	for _, c := range []struct {
		name, cut, taste string
		itself, late     bool
	}{
		{"gentian root", "", "bitter", true, true},
		{"cinchona bark", "", "Bitterness", true, false},
		{"gentian root", "", "very sweet", false, false},
		{"dried chilli", "", "heat", true, false},
		{"lemon zest", "", "bitterness", false, true},
		{"lemon zest", "", "pith", false, true},
		{"lemon zest", "", "soapy", false, false},
		{"star anise", "", "bitter", false, false},
	} {
		b, cut, _, err := lib.BotanicalAndCut(c.name, c.cut)
		if err != nil {
			t.Fatal(err)
		}
		if is, late := b.TastesOf(c.taste), cut.TurnsInto(c.taste); is != c.itself || late != c.late {
			t.Errorf("%s, %s: itself %v, late %v (%q)", c.name, c.taste, is, late, cut.LateOff)
		}
	}
	if (*Botanical)(nil).TastesOf("bitter") {
		t.Error("what is not known tastes of bitter")
	}
}
