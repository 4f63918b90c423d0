package secondopinion

import (
	"math"
	"math/rand/v2"
	"testing"

	"steepbook/data"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// someBottle is a random finished drink.
func someBottle(number uint64) shelf.Bottle {
	r := rand.New(rand.NewPCG(number, 0xb077))
	chance := func(p float64) bool { return r.Float64() < p }
	about := func(v, by float64) mixture.Range {
		return mixture.Range{Value: v, Low: max(v-by*r.Float64(), 0), High: v + by*r.Float64()}
	}
	named := func(p float64, name string) []string {
		if chance(p) {
			return []string{name}
		}
		return nil
	}
	b := shelf.Bottle{
		ABVPercent: about(32*math.Pow(r.Float64(), 0.8), 2), SugarGPerL: about(600*math.Pow(r.Float64(),
			1.5), 30),
		PHKnown: chance(0.8), PH: about(2.2+3*r.Float64(), 0.4),
		Nourishing: named(0.3, "wine"), FreshJuice: named(0.4, "lime juice"), SolidsLeftIn: named(0.15,
			"root"),
		FreshLowAcid: named(0.1, "root"), OtherPeel: named(0.2, "orange peel"), CitrusPeel: named(0.2,
			"lemon peel"),
		RedColour: named(0.1, "raspberry"), GreenLeaf: named(0.1, "mint"),
		Heated: chance(0.15), Filtered: chance(0.5), BoiledBottle: chance(0.5), Pulp: chance(0.1),
		Fruit: chance(0.1),
		Dairy: chance(0.05), Egg: chance(0.03), RawEgg: chance(0.03), NutMilk: chance(0.03),
		Oil:      chance(0.02),
		Measured: shelf.Measured{ABV: chance(0.2), Sugar: chance(0.2), PH: chance(0.2)},
	}
	b.NoSpirit = b.ABVPercent.Value < 1
	if chance(0.6) {
		b.WaterActivity = mixture.Exactly(0.8 + 0.19*r.Float64())
	}
	if chance(0.1) {
		b.Wine = []spoilage.Wine{spoilage.TableWine, spoilage.FortifiedWine}[r.IntN(2)]
	}
	if chance(0.05) {
		b.WeakSteepH = 8 * r.Float64()
	}
	if len(b.FreshJuice) > 0 {
		clocks := []string{"", "orange juice", "lime juice", "lemon juice"}
		b.Clocks = map[string]string{"lime juice": clocks[r.IntN(len(clocks))]}
		if chance(0.2) {
			b.Stood = []shelf.Stood{{Name: "lime juice", Days: 6 * r.Float64(), Place: []shelf.Place{"",
				shelf.Fridge, shelf.Room,
				shelf.Freezer}[r.IntN(4)]}}
		}
	}
	return b
}

// bad is the unfavourable end of every figure.
type bad struct {
	abv, sugar, pH, aw                 float64
	food, cold, clear, piecesIn, syrup bool
}

func unfavourable(b *shelf.Bottle) (w bad) {
	margin := func(measured bool, no, yes float64) float64 {
		if measured {
			return yes
		}
		return no
	}
	w.abv = max(min(b.ABVPercent.Value-margin(b.Measured.ABV, 1, 0.5), b.ABVPercent.Low), 0)
	w.sugar = max(min(b.SugarGPerL.Value*(1-margin(b.Measured.Sugar, 0.1, 0.05)), b.SugarGPerL.Low), 0)
	w.pH, w.aw = 14, 1
	if b.PHKnown {
		w.pH = max(b.PH.Value+margin(b.Measured.PH, 0.2, 0.1), b.PH.High)
	}
	if b.WaterActivity.Value > 0 {
		w.aw = min(max(b.WaterActivity.Value+margin(b.Measured.WaterActivity, 0.02, 0.01),
			b.WaterActivity.High), 1)
	}
	low, in := len(b.FreshLowAcid) > 0, len(b.SolidsLeftIn) > 0
	egg := b.Egg || b.RawEgg
	w.cold = b.Dairy || egg || b.NutMilk
	w.food = len(b.Nourishing) > 0 || len(b.FreshJuice) > 0 || b.Pulp || b.Fruit || w.cold || low && in
	w.piecesIn = low && in && b.FreshLowAcid[0] == b.SolidsLeftIn[0]
	w.clear = b.Filtered && !b.Pulp && !in
	w.syrup = !w.food && !b.Oil && !low && (w.sugar >= 450 || w.pH <= 4)
	return w
}

// held: one hurdle keeps away what makes people ill.
func (w *bad) held(b *shelf.Bottle) bool {
	if b.WeakSteepH > 4 {
		return false
	}
	needs := 13.0
	if w.cold || b.Oil || len(b.FreshLowAcid) > 0 {
		needs = 15
	}
	alcohol := !b.Oil && w.abv >= needs
	acid := !b.Oil && !b.Egg && !b.RawEgg && !b.Dairy && !w.piecesIn && w.pH <= 4
	if b.Oil || w.piecesIn {
		return alcohol || acid
	}
	dry := !b.RawEgg && w.aw < 0.83
	both := !w.cold && w.aw < 0.88 && w.abv >= 12.5
	heat := b.Heated && !w.cold && (w.aw <= 0.92 || w.aw <= 0.95 && w.pH <= 5.6 || w.pH <= 4.6)
	return alcohol || acid || dry || both || heat
}

// stands on a shelf.
func (w *bad) stands(b *shelf.Bottle) bool {
	if w.cold || b.Oil || b.WeakSteepH > 4 {
		return false
	}
	return w.abv >= 26 || w.abv >= 22 && (w.pH <= 3.5 || !w.food) || w.aw <= 0.6 && !w.piecesIn
}

type stretch struct{ low, high float64 }

func (s stretch) or(o stretch) stretch { return stretch{min(s.low, o.low), min(s.high, o.high)} }

var (
	never   = stretch{}
	forever = stretch{math.Inf(1), math.Inf(1)}
	warmAt  = map[shelf.Place]float64{shelf.Room: 25, shelf.Cellar: 18, shelf.Fridge: 7, shelf.Freezer: -18}
)

// lasts is how long a bottle stays sound at a temperature.
func lasts(b *shelf.Bottle, celsius float64, open bool) stretch {
	w := unfavourable(b)
	held := w.held(b)
	switch {
	case b.WeakSteepH > 4:
		return never
	case celsius <= -10 || w.stands(b):
		return forever
	case celsius > 8 && (w.cold || b.Oil):
		return never
	}
	var out stretch // days in the cold, whatever is in it
	if celsius <= 8 {
		out = stretch{4, 4}
		if b.RawEgg && !held {
			out = stretch{1, 1}
		}
		if celsius > 4 {
			out.low /= 2
		}
		if open {
			out = out.or(stretch{1, 3})
		}
	}
	if held || w.syrup {
		low, high, _ := keepsFor(bottleOf(b, &w, open), celsius)
		out = stretch{max(out.low, low), max(out.high, high)}
	}
	for _, s := range b.Stood { // what raw juice has used up of its time
		c := warmAt[shelf.Fridge]
		if s.Place != "" {
			c = warmAt[s.Place]
		}
		if c > -10 {
			low, high := ruleDays("juice", c)
			out.low, out.high = out.low*max(1-s.Days/low, 0.1), out.high*max(1-s.Days/high, 0.1)
		}
	}
	return out
}

// bottleOf is the bottle as the loop reads it.
func bottleOf(b *shelf.Bottle, w *bad, open bool) spoilage.Bottle {
	s := spoilage.Bottle{Worst: spoilage.Figures{ABVPercent: w.abv, SugarGPerL: w.sugar, PH: 6},
		Usual: spoilage.Figures{ABVPercent: b.ABVPercent.Value, SugarGPerL: b.SugarGPerL.Value, PH: 6},
		Food:  w.food, Opened: open, Rich: w.cold, Wine: b.Wine, Load: spoilage.Made}
	if b.PHKnown {
		s.Worst.PH, s.Usual.PH = w.pH, b.PH.Value
	}
	switch {
	case b.Heated:
		s.Load = spoilage.Heated
	case len(b.SolidsLeftIn) > 0:
		s.Load = spoilage.Solids
	case len(b.FreshJuice) > 0 || b.Pulp || b.NoSpirit && (b.Fruit || len(b.FreshLowAcid) > 0):
		s.Load = spoilage.Juice
	case w.clear && b.BoiledBottle:
		s.Load = spoilage.Clean
	}
	return s
}

// tastes is how long it tastes as it was made: the change that counts and comes first.
func tastes(b *shelf.Bottle, celsius float64) (out stretch, known bool) {
	out = forever
	put := func(s stretch) {
		if !known || s.low < out.low {
			out, known = s, true
		}
	}
	clock := func(name string, celsius float64) (s stretch, decides bool) {
		var c, low, high []float64
		for _, r := range data.Rows("flavour-clock.csv") {
			if r.Text("clock") == name {
				c, low, high = append(c, r.Number("celsius")), append(low, r.Number("low_days")),
					append(high, r.Number("high_days"))
				decides = r.Text("decides") == "yes"
			}
		}
		n := len(c) - 1
		s = stretch{along(c, low, celsius), along(c, high, celsius)}
		if over := celsius - c[n]; over > 0 && n > 0 { // on along the last slope
			by := over / (c[n] - c[n-1])
			s.low, s.high = s.low*math.Pow(low[n]/low[n-1], by), s.high*math.Pow(high[n]/high[n-1], by)
		}
		return s, decides
	}
	if celsius <= -10 {
		return out, false
	}
	for range b.FreshJuice {
		name := b.Clocks["lime juice"]
		if name == "" {
			name = "other juice"
		}
		s, _ := clock(name, celsius)
		s.low *= 1 - 0.3*min(b.ABVPercent.Value/5, 1)
		for _, x := range b.Stood {
			at := warmAt[shelf.Fridge]
			if x.Place != "" {
				at = warmAt[x.Place]
			}
			if used, _ := clock(name, at); at > -10 {
				s.low, s.high = s.low*max(1-x.Days/used.low, 0.1), s.high*max(1-x.Days/used.high, 0.1)
			}
		}
		put(s)
	}
	if len(b.RedColour) > 0 {
		s, _ := clock("red fruit", celsius)
		put(s)
	}
	inSpirit := 0.0
	if b.PHKnown {
		inSpirit = min(max(b.PH.Value-3.5, 0), 1)
	} else if len(b.FreshJuice) == 0 {
		inSpirit = 1
	}
	for _, p := range []struct {
		of    []string
		clock string
	}{{b.CitrusPeel, "lemon zest in acid"}, {b.OtherPeel, "peel in acid"}} {
		if len(p.of) > 0 {
			a, _ := clock(p.clock, celsius)
			s, _ := clock("peel in spirit", celsius)
			mix := func(x,
				y float64) float64 {
				return math.Exp((1-inSpirit)*math.Log(x) + inSpirit*math.Log(y))
			}
			put(stretch{mix(a.low, s.low), mix(a.high, s.high)})
		}
	}
	return out, known
}

// advice is where to keep it and how long: the place where it is sound, the place its
// taste asks for, and the stricter of both with the shorter time.
func advice(b *shelf.Bottle) (safe, advised shelf.Place, sound, use stretch, verdict string) {
	w := unfavourable(b)
	place := shelf.Fridge
	verdict = shelf.VerdictFridge
	switch {
	case w.stands(b):
		place, verdict = shelf.Room, shelf.VerdictShelf
	case b.WeakSteepH > 4:
		return "", "", never, never, shelf.VerdictDiscard
	}
	sound = lasts(b, warmAt[place], false)
	if sound.high <= 0 {
		return "", "", never, never, shelf.VerdictDiscard
	}
	advised, use = place, sound
	if taste, known := tastes(b, warmAt[place]); known {
		if taste.low < 60 && place == shelf.Room {
			advised = shelf.Fridge
			use = lasts(b, warmAt[advised], false)
			taste, known = tastes(b, warmAt[advised])
		}
		if known && taste.low < use.low {
			use = taste
		}
	}
	return place, advised, sound, use, verdict
}

// TestKeepingTimes holds the guild model to a plain loop over the hours, with draws of
// strains of its own.
func TestKeepingTimes(t *testing.T) {
	var g gaps
	each(bottles, func(i int) {
		b := someBottle(uint64(i))
		w := unfavourable(&b)
		r := rand.New(rand.NewPCG(uint64(i), 3))
		s := bottleOf(&b, &w, r.IntN(3) == 0)
		s.Sorbate = r.IntN(10) == 0
		celsius := []float64{4, 7, 18, 25, 10 * r.Float64()}[r.IntN(5)]
		low, high, rule := keepsFor(s, celsius)
		life := spoilage.Keeps(s, celsius)
		name := " by the guilds"
		if rule != "" && rule == life.Rule {
			name = " by a published time"
		}
		g.add("early end"+name, "ln", 0.4, math.Log(life.LowDays/low),
			"bottle %d at %.3g °C: %.4g, %.4g d, %q, %q", i, celsius,
			life.LowDays, low, life.Rule, rule)
		g.add("late end", "ln", 0.4, math.Log(life.HighDays/high), "bottle %d at %.3g °C: %.4g, %.4g d", i,
			celsius, life.HighDays, high)
	})
	g.tell(t)
}

// TestAdvice holds the place and the days that are advised to the rules written plainly
// once more, about the same loop.
func TestAdvice(t *testing.T) {
	var g gaps
	usual := func(p shelf.Place) shelf.Storage { return shelf.Storage{Place: p} }
	counts := map[string]int{}
	each(bottles, func(i int) {
		b := someBottle(uint64(i))
		a := shelf.Advise(b, nil, usual)
		safe, advised, sound, use, verdict := advice(&b)
		g.Lock()
		counts[verdict]++
		g.Unlock()
		if a.Safe.Place != safe || a.Advised.Place != advised {
			t.Errorf("bottle %d: %s, not %s, for its taste %s, not %s", i, a.Safe.Place, safe,
				a.Advised.Place, advised)
			return
		}
		if safe == "" {
			return
		}
		compare := func(what string, d shelf.Days, s stretch) {
			for k, x := range [][2]float64{{d.Low, s.low}, {d.High, s.high}} {
				off := math.Log(x[0] / x[1])
				if x[0] == x[1] {
					off = 0
				}
				g.add(what, "ln", 0.4, off, "bottle %d, end %d: %.4g, %.4g d", i, k, x[0], x[1])
			}
		}
		compare("days it is sound", a.Safe.Sealed, sound)
		compare("days that are advised", a.Advised.Sealed, use)
		open := lasts(&b, warmAt[safe], true)
		compare("days it is sound once opened", a.Safe.Opened, open.or(sound))
	})
	g.tell(t)
	t.Log(counts)
}
