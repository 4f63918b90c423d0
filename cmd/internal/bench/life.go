package bench

import (
	"cmp"
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/shelf"
)

// SoFar is what is in by the log, where some of what was planned is still to come; nil
// where nothing is, or where nobody logs what goes in.
func (a *Assessment) SoFar() *recipe.Blend {
	if !a.Recipe.Split || len(a.Recipe.ToCome) == 0 {
		return nil
	}
	b := *a.Batch
	b.Measured = batch.Measured{StrainedML: b.Readings().StrainedML} // the rest is of the finished drink
	b.Bottlings = nil
	blend, err := recipe.NewBlend(&b, a.Recipe.SoFar())
	if err != nil || !blend.Have() {
		return nil
	}
	return &blend
}

// BottleScore is a score of the bottle: when, in days since the days of its keeping run,
// and how strong; thinned samples are left out.
type BottleScore struct {
	Days, Score float64
	Taster      string
}

// BottleScores are the scores of a taste in the bottle by now, in the order of time.
func (a *Assessment) BottleScores(name string) []BottleScore {
	a.Judge()
	var out []BottleScore
	for i := range a.Batch.Tastings {
		t := &a.Batch.Tastings[i]
		if !t.By(a.ElapsedH) || !a.Batch.OfBottle(t) || t.SampleOther > 0 || a.Keep.SinceAt.IsZero() {
			continue
		}
		for _, s := range t.Scores {
			if s.Name == name {
				out = append(out, BottleScore{t.When.Sub(a.Keep.SinceAt).Hours() / 24, s.Value, t.Taster})
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

// Faded are the tastes that fade and that were scored twice or more in the bottle.
func (a *Assessment) Faded() (list []Faded) {
	for _, fade := range a.Fades() {
		if !fade.Known {
			continue
		}
		for _, name := range fade.Of {
			scores := a.BottleScores(name)
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
	// hold is Said.
	Days   float64
	Opened bool
	Said   shelf.Days
	// Cause is the likeliest, Too what else the drink may hold, nil where nothing worse.
	Cause shelf.Cause
	Too   *shelf.Cause
}

// Sooner reports whether it showed before the days that keep gives were over.
func (o *Outcome) Sooner() bool { return o.Days < o.Said.Low }

// Outcomes are the notes by now that name a sign of what was bottled, strained or mixed, in
// the order of time.
func (a *Assessment) Outcomes() (list []Outcome) {
	a.Judge()
	k := a.Keep
	if k.SinceAt.IsZero() || k.Safe.Place == "" {
		return nil
	}
	for _, n := range a.Batch.Notes {
		if n.Hours > a.ElapsedH+1e-6 || n.When.Before(k.SinceAt) || !shelf.IsSign(n.What) {
			continue
		}
		o := Outcome{What: n.What, At: n.When, Days: n.When.Sub(k.SinceAt).Hours() / 24, Said: k.Safe.Sealed,
			Cause: a.Sign(n.What)[0]}
		if causes := a.Sign(n.What); len(causes) > 1 && causes[1].Poison() {
			o.Too = &causes[1]
		}
		for _, x := range a.Batch.Bottles(n.Hours).List {
			if days := n.When.Sub(openedAt(&x)).Hours() / 24; x.Opened != nil && x.Emptied == nil &&
				(!o.Opened || days > o.Days) {
				o.Days, o.Opened, o.Said = days, true, k.Safe.Opened
			}
		}
		list = append(list, o)
	}
	slices.SortStableFunc(list, func(x, y Outcome) int { return x.At.Compare(y.At) })
	return list
}

// Alive is the last sign that was noted of something that may live in it, nil where none
// was, or where all of it is gone: nothing is drunk of it until it is known what that is.
func (a *Assessment) Alive() *Outcome {
	list := a.Outcomes()
	for i := len(list) - 1; i >= 0 && a.Keep.EmptiedAt.IsZero(); i-- {
		if list[i].Cause.ThrowAway {
			return &list[i]
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

// Step is a score of the sweet or the sour as it is adjusted: the one before it, and what
// went in between.
type Step struct {
	Name      string
	Was, Is   float64
	Tasted    bool // it was tasted before
	Additions []batch.Added
}

// Steps are those of the scores of the last tasting that speak of no flavour of the jar.
func (a *Assessment) Steps() (list []Step) {
	log := a.Batch.Tastings
	if len(log) == 0 {
		return nil
	}
	last := &log[len(log)-1]
	for _, s := range last.Scores {
		if a.Curve(s.Name) != nil {
			continue
		}
		step := Step{Name: s.Name, Is: s.Value}
		from := math.Inf(-1)
		for i := range log[:len(log)-1] {
			for _, old := range log[i].Scores {
				if old.Name == s.Name && log[i].Hours >= from && log[i].Hours <= last.Hours {
					step.Was, step.Tasted, from = old.Value, true, log[i].Hours
				}
			}
		}
		for _, x := range a.Batch.Additives {
			if x.Hours > from && x.Hours <= last.Hours && step.Tasted {
				step.Additions = append(step.Additions, x)
			}
		}
		list = append(list, step)
	}
	return list
}
