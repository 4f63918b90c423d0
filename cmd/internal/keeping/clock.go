package keeping

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/shelf"
)

// Since says which moment the days of a bottle run from.
type Since string

// What the days run from.
const (
	FromStart     Since = "mixed"    // what could grow in the jar has grown from the start
	FromStraining Since = "strained" // nothing goes in after that, or what was strained held nothing back
	FromAddition  Since = "added"    // when the last of what goes in after straining was logged
	FromBottling  Since = "bottled"  // and what goes in after straining went in then, or it was heated then
)

// heatedWithinH is how long after straining what is heated for the bottle may have waited
// to count as fresh from the stove [h]. Common practice, no source.
const heatedWithinH = 48

// Log is what the clock reads of a batch; a moment is zero where it has not come.
type Log struct {
	Now, Started time.Time
	// Bottled is when the first of it was bottled, Strained when the last thing came out of
	// the jar, Added when the first of what goes in after that was logged. OfDay: it is planned for a day,
	// the end of which is Bottled.
	Bottled, Strained, Added time.Time
	OfDay                    bool
	// Spent is what the drink used up of its days from From until Whole, when the last
	// of it went in or it was bottled, zero while it waits for the rest, Steeped the part of the jar in
	// that, and Gone when that was
	// all of them, or will be: zero where it is not. InJar says why they were over in the jar,
	// empty where they were not. Waits: by the log it waits, InTime: for the day of a plan that it follows.
	Spent, Steeped    Spent
	From, Whole, Gone time.Time
	InJar             string
	Waits, InTime     bool
	// Untold: it is done, and of what goes in after straining nobody logged all. AllIn is the log by which
	// that, or what is still to come, went in as soon as it could, for it may have; nil where nothing is
	// lacking.
	Untold bool
	AllIn  *Log
	// States are what was strained as it was before the last of it went in, in the order of time.
	States []State
	// Stay is what stays in the bottle and may not lie in it for ever, TooStrong what gets too strong in it.
	Stay
	TooStrong Stay
	// WeakJar: the jar, by its strength, holds nothing back. Weak is from when on it was so weak, zero where it never
	// was, and Strong what was spent before that.
	WeakJar bool
	Weak    time.Time
	Strong  Spent
	// Perishes: fat that washed it is in it still, or what keeps in the cold alone lay in the jar, so that
	// its days do not wait for the rest.
	Perishes bool
	// AddsLater: something goes in after straining. Heated: it is heated for the bottle.
	// Finished: something of the finished drink was measured.
	AddsLater, Heated, Finished bool
	Bottles                     batch.Bottles
	OpenNow                     bool // how long it keeps once opened, from now, is asked
	Elsewhere                   bool // another place is asked about than where it stands
	House                       *batch.House
	Fades                       []Fading // the first to be noticed on top
}

// State is a drink before something else went in: from when to when, zero while nothing has, where it is counted
// on to stand and how long it was sound there, whether what makes people ill could grow in it, and what faded in it,
// how fast.
type State struct {
	From, To time.Time
	Safe     shelf.Keeping
	Fails    bool
	Fades    []shelf.Fade
}

// fails is from when on what makes people ill could grow in it, if its verdict says so; zero: as long as it
// was in bottles.
func (l *Log) fails() time.Time {
	if i := slices.IndexFunc(l.States, func(s State) bool { return s.Fails }); i >= 0 {
		return l.States[i].From
	}
	return l.Whole
}

// clock is from when the days run: what grows, by since, from grows, and each change of taste
// from its own moment; zero before that. latest is to when the house, or what lies in it, lets it
// stand, opened for how long the house does once it is opened.
type clock struct {
	since        Since
	grows        run
	told         *clock // that of the log alone, where this one takes for in what nobody logged
	latest, gone time.Time
	strong       time.Time // something that stays in the bottle gets too strong
	opened       shelf.Days
	waits        bool // for the rest: the days are those of what there is, to gone
	lacks        bool // it waits for the rest, and gone is that of what there is
	states       []State
	fades        []fading
}

// clockOf is the clock of a log, and beside it that of the log alone where what nobody logged may be in
// since straining, bottled or waiting: the days are those that come sooner. What is not in by the log of what
// waits has no taste to lose.
func (k *Keep) clockOf(l *Log) clock {
	c := k.runs(l)
	untold := l.Untold && !l.fresh() && !l.Bottled.Equal(l.Strained)
	if l.AllIn == nil || !untold && (!l.Waits || l.InTime || c.grows.from.IsZero() && c.gone.IsZero()) {
		return c
	}
	all := k.runs(l.AllIn)
	if all.told = &c; all.since == FromAddition || all.since == FromBottling {
		all.since = FromStraining
	}
	if l.Waits {
		all.fades = c.fades
	}
	return all
}

// byLog is that of the log alone.
func (c *clock) byLog() *clock {
	if c.told != nil {
		return c.told
	}
	return c
}

// fresh reports whether its days begin with its bottling.
func (l *Log) fresh() bool {
	return !l.Bottled.IsZero() && (l.Strained.IsZero() ||
		l.Heated && l.Bottled.Sub(l.Strained).Hours() <= heatedWithinH)
}

// early reports whether its days run in the jar already, and are not over.
func (l *Log) early() bool { return l.Strained.IsZero() && l.Gone.After(l.Now) }

// anew reports whether the days of bottles that were filled at a moment run anew from that, for each filling
// was heated for it: what was mixed once is as old in whichever bottle, and so is what waited too long for the
// stove, as of what nobody says when it was strained since the first was bottled.
func (l *Log) anew(filled time.Time) bool {
	return l.Heated && l.fresh() &&
		(!l.Strained.IsZero() || filled.Sub(l.Bottled).Hours() <= heatedWithinH)
}

// runs is one clock of a log. What is bottled later is none the younger for it: what grows and
// what fades does so in the jug as well, but what is not in yet does neither.
func (k *Keep) runs(l *Log) (c clock) {
	c.states, c.lacks, c.gone = l.States, l.Waits, l.Gone
	out, bottled := !l.Strained.IsZero(), !l.Bottled.IsZero()
	switch {
	case k.Verdict.Fails && l.WeakJar && !l.Weak.IsZero():
		c.since, c.grows = FromStart, run{from: l.Weak, spent: l.Strong}
	case l.early(): // what keeps in the cold alone lies in the jar
		c.since, c.grows, c.waits, c.lacks = FromAddition, run{from: l.From}, true, true
	case l.InJar != "": // nor does what is done to it later
		c.since, c.grows, c.waits = FromStart, run{from: l.From}, true
	case l.fresh():
		c.since, c.grows = FromBottling, run{from: l.Bottled, spent: l.Steeped}
	case out && !l.Gone.IsZero() && !l.Whole.IsZero(): // nothing that goes in cures it
		c.since, c.grows, c.waits = FromStraining, run{from: l.Strained, spent: l.Steeped}, true
	case out && !l.Added.IsZero() && !l.WeakJar:
		c.since, c.grows, c.waits = FromAddition, run{from: l.Added, spent: l.Spent}, l.Waits
		if !l.Whole.IsZero() {
			c.grows.from = l.Whole
		}
	case out && (l.WeakJar || l.Perishes || !l.AddsLater || !bottled && l.Finished):
		c.since, c.grows = FromStraining, run{from: l.Strained, spent: l.Steeped}
	case bottled:
		c.since, c.grows = FromBottling, run{from: l.Bottled, spent: l.Spent}
	}
	c.grows.ofDay = l.OfDay && l.Bottled.Sub(c.grows.from) < time.Second
	for i := range l.Fades {
		f := &l.Fades[i]
		if l.Waits && len(c.fades) == 0 && f.Later && f.In.IsZero() { // what fades first is not in yet
			break
		}
		since, from := c.since, c.grows.from
		if out && (since == FromAddition || since == FromBottling && !l.fresh()) {
			since, from = FromStraining, l.Strained
		}
		if f.Later && !from.IsZero() && !l.Finished {
			since, from = FromBottling, l.Bottled
		}
		if f.Later && !f.In.IsZero() {
			since, from = FromAddition, f.In
		}
		c.fades = append(c.fades, fading{since, f.from(from, l.States), f.Time})
	}
	if c.strong = l.TooStrong.OutBy(); c.since != "" { // before that it is no day of the drink
		c.latest = l.OutBy()
	}
	if h := l.House; h != nil {
		if out && h.MaxAgeDays > 0 {
			c.latest = earlier(c.latest, until(l.Strained, shelf.Days{Low: h.MaxAgeDays, Words: h.Rule + " "}, false))
		}
		c.opened = shelf.Days{Low: orInf(h.UseWithinDays), Words: h.Rule + " "}
	}
	return c
}

// planned is a log that is kept to its end: what is to be strained, to go in and to be bottled is, now.
func (l Log) planned() *Log {
	l.Strained, l.Bottled = cmp.Or(l.Strained, l.Now), cmp.Or(l.Bottled, l.Now)
	l.Fades, l.States = slices.Clone(l.Fades), slices.Clone(l.States)
	if n := len(l.States); n > 0 {
		l.States[n-1].To = cmp.Or(l.States[n-1].To, l.Now)
	}
	if l.Waits, l.Untold = false, false; l.AddsLater {
		l.Added = cmp.Or(l.Added, l.Now)
	}
	for i := range l.Fades {
		if f := &l.Fades[i]; f.Later {
			f.In = cmp.Or(f.In, l.Now)
		}
	}
	return &l
}

// AsItIs reports whether the day of Safe is that of what there is while it waits for the rest, and the days
// that Safe names are those of the finished drink.
func (k *Keep) AsItIs() bool {
	c := k.clock.byLog()
	return c.lacks && k.Safe.Until.Equal(c.gone)
}

// Lacked reports whether its days are over for no other reason than that the rest did not go in by then, so far as
// is logged: if it did, they are not.
func (k *Keep) Lacked() bool {
	c := k.clock.byLog()
	n := len(c.states)
	return k.SafePast && k.AsItIs() && n > 0 && !c.gone.Before(c.states[n-1].From) &&
		(k.allInSafe.IsZero() || k.allInSafe.After(k.Safe.Until))
}

// WaitsIn is where what there is has to stand until the rest is in, so that it lasts to the day of Safe; no place where
// that is none other than that of the finished drink.
func (k *Keep) WaitsIn() (there shelf.Keeping) {
	states := k.clock.byLog().states
	if n := len(states); n > 0 && k.AsItIs() && states[n-1].Fails && k.Advised.AtC > states[n-1].Safe.AtC {
		there = states[n-1].Safe
	}
	return there
}

// ForTheDay reports whether it has no days where it is advised to stand, once all is done as planned: it is
// good on the day it is mixed.
func (k *Keep) ForTheDay() bool {
	return k.Days(&k.Advised).None() && (k.Advised.Until.IsZero() || k.clock.byLog().lacks)
}

// RunsFrom is what the days that Advised names run from once all is done as planned.
func (k *Keep) RunsFrom() Since {
	if k.TasteFirst() && len(k.planned.fades) > 0 {
		return k.planned.fades[0].since
	}
	return k.planned.since
}

// Count counts the days from when what is in the bottle came together, as far as the log
// tells, and from when it was opened.
func (k *Keep) Count(l *Log) {
	since := l.Bottled
	if fails := l.fails(); fails.After(since) {
		since = fails
	}
	k.StoodWarm = k.NotThere && k.Verdict.Fails && !l.Elsewhere && !l.Bottled.IsZero() &&
		l.Now.Sub(since).Hours() > shelf.WeakSteepH
	over := func(u time.Time) bool { return !u.IsZero() && l.Now.After(u) }
	if k.BottledAt, k.Stay, k.TooStrong = l.Bottled, l.Stay, l.TooStrong; !l.early() {
		k.InJar = l.InJar
	}
	if !l.Now.Before(l.Started) {
		k.clock = k.clockOf(l)
		k.Since, k.SinceAt = k.clock.since, k.clock.grows.from
	}
	if k.steeped = 0; l.Strained.IsZero() && l.Bottled.IsZero() && l.InJar == "" {
		k.steeped = l.Steeped.By
	}
	k.planned = k.clockOf(l.planned())
	k.bottles(l)
	if len(k.Open) == 0 && l.OpenNow {
		k.OpenedAt = l.Now
	}
	var allIn, allInSafe time.Time
	if l.AllIn != nil {
		all := k.runs(l.AllIn)
		allIn, allInSafe = k.ends(&all)
	}
	k.allInSafe = allInSafe
	// what waits has the last day that any bottle of it has, but where it is doubted to last to that
	if h := earlier(k.clock.latest, k.clock.gone); !k.SinceAt.IsZero() || !k.OpenedAt.IsZero() || over(h) || !sooner(allInSafe, h) {
		k.date(&k.clock, l.Now)
	}
	if told := k.clock.told; k.Since == FromStraining && told != nil {
		if k.SinceAt = l.Strained; told.since == FromAddition && (!k.Untold || k.UntoldTaste) {
			k.Since, k.SinceAt = told.since, told.grows.from // bottling says nothing of when it was mixed
		}
	}
	if l.AllIn != nil && (k.SinceAt.IsZero() || l.Waits) {
		_, logged := k.ends(k.clock.byLog())
		if !k.SinceAt.IsZero() { // what is not in by the log has no taste to lose
			allIn = k.Advised.Until
		}
		if k.SinceAt.IsZero() && k.Safe.Until.IsZero() || sooner(allInSafe, logged) {
			if k.IfMixed, k.IfMixedSafe = allInSafe, allInSafe; sooner(allIn, allInSafe) {
				k.IfMixed = allIn
			}
		}
	}
	k.OverIfMixed = over(k.IfMixedSafe) && !k.SafePast && !l.InTime
	if k.BestKnown && len(k.clock.fades) > 0 {
		f := &k.clock.fades[k.clock.first()]
		if d := f.days.High; !f.run.from.IsZero() && !math.IsInf(d, 1) {
			k.BestEnds = after(f.run.from, d*(1-f.run.spent.By))
		}
	}
	k.AllPast = k.allPast(l.Now)
}

// allPast reports whether every bottle is past its day by what grows.
func (k *Keep) allPast(now time.Time) bool {
	return k.SafePast &&
		!slices.ContainsFunc(k.Lots(), func(x *Lot) bool { return !x.Over(now) })
}

// date sets the days to which the bottle that is spoken of is good.
func (k *Keep) date(c *clock, now time.Time) {
	k.Untold, k.UntoldTaste = false, false
	for _, kept := range []*Kept{&k.Safe, &k.Best, &k.Advised} {
		if kept.Place == "" {
			continue
		}
		kept.Until = k.usable(kept, c, k.OpenedAt)
		if c.told != nil && !k.Untold && sooner(kept.Until, k.usable(kept, c.told, k.OpenedAt)) {
			k.Untold, k.UntoldTaste = true, kept != &k.Safe
		}
	}
	if k.AiredFrom = k.OpenedAt; c.opened.Words == "" || k.Advised.Opened.High != c.opened.Low {
		k.AiredFrom, _, _ = k.aired(&k.Advised, c, k.OpenedAt) // those of the house run from the opening
	}
	from, d, left := k.aired(&k.Advised, c, k.OpenedAt)
	k.byAir = !k.OpenedAt.IsZero() && strings.HasPrefix(k.Verdict.OpenedRule, "air") &&
		k.Advised.Until.Equal(until(asIfFrom(from, d, left), d, false))
	advised, safe := k.Advised.Until, k.Safe.Until
	if told := c.byLog(); told.lacks { // of what may be in first is asked
		advised, safe = k.usable(&k.Advised, told, k.OpenedAt), k.usable(&k.Safe, told, k.OpenedAt)
	}
	over := func(u time.Time) bool { return !u.IsZero() && now.After(u) }
	k.Past, k.SafePast = over(advised), over(safe)
}

// Of is what is said of one open bottle, by its number, as of now; of any other number it is what
// is said of the batch.
func (k *Keep) Of(number int, now time.Time) *Keep {
	i := slices.IndexFunc(k.Open, func(o OpenBottle) bool { return o.Number == number })
	if i < 0 || k.Withheld() || i == 0 && k.Open[i].own == nil {
		return k
	}
	own := *k
	own.alone = true
	own.Open = append([]OpenBottle{k.Open[i]}, slices.Delete(slices.Clone(k.Open), i, i+1)...)
	own.OpenedAt = own.Open[0].At
	if is := own.Open[0].own; is != nil {
		is := is.Apart(k)
		is.Open, is.Rest, is.sealed, is.alone = own.Open, k.Rest, k.sealed, true
		return is
	}
	own.date(&own.Open[0].clock, now)
	own.Stop = own.stop()
	return &own
}

// aired is how long a bottle is good that was opened at a moment, from when, and which part of that was
// left then: no day of a taste lies before what makes it went in, and each state of the drink uses up days
// of its own from the opening on. What is past nothing cures that goes in later, and what makes people ill
// begins in the first state in which it can grow.
func (k *Keep) aired(x *Kept, c *clock, opened time.Time) (from time.Time, d shelf.Days, left float64) {
	opens := func(is *shelf.Keeping) shelf.Days {
		if x == &k.Safe {
			return is.OpenedSound
		}
		return is.Opened
	}
	from, d, left = opened, opens(&x.Keeping), 1
	switch {
	case opened.IsZero():
		return from, d, left
	case x != &k.Safe && k.BestKnown && d.Low == k.Best.Opened.Low && len(c.fades) > 0:
		if in := &c.fades[0].run; in.from.After(opened) {
			from, left = in.from, 1-in.spent.By
		}
		return from, d, left
	}
	fails := false
	begin := func(nowFails bool) {
		if nowFails && !fails {
			left, fails = 1, true
		}
	}
	for _, s := range c.states {
		if !s.To.After(from) {
			continue
		}
		begin(s.Fails)
		days, had := s.To.Sub(from).Hours()/24, opens(&s.Safe).Low
		if days >= left*had {
			return from, shelf.Days{Low: had, Words: "its days"}, left
		}
		from, left = s.To, left-days/had
	}
	begin(k.Verdict.Fails)
	return from, d, left
}

// usable is the day to which a bottle is good by a clock, and that was opened at a moment,
// zero where it is sealed: what comes soonest, the end that the house sets included.
func (k *Keep) usable(x *Kept, c *clock, opened time.Time) (day time.Time) {
	from, d, part := k.aired(x, c, opened)
	taste := x != &k.Safe && k.BestKnown && d.Low == k.Best.Opened.Low
	ends := []time.Time{until(asIfFrom(from, d, part), d, taste), until(opened, c.opened, false)}
	if x != &k.Best {
		ends = append(ends, c.latest, c.gone)
		if !c.waits {
			ends = append(ends, c.grows.until(x.Sound, false))
		}
	}
	if x != &k.Safe {
		ends = append(ends, c.strong)
	}
	if x != &k.Safe && k.BestKnown {
		for i := range c.fades {
			ends = append(ends, c.fades[i].end())
		}
	}
	if c.told != nil {
		ends = append(ends, k.usable(x, c.told, opened))
	}
	for _, t := range ends {
		if !t.IsZero() && (day.IsZero() || t.Before(day)) {
			day = t
		}
	}
	return day
}

// bottles parts those that are open from those that are sealed, each with its own day;
// what is said of the batch is said of the open one that ends first.
func (k *Keep) bottles(l *Log) {
	all := &l.Bottles
	k.Counted = all.Counted
	if all.Emptied != nil {
		k.EmptiedAt = all.Emptied.When
	}
	first := k.clock
	since := func(x *batch.Bottle) clock {
		if x.Bottled == nil || !l.anew(x.Bottled.When) {
			return first
		}
		own := *l
		own.Bottled = x.Bottled.When
		return k.clockOf(&own)
	}
	for i := range all.List {
		switch x := &all.List[i]; {
		case x.Emptied != nil || all.Emptied != nil:
		case x.Opened == nil && x.Bottled == nil: // a later number was spoken of, and nothing of this one
		case x.Opened == nil:
			c := since(x)
			k.lay(&Lot{[]int{x.Number}, k.usable(&k.Advised, &c, time.Time{}),
				k.usable(&k.Safe, &c, time.Time{}), false, &c})
		default:
			o := OpenBottle{Number: x.Number, At: x.Opened.When, clock: since(x)}
			o.Until, o.Safe = k.usable(&k.Advised, &o.clock, o.At), k.usable(&k.Safe, &o.clock, o.At)
			o.Past = !o.Until.IsZero() && l.Now.After(o.Until)
			k.Open = append(k.Open, o)
		}
	}
	if len(k.Rest) > 0 && len(k.Open) == 0 { // of which the first is told
		k.runBy(k.Rest[0])
	}
	sort.SliceStable(k.Open, func(i, j int) bool { return sooner(k.Open[i].Until, k.Open[j].Until) })
	if len(k.Open) > 0 {
		k.OpenedAt = k.Open[0].At
	}
}

// OfBottle reports whether a day to which it is good is one of what is bottled: none is that was over before,
// which is told as what it is, and as no day of a bottle.
func (k *Keep) OfBottle(until time.Time) bool { return until.IsZero() || !until.Before(k.BottledAt) }
