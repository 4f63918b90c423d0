package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

// Whatever stands in the files of a book, every command answers or says in a sentence what
// is wrong: no panic, no failure of the machine, no number that is none and nothing that a
// terminal obeys.

// asked are the questions about a batch.
var asked = [][]string{
	{"check"}, {"steep"}, {"steep", "--together"}, {"steep", "--why", "--units", "us"}, {"blend", "--why"}, {"keep", "--why"},
	{"keep", "--opened", "--at", "30 C"}, {"working"}, {"chart", "-o", "."}, {"page", "-o", "x.html"}, {"page", "--bench", "-o", "x.html"},
	{"label", "-o", "x.png"}, {"label", "--sheet", "A4", "-o", "x.pdf"}, {"calendar", "-o", "x.ics"}, {"export", "--csv"},
	{"export", "--log"}, {"export", "--json"}, {"scale", "--to", "x2", "x.toml"}, {"compare", "b.toml"}, {"blend", "--abv", "20"},
	{"blend", "--sugar", "100", "--acid", "5", "--volume", "1 l", "--units", "us"}, {"calendar", "--ready", "2026-12-20", "-o", "x.ics"},
}

// bookQuestions are those about the whole of it.
var bookQuestions = [][]string{{"book", "."}, {"book", "--all", "."}, {"check", "."}, {"calendar", "-o", "x.ics", "."},
	{"lookup", "--learned", "."}, {"export", "--log", "."}}

// questions are two of them: more would only take longer than the fuzzer waits.
func questions(o *somejar.Odd) (all [][]string) {
	cmd := asked[o.Of(len(asked))]
	all = append(all, append([]string{cmd[0], "a.toml"}, cmd[1:]...))
	if o.Of(3) == 2 {
		return append(all, bookQuestions[o.Of(len(bookQuestions))])
	}
	cmd = asked[o.Of(len(asked))]
	return append(all, append([]string{cmd[0], "a.toml"}, cmd[1:]...))
}

// FuzzCommand asks about whatever batch bytes make.
func FuzzCommand(f *testing.F) {
	for i := range 12 {
		f.Add(bytes.Repeat([]byte{byte(11 * i), byte(7 * i), byte(3 * i), byte(5*i + 2), byte(i * i)}, 40))
	}
	home(f)
	f.Fuzz(func(t *testing.T, choices []byte) {
		t.Chdir(t.TempDir())
		o := somejar.NewOdd(choices)
		cmds := questions(o)
		now := o.One("2026-11-23T08:00", "2027-06-01T00:00", "2026-10-25T02:30", "9999-12-31T23:00", "1950-01-01T00:00")
		write(t, "a.toml", o.BatchFile())
		write(t, "b.toml", o.BatchFile())
		for _, cmd := range cmds {
			sound(t, append(cmd, "--now", now)...)
		}
	})
}

// FuzzBookFiles asks about a batch beside whatever rules and library bytes make.
func FuzzBookFiles(f *testing.F) {
	for i := range 12 {
		f.Add(bytes.Repeat([]byte{byte(11 * i), byte(7 * i), byte(3 * i), byte(5*i + 2), byte(i * i)}, 40), "")
	}
	f.Add([]byte("a"), "[[botanical]]\nname = \"clove\"\n[[botanical.cut]]\nname = \"whole\"\nrate_per_h = [1e-9, 1e9]\n")
	home(f)
	f.Fuzz(func(t *testing.T, choices []byte, library string) {
		t.Chdir(t.TempDir())
		o := somejar.NewOdd(choices)
		cmds := append(questions(o), []string{"lookup", o.One("clove", "orange zest", "white sugar", "rum", "--summary", "")})
		write(t, "house.toml", o.HouseFile())
		if library == "" {
			library = o.LibraryFile()
		}
		write(t, "library.toml", library)
		write(t, "a.toml", sixHundred("6", "[[botanical]]\nname = \"clove\"\namount = \"2 g\"\n", "[[addition]]\nname = \"white sugar\"\n"+
			"amount = \"100 g\"\n", "[finish]\nbottle = \"250 ml\"\n", scored("6 h", "\"orange zest\" = 3, clove = 1")))
		write(t, "b.toml", o.BatchFile())
		for _, cmd := range cmds {
			sound(t, append(cmd, "--now", "2026-11-23T08:00")...)
		}
	})
}

// FuzzEvening logs whatever bytes make. What is acknowledged is appended, what is refused
// changes nothing, and undo brings back what was there.
func FuzzEvening(f *testing.F) {
	for i := range 12 {
		f.Add(bytes.Repeat([]byte{byte(11 * i), byte(7 * i), byte(3 * i), byte(5*i + 2), byte(i * i)}, 40))
	}
	home(f)
	words := []string{"a ring", "\x1b[31mred", "a\rb", "\u202ex", "=1+1", "'+x", "\"", "'''", "\\", "#", "a\nb", "\x00", "\xff", "柚子"}
	f.Fuzz(func(t *testing.T, choices []byte) {
		t.Chdir(t.TempDir())
		o := somejar.NewOdd(choices)
		before := sixHundred("6", "[[botanical]]\nname = \"clove\"\namount = \"2 g\"\n[[addition]]\nname = \"white sugar\"\namount = \"100 g\"\n")
		before = before[:len(before)-o.Of(2)] // which may end without a line end
		write(t, "a.toml", before)
		hours := 0
		for range 1 + o.Of(5) {
			hours += o.Of(60)
			at := []string{"--at", fmt.Sprint(hours, " h"), "--now", "2027-01-01T00:00"}
			cmd := []string{"taste", "a.toml", "orange zest=" + o.Number("3", "0", "10", "4.5"), o.One("clove=", "clove＝", "x=") + o.Number("1", "2", "9"), "--taster", o.One(words...),
				"--words", o.One(words...)}
			switch o.Of(10) {
			case 2:
				cmd = []string{"pull", "a.toml", o.One("clove", "orange zest", "x", "--all")}
			case 3:
				cmd = []string{"strain", "a.toml", "--volume", o.Amount("ml", "l", "fl oz")}
			case 4:
				cmd = []string{"add", "a.toml", o.One("white sugar", o.One(words...)) + ": " + o.Amount("g", "ml", "oz")}
			case 5:
				cmd = []string{"bottle", "a.toml", o.One("5", "0", "1", "99999", "-2") + " x " + o.Amount("ml", "fl oz")}
			case 6:
				cmd = []string{"open", "a.toml", o.One("1", "0", "2", "-1", "9999999999999999999")}
			case 7:
				cmd = []string{"empty", "a.toml", o.One("1", "--all", "2", "x")}
			case 8, 9:
				cmd = []string{"note", "a.toml", o.One(words...)}
			}
			again := o.One("", "--again")
			if again != "" {
				at = append(at, again)
			}
			status := sound(t, append(cmd, at...)...)
			now, err := os.ReadFile("a.toml")
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case status == statusInput && string(now) != before:
				t.Fatalf("%q was refused and changed the file:\n%s", cmd, now)
			case status == statusInput:
				continue
			case !strings.HasPrefix(string(now), before) || string(now) == before:
				t.Fatalf("%q was logged and the file is\n%s", cmd, now)
			}
			if _, err := batch.Read("a.toml", time.Local); err != nil {
				t.Fatalf("%q left a file that cannot be read: %v", cmd, err)
			}
			if o.Of(4) == 3 {
				sound(t, "undo", "a.toml", "--now", "2027-01-01T00:00")
				if now, err = os.ReadFile("a.toml"); err != nil || strings.TrimRight(string(now), "\r\n") != strings.TrimRight(before, "\r\n") {
					t.Fatalf("undo of %q left\n%s", cmd, now)
				}
			}
			before = string(now)
		}
		sound(t, "steep", "a.toml", "--now", "2027-01-01T00:00")
	})
}

// FuzzImport takes tastings in from whatever CSV; what came in is there when it is
// exported and brought in once more.
func FuzzImport(f *testing.F) {
	const head = "batch,at,hours,taster,sample,flavour,score,words\r\n"
	for _, s := range []string{head + "a.toml,,6,,,clove,3,\r\n", head + "a.toml,2026-11-21T08:00:00+01:00,,A,1:3,orange zest,4.5,\"bright, thin\"\r\n",
		"sep=;\nhours;flavour;score\n6;clove;3\n7;clove;4,5\n", "at\tflavour\tscore\n6 h\tclove\t'+3\n", head + "x,,6,\"a\rb\",,clove,=1+1,'=x\r\n",
		"hours,flavour,score\n1e9,clove,NaN\n-1,clove,1e400\n", "\ufeffhours,flavour,score,taster\n6,clove,3,\u202ex\n", "score,flavour,hours\n３,clove,６\n"} {
		f.Add([]byte(s))
	}
	home(f)
	f.Fuzz(func(t *testing.T, csv []byte) {
		t.Chdir(t.TempDir())
		write(t, "a.toml", sixHundred("6", "[[botanical]]\nname = \"clove\"\namount = \"2 g\"\n"))
		write(t, "t.csv", string(csv))
		const now = "--now=2027-01-01T00:00"
		if sound(t, "import", "a.toml", "t.csv", now) == statusInput {
			return
		}
		once, err := os.ReadFile("a.toml")
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "export", "a.toml", "--csv", "-o", "u.csv", now)
		if status := sound(t, "import", "a.toml", "u.csv", now); status == statusInput && strings.Contains(string(once), "[[tasting]]") {
			t.Fatal("what was exported cannot be brought in")
		}
		if twice, err := os.ReadFile("a.toml"); err != nil || !bytes.Equal(once, twice) {
			t.Fatalf("brought in once more it is not what was there:\n%s", twice)
		}
	})
}

// home keeps whatever a command would look for in the house of a user away from a test.
func home(f *testing.F) { f.Setenv("HOME", f.TempDir()) }

var (
	nonsense = regexp.MustCompile(`\b[Nn]a[Nn]\b|[+-]?\bInf\b|%!|\d[eE][+-]?\d\d|-9223372036854775808|\d~|(^|[\s(=])-0([.]0+)?([^.\d]|$)`)
	// what the maker wrote is given back as it was
	citations = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
	hugeJSON  = regexp.MustCompile(`[:\[,]\s*-?[\d.]+[eE][+-]?\d|[:\[,]\s*-0[,\s\]}]`)
)

// sound runs a line and holds what every answer must be.
func sound(t *testing.T, typed ...string) (status int) {
	t.Helper()
	status, out, errs := run(t, typed...)
	wrong := func(what, in string) { t.Errorf("%q: status %d: %s in\n%.2000s%s", typed, status, what, in, errs) }
	switch {
	case status != statusAnswered && status != statusInput && status != statusAct:
		wrong("no status of an answer", out)
	case status == statusInput && out+errs == "":
		wrong("no word of what is wrong", out)
	}
	for _, text := range []string{out, errs} {
		if i := strings.IndexFunc(text, func(r rune) bool { return r != '\n' && unicode.IsControl(r) }); i >= 0 && typed[0] != "export" {
			wrong(fmt.Sprintf("%q", text[max(0, i-20):min(len(text), i+20)]), text)
		}
	}
	if s := nonsense.FindString(citations.ReplaceAllString(out, "")); s != "" && status != statusInput && typed[0] != "export" {
		wrong(fmt.Sprintf("%q", s), out)
	}
	if status == statusInput || writes[typed[0]] {
		return status
	}
	again, out, errs := run(t, append(typed, "--json")...)
	if again != status || !json.Valid([]byte(out)) {
		wrong(fmt.Sprintf("as JSON status %d", again), out)
	}
	if s := hugeJSON.FindString(citations.ReplaceAllString(out, `""`)); s != "" {
		wrong(fmt.Sprintf("%q", s), out)
	}
	return status
}

// writes are the commands that would do twice what they are asked twice, and the one
// that says itself what it prints.
var writes = map[string]bool{"taste": true, "pull": true, "strain": true, "add": true, "bottle": true, "open": true, "empty": true,
	"note": true, "undo": true, "import": true, "scale": true, "export": true}

// TestOddFilesAreMostlyRight: a fuzzer that makes nothing but faults finds none.
func TestOddFilesAreMostlyRight(t *testing.T) {
	right, n, r := 0, 400, rand.New(rand.NewPCG(1, 2))
	for range n {
		seed := make([]byte, 300)
		for k := range seed {
			seed[k] = byte(r.Uint32())
		}
		file := filepath.Join(t.TempDir(), "a.toml")
		src := somejar.NewOdd(seed).BatchFile()
		_, err := batch.Parse(file, []byte(src), time.Local)
		if err == nil {
			right++
		} else if testing.Verbose() {
			t.Log(err)
		}
	}
	t.Logf("%d of %d", right, n)
	if right < n/4 {
		t.Errorf("%d of %d are right", right, n)
	}
}
