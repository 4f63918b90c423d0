package jar

import (
	"math"
	"testing"
)

// Without a new score nobody hears something else: the hour of the tasting stays, and
// what was once to come out stays so.
func TestOrdersStandUntilTheNextScore(t *testing.T) {
	for _, gsd := range []float64{1.5, 3} {
		if gsd < 3 && !*long {
			continue
		}
		for _, dose := range []float64{1, 3} {
			for _, target := range []float64{0, 4} {
				for _, at := range [][]float64{nil, {0.02, 2}, {0.05, 5}, {0.3, 1}, {0.5, 3}, {0.2, 1, 1, 2}} {
					f := plain("zest", 1, gsd, target, at...)
					f.Prior = f.Prior.Stronger(dose, 1)
					last := 0.01
					if n := len(at); n > 0 {
						last = at[n-2]
					}
					was := read(t, Jar{Flavours: []Flavour{f}}, last).Orders[0]
					for now := last; now < 40*last; now *= 1.5 {
						o := read(t, Jar{Flavours: []Flavour{f}}, now).Orders[0]
						if was.Do == Strain && o.Do != Strain ||
							o.Do == Taste && (o.DueH != was.DueH || o.TasteH != math.Max(o.DueH, now)) {
							t.Fatalf("gsd %g, dose %g, target %g, %v: at %g h %+v, before %+v", gsd, dose, target, at, now, o, was)
						}
						was = o
					}
				}
			}
		}
	}
}

// Nor does it change at its own hour, though that was moved for the night or the evening.
func TestTastingIsOrderedAtItsHour(t *testing.T) {
	awake := func(h float64) (float64, float64) {
		if day := math.Mod(h, 24); day > 16 {
			return h - day + 16, h - day + 24
		}
		return h, h
	}
	handy := func(h float64) float64 { return math.Floor(h/24)*24 + 12 }
	moved := 0
	for _, rate := range []float64{0.01, 0.03, 0.1, 0.3} {
		for _, target := range []float64{0, 2, 3, 5} {
			for _, share := range []float64{0.2, 0.5, 0.8, 1} {
				for _, at := range []float64{0.2, 0.5, 1} {
					f := plain("zest", rate, 2, target, at/rate, share*math.Max(target, 3))
					j := Jar{Flavours: []Flavour{f}, Awake: awake, Handy: handy}
					was := read(t, j, at/rate).Orders[0]
					if was.Do != Taste || was.DueH <= at/rate {
						continue
					}
					if was.DueH == handy(was.DueH) {
						moved++
					}
					if o := read(t, j, was.DueH).Orders[0]; o.Do != Taste || o.DueH != was.DueH {
						t.Errorf("%g/h, %g, %g at %g: %+v, at its hour %+v", rate, target, share, at, was, o)
					}
				}
			}
		}
	}
	if moved < 10 {
		t.Errorf("only %d were moved", moved)
	}
}

// Two tasters who say the opposite are asked again, once, before it comes out.
func TestTwoTastersAreAskedAgain(t *testing.T) {
	f := plain("anise", 0.05, 2, 5)
	two := func(hours float64) {
		f.Scores = append(f.Scores, Score{Hours: hours, Value: 2, Taster: "A"}, Score{Hours: hours, Value: 8, Taster: "B"})
	}
	two(20)
	if o := read(t, Jar{Flavours: []Flavour{f}}, 20).Orders[0]; o.Do != Taste || o.TasteWhy != Again {
		t.Errorf("2 and 8 of 5: %+v", o)
	}
	two(20.1)
	if o := read(t, Jar{Flavours: []Flavour{f}}, 20.1).Orders[0]; o.TasteWhy == Again {
		t.Errorf("2 and 8 of 5, twice: %+v", o)
	}
}

// The stretch of what nobody has tasted is where the strength that is drawn is the one
// wanted, though a jar taken out unseen would lose least sooner.
func TestUntastedIsRightWhereItIsDrawn(t *testing.T) {
	for _, gsd := range []float64{1.5, 2.5, 4} {
		for _, target := range []float64{2, 4, 5} {
			r := read(t, Jar{Flavours: []Flavour{plain("coffee", 0.05, gsd, target)}}, 1)
			o := r.Orders[0]
			for _, at := range []struct{ h, points float64 }{{o.BestH, 0.1}, {o.FromH, 0.6}, {o.UntilH, 0.6}} {
				if s := r.Wanted[0].Mean(at.h); math.Abs(s-target) > at.points {
					t.Errorf("gsd %g, target %g: %.2f at %.3g h of %+v", gsd, target, s, at.h, o)
				}
			}
		}
	}
}

// What comes out a fifth short of the strength wanted is not said to have it, what is said
// to be over is over, and as strong as it gets is what hardly ever gains half a point.
func TestShortIsNotCalledEnough(t *testing.T) {
	seen := map[Why]int{}
	for _, target := range []float64{1, 3, 6} {
		for _, share := range []float64{0.3, 0.6, 0.8, 0.9, 1, 1.2} {
			for _, x := range []float64{0.2, 1, 3} {
				f := plain("anise", 0.05, 2, target, 2, share*target/3, 10, share*target*0.8, 20*x, share*target)
				r := read(t, Jar{Flavours: []Flavour{f}}, 20*x)
				o := r.Orders[0]
				if o.Do != Strain || o.Why == Fades {
					continue
				}
				seen[o.Why]++
				b := &r.Wanted[0]
				s := b.Mean(20 * x)
				has := s >= 0.85*target
				// even at its best
				short := b.Mean(max(20*x, o.BestH)) < 0.85*target
				more := 0.0 // at least so many gain half a point: those that pass y + 0.5 without those that are past y
				for _, q := range []float64{0.5, 0.6, 0.7, 0.8, 0.9} {
					for y := 0.0; y < 15; y += 0.1 {
						if b.ChanceAtLeast(y, 20*x) <= 1-q {
							more = math.Max(more, b.ChanceReached(y+0.5, inf)-(1-q))
							break
						}
					}
				}
				switch {
				case (o.Why == Enough || o.Why == Over) != has, o.Why == Over && s <= target,
					o.Why == Passes && (!short || o.Short()), o.Why == Little && short && !o.Short(),
					o.Why == AllThere && more > 1.0/3:
					t.Errorf("%.2f of %g, %.2f: %+v", s, target, more, o)
				}
			}
		}
	}
	if seen[Enough] == 0 || seen[Over] == 0 || seen[Passes]+seen[Little] == 0 {
		t.Errorf("reasons seen: %v", seen)
	}
	flat := plain("anise", 0.05, 2, 6, 20, 2, 40, 2, 80, 2, 160, 2, 320, 2)
	if o := read(t, Jar{Flavours: []Flavour{flat}}, 320).Orders[0]; o.Why != AllThere {
		t.Errorf("2 of 6 for ten days: %+v", o)
	}
}

// What only a strainer separates comes out at the least of what is lost of all of it, and
// each is tasted first at its own hour.
func TestStrainedTogetherIsOneLoss(t *testing.T) {
	slow, quick := plain("quince", 0.01, 2, 6), plain("zest", 0.5, 2, 1)
	slow.Dust, quick.Dust = true, true
	for _, tasted := range []bool{false, true} {
		if tasted {
			slow.Scores, quick.Scores = []Score{{Hours: 24, Value: 2}}, []Score{{Hours: 24, Value: 2}}
		}
		r := read(t, Jar{Flavours: []Flavour{slow, quick}}, 24)
		a, b := r.Orders[0], r.Orders[1]
		if a.BestH != b.BestH || a.FromH != b.FromH || a.UntilH != b.UntilH {
			t.Fatalf("%+v and %+v", a, b)
		}
		lost := func(h float64) (sum float64) {
			for i, f := range []Flavour{slow, quick} {
				d := r.Wanted[i].Mean(h) - f.Target
				if tasted {
					sum += r.Wanted[i].Miss(f.Target, worst, h, 24)
				} else {
					sum += d * d
				}
			}
			return sum
		}
		for h := 1.0; h < 2000; h *= 1.2 {
			if lost(h) < lost(a.BestH)-0.2 {
				t.Errorf("tasted %v: %.3g at %.3g h, best %.3g at %.3g h", tasted, lost(h), h, lost(a.BestH), a.BestH)
			}
		}
		if !tasted && !(b.DueH < 2 && a.DueH > 10) {
			t.Errorf("first looks at %.3g and %.3g h", a.DueH, b.DueH)
		}
	}
}

// However much there is of what nobody has tasted, nothing is told of it before a twentieth
// of the makers' time, it is not overdue before a quarter of it nor long in before
// they have nearly all, and that it is much is said.
func TestDoseAloneIsNoClock(t *testing.T) {
	for _, rate := range []float64{0.02, 1} {
		for _, times := range []float64{1, 3, 10} {
			f := plain("tea", rate, 2.3, 5)
			f.Prior = f.Prior.Stronger(times, 1)
			f.Prior.Early = 0.3
			for _, x := range []float64{0.001, 0.02, 0.1, 0.5, 2} {
				now := x / rate
				r := read(t, Jar{Flavours: []Flavour{f}}, now)
				o, makers := r.Orders[0], r.Wanted[0].makersTime()
				switch {
				case o.DueH < makers/20-1e-9, o.FromH < makers/20-1e-9, o.Late && now < makers,
					o.Overdue && now < makers/4, o.Much != (times > 1):
					t.Errorf("%g times the dose, %.3g h in, makers' time %.3g h: %+v", times, now, makers, o)
				}
			}
		}
	}
}

// A first look may wait while no taster could tell what is lost by that, long for what is slow or hardly known,
// and no clock moves to when.
func TestFirstLookMayWait(t *testing.T) {
	for _, rate := range []float64{0.01, 0.1, 1} {
		j := Jar{Flavours: []Flavour{plain("zest", rate, 2, 5)}}
		was := read(t, j, 0.01).Orders[0]
		late := 0.0
		for _, times := range []float64{1.01, 1.2, 2, 4, 8} {
			o := read(t, j, was.DueH*times).Orders[0]
			if o.TasteWhy != FirstLook {
				continue
			}
			if late == 0 {
				late = o.LateH
			}
			if o.DueH != was.DueH || o.LateH != late {
				t.Errorf("%g/h, %g times: due at %g, before %g, late from %g, before %g", rate, times, o.DueH, was.DueH, o.LateH, late)
			}
		}
		if late < 1.2*was.DueH || late > 1/rate {
			t.Errorf("%g/h: a first look at %g is late from %g, half is out at %g", rate, was.DueH, late, math.Ln2/rate)
		}
	}
}
