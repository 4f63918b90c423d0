package mixture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"steepbook/data/quantity"
)

// Solve finds what to add to start, from what is at hand, to reach the goal
// with the least volume added; where several ways are nearly equal in that, with
// as much of it water as can be, then with what is listed first. Where the goal
// cannot be reached it returns the nearest that can, judged by the sum of the misses
// counted in units of 1 % vol, 10 g/L of sugar, 1 g/L of acid and 2 % of the volume,
// among all that make no more than mostVolumes of the start, and says why. What
// takes more than the goal is Within counts as out of reach.
//
// Nothing is ever taken out but stock that says so. An *InputError is returned for
// an empty or impossible goal, for stock with negative masses, and for an empty
// start without a volume to make.
func Solve(start Parts, have []Stock, goal Goal) (Correction, error) {
	ts, err := goal.targets()
	if err != nil {
		return Correction{}, err
	}
	if start.VolumeML(20) <= 0 && goal.VolumeML == nil {
		return Correction{}, refused("target", "there is nothing to start from, so the volume to make is needed")
	}
	plan, err := solve(start, have, ts)
	switch far := goal.Within > 0 && goal.VolumeML == nil &&
		plan.Parts.VolumeML(20) > goal.Within*start.VolumeML(20); {
	case err != nil || plan.Reached && !far:
		return plan, err
	case plan.Reached:
		plan = Correction{Parts: start}
	}
	return nearest(plan, start, have, ts)
}

// mostVolumes is how many times the start, or the volume that is wanted, the
// nearest blend may make: beyond it is another batch. Judgement.
const mostVolumes = 2.0

// pinned is the weight of a volume that is searched over: as good as fixed.
const pinned = 30.0

// nearest is the plan with the least miss. At a fixed volume every figure is linear
// in the masses, and so is the sum of the misses: one linear problem for each volume
// between the least and the most there can be, and the best of them.
func nearest(best Correction, start Parts, have []Stock, ts []target) (Correction, error) {
	least, most := start.VolumeML(20), mostVolumes*start.VolumeML(20)
	for i := range have {
		if have[i].Out {
			least -= have[i].PerG.Times(have[i].LimitG).VolumeML(20)
		}
	}
	var free []target
	for _, t := range ts {
		if t.num == nil {
			most = max(most, t.want)
		} else {
			free = append(free, t)
		}
	}
	least = max(least, most/1000)
	bestMiss := miss(best.Parts, ts)
	try := func(v float64) float64 {
		pin := volumeTarget(v)
		pin.weight = pinned
		plan, err := solve(start, have, append(slices.Clone(free), pin))
		if err != nil {
			return math.Inf(1)
		}
		m := miss(plan.Parts, ts)
		if m < bestMiss-1e-6 && plan.Parts.VolumeML(20) <= 1.001*most {
			best, bestMiss = plan, m
		}
		return m
	}
	const steps = 24
	at, lowest := 0, math.Inf(1)
	volume := func(i float64) float64 { return least * math.Pow(most/least, i/steps) }
	for i := range steps + 1 {
		if m := try(volume(float64(i))); m < lowest-1e-9 {
			at, lowest = i, m
		}
	}
	for lo, hi := max(float64(at)-1, 0), min(float64(at)+1, steps); hi-lo > 0.02; {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if try(volume(a)) <= try(volume(b)) {
			hi = b
		} else {
			lo = a
		}
	}
	best.judge(start, have, ts)
	return best, nil
}

// judge fills in whether the plan reaches the targets, and what stands in the way.
func (plan *Correction) judge(start Parts, have []Stock, ts []target) {
	var missed []target
	for _, t := range ts {
		if math.Abs(t.value(plan.Parts)-t.want) > t.tolerance {
			missed = append(missed, t)
		}
	}
	plan.Reached, plan.Why = len(missed) == 0, ""
	if !plan.Reached {
		plan.Why = why(start, have, plan, ts, missed)
	}
}

// missWeight is the price of one unit of miss against a millilitre of addition
// per millilitre of blend. It only has to be higher than what any miss
// saves in additions: thinning to half a per cent costs 160 volumes for a unit.
const missWeight = 1e4

// Thinning takes nearly the same volume whatever it is done with, so two small
// prices settle it: one on a gram of anything but water, well above the few
// hundredths by which sugar or spirit shrink in a mix, so that nobody buys sugar
// by the sack to make a drink less sour; and a tiny one on the place in the list.
const (
	matterPrice = 0.05
	orderPrice  = 1e-6
)

// outPrice is what leaving out a millilitre counts against adding one. It costs nothing, so that a
// drink is made stronger by less water before spirit is bought for it; and it changes the figures that
// nobody asked about, so that sugar, an eighth of the water that would have to stay out, is bought
// before a drink is made sweeter by less water. Judgement.
func outPrice(out bool) float64 {
	if out {
		return 0.2
	}
	return 1
}

func solve(start Parts, have []Stock, ts []target) (Correction, error) {
	for _, s := range have {
		for _, x := range []float64{s.PerG.Ethanol, s.PerG.Water, s.PerG.SugarG(), s.PerG.AcidG(),
			s.PerG.MassG(), s.LimitG} {
			if !(x >= 0) || math.IsInf(x, 0) {
				return Correction{}, refused(s.Name, "its composition or limit is not a positive number")
			}
		}
	}
	grams := make([]float64, len(have))
	mix := start
	if mix.VolumeML(20) <= 0 {
		for _, s := range have {
			mix = mix.Plus(s.PerG)
		}
	}
	best, bestMiss := grams, math.Inf(1)
	// The volume is nearly linear in the masses: with the room each part takes
	// in the present mixture the linear problem is exact, so solving, mixing
	// and solving again settles fast. Where it swings between two corners, half
	// steps settle it.
	for round := range 60 {
		next, err := linear(start, mix, have, ts)
		if err != nil && round > 0 {
			break // what the rounds before found stands
		}
		if err != nil {
			return Correction{}, err
		}
		if round > 12 {
			for j := range next {
				next[j] = (next[j] + grams[j]) / 2
			}
		}
		change := 0.0
		for j := range next {
			change = max(change, math.Abs(next[j]-grams[j]))
		}
		grams = next
		mix = pour(start, have, grams)
		if m := miss(mix, ts); m < bestMiss*(1-1e-9) || round == 0 {
			best, bestMiss = grams, m
		}
		if change <= 1e-8*max(mix.MassG(), 1) {
			best = grams
			break
		}
		if mix.VolumeML(20) <= 0 {
			break
		}
	}
	plan := Correction{Parts: pour(start, have, best)}
	for j, g := range best {
		if g > 1e-7*plan.Parts.MassG() {
			x := Portion{Of: j, Name: have[j].Name, MassG: g, VolumeML: have[j].PerG.Times(g).VolumeML(20)}
			if have[j].Out {
				x.OfG = have[j].LimitG
			}
			plan.Add = append(plan.Add, x)
		}
	}
	plan.judge(start, have, ts)
	return plan, nil
}

func pour(start Parts, have []Stock, grams []float64) Parts {
	for j, g := range grams {
		if have[j].Out {
			g = -g
		}
		start = start.Plus(have[j].PerG.Times(g))
	}
	return start
}

// miss is the sum of the misses of p in their units.
func miss(p Parts, ts []target) float64 {
	sum := 0.0
	for _, t := range ts {
		sum += t.weight * math.Abs(t.value(p)-t.want) / t.scale
	}
	return sum
}

// room is the volume in mL that a little more of q takes in mix, per unit of q.
func room(mix, q Parts) float64 {
	h := 1e-4 * ratio(mix.MassG(), max(q.MassG(), 1e-300))
	if h <= 0 {
		return 0
	}
	return (mix.Plus(q.Times(h)).VolumeML(20) - mix.Plus(q.Times(-h)).VolumeML(20)) / (2 * h)
}

// linear solves the problem with the room of every part as it is in mix: least
// volume plus missWeight times the misses, by the simplex method. Variables are
// the stock's masses per mL of mix, then two misses (over and under) a target,
// then what is left of every limited stock.
func linear(start, mix Parts, have []Stock, ts []target) ([]float64, error) {
	v := max(mix.VolumeML(20), 1e-9)
	startRoom := 0.0
	if start.MassG() > 0 {
		// By masses the rooms of the whole add up to its volume, so what the
		// stock in it does not take is the start's.
		startRoom = room(mix, start)
	}
	rows, used, limited := columns(mix, have, ts, v)
	nu, nt, nl := len(used), len(ts), len(limited)
	a := mat.NewDense(nt+nl, nu+2*nt+nl, nil)
	b := make([]float64, nt+nl)
	c := make([]float64, nu+2*nt+nl)
	for i, t := range ts {
		for k, j := range used {
			a.Set(i, k, rows[i][j])
		}
		b[i] = -snap(t.rest(start, startRoom, v))
		if b[i] < 0 { // the simplex wants the right side not below zero
			b[i] = -b[i]
			for k := range used {
				a.Set(i, k, -a.At(i, k))
			}
		}
		a.Set(i, nu+2*i, 1)
		a.Set(i, nu+2*i+1, -1)
		c[nu+2*i], c[nu+2*i+1] = missWeight*t.weight, missWeight*t.weight
	}
	for k, j := range used {
		q := have[j].PerG
		c[k] = room(mix, q)*outPrice(have[j].Out) + matterPrice*(q.Ethanol+q.solutesG()+q.Fat) +
			orderPrice*float64(j)
		for l, m := range limited {
			if m == j {
				a.Set(nt+l, k, 1)
				a.Set(nt+l, nu+2*nt+l, 1)
				b[nt+l] = have[j].LimitG / v
			}
		}
	}
	// Adding nothing is a corner to start from: every miss on its plus side,
	// every limit untouched.
	basis := make([]int, 0, nt+nl)
	for i := range ts {
		basis = append(basis, nu+2*i)
	}
	for l := range limited {
		basis = append(basis, nu+2*nt+l)
	}
	_, x, err := lp.Simplex(c, a, b, 1e-12, basis)
	if err != nil {
		return nil, fmt.Errorf("mixture: linear programme: %w", err)
	}
	grams := make([]float64, len(have))
	for k, j := range used {
		grams[j] = max(x[k], 0) * v
	}
	return grams, nil
}

// columns are what a gram of each stock per mL of blend, v mL in all, adds to each
// target's balance, with the places of the stocks that move one and of those among
// them of which there is so much only.
func columns(mix Parts, have []Stock, ts []target, v float64) (rows [][]float64, used, limited []int) {
	rows = make([][]float64, len(ts))
	for i := range rows {
		rows[i] = make([]float64, len(have))
	}
	for j, s := range have {
		if s.PerG.MassG() <= 0 {
			continue
		}
		r := room(mix, s.PerG)
		active := false
		for i, t := range ts {
			if rows[i][j] = snap(t.row(s.PerG, r, v)); s.Out {
				rows[i][j] = -rows[i][j]
			}
			active = active || rows[i][j] != 0
		}
		if !active {
			continue // it moves nothing that is asked for
		}
		used = append(used, j)
		if s.LimitG > 0 {
			limited = append(limited, j)
		}
	}
	return rows, used, limited
}

// snap takes what is far below any target's tolerance for nothing, so that the
// simplex never divides by a rounding error.
func snap(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 0
	}
	return x
}

// row is what a gram of q per mL of blend, v mL in all, adds to the target's
// balance, in units of its scale; r is the room of a gram.
func (t target) row(q Parts, r, v float64) float64 {
	if t.num == nil {
		return r * v / t.scale
	}
	return (t.num(q) - t.want*r) / t.scale
}

// rest is the target's balance, in units of its scale, of the start alone.
func (t target) rest(start Parts, r, v float64) float64 {
	if t.num == nil {
		return (r - t.want) / t.scale
	}
	return (t.num(start) - t.want*r) / t.scale / v
}

// why says what stands in the way of the missed targets.
func why(start Parts, have []Stock, plan *Correction, all, missed []target) string {
	used := map[string]float64{}
	for _, a := range plan.Add {
		used[a.Name] += a.MassG
	}
	var said []string
	say := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }
	for _, t := range missed {
		value := t.value(plan.Parts)
		want := fmt.Sprintf("%.*f%s", t.digits, t.want, t.unit)
		if t.num == nil {
			if value > t.want {
				say("%s is too little for what is there and the other targets", want)
			} else {
				say("what is at hand does not make %s", want)
			}
			continue
		}
		higher := value < t.want
		extreme := t.value(start)
		var helps, out []string
		for _, s := range have {
			x := t.value(s.PerG)
			if s.Out {
				continue
			}
			if higher && x > extreme || !higher && x < extreme {
				extreme = x
			}
			if higher && x > t.want || !higher && x < t.want {
				if s.LimitG > 0 && used[s.Name] >= s.LimitG*(1-1e-6) {
					out = append(out, s.Name)
				} else {
					helps = append(helps, s.Name)
				}
			}
		}
		side := t.more
		if !higher {
			side = t.less
		}
		if higher && value > extreme || !higher && value < extreme {
			extreme = value // by what is left out
		}
		switch far := fmt.Sprintf("%.*f%s", t.digits, extreme, t.unit); {
		case len(helps) == 0 && len(out) == 0 && far != want && higher == (extreme < t.want):
			say("%s is out of reach, since nothing at hand makes it %s than %s", want, side, far)
		case len(helps) == 0 && len(out) > 0:
			say("there is not enough %s for %s", quantity.And(out), want)
		case len(all) > 1:
			say("a %s of %s does not go with the other targets and what is at hand", t.figure, want)
		default:
			say("%s would take more than %.0f times the volume", want, mostVolumes)
		}
	}
	s := strings.Join(said, "; ")
	return strings.ToUpper(s[:1]) + s[1:] + "."
}
