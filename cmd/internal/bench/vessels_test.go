package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
)

// cellar is a batch of random pours and bottlings, kept beside as plain volumes and alcohol: what each bottle holds,
// what was left over, and the last moment.
type cellar struct {
	log        strings.Builder
	now        time.Time
	yield      float64
	hold, abv  map[int]float64
	size       map[int]float64
	rest, over float64 // left over: mL, and its % vol
	open       []int
	poured     bool
}

func (c *cellar) entry(format string, args ...any) {
	fmt.Fprintf(&c.log, format, args...)
	fmt.Fprintf(&c.log, "at = %s\n", c.now.Format("2006-01-02T15:04:05"))
}

// mixed is so much of a strength with so much of another; what spirit and water lose of their room is within the
// tolerance of whoever asks.
func mixed(ml, abv, more, of float64) (float64, float64) {
	return ml + more, (ml*abv + more*of) / (ml + more)
}

// someCellar fills bottles on several days, with pours into what was left over and into open bottles in between.
func someCellar(r *rand.Rand) *cellar {
	c := &cellar{now: at("2026-10-21T18:00"), yield: 2000, hold: map[int]float64{}, abv: map[int]float64{}, size: map[int]float64{}}
	c.rest, c.over = c.yield, 40
	c.log.WriteString("name = \"Some\"\nstarted = 2026-10-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"2000 ml\"\n")
	for range 4 + r.IntN(6) {
		c.now = c.now.Add(time.Duration(1+r.IntN(60)) * time.Hour)
		what, of := "water", 0.0
		if r.IntN(2) == 0 {
			what, of = "vodka 40 %", 40
		}
		into := float64(50 * (1 + r.IntN(20)))
		more := 20 + float64(r.IntN(60))
		switch fits := r.IntN(5); {
		case fits < 2 || len(c.hold) == 0:
			size := []float64{250, 500}[r.IntN(2)]
			n := 1 + r.IntN(2)
			if float64(n)*size > 0.9*c.rest {
				continue
			}
			c.entry("[[bottled]]\nbottles = %d\nof = \"%.0f ml\"\n", n, size)
			for range n {
				number := len(c.hold) + 1
				c.hold[number], c.abv[number], c.size[number] = size, c.over, size
			}
			c.rest -= float64(n) * size
		case fits == 2 && len(c.open) == 0:
			number := 1 + r.IntN(len(c.hold))
			c.entry("[[opened]]\nbottle = %d\n", number)
			c.open = append(c.open, number)
		case len(c.open) > 0 && into <= 0.9*c.hold[c.open[0]] && into+more <= c.size[c.open[0]]:
			number := c.open[0] // which holds so much
			c.entry("[[added]]\nname = %q\namount = \"%.0f ml\"\ninto = \"%.0f ml\"\n", what, more, into)
			c.hold[number], c.abv[number] = mixed(into, c.abv[number], more, of)
			c.poured = true
		case into <= 0.9*c.rest && (len(c.open) == 0 || into > 1.1*c.hold[c.open[0]]):
			c.entry("[[added]]\nname = %q\namount = \"%.0f ml\"\ninto = \"%.0f ml\"\n", what, more, into)
			c.rest, c.over = mixed(into, c.over, more, of)
			c.poured = true
		}
	}
	c.now = c.now.Add(time.Hour)
	return c
}

// TestEveryVesselHoldsWhatWasPoured: nothing comes or goes: what is in bottles and left over is what was filled, with what
// went in and without what was drunk, and each vessel is as strong as what was poured into it, whichever answer tells it;
// and the days of a lot are those that its bottles tell.
func TestEveryVesselHoldsWhatWasPoured(t *testing.T) {
	told, parted := 0, 0
	near := func(x, want, off float64) bool { return math.Abs(x-want) <= off }
	for seed := range somejar.Either[uint64](60, 2000) {
		c := someCellar(rand.New(rand.NewPCG(seed, 35)))
		src := c.log.String()
		a := judged(t, src, c.now)
		if len(c.hold) == 0 {
			continue
		}
		all := c.rest
		for number, ml := range c.hold {
			all += ml
			is, own := a.Held(number)
			d := a.Drink(number)
			if !near(is, ml, 0.03*ml+1) {
				t.Fatalf("%d: bottle %d holds %.0f ml, want %.0f\n%s", seed, number, is, ml, src)
			}
			if abv := d.Blend.Result.ABVPercent.Value; !near(abv, c.abv[number], 0.8) {
				t.Fatalf("%d: bottle %d is at %.1f %% vol, want %.1f\n%s", seed, number, abv, c.abv[number], src)
			}
			if own {
				parted++
			}
			told++
		}
		f := a.Blend.Filled
		if f == nil || !near(f.LeftML, c.rest, 0.03*c.yield) && c.rest > 0.1*c.size[1] {
			t.Fatalf("%d: %+v is filled, want %.0f ml left over\n%s", seed, f, c.rest, src)
		}
		left, _ := a.Held(LeftOver)
		sum := left
		for number := range c.hold {
			ml, _ := a.Held(number)
			sum += ml
		}
		if left != f.LeftML || !near(sum, all, 0.04*c.yield) {
			t.Fatalf("%d: %.0f ml in all, want %.0f; left over %.0f and %.0f\n%s", seed, sum, all, left, f.LeftML, src)
		}
		if abv := a.Drink(LeftOver).Blend.Result.ABVPercent.Value; left > 0 && !near(abv, c.over, 0.8) {
			t.Fatalf("%d: what was left over is at %.1f %% vol, want %.1f\n%s", seed, abv, c.over, src)
		}
		for _, x := range a.Keep.Lots() {
			for _, number := range x.Numbers {
				if k := a.Drink(number).Keep; !k.Advised.Until.Equal(x.Until) {
					t.Fatalf("%d: bottle %d is good to %v, its lot to %v\n%s", seed, number, k.Advised.Until, x.Until, src)
				}
			}
		}
	}
	if told < 100 || parted < 10 {
		t.Errorf("only %d bottles were held, %d of them of another drink", told, parted)
	}
}

// TestHeatedOnSeveralDays: each filling that was heated has its own days, which no other bottle has; what was mixed once
// and not heated has one day, in whichever bottle it is, and so has what waited too long for the stove.
func TestHeatedOnSeveralDays(t *testing.T) {
	src := func(heated bool, second int) string {
		return fmt.Sprintf("name = \"H\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\namount = \"400 ml\"\nabv = 30\n"+
			"[[botanical]]\nname = \"orange zest\"\namount = \"24 g\"\n[finish]\nheated = %t\nstrained = 2026-11-22T10:00:00\n"+
			"[[added]]\nname = \"water\"\namount = \"900 ml\"\nat = 2026-11-22T11:00:00\n[[added]]\nname = \"sugar\"\namount = \"100 g\"\nat = 2026-11-22T11:00:00\n"+
			"[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = 2026-11-22T19:00:00\n[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = 2026-11-%dT08:00:00\n", heated, second)
	}
	for _, c := range []struct {
		heated bool
		second int
		lots   string
	}{{true, 24, "[1 2] 23, [3 4] 25"}, {false, 24, "[1 2 3 4] 23"}, {true, 25, "[1 2 3 4] 23"}} {
		a := judged(t, src(c.heated, c.second), at(fmt.Sprintf("2026-11-%dT09:00", c.second)))
		var said []string
		for _, x := range a.Keep.Lots() {
			said = append(said, fmt.Sprint(x.Numbers, " ", x.Until.Day()))
			for _, number := range x.Numbers {
				if k := a.Drink(number).Keep; !k.Safe.Until.Equal(x.Safe) || (k.Stop != "") != x.Over(a.Now) {
					t.Errorf("%+v: bottle %d to %v, %q; its lot to %v", c, number, k.Safe.Until, k.Stop, x.Safe)
				}
			}
		}
		if got := strings.Join(said, ", "); got != c.lots || a.Keep.Stop == "" {
			t.Errorf("%+v: %s, %q", c, got, a.Keep.Stop)
		}
	}
}
