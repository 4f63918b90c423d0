package prior

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/kinetics"
)

// priorOf is what a jar to come is believed to do in the light of the others.
func priorOf(t testing.TB, next somejar.Told, book ...*batch.Batch) (kinetics.Prior, string) {
	t.Helper()
	if next.Start == "" {
		next.Start = "2026-11-30T18:00:00"
	}
	c := inBook(t, somejar.Library(t), named(t, "next.toml", next.Src()), book...)
	return c.Prior, strings.Join(c.Moved, "\n")
}

// A backup says nothing a second time, whatever its name, older ones with fewer
// tastings included; a jar that began at another minute is a jar of its own.
func TestCopiesTeachOnce(t *testing.T) {
	all := somejar.Told{Scores: somejar.Done(1), Pulled: 192}
	fewer := somejar.Told{Scores: map[float64]float64{24: 2.5, 48: 4}}
	other := all
	other.Start = "2026-03-02T18:01:00"
	once, _ := priorOf(t, somejar.Told{}, named(t, "m.toml", all.Src()))
	for _, name := range []string{"a.toml", "z.toml"} {
		if p, _ := priorOf(t, somejar.Told{}, named(t, "m.toml", all.Src()), named(t, name, all.Src())); p != once {
			t.Errorf("with the copy %s: %+v, want %+v", name, p, once)
		}
		if p, _ := priorOf(t, somejar.Told{}, named(t, "m.toml", all.Src()), named(t, name, fewer.Src())); p != once {
			t.Errorf("with the old copy %s: %+v, want %+v", name, p, once)
		}
	}
	if p, _ := priorOf(t, somejar.Told{}, named(t, "m.toml", all.Src()), named(t, "z.toml", other.Src())); p == once {
		t.Error("another jar taught nothing")
	}
	got := NewBook(somejar.Library(t), somejar.Later, []*batch.Batch{named(t, "z.toml", fewer.Src()), named(t, "m.toml", all.Src()), named(t, "b.toml", other.Src())}).Copies()
	if len(got) != 1 || got["z.toml"] != "m.toml" {
		t.Errorf("copies %v", got)
	}
}

// No jar learns from a copy of itself, before or after a tasting more.
func TestNoJarLearnsFromItself(t *testing.T) {
	one := somejar.Told{Scores: map[float64]float64{24: 2.5, 48: 4}, Start: "2026-11-30T18:00:00"}
	alone, _ := priorOf(t, one)
	if p, _ := priorOf(t, one, named(t, "copy.toml", one.Src())); p != alone {
		t.Errorf("from its copy: %+v, want %+v", p, alone)
	}
	more := one
	more.Scores = map[float64]float64{24: 2.5, 48: 4, 96: 5}
	if p, _ := priorOf(t, more, named(t, "copy.toml", one.Src())); p != alone {
		t.Errorf("from an old copy: %+v, want %+v", p, alone)
	}
	b := named(t, "next.toml", one.Src())
	if a := inBook(t, somejar.Library(t), b, b); a.Prior != alone {
		t.Error("from its own file")
	}
}

// Same cut before same lot before nearness; two dozen at most; ties by file name.
func TestNearestTeach(t *testing.T) {
	var list []*batch.Batch
	add := func(name string, j somejar.Told) {
		if j.Start == "" {
			j.Start = fmt.Sprintf("2026-10-%02dT18:00:00", 1+len(list)%28)
		}
		j.Scores = somejar.Done(1)
		list = append(list, named(t, name+".toml", j.Src()))
	}
	add("zest near", somejar.Told{Cut: "zest"})
	add("lot far", somejar.Told{Start: "2019-10-01T18:00:00", Amount: "60 g", More: "lot = \"tin 4\"\n"})
	for i := range 30 {
		add(fmt.Sprintf("plain %02d", i), somejar.Told{Start: fmt.Sprintf("2026-%02d-%02dT18:00:00", 1+i/5, 1+i%5)})
	}
	b := named(t, "next.toml", somejar.Told{Start: "2026-11-30T18:00:00", More: "lot = \"Tin  4\"\n"}.Src())
	k := NewBook(somejar.Library(t), somejar.Later, list)
	lines, err := recipe.Read(b, somejar.Library(t), math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	asker := newVoice(b, &lines.Botanicals[0], lines, k)
	all := k.about("test peel", "next.toml")
	got := asker.nearest(all)
	var names []string
	for _, v := range got {
		names = append(names, v.file)
	}
	if len(all) != 32 || len(got) != mostTeachers || names[0] != "lot far.toml" || slices.Contains(names, "zest near.toml") || slices.Contains(names, "plain 06.toml") || !slices.Contains(names, "plain 29.toml") {
		t.Errorf("%d of %d: %q", len(got), len(all), names)
	}
	slices.Reverse(all)
	again := asker.nearest(all)
	for i := range again {
		if again[i].file != names[i] {
			t.Errorf("in another order: %s, was %s", again[i].file, names[i])
		}
	}
	if _, said := priorOf(t, somejar.Told{}, list...); !strings.Contains(said, "16 of the 32 batches") {
		t.Error(said)
	}
	// 10 % vol, 10 °C, a doubling and a year are a unit each.
	x := &voice{state: state{20, 40}, doseGPerL: 20, started: somejar.Later}
	y := &voice{state: state{30, 50}, doseGPerL: 40, started: somejar.Later.Add(-365.25 * 24 * time.Hour)}
	if d := x.distance(y); math.Abs(d-4) > 1e-9 {
		t.Errorf("distance %g, want 4", d)
	}
}

// Another cut teaches by the ratio of the library's rates, less surely than the
// same cut, and however many there are the doubt of that ratio stays.
func TestAnotherCutTeachesLess(t *testing.T) {
	slow := map[float64]float64{24: 0.6, 48: 1.2, 96: 2.1, 192: 3.6} // half the library's rate
	var zests, strips []*batch.Batch
	for i := range 20 {
		start := fmt.Sprintf("2026-%02d-%02dT18:00:00", 1+i/5, 1+i%5)
		strips = append(strips, named(t, fmt.Sprintf("s%02d.toml", i), somejar.Told{Start: start, Scores: slow}.Src()))
		quick := map[float64]float64{}
		for h, s := range slow {
			quick[h/10] = s // the library's zest is ten times as fast
		}
		zests = append(zests, named(t, fmt.Sprintf("z%02d.toml", i), somejar.Told{Start: start, Cut: "zest", Scores: quick}.Src()))
	}
	alone, _ := priorOf(t, somejar.Told{})
	one, said := priorOf(t, somejar.Told{}, zests[0])
	many, _ := priorOf(t, somejar.Told{}, zests...)
	same, _ := priorOf(t, somejar.Told{}, strips...)
	if !strings.Contains(said, "1 of them is of another cut") {
		t.Error(said)
	}
	if !(many.LogRate.Mean < alone.LogRate.Mean-0.1 && math.Abs(many.LogRate.Mean-same.LogRate.Mean) < 0.6) {
		t.Errorf("rate %+v by another cut, %+v by the same, %+v by the library", many.LogRate, same.LogRate, alone.LogRate)
	}
	// Of the time to two points: rates of different shapes are no one's doubt.
	doubt := func(p kinetics.Prior) float64 {
		post, err := p.Posterior(nil)
		if err != nil {
			t.Fatal(err)
		}
		w := post.TimeToScore(2)
		return math.Log(w.P75 / w.P25)
	}
	if !(doubt(same) < doubt(many) && doubt(many) < doubt(one) && doubt(one) < doubt(alone)) {
		t.Errorf("doubts: same cut %g, twenty of another %g, one %g, none %g", doubt(same), doubt(many), doubt(one), doubt(alone))
	}
	// The library's own doubt of 0.69 and a ratio in doubt by 0.54 leave no less
	// than 1/√(1/0.69² + 1/0.54²) = 0.42.
	if many.LogRate.SD < 0.42 {
		t.Errorf("twenty jars of another cut leave a doubt of %g", many.LogRate.SD)
	}
}

// The book as it is opened for one jarred, a glance at each file first, teaches what
// the whole book teaches.
func TestAGlanceFindsTheSameTeachers(t *testing.T) {
	dir := t.TempDir()
	var files []Candidate
	var whole []*batch.Batch
	for i := range 100 {
		j := somejar.Told{Start: fmt.Sprintf("2025-%02d-%02dT18:00:00", 1+i/10, 1+i%10), Scores: somejar.Done(0.8 + float64(i%5)/10), Botanical: []string{"test peel", "test bark", "peels, test"}[i%3]}
		if j.Botanical == "test bark" {
			j.Cut = "chips"
		}
		f := filepath.Join(dir, fmt.Sprintf("%03d.toml", 100-i))
		src := []byte(j.Src())
		if err := os.WriteFile(f, src, 0o600); err != nil {
			t.Fatal(err)
		}
		b := named(t, f, j.Src())
		g, _, parsed, err := batch.ReadOutline(f, time.UTC)
		var words []string
		for _, h := range b.Botanicals {
			words = append(words, h.Words()...)
		}
		if err != nil || parsed != nil || !g.Started.Equal(b.Started) || !slices.Equal(g.Words, words) {
			t.Fatalf("glance %+v, parsed %v (%v), want %v, %q", g, parsed != nil, err, b.Started, words)
		}
		files, whole = append(files, Candidate{f, g}), append(whole, b)
	}
	next := named(t, "next.toml", somejar.Told{Start: "2026-11-30T18:00:00"}.Src())
	read := map[int]bool{}
	Teachers(next, somejar.Library(t), files, func(list []int) []bool {
		good := make([]bool, len(list))
		for j, i := range list {
			read[i], good[j] = true, true
		}
		return good
	})
	var some []*batch.Batch
	for i, b := range whole {
		if read[i] {
			some = append(some, b)
		}
	}
	if len(some) == len(whole) || len(some) > mostLookedAt {
		t.Errorf("%d of %d files are read", len(some), len(whole))
	}
	a, b := inBook(t, somejar.Library(t), next, some...), inBook(t, somejar.Library(t), next, whole...)
	if a.Prior != b.Prior || a.Batches != mostTeachers {
		t.Errorf("%+v by a glance, %+v by the whole book", a.Prior, b.Prior)
	}
}
