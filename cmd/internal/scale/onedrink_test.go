package scale

import (
	"math"
	"slices"
	"strings"
	"testing"

	"steepbook/data/library"
)

// TestOneDrink: what is told of the new batch is what its file comes to, twelve bottles by it are twelve bottles,
// and it is the drink that the old batch was measured to be, however much its solids kept; where what was lost
// does not go on with it, that is said.
func TestOneDrink(t *testing.T) {
	const tram = "name = \"J\"\nstarted = 2026-11-20T10:00:00\n[spirit]\nabv = 40\namount = \"700 ml\"\n[[botanical]]\n" +
		"name = \"coffee beans\"\ncut = \"coarse ground\"\namount = \"80 g\"\n[[addition]]\nname = \"sugar\"\namount = \"300 g\"\n" +
		"[[addition]]\nname = \"water\"\namount = \"300 ml\"\n[finish]\nbottle = \"250 ml\"\n"
	const zest = "name = \"L\"\nstarted = 2026-11-20T10:00:00\n[spirit]\nname = \"rum\"\nabv = 63\namount = \"350 ml\"\n" +
		"[[botanical]]\nname = \"lime zest\"\namount = \"24 g\"\n[[addition]]\nname = \"sugar\"\namount = \"450 g\"\n[[addition]]\n" +
		"name = \"water\"\namount = \"250 ml\"\n[[addition]]\nname = \"lime juice\"\namount = \"120 ml\"\n[finish]\nbottle = \"250 ml\"\n"
	const bare = "name = \"J\"\nstarted = 2026-11-20T10:00:00\n[spirit]\nabv = 40\namount = \"1 l\"\n[[addition]]\nname = \"water\"\n" +
		"amount = \"500 ml\"\n[finish]\nbottle = \"250 ml\"\n"
	for _, c := range []struct {
		src, read string
		goesOn    bool // the drink
	}{
		{tram, "", true}, {tram, "strained = \"450 ml\"", true}, {tram, "strained = \"500 ml\"", true},
		{tram, "strained = \"600 ml\"", true}, {tram, "strained = \"640 ml\"", false}, {tram, "volume = \"900 ml\"", false},
		{zest, "strained = \"290 ml\"", true}, {bare, "volume = \"1.2 l\"", false},
	} {
		for _, size := range []string{"x2", "3 l", "12 bottles"} {
			s := mustScale(t, c.src+"[measured]\n"+c.read+"\n", size)
			a, err := judged(s.Batch, library.Builtin())
			if err != nil {
				t.Fatal(err)
			}
			was, told, is := &s.From.Blend.Result, &s.Blend.Result, &a.Blend.Result
			if told.VolumeML != is.VolumeML || told.ABVPercent != is.ABVPercent || told.SugarGPerL != is.SugarGPerL {
				t.Errorf("%s, %s: told %+v, its file %+v", c.read, size, told.VolumeML, is.VolumeML)
			}
			if size != "x2" && math.Abs(told.VolumeML.Value/3000-1) > 0.01 || size == "12 bottles" && s.Bottling.Begun() != 12 {
				t.Errorf("%s, %s: %+v, %+v", c.read, size, told.VolumeML, s.Bottling)
			}
			same := math.Abs(told.VolumeML.Value/s.Factor/was.VolumeML.Value-1) < 0.01 &&
				math.Abs(told.ABVPercent.Value-was.ABVPercent.Value) < 0.2 && math.Abs(told.SugarGPerL.Value/was.SugarGPerL.Value-1) < 0.01
			said := slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.HasPrefix(w, "the old batch came to ") })
			if same != c.goesOn || said == c.goesOn {
				t.Errorf("%s, %s: %+v at %+v, was %+v at %+v; %q", c.read, size, told.VolumeML, told.ABVPercent, was.VolumeML, was.ABVPercent,
					s.Warnings)
			}
		}
	}
}
