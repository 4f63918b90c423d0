package batch

import (
	"testing"
	"time"
)

// TestWhatAReadingIsOf: [measured] is of what is logged above it; what is logged below went in later, before its
// volume was logged or not; where nothing is logged above, or what stands below went in before what stands above,
// nobody knows.
func TestWhatAReadingIsOf(t *testing.T) {
	const read = "[measured]\nabv = 29\n"
	log := func(kind, at, keys string) string { return "[[" + kind + "]]\nat = \"" + at + "\"\n" + keys }
	sugar := func(at string) string { return log("added", at, "name = \"sugar\"\namount = \"100 g\"\n") }
	water := func(at string) string { return log("added", at, "name = \"water\"\namount = \"100 ml\"\n") }
	plan := "name = \"w\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nname = \"rum 50 %\"\namount = \"500 ml\"\n[[botanical]]\nname = \"vanilla\"\namount = \"2 g\"\n" +
		"[[addition]]\nname = \"sugar\"\namount = \"100 g\"\n"
	tasted := log("tasting", "12 h", "score = { vanilla = 2 }\n")
	strained, bottled := log("strained", "24 h", ""), log("bottled", "30 h", "bottles = 2\nof = \"250 ml\"\n")
	yield := log("bottled", "30 h", "bottles = 2\nof = \"250 ml\"\nvolume = \"550 ml\"\n")
	late, after, moot := Since{Late: true}, Since{After: true}, Since{Moot: true}
	for src, want := range map[string]struct {
		logged   []Since
		unlogged Since
		whole    bool
	}{
		read:                                            {nil, Since{}, true},
		tasted + read:                                   {nil, Since{}, true},
		tasted + strained + read:                        {nil, late, false},
		strained + read + bottled:                       {nil, moot, false},
		strained + bottled + read:                       {nil, Since{}, true},
		strained + sugar("25 h") + read:                 {[]Since{{}}, Since{}, true},
		strained + read + sugar("25 h"):                 {[]Since{late}, late, false},
		strained + read + sugar("25 h") + bottled:       {[]Since{late}, moot, false},
		strained + read + sugar("25 h") + yield:         {[]Since{after}, moot, false},
		strained + sugar("25 h") + read + water("26 h"): {[]Since{{}, late}, late, false},
		read + strained + sugar("25 h"):                 {[]Since{moot}, moot, false},
		tasted + read + water("13 h") + strained:        {[]Since{after}, late, false},
		strained + sugar("26 h") + read + water("25 h"): {[]Since{{}, moot}, late, false},
		strained + bottled + read + water("40 h"):       {[]Since{late}, Since{}, true},
	} {
		b, err := Parse("w.toml", []byte(plan+src), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		for i := range b.Additives {
			if got := b.Since(&b.Additives[i]); got != want.logged[i] {
				t.Errorf("%q: the %s is %+v", src, b.Additives[i].Name, got)
			}
		}
		if got := b.SinceUnlogged(100); got != want.unlogged || b.ReadWhole() != want.whole {
			t.Errorf("%q: what nobody logged is %+v, the whole was read: %v", src, got, b.ReadWhole())
		}
	}
}
