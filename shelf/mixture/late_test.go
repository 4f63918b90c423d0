package mixture

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestOpenBottlesByHand: over random logs of what went into open bottles, each holds by Balance what a plain
// loop by hand gives it; water makes none of it stronger, and nothing that goes in makes any of it keep better.
func TestOpenBottlesByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		abv := g("abv", 15, 60)
		r := Recipe{Bases: []Base{{Name: "spirit", VolumeML: Quantity{Value: 2000, SD: 5}, ABVPercent: Quantity{Value: abv, SD: 0.2}}}}
		sealed, err := FromVolume(500, abv, Parts{})
		if err != nil {
			t.Fatal(err)
		}
		hold := map[int]Parts{}
		was, err := r.Balance()
		if err != nil {
			t.Fatal(err)
		}
		for pour := range rapid.IntRange(1, 8).Draw(t, "pours") {
			n := rapid.IntRange(1, 3).Draw(t, "bottle")
			p, there := hold[n]
			if !there {
				p = sealed
			}
			into := math.Max(g("share", 0.02, 1)*p.VolumeML(20), 1)
			a := Addition{Name: "water", Late: true, MassG: Quantity{Value: g("g", 1, 400), SD: 1}, PerG: Parts{Water: 1},
				Joins: Joins{Pour: pour, AwayML: 2000, IntoML: into, Vessels: []Vessel{{Number: n, ML: 500}}}}
			spirit := rapid.Bool().Draw(t, "spirit")
			if spirit {
				a.Name, a.PerG = "strong spirit", Parts{Ethanol: 0.8, Water: 0.2}
			}
			before := p.ABVPercent()
			left := into / p.VolumeML(20)
			p = Parts{Ethanol: p.Ethanol*left + a.MassG.Value*a.PerG.Ethanol, Water: p.Water*left + a.MassG.Value*a.PerG.Water}
			hold[n] = p
			// The log of a file is in any order; the pours say which was first.
			r.Additions = slices.Insert(r.Additions, rapid.IntRange(0, len(r.Additions)).Draw(t, "at"), a)
			res, err := r.Balance()
			if err != nil {
				t.Fatal(err)
			}
			if got := res.Open[0]; len(res.Open) != len(hold) || got.Number != n {
				t.Fatalf("bottle %d was poured into, of %d: %+v", n, len(hold), res.Open)
			} else if !spirit && got.Parts.ABVPercent() > before+1e-9 {
				t.Fatalf("water made %.3f %% vol of %.3f", got.Parts.ABVPercent(), before)
			}
			for _, o := range res.Open {
				want := hold[o.Number]
				if math.Abs(o.Parts.VolumeML(20)-want.VolumeML(20)) > 1e-6 || math.Abs(o.Parts.ABVPercent()-want.ABVPercent()) > 1e-9 {
					t.Fatalf("bottle %d: %.3f ml at %.3f %% vol, by hand %.3f at %.3f", o.Number, o.Parts.VolumeML(20), o.Parts.ABVPercent(), want.VolumeML(20), want.ABVPercent())
				}
			}
			if res.ABVPercent.Low > was.ABVPercent.Low+1e-9 || res.WaterActivity.High < was.WaterActivity.High-1e-9 {
				t.Fatalf("%s made it keep better: %+v after %+v", a.Name, res.ABVPercent, was.ABVPercent)
			}
			was = res
		}
		// A bottle that is empty takes with it all that went into it.
		gone := rapid.IntRange(1, 3).Draw(t, "empty")
		for i := range r.Additions {
			if v := &r.Additions[i].Vessels[0]; v.Number == gone {
				r.Additions[i].Vessels = []Vessel{{Number: v.Number, ML: v.ML, Gone: true}}
			}
		}
		res, err := r.Balance()
		if err != nil || slices.ContainsFunc(res.Open, func(o Poured) bool { return o.Number == gone }) {
			t.Fatalf("bottle %d is empty: %+v, %v", gone, res.Open, err)
		}
	})
}

// TestRestByHand: over random logs of what joined what was left over, and of bottles filled of it in between, it
// holds by Balance what a plain loop by hand gives it, and nothing once bottles took all of it.
func TestRestByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		abv, away := g("abv", 15, 60), g("first", 500, 1900)
		r := Recipe{Bases: []Base{{Name: "spirit", VolumeML: Quantity{Value: 2000, SD: 5}, ABVPercent: Quantity{Value: abv, SD: 0.2}}}}
		rest, err := FromVolume(2000-away, abv, Parts{})
		if err != nil {
			t.Fatal(err)
		}
		for pour := range rapid.IntRange(1, 6).Draw(t, "pours") {
			held := rest.VolumeML(20)
			into := math.Max(g("into", 0.2, 1)*held, 1)
			a := Addition{Name: "water", Late: true, MassG: Quantity{Value: g("g", 50, 400), SD: 1}, PerG: Parts{Water: 1},
				Joins: Joins{Pour: pour, AwayML: away, IntoML: into}}
			if rapid.Bool().Draw(t, "all that is left") {
				into, a.IntoML = held, 0
			}
			rest = rest.Times(into / held).Plus(a.PerG.Times(a.MassG.Value))
			if rapid.Bool().Draw(t, "measured") { // less than was thought
				a.ReadML = g("read", 0.8, 1) * rest.VolumeML(20)
				rest = rest.Times(a.ReadML / rest.VolumeML(20))
			}
			filled := g("filled", 0, 0.9) * rest.VolumeML(20)
			if rapid.IntRange(0, 5).Draw(t, "all") == 0 {
				filled = rest.VolumeML(20)
			}
			away += filled
			a.NowML = away
			r.Additions = append(r.Additions, a)
			res, err := r.Balance()
			if err != nil {
				t.Fatal(err)
			}
			want := rest.VolumeML(20) - filled
			if got := res.Rest.LeftML(away); math.Abs(got-want) > 1e-6 {
				t.Fatalf("%.3f ml are left, by hand %.3f", got, want)
			}
			if want <= wetShare*away && filled > 0 {
				if len(res.Open) > 0 && want < wetShare*away-1e-6 {
					t.Fatalf("bottles took all of it: %+v", res.Open)
				}
				return
			}
			rest = rest.Times(want / rest.VolumeML(20))
			if p := res.Open[0].Parts; res.Open[0].Number != 0 || math.Abs(p.VolumeML(20)-want) > 1e-6 || math.Abs(p.ABVPercent()-rest.ABVPercent()) > 1e-9 {
				t.Fatalf("%.3f ml at %.3f %% vol, by hand %.3f at %.3f", p.VolumeML(20), p.ABVPercent(), want, rest.ABVPercent())
			}
			if want < wetShare*2000 { // there is no less for the next to join
				return
			}
		}
	})
}

// TestOpenBottleNobodyNamed: what went into one of two is judged by the worse of both, and what went in together
// is one pour.
func TestOpenBottleNobodyNamed(t *testing.T) {
	both := []Vessel{{Number: 1, ML: 500}, {Number: 2, ML: 500}}
	pour := func(n int, name string, g, ethanol float64, into []Vessel) Addition {
		return Addition{Name: name, Late: true, MassG: Quantity{Value: g}, PerG: Parts{Ethanol: ethanol, Water: 1 - ethanol},
			Joins: Joins{Pour: n, AwayML: 1000, IntoML: 100, Vessels: into}}
	}
	low := func(list ...Addition) float64 {
		r := Recipe{Bases: []Base{spirit("vodka", 1000, 40)}, Additions: list}
		return balance(t, r).ABVPercent.Low
	}
	strong, one, two := pour(0, "spirit", 100, 0.8, both), pour(1, "water", 200, 0, both[:1]), pour(1, "water", 200, 0, both[1:])
	alone := low(one)
	for _, water := range []Addition{one, two} {
		if got := low(strong, water); math.Abs(got-alone) > 1e-6 {
			t.Errorf("spirit that may be in another bottle: from %.2f %% vol, and %.2f without it", got, alone)
		}
	}
	half := pour(1, "water", 100, 0, both[:1])
	if got := low(half, half); math.Abs(got-alone) > 1e-6 {
		t.Errorf("in two halves together from %.2f %% vol, at once %.2f", got, alone)
	}
	if later := pour(2, "water", 100, 0, both[:1]); low(half, later) > alone-3 {
		t.Errorf("100 ml of what is thinned already, thinned again, is from %.2f %% vol", low(half, later))
	}
}
