// Package bench assesses one batch at one moment: one Assessment that every view
// reads. Read looks names up and blends; Steep fits the curves and Judge says where
// it keeps, each when it is first asked for. What is said of the keeping (Needs,
// Places, Rest, Fades, MustNotKeep) asks Judge itself; what is said of the curves
// (NextSitting) is there after Steep.
package bench

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
	"steepbook/kinetics/panel"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Assessment is everything the tool can say of one batch at one moment. It is
// for one goroutine.
type Assessment struct {
	Batch *batch.Batch
	// Now is the moment of the answer; ElapsedH is hours since the start,
	// negative before it.
	Now      time.Time
	ElapsedH float64

	Blend recipe.Blend
	// Steeped and Keep are nil until Steep and Judge are called: a view that
	// reads what it did not ask for fails at its first test instead of showing
	// an empty answer.
	*Steeped
	Keep *keeping.Keep

	question Question
	lib      *library.Library // without what this batch itself taught
	Recipe   *recipe.Lines
	steepErr error
	changes  *[]Change
	jarsML   map[int]float64 // see jarML
	weak     *weakJar
	waited   *spent
	lifted   []fatOff
	drinks   []*Assessment // see drinks.go: none where all that there is is one drink, last what nothing joined
	states   []*Assessment // all that those which are not empty ever were
	speaks   *Assessment   // the one that Keep speaks of
	all      *recipe.Lines // Recipe with what only empty bottles held
	one      bool          // it is judged as one drink
	of       []int         // the bottles that are spoken of, nil: all
}

// Steeped is the answer to how long each thing steeps.
type Steeped struct {
	// Curves holds the botanicals as written, then the watched tastes.
	Curves []Curve
	// NextH is when the jar is tasted next, hours since the start; +Inf where
	// nothing is gained by it.
	NextH float64
	// Rescue is set when a flavour is past what was wanted.
	Rescue *Rescue
	// Sample is the mix that tastes at bottle strength; it has no parts where
	// the blend is not known, or nothing is added and it does not numb.
	Sample panel.Sample
	// ThinnedABV is how strong it is in % vol where it is thinner than the bottle, which numbs; else 0.
	ThinnedABV float64
	// LessSweet: so much water as in the syrup of the sample is not in the bottle.
	LessSweet bool
	// Warnings concern the steep as a whole.
	Warnings []string
}

// Curve is one flavour of the jar: a botanical's, or a watched taste.
type Curve struct {
	Name, Cut string
	// Watch marks an unwanted taste; Limit is then the most that is wanted in
	// the bottle.
	Watch bool
	Limit float64
	// Known is the library's entry, nil for the maker's own word; Botanical is
	// what the maker wrote, nil for a watch.
	Known     *library.Botanical
	LibCut    *library.Cut
	Botanical *batch.Botanical

	// Fine: only straining takes it out, with all that is in.
	Fine bool
	// Forbidden says why it must not be steeped at all; empty for all that may.
	Forbidden string

	// InH and OutH are hours since the start of the batch; OutH is nil while
	// the botanical is in the jar. JarH is how long it has been in the jar.
	InH  float64
	OutH *float64
	JarH float64
	// Tasted counts the scores that speak of this flavour.
	Tasted int
	Points []Point
	Prior  kinetics.Prior
	// OwnBatches counts the other batches of the book that taught the prior.
	OwnBatches int
	// Moved says how the library's rate was carried to this jar.
	Moved     []string
	Posterior *kinetics.Posterior
	// From is the flavour that most likely brings an unwanted taste.
	From string
	// Share is what all that goes in later leaves of the liquid that the steep
	// began with in the bottle (0-1), Exponent how a score follows an amount: a
	// score of that liquid times Share^Exponent is the bottle's score.
	Share, Exponent float64

	// Target is the strength wanted in the bottle, nil when none was written;
	// JarTarget is the same carried back to the liquid that the steep began with.
	Target    *float64
	JarTarget float64
	// JarNow, in that liquid, and BottleNow are the strength at this moment, 90 % range.
	JarNow, BottleNow mixture.Range
	// Order is what to do about it, decided by the package jar alone.
	Order jar.Order
	// Dose is how much to use next time, nil where it is right or not known.
	Dose     *DoseAdvice
	Warnings []string

	inBottle func(kinetics.Interval) kinetics.Interval
	// suspects are the flavours that may bring an unwanted taste.
	suspects []string
}

// Curve is the flavour of a name, nil where there is none.
func (a *Assessment) Curve(name string) *Curve {
	i := slices.IndexFunc(a.Curves, func(c Curve) bool { return strings.EqualFold(c.Name, name) })
	if i < 0 {
		return nil
	}
	return &a.Curves[i]
}

// OnlyStrained reports whether a strainer takes it out, with all that only a strainer
// does; else it is pulled alone.
func (c *Curve) OnlyStrained() bool { return c.Fine || c.Order.Do == jar.Strain }

// StrainedWith names what else is in the jar that only a strainer takes out, of a flavour that
// is such: they come out at one moment.
func (a *Assessment) StrainedWith(c *Curve) (names []string) {
	for i := range a.Curves {
		x := &a.Curves[i]
		if c.Fine && x.Fine && x.Name != c.Name && x.OutH == nil && x.InH <= a.ElapsedH && x.Order.Do != jar.Stays {
			names = append(names, x.Name)
		}
	}
	return names
}

// InJar reports whether the botanical is steeping at this moment.
func (c *Curve) InJar() bool { return c.OutH == nil && c.JarH > 0 && !c.Watch }

// AllThere reports whether what ends its steep is that no more comes, and not that it is
// as strong as wanted.
func (c *Curve) AllThere() bool {
	return c.Order.Why == jar.AllThere || c.Target == nil || c.Order.Short()
}

// Right is how long it steeps, in hours of its own: its best time, with the 90 %
// range of the time at which it is as strong as wanted. It is false where no time is
// best.
func (c *Curve) Right() (f mixture.Range, ok bool) {
	o := &c.Order
	best := o.BestH - c.InH
	low, high := math.Min(o.Crossing.P05-c.InH, best), math.Max(o.Crossing.P95-c.InH, best)
	return mixture.Range{Value: best, Low: low, High: high}, !math.IsInf(best, 1)
}

// Levels is when most of what there is to get of it is out, in hours since the start of the jar.
func (c *Curve) Levels() kinetics.Wait {
	if c.Posterior == nil {
		return kinetics.Wait{}
	}
	return c.Posterior.TimeToShare(kinetics.NearlyAll).Map(func(h float64) float64 { return h + c.InH })
}

// Since is how its time has moved since it was known as old: the best time over the old
// one, and the width of the middle half of its range, as a factor, over the old one;
// NaN where either has no end.
func (c *Curve) Since(old *Curve) (slower, wider float64) {
	width := func(c *Curve) float64 { return (c.Order.Crossing.P75 - c.InH) / (c.Order.Crossing.P25 - c.InH) }
	slower = (c.Order.BestH - c.InH) / (old.Order.BestH - old.InH)
	if math.IsInf(width(c), 0) || math.IsInf(width(old), 0) {
		return slower, math.NaN()
	}
	return slower, width(c) / width(old)
}

// Surprised is where a score at bottle strength was to be expected at that moment, and
// whether it lies outside that 99 times in 100: a slip of the tongue or of the pen
// then, or a jar that is not what it was taken for. A flavour that was tasted less
// than twice surprises nobody.
func (c *Curve) Surprised(r Point) (expected mixture.Range, surprised bool) {
	const mostInAHundred = 2.576 // the normal quantile
	if c.Tasted < 2 || c.inBottle == nil {
		return mixture.Range{}, false
	}
	iv := c.inBottle(c.Posterior.Strength(math.Max(r.Hours-c.InH, 0)))
	noise, _ := c.Posterior.Noise()
	by := mostInAHundred * math.Hypot(iv.SD, math.Max(noise, r.SD))
	expected = mixture.Range{Value: iv.Mean, Low: math.Max(iv.Mean-by, 0), High: math.Min(iv.Mean+by, 10)}
	return expected, r.Score > iv.Mean+by && r.Score > expected.Low || r.Score < iv.Mean-by && !r.AtLeast
}

// Point is one tasting of one flavour, carried to bottle strength and, with
// several tasters, to the scale of their middle.
type Point struct {
	// Hours is since the start of the batch; Score and SD are points in the
	// bottle. AtLeast marks a score at the top of the scale.
	Hours, Score, SD float64
	AtLeast          bool
	Taster           string
}

// Rescue is what brings an overdone drink back to the strength wanted.
type Rescue struct {
	// Name is the flavour that is furthest over; Volumes how much plain spirit
	// goes to one volume of what there is, SpiritML and VolumeML that spirit and
	// all of it then. Thins names what gets weaker that is not over; More: what is
	// still to go in grows with it.
	Name               string
	Volumes            float64
	SpiritML, VolumeML float64
	// Practical: otherwise it is more than kinetics.MostVolumes, maybe +Inf.
	Practical bool
	// Ask: another score is worth more than thinning at once.
	Ask   bool
	Thins []string
	More  bool
}

// DoseAdvice is how much of a botanical to use next time, for the strength
// wanted after AtH hours in the jar. Factor is the new dose over the old one;
// the grams are zero where nobody weighed it. Ranges are 90 %.
type DoseAdvice struct {
	Factor, Low, High float64
	GramsNow, Grams   float64
	// Amount is that dose in the measure the maker wrote, AmountNow the present
	// one; empty where the grams are zero.
	Amount, AmountNow string
	AtH               float64
	// PullH is when to pull it with the dose unchanged, 0 where time is not the
	// lever.
	PullH    float64
	Warnings []string
}

// Question sets what an assessment needs beside the batch.
type Question struct {
	Now time.Time
	// Place and Celsius override where the batch says it is stored; Celsius is
	// nil when only a place is asked for.
	Place   shelf.Place
	Celsius *float64
	// Opened asks how long it keeps from now, once opened.
	Opened bool
	// Book holds the batches of the book, which teach what to expect of this
	// one; nil: the library alone.
	Book *prior.Book
	// House holds the book's own rules, nil where it has none.
	House *batch.House
	// KeepingOnly asks nothing of the steep: whatever hangs on curves is not told.
	KeepingOnly bool
}

// Read looks every name of a batch up, turns amounts into grams and works out
// the blend; the other answers come when they are asked for. An error is always
// a fault in what the maker wrote, with file and line.
func Read(b *batch.Batch, lib *library.Library, q Question) (*Assessment, error) {
	a := &Assessment{Batch: b, Now: q.Now, ElapsedH: q.Now.Sub(b.Started).Hours(), question: q,
		lib: lib.Untaught(filepath.Base(b.File))}
	if len(b.Remarks()) > 0 {
		go shelf.Ahead()
	}
	var err error
	if a.Recipe, err = recipe.Read(b, a.lib, a.ElapsedH); err != nil {
		return nil, err
	}
	if a.Blend, err = recipe.NewBlend(b, a.Recipe); err != nil {
		return nil, err
	}
	a.all = a.Recipe
	if a.Recipe = a.stillHeld(); len(a.Recipe.Additions) < len(a.all.Additions) {
		if a.Blend, err = recipe.NewBlend(b, a.Recipe); err != nil {
			return nil, err
		}
	}
	if _, out := a.Strained(); !out && len(b.Botanicals) > 0 && a.Blend.Have() && a.Blend.Result.JarVolumeML > 0 {
		a.Blend.Bottle.JarABVPercent = a.Blend.Result.JarParts.ABVPercent()
	}
	return a, nil
}

// Assess is Read with the steep and the keeping asked for at once.
func Assess(b *batch.Batch, lib *library.Library, q Question) (*Assessment, error) {
	a, err := Read(b, lib, q)
	if err != nil {
		return nil, err
	}
	a.Judge()
	return a, a.Steep()
}

// Steep fills the answer to how long each thing steeps, the first time it is
// asked for; the error is the same every time.
func (a *Assessment) Steep() error {
	if a.Steeped != nil {
		return a.steepErr
	}
	a.Steeped = &Steeped{NextH: math.Inf(1)}
	a.asker().AskBook()
	if a.steepErr = a.steep(); a.steepErr == nil {
		a.sample()
	}
	return a.steepErr
}

// KeepingOnly reports whether nothing was asked of the steep.
func (a *Assessment) KeepingOnly() bool { return a.question.KeepingOnly }

// Judge fills the answer to where it keeps, the first time it is asked for.
func (a *Assessment) Judge() {
	if a.Keep == nil {
		a.Keep = &keeping.Keep{}
		a.keep()
		a.apart()
		a.Keep.Seen(a.Batch, a.ElapsedH, a.ownDrink, func(sign string, hours float64) []shelf.Cause {
			return a.worstCauses(sign, a.liquids(hours), a.fatAt(hours))
		})
		a.Keep.Withhold()
	}
}

// With is the batch as it would be with other lines and what comes of them in its bottle, if
// that went in now, judged anew.
func (a *Assessment) With(lines *recipe.Lines, in shelf.Bottle) *Assessment {
	then, b := *a, *a.Batch
	b.Additives = append(slices.Clone(b.Additives), batch.Added{Hours: a.ElapsedH, When: a.Now})
	then.Batch, then.Recipe, then.Blend.Bottle, then.Keep, then.changes, then.lifted = &b, lines, in, nil, nil, nil
	then.drinks, then.states, then.speaks, then.one = nil, nil, nil, true
	then.Judge()
	return &then
}

// Changes are what would move the keeping verdict, smallest first of each kind.
// They cost more than the verdict and are worked out when they are first asked
// for.
func (a *Assessment) Changes() []Change {
	a.Judge()
	if a.changes == nil {
		list := a.change()
		a.changes = &list
	}
	return *a.changes
}

// MustNotKeep reports that it must not be kept, or drunk, as it is.
func (a *Assessment) MustNotKeep() bool {
	a.Judge()
	return a.Keep.Refused()
}

// NotToServe reports that nothing is to be drunk of it, or done with it but to throw it
// away: it must not be kept or steeped, something may live in it, or its days are over.
func (a *Assessment) NotToServe() bool { return a.MustNotKeep() || a.Keep.Stop != "" }

// Tasting is how what is left of it may be tasted.
func (a *Assessment) Tasting() keeping.Tasting {
	a.Judge()
	return a.Keep.Tasting()
}

// Drinks are the units that the drinks of this batch are counted in.
func (a *Assessment) Drinks() []recipe.Drink { return recipe.DrinksIn(a.question.House, a.Batch.Units) }

// House are the rules of the book, nil where it has none of its own.
func (a *Assessment) House() *batch.House { return a.question.House }

// asker is the jar, asking what to expect of its botanicals.
func (a *Assessment) asker() *prior.Asker {
	return &prior.Asker{Batch: a.Batch, Recipe: a.Recipe, Library: a.lib, Book: a.question.Book}
}

// Slim lets go of all that a row of the book does not say, so that a book of a
// thousand batches stays small: the curves, the recipe and the reasons are gone.
func (a *Assessment) Slim() {
	a.Steeped, a.Recipe, a.changes = nil, nil, nil
	if base := a.unpoured(); base != nil {
		base.Slim()
		a.drinks, a.states, a.speaks = []*Assessment{base}, nil, nil
	}
	a.all = nil
	if a.Keep != nil {
		a.Keep.Verdict.Reasons = nil
	}
	a.Blend.Result.Steps, a.Blend.Result.Causes, a.Blend.Remarks = nil, nil, nil
}
