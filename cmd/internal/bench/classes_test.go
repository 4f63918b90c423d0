package bench

import (
	"fmt"
	"testing"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// What the library knows only as a class comes with the spread of the class,
// whether it is the base or an addition.
func TestSpreadOfClassesReachesTheFigures(t *testing.T) {
	const base = "name = \"A\"\nstarted = 2026-11-20\n[spirit]\nname = %q\namount = \"700 ml\"\n"
	const added = "name = \"A\"\nstarted = 2026-11-20\n[[addition]]\nname = %q\namount = \"700 ml\"\n"
	blendOf := func(src string) recipe.Blend {
		b, err := batch.Parse("a.toml", []byte(src), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := blendOnly(b, library.Builtin())
		if err != nil || !a.Blend.Have() {
			t.Fatalf("%s: %v, %q", src, err, a.Blend.Missing)
		}
		return a.Blend
	}
	for _, c := range []struct {
		name      string
		low, high float64 // g/L that the 90 % range has to reach at least
	}{{"sweet vermouth", 95, 135}, {"dry vermouth", 20, 48}, {"liqueur", 180, 400}, {"sweet fortified wine", 40, 110}} {
		for _, form := range []string{base, added} {
			r := blendOf(fmt.Sprintf(form, c.name)).Result.SugarGPerL
			if r.Low > c.low || r.High < c.high || r.Low <= 0 {
				t.Errorf("%s: sugar %.0f, %.0f to %.0f g/L; want %.0f to %.0f inside", c.name, r.Value, r.Low, r.High, c.low, c.high)
			}
		}
	}
	juice := blendOf(fmt.Sprintf(added, "orange juice")).Result.SugarGPerL
	if juice.High-juice.Low < 0.2*juice.Value {
		t.Errorf("orange juice: %+v", juice)
	}
	read := blendOf(fmt.Sprintf(added, "orange juice") + "brix = 11.2\n").Result.SugarGPerL
	if read.High-read.Low >= juice.High-juice.Low {
		t.Errorf("a Brix reading leaves %+v, without it %+v", read, juice)
	}
}
