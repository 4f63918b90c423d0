package bookshelf

import (
	"bytes"
	"regexp"
	"slices"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// placed are words for a place or a day to which something keeps.
var placed = regexp.MustCompile(`(?i)\b(good|best) (until|by|for)\b|\bin the (fridge|freezer)\b|\bon a shelf\b|in a (room|cellar) at`)

// TestNothingKeepsThatMustNotBeDrunk lays what must not be drunk into jars at every stage
// of their lives: the danger is the first thing of every answer, which names no place and
// no day, and the maker must act.
func TestNothingKeepsThatMustNotBeDrunk(t *testing.T) {
	for number := range somejar.Many(25) {
		j := somejar.New(number).Lived(number)
		bad := []string{"bitter almonds", "yew", "calamus", "tonka bean"}[number%4]
		src := j.String() + "\n[[botanical]]\nname = \"" + bad + "\"\namount = \"400 g\"\n"
		b, err := batch.Parse("jar.toml", []byte(src), time.UTC)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: somejar.Time(j.Now)})
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		if g.Stage == due.Finished || bad == "tonka bean" && a.Keep.Stop != keeping.TooMuch {
			continue
		}
		style := pen.Style{}
		lines, err := worksheet.Work(a, style)
		if err != nil {
			t.Fatal(err)
		}
		var json bytes.Buffer
		if err := bottle.Keep(view.NewPage(&json, pen.Style{JSON: true}), a, false); err != nil {
			t.Fatal(err)
		}
		danger := bottle.CanHurt(a)
		if len(danger) == 0 || !due.MustAct(a) || !bytes.Contains(json.Bytes(), []byte(`"advised": null`)) {
			t.Errorf("jar %d with %s: %q, must act %v", number, bad, danger, due.MustAct(a))
			continue
		}
		log := b.Log()
		screens := []pen.Screen{bottle.KeepScreen(a, style), bottle.BlendScreen(a, nil, style), steep.Screen(a, style),
			logbook.LoggedScreen(&g, log, false, style)}
		said := pen.Screen{Say: danger[:1]}.Said(style.Units).Say[0]
		for i, s := range screens {
			if s.Say[0] != said {
				t.Errorf("jar %d with %s, screen %d begins %q, not %q", number, bad, i, s.Say[0], said)
			}
			for _, l := range lines {
				s.Notes = append(s.Notes, l.Sentence())
			}
			for _, text := range slices.Concat(s.Say, s.Danger, s.Due, s.Notes) {
				if bad := placed.FindString(text); bad != "" {
					t.Errorf("jar %d, screen %d: %q in %q", number, i, bad, text)
				}
			}
		}
	}
}
