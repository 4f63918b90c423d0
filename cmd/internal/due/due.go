// Package due says how far a batch of a book has come and what is to be done next, the
// most urgent first.
package due

import (
	"cmp"
	"math"
	"path/filepath"
	"slices"
	"sort"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/steeping"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
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
	Nothing  Kind = "nothing"
	Start    Kind = "start"
	PutIn    Kind = "put in"
	Taste    Kind = "taste"
	Pull     Kind = "pull"
	Strain   Kind = "strain"    // what can only be strained, or all that is in
	StrainBy Kind = "strain by" // the jar may stand no longer
	Spent    Kind = "spent"     // nothing more comes: strain it, or add more
	Add      Kind = "add"       // what is still to go in, before it is bottled
	Stand    Kind = "stand"     // raw egg in spirit alone, and nothing else goes in before At
	Bottle   Kind = "bottle"
	Use      Kind = "use"      // before it spoils
	AtBest   Kind = "at best"  // flavour, not microbes
	Lift     Kind = "lift"     // fat that may be in what is bottled
	Move     Kind = "move"     // to where it keeps
	Thin     Kind = "thin"     // a glass of it is likely over a limit
	TakeOut  Kind = "take out" // what lies in it, by its last day or past it
	Measure  Kind = "measure"  // a poison, before any is served: what gives it lay in it for too long
	Discard  Kind = "do not keep"
	Rested   Kind = "rested" // it has come together, and can be judged
	Ready    Kind = "ready"  // the day that was asked for
)

// Act is the next thing to do for a batch.
type Act struct {
	Kind Kind
	// What names the flavours it is about.
	What []string
	// At is when, zero for what has no hour; DoubtH is half its range in hours.
	At           time.Time
	DoubtH       float64
	Now, Overdue bool
	// By: At is the last day for it, and sooner is as well.
	By bool
	// DueAt is when a tasting was due, or will be, whenever it is asked: of what waits for a rested tongue
	// when that is. After is what is tasted last at a sitting that is due now, where this waits for the
	// one behind it, an hour later.
	DueAt time.Time
	After string
	// LateAt is to when a tasting may wait with nothing lost by it; zero where that is DueAt.
	LateAt time.Time
	// Alone: it is added by itself, before anything else; Rest: to some of it that is in; Apart: raw egg of
	// it stands in spirit of its own first. Curds is what is left to be done with its own curds before what is
	// bottled is, Fat what comes off it before.
	Alone, Rest, Apart bool
	Curds              keeping.Curds
	Fat                []string
	// Place is where the liquor is to stand until that is done, empty where it may as it stood; There: it has had to
	// since a day before.
	Place shelf.Place
	There bool
	// Ask: had it gone in since straining all would be over, so first is asked whether it has; that is
	// never late.
	Ask bool
	// Again: it is for a second score of what was tasted last.
	Again bool
	// Night is what the night does to its hour, where it is that of one of its flavours.
	Night jar.Night
	// OwnH is the clock of the thing itself, in hours: how long it steeps, or keeps. Of
	// what is overdue that of the shortest goes first, for an hour more does most to it: a
	// tea that is two minutes late before a walnut that is four months late.
	OwnH float64
	// of are the acts that are done as this one, a flavour each, where it is more than one.
	of []Act
}

// Glance is one batch of a book in a row.
type Glance struct {
	Assessment *bench.Assessment
	Stage      Stage
	// StrainedAt is when the last botanical came out, zero before that.
	StrainedAt time.Time
	Due        Act
	// Acts are all that is to be done with a jar that is steeping, Due before the others.
	Acts []Act
	// CopyOf is the file that this one is a backup of, empty for a batch of its
	// own: see Book.Copies.
	CopyOf string
	// ID is by which calendars know it: that of its file, its own where another jar keeps that.
	ID string
	// Namesake: another batch of the book has its name, and only their files tell them apart.
	Namesake bool
	// Until is the day to which it keeps, zero where there is none; Flavour
	// means that its taste ends it, not microbes.
	Until   time.Time
	Flavour bool
	// Aim is how it stands to the day that it is to be ready by; nil where it has none to
	// come, or must not be drunk anyway.
	Aim *Aim
}

// Title is what a batch is called in a book: by its name, with its file where that is another's
// name too, and of which file it is a copy.
func (g *Glance) Title() string {
	switch b := g.Assessment.Batch; {
	case g.CopyOf != "":
		return b.Name + " (twin of " + g.CopyOf + ")"
	case g.Namesake:
		return b.Name + " (" + filepath.Base(b.File) + ")"
	default:
		return b.Name
	}
}

// Look gives a batch in a row. Only what still steeps has its curves fitted, where the steep
// was asked about.
func Look(a *bench.Assessment) (Glance, error) {
	g := begun(a)
	if err := g.due(); err != nil {
		return g, err
	}
	err := g.aim()
	g.when()
	return g, err
}

// begun is how far a batch has come.
func begun(a *bench.Assessment) Glance {
	a.Judge()
	g := Glance{Assessment: a, ID: a.Batch.ID, Stage: Planned}
	strained, out := a.Strained()
	switch {
	case a.ElapsedH < 0:
	case a.Bottles().Emptied != nil:
		g.Stage = Finished
	case !a.Keep.BottledAt.IsZero():
		g.Stage = Bottled
	case !out:
		g.Stage = Steeping
	case a.Batch.ReadWhole():
		g.Stage = Bottled
	default:
		g.Stage = Strained
	}
	if out && a.ElapsedH >= 0 {
		g.StrainedAt = a.Batch.At(strained)
	}
	if k := a.Keep; g.Stage != Finished {
		g.Until = k.Advised.Until
		g.Flavour = !g.Until.IsZero() && k.TasteFirst()
	}
	return g
}

// discard reports that nothing is to be done with it but to throw it away, or to find out.
func (g *Glance) discard() bool {
	a := g.Assessment
	return a.MustNotKeep() || g.Stage == Steeping && a.Unfit() || a.Keep.Alive() != nil
}

func (g *Glance) due() error {
	a := g.Assessment
	now, past := a.Now, a.Keep.SafePast
	switch {
	case g.Stage == Finished:
		g.Due = Act{Kind: Nothing}
	case g.discard():
		g.Due = Act{Kind: Discard, At: now, Overdue: true}
	case g.Stage == Planned:
		g.Due = Act{Kind: Start, At: a.Batch.Started}
	case len(a.Keep.Late) > 0 && !past:
		g.Due = Act{Kind: TakeOut, What: a.Keep.Late, At: now, Overdue: true}
		g.Acts = []Act{g.Due}
	case g.Stage == Steeping:
		g.Due = Act{Kind: Nothing}
		if a.KeepingOnly() {
			if a.JarLate() {
				g.Due = Act{Kind: StrainBy, At: a.Batch.At(a.JarEnd().H), Overdue: true}
			}
			return nil
		}
		if err := a.Steep(); err != nil {
			return err
		}
		if g.Acts = Acts(a); allStay(a) {
			next := afterJar(a)
			if end := a.JarEnd(); end.H > 0 && next.At.IsZero() {
				next.At, next.By, next.Overdue = a.Batch.At(end.H), true, a.JarLate()
			}
			g.Acts = append(g.Acts, next)
		}
		if len(g.Acts) > 0 {
			g.Due = g.Acts[0]
		}
	case past:
		g.Due = Act{Kind: Use, At: a.Keep.Safe.Until, Overdue: true,
			OwnH: a.Keep.Safe.Until.Sub(cmp.Or(a.Keep.SinceAt, a.Batch.Started)).Hours()}
	case a.Keep.Misplaced() && (g.Stage == Bottled || len(a.Recipe.ToCome) == 0):
		g.Due = Act{Kind: Move, What: []string{a.Keep.Advises()}, At: now, Overdue: true}
	case len(a.Keep.Lain()) > 0:
		g.Due = Act{Kind: Measure, What: a.Keep.Lain(), At: now, Overdue: true}
	case g.Stage == Bottled && len(a.FatToLift()) > 0:
		g.Due = Act{Kind: Lift, What: a.FatToLift(), At: g.Until, By: true, Now: true}
	case g.Stage == Bottled && len(a.Keep.Thin()) > 0:
		g.Due = Act{Kind: Thin, What: a.Keep.Thin(), At: now, Overdue: true}
	case g.Stage == Strained && len(a.Keep.Stronger(now)) > 0:
		g.Due = g.ends(Act{At: a.Keep.TooStrong.OutBy()})
	case g.Stage == Strained: // whatever its days are: with work to do it is in no other row
		g.Due = afterJar(a)
		g.stands(&g.Due)
	case g.toJudge():
		g.Due = Act{Kind: Rested, Now: true}
		g.Due.At, _ = a.Rested()
	case !g.Until.IsZero() && g.Flavour:
		g.Due = g.ends(Act{Kind: AtBest, At: g.Until})
	case !g.Until.IsZero():
		g.Due = g.ends(Act{Kind: Use, At: g.Until})
	default:
		g.Due = Act{Kind: Nothing}
	}
	return nil
}

// ends is what is to be done by the last day of a bottle: where something in it ends it, to take that out.
func (g *Glance) ends(d Act) Act {
	if s := g.Assessment.Keep.ComesOutBy(d.At); s != nil {
		now := g.Assessment.Now
		d.Kind, d.What, d.By, d.Overdue = TakeOut, s.Due(now).Names, true, now.After(d.At)
	}
	return d
}

// MustAct reports whether what is to be done next with it is overdue, that it must not be
// drunk as it stands included: the status of every answer about a batch, and its mark in the book. Of a
// tasting or a pull only an answer about the steep knows: no other fits curves.
func MustAct(a *bench.Assessment) bool {
	g := begun(a)
	return g.due() == nil && g.MustAct()
}

// MustAct is the same of a batch in a row.
func (g *Glance) MustAct() bool { return g.Due.Overdue || g.Assessment.Keep.NotYet() }

// Acts are all that is to be done with a jar that is steeping, the most urgent first; of
// each flavour that is in it, or will be, there is one.
func Acts(a *bench.Assessment) []Act {
	var acts []Act
	for _, d := range flavours(a) {
		if !d.Done && !d.Forecast {
			acts = append(acts, d.Act)
		}
	}
	var spent []string
	for i := range a.Curves {
		if c := &a.Curves[i]; c.Order.Do == jar.Nothing && !c.Watch && !c.Order.TooLate() {
			spent = append(spent, c.Name)
		}
	}
	acts = append(acts, tastings(a)...)
	visit(acts)
	if h := a.JarEnd().H; h > 0 && a.NextSitting() != nil {
		acts = append(acts, Act{Kind: StrainBy, At: a.Batch.At(h)}) // whatever they say
	}
	sort.SliceStable(acts, func(i, j int) bool { return compareDue(&acts[i], &acts[j]) < 0 })
	acts = errands(acts)
	if len(spent) > 0 {
		acts = append(acts, Act{Kind: Spent, What: spent})
	}
	return acts
}

// tastings are the sittings to come: the next one, and what waits longer by its own hour.
func tastings(a *bench.Assessment) []Act {
	s := a.NextSitting()
	if s == nil {
		return nil
	}
	return append([]Act{next(a, s)}, afterwards(a, s)...)
}

// next is the next sitting, all that is tasted at it: due when the first of them was, overdue
// where one of them is and none waits, and by the shortest clock of those that are.
func next(a *bench.Assessment, s *steeping.Sitting) Act {
	d := Act{Kind: Taste, What: s.Flavours, At: a.Batch.At(math.Max(s.AtH, a.ElapsedH)), DoubtH: s.DoubtH,
		Now: s.Now}
	whole := d
	for i, n := range s.Flavours {
		c, own := a.Curve(n), whole
		own.What, own.DueAt, own.OwnH = []string{n}, a.Batch.At(s.DueH(c)), ownH(c)
		own.LateAt = when(a, c.Order.LateH)
		own.Overdue = own.overdue(c, a.Now)
		if d.of = append(d.of, own); i == 0 || own.DueAt.Before(d.DueAt) {
			d.DueAt = own.DueAt
		}
		d.Again = d.Again || c.Order.TasteWhy == jar.Again
		if !s.Now && c.Order.TasteH == s.AtH {
			d.Night = c.Order.Night
		}
		if late := own.Overdue; i == 0 || late && !d.Overdue || late == d.Overdue && own.OwnH < d.OwnH {
			d.OwnH, d.Overdue = own.OwnH, late
		}
	}
	return d
}

// afterwards are the tastings behind the next one, a flavour each: what that one does not
// bear an hour later at the soonest, the others at their own hour.
func afterwards(a *bench.Assessment, s *steeping.Sitting) (acts []Act) {
	for _, n := range s.Rest {
		c := a.Curve(n)
		at := a.Batch.At(TastedH(a, s, c))
		d := Act{Kind: Taste, What: []string{n}, At: at, DueAt: at, DoubtH: 1, OwnH: ownH(c)}
		if s.Now && a.Batch.At(c.Order.DueH).Before(at) {
			d.After = s.Flavours[len(s.Flavours)-1]
		}
		acts = append(acts, d)
	}
	for _, n := range s.Later {
		c := a.Curve(n)
		at := a.Batch.At(TastedH(a, s, c))
		acts = append(acts, Act{Kind: Taste, What: []string{n}, At: at, DueAt: at, Night: c.Order.Night,
			DoubtH: (c.Order.TasteH - a.ElapsedH) / 4, OwnH: ownH(c)})
	}
	return acts
}

// TastedH is when a flavour is tasted next, in hours since the start, by the next sitting.
func TastedH(a *bench.Assessment, s *steeping.Sitting, c *steeping.Curve) float64 {
	switch {
	case s == nil:
	case slices.Contains(s.Flavours, c.Name):
		return math.Max(s.AtH, a.ElapsedH)
	case slices.Contains(s.Rest, c.Name):
		return math.Max(math.Max(s.AtH, a.ElapsedH)+steeping.SittingGapH, c.Order.DueH)
	}
	return c.Order.TasteH
}

// Hurts reports whether it can hurt somebody that it is not done by then.
func (d *Act) Hurts() bool {
	switch d.Kind {
	case Use, StrainBy, Discard, Stand, Move, Lift, Thin, TakeOut, Measure:
		return true
	}
	return false
}

// Dated reports whether it is a date to keep, and nothing is to be done until then.
func (d *Act) Dated() bool {
	return (d.Kind == Use || d.Kind == AtBest || d.Kind == TakeOut) && !d.Overdue && !d.Now
}

// GetUp reports whether its hour lies in the night and is worth getting up for.
func (d *Act) GetUp() bool { return d.Night == jar.GetUp }

// ownH is how long a flavour steeps, in hours: to its best, else as long as it has.
func ownH(c *steeping.Curve) float64 {
	if right, ok := c.Right(); ok {
		return right.Value
	}
	return math.Max(c.JarH, 0)
}

// visit gives what is overdue in a jar the shortest clock of it all: whoever stands at the jar
// does it all, and what needs no tongue first, whether it is itself overdue or only due now.
func visit(acts []Act) {
	least := math.Inf(1)
	for i := range acts {
		if acts[i].Overdue {
			least = math.Min(least, acts[i].OwnH)
		}
	}
	for i := range acts {
		if d := &acts[i]; d.Overdue || d.Now && d.Kind != Taste && !math.IsInf(least, 1) {
			d.Overdue, d.OwnH = true, least
		}
	}
}

// errands joins what comes out of a jar now, or goes into it, for that is one errand.
func errands(acts []Act) []Act {
	out := acts[:0]
next:
	for i := range acts {
		d := &acts[i]
		for k := range out {
			x := &out[k]
			if x.Kind != d.Kind || d.Kind == Taste || !x.Now || !d.Now {
				continue
			}
			if len(x.of) == 0 {
				x.of = []Act{*x}
			}
			x.of, x.What, x.Overdue = append(x.of, *d), append(slices.Clone(x.What), d.What...), x.Overdue ||
				d.Overdue
			continue next
		}
		out = append(out, *d)
	}
	return out
}

// since is the moment from which something is overdue, no later than now: where
// no hour was named it is the present one.
func since(a *bench.Assessment, hours float64) time.Time {
	if !(hours < a.ElapsedH) {
		return a.Now
	}
	return a.Batch.At(math.Max(hours, 0))
}

// compareDue orders what is overdue first, by the clock of the thing itself, then by
// how long it has waited, else by the
// hour, then what has no hour: a bottle to fill before nothing at all. Of equals what is
// known to be done goes before what is tasted.
func compareDue(x, y *Act) int {
	rank := func(d *Act) int {
		switch {
		case d.Overdue:
			return 0
		case d.Dated():
			return 3
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
	if d := cmp.Compare(clock(x.OwnH), clock(y.OwnH)); x.Overdue && d != 0 {
		return d
	}
	if (x.Kind == Taste) != (y.Kind == Taste) && (x.Overdue || x.At.Equal(y.At)) {
		if x.Kind == Taste {
			return 1
		}
		return -1
	}
	if x.Kind == Discard && y.Kind == Discard {
		return 0 // its hour is when it was looked at
	}
	if x.Overdue {
		return x.since().Compare(y.since())
	}
	return x.At.Compare(y.At)
}

// clock parts clocks by doublings: what is nearer than that is as urgent, and the one that has
// waited longer goes first.
func clock(hours float64) float64 { return math.Floor(math.Log2(max(hours, 0))) }

// SortByDue puts the batch that wants something first on top; of equals the one
// started first, then by name.
func SortByDue(list []Glance) {
	sort.SliceStable(list, func(i, j int) bool {
		x, y := &list[i], &list[j]
		if d := compareDue(&x.Due, &y.Due); d != 0 {
			return d < 0
		}
		if d := x.Assessment.Batch.Started.Compare(y.Assessment.Batch.Started); d != 0 {
			return d < 0
		}
		return x.Assessment.Batch.Name < y.Assessment.Batch.Name
	})
}
