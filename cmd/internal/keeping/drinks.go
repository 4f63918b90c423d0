package keeping

import (
	"slices"
	"sort"
	"time"

	"steepbook/data/library"
	"steepbook/shelf/harm"
)

// gravity is the place of a reason to stop, the gravest first.
func (s Stop) gravity() (n int) {
	for i, x := range [...]Stop{Never, Ask, Sick, Untold, Living, Closed, TooMuch, Gone, ""} {
		if x == s {
			n = i
		}
	}
	return n
}

// States is what is said of one bottle of which each of these was said by all that had been poured into it
// by then, all first; in is when the last of it went in, zero where it is not known into how much. A state
// that ended sound has used up its share of the days, as in a jar: what is poured into it makes it keep as
// what it then is, for what is left. Any other holds to the end: nothing that is poured makes that keep
// better, or warmer. What it holds is in it to the end.
func States(of []*Keep, in []time.Time, now time.Time) *Keep {
	n := 0
	for n+1 < len(of) && of[n+1].moved(in[n]) {
		n++
	}
	chain, held := of[:n+1], of[n+1:]
	if of = chain[:1:1]; len(held) > 0 {
		of = append(of, States(held, in[n+1:], now))
	}
	out := first(of, func(k, x *Keep) bool {
		return colder(&k.Safe, &x.Safe) ||
			k.Safe.AtC == x.Safe.AtC && sooner(k.Safe.Until, x.Safe.Until)
	})
	out.holds(of[0])
	for _, k := range of[1:] { // what holds of it to the end, of a kind of its own
		for _, c := range k.Verdict.Cautions {
			if !slices.ContainsFunc(out.Verdict.Cautions,
				func(x harm.Caution) bool { return x.Kind == c.Kind }) {
				out.Verdict.Cautions = append(out.Verdict.Cautions, c)
			}
		}
	}
	for _, k := range of {
		if out.Advised.Place == "" { // it keeps nowhere
			break
		}
		if sooner(k.Advised.Until, out.Advised.Until) {
			out.byAir = k.byAir
		}
		out.within(k)
		out.Safe.Until = earlier(out.Safe.Until, k.Safe.Until)
		out.tastes(k)
		for i := range out.Open {
			o, x := &out.Open[i], &k.Open[i]
			o.Until, o.Safe, o.Past = earlier(o.Until, x.Until), earlier(o.Safe, x.Safe), o.Past || x.Past
		}
	}
	out.spend(chain, in)
	out.Advised.Until = earlier(out.Advised.Until, out.Safe.Until)
	for n := range out.Open {
		o := &out.Open[n]
		o.Until = earlier(o.Until, o.Safe)
		o.Past = o.Past || !o.Until.IsZero() && now.After(o.Until)
	}
	out.SafePast = !out.Safe.Until.IsZero() && now.After(out.Safe.Until)
	out.AllPast = out.SafePast
	if out.OpenedAt.IsZero() && out.Rest != nil {
		out.Rest = []*Lot{{out.Rest[0].Numbers, out.Advised.Until, out.Safe.Until, false, &out.clock}}
	}
	out.Past = !out.Advised.Until.IsZero() && now.After(out.Advised.Until)
	return out
}

// moved reports whether it was sound when something went in, and nothing in it made ill, so that what it is
// by then counts.
func (k *Keep) moved(in time.Time) bool {
	_, end := k.ends(&k.clock)
	return !in.IsZero() && !k.SinceAt.IsZero() && !k.Verdict.Fails && k.InJar == "" &&
		k.Advised.Place != "" &&
		k.stop() == "" && (end.IsZero() || in.Before(end))
}

// tastes makes its taste end no later than that of another.
func (k *Keep) tastes(x *Keep) {
	if x.BestKnown && (!k.BestKnown || sooner(x.Best.Until, k.Best.Until)) {
		k.Best, k.BestKnown, k.BestEnds = x.Best, true, x.BestEnds
	}
}

// spend takes off the share of its days that each state of a bottle had used up when the next began, the last
// first; its taste is none the younger.
func (k *Keep) spend(of []*Keep, in []time.Time) {
	last := len(of) - 1
	began, end := of[last].SinceAt, time.Time{}
	for i := last; i >= 0; i-- {
		x := of[i]
		_, own := x.ends(&x.clock)
		switch {
		case end.IsZero():
		case x.Verdict.Fails: // what makes ill begins anew
			own = earlier(own, end)
		default:
			left := end.Sub(in[i]).Hours() / end.Sub(began).Hours()
			own = earlier(own, until(asIfFrom(in[i], x.Safe.Sound, left), x.Safe.Sound, false))
		}
		if end = own; i == 0 {
			break
		}
		if k.tastes(x); !x.Advised.Until.Equal(x.Safe.Until) {
			k.Advised.Until = earlier(k.Advised.Until, x.Advised.Until)
		}
		for n := range k.Open {
			if was := &x.Open[n]; !was.Until.Equal(was.Safe) {
				k.Open[n].Until = earlier(k.Open[n].Until, was.Until)
			}
		}
	}
	k.Safe.Until, k.Advised.Until = earlier(k.Safe.Until, end), earlier(k.Advised.Until, end)
	for n := range k.Open {
		o := &k.Open[n]
		o.Until, o.Safe = earlier(o.Until, end), earlier(o.Safe, end)
	}
}

// Together is what is said of a batch of which each of these is said of some of its bottles: it speaks of
// those with the gravest reason to stop, or else that end first, and stands where the one that needs it
// coldest does. sealed is said of those into which nothing was poured.
func Together(of []*Keep, sealed *Keep, now time.Time) *Keep {
	out := first(of, func(k, x *Keep) bool { return sooner(k.Advised.Until, x.Advised.Until) })
	out.Rest, out.sealed, out.in = nil, sealed, parted(of)
	own, others := len(out.Open), []OpenBottle(nil)
	for _, k := range of {
		if out.Advised.Place != "" {
			out.within(k)
		}
		out.with(k)
		if k.LeftOver() {
			out.lay(&Lot{[]int{k.Vessel}, k.Advised.Until, k.Safe.Until, true, &k.clock})
		}
		for _, x := range k.Rest {
			out.lay(&Lot{x.Numbers, x.Until, x.Safe, k.Vessel != 0, x.clock})
		}
		out.AllPast = out.AllPast && k.AllPast
		for i := range k.Open {
			o := k.Open[i]
			if o.own = k.Of(o.Number, now); own > 0 && out.Open[0].Number == k.Open[0].Number {
				out.Open[i].own = o.own
			} else {
				others = append(others, o)
			}
		}
	}
	sort.SliceStable(others, func(i, j int) bool { return sooner(others[i].Until, others[j].Until) })
	out.Open = append(out.Open, others...)
	out.Past = !out.Advised.Until.IsZero() && now.After(out.Advised.Until)
	return out
}

// parted are what some of these hold and others do not, each with whose it is.
func parted(of []*Keep) map[string][]int {
	in := map[string][]int{}
	note := func(what string, vessel int) {
		if list := in[what]; len(list) == 0 || list[len(list)-1] != vessel {
			in[what] = append(list, vessel)
		}
	}
	for _, k := range of {
		for i := range k.Verdict.Cautions {
			note(k.Verdict.Cautions[i].Text, k.Vessel)
		}
		for i := range k.Allergens {
			note(k.Allergens[i].Name, k.Vessel)
		}
	}
	for what, list := range in {
		if len(list) == len(of) {
			delete(in, what)
		}
	}
	return in
}

// HeldBy names those of several drinks, by their Vessel, that alone hold what a caution or an allergen is
// of, by the text of that or its name; none where all do.
func (k *Keep) HeldBy(what string) []int { return k.in[what] }

// LeftOver reports whether it speaks of what was left over.
func (k *Keep) LeftOver() bool { return k.Vessel < 0 }

// SpeaksOf reports whether it speaks of the same drink as another that it was put together from.
func (k *Keep) SpeaksOf(of *Keep) bool { return k.from == of || of.from != nil && k.from == of.from }

// Apart is what is said of one drink of a batch alone, of all that was seen of that batch.
func (k *Keep) Apart(of *Keep) *Keep {
	own := *k
	own.Open, own.Outcomes = append([]OpenBottle(nil), k.Open...), of.Outcomes
	own.Withhold()
	return &own
}

// Closed is what is said of a bottle of it that nobody opened, or of what was left over; as is its lot of all
// that there is, nil where it is in none.
func (k *Keep) Closed(number int, as *Lot, now time.Time) *Keep {
	if k.Withheld() {
		return k
	}
	own := *k
	own.Open, own.OpenedAt = nil, time.Time{}
	if x := k.lot(number); x != nil {
		own.runBy(x)
	}
	own.date(&own.clock, now)
	if as != nil { // what it was before counts there
		own.Safe.Until = earlier(own.Safe.Until, as.Safe)
		own.Advised.Until = earlier(own.Advised.Until, as.Until)
		own.SafePast, own.Past = own.SafePast || as.Over(now), own.Past || as.Past(now)
	}
	own.AllPast = own.SafePast
	own.Stop = own.stop()
	return &own
}

// Held is what is said of a bottle that holds something, own being what is said of its drink: of what must
// not be kept in any of the others it is the same.
func (k *Keep) Held(own *Keep, number int, now time.Time) *Keep {
	if k.Withheld() {
		return k
	}
	for i := range k.Open {
		if k.Open[i].Number == number {
			return k.Of(number, now)
		}
	}
	return own.Closed(number, k.lot(number), now)
}

// Tells reports whether its figures are those of another that it was put together from.
func (k *Keep) Tells(of *Keep) bool { return k.from == of }

// first is a copy of the one with the gravest reason to stop, of these of one that keeps nowhere, else of
// the one that comes before the others.
func first(of []*Keep, before func(k, x *Keep) bool) *Keep {
	lead := of[0]
	for _, k := range of[1:] {
		grave, than := k.stop().gravity(), lead.stop().gravity()
		nowhere, same := k.Advised.Place == "", (k.Advised.Place == "") == (lead.Advised.Place == "")
		if grave < than || grave == than && (nowhere && !same || same && before(k, lead)) {
			lead = k
		}
	}
	out := *lead
	if out.Open = append([]OpenBottle(nil), lead.Open...); out.from == nil {
		out.from = lead
	}
	out.holds(lead)
	return &out
}

// lists are what it holds, by name.
func (k *Keep) lists() []*[]string {
	return []*[]string{&k.Gas, &k.MustNot, &k.MayBe, &k.Unknown, &k.AsFresh, &k.Meant, &k.FatOn, &k.House}
}

// holds makes it hold what another does.
func (k *Keep) holds(x *Keep) {
	from := x.lists()
	for i, list := range k.lists() {
		*list = slices.Clone(*from[i])
	}
	k.Allergens, k.Over = append([]library.Allergen(nil), x.Allergens...), append([]harm.Caution(nil),
		x.Over...)
	k.Verdict.Cautions = append([]harm.Caution(nil), x.Verdict.Cautions...)
}

// within has it stand as cold as another, and end no later.
func (k *Keep) within(x *Keep) {
	if x.Advised.Place != "" {
		switch to, of := &k.Advised, &x.Advised; {
		case colder(of, to):
			to.Place, to.AtC, to.ForTaste = of.Place, of.AtC, of.ForTaste
		case of.AtC == to.AtC: // what has to be there decides
			to.ForTaste = to.ForTaste && of.ForTaste
		}
	}
	k.Advised.Until = earlier(k.Advised.Until, x.Advised.Until)
}

// with adds what another drink holds.
func (k *Keep) with(x *Keep) {
	k.StoodWarm = k.StoodWarm || x.StoodWarm
	k.Stay.with(&x.Stay)
	if k.Unjudged == "" {
		k.Unjudged = x.Unjudged
	}
	from := x.lists()
	for i, list := range k.lists() {
		for _, text := range *from[i] {
			if !slices.Contains(*list, text) {
				*list = append(*list, text)
			}
		}
	}
allergens:
	for _, al := range x.Allergens {
		for _, y := range k.Allergens {
			if y.Name == al.Name {
				continue allergens
			}
		}
		k.Allergens = append(k.Allergens, al)
	}
	k.Over = withCautions(k.Over, x.Over)
	k.Verdict.Cautions = withCautions(k.Verdict.Cautions, x.Verdict.Cautions)
	harm.GravestFirst(k.Verdict.Cautions)
}

// withCautions adds those that are not there yet.
func withCautions(list, more []harm.Caution) []harm.Caution {
others:
	for i := range more {
		for j := range list {
			if list[j].Kind == more[i].Kind && list[j].Text == more[i].Text {
				continue others
			}
		}
		list = append(list, more[i])
	}
	return list
}

// colder reports whether a place is colder than another; nowhere is colder than any.
func colder(x, than *Kept) bool {
	if (x.Place == "") != (than.Place == "") {
		return x.Place == ""
	}
	return x.AtC < than.AtC
}

// sooner reports whether an end comes before another; a zero one never comes.
func sooner(x, than time.Time) bool { return !x.IsZero() && (than.IsZero() || x.Before(than)) }

// earlier is the end that comes sooner.
func earlier(x, y time.Time) time.Time {
	if sooner(y, x) {
		return y
	}
	return x
}
