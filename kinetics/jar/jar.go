package jar

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"steepbook/kinetics"
	"steepbook/kinetics/cores"
)

// Dilution is how a jar shows in the bottle: the share of jar liquor in it, 0 to
// 1, and the exponent by which a strength follows an amount, with its doubt.
type Dilution struct {
	Share    float64
	Exponent kinetics.Normal
}

// factor is the strength in the bottle of a jar strength of 1.
func (d Dilution) factor() float64 {
	if d.Share <= 0 || d.Share >= 1 {
		return 1
	}
	return math.Pow(d.Share, d.Exponent.Mean)
}

// Score is one tasting of one flavour. Share is the part of jar in the sample;
// 0 stands for neat.
type Score struct {
	Hours, Value, Share float64
	Taster              string
}

// tasting is the score of a flavour by its own clock.
func (s Score) tasting(own float64, exponent kinetics.Normal) kinetics.Tasting {
	part := Dilution{s.Share, exponent}.factor()
	return kinetics.Tasting{Hours: own, Score: s.Value, Part: part, Taster: s.Taster}
}

// Flavour is a wanted flavour of the jar.
type Flavour struct {
	Name  string
	Prior kinetics.Prior // of the jar, neat, by the flavour's own clock
	// InH and OutH are when it went in and came out; OutH is +Inf while it is in.
	InH, OutH float64
	// Target is the strength wanted in the bottle, 0: as strong as it gets.
	Target float64
	Bottle Dilution
	Scores []Score
	// Stays: it is never taken out. Dust: only straining takes it out. Banned: it
	// must not be steeped at all.
	Stays, Dust, Banned bool
	// FirstH is the first tasting worth taking of what turns fierce, in hours of
	// its own, 0 for what does not.
	FirstH float64
	Fault  *Fault
}

// Fault is what goes wrong with too long a steep, as makers report it: hours of
// the flavour's own clock at which it is noticed, early, usually and late. It
// counts where nobody has scored an unwanted taste of that flavour.
type Fault struct {
	What                string
	Low, Usual, Highest float64
}

// Unwanted is a taste that is to stay below a limit in the bottle.
type Unwanted struct {
	Name  string
	Limit float64
	// From are the flavours, by index, that may bring it; none: any may.
	From   []int
	Bottle Dilution
	Scores []Score
	// Ties is how each flavour is tied to it; none: of none is anything known.
	Ties []Tie
	// Lag is the log of how many times slower it comes than its flavour is found
	// to, with its spread.
	Lag kinetics.Normal
}

// Tie is what is known of whether a flavour brings an unwanted taste.
type Tie int

// The ties.
const (
	Unheard  Tie = iota // nobody says so
	Reported            // makers say that too long a steep brings it
	Itself              // it is what the flavour tastes of: it comes no later, and as strong
)

// unheard is the weight of a flavour of which nobody says that it brings a taste, beside
// one of which makers do. Judgement.
const unheard = 0.1

func (u *Unwanted) tie(flavour int) Tie {
	if u.Ties == nil {
		return Unheard
	}
	return u.Ties[flavour]
}

// belief is what is believed of the taste before it is tasted, if a flavour brings it, and
// the log of the weight of that.
func (u *Unwanted) belief(tie Tie, of *Belief) (p kinetics.Prior, weight float64) {
	rate := of.LogRate()
	p = kinetics.Unwanted(kinetics.Normal{Mean: rate.Mean - u.Lag.Mean, SD: math.Hypot(u.Lag.SD, rate.SD)})
	switch tie {
	case Itself:
		p = of.Itself()
	case Unheard:
		weight = math.Log(unheard)
	}
	return p, weight
}

// Jar is what is known of one jar. Awake gives, for a moment in the night, the
// last moment before and the first after it at which somebody is up, and the
// moment itself twice by day; nil: always. Handy gives the hour nearest to a moment at which
// somebody is at the shelf anyway; nil: any is as good. LastH is the last hour to which it may stand as
// it is, since its start; 0: for good.
type Jar struct {
	Flavours []Flavour
	Unwanted []Unwanted
	Awake    func(hours float64) (before, after float64)
	Handy    func(hours float64) float64
	LastH    float64
}

var errJar = errors.New("this jar cannot be worked out")

// Reading is a jar read at one moment: the belief about every flavour and one
// order for each.
type Reading struct {
	// Wanted and Unwanted hold the beliefs, in the order of the jar.
	Wanted   []Belief
	Unwanted []Suspicion
	// Orders are those of the flavours, then of the unwanted tastes.
	Orders []Order
	// NextH is when the jar is tasted next, +Inf where nothing is gained by it.
	NextH float64
}

// Belief is what is known of a flavour: by its own clock, in neat strength.
type Belief struct {
	*kinetics.Posterior
	Tasted int     // scores that count by now
	Factor float64 // bottle strength of a jar strength of 1
	// usual is the belief with unusual jars left out, which is what is called the
	// usual range of a flavour that nobody has tasted yet.
	usual *kinetics.Posterior
	doubt float64 // relative spread of the step from its samples to the bottle
	latest
}

// latest are the last scores, all of one moment by the jar's clock, as the bottle would have them;
// alone: it was one; again: they were given at once after those before.
type latest struct {
	last, high, low float64
	alone, again    bool
}

// hear takes a score, v, in the order of the log; own is the clock of what is tasted.
func (l *latest) hear(hours, own, v float64) {
	switch {
	case hours > l.last:
		*l = latest{hours, v, v, true, l.last > 0 && hours-l.last < atOnce*own}
	case hours == l.last:
		l.high, l.low, l.alone = max(l.high, v), min(l.low, v), false
	}
}

// Suspicion is what is known of an unwanted taste: who brings it, how likely.
type Suspicion struct {
	Sources []Source
	Tasted  int
	Factor  float64
	latest
}

// Source is a flavour that may bring an unwanted taste, its probability, and the
// belief about the taste if it does, by that flavour's clock.
type Source struct {
	Flavour     int
	Probability float64
	*kinetics.Posterior
	inH, outH float64
}

// likeliest is the probability of the likeliest source, less what rounding may make of it.
func (s *Suspicion) likeliest() (top float64) {
	for k := range s.Sources {
		top = max(top, s.Sources[k].Probability)
	}
	return top - 1e-9
}

// over is the chance that the taste has a neat strength by a moment of the jar.
func (s *Suspicion) over(level, hours float64) (chance float64) {
	for k := range s.Sources {
		src := &s.Sources[k]
		chance += src.Probability * src.ChanceAtLeast(level, max(src.own(hours), 0))
	}
	return chance
}

// own is the source's clock at a moment of the jar: frozen when it came out.
func (s *Source) own(hours float64) float64 { return min(hours, s.outH) - s.inH }

// atOnce is within which share of its time a second sitting speaks of the first. Judgement.
const atOnce = 0.1

const soon = 1e-9 // hours: scores at the moment itself count

// At reads the scores that lie at or before a moment, in hours, and decides. An
// error says which flavour cannot be worked out.
func (j Jar) At(now float64) (*Reading, error) {
	if math.IsNaN(now) || math.IsInf(now, 0) {
		return nil, fmt.Errorf("%w: the moment %g h is no number", errJar, now)
	}
	r := &Reading{NextH: math.Inf(1)}
	r.Wanted, r.Unwanted = make([]Belief, len(j.Flavours)), make([]Suspicion, len(j.Unwanted))
	err := each(len(j.Flavours), func(i int) (err error) {
		r.Wanted[i], err = j.believe(&j.Flavours[i], now)
		return err
	})
	if err != nil {
		return nil, err
	}
	err = each(len(j.Unwanted), func(i int) (err error) {
		r.Unwanted[i], err = j.suspect(&j.Unwanted[i], r.Wanted, now)
		return err
	})
	if err != nil {
		return nil, err
	}
	d := decider{Jar: j, Reading: r, now: now}
	return r, d.decide()
}

// each runs f for 0 to n-1 at the same time and joins the errors.
func each(n int, f func(i int) error) error {
	errs := make([]error, n)
	cores.Each(n, func(i int) { errs[i] = f(i) })
	return errors.Join(errs...)
}

// believe reads the scores of a wanted flavour. What came out gives nothing
// more: a later score speaks of the strength at that moment.
func (j Jar) believe(f *Flavour, now float64) (Belief, error) {
	b := Belief{Factor: f.Bottle.factor()}
	var ts []kinetics.Tasting
	var apart float64
	for _, s := range f.Scores {
		if s.Hours > now+soon || s.Hours <= f.InH || f.OutH <= f.InH { // not in yet
			continue
		}
		own := min(s.Hours, f.OutH) - f.InH
		t := s.tasting(own, f.Bottle.Exponent)
		ts = append(ts, t)
		b.hear(s.Hours, own, t.Score/t.Part*b.Factor)
		if share := f.Bottle.Share; share > 0 && share <= 1 {
			from := s.Share
			if from <= 0 {
				from = 1
			}
			apart += math.Log(share / from)
		}
	}
	var err error
	if b.Posterior, err = f.Prior.Posterior(ts); err != nil {
		return b, fmt.Errorf("%w: %s: %w", errJar, f.Name, err)
	}
	b.Tasted = len(ts)
	b.usual = b.Posterior
	if p := f.Prior; b.Tasted == 0 && p.Doubt > 0 {
		p.Doubt = 0
		if b.usual, err = p.Posterior(nil); err != nil {
			return b, fmt.Errorf("%w: %s: %w", errJar, f.Name, err)
		}
	}
	if len(ts) > 0 {
		apart /= float64(len(ts))
	} else if f.Bottle.Share > 0 {
		apart = math.Log(f.Bottle.Share)
	}
	b.doubt = math.Abs(apart) * f.Bottle.Exponent.SD
	return b, nil
}

// InBottle is a neat strength as the bottle shows it, with the doubt of the step
// from the samples that were tasted.
func (b *Belief) InBottle(s kinetics.Interval) kinetics.Interval {
	return widened(s, b.Factor, b.doubt)
}

// widened scales an interval and widens it by an independent relative spread.
func widened(s kinetics.Interval, by, doubt float64) kinetics.Interval {
	stretch := 1.0
	if s.SD > 0 {
		stretch = math.Hypot(s.SD, s.Mean*doubt) / s.SD
	}
	to := func(v float64) float64 { return max(by*(s.Median+(v-s.Median)*stretch), 0) }
	return kinetics.Interval{
		Mean: by * s.Mean, SD: by * s.SD * stretch,
		P05: to(s.P05), P25: to(s.P25), Median: by * s.Median, P75: to(s.P75), P95: to(s.P95),
	}
}

// suspect weighs, by the scores, which flavours bring an unwanted taste. Before
// a suspect went in it brings nothing: a score of it then is not of its making.
func (j Jar) suspect(u *Unwanted, wanted []Belief, now float64) (Suspicion, error) {
	out := Suspicion{Factor: u.Bottle.factor()}
	var from []int
	for i := range j.Flavours {
		if len(u.From) == 0 || slices.Contains(u.From, i) {
			from = append(from, i)
		}
	}
	notYet := func(i int) bool { return j.Flavours[i].InH > now || j.Flavours[i].OutH <= j.Flavours[i].InH }
	if in := slices.DeleteFunc(slices.Clone(from), notYet); len(in) > 0 {
		from = in
	}
	out.Sources = make([]Source, len(from))
	err := each(len(from), func(k int) (err error) {
		f, s := &j.Flavours[from[k]], &out.Sources[k]
		p, weight := u.belief(u.tie(from[k]), &wanted[from[k]])
		*s = Source{Flavour: from[k], inH: f.InH, outH: max(f.OutH, f.InH)}
		tastings, before := u.tastings(s, now)
		if s.Posterior, err = p.Posterior(tastings); err == nil {
			s.Probability = weight + before + s.LogEvidence()
		}
		return err
	})
	if err != nil {
		return out, fmt.Errorf("%w: %s: %w", errJar, u.Name, err)
	}
	for _, s := range u.Scores {
		if s.Hours <= now+soon {
			t := s.tasting(s.Hours, u.Bottle.Exponent)
			out.Tasted++
			out.hear(s.Hours, s.Hours, t.Score/t.Part*out.Factor)
		}
	}
	top, total := math.Inf(-1), 0.0
	for i := range out.Sources {
		top = max(top, out.Sources[i].Probability)
	}
	for i := range out.Sources {
		out.Sources[i].Probability = math.Exp(out.Sources[i].Probability - top)
		total += out.Sources[i].Probability
	}
	for i := range out.Sources {
		out.Sources[i].Probability /= total
	}
	return out, nil
}

// tastings are the scores that count by now, by the clock of a source, and the log
// of the chance of those from before it went in.
func (u *Unwanted) tastings(s *Source, now float64) (ts []kinetics.Tasting, before float64) {
	for _, sc := range u.Scores {
		switch own := s.own(sc.Hours); {
		case sc.Hours > now+soon:
		case own <= 0:
			before += math.Log(kinetics.ChanceAbsent(sc.Value))
		default:
			ts = append(ts, sc.tasting(own, u.Bottle.Exponent))
		}
	}
	return ts, before
}

// Likeliest is the flavour that most likely brings the taste, the first of those
// as likely, -1 for none.
func (s *Suspicion) Likeliest() int {
	flavour, top := -1, 0.0
	for i := range s.Sources {
		if p := s.Sources[i].Probability; p > top+1e-9 {
			flavour, top = s.Sources[i].Flavour, p
		}
	}
	return flavour
}

// Strength is the taste at a moment of the jar, neat, over all its suspects.
func (s *Suspicion) Strength(hours float64) kinetics.Interval {
	var out kinetics.Interval
	square := 0.0
	for i := range s.Sources {
		src := &s.Sources[i]
		iv := src.Posterior.Strength(src.own(hours))
		p := src.Probability
		out.Mean += p * iv.Mean
		square += p * (iv.SD*iv.SD + iv.Mean*iv.Mean)
		// Quantiles of a mixture of much alike parts: their mean.
		out.P05, out.P25, out.Median = out.P05+p*iv.P05, out.P25+p*iv.P25, out.Median+p*iv.Median
		out.P75, out.P95 = out.P75+p*iv.P75, out.P95+p*iv.P95
	}
	out.SD = math.Sqrt(max(square-out.Mean*out.Mean, 0))
	return out
}
