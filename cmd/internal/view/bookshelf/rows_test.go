package bookshelf

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// oddBatches calls each with every batch that random bytes make, some of which stay in the jar for good, at
// some moment of its life.
func oddBatches(t *testing.T, each func(src string, g *due.Glance)) {
	for seed := range somejar.Many(240) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		bytes := make([]byte, 400)
		for i := range bytes {
			bytes[i] = byte(rnd.Uint32())
		}
		src := somejar.NewOdd(bytes).BatchFile()
		if seed%2 == 0 {
			src = regexp.MustCompile(`(?m)^leave_in.*$|\n\[\[(pulled|strained|bottled|emptied|opened)\]\](\n.+)*`).
				ReplaceAllString(src, "")
			src = strings.ReplaceAll(src, "[[botanical]]\n", "[[botanical]]\nleave_in = true\n")
		}
		b, err := batch.Parse("odd.toml", []byte(src), time.UTC)
		if err != nil {
			continue
		}
		now := b.Started.Add(time.Duration(rnd.IntN(3000)) * time.Hour)
		a, err := bench.Read(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			continue
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		each(src, &g)
	}
}

// TestEveryBatchStandsSomewhere: each batch of a book is counted once, and named in a row or above them all.
func TestEveryBatchStandsSomewhere(t *testing.T) {
	seen := map[due.Kind]int{}
	oddBatches(t, func(src string, g *due.Glance) {
		seen[g.Due.Kind]++
		b := &book.Shelf{Now: g.Assessment.Now, Batches: []due.Glance{*g}}
		s := Screen(b, true, pen.Style{})
		_, counts, _ := strings.Cut(s.Say[0], "batch: ")
		n := 0
		for _, word := range strings.Fields(counts) {
			k, _ := strconv.Atoi(word)
			n += k
		}
		if n != 1 {
			t.Errorf("%s (due %q at stage %s)\n%s", s.Say[0], g.Due.Kind, g.Stage, src)
		}
		if len(s.Rows) == 0 && !slices.ContainsFunc(s.Danger, func(d string) bool {
			return strings.Contains(d, g.Assessment.Batch.Name)
		}) {
			t.Errorf("no row, due %q at stage %s\n%s", g.Due.Kind, g.Stage, src)
		}
	})
	if seen[due.Bottle] == 0 {
		t.Error("none waits to be bottled")
	}
}

// TestARowKnowsWhatHurts: a row of a book, which has let go of all that it does not say, names the same dangers
// as every other answer about the batch.
func TestARowKnowsWhatHurts(t *testing.T) {
	any := 0
	oddBatches(t, func(src string, g *due.Glance) {
		a := g.Assessment.Speaking()
		whole, told := bottle.CanHurt(a), bottle.BeginWhole(a)
		told.Say = append(told.Say, told.Danger...)
		g.Assessment.Slim()
		row := bottle.CanHurt(g.Assessment)
		if !slices.Equal(row, whole) {
			t.Errorf("the row says\n%q\nand not\n%q\n%s", row, whole, src)
		}
		if len(whole) > 0 && !slices.Equal(told.Say, whole) {
			t.Errorf("the screen says\n%q\nand the program\n%q\n%s", told.Say, whole, src)
		}
		any += len(whole)
	})
	if any == 0 {
		t.Error("nothing hurt")
	}
}
