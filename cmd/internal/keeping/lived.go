package keeping

import (
	"math"
	"sort"
	"time"

	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/remark"
)

// BottleScore is a score of the bottle: when, in days since the days of its keeping run,
// and how strong; thinned samples are left out.
type BottleScore struct {
	Days, Score float64
	Taster      string
}

// Scores are the scores of a taste in the bottle by an hour, in the order of time.
func (k *Keep) Scores(b *batch.Batch, nowH float64, name string) []BottleScore {
	var out []BottleScore
	for i := range b.Tastings {
		t := &b.Tastings[i]
		if !t.By(nowH) || !b.OfBottle(t) || t.SampleOther > 0 || k.SinceAt.IsZero() {
			continue
		}
		for _, s := range t.Scores {
			if s.Name == name {
				out = append(out, BottleScore{t.When.Sub(k.SinceAt).Hours() / 24, s.Value, t.Taster})
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Days < out[j].Days })
	return out
}

// Faded is how a taste of the bottle held by the maker's own scores, beside what was to be
// expected.
type Faded struct {
	Of          string
	First, Last BottleScore
	// NoticedD is the first day on which a quarter or more of the first score was gone, and
	// HeldD the last one before it on which it was not; NoticedD is +Inf where it still
	// holds.
	HeldD, NoticedD float64
	Expected        shelf.Fade
}

// Share is what is left of the first score.
func (f *Faded) Share(s BottleScore) float64 { return s.Score / f.First.Score }

// Faded are those of the tastes that fade that were scored twice or more in the bottle.
func (k *Keep) Faded(b *batch.Batch, nowH float64, fades []shelf.Fade) (list []Faded) {
	for _, fade := range fades {
		if !fade.Known {
			continue
		}
		for _, name := range fade.Of {
			scores := k.Scores(b, nowH, name)
			if len(scores) < 2 || scores[0].Score <= 0 {
				continue
			}
			f := Faded{Of: name, First: scores[0], Last: scores[len(scores)-1], HeldD: scores[0].Days,
				NoticedD: math.Inf(1), Expected: fade}
			for _, s := range scores[1:] {
				if f.Share(s) <= shelf.Noticed {
					f.NoticedD = s.Days
					break
				}
				f.HeldD = s.Days
			}
			list = append(list, f)
		}
	}
	return list
}

// Outcome is a sign that was seen, beside what keep says of that day.
type Outcome struct {
	What string
	At   time.Time
	// Days since the bottle was closed, or opened where one was open: how long it was to
	// hold is Said, which has no words where no days ran.
	Days   float64
	Opened bool
	Said   shelf.Days
	// Cause is the likeliest, Too what else the drink may hold, nil where nothing worse.
	Cause remark.Cause
	Too   *remark.Cause
	// Bottle is the one it was seen in, 0 where the note names none: then it is of the liquid.
	// Gone: that one is empty.
	Bottle int
	Gone   bool
	Alone  bool // that bottle held another drink than the others
}

// Stands reports whether it forbids what is left: something may live in it. With the one
// bottle it was seen in that is out of the house, but what ferments in one presses on the
// closures of its sisters, which hold the same.
func (o *Outcome) Stands() bool {
	return o.Cause.ThrowAway && (!o.Gone || o.Cause.Handling != "" && !o.Alone)
}

// Sooner reports whether it showed before the days that keep gives were over.
func (o *Outcome) Sooner() bool { return o.Days < o.Said.Low }

// Seen reads the notes and the words of tastings by an hour for signs of what may live in it; behind gives
// the causes of a sign in the liquid of an hour of a bottle, 0: of any, and of what is said of the drink
// of a bottle, 0: of those into which nothing was poured. From the moment of that all days are counted,
// for it stays where it is whatever is poured or emptied later.
func (k *Keep) Seen(b *batch.Batch, nowH float64, of func(number int) *Keep,
	behind func(sign string, hours float64, number int) []remark.Cause,
) {
	base := of(0)
	for _, n := range b.Remarks() {
		if sign, _ := remark.IsSign(n.What, b.Holds()...); n.Hours > nowH+1e-6 || !sign {
			continue
		}
		number, list := n.Bottle(), b.Bottles(nowH).List
		if number > len(list) {
			number = 0
		}
		own, causes := k, behind(n.What, n.Hours, number)
		if number > 0 {
			own = of(number)
		}
		counts := !base.SinceAt.IsZero() && own.Safe.Place != "" && !n.When.Before(base.SinceAt)
		// that what poisons had its time in a jar is no cause of what is seen, and told by itself
		if !counts {
			causes = quantity.Those(causes, func(c *remark.Cause) bool { return !c.Poison() })
		}
		o := Outcome{What: n.What, At: n.When, Cause: causes[0]}
		if number > 0 {
			o.Bottle, o.Gone, o.Alone = number, list[number-1].Emptied != nil, own != base
		}
		if counts {
			own.days(&o, base.SinceAt, b.Bottles(n.Hours).List)
			if len(causes) > 1 && causes[1].Poison() {
				o.Too = &causes[1]
			}
		}
		k.Outcomes = append(k.Outcomes, o)
	}
	sort.SliceStable(k.Outcomes, func(i, j int) bool { return k.Outcomes[i].At.Before(k.Outcomes[j].At) })
}

// days counts the days of what was seen, since a moment: of its own bottle, or else of the one that was open
// the longest then.
func (k *Keep) days(o *Outcome, since time.Time, list []batch.Bottle) {
	o.Days, o.Said = o.At.Sub(since).Hours()/24, k.Safe.Sealed
	for i := range list {
		x := &list[i]
		if x.Opened == nil || x.Emptied != nil && o.Bottle == 0 || o.Bottle > 0 && o.Bottle != x.Number {
			continue
		}
		if days := o.At.Sub(x.Opened.When).Hours() / 24; !o.Opened || days > o.Days {
			o.Days, o.Opened, o.Said = days, true, k.Safe.Opened
		}
	}
}

// Condemned is the last sign by which nothing was to be drunk of a bottle that is empty, or of a batch of
// which nothing is left; nil where none was, or where there still is some.
func (k *Keep) Condemned(number int) *Outcome {
	for i := len(k.Outcomes) - 1; i >= 0; i-- {
		o := &k.Outcomes[i]
		own := o.Gone && o.Bottle == number && o.Cause.ThrowAway
		if own || o.Stands() && !k.EmptiedAt.IsZero() {
			return o
		}
	}
	return nil
}

// Alive is the last sign that was noted of something that may live in it, nil where none
// was, or where all of it is gone: nothing is drunk of it until it is known what that is.
func (k *Keep) Alive() *Outcome {
	for i := len(k.Outcomes) - 1; i >= 0 && k.EmptiedAt.IsZero(); i-- {
		if k.Outcomes[i].Stands() {
			return &k.Outcomes[i]
		}
	}
	return nil
}
