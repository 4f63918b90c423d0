package batch

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/data/strict"
)

// evening is a batch from its first tasting to the last drop, as the tool writes it.
var evening = []struct {
	entry Entry
	text  string
}{
	{NewTasting{At: "6 h", Scores: []Score{{"zest", 3}}}, "[[tasting]]\nat = \"6 h\"\nscore = { \"blood orange zest\" = 3 }\n"},
	{NewPull{[]string{"cardamom"}, "20 h"}, "[[pulled]]\nname = \"green cardamom\"\nat = \"20 h\"\n"},
	{NewStraining{At: "2026-11-22 20:00", Volume: "680 ml"}, "[[strained]]\nat = 2026-11-22T20:00:00\nvolume = \"680 ml\"\n"},
	{NewAdded{"sugar", "100 g", "3 d", "300 ml", 0}, "[[added]]\nname = \"demerara sugar\"\namount = \"100 g\"\nat = \"3 d\"\ninto = \"300 ml\"\n"},
	{NewBottling{5, "250 ml", "1.29 l", "4 d", 0}, "[[bottled]]\nbottles = 5\nof = \"250 ml\"\nvolume = \"1.29 l\"\nat = \"4 d\"\n"},
	{NewOpening{At: "2026-12-20"}, "[[opened]]\nbottle = 1\nat = 2026-12-20\n"},
	{NewNote{"fizzed", "40 d"}, "[[noted]]\nwhat = \"fizzed\"\nat = \"40 d\"\n"},
	{NewEmptying{1, "41 d"}, "[[emptied]]\nbottle = 1\nat = \"41 d\"\n"},
	{NewOpening{3, "42 d"}, "[[opened]]\nbottle = 3\nat = \"42 d\"\n"},
	{NewAdded{"sugar", "10 g", "43 d", "200 ml", 3}, "[[added]]\nname = \"demerara sugar\"\namount = \"10 g\"\nat = \"43 d\"\ninto = \"200 ml\"\nbottle = 3\n"},
	{NewEmptying{0, "90 d"}, "[[emptied]]\nat = \"90 d\"\n"},
}

const planned = small + "[[addition]]\nname = \"demerara sugar\"\namount = \"100 g\"\n"

func TestEveningForthAndBack(t *testing.T) {
	path := writeFile(t, planned)
	var texts []string
	for _, s := range evening {
		texts = append(texts, readFile(t, path))
		if err := Append(path, s.entry, time.UTC); err != nil {
			t.Fatalf("%+v: %v", s.entry, err)
		}
		if got, want := readFile(t, path), texts[len(texts)-1]+"\n"+s.text; got != want {
			t.Fatalf("got\n%s\nwant\n%s", got, want)
		}
	}
	b, err := Read(path, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	log := b.Log()
	kinds := []string{KindTasting, KindPulled, KindStrained, KindAdded, KindBottled, KindOpened, KindNoted, KindEmptied, KindOpened, KindAdded, KindEmptied}
	for i, l := range log {
		if l.Kind != kinds[i] {
			t.Errorf("entry %d is %s: %s", i, l.Kind, l.Text)
		}
	}
	if len(log) != len(kinds) || log[4].Text != "5 bottles of 250 ml, 1.29 l in all" || log[2].Text != "everything, 680 ml" {
		t.Errorf("%+v", log)
	}
	if s := b.StrainedAt(); s.Hours != 50 || b.OutAt(&b.Botanicals[0]).Hours != 20 || b.OutAt(&b.Botanicals[1]).Hours != 50 {
		t.Errorf("strained at %+v", s)
	}
	if m := b.Readings(); *m.StrainedML != 680 || *m.VolumeML != 1290 {
		t.Errorf("measured %+v", m)
	}
	at := b.Bottles(42 * 24)
	if len(at.List) != 5 || !at.Counted || at.Emptied != nil || at.List[0].Emptied == nil || at.List[2].Opened == nil || !at.List[1].Sealed() {
		t.Errorf("on day 42: %+v", at)
	}
	if at := b.Bottles(math.Inf(1)); at.Emptied == nil || at.Emptied.Hours != 90*24 {
		t.Errorf("at the end: %+v", at)
	}
	for i := len(evening) - 1; i >= 0; i-- {
		removed, err := Undo(path, "", time.UTC)
		if err != nil || removed.Block != evening[i].text {
			t.Fatalf("%q, %v, want %q", removed.Block, err, evening[i].text)
		}
		if got := readFile(t, path); got != texts[i] {
			t.Fatalf("got\n%s\nwant\n%s", got, texts[i])
		}
	}
	onlyFile(t, path)
	_, err = Undo(path, "", time.UTC)
	if want := path + ": nothing that was logged stands at the end of the file; what you wrote stays as it is"; err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}

// TestUndoLeavesWhatIsYours: a block that a hand has touched stays.
func TestUndoLeavesWhatIsYours(t *testing.T) {
	one := "\n[[tasting]]\nat = \"6 h\"\nscore = { bitter = 1 }\n"
	for name, text := range map[string]string{
		"a remark behind it":  one + "# nice\n",
		"a remark within":     strings.Replace(one, "\"6 h\"", "\"6 h\" # or so", 1),
		"an empty line more":  one + "\n",
		"other spaces":        strings.Replace(one, "at = ", "at    = ", 1),
		"another order":       "\n[[tasting]]\nscore = { bitter = 1 }\nat = \"6 h\"\n",
		"another table":       one + "\n[measured]\nph = 3.4\n",
		"a number as no tool": strings.Replace(one, "= 1 }", "= 1.0 }", 1),
		"its line end lacks":  strings.TrimSuffix(one, "\n"),
		"no empty line above": one[1:],
		"below what was logged at once": "\n" + atOnce(2) + one[1:] + strings.Replace(one[1:], "6 h", "7 h", 1) +
			strings.Replace(one[1:], "6 h", "8 h", 1),
		"at the moment of what was logged": strings.Replace(one, "bitter", "\"green cardamom\"", 1) + one[1:],
	} {
		path := writeFile(t, small+text)
		removed, err := Undo(path, "", time.UTC)
		var fault *strict.Error
		if removed.Block != "" || !errors.As(err, &fault) || readFile(t, path) != small+text {
			t.Errorf("%s: %q, %v; the file is\n%s", name, removed.Block, err, readFile(t, path))
		}
	}
	// A remark above it stays.
	path := writeFile(t, small+"# nice\n"+one)
	if removed, err := Undo(path, "", time.UTC); err != nil || removed.Block != one[1:] || readFile(t, path) != small+"# nice\n" {
		t.Errorf("%q, %v; the file is\n%s", removed.Block, err, readFile(t, path))
	}
}

func TestUndoOfWhatCannotBeWritten(t *testing.T) {
	path := writeFile(t, small+"\n"+evening[1].text)
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	if removed, err := Undo(path, "", time.UTC); removed.Block != "" || err == nil || err.Error() != path+": nothing was taken out, because the file is read-only" {
		t.Errorf("%q, %v", removed.Block, err)
	}
	if _, err := Undo(filepath.Join(t.TempDir(), "none.toml"), "", time.UTC); err == nil || !strings.Contains(err.Error(), "there is no such file") {
		t.Errorf("%v", err)
	}
}

// TestUndoOfOneEntry: an undo that is bound to an entry takes out that one or nothing, though
// what came since says the same.
func TestUndoOfOneEntry(t *testing.T) {
	path := writeFile(t, small)
	if err := Append(path, NewNote{"clear", "6 h"}, time.UTC); err != nil {
		t.Fatal(err)
	}
	last, err := LastLogged(path, time.UTC)
	if err != nil || len(last.Lines) != 1 || last.Lines[0].Kind != KindNoted || last.Lines[0].Text != "clear" || last.Lines[0].Hours != 6 {
		t.Fatalf("%+v, %v", last, err)
	}
	one := readFile(t, path)
	if err := AppendAgain(path, NewNote{"clear", "6 h"}, time.UTC); err != nil {
		t.Fatal(err)
	}
	two := readFile(t, path)
	var moved *MovedError
	if _, err := Undo(path, last.Mark(), time.UTC); !errors.As(err, &moved) || readFile(t, path) != two {
		t.Errorf("%v; the file is\n%s", err, readFile(t, path))
	}
	if _, err := Undo(path, moved.Now.Mark(), time.UTC); err != nil || readFile(t, path) != one {
		t.Errorf("%v; the file is\n%s", err, readFile(t, path))
	}
	if _, err := Undo(path, last.Mark(), time.UTC); err != nil || readFile(t, path) != small {
		t.Errorf("%v; the file is\n%s", err, readFile(t, path))
	}
}

// TestUndoOfWhatWasLoggedAtOnce: what one command logged goes at once, and nothing that was before it.
func TestUndoOfWhatWasLoggedAtOnce(t *testing.T) {
	for name, c := range map[string]struct {
		before, last Entry
		n            int
	}{
		"at another hour": {NewAdded{"sugar", "10 g", "50 h", "", 0}, NewEach[NewAdded]{{"water", "10 ml", "60 h", "", 0},
			{"sugar", "20 g", "60 h", "", 0}}, 2},
		"into another part": {NewAdded{"sugar", "10 g", "60 h", "", 0}, NewEach[NewAdded]{{"water", "10 ml", "60 h", "50 ml", 0},
			{"sugar", "20 g", "60 h", "50 ml", 0}}, 2},
		"of another kind": {NewNote{"clear", "60 h"}, NewEach[NewAdded]{{"water", "10 ml", "60 h", "", 0}}, 1},
		"notes":           {NewNote{"clear", "60 h"}, NewNote{"cloudy", "60 h"}, 1},
	} {
		path := writeFile(t, small)
		if err := AppendAgain(path, c.before, time.UTC); err != nil {
			t.Fatal(err)
		}
		was := readFile(t, path)
		if err := AppendAgain(path, c.last, time.UTC); err != nil {
			t.Fatal(err)
		}
		removed, err := Undo(path, "", time.UTC)
		if err != nil || len(removed.Entries) != c.n || readFile(t, path) != was || !strings.HasSuffix(removed.Block, "\n") {
			t.Errorf("%s: %+v, %v; the file is\n%s", name, removed, err, readFile(t, path))
		}
	}
}

// TestUndoInAnotherPlace: a moment with its offset is what it is, wherever it is read.
func TestUndoInAnotherPlace(t *testing.T) {
	path := writeFile(t, small)
	if err := Append(path, NewNote{"clear", "2026-11-22T10:00:00+01:00"}, place(t, "Europe/Berlin")); err != nil {
		t.Fatal(err)
	}
	if removed, err := Undo(path, "", place(t, "America/New_York")); err != nil || readFile(t, path) != small {
		t.Errorf("%q, %v", removed.Block, err)
	}
}

func TestAsked(t *testing.T) {
	path := writeFile(t, small)
	for _, c := range []struct {
		entry Entry
		want  string // "" is added
	}{
		{NewTasting{At: "6 h", Scores: []Score{{"bitter", 1}}}, ""},
		{NewTasting{At: "6 h", Scores: []Score{{"bitter", 1}}}, "the same is logged for that minute already (tasting: bitter 1)"},
		{NewTasting{At: "6 h", Taster: "B", Scores: []Score{{"bitter", 1}}}, ""},
		{NewTasting{At: "6 h 2 min", Scores: []Score{{"bitter", 1}}}, ""},
		{NewBottling{Bottles: 3, At: "5 d"}, ""},
		{NewBottling{Bottles: 2, At: "6 d"}, "it was bottled already, on 25~Nov 2026~18:00"},
		{NewBottling{Bottles: 2, Of: "250 ml", At: "6 d"}, "it was bottled already, on 25~Nov 2026~18:00"}, // of what size the others are nobody says
	} {
		before := readFile(t, path)
		err := Append(path, c.entry, time.UTC)
		var again *AgainError
		if c.want == "" && err != nil || c.want != "" && (!errors.As(err, &again) || err.Error() != c.want || readFile(t, path) != before) {
			t.Errorf("%+v: %v, want %q", c.entry, err, c.want)
		}
		if again != nil {
			if err := AppendAgain(path, c.entry, time.UTC); err != nil || readFile(t, path) == before {
				t.Errorf("%+v again: %v", c.entry, err)
			}
		}
	}
}

// TestAnotherSizeIsBottled: bottles of another size are more of them; of the same they may be the same.
func TestAnotherSizeIsBottled(t *testing.T) {
	path := writeFile(t, small+"[finish]\nbottle = \"500 ml\"\n")
	for _, c := range []struct {
		of, volume string
		again      bool
	}{{"", "", false}, {"200 ml", "", false}, {"0.5 l", "", true}, {"100 ml", "1 l", true}, {"100 ml", "", false}} {
		err := Append(path, NewBottling{Bottles: 1, Of: c.of, Volume: c.volume, At: "5 d"}, time.UTC)
		var again *AgainError
		if errors.As(err, &again) != c.again || !c.again && err != nil {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// TestImpossible: what cannot have happened in that order is a fault of its line.
func TestImpossible(t *testing.T) {
	const late = small + "[[botanical]]\nname = \"late\"\nin = \"6 d\"\n"
	for _, c := range []struct{ text, want string }{
		{"[[strained]]\nat = \"1 d\"\nvolum = \"1 l\"", `w.toml:16: unknown key "volum" in [[strained]]; did you mean "volume"? e.g. volume = "680 ml"`},
		{"[[strained]]\nvolume = \"1 l\"", `w.toml:14: this [[strained]] does not say when it was; e.g. at = "5 d"`},
		{"[[strained]]\nat = \"1 d\"\nnames = [\"zest\"]", `w.toml:16: "zest" is no botanical of this batch; did you mean "blood orange zest" (line 7)?`},
		{"[[strained]]\nat = \"1 d\"\nnames = [\"late\"]", `w.toml:16: "late" is strained out 24 h after the start, before it went in at 6 d`},
		{"[[strained]]\nat = \"1 d\"\nnames = [\"green cardamom\"]\nvolume = \"1 l\"", `w.toml:17: the liquor is measured when everything is out; leave volume out here, or names`},
		{"[[strained]]\nat = 2026-11-19", `w.toml:15: this straining is before the batch started (2026-11-20 18:00); e.g. at = "5 d"`},
		{"[[strained]]\nat = \"1 d\"\n[[strained]]\nat = \"2 d\"", `w.toml:17: everything was strained already, 24 h after the start (line 14), and nothing went in since`},
		{"[[strained]]\nat = \"1 d\"\n[[strained]]\nat = \"2 d\"\nvolume = \"680 ml\"", `w.toml:17: everything was strained already, 24 h after the start (line 14), and nothing went in since; a volume measured later belongs into that entry`},
		{"[[pulled]]\nname = \"green cardamom\"\nat = \"2 d\"\n[[strained]]\nat = \"3 d\"\nnames = [\"green cardamom\"]", `w.toml:19: "green cardamom" came out already, 2 d after the start (line 14)`},
		{"[[bottled]]\nat = \"1 d\"\n[[strained]]\nat = \"2 d\"", `w.toml:15: it was bottled 24 h after the start, before it was strained at 2 d`},
		{"[finish]\nstrained = \"2 d\"\n[[bottled]]\nat = \"1 d\"", `w.toml:17: it was bottled 24 h after the start, before it was strained at 2 d`},
		{"[[bottled]]\nat = \"1 d\"\nbottles = 0", `w.toml:16: 0 is no number of bottles; e.g. bottles = 5`},
		{"[[bottled]]\nat = \"1 d\"\nof = \"250 g\"", `w.toml:16: "250 g" is a weight; a bottle is measured by volume; e.g. of = "250 ml"`},
		{"[[opened]]\nat = \"1 d\"\n[[bottled]]\nat = \"2 d\"", `w.toml:15: it was opened 24 h after the start, before it was bottled at 2 d`},
		{"[[bottled]]\nat = \"1 d\"\nbottles = 5\n[[opened]]\nat = \"2 d\"\nbottle = 7", `w.toml:19: there is no bottle 7: there are 5; e.g. bottle = 5`},
		{"[[bottled]]\nat = \"1 d\"\nbottles = 2\n[[bottled]]\nat = \"4 d\"\nbottles = 2\n[[opened]]\nat = \"2 d\"\nbottle = 3", `w.toml:21: bottle 3 was filled 4 d after the start, later than this at 2 d`},
		{"[[bottled]]\nat = \"1 d\"\nbottles = 1\n[[opened]]\nat = \"2 d\"\n[[opened]]\nat = \"3 d\"", `w.toml:19: there is no sealed bottle left to open: there is 1`},
		{"[[opened]]\nat = \"2 d\"\nbottle = 1\n[[opened]]\nat = \"3 d\"\nbottle = 1", `w.toml:19: bottle 1 was opened already (line 14)`},
		{"[[opened]]\nat = \"2 d\"\nbottle = 1\n[[emptied]]\nat = \"1 d\"\nbottle = 1", `w.toml:18: bottle 1 was emptied 24 h after the start, before it was opened at 2 d`},
		{"[[emptied]]\nat = \"2 d\"\n[[emptied]]\nat = \"3 d\"", `w.toml:17: everything was emptied already (line 14)`},
		{"[[emptied]]\nat = \"2 d\"\n[[opened]]\nat = \"3 d\"", `w.toml:17: this was 3 d after the start, and everything was empty at 2 d (line 14)`},
		{"[[added]]\nname = \"sugar\"\nat = \"2 d\"", `w.toml:14: this [[added]] does not say how much went in; e.g. amount = "100 g"`},
		{"[[added]]\namount = \"1 g\"\nat = \"2 d\"", `w.toml:14: this [[added]] does not name what went in; e.g. name = "demerara sugar"`},
		{"[[noted]]\nat = \"2 d\"", `w.toml:14: this [[noted]] does not say what was seen; e.g. what = "fizzed"`},
	} {
		_, err := Parse("w.toml", []byte(late+c.text+"\n"), time.UTC)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
	for _, text := range []string{
		"[[strained]]\nat = \"1 d\"\n[[strained]]\nat = \"7 d\"",                                         // the late one went in between
		"[[bottled]]\nat = \"1 d\"\n[[opened]]\nat = \"2 d\"\n[[opened]]\nat = \"3 d\"",                  // not counted
		"[[emptied]]\nat = \"2 d\"\n[[noted]]\nwhat = \"the best so far\"\nat = \"3 d\"",                 // the memory stays
		"[finish]\nopened = \"30 d\"\n[[bottled]]\nbottles = 1\nat = \"1 d\"\n[[opened]]\nat = \"29 d\"", // the log beats [finish]
	} {
		if _, err := Parse("w.toml", []byte(late+text+"\n"), time.UTC); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestBottlesOneByOne: which bottle is meant where no number is written.
func TestBottlesOneByOne(t *testing.T) {
	at := func(text string, h float64) string {
		b, err := Parse("w.toml", []byte(small+text), time.UTC)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		out := ""
		all := b.Bottles(h)
		for _, x := range all.List {
			switch {
			case x.Emptied != nil:
				out += "-"
			case x.Opened != nil:
				out += fmt.Sprintf("%g", x.Opened.Hours)
			default:
				out += "o"
			}
		}
		if all.Emptied != nil {
			out += " gone"
		}
		return out
	}
	three := "[[bottled]]\nbottles = 3\nat = \"1 h\"\n"
	open := func(h int) string { return fmt.Sprintf("[[opened]]\nat = \"%d h\"\n", h) }
	empty := func(n, h int) string { return fmt.Sprintf("[[emptied]]\nbottle = %d\nat = \"%d h\"\n", n, h) }
	for _, c := range []struct {
		text string
		h    float64
		want string
	}{
		{three, 9, "ooo"}, {three, 0, ""}, {three + open(2) + open(4), 3, "2oo"}, {three + open(2) + open(4), 9, "24o"},
		{three + open(4) + open(2), 9, "24o"}, {three + empty(1, 5) + open(6), 9, "-6o"}, {three + open(2) + empty(1, 5), 9, "-oo"},
		{three + empty(1, 5) + empty(2, 6) + empty(3, 7), 9, "--- gone"}, {three + "[[emptied]]\nat = \"5 h\"\n", 9, "ooo gone"},
		{"[finish]\nopened = \"3 h\"\n" + three + empty(1, 5), 9, "-oo"}, {"[finish]\nopened = \"3 h\"\n", 9, "3"}, {open(3) + open(5), 9, "35"},
		{"[finish]\nopened = \"3 h\"\n" + three + "[[opened]]\nbottle = 2\nat = \"6 h\"\n", 9, "36o"},
	} {
		if got := at(c.text, c.h); got != c.want {
			t.Errorf("%q at %g h: %q, want %q", c.text, c.h, got, c.want)
		}
	}
}

// FuzzAppendUndo: whatever the file looks like, and whatever is logged, taking it back
// leaves the file that was there, to the byte, with its last line ended.
func FuzzAppendUndo(f *testing.F) {
	crlf := strings.ReplaceAll(planned, "\n", "\r\n")
	for _, text := range []string{planned, crlf, "\uFEFF" + planned, strings.TrimSuffix(planned, "\n"), strings.TrimSuffix(crlf, "\r\n"),
		planned + "\n\n", planned + "# to be continued", crlf + "\n", "\uFEFF" + strings.TrimSuffix(crlf, "\r\n"), planned + "\n# x\n\n",
		strings.Replace(planned, "\n", "\r\n", 1), planned + "\t"} {
		f.Add(text, "fizzed", "40 d", uint8(3))
		f.Add(text, "a \"word\"\n\\ é😀", "2026-12-01", uint8(0))
	}
	f.Add(planned, "100 g", "2026-11-22T10:00:00+05:30", uint8(5))
	f.Fuzz(func(t *testing.T, text, words, at string, kind uint8) {
		path := writeFile(t, text)
		entries := []Entry{NewTasting{At: at, Words: words, Taster: words, Scores: []Score{{"bitter", float64(kind) / 7}}},
			NewPull{[]string{words}, at}, NewStraining{At: at, Volume: words}, NewNote{words, at}, NewBottling{int(kind), words, "", at, 0},
			NewAdded{"demerara sugar", words, at, "", 0}, NewAdded{words, "3 g", at, words, int(kind)}, NewOpening{int(kind), at}, NewEmptying{int(kind) - 100, at}}
		entry := entries[int(kind)%len(entries)]
		if err := Append(path, entry, time.UTC); err != nil {
			if readFile(t, path) != text {
				t.Fatalf("refused, %v, and the file changed", err)
			}
			return
		}
		if readFile(t, path) == text {
			t.Fatal("nothing was added")
		}
		if _, err := Undo(path, "", time.UTC); err != nil {
			t.Fatalf("%+v in %q: %v", entry, readFile(t, path), err)
		}
		if !strings.HasSuffix(text, "\n") {
			text += lineEnd([]byte(text))
		}
		if got := readFile(t, path); got != text {
			t.Fatalf("%+v: %q became %q", entry, text, got)
		}
	})
}

// TestEntriesComeBack: what is logged is read as it was typed.
func TestEntriesComeBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		path := filepath.Join(t.TempDir(), "a.toml")
		if err := os.WriteFile(path, []byte(planned), 0o644); err != nil {
			rt.Fatal(err)
		}
		words := rapid.StringOfN(rapid.RuneFrom([]rune("ab \"'\\\n\t#[]={},é😀")), 1, 20, -1).Draw(rt, "words")
		if err := Append(path, NewNote{words, "6 h"}, time.UTC); strings.TrimSpace(words) == "" {
			if err == nil {
				rt.Fatal("an empty note was taken")
			}
			return
		} else if err != nil {
			rt.Fatal(err)
		}
		b, err := Read(path, time.UTC)
		if err != nil || len(b.Notes) != 1 || b.Notes[0].What != strings.TrimSpace(words) {
			rt.Fatalf("%q came back as %+v, %v", words, b, err)
		}
		if log := b.Log(); !reflect.DeepEqual(log, []Line{{KindNoted, 6, b.At(6), 0, strings.TrimSpace(words)}}) {
			rt.Fatalf("%+v", log)
		}
	})
}

func TestBottleOfANote(t *testing.T) {
	for what, want := range map[string]int{
		"a ring at the neck of bottle 2": 2, "Bottle #3 fizzes": 3, "in bottle no. 4, film": 4, "bottle2 gushed": 2,
		"fizzing": 0, "opened a bottle 2 days ago": 0, "the bottle 0.5 l hissed": 0, "bottle 1 and bottle 2": 0,
		"bottle 2, then bottle 2 again": 2, "bottles 2 and 3": 0, "bottle 99999999999999999999": 0,
	} {
		n := Note{What: what}
		if got := n.Bottle(); got != want {
			t.Errorf("%q: bottle %d, want %d", what, got, want)
		}
	}
}

// TestLogOfOneMoment: what was logged for one moment stands as it was written down, whatever its
// kind, so that what Undo takes out is the last line.
func TestLogOfOneMoment(t *testing.T) {
	const at = "at = \"9 d\"\n"
	b, err := Parse("w.toml", []byte(small+"[[noted]]\nwhat = \"fizzed\"\n"+at+"[[emptied]]\n"+at+
		"[[noted]]\nwhat = \"gone\"\n"+at), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, l := range b.Log() {
		kinds = append(kinds, l.Kind)
	}
	if want := []string{KindNoted, KindEmptied, KindNoted}; !slices.Equal(kinds, want) {
		t.Errorf("the log is %v, want %v", kinds, want)
	}
}

// TestOrderWithinAMinute: of one moment the file says what came first: a tasting of the jar, or of
// what was added to or bottled.
func TestOrderWithinAMinute(t *testing.T) {
	const tasting, added, bottled = "[[tasting]]\nat = \"20 h\"\nscore = { \"blood orange zest\" = 3 }\n",
		"[[added]]\nname = \"demerara sugar\"\namount = \"100 g\"\nat = \"20 h\"\n", "[[bottled]]\nbottles = 2\nat = \"20 h\"\n"
	const strained = "[[strained]]\nat = \"20 h\"\n"
	for log, want := range map[string][2]bool{ // of the jar, of the bottle
		tasting + strained + added + bottled: {true, false},
		strained + added + tasting + bottled: {false, false},
		strained + added + bottled + tasting: {false, true},
		strained + bottled + tasting:         {false, true},
	} {
		b, err := Parse("t.toml", []byte(planned+log), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		x := &b.Tastings[len(b.Tastings)-1]
		if got := [2]bool{b.OfJar(x), b.OfBottle(x)}; got != want {
			t.Errorf("of the jar, of the bottle: %v, want %v\n%s", got, want, log)
		}
	}
}

// TestCurdsAreStrainedToo: what was mixed is strained again, as of curds; its volume is that of the drink,
// the hour at which the jar was strained stays, and what goes in after it adds to it.
func TestCurdsAreStrainedToo(t *testing.T) {
	b, err := Parse("w.toml", []byte(planned+"[[strained]]\nat = \"1 d\"\nvolume = \"680 ml\"\n[[added]]\nname = \"milk\"\namount = \"250 ml\"\nat = \"1 d\"\n"+
		"[[strained]]\nat = \"2 d\"\nvolume = \"850 ml\"\n[[added]]\nname = \"water\"\namount = \"50 ml\"\nat = \"3 d\"\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if m := b.Readings(); *m.StrainedML != 680 || m.StrainedH != 24 || m.VolumeML == nil || *m.VolumeML != 850 || b.StrainedAt().Hours != 24 {
		t.Errorf("%+v, strained at %v", m, b.StrainedAt())
	}
	if milk, water := &b.Additives[0], &b.Additives[1]; b.OfLiquor(milk) || b.Since(milk).Late || !b.Since(water).Late {
		t.Error("which of the two was in when the drink was measured")
	}
	for strained, ofMix := range map[string]bool{"1 h": false, "3 h": true} { // nothing ever steeped: before the milk of the base alone
		b, err := Parse("w.toml", []byte("name = \"w\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nname = \"rum 50 %\"\namount = \"500 ml\"\n"+
			"[[added]]\nname = \"milk\"\namount = \"250 ml\"\nat = \"2 h\"\n[[strained]]\nat = \""+strained+"\"\nvolume = \"480 ml\"\n"), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if m := b.Readings(); (m.VolumeML != nil) != ofMix || (b.Filtered(nil, 4) == 1) != ofMix || (b.StrainedAt() == nil) != ofMix {
			t.Errorf("strained after %s: %+v", strained, m)
		}
	}
}
