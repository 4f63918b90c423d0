package keeping

import (
	"cmp"
	"math"
	"slices"
	"time"

	"steepbook/data/batch"
	"steepbook/shelf"
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
	slices.SortStableFunc(out, func(x, y BottleScore) int {
		return cmp.Compare(x.Days, y.Days)
	})
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
	Cause shelf.Cause
	Too   *shelf.Cause
}

// Sooner reports whether it showed before the days that keep gives were over.
func (o *Outcome) Sooner() bool { return o.Days < o.Said.Low }

// Seen reads the notes by an hour for signs of what is in the bottle.
func (k *Keep) Seen(b *batch.Batch, nowH float64, is shelf.Bottle) {
	for _, n := range b.Notes {
		if sign, _ := shelf.IsSign(n.What); n.Hours > nowH+1e-6 || !sign {
			continue
		}
		causes := shelf.Sign(n.What, is)
		counts := !k.SinceAt.IsZero() && k.Safe.Place != "" && !n.When.Before(k.SinceAt)
		if !counts {
			if causes[0].Named() { // of a jar, and of what has no days, too
				k.Outcomes = append(k.Outcomes, Outcome{What: n.What, At: n.When, Cause: causes[0]})
			}
			continue
		}
		o := Outcome{What: n.What, At: n.When, Days: n.When.Sub(k.SinceAt).Hours() / 24, Said: k.Safe.Sealed,
			Cause: causes[0]}
		if len(causes) > 1 && causes[1].Poison() {
			o.Too = &causes[1]
		}
		for _, x := range b.Bottles(n.Hours).List {
			if days := n.When.Sub(openedAt(&x)).Hours() / 24; x.Opened != nil && x.Emptied == nil &&
				(!o.Opened || days > o.Days) {
				o.Days, o.Opened, o.Said = days, true, k.Safe.Opened
			}
		}
		k.Outcomes = append(k.Outcomes, o)
	}
	slices.SortStableFunc(k.Outcomes, func(x, y Outcome) int { return x.At.Compare(y.At) })
}

// Alive is the last sign that was noted of something that may live in it, nil where none
// was, or where all of it is gone: nothing is drunk of it until it is known what that is.
func (k *Keep) Alive() *Outcome {
	for i := len(k.Outcomes) - 1; i >= 0 && k.EmptiedAt.IsZero(); i-- {
		if k.Outcomes[i].Cause.ThrowAway {
			return &k.Outcomes[i]
		}
	}
	return nil
}

func openedAt(x *batch.Bottle) time.Time {
	if x.Opened == nil {
		return time.Time{}
	}
	return x.Opened.When
}
