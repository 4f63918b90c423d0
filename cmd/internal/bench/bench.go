// Package bench assesses one batch at one moment: one Assessment that every view
// reads. Read looks names up and blends; Steep fits the curves and Judge says where
// it keeps, each when it is first asked for. What is said of the keeping (Needs,
// Places, Rest, Fades, MustNotKeep) asks Judge itself; what is said of the flavours
// is of package steeping (Curve, NextSitting), and there after Steep.
package bench

import (
	"math"
	"path/filepath"
	"slices"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/steeping"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/kinetics"
	"steepbook/shelf"
	"steepbook/shelf/remark"
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
	*steeping.Steeped
	Keep *keeping.Keep

	question Question
	lib      *library.Library // without what this batch itself taught
	Recipe   *recipe.Lines
	steepErr error
	changes  *[]Change
	slim     *slim           // see Slim, nil before
	jarsML   map[int]float64 // see jarML
	weak     *weakJar
	waited   *spent
	lifted   []fatOff
	// see drinks.go: none where all that there is is one drink, last what nothing joined
	drinks []*Assessment
	states []*Assessment // all that those which are not empty ever were
	speaks *Assessment   // the one that Keep speaks of
	all    *recipe.Lines // Recipe with what only empty bottles held
	one    bool          // it is judged as one drink
	of     []int         // the bottles that are spoken of, nil: all
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
	lib = lib.Untaught(filepath.Base(b.File))
	b = b.Settled(recipe.Levels(lib), recipe.Overfull(lib))
	a := &Assessment{Batch: b, Now: q.Now, ElapsedH: q.Now.Sub(b.Started).Hours(), question: q, lib: lib}
	var err error
	if a.Recipe, err = recipe.Read(b, a.lib, a.ElapsedH); err != nil {
		return nil, err
	}
	if len(b.Remarks()) > 0 {
		go remark.Ahead()
	}
	if a.Blend, err = recipe.NewBlend(b, a.Recipe); err != nil {
		return nil, err
	}
	a.all = a.Recipe
	if a.Recipe = a.stillHeld(); len(a.Recipe.Additions) < len(a.all.Additions) {
		of := a.Blend // what empty bottles held is counted with the bottles
		if a.Blend, err = recipe.NewBlend(b, a.Recipe); err != nil {
			return nil, err
		}
		a.Blend.Filled, a.Blend.Result.Rest = of.Filled, of.Result.Rest
		a.Blend.Result.Levels = of.Result.Levels
	}
	if _, out := a.Strained(); !out && len(b.Botanicals) > 0 && a.Blend.Have() &&
		a.Blend.Result.JarVolumeML > 0 {
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
	go kinetics.Ahead()
	last := 0.0
	for _, t := range a.Batch.Tastings {
		if t.By(a.ElapsedH) {
			last = math.Max(last, t.Hours)
		}
	}
	a.Steeped = steeping.New(a.ElapsedH, last)
	a.steepErr = a.steep()
	return a.steepErr
}

// TooStrong reports whether what there is numbs whoever scores it neat.
func (a *Assessment) TooStrong() bool {
	parts, _ := a.There()
	return steeping.TooStrong(parts.ABVPercent())
}

// KeepingOnly reports whether nothing was asked of the steep.
func (a *Assessment) KeepingOnly() bool { return a.question.KeepingOnly }

// Judge fills the answer to where it keeps, the first time it is asked for.
func (a *Assessment) Judge() {
	if a.Keep == nil {
		a.Keep = &keeping.Keep{}
		a.keep()
		a.apart()
		a.Keep.Seen(a.Batch, a.ElapsedH, func(number int) *keeping.Keep { return a.holding(number).Keep },
			func(sign string, hours float64, number int) []remark.Cause {
				in := a
				if number > 0 {
					in = a.holding(number)
				}
				return a.worstCauses(sign, in.liquids(hours), a.fatAt(hours))
			})
		a.Keep.Withhold()
	}
}

// With is the batch as it would be with other lines and what comes of them in its bottle, if
// that went in now, judged anew.
func (a *Assessment) With(lines *recipe.Lines, in shelf.Bottle) *Assessment {
	then, b := *a, *a.Batch
	b.Additives = append(slices.Clone(b.Additives),
		batch.Added{Hours: a.ElapsedH, When: a.Now, Index: len(b.Additives)})
	then.Batch, then.Recipe, then.Blend.Bottle = &b, lines, in
	then.Keep, then.changes, then.lifted = nil, nil, nil
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
func (a *Assessment) Drinks() []keeping.Drink {
	return keeping.DrinksIn(a.question.House, a.Batch.Units)
}

// House are the rules of the book, nil where it has none of its own.
func (a *Assessment) House() *batch.House { return a.question.House }

// asker is the jar, asking what to expect of its botanicals.
func (a *Assessment) asker() *prior.Asker {
	return &prior.Asker{Batch: a.Batch, Recipe: a.Recipe, Library: a.lib, Book: a.question.Book}
}

// slim is what a row of the book says of a recipe that is gone: what of the jar can hurt, and whether what
// was strained waits for what is still to come, and what nobody logged of what is bottled.
type slim struct {
	dangers []string
	untold  []string
	waits   bool
}

// Slim lets go of all that a row of the book does not say, so that a book of a
// thousand batches stays small: the curves, the recipe and the reasons are gone.
func (a *Assessment) Slim() {
	if a.slim != nil {
		return
	}
	is := &slim{waits: a.Waits()}
	if a.Keep != nil {
		is.dangers, is.untold = a.JarDangers(), a.NotLogged()
	}
	lines := &recipe.Lines{ToCome: a.Recipe.ToCome}
	a.slim, a.Steeped, a.Recipe, a.changes = is, nil, lines, nil
	if base := a.unpoured(); base != nil {
		base.Slim()
		a.drinks, a.states, a.speaks = []*Assessment{base}, nil, nil
	}
	a.all = nil
	if a.Keep != nil {
		a.Keep.Verdict.Reasons, a.Keep.SoFar.Verdict.Reasons = nil, nil
	}
	a.Blend.Result.Steps, a.Blend.Result.Causes, a.Blend.Remarks = nil, nil, nil
}
