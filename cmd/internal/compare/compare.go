// Package compare sets batches side by side: what went in differently, what came out
// differently beyond its range, and the one change to try next.
package compare

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf/mixture"
)

// Subject is one batch of a comparison with the library that holds in its
// folder.
type Subject struct {
	Batch   *batch.Batch
	Library *library.Library
	House   *batch.House // nil where the book has no rules of its own
	// Book holds the other batches of its book, which teach what to expect.
	Book *prior.Book
}

// Comparison is what differs between batches, in what went in and what came
// out.
type Comparison struct {
	// Batches stand in the order they were started.
	Batches []*bench.Assessment
	// Rows holds the differences only, Alike counts what is the same in all.
	Rows  []Row
	Alike int
	// Gaps names what one batch says and another leaves out: it may differ and
	// may not.
	Gaps []string
	// Forms are the botanicals whose form changed between two batches that
	// follow each other.
	Forms []FormChange
	// Mixed are the flavours on which several changes act at once, from the
	// last batch but one to the last.
	Mixed    []Mixed
	Headline Headline
	Next     NextTime

	sides []side
	herbs []matched[recipe.Botanical]
}

// Half says on which side of the steep a row stands.
type Half string

// The two parts of a comparison.
const (
	WentIn  Half = "in"
	CameOut Half = "out"
)

// Unit is what the numbers of a row are counted in.
type Unit string

// The units of rows. NoUnit is for words.
const (
	NoUnit     Unit = ""
	GPerLBase  Unit = "g/L of base"
	MLPerLBase Unit = "ml/L of base"
	Grams      Unit = "g"
	ML         Unit = "ml"
	Hours      Unit = "h"
	Celsius    Unit = "°C"
	ABV        Unit = "% vol"
	Score      Unit = "score"
	GPerL      Unit = "g/L"
	PH         Unit = "pH"
	PerLitre   Unit = "a litre" // of money, in the maker's currency
)

// Row is one thing that can differ.
type Row struct {
	Part Half
	// About is the flavour or ingredient it belongs to, empty for the batch.
	About, What string
	Unit        Unit
	Cells       []Cell // one a batch
	// Note holds for the whole row: "3 wanted".
	Note string
	// Sure is set on scores whose ranges stand apart between first and last.
	Sure bool
}

// Cell is what one batch says of a row.
type Cell struct {
	// Text is set for words, and for numbers that are not known.
	Text string
	// Number says that Value holds, in the row's unit; Low and High are its
	// 90 % range, both zero when it has none.
	Number           bool
	Value, Low, High float64
	// Note is printed behind it: "24 g", "so far"; or so many millilitres, where those of
	// the row are not written in one unit.
	Note  string
	WasML float64
	// Missing says that the batch file does not say.
	Missing bool
	// Where is the keeping verdict, by the words of shelf.Verdict.
	Where string
	// key is what is compared where Text is the maker's own spelling.
	key string
}

// FormChange is a botanical that went in cut differently.
type FormChange struct {
	Name     string
	From, To string
	// FromBatch and ToBatch are indices of Comparison.Batches.
	FromBatch, ToBatch int
	// DoseRatio is the new dose per litre of base over the old one, 0 when a
	// weight is not known.
	DoseRatio float64
	// RateRatio is the new usual rate over the old one, 0 when the library does
	// not know both forms.
	RateRatio float64
	// OneInLibrary names the library's cut where it has the same figures for
	// both forms and so cannot say how they differ.
	OneInLibrary string
	// Substances are what it holds that is limited in drinks, by name.
	Substances []string
}

// SameWeight reports whether the form changed while the weight stayed, within
// the fifth that is the least change in amount a palate notices.
func (f *FormChange) SameWeight() bool { return f.DoseRatio > 1/1.2 && f.DoseRatio < 1.2 }

// Mixed are flavours on which the same set of changes acts at once.
type Mixed struct {
	Flavours, Changes []string
}

// HeadlineKind says what the most telling difference is about.
type HeadlineKind string

// What a headline can speak of, the most telling first.
const (
	HeadKeeping HeadlineKind = "keeping" // the verdict moved
	HeadFlavour HeadlineKind = "flavour" // a strength moved beyond its range
	HeadPace    HeadlineKind = "pace"    // at the same hour, one is further along beyond its range
	HeadFigure  HeadlineKind = "figure"  // strength or sweetness of the drink moved
	HeadSeen    HeadlineKind = "seen"    // something was noted of one, or otherwise of both
	HeadNothing HeadlineKind = "nothing" // nothing that can be told apart came out differently
	HeadSame    HeadlineKind = "same"    // nothing differs
)

// Headline is the single most telling difference, between the last batch but
// one and the last.
type Headline struct {
	Kind HeadlineKind
	// Row is the row it speaks of, nil for HeadPace, HeadNothing and HeadSame.
	Row *Row
	// Pace is set for HeadPace.
	Pace *Pace
	// From and To are indices of Comparison.Batches.
	From, To int
	// Causes are the changes that act on the row's flavour.
	Causes []string
	// In counts what went in differently.
	In int
}

// Pace is one flavour at the same hour in two jars, of which the later one is
// still steeping.
type Pace struct {
	Flavour string
	Hours   float64
	// From and To are the strengths in the bottle after so many hours.
	From, To mixture.Range
}

// side is a batch with every name looked up.
type side struct {
	a      *bench.Assessment
	parts  *recipe.Lines
	baseML float64 // 0 when it is not known
}

// Least differences that make a row. Below them two figures are the same to
// whoever wrote or reads them.
const (
	sameShare = 0.01 // of an amount
	sameTime  = 0.02 // of a time
)

// Compare sets two to five batches side by side. They are sorted by their
// start. An error is always a fault in what the maker wrote.
func Compare(subjects []Subject, now time.Time) (*Comparison, error) {
	var sides []side
	for _, s := range subjects {
		a, err := bench.Assess(s.Batch, s.Library, bench.Question{Now: now, House: s.House, Book: s.Book})
		if err != nil {
			return nil, err
		}
		sides = append(sides, side{a: a, parts: a.Recipe, baseML: a.Recipe.BaseML()})
	}
	return sideBySide(sides, now), nil
}

func sideBySide(sides []side, now time.Time) *Comparison {
	c := &Comparison{sides: sides}
	sort.SliceStable(c.sides, func(i, j int) bool {
		return c.sides[i].a.Batch.Started.Before(c.sides[j].a.Batch.Started)
	})
	for i := range c.sides {
		c.Batches = append(c.Batches, c.sides[i].a)
	}
	c.herbs = herbsOf(c.sides)
	c.bases()
	c.botanicals()
	c.additions()
	c.finish()
	c.flavours()
	c.figures()
	c.forms()
	c.mixed()
	c.headline()
	c.advise()
	return c
}

// add files a row: as a difference, as alike, or as a gap.
func (c *Comparison) add(r Row) {
	var said []Cell
	for _, cell := range r.Cells {
		if !cell.Missing {
			said = append(said, cell)
		}
	}
	if len(said) == 0 {
		return
	}
	differs := false
	for _, cell := range said[1:] {
		differs = differs || !r.same(said[0], cell)
	}
	switch {
	case differs:
		if r.Unit == Score {
			r.Sure = apart(r.Cells[0], r.Cells[len(r.Cells)-1])
		}
		c.Rows = append(c.Rows, r)
	case len(said) < len(r.Cells):
		if name := r.gap(); name != "" {
			c.Gaps = append(c.Gaps, name)
		}
	default:
		c.Alike++
	}
}

// gap names the row where a batch does not say; the two rows of a strength are
// one gap.
func (r *Row) gap() string {
	switch {
	case r.Part == CameOut && r.Unit == Score && r.What == inJar:
		return ""
	case r.Part == CameOut && r.Unit == Score:
		return r.About + ", tastings"
	}
	return r.Name()
}

// What the two rows of a strength are called.
const (
	inJar    = "in the jar"
	inBottle = "in the bottle"
)

// Name is the row's heading in words: "green cardamom, time in the jar".
func (r *Row) Name() string {
	if r.About == "" {
		return r.What
	}
	return r.About + ", " + r.What
}

// same compares two cells by the least difference that matters for the unit.
func (r *Row) same(x, y Cell) bool {
	if x.Number != y.Number {
		return false
	}
	if !x.Number {
		return strings.EqualFold(x.compared(), y.compared())
	}
	d, size := math.Abs(x.Value-y.Value), math.Max(math.Abs(x.Value), math.Abs(y.Value))
	switch r.Unit {
	case Hours:
		return d <= sameTime*size
	case Celsius:
		return d < 0.5
	case GPerL:
		return d < 0.05 || size >= 10 && d < 0.5
	case ABV, Score:
		return d < 0.05
	case PH:
		return d < 0.01
	}
	return d <= sameShare*size
}

func (x Cell) compared() string {
	if x.key != "" {
		return x.key
	}
	return x.Text
}

// apart reports whether two uncertain figures differ by more than their
// ranges: the difference lies outside its own 90 % range, the two taken as
// independent.
func apart(x, y Cell) bool {
	if !x.Number || !y.Number {
		return false
	}
	half := func(c Cell) float64 { return (c.High - c.Low) / 2 }
	return math.Abs(x.Value-y.Value) > math.Hypot(half(x), half(y))
}

// each makes a row with one cell a batch.
func (c *Comparison) each(part Half, what string, unit Unit, cell func(*side) Cell) {
	r := Row{Part: part, What: what, Unit: unit}
	for i := range c.sides {
		r.Cells = append(r.Cells, cell(&c.sides[i]))
	}
	c.add(r)
}

func wordCell(text, key string) Cell {
	if text == "" {
		return Cell{Missing: true}
	}
	return Cell{Text: text, key: key}
}

func numberCell(v *float64) Cell {
	if v == nil {
		return Cell{Missing: true}
	}
	return Cell{Number: true, Value: *v}
}

func yesCell(b bool) Cell {
	if b {
		return Cell{Text: "yes"}
	}
	return Cell{Text: "no"}
}

// matched is one botanical or addition over all batches; nil where a batch has
// none.
type matched[T any] struct {
	name string
	of   []*T
}

// match lines entries up over the batches.
func match[T any](sides []side, list func(*side) []T, name, libName func(*T) string) []matched[T] {
	names := make([][][2]string, len(sides))
	for i := range sides {
		for k, entries := 0, list(&sides[i]); k < len(entries); k++ {
			names[i] = append(names[i], [2]string{name(&entries[k]), libName(&entries[k])})
		}
	}
	var out []matched[T]
	for _, l := range lined(names) {
		m := matched[T]{name: l.name, of: make([]*T, len(sides))}
		for i, k := range l.at {
			if k >= 0 {
				m.of[i] = &list(&sides[i])[k]
			}
		}
		out = append(out, m)
	}
	return out
}

// line is one thing over the batches: its place among the entries of each, -1 where there is none.
type line struct {
	name string
	at   []int
}

// lined lines entries up by the names that each batch has for them: by the maker's, then what is left by the
// library's, so that "orange zest" meets "zest of sweet orange"; last what only one batch has.
func lined(names [][][2]string) (out []line) {
	taken := make([]map[int]bool, len(names))
	for i := range names {
		taken[i] = map[int]bool{}
	}
	for by := range 3 {
		var keys []string
		found := map[string]*line{}
		for i, entries := range names {
			for k, of := range entries {
				key := strings.ToLower(of[min(by, 1)])
				if by == 2 { // by itself
					key = fmt.Sprint(i, " ", k)
				}
				if key == "" || taken[i][k] {
					continue
				}
				l := found[key]
				if l == nil {
					l = &line{at: slices.Repeat([]int{-1}, len(names))}
					found[key], keys = l, append(keys, key)
				}
				if l.at[i] < 0 {
					l.at[i], l.name = k, of[0]
				}
			}
		}
		for _, key := range keys {
			l, in := found[key], 0
			for _, k := range l.at {
				in += min(k+1, 1)
			}
			if in < 2 && by < 2 {
				continue
			}
			for i, k := range l.at {
				taken[i][k] = true
			}
			out = append(out, *l)
		}
	}
	return out
}

func count[T any](list []*T) int {
	n := 0
	for _, e := range list {
		if e != nil {
			n++
		}
	}
	return n
}

// herbsOf lines the botanicals up.
func herbsOf(sides []side) []matched[recipe.Botanical] {
	return match(sides, func(s *side) []recipe.Botanical { return s.parts.Botanicals },
		func(h *recipe.Botanical) string { return h.Entry.Name },
		func(h *recipe.Botanical) string { return h.Thing().Sort })
}
