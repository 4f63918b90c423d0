package batch

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

// Logged is what was written down as it happened: tables at the end of the file, each
// entry with its moment, in the order of the file. Moments are hours since the start, by
// elapsed time, and the same by the clock; Index is the 0-based entry of its table.
type Logged struct {
	Tastings   []Tasting
	Pulls      []Pull
	Strainings []Straining
	Additives  []Added
	Bottlings  []Bottling
	Openings   []Opening
	Emptyings  []Emptying
	Notes      []Note
}

// Tasting is one round of scores of the jar; once it is bottled, of the bottle.
type Tasting struct {
	Hours       float64
	When        time.Time
	SampleJar   float64 // parts from the jar, > 0
	SampleOther float64 // parts of syrup or water; 0 is neat
	Taster      string
	Scores      []Score // at least one; in the order written
	Words       string
	Index       int
}

// By reports whether it was given by so many hours after the start: a moment that is
// typed as "now" is not lost to rounding.
func (t *Tasting) By(nowH float64) bool { return by(t.Hours, nowH) }

func by(hours, nowH float64) bool { return hours <= nowH+1e-6 }

// Contradictions says what one taster scored twice at one moment, each time otherwise.
func (b *Batch) Contradictions() (said []string) {
	for i := range b.Tastings {
		for j := range i {
			if text := b.Tastings[i].against(&b.Tastings[j]); text != "" {
				said = append(said, text+": keep the one that holds")
			}
		}
	}
	return said
}

// against says which flavour an earlier tasting of the same taster, sample and minute gave
// another score; empty where there is none.
func (t *Tasting) against(earlier *Tasting) string {
	if !strings.EqualFold(t.Taster, earlier.Taster) || t.When.Sub(earlier.When).Abs() >= time.Minute ||
		t.SampleJar*earlier.SampleOther != earlier.SampleJar*t.SampleOther {
		return ""
	}
	for _, s := range t.Scores {
		for _, o := range earlier.Scores {
			if s.Name == o.Name && s.Value != o.Value {
				who := ""
				if t.Taster != "" {
					who = " by " + t.Taster
				}
				return fmt.Sprintf("%s has two scores%s for %s, %s and %s", s.Name, who,
					t.When.Format("2~Jan 2006~15:04"), quantity.FormatNumber(o.Value),
					quantity.FormatNumber(s.Value))
			}
		}
	}
	return ""
}

// Score is the strength of one taste, 0 absent to 10 nothing else.
type Score struct {
	Name  string // as the botanical or watch declares it
	Value float64
}

// Pull says that a botanical came out.
type Pull struct {
	Name  string // as the botanical declares it
	Hours float64
	When  time.Time
	Index int
	// Again says of what was out already, by a pull or with everything, why that is a slip: of anything but
	// fat, of which more came off then. It is empty where that takes it out.
	Again string
}

// Straining says that the jar was strained: all that was in it, or named botanicals.
type Straining struct {
	Names  []string         // as the botanicals declare them; nil: everything
	Volume *quantity.Amount // the liquor measured then, nil where it was not
	Hours  float64
	When   time.Time
	Index  int
}

// Added is what went in after straining, as it went in.
type Added struct {
	Name   string // as the [[addition]] declares it, where there is one
	Amount quantity.Amount
	Into   *quantity.Amount // how much of the drink it went into, as measured; nil where it was not
	Bottle int              // the open bottle that it went into; 0: nobody said
	Hours  float64
	When   time.Time
	Index  int
	joined int // what it joined where nobody said, see Settled; 0: not decided
}

// By reports whether it was in by so many hours after the start, as Tasting.By.
func (x *Added) By(nowH float64) bool { return by(x.Hours, nowH) }

// AddedBy is what was in by so many hours after the start, in the order of time, wherever it stands in the
// file; of one moment in the order of that.
func (b *Batch) AddedBy(nowH float64) []Added {
	list := quantity.Those(b.Additives, func(x *Added) bool { return x.By(nowH) })
	sort.SliceStable(list, func(i, j int) bool { return list[i].Hours < list[j].Hours })
	return list
}

// Bottling says that it was bottled.
type Bottling struct {
	Bottles int              // 0: nobody said how many
	Of      *quantity.Amount // the size of one; nil: as [finish] has it
	Volume  *quantity.Amount // the yield measured, nil where it was not
	From    int              // the open bottle that they were poured out of; 0: of what no bottle held
	Hours   float64
	When    time.Time
	Index   int
}

// Opening says that a bottle was opened.
type Opening struct {
	Bottle int // counted from 1 through all bottlings; 0: the first that is sealed
	Hours  float64
	When   time.Time
	Index  int
}

// Emptying says that a bottle is empty.
type Emptying struct {
	Bottle int // as in Opening; 0: all there is
	Hours  float64
	When   time.Time
	Index  int
}

// Note is something seen or done: "fizzed", "ring at the neck of bottle 2".
type Note struct {
	What  string
	Hours float64
	When  time.Time
	Index int
}

// Remarks are all that was said of what was seen, smelt or tasted: the notes, and the words of the tastings.
func (b *Batch) Remarks() []Note {
	said := slices.Clone(b.Notes)
	for _, t := range b.Tastings {
		if t.Words != "" {
			said = append(said, Note{t.Words, t.Hours, t.When, t.Index})
		}
	}
	return said
}

// aBottle is a bottle by its number, and what stands behind that: "bottle 2", "bottle no. 3".
var aBottle = pattern.New(`(?i)\bbottle\s*(?:no\.?|nr\.?|number|#)?\s*(\d+)` +
	`([.,]\d|\s*(?:min|h|hours?|d|days?|w|weeks?|months?|ml|cl|l|fl|oz)\b)?`)

// Bottle is the number of the one bottle that a note names, 0 where it names none or several.
func (n *Note) Bottle() (number int) {
	for _, m := range aBottle().FindAllStringSubmatch(n.What, -1) {
		one, err := strconv.Atoi(m[1])
		switch {
		case err != nil || m[2] != "": // "opened a bottle 2 days ago"
		case number != 0 && number != one:
			return 0
		default:
			number = one
		}
	}
	return number
}

// The kinds of entries, by the name of their table.
const (
	KindTasting  = "tasting"
	KindPulled   = "pulled"
	KindStrained = "strained"
	KindAdded    = "added"
	KindBottled  = "bottled"
	KindOpened   = "opened"
	KindEmptied  = "emptied"
	KindNoted    = "noted"
)

// LogTables are the kinds of entries in the order of a batch.
func LogTables() []string {
	return []string{KindTasting, KindPulled, KindStrained, KindAdded, KindBottled, KindOpened, KindEmptied,
		KindNoted}
}

// Line is one entry of the log.
type Line struct {
	Kind  string // the table it stands in
	Hours float64
	When  time.Time
	Index int    // in its table
	Text  string // what it says besides when, in the maker's own words
}

// butStaying is what a straining at an hour leaves in, "" for nothing.
func (b *Batch) butStaying(hours float64) string {
	var stay []string
	for i := range b.Botanicals {
		if e := &b.Botanicals[i]; b.StaysIn(e, hours) && e.In <= hours {
			stay = append(stay, e.Name)
		}
	}
	if len(stay) == 0 {
		return ""
	}
	return " but the " + quantity.And(stay)
}

// Log is everything that was logged, in the order of time; what was logged for one
// moment stands in the order of the file.
func (b *Batch) Log() []Line {
	log := b.lines(func(parts ...string) string {
		return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
	})
	sort.SliceStable(log, func(i, j int) bool { return b.inOrder(log[i], log[j]) < 0 })
	return log
}

// lines are everything that was logged, kind by kind, each with what it says in parts as they are joined; by nil
// without that.
func (b *Batch) lines(join func(parts ...string) string) (all []Line) {
	put := func(kind string, hours float64, when time.Time, index int, said func() []string) {
		line := Line{Kind: kind, Hours: hours, When: when, Index: index}
		if join != nil {
			line.Text = join(said()...)
		}
		all = append(all, line)
	}
	for _, t := range b.Tastings {
		put(KindTasting, t.Hours, t.When, t.Index, t.said)
	}
	for _, x := range b.Pulls {
		put(KindPulled, x.Hours, x.When, x.Index, func() []string { return []string{x.Name} })
	}
	for _, x := range b.Strainings {
		put(KindStrained, x.Hours, x.When, x.Index, func() []string { return b.saidOfStraining(&x) })
	}
	for _, x := range b.Additives {
		put(KindAdded, x.Hours, x.When, x.Index, x.said)
	}
	for _, x := range b.Bottlings {
		put(KindBottled, x.Hours, x.When, x.Index, x.said)
	}
	for _, x := range b.Openings {
		put(KindOpened, x.Hours, x.When, x.Index, func() []string { return []string{bottleNumber(x.Bottle, "a bottle")} })
	}
	for _, x := range b.Emptyings {
		put(KindEmptied, x.Hours, x.When, x.Index, func() []string { return []string{bottleNumber(x.Bottle, "everything")} })
	}
	for _, x := range b.Notes {
		put(KindNoted, x.Hours, x.When, x.Index, func() []string { return []string{x.What} })
	}
	return all
}

func (b *Batch) saidOfStraining(x *Straining) []string {
	what := quantity.And(x.Names)
	if len(x.Names) == 0 {
		what = "everything" + b.butStaying(x.Hours)
	}
	return []string{what, written(x.Volume)}
}

func (x *Added) said() []string {
	into := written(x.Into)
	if into != "" {
		into = "into " + into
	}
	if x.Bottle > 0 {
		into = strings.TrimSpace(into + " in " + bottleNumber(x.Bottle, ""))
	}
	return []string{x.Name, x.Amount.String(), into}
}

func (x *Bottling) said() []string {
	what := written(x.Of)
	if x.Bottles > 0 {
		if what = quantity.Counted(x.Bottles, "bottle", "bottles"); x.Of != nil {
			what += " of " + written(x.Of)
		}
	}
	all := written(x.Volume)
	if all != "" {
		all += " in all"
	}
	if x.From > 0 {
		all = strings.TrimSpace(all + " out of " + bottleNumber(x.From, ""))
	}
	return []string{what, all}
}

// inOrder compares two entries by when they were: of one moment, by where they stand in the file.
func (b *Batch) inOrder(x, y Line) int {
	switch {
	case x.Hours != y.Hours:
		return cmp.Compare(x.Hours, y.Hours)
	case x.Kind == y.Kind:
		return x.Index - y.Index
	}
	return b.Doc.Line(x.Kind, x.Index) - b.Doc.Line(y.Kind, y.Index)
}

func (t *Tasting) line() Line { return Line{Kind: KindTasting, Hours: t.Hours, Index: t.Index} }
func (x *Added) line() Line   { return Line{Kind: KindAdded, Hours: x.Hours, Index: x.Index} }
func (s *Straining) line() Line {
	return Line{Kind: KindStrained, Hours: s.Hours, Index: s.Index}
}
func (x *Bottling) line() Line { return Line{Kind: KindBottled, Hours: x.Hours, Index: x.Index} }

// said is a tasting in parts: its scores, then how, by whom, and in what words.
func (t *Tasting) said() []string {
	var parts []string
	for _, s := range t.Scores {
		parts = append(parts, s.Name+" "+quantity.FormatNumber(s.Value))
	}
	if t.SampleOther > 0 {
		parts = append(parts, fmt.Sprintf("sample %s:%s", quantity.FormatNumber(t.SampleJar),
			quantity.FormatNumber(t.SampleOther)))
	}
	if t.Taster != "" {
		parts = append(parts, "by "+t.Taster)
	}
	return append(parts, t.Words)
}

func written(a *quantity.Amount) string {
	if a == nil {
		return ""
	}
	return a.String()
}

func bottleNumber(n int, none string) string {
	if n == 0 {
		return none
	}
	return fmt.Sprintf("bottle %d", n)
}
