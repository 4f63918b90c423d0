package mixture

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"

	"steepbook/shelf/acidity"
	"steepbook/shelf/activity"
)

// doubt is what one uncertain input does to every figure: the change for one
// standard deviation. Those of one error are one doubt; of "" there is no other.
type doubt struct {
	cause, cure, err string
	effect           [figureCount]float64
}

// doubts moves every uncertain input by one standard deviation either way; half of
// them in a copy of the recipe, at the same time.
func (r *Recipe) doubts(main outcome) []doubt {
	other := r.clone()
	mine, others := r.inputs(), other.inputs()
	half := len(mine) / 2
	var late []doubt
	var wait sync.WaitGroup
	wait.Go(func() {
		late = other.moved(main, others[half:])
		room := func(by float64) func() (outcome, error) {
			return func() (outcome, error) { return other.follow(by) }
		}
		late = differ(late, main, "how much space the sugar takes up", "", room(sugarRoomSD),
			room(-sugarRoomSD))
	})
	early := r.moved(main, mine[:half])
	wait.Wait()
	return together(append(early, late...))
}

// together makes one doubt of those of one error, which is off the same way in every line
// of one thing: one label, one jug, one fruit. So a line that is written as two is as much in doubt.
func together(ds []doubt) (out []doubt) {
	for _, d := range ds {
		i := slices.IndexFunc(out, func(o doubt) bool { return o.err != "" && o.err == d.err })
		if i < 0 {
			out = append(out, d)
			continue
		}
		for f := range d.effect {
			out[i].effect[f] = math.Abs(out[i].effect[f]) + math.Abs(d.effect[f])
		}
	}
	return out
}

// moved are the doubts of some of the recipe's inputs.
func (r *Recipe) moved(main outcome, ins []input) (ds []doubt) {
	for _, in := range ins {
		value := in.q.Value
		move := func(by float64) func() (outcome, error) {
			return func() (outcome, error) {
				in.set(value + by)
				o, err := r.follow(0)
				in.set(value)
				return o, err
			}
		}
		cause := in.q.Cause
		if cause == "" {
			cause = in.what
		}
		before := len(ds)
		if ds = differ(ds, main, cause, in.q.Cure, move(in.q.SD), move(-in.q.SD)); len(ds) > before {
			ds[before].err = in.err
		}
	}
	return ds
}

// differ adds half the change between the two ends; where one end cannot be
// reached (no room for more solids), the change to the other.
func differ(ds []doubt, main outcome, cause, cure string, up, down func() (outcome, error)) []doubt {
	d := doubt{cause: cause, cure: cure}
	hi, errHi := up()
	lo, errLo := down()
	scale := 0.5
	switch {
	case errHi != nil && errLo != nil:
		return ds
	case errHi != nil:
		hi, scale = main, 1
	case errLo != nil:
		lo, scale = main, 1
	}
	for i := range d.effect {
		d.effect[i] = scale * (hi.figures[i] - lo.figures[i])
	}
	if !(hi.phKnown && lo.phKnown) {
		d.effect[iPHLow], d.effect[iPH], d.effect[iPHHigh] = 0, 0, 0
	}
	return append(ds, d)
}

// input is one uncertain number of a recipe, and the error that it has in common with others.
type input struct {
	what, err string
	q         Quantity
	set       func(float64)
}

// inputs lists every Quantity of the recipe that is in doubt, with a way to change
// it.
func (r *Recipe) inputs() []input {
	l := inputs{r: r, went: r.Begun}
	for i := range r.Bases {
		b := &r.Bases[i]
		l.name, l.of = b.Name, thing(b.Of, b.Name)
		l.add("the amount of ", &b.VolumeML)
		l.add("the strength of ", &b.ABVPercent)
		l.add("the acid of ", &b.AcidFactor)
		l.add("the sugar of ", &b.SugarFactor)
		l.add("the pH of ", &b.PHShift)
	}
	for i := range r.Solids {
		s := &r.Solids[i]
		l.name, l.of, l.went = s.Name, thing(s.Of, s.Name), s.Went
		l.add("the amount of ", &s.MassG)
		// What it keeps is one cause, so one doubt: that of the end of the pressing where
		// it is larger. In full, though half way to pressed half of it counts: there it does.
		switch p := r.Pressed.Value; {
		case s.LeftIn:
		case p == 1 || p > 0 && s.PressedMLPerG.SD > s.HeldMLPerG.SD:
			l.weighed("what is kept by pressed ", &s.PressedMLPerG, p)
		default:
			l.weighed("what is soaked up by ", &s.HeldMLPerG, 1-p)
		}
		l.add("the acid of ", &s.AcidFactor)
		l.add("the sugar of ", &s.SugarFactor)
		l.add("the water of ", &s.WaterFactor)
	}
	for i := range r.Additions {
		a := &r.Additions[i]
		l.name, l.of, l.went = a.Name, thing(a.Of, a.Name), a.Went
		l.add("the amount of ", &a.MassG)
		l.add("the acid of ", &a.AcidFactor)
		l.add("the sugar of ", &a.SugarFactor)
		l.add("the pH of ", &a.PHShift)
		if a.ABVPercent.SD > 0 {
			q, perG := a.ABVPercent, a.PerG
			l.list = append(l.list, input{"the strength of " + l.name, "the strength of " + l.of, q, func(v float64) {
				a.PerG = strength(perG, q.Value, clamp(v, 0, 100))
			}})
		}
	}
	for _, x := range r.Measured.list() {
		if *x.q != nil {
			l.name, l.of = x.what, x.what
			l.add("the measured ", *x.q)
		}
	}
	return l.list
}

// inputs are those of a recipe, being listed thing by thing: its name, what it is, and whether it is in.
type inputs struct {
	r        *Recipe
	name, of string
	went     bool
	list     []input
}

// weighed lists what is in doubt of a thing, of which a share counts. Inlined at its calls it made the
// program larger.
//
//go:noinline
func (l *inputs) weighed(what string, q *Quantity, weight float64) {
	if q.SD > 0 && weight > 0 {
		in := input{what + l.name, what + l.of, *q, func(v float64) { q.Value = v }}
		in.q.SD /= weight
		in.q.Cure = cure(q.Cure, [4]bool{l.went, l.r.Mixed, l.r.Full, l.r.Gone})
		l.list = append(l.list, in)
	}
}

// add is weighed of all of it.
//
//go:noinline
func (l *inputs) add(what string, q *Quantity) { l.weighed(what, q, 1) }

// thing is what lines of one error have in common.
func thing(of, name string) string { return strings.ToLower(cmp.Or(of, name)) }

// way is how else a recipe may have gone.
type way struct {
	outcome
	cause, cure string
}

// spread fills the ranges and their causes from the doubts, and opens them to
// where else it may have gone.
func (res *Result) spread(main outcome, doubts []doubt, ways []way, phMeasured bool) {
	sd := [figureCount]float64{}
	for i := range sd {
		sum := 0.0
		for _, d := range doubts {
			sum += square(d.effect[i])
		}
		sd[i] = math.Sqrt(sum)
	}
	var model [figureCount]float64 // 90 % half width of the model itself
	if main.phKnown && !phMeasured {
		e := acidity.Error(main.parts.ABVPercent())
		model[iPHLow], model[iPH], model[iPHHigh] = e, e, e
	}
	model[iActivity] = activity.ModelError(main.parts.activityMasses())

	at := func(i int) Range {
		h := z90 * math.Hypot(sd[i], model[i]/z90)
		v := main.figures[i]
		return Range{v, max(v-h, 0), v + h}
	}
	for i, to := range res.ranges() {
		if to != nil && (i != iPH || main.phKnown) {
			*to = at(i)
		}
	}
	// Acid that only may be there opens the range downwards.
	maybe := main.parts.OtherAcid / acidity.Lactic.MolarMass * acidity.Citric.MolarMass / 3
	res.AcidGPerL.Low = max(res.AcidGPerL.Low-1000*ratio(maybe, main.figures[iVolume]), 0)
	if main.phKnown {
		res.PH.Low, res.PH.High = at(iPHLow).Low, at(iPHHigh).High
		blunt := doubt{cause: "how much acid the plants and the rest blunt", cure: measurePH}
		blunt.effect[iPH] = (main.figures[iPHHigh] - main.figures[iPHLow]) / 2 / z90
		doubts = append(doubts, blunt)
	}
	if _, low, high := main.parts.WaterActivity(); res.WaterActivity.Value > 0 {
		// The ends of the model's own reading, where they are further out.
		res.WaterActivity.Low = max(0, min(res.WaterActivity.Low, low))
		res.WaterActivity.High = min(1, max(res.WaterActivity.High, high+0.005))
	}
	res.JarABVPercent = res.ABVPercent
	doubts = append(doubts, res.openTo(main, ways)...)
	res.JarABVPercent = res.JarABVPercent.MovedTo(main.jar.ABVPercent())
	res.WaterActivity.High = min(res.WaterActivity.High, 1)

	for i, name := range properties {
		if name == "" || i == iPH && !main.phKnown {
			continue
		}
		res.Causes[name] = shares(i, doubts, model[i]/z90)
	}
}

// restCause is the doubt of which of two drinks is asked, a sealed bottle or what something joined.
const restCause = "whether it is of a sealed bottle or of what the last joined"

// openTo opens the ranges to where else the recipe may have gone, and returns what
// doubt that is. Of one cause only one way can have been gone.
func (res *Result) openTo(main outcome, ways []way) (ds []doubt) {
	for len(ways) > 0 {
		n := slices.IndexFunc(ways, func(w way) bool { return w.cause != ways[0].cause })
		if n < 0 {
			n = len(ways)
		}
		d := doubt{cause: ways[0].cause, cure: ways[0].cure}
		for i, to := range res.ranges() {
			if to == nil {
				continue
			}
			down, up := 0.0, 0.0
			for _, w := range ways[:n] {
				low, high := w.figures[i]-main.figures[i], w.figures[i]-main.figures[i]
				switch {
				case i == iPH && !main.phKnown:
					continue
				case i == iPH && !w.phKnown: // beyond any drink, or nothing sour is left
					low, high = leastPH-main.figures[iPHLow], mostPH-main.figures[iPHHigh]
				case i == iPH:
					low = w.figures[iPHLow] - main.figures[iPHLow]
					high = w.figures[iPHHigh] - main.figures[iPHHigh]
				}
				down, up = min(down, low), max(up, high)
			}
			to.Low, to.High = max(to.Low+down, 0), to.High+up
			// what is left over never was the jar
			if jar := &res.JarABVPercent; i == iABV && ways[0].cause != restCause {
				jar.Low, jar.High = max(jar.Low+down, 0), jar.High+up
			}
			d.effect[i] = max(-down, up) / 2 / z90
		}
		ds, ways = append(ds, d), ways[n:]
	}
	return ds
}

const measurePH = Left + "measure the finished pH: strip or meter"

// shares splits the variance of figure i among its causes, the same words
// counted together, largest first.
func shares(i int, doubts []doubt, modelSD float64) []Share {
	var all []Share
	total := square(modelSD)
	if modelSD > 0 {
		s := Share{Cause: "the model itself", Fraction: square(modelSD)}
		if i == iPH {
			s.Cure = measurePH
		}
		all = append(all, s)
	}
	for _, d := range doubts {
		v := square(d.effect[i])
		if v == 0 {
			continue
		}
		total += v
		same := func(s Share) bool { return s.Cause == d.cause && s.Cure == d.cure }
		if k := slices.IndexFunc(all, same); k >= 0 {
			all[k].Fraction += v
		} else {
			all = append(all, Share{d.cause, d.cure, v})
		}
	}
	for k := range all {
		all[k].Fraction /= total
	}
	largestFirst(all)
	return all
}

func largestFirst(all []Share) {
	slices.SortStableFunc(all, func(a, b Share) int { return cmp.Compare(b.Fraction, a.Fraction) })
}

// lossSD is the standard deviation of the loss, mL.
func (res Result) lossSD() float64 { return (res.LossML.High - res.LossML.Value) / z90 }
