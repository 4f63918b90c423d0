package remark

import (
	"testing"

	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// TestSignsOfFat: what fat came off from is cloudy with a trace of it where it is too strong for life, and holds fat
// where that is said or seen; before it came off, and in weak drink, a cloud is no trace.
func TestSignsOfFat(t *testing.T) {
	strong := shelf.Bottle{ABVPercent: mixture.Exactly(45), FatTraces: []string{"coconut oil"}}
	on, weak := strong, strong
	on.FatIn, weak.ABVPercent = strong.FatTraces, mixture.Exactly(14)
	for _, text := range []string{"haze", "a bit milky", "cloudy when cold, clears as it warms", "not crystal clear"} {
		if c := Causes(text, strong)[0]; !c.FatTrace() {
			t.Errorf("%q is %s", text, c.Name)
		}
		if c := Causes(text, on)[0]; !c.Fat() {
			t.Errorf("%q with fat in it is %s", text, c.Name)
		}
		for _, c := range Causes(text, weak) {
			if c.FatTrace() {
				t.Errorf("%q in weak drink may be %s", text, c.Name)
			}
		}
	}
	for _, text := range []string{
		"white flakes, they melt in the hand", "flecks of white wax", "white flakes in the fridge", "set solid on top",
		"it set hard", "beads of oil", "a greasy film", "a white disc on top", "butter back in", "half the fat off", "not all the fat off",
	} {
		if c := Causes(text, strong, "coconut oil")[0]; !c.Fat() {
			t.Errorf("%q is %s", text, c.Name)
		}
		if c := Causes(text, shelf.Bottle{ABVPercent: mixture.Exactly(45)})[0]; c.Fat() || c.ThrowAway {
			t.Errorf("%q where no fat was is %s", text, c.Name)
		}
	}
	for _, text := range []string{
		"all fat off", "not a trace of butter fat", "not a trace of coconut fat", "no butter fat left", "crystal clear",
		"silky mouthfeel", "white wax on the seal", "lifted the white disc of coconut off", "chilli flakes in the fridge",
	} {
		if sign, _ := IsSign(text, "coconut oil"); sign {
			t.Errorf("%q is a sign: %s", text, Causes(text, strong, "coconut oil")[0].Name)
		}
	}
	for text, want := range map[string]bool{
		"lifted the fat": true, "the lid came off": true, "took it off": true, "no fat left": true, "skimmed it": true,
		"not lifted yet": false, "tastes of coconut": false,
	} {
		if TellsOfLifting(text) != want {
			t.Errorf("%q tells of lifting: %v", text, !want)
		}
	}
}
