package textout

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// steepText is what is printed of a jar of half a litre of vodka.
func steepText(t *testing.T, rest, now string) string {
	t.Helper()
	at, err := time.Parse("2006-01-02T15:04", now)
	if err != nil {
		t.Fatal(err)
	}
	src := "name = \"T\"\nstarted = 2026-06-01T12:00:00\nroom = \"20 C\"\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" + rest
	b, err := batch.Parse("t.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: at})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Steep(NewPage(&out, Style{}), a); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(out.String()), " ")
}

func tastings(name string, list ...string) string {
	var b strings.Builder
	for i := 0; i < len(list); i += 2 {
		b.WriteString("[[tasting]]\nat = \"" + list[i] + "\"\nscore = { " + strings.ReplaceAll(name, "%", list[i+1]) + " }\n")
	}
	return b.String()
}

func TestOrdersDoNotContradict(t *testing.T) {
	for _, c := range []struct {
		what, rest, now string
		says, not       []string
	}{
		{"a limit reached while the flavour rises", "[[botanical]]\nname = \"black tea\"\namount = \"2 g\"\ntarget = 8\n[[watch]]\nname = \"bitter\"\nlimit = 2\nfrom = [\"black tea\"]\n" +
			"[[tasting]]\nat = \"2 h\"\nscore = { \"black tea\" = 4, bitter = 0 }\n[[tasting]]\nat = \"3.5 h\"\nscore = { \"black tea\" = 6, bitter = 1 }\n[[tasting]]\nat = \"6 h\"\nscore = { \"black tea\" = 8, bitter = 3 }\n",
			"2026-06-01T18:05", []string{"Pull the black tea now: the bitter is at its limit.", "at its limit now"}, []string{"Leave", "strain what brings it", "never"}},
		{"a decline", "[[botanical]]\nname = \"basil\"\namount = \"20 g\"\ntarget = 6\n" + tastings("basil = %", "6 h", "4", "12 h", "6", "24 h", "7", "48 h", "6", "96 h", "4", "144 h", "2", "192 h", "1"),
			"2026-06-09T13:00", []string{"at its best after about 25 h", "the dose can stay"}, []string{"never", "next time: ", "as strong as it gets"}},
		{"the target just tasted", "[[botanical]]\nname = \"jalapeno\"\namount = \"3 pieces\"\ntarget = 5\n" + tastings("jalapeno = %", "10 min", "2", "14 min", "4", "18 min", "5"),
			"2026-06-01T12:18", []string{"at the strength wanted", "taste again in 2 min"}, []string{"between", "today 12:00"}},
		{"nothing at all", "[[botanical]]\nname = \"clove\"\namount = \"1 g\"\nbought = 2026-05-20\ntarget = 4\n" + tastings("clove = %", "6 h", "0", "12 h", "0", "24 h", "0", "72 h", "0"),
			"2026-06-04T12:30", []string{"Nothing has come of the clove: check its age and the amount", "nothing has come"}, []string{"Pull", "as strong as it gets", "never"}},
		{"a watched taste that rises", "[[botanical]]\nname = \"orange zest\"\ncut = \"strips\"\namount = \"20 g\"\ntarget = 6\n[[watch]]\nname = \"bitter\"\nlimit = 4\n" + tastings("bitter = %", "12 h", "1", "24 h", "2", "36 h", "3"),
			"2026-06-03T00:30", []string{"at its limit after about 2 d if it goes on so"}, []string{"never gets there"}},
	} {
		text := steepText(t, c.rest, c.now)
		for _, s := range c.says {
			if !strings.Contains(text, s) {
				t.Errorf("%s: %q is not said in\n%s", c.what, s, text)
			}
		}
		for _, s := range c.not {
			if strings.Contains(text, s) {
				t.Errorf("%s: %q is said in\n%s", c.what, s, text)
			}
		}
	}
}

func TestAheadIsWhatIsPrinted(t *testing.T) {
	now := time.Date(2026, 6, 1, 12, 18, 0, 0, time.UTC)
	for minutes := -60; minutes < 240; minutes++ {
		at := now.Add(time.Duration(minutes) * time.Minute)
		for _, doubt := range []float64{0.1, 0.6, 2, 6} {
			printed := moment(at, now, doubt)
			clock, err := time.Parse("15:04", strings.TrimPrefix(printed, "today "))
			if err != nil {
				t.Fatal(printed)
			}
			past := clock.Hour()*60+clock.Minute() <= now.Hour()*60+now.Minute()
			past = past || minutes <= 0
			if ahead(at, now, doubt) == past {
				t.Fatalf("%d min ahead with a doubt of %g h is printed %q, ahead %v", minutes, doubt, printed, !past)
			}
		}
	}
}
