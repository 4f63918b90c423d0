package prior

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
)

// What a lesson must rest on before it is written into the book's library.
// Judgement: two jars tell a habit from an accident, or four tastings one jar's
// curve; and less than a third of the doubt gone is mostly still the library.
const (
	lessonBatches  = 2
	lessonTastings = 4
	lessonOwnRate  = 0.3
)

// LessonState says what becomes of a lesson in the book's library.
type LessonState string

// The states of a lesson.
const (
	LessonReady   LessonState = "ready"       // can be written
	LessonWritten LessonState = "written"     // stands there as it is
	LessonStale   LessonState = "out of date" // stands there from other tastings
	LessonTheirs  LessonState = "yours"       // the maker's own entry is in the way
	LessonThin    LessonState = "too little"  // rests on too little
	LessonNowhere LessonState = "no place"    // the library has nothing to teach: no such cut, no botanical
)

// Taught is a lesson beside the library that it may change.
type Taught struct {
	Lesson
	// Name and CutName are the library's names, or the maker's own.
	Name, CutName string
	State         LessonState
	// Why says in a clause why it is not written; empty for ready and written.
	Why string
	// Paste are the lines for library.toml where the maker must paste them.
	Paste string
	// Gone are teachers named in library.toml that are not in the book: a file
	// with a new name teaches twice.
	Gone []string
}

// figures is a lesson as it stands in library.toml.
type figures struct {
	rate, gsd string
	room, abv string // "" where not known
	by        []string
}

func (t *Taught) figures() figures {
	f := figures{
		rate: threeFigures(math.Exp(t.next.Mean)),
		// A spread of a factor under 1.01 or above 20 says no more than those.
		gsd: threeFigures(math.Min(math.Max(math.Exp(t.next.SD), 1.01), 20)),
		by:  t.Files,
	}
	if t.room != nil {
		f.room = strconv.FormatFloat(*t.room, 'f', -1, 64)
	}
	if t.abv > 0 && t.abv <= 97 {
		f.abv = strconv.FormatFloat(math.Round(10*t.abv)/10, 'f', -1, 64)
	}
	return f
}

func threeFigures(v float64) string {
	s, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	if err != nil {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(s, 'f', -1, 64)
}

// stands reports whether a cut of the library says just that.
func (f figures) stands(c *library.Cut) bool {
	t := c.Taught
	if t == nil {
		return false
	}
	number := func(v *float64) string {
		if v == nil {
			return ""
		}
		return strconv.FormatFloat(*v, 'f', -1, 64)
	}
	by := slices.Sorted(slices.Values(t.By))
	return strconv.FormatFloat(c.RatePerH.Value, 'f', -1, 64) == f.rate &&
		strconv.FormatFloat(c.RateGSD, 'f', -1, 64) == f.gsd &&
		number(t.RoomC) == f.room && number(t.ABVPercent) == f.abv && slices.Equal(by, f.by)
}

// Teach holds the lessons of a book against its library: which can be written
// into it, which stand there, which must not be written and why. files are the
// batches of the book.
func Teach(lessons []Lesson, lib *library.Library, files []string) []Taught {
	out := make([]Taught, len(lessons))
	for i := range lessons {
		t := &out[i]
		t.Lesson = lessons[i]
		t.Name, t.CutName = t.written, t.Cut
		if t.known != nil {
			t.Name = t.known.Name
		}
		switch {
		case t.form != nil:
			t.CutName = t.form.Name
		case t.known == nil && t.CutName == "":
			t.CutName = library.Unknown().Name
		}
		t.judge(lib, files)
	}
	return out
}

func (t *Taught) judge(lib *library.Library, files []string) {
	var entry *library.Botanical
	var cut *library.Cut
	if b, err := lib.Botanical(t.Name); err == nil && strings.EqualFold(b.Name, t.Name) {
		entry = b
		if i := slices.IndexFunc(b.Cuts,
			func(c library.Cut) bool { return strings.EqualFold(c.Name, t.CutName) }); i >= 0 {
			cut = &b.Cuts[i]
		}
	}
	if cut != nil && cut.Taught != nil {
		for _, by := range cut.Taught.By {
			if !slices.Contains(files, by) {
				t.Gone = append(t.Gone, by)
			}
		}
	}
	switch {
	case cut != nil && t.figures().stands(cut):
		t.State = LessonWritten
	case cut != nil && cut.Taught != nil:
		t.State = LessonStale
		t.Why = fmt.Sprintf("library.toml has it from %s; paste these lines in the place of those",
			quantity.And(cut.Taught.By))
		t.Paste = t.lines(false)
	case t.Batches < lessonBatches && t.Tastings < lessonTastings:
		t.State = LessonThin
		t.Why = fmt.Sprintf("%s with %s; two batches or four tastings are asked for",
			quantity.Counted(t.Batches, "batch", "batches"), quantity.Counted(t.Tastings, "tasting",
				"tastings"))
	case t.OwnRate < lessonOwnRate:
		t.State = LessonThin
		t.Why = fmt.Sprintf("only %.0f %% of the doubt about the rate is gone; %.0f %% are asked for",
			100*t.OwnRate, 100*lessonOwnRate)
	case t.known != nil && cut == nil:
		t.State = LessonNowhere
		t.Why = fmt.Sprintf("the library has no cut %q of it, and what such a cut weighs and brings cannot be learned by taste; describe the cut in library.toml first",
			t.CutName)
	case t.whole:
		t.State = LessonNowhere
		t.Why = "it is an ingredient, and an entry for it would make a botanical of it"
	case !t.readable():
		t.State = LessonNowhere
		t.Why = "the library cannot take that name; give it one with letters in the batch"
	case entry != nil && entry.Own:
		t.State = LessonTheirs
		t.Why = "library.toml has an entry of yours for it, which is left as it is; paste these lines into it, in the place of the rate there if it has one"
		t.Paste = t.lines(false)
	default:
		t.State = LessonReady
	}
}

// readable reports whether a library reads an entry of that name.
func (t *Taught) readable() bool {
	_, err := library.Builtin().With("library.toml", []byte(t.lines(true)))
	return err == nil
}

// lines is the lesson as the cut of a botanical, with the botanical's own line
// where whole is wanted.
func (t *Taught) lines(whole bool) string {
	var b strings.Builder
	if whole {
		fmt.Fprintf(&b, "[[botanical]]\nname = %s\n", strconv.Quote(t.Name))
		if t.known == nil {
			b.WriteString("kind = \"spice\"   # or herb, root, fruit: say what it is\n")
		}
	}
	f := t.figures()
	quoted := make([]string, len(f.by))
	for i, by := range f.by {
		quoted[i] = strconv.Quote(by)
	}
	fmt.Fprintf(&b, "[[botanical.cut]]\nname       = %s\nrate_per_h = %s\nrate_gsd   = %s\ntaught_by  = [%s]\n",
		strconv.Quote(t.CutName), f.rate, f.gsd, strings.Join(quoted, ", "))
	if f.room != "" {
		fmt.Fprintf(&b, "taught_room_c = %s\n", f.room)
	}
	if f.abv != "" {
		fmt.Fprintf(&b, "taught_abv    = %s\n", f.abv)
	}
	return b.String()
}

// LibraryEntry is the text to add to a book's library: every lesson that is
// ready, its evidence in a comment. It is empty where none is.
func LibraryEntry(lessons []Taught, now time.Time) string {
	var b strings.Builder
	done := map[string]bool{}
	for i := range lessons {
		t := &lessons[i]
		if t.State != LessonReady || done[t.Name] {
			continue
		}
		done[t.Name] = true
		whole := true
		for j := i; j < len(lessons); j++ {
			cut := &lessons[j]
			if cut.State != LessonReady || cut.Name != t.Name {
				continue
			}
			if b.Len() > 0 && whole {
				b.WriteString("\n")
			}
			fmt.Fprintf(&b, "# Learned by %s from %s and %s. While taught_by names a batch, it does not teach the rate again.\n",
				now.Format(time.DateOnly), quantity.Counted(cut.Batches, "batch",
					"batches"), quantity.Counted(cut.Tastings, "tasting", "tastings"))
			b.WriteString(cut.lines(whole))
			whole = false
		}
	}
	return b.String()
}

// errOther says that a grown library would say more than the lessons.
var errOther = errors.New("with the new lines the library would change in more than the rates learned")

// OnlyTaught checks that a library with new lines says what it said before,
// the rates of the lessons apart.
func OnlyTaught(before, after *library.Library, lessons []Taught) error {
	for i := range lessons {
		t := &lessons[i]
		if t.State != LessonReady {
			continue
		}
		now, err := after.Botanical(t.Name)
		if err != nil {
			return err
		}
		cut, err := now.Cut(t.CutName)
		if err != nil {
			return err
		}
		if !t.figures().stands(cut) {
			return errOther
		}
		was, err := before.Botanical(t.Name)
		if err != nil {
			continue // the maker's own word: nothing was known of it
		}
		if len(was.Cuts) != len(now.Cuts) || !reflect.DeepEqual(was.Hazards, now.Hazards) ||
			!reflect.DeepEqual(was.Allergens, now.Allergens) {
			return errOther
		}
		for j := range was.Cuts {
			x, y := was.Cuts[j], now.Cuts[j]
			if slices.ContainsFunc(lessons, func(l Taught) bool {
				return l.State == LessonReady &&
					l.Name == t.Name && l.CutName == y.Name
			}) {
				x.RatePerH, x.RateGSD = y.RatePerH, y.RateGSD
				x.FirstTasteH, x.Taught = y.FirstTasteH, y.Taught
			}
			if !reflect.DeepEqual(x, y) {
				return errOther
			}
		}
	}
	return nil
}

// fromLesson moves a rate that batches of the book taught from their room and
// strength to those of this jar. It is the rate of a score already.
func (a *Asker) fromLesson(t *library.Taught) (kinetics.Shift, []string) {
	there, here := stateOf(t.RoomC, 0), stateOf(a.Batch.RoomC, recipe.BaseStrength(a.Recipe.Bases))
	if t.ABVPercent != nil {
		there.abv = *t.ABVPercent
	}
	// A room beyond what the law is for is left as it is.
	warmth, _ := kinetics.TemperatureBetween(there.roomC, here.roomC)
	strength, _ := kinetics.StrengthBetween(there.abv, here.abv)
	s := kinetics.Shift{LogMean: warmth.LogMean + strength.LogMean,
		LogSD: math.Hypot(warmth.LogSD, strength.LogSD)}
	said := []string{fmt.Sprintf("your own figure, taught by %s, whose tastings do not count for the rate again",
		quantity.And(t.By))}
	if math.Abs(s.LogMean) > 0.005 {
		said = append(said, fmt.Sprintf("moved from their room and strength: rate x %.2g", s.Factor()))
	}
	return s, said
}
