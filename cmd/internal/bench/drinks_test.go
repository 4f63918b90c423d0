package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/somejar"
)

// someBottles is a batch of random things that fills four bottles, some of them open, with the moment after that.
func someBottles(r *rand.Rand) (src string, now time.Time) {
	one := func(of ...string) string { return of[r.IntN(len(of))] }
	now = at("2026-10-22T18:00")
	var b strings.Builder
	fmt.Fprintf(&b, "name = \"Some\"\nstarted = 2026-10-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = %s\namount = \"700 ml\"\n",
		one("20", "38", "50", "70"))
	if r.IntN(3) > 0 {
		fmt.Fprintf(&b, "[[botanical]]\nname = %q\namount = \"20 g\"\n", one("orange zest", "raspberries", "mint", "cinnamon"))
	}
	if place := one("", "fridge", "room"); place != "" {
		fmt.Fprintf(&b, "[finish]\nstore = %q\n", place)
	}
	b.WriteString("[[strained]]\nat = 2026-10-22T18:00:00\n")
	for range r.IntN(4) {
		fmt.Fprintf(&b, "[[added]]\nat = 2026-10-22T18:10:00\n%s\n", something(r))
	}
	fmt.Fprintf(&b, "[[bottled]]\nat = 2026-10-22T19:00:00\nbottles = %d\nof = \"200 ml\"\n", 2+r.IntN(3))
	now = now.AddDate(0, 0, 1+r.IntN(20))
	for number := range 1 + r.IntN(2) {
		fmt.Fprintf(&b, "[[opened]]\nat = %s\nbottle = %d\n", now.Format("2006-01-02T15:04:05"), number+1)
	}
	return b.String(), now
}

func something(r *rand.Rand) string {
	x := [][2]string{{"sugar", "100 g"}, {"water", "300 ml"}, {"lemon juice", "60 ml"}, {"orange juice", "200 ml"}, {"whole milk", "80 ml"},
		{"cream", "50 ml"}, {"rum 63 %", "150 ml"}, {"egg yolk", "20 g"}, {"honey", "60 g"}, {"sweet vermouth", "100 ml"}}[r.IntN(10)]
	return fmt.Sprintf("name = %q\namount = %q", x[0], x[1])
}

// days are the days of each bottle: of the sealed ones under 0.
func days(k *keeping.Keep) map[int][2]time.Time {
	out := map[int][2]time.Time{}
	for _, o := range k.Open {
		out[o.Number] = [2]time.Time{o.Until, o.Safe}
	}
	if k.Sealed() > 0 {
		advised, safe := keeping.First(k.SealedLots())
		out[0] = [2]time.Time{advised, safe}
	}
	return out
}

// TestPourIsOfOneBottle: what is poured into one bottle moves no day of another and is gone with it. It gives neither
// it nor the batch a later day, unless it holds back what grows (spirit, sugar, acid) and it was measured how much it
// went into; nor then where that day was over, or is one of its taste.
func TestPourIsOfOneBottle(t *testing.T) {
	told, moved := 0, 0
	for seed := range somejar.Either[uint64](14, 1000) {
		r := rand.New(rand.NewPCG(seed, 7))
		src, now := someBottles(r)
		first := judged(t, src, now)
		for range 1 + r.IntN(3) {
			open := first.Keep.Open
			if len(open) == 0 {
				break
			}
			number := open[r.IntN(len(open))].Number
			now = now.Add(time.Duration(1+r.IntN(30)) * time.Hour)
			was := judged(t, src, now)
			what, into := something(r), "into = \"40 ml\"\n" // so that most of it goes in
			if r.IntN(4) == 0 {
				into = ""
			}
			better := into != "" && !slices.ContainsFunc([]string{"water", "milk", "cream", "egg"}, func(s string) bool { return strings.Contains(what, s) })
			src += fmt.Sprintf("[[added]]\nat = %s\n%s\n%sbottle = %d\n", now.Format("2006-01-02T15:04:05"), what, into, number)
			is := judged(t, src, now)
			if was.Keep.Withheld() || is.Keep.Withheld() {
				break // no day of it is told
			}
			if k := is.Keep; !k.Safe.Until.IsZero() && !k.SafePast && k.Days(&k.Safe).Open() {
				t.Fatalf("%d: into %d: it is sound to %v, and its days have no end\n%s", seed, number, k.Safe.Until, src)
			}
			before, after := days(was.Keep), days(is.Keep)
			for b, d := range before {
				for i, end := range d {
					later := after[b][i].IsZero() && !end.IsZero() || !end.IsZero() && after[b][i].After(end)
					may := better && b == number && end.After(now) && (i == 1 || end.Equal(d[1]))
					if later && may {
						moved++
					}
					if told++; b != number && !after[b][i].Equal(end) || later && !may {
						t.Fatalf("%d: into %d: end %d of bottle %d went from %v to %v\n%s", seed, number, i, b, end, after[b][i], src)
					}
				}
			}
			for _, bottle := range is.Bottles().List { // a label and a row of the log speak of the drink of their bottle
				b := bottle.Number
				x, y := was.Drink(b), is.Drink(b)
				same := fmt.Sprint(x.Blend.Result.ABVPercent, x.Keep.Advised, x.Keep.Stop, x.Keep.Allergens, len(x.Recipe.Additions)) ==
					fmt.Sprint(y.Blend.Result.ABVPercent, y.Keep.Advised, y.Keep.Stop, y.Keep.Allergens, len(y.Recipe.Additions))
				if b != number && !same {
					t.Fatalf("%d: into %d: bottle %d is at %v, was at %v: %+v, %+v\n%s", seed, number, b, y.Blend.Result.ABVPercent,
						x.Blend.Result.ABVPercent, y.Keep.Advised, x.Keep.Advised, src)
				}
			}
			own := is.Drink(number).Blend.Result
			for _, o := range is.Blend.Result.Open {
				if abv := o.Parts.ABVPercent(); o.Number == number && (math.Abs(own.ABVPercent.Value-abv) > 0.01 || own.ABVPercent.Low > abv || own.ABVPercent.High < abv) {
					t.Fatalf("%d: bottle %d holds %.2f %% vol, its label says %v\n%s", seed, number, abv, own.ABVPercent, src)
				}
			}
			if x, y := was.Keep.Advised.Until, is.Keep.Advised.Until; !x.IsZero() && (y.IsZero() || y.After(x)) && !better {
				t.Fatalf("%d: the day of the batch went from %v to %v\n%s", seed, x, y, src)
			}
			if x := is.Keep.Advised.Until; slices.ContainsFunc(is.Keep.Open, func(o keeping.OpenBottle) bool {
				return !o.Until.IsZero() && o.Until.Before(x)
			}) || slices.ContainsFunc(is.Keep.Rest, func(y *keeping.Lot) bool { return !y.Until.IsZero() && y.Until.Before(x) }) {
				t.Fatalf("%d: the day of the batch is %v\n%+v\n%s", seed, x, days(is.Keep), src)
			}
		}
		if len(first.Keep.Open) < 2 {
			continue
		}
		empty := fmt.Sprintf("[[emptied]]\nat = %s\nbottle = 1\n", now.Add(time.Hour).Format("2006-01-02T15:04:05"))
		now = now.Add(2 * time.Hour)
		plain, poured := src, strings.Split(src, "[[added]]")
		for i, x := range poured { // into the first alone
			if i > 0 && strings.HasSuffix(x, "\nbottle = 1\n") {
				plain = strings.Replace(plain, "[[added]]"+x, "", 1)
			}
		}
		x, y := judged(t, src+empty, now).Keep, judged(t, plain+empty, now).Keep
		if fmt.Sprint(days(x), x.Allergens, x.Stop, x.Advised.Place, x.Advised.Until) != fmt.Sprint(days(y), y.Allergens, y.Stop, y.Advised.Place, y.Advised.Until) {
			t.Fatalf("%d: with bottle 1 what was in it is not gone: %v %v, %v %v\n%s", seed, days(x), x.Allergens, days(y), y.Allergens, src+empty)
		}
	}
	if told < 100 || somejar.Long() && moved < 10 {
		t.Errorf("only %d days were held, and %d moved", told, moved)
	}
}

// TestWhatRanOverMovesNoDay: what no bottle of its size held when it went in gives it no later day, nor does it once
// less is left in it and something else is poured into that.
func TestWhatRanOverMovesNoDay(t *testing.T) {
	const src = "name = \"B\"\nstarted = 2026-10-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 20\namount = \"700 ml\"\n[finish]\nstore = \"fridge\"\n" +
		"[[strained]]\nat = \"48 h\"\n[[added]]\nname = \"lemon juice\"\namount = \"60 ml\"\nat = \"49 h\"\n[[bottled]]\nbottles = 2\n" +
		"of = \"200 ml\"\nat = \"50 h\"\n[[opened]]\nbottle = 1\nat = \"150 h\"\n"
	pour := func(what, into, at string) string {
		return fmt.Sprintf("[[added]]\nname = %q\namount = \"60 ml\"\ninto = %q\nbottle = 1\nat = %q\n", what, into, at)
	}
	now := at("2026-10-28T18:00")
	safe := func(log string) time.Time { return judged(t, src+log, now).Keep.Of(1, now).Safe.Until }
	plain, fits, over := safe(""), pour("rum 63 %", "40 ml", "160 h"), pour("rum 63 %", "190 ml", "160 h")
	if plain.IsZero() || !safe(fits).IsZero() {
		t.Errorf("to %v, and with spirit to %v", plain, safe(fits))
	}
	for _, log := range []string{over, over + pour("lemon juice", "40 ml", "170 h"), over + pour("rum 63 %", "40 ml", "170 h")} {
		if got := safe(log); got.IsZero() || got.After(plain) {
			t.Errorf("to %v, before it %v\n%s", got, plain, log)
		}
	}
}

// TestForbiddenWhereverItIs: what must not be steeped stops the batch and every bottle of it, wherever it went in, and
// whether it can be reckoned or not; once it is empty nothing is said of it but in the row of that bottle.
func TestForbiddenWhereverItIs(t *testing.T) {
	const jar = "name = \"Filled\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"vodka\"\nabv = 50\namount = \"1 l\"\n[finish]\nstrained = \"24 h\"\n"
	const filled, open = "[[bottled]]\nbottles = 3\nof = \"300 ml\"\nat = \"30 h\"\n", "[[opened]]\nbottle = 1\nat = \"32 h\"\n"
	const leaf = "[[added]]\nname = \"foxglove leaf\"\namount = \"2 g\"\nat = \"40 h\"\n"
	full := strings.Replace(filled, "= 3", "= 4", 1)
	now := at("2026-06-03T22:00")
	for name, log := range map[string]string{
		"left over": filled + leaf, "of that, measured": filled + leaf + "into = \"90 ml\"\n", "nothing is left": full + leaf,
		"an open one": filled + open + leaf, "open, of a size": filled + open + leaf + "into = \"90 ml\"\nbottle = 1\n",
		"sealed by the log":    filled + leaf + "bottle = 2\n",
		"filled of that later": filled + leaf + "[[bottled]]\nbottles = 1\nof = \"100 ml\"\nat = \"42 h\"\n",
		"of no size":           strings.Replace(filled, "of = \"300 ml\"\n", "", 1) + leaf,
		"another one is empty": filled + open + leaf + "bottle = 1\n[[emptied]]\nbottle = 2\nat = \"44 h\"\n",
	} {
		a := judged(t, jar+log, now)
		if a.Keep.Stop != keeping.Never || !a.NotToServe() || len(a.Keep.MustNot) == 0 {
			t.Errorf("%s: %q, %v", name, a.Keep.Stop, a.Keep.MustNot)
		}
		for _, x := range a.Bottles().List {
			if d := a.Drink(x.Number); x.Emptied == nil && (d.Keep.Stop != keeping.Never || d.Keep.Advised.Place != "" || !d.Keep.Advised.Until.IsZero()) {
				t.Errorf("%s: of bottle %d is said %q, %+v", name, x.Number, d.Keep.Stop, d.Keep.Advised)
			}
		}
	}
	plain := judged(t, jar+filled+open+"[[emptied]]\nbottle = 1\nat = \"44 h\"\n", now)
	a := judged(t, jar+filled+open+leaf+"bottle = 1\n[[emptied]]\nbottle = 1\nat = \"44 h\"\n", now)
	if x, y := a.Keep, plain.Keep; x.Stop != "" || len(x.MustNot) > 0 || x.Advised != y.Advised || !a.Blend.Whole() || len(a.Fades()) != len(plain.Fades()) {
		t.Errorf("with bottle 1 it is gone: %q, %v, %+v", x.Stop, x.MustNot, x.Advised)
	}
	if gone, other := a.Drink(1), a.Drink(2); gone.Keep.Stop != keeping.Never || other.Keep.Stop != "" {
		t.Errorf("of the empty bottle is said %q, of another %q", gone.Keep.Stop, other.Keep.Stop)
	}
}

// TestFizzOfAnotherDrink: what fizzed in a bottle that is empty since presses on the closures of its sisters, which hold
// the same, unless something was poured into it that they do not hold (Outcome.Alone).
func TestFizzOfAnotherDrink(t *testing.T) {
	const jar = "name = \"Filled\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"vodka\"\nabv = 16\namount = \"1 l\"\n" +
		"[[addition]]\nname = \"sugar\"\namount = \"150 g\"\n[finish]\nstrained = \"24 h\"\n[[bottled]]\nbottles = 3\nof = \"300 ml\"\nat = \"30 h\"\n" +
		"[[opened]]\nbottle = 1\nat = \"32 h\"\n[[opened]]\nbottle = 2\nat = \"32 h\"\n"
	const fizzed = "[[noted]]\nwhat = \"bottle 1 fizzed\"\nat = \"50 h\"\n"
	juice := func(bottle int) string {
		return fmt.Sprintf("[[added]]\nname = \"orange juice\"\namount = \"60 ml\"\ninto = \"200 ml\"\nbottle = %d\nat = \"40 h\"\n", bottle)
	}
	const empty = "[[emptied]]\nbottle = 1\nat = \"51 h\"\n"
	now := at("2026-06-03T22:00")
	for name, x := range map[string]struct {
		log  string
		stop keeping.Stop
	}{
		"the same in all": {fizzed, keeping.Living}, "the same, and gone": {fizzed + empty, keeping.Living},
		"another, in the house": {juice(1) + fizzed, keeping.Living}, "another, and gone": {juice(1) + fizzed + empty, ""},
		"the other one holds another": {juice(2) + fizzed + empty, keeping.Living},
	} {
		if k := judged(t, jar+x.log, now).Keep; k.Stop != x.stop || len(k.Outcomes) != 1 {
			t.Errorf("%s: %q, want %q; %+v", name, k.Stop, x.stop, k.Outcomes)
		}
	}
}

// TestADayOfANoteStays: on which day something was seen, and in a bottle of its own what that is, does not change as
// other bottles are poured into or emptied later.
func TestADayOfANoteStays(t *testing.T) {
	told := 0
	for seed := range somejar.Many(15) {
		r := rand.New(rand.NewPCG(seed, 11))
		src, now := someBottles(r)
		stamp := func() string { now = now.Add(time.Hour); return now.Format("2006-01-02T15:04:05") }
		src += fmt.Sprintf("[[noted]]\nwhat = \"a film on bottle 2\"\nat = %s\n[[noted]]\nwhat = \"a film\"\nat = %s\n", stamp(), stamp())
		was := judged(t, src, now).Keep.Outcomes
		if len(was) != 2 {
			t.Fatalf("%d: %v\n%s", seed, was, src)
		}
		src += fmt.Sprintf("[[added]]\nat = %s\n%s\ninto = \"120 ml\"\nbottle = 1\n", stamp(), something(r))
		for _, more := range []string{"", fmt.Sprintf("[[emptied]]\nat = %s\nbottle = 1\n", stamp())} {
			is := judged(t, src+more, now).Keep.Outcomes
			for i := range was {
				if x, y := was[i], is[i]; x.Days != y.Days && x.Said.Words != "" && y.Said.Words != "" || i == 0 && x.Cause.Name != y.Cause.Name {
					t.Fatalf("%d: %q was seen on day %v as %s, now %v as %s\n%s", seed, x.What, x.Days, x.Cause.Name, y.Days, y.Cause.Name, src+more)
				}
				told++
			}
		}
	}
	if told < 50 {
		t.Errorf("only %d notes were held", told)
	}
}

// TestNoPourMakesDairyLastLonger: whatever goes into an open bottle with cream in it, whenever: its day stays, or
// comes sooner, and its best day is none after that.
func TestNoPourMakesDairyLastLonger(t *testing.T) {
	const src = "name = \"B\"\nstarted = 2026-11-01T18:00:00\n[spirit]\nname = \"rum\"\nabv = 63\namount = \"500 ml\"\n" +
		"[[added]]\nname = \"cream\"\namount = \"300 ml\"\nat = 2026-11-02T12:00:00\n[[bottled]]\nbottles = 3\n" +
		"of = \"250 ml\"\nat = 2026-11-02T13:00:00\n[[opened]]\nbottle = 1\nat = 2026-11-03T18:10:00\n"
	const layout = "2006-01-02T15:04:05"
	told := 0
	for hour := range 6 * 24 {
		now := at("2026-11-03T18:50").Add(time.Duration(hour) * time.Hour)
		was := judged(t, src, now).Keep
		thing := []string{"cream", "egg yolk", "water", "vodka 40 %", "lemon juice"}[hour%5]
		is := judged(t, src+fmt.Sprintf("[[added]]\nname = %q\namount = \"20 ml\"\nat = %s\ninto = \"100 ml\"\nbottle = 1\n",
			thing, now.Format(layout)), now).Keep
		x, y := was.Of(1, now), is.Of(1, now)
		if x.Safe.Until.IsZero() || y.Safe.Until.IsZero() {
			continue
		}
		told++
		if y.Safe.Until.After(x.Safe.Until) || y.Advised.Until.After(y.Safe.Until) {
			t.Errorf("%s at %s: to %s, best %s; before it to %s", thing, now.Format(layout), y.Safe.Until.Format(layout),
				y.Advised.Until.Format(layout), x.Safe.Until.Format(layout))
		}
	}
	if told < 100 {
		t.Errorf("only %d days were held", told)
	}
}
