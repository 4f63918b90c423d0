// Package due says how far a batch of a book has come and what is to be done next, the
// most urgent first.
package due

import (
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
)

// Stage is how far a batch has come.
type Stage string

// The stages. Where no line says that it was bottled, it counts so once something of the
// finished drink is measured, because that is when it is done. Finished is what is all
// gone: nothing is due, and it still teaches.
const (
	Planned  Stage = "planned"
	Steeping Stage = "steeping"
	Strained Stage = "strained"
	Bottled  Stage = "bottled"
	Finished Stage = "finished"
)

// Kind says what is to be done.
type Kind string

// What can be due.
const (
	Nothing Kind = "nothing"
	Start   Kind = "start"
	PutIn   Kind = "put in"
	Taste   Kind = "taste"
	Pull    Kind = "pull"
	Strain  Kind = "strain" // what can only be strained, or all that is in
	Spent   Kind = "spent"  // nothing more comes: strain it, or add more
	Bottle  Kind = "bottle"
	Use     Kind = "use"     // before it spoils
	AtBest  Kind = "at best" // flavour, not microbes
	Discard Kind = "do not keep"
)

// Act is the next thing to do for a batch.
type Act struct {
	Kind Kind
	// What names the flavours it is about.
	What []string
	// At is when, zero for what has no hour; DoubtH is half its range in hours.
	At      time.Time
	DoubtH  float64
	Overdue bool
}

// Glance is one batch of a book in a row.
type Glance struct {
	Assessment *bench.Assessment
	Stage      Stage
	// StrainedAt is when the last botanical came out, zero before that.
	StrainedAt time.Time
	Due        Act
	// CopyOf is the file that this one is a backup of, empty for a batch of its
	// own: see Book.Copies.
	CopyOf string
	// Until is the day to which it keeps, zero where there is none; Flavour
	// means that its taste ends it, not microbes.
	Until   time.Time
	Flavour bool
}

// Look gives a batch in a row. Only what still steeps has its curves fitted.
func Look(a *bench.Assessment) (Glance, error) {
	a.Judge()
	g := Glance{Assessment: a, Stage: Planned}
	strained, out := a.Strained()
	switch {
	case a.ElapsedH < 0:
	case a.Bottles().Emptied != nil:
		g.Stage = Finished
	case a.Keep.Since == "bottled":
		g.Stage = Bottled
	case !out:
		g.Stage = Steeping
	case a.Batch.Measured.Finished():
		g.Stage = Bottled
	default:
		g.Stage = Strained
	}
	if out && a.ElapsedH >= 0 {
		g.StrainedAt = a.Batch.At(strained)
	}
	if k := a.Keep; k.SinceAt != (time.Time{}) && g.Stage != Finished {
		g.Until = k.Advised.Until
		g.Flavour = !g.Until.IsZero() && !g.Until.Equal(k.Safe.Until)
	}
	return g, g.due()
}

func (g *Glance) due() error {
	a := g.Assessment
	now := a.Now
	switch {
	case g.Stage == Finished:
		g.Due = Act{Kind: Nothing}
	case a.MustNotKeep() || g.Stage == Steeping && a.Unfit():
		g.Due = Act{Kind: Discard, At: now, Overdue: true}
	case g.Stage == Planned:
		g.Due = Act{Kind: Start, At: a.Batch.Started}
	case g.Stage == Steeping:
		if err := a.Steep(); err != nil {
			return err
		}
		g.Due = nextAct(a)
	case a.Keep.SafePast:
		g.Due = Act{Kind: Use, At: a.Keep.Safe.Until, Overdue: true}
	case g.Stage == Strained:
		g.Due = Act{Kind: Bottle}
	case !g.Until.IsZero() && g.Flavour:
		g.Due = Act{Kind: AtBest, At: g.Until}
	case !g.Until.IsZero():
		g.Due = Act{Kind: Use, At: g.Until}
	default:
		g.Due = Act{Kind: Nothing}
	}
	return nil
}

// nextAct is the first thing to do with a jar that is steeping.
func nextAct(a *bench.Assessment) Act {
	var acts []Act
	var spent []string
	now := a.Now
	at := func(h float64) time.Time { return a.Batch.At(h) }
	for i := range a.Curves {
		c := &a.Curves[i]
		o := &c.Order
		switch {
		case c.Watch || o.Do == jar.Out || o.Do == jar.Stays:
		case o.Do == jar.Nothing:
			spent = append(spent, c.Name)
		case c.JarH <= 0:
			acts = append(acts, Act{Kind: PutIn, What: []string{c.Name}, At: at(c.InH)})
		case o.Do == jar.Pull || o.Do == jar.Strain:
			kind := Pull
			if o.Do == jar.Strain {
				kind = Strain
			}
			acts = append(acts, Act{Kind: kind, What: []string{c.Name}, At: since(a, o.UntilH),
				Overdue: o.Overdue})
		case o.Do == jar.Leave:
			acts = append(acts, Act{Kind: Pull, What: []string{c.Name}, At: at(o.ByH),
				DoubtH: (o.UntilH - o.FromH) / 2})
		}
	}
	if s := a.NextSitting(); s != nil {
		d := Act{Kind: Taste, What: s.Flavours, At: at(math.Max(s.AtH, a.ElapsedH)), DoubtH: s.DoubtH}
		if late := overdue(a, s.Flavours); len(late) > 0 {
			d.What, d.Overdue = late, true
		}
		acts = append(acts, d)
	}
	if len(acts) == 0 && len(spent) > 0 {
		return Act{Kind: Spent, What: spent}
	}
	if len(acts) == 0 {
		return Act{Kind: Nothing}
	}
	slices.SortStableFunc(acts, compareDue)
	first := acts[0]
	if first.Kind == Pull || first.Kind == Strain {
		// All that comes out of one jar by now is one errand.
		for _, d := range acts[1:] {
			if d.Kind == first.Kind && !d.At.After(now) && !first.At.After(now) {
				first.What = append(first.What, d.What...)
				first.Overdue = first.Overdue || d.Overdue
			}
		}
	}
	return first
}

// overdue are those of some flavours whose order is overdue.
func overdue(a *bench.Assessment, names []string) []string {
	var late []string
	for i := range a.Curves {
		if c := &a.Curves[i]; c.Order.Overdue && slices.Contains(names, c.Name) {
			late = append(late, c.Name)
		}
	}
	return late
}

// since is the moment from which something is overdue, no later than now: where
// no hour was named it is the present one.
func since(a *bench.Assessment, hours float64) time.Time {
	if !(hours < a.ElapsedH) {
		return a.Now
	}
	return a.Batch.At(math.Max(hours, 0))
}

// compareDue orders what is overdue first, then by the hour, then what has no
// hour: a bottle to fill before nothing at all.
func compareDue(x, y Act) int {
	rank := func(d Act) int {
		switch {
		case d.Overdue:
			return 0
		case d.Kind == AtBest || d.Kind == Use:
			return 3 // a date to keep, nothing to do
		case !d.At.IsZero():
			return 1
		case d.Kind != Nothing:
			return 2
		}
		return 4
	}
	if d := rank(x) - rank(y); d != 0 {
		return d
	}
	return x.At.Compare(y.At)
}

// SortByDue puts the batch that wants something first on top; of equals the one
// started first, then by name.
func SortByDue(list []Glance) {
	slices.SortStableFunc(list, func(x, y Glance) int {
		if d := compareDue(x.Due, y.Due); d != 0 {
			return d
		}
		if d := x.Assessment.Batch.Started.Compare(y.Assessment.Batch.Started); d != 0 {
			return d
		}
		return strings.Compare(x.Assessment.Batch.Name, y.Assessment.Batch.Name)
	})
}
