package sidebyside

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/shelf"
)

// TestReasonOfWhatWasCondemned: of a batch that was not to be drunk compare says why, whether some of it is
// left or it was emptied, and of one that was fine it says nothing.
func TestReasonOfWhatWasCondemned(t *testing.T) {
	now := time.Date(2026, 11, 27, 18, 0, 0, 0, time.UTC)
	jar := func(name, spirit, botanical, log string) compare.Subject {
		return compare.Subject{Library: library.Builtin(), Batch: somejar.Parse(t, "name = \""+name+
			"\"\nstarted = 2026-11-20T18:00:00\nroom = \"20 C\"\n[spirit]\nname = \""+spirit+
			"\"\namount = \"700 ml\"\n[[botanical]]\nname = \""+botanical+"\"\namount = \"60 g\"\ntarget = 5\n"+log)}
	}
	for _, c := range []struct {
		spirit, botanical, why string
		left                   bool // said of what is left, in other words
	}{
		{"vodka 40 %", "oleander", "a single leaf can kill", true},
		{"vodka 40 %", "foxglove", "foxglove", true},
		{"white wine 8 %", "garlic", "makes people ill", false},
		{"vodka 50 %", "green cardamom", "", true},
	} {
		for _, log := range []string{"", "[[strained]]\nat = \"4 d\"\n[[emptied]]\nat = \"5 d\"\n"} {
			cmp, err := compare.Compare([]compare.Subject{jar("A", "vodka 50 %", "green cardamom", ""),
				jar("B", c.spirit, c.botanical, log)}, now)
			if err != nil {
				t.Fatal(err)
			}
			says := strings.Join(Screen(cmp, pen.Style{}).Say, "\n")
			is, _, _ := strings.Cut(says, "A is A ")
			told := strings.Contains(is, "B: ")
			bad := cmp.Batches[1].Keep.Where() == shelf.VerdictDiscard
			if told != bad || bad != (c.why != "") {
				t.Errorf("%s, %q: discard %v, told %v:\n%s", c.botanical, log, bad, told, says)
			}
			if (log != "" || c.left) && !strings.Contains(is, c.why) {
				t.Errorf("%s, %q: no %q in\n%s", c.botanical, log, c.why, says)
			}
		}
	}
}
