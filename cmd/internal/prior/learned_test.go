package prior

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
)

func named(t testing.TB, file, src string) *batch.Batch {
	t.Helper()
	b, err := batch.Parse(file, []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// inBook is what is expected of the one botanical of a batch among the others of a book.
func inBook(t testing.TB, lib *library.Library, b *batch.Batch, book ...*batch.Batch) Expected {
	t.Helper()
	alone := lib.Untaught(filepath.Base(b.File))
	lines, err := recipe.Read(b, alone, somejar.Later.Sub(b.Started).Hours())
	if err != nil {
		t.Fatal(err)
	}
	a := Asker{Batch: b, Recipe: lines, Library: alone, Book: NewBook(lib, somejar.Later, book)}
	return a.Believe(&lines.Botanicals[0])
}

// taughtBook is two tasted jars of cardamom, one jar barely tasted of clove, a
// jar to come, and what they teach.
func taughtBook(t testing.TB) (a, b, next *batch.Batch, lessons []Lesson) {
	a = named(t, filepath.Join("shelf", "a.toml"), somejar.Told{Botanical: "green cardamom", Cut: "whole pods", Amount: "6 g", Scores: somejar.Done(1), Pulled: 192,
		More: "[[botanical]]\nname = \"clove\"\ncut = \"whole\"\namount = \"1 g\"\n[[tasting]]\nat = \"24 h\"\nscore = { clove = 3 }\n"}.Src())
	b = named(t, "b.toml", somejar.Told{Botanical: "green cardamom", Cut: "whole pods", Amount: "6 g", Scores: somejar.Done(0.9), Pulled: 192, Start: "2026-04-02T18:00:00"}.Src())
	next = named(t, "next.toml", somejar.Told{Botanical: "green cardamom", Cut: "whole pods", Amount: "6 g", Start: "2026-11-30T18:00:00"}.Src())
	lib := library.Builtin()
	lessons = Lessons(NewBook(lib, somejar.Later, []*batch.Batch{a, b, next}))
	return a, b, next, lessons
}

var bookFiles = []string{"a.toml", "b.toml", "next.toml"}

func written(t testing.TB, lessons []Lesson) *library.Library {
	t.Helper()
	list := Teach(lessons, library.Builtin(), bookFiles)
	text := LibraryEntry(list, somejar.Later)
	lib, err := library.Builtin().With("library.toml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if err := OnlyTaught(library.Builtin(), lib, list); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return lib
}

func TestTeachDecides(t *testing.T) {
	_, _, _, lessons := taughtBook(t)
	states := func(own string, files []string) map[string]Taught {
		lib, err := library.Builtin().With("library.toml", []byte(own))
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]Taught{}
		for _, l := range Teach(lessons, lib, files) {
			out[l.Name] = l
		}
		return out
	}
	got := states("", bookFiles)
	if c := got["green cardamom"]; c.State != LessonReady || c.Why != "" || c.CutName != "whole pods" || c.Paste != "" {
		t.Errorf("cardamom: %+v", c)
	}
	if c := got["clove"]; c.State != LessonThin || !strings.Contains(c.Why, "two batches or four tastings") {
		t.Errorf("clove: %+v", c)
	}
	got = states("[[botanical]]\nname = \"green cardamom\"\nnote = \"mine\"\n", bookFiles)
	if c := got["green cardamom"]; c.State != LessonTheirs || !strings.Contains(c.Paste, "taught_by  = [\"a.toml\", \"b.toml\"]") {
		t.Errorf("by hand: %+v", c)
	}
	entry := LibraryEntry(Teach(lessons, library.Builtin(), bookFiles), somejar.Later)
	if c := states(entry, bookFiles)["green cardamom"]; c.State != LessonWritten || len(c.Gone) != 0 {
		t.Errorf("written: %+v", c)
	}
	if c := states(entry, []string{"b.toml", "new.toml"})["green cardamom"]; len(c.Gone) != 1 || c.Gone[0] != "a.toml" {
		t.Errorf("renamed: %+v", c.Gone)
	}
	if c := states(strings.Replace(entry, "\"a.toml\", ", "", 1), bookFiles)["green cardamom"]; c.State != LessonStale || c.Paste == "" {
		t.Errorf("out of date: %+v", c)
	}
	if !strings.Contains(entry, "# Learned by 2026-12-01 from 2 batches and 8 tastings") || strings.Contains(entry, "clove") {
		t.Error(entry)
	}
}

// A rate in the library says what its teachers said, and they say it once: while all of
// them are in the book a new jar is believed to be what it was before, its end and its
// shape too, and away from them the rate holds to the three figures that are written.
func TestWrittenOnceIsToldOnce(t *testing.T) {
	a, b, next, lessons := taughtBook(t)
	lib := written(t, lessons)
	before := inBook(t, library.Builtin(), next, a, b)
	after := inBook(t, lib, next, a, b)
	if after.Prior != before.Prior {
		t.Errorf("%+v, was %+v", after.Prior, before.Prior)
	}
	if after.Batches != 2 {
		t.Errorf("%d batches of the maker's own", after.Batches)
	}
	// Away from its teachers the rate still holds.
	alone := inBook(t, lib, next)
	if d := math.Abs(alone.Prior.LogRate.Mean - after.Prior.LogRate.Mean); d > 0.005 {
		t.Errorf("alone the rate moved by a factor of %g", math.Exp(d))
	}
	if r := alone.Prior.LogRate.SD / after.Prior.LogRate.SD; math.Abs(r-1) > 0.02 {
		t.Errorf("alone the spread of the rate changed by %g", r)
	}
}

// A teacher is met with what the library said without it: its own tastings do
// not come back to it.
func TestTeachersAreNotTaughtByThemselves(t *testing.T) {
	a, b, _, lessons := taughtBook(t)
	lib := written(t, lessons)
	before, after := inBook(t, library.Builtin(), a, b), inBook(t, lib, a, b)
	if before.Prior != after.Prior {
		t.Errorf("prior %+v, was %+v", after.Prior, before.Prior)
	}
	// What the book teaches is the same, written or not.
	again := Lessons(NewBook(lib, somejar.Later, []*batch.Batch{a, b}))
	for i := range again {
		if again[i].RatePerH != lessons[i].RatePerH || again[i].Library != lessons[i].Library {
			t.Errorf("%s: %+v, was %+v", again[i].Botanical, again[i].RatePerH, lessons[i].RatePerH)
		}
	}
}

// A batch that came later teaches on top of what stands in the library.
func TestLaterBatchesTeachOn(t *testing.T) {
	a, b, next, lessons := taughtBook(t)
	lib := written(t, lessons)
	fast := map[float64]float64{12: 3.3, 24: 5, 48: 6.1, 96: 6.5}
	c := named(t, "c.toml", somejar.Told{Botanical: "green cardamom", Cut: "whole pods", Amount: "6 g", Scores: fast, Pulled: 192, Start: "2026-06-02T18:00:00"}.Src())
	two, three := inBook(t, lib, next, a, b), inBook(t, lib, next, a, b, c)
	if !(three.Prior.LogRate.Mean > two.Prior.LogRate.Mean+0.03) {
		t.Errorf("rate %+v, with a fast jar more %+v", two.Prior.LogRate, three.Prior.LogRate)
	}
	all := inBook(t, library.Builtin(), next, a, b, c)
	if all.Prior != three.Prior {
		t.Errorf("%+v, want that of all three %+v", three.Prior, all.Prior)
	}
	// Without one that stands in the library its rate holds and the last teaches on: nearly
	// what all at once says.
	rest := inBook(t, lib, next, b, c)
	if d := math.Abs(all.Prior.LogRate.Mean - rest.Prior.LogRate.Mean); d > 0.5*all.Prior.LogRate.SD {
		t.Errorf("rate %+v, all at once %+v", rest.Prior.LogRate, all.Prior.LogRate)
	}
}

// A rate learned at 20 °C is carried to a warm room by Arrhenius' law: with
// 25 kJ/mol 30 °C makes it exp(25/0.008314463·(1/293.15 − 1/303.15)) = 1.4026
// times as fast (arithmetic; gas constant CODATA 2018).
func TestLearnedRateFollowsTheRoom(t *testing.T) {
	_, _, next, lessons := taughtBook(t)
	lib := written(t, lessons)
	cool := inBook(t, lib, next).Prior.LogRate
	warm := 30.0
	next.RoomC = &warm
	if got := math.Exp(inBook(t, lib, next).Prior.LogRate.Mean - cool.Mean); math.Abs(got-1.4026) > 5e-4 {
		t.Errorf("%.4f times as fast, want 1.4026", got)
	}
}

// What has no place in the library is not forced into it; the maker's own word
// gets an entry as the maker writes it, whatever its letters.
func TestTeachFindsAPlace(t *testing.T) {
	for _, c := range []struct {
		botanical, cut string
		state          LessonState
		why            string
	}{
		{"green cardamom", "shaved", LessonNowhere, "describe the cut"},
		{"Oma's \\u00e4 \\\"bark\\\"", "chips", LessonReady, ""},
		{"My Bark", "", LessonReady, ""},
		{"\u3000!", "", LessonNowhere, "letters"},
		{"whole milk", "", LessonNowhere, "is an ingredient"},
	} {
		var list []*batch.Batch
		for i, start := range []string{"2026-03-02T18:00:00", "2026-04-02T18:00:00"} {
			src := strings.ReplaceAll(somejar.Told{Botanical: "@", Cut: c.cut, Amount: "6 g", Start: start, Scores: somejar.Done(1)}.Src(), "@", c.botanical)
			list = append(list, named(t, bookFiles[i], src))
		}
		lessons := Lessons(NewBook(library.Builtin(), somejar.Later, list))
		if len(lessons) != 1 {
			t.Fatal(len(lessons))
		}
		got := Teach(lessons, library.Builtin(), bookFiles)[0]
		if got.State != c.state || !strings.Contains(got.Why, c.why) {
			t.Errorf("%s, %s: %s, %s", c.botanical, c.cut, got.State, got.Why)
		}
		if c.state != LessonReady {
			continue
		}
		lib := written(t, lessons)
		if b, err := lib.Botanical(list[0].Botanicals[0].Name); err != nil || b.Name != list[0].Botanicals[0].Name {
			t.Errorf("%s: %+v, %v", c.botanical, b, err)
		}
		if again := Teach(lessons, lib, bookFiles)[0]; again.State != LessonWritten {
			t.Errorf("%s: then %s, %s", c.botanical, again.State, again.Why)
		}
		// The lessons of the next day are the same, though the library now
		// knows the name.
		lessons = Lessons(NewBook(lib, somejar.Later, list))
		if again := Teach(lessons, lib, bookFiles)[0]; again.State != LessonWritten {
			t.Errorf("%s: the next day %s, %s\n%s", c.botanical, again.State, again.Why, again.Paste)
		}
	}
}

func TestOnlyTaughtSeesMore(t *testing.T) {
	_, _, _, lessons := taughtBook(t)
	list := Teach(lessons, library.Builtin(), bookFiles)
	text := LibraryEntry(list, somejar.Later)
	for _, bad := range []string{
		strings.Replace(text, "rate_gsd", "early_share = 0.5\nrate_gsd", 1),
		strings.Replace(text, "[[botanical.cut]]", "hazards = [\"quinine-cinchona\"]\n[[botanical.cut]]", 1),
		strings.Replace(text, "b.toml", "x.toml", 1),
		text + "[[botanical.cut]]\nname = \"new\"\n",
	} {
		lib, err := library.Builtin().With("library.toml", []byte(bad))
		if err != nil {
			t.Fatal(err)
		}
		if OnlyTaught(library.Builtin(), lib, list) == nil {
			t.Errorf("passed:\n%s", bad)
		}
	}
}
