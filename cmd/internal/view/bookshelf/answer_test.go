package bookshelf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
)

// TestAllThatIsDueIsPrinted: the rows that are due are the answer, however many they are; what
// is beyond an evening's work is counted, and what could not be read stands on top.
func TestAllThatIsDueIsPrinted(t *testing.T) {
	for _, n := range []int{3, 20, 45} {
		b := &book.Shelf{Now: after(40 * 24)}
		for i := range n {
			src := somejar.Told{Name: fmt.Sprintf("jar %d", i), Cut: "zest", Target: 4,
				Scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5}}.Src()
			a := judged(t, src, b.Now)
			g, err := due.Look(a)
			if err != nil {
				t.Fatal(err)
			}
			a.Slim()
			b.Batches = append(b.Batches, g)
			b.Wrong = append(b.Wrong, book.Wrong{File: "zz.toml", Problem: "zz.toml: no name"})
		}
		due.SortByDue(b.Batches)
		var out bytes.Buffer
		if err := Print(view.NewPage(&out, pen.Style{}), b, false, false); err != nil {
			t.Fatal(err)
		}
		text := out.String()
		if got, want := strings.Count(text, "\nnow "), min(n, mostRows); got != want {
			t.Errorf("%d of %d rows that are due\n%s", got, want, text)
		}
		if more := fmt.Sprintf("(%d of them due now)", n-mostRows); n > mostRows && !strings.Contains(text, more) {
			t.Errorf("not %q\n%s", more, text)
		}
		if top, _, _ := strings.Cut(text, "\nnow "); strings.Count(top, "Not read: zz.toml") != 3 ||
			strings.Contains(top, "more could not be read") != (n > 4) {
			t.Errorf("what was not read\n%s", top)
		}
	}
}

// TestDangerIsMarked: a row is marked where the answers of its batch begin with what can hurt in
// the drink that day, and the mark stands at the first row of each.
func TestDangerIsMarked(t *testing.T) {
	// Of two sticks a glass holds the coumarin of a day for years, and hurts nobody that day.
	const cassia = "name = \"A\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nabv = 50\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"cassia\"\ncut = \"sticks\"\namount = \"2 sticks\"\ntarget = 4\n"
	const anise = "name = \"B\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nabv = 50\namount = \"300 ml\"\n" +
		"[[botanical]]\nname = \"star anise\"\namount = \"2 pieces\"\ntarget = 2\n"
	marked := map[uint64]bool{}
	for number := range uint64(62) {
		j := somejar.New(number).Lived(number)
		src, now := j.String(), somejar.Time(j.Now)
		switch number {
		case 60:
			src, now = anise, after(24)
		case 61:
			src, now = cassia, after(24)
		}
		a := judged(t, src, now)
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		begins := len(bottle.Begin(a).Danger) > 0
		a.Slim()
		for i, r := range Rows(&book.Shelf{Now: a.Now, Batches: []due.Glance{g}}, pen.Style{}) {
			if r.Danger && (!begins || i > 0) || i == 0 && r.Danger != (len(bottle.Hurting(a)) > 0) {
				t.Errorf("%d: row %d is marked: %v; its answers begin with a danger: %v", number, i, r.Danger, begins)
			}
			marked[number] = marked[number] || r.Danger
		}
	}
	if !marked[60] || marked[61] {
		t.Errorf("anise is marked: %v, cassia: %v", marked[60], marked[61])
	}
}

// TestShortFormKeepsEveryOrder: where a book is longer than its screen each batch that it counts has a row,
// which says what is to be done, and where it is cut.
func TestShortFormKeepsEveryOrder(t *testing.T) {
	in := "[[addition]]\nname = \"orange juice\"\namount = \"30 ml\"\n[[addition]]\nname = \"blood orange syrup\"\n" +
		"amount = \"100 g\"\n[[addition]]\nname = \"demerara sugar\"\namount = \"100 g\"\n"
	kinds := []struct{ more, order string }{{in, "add the "}, {in + strings.ReplaceAll(strings.ReplaceAll(in, "[addition]", "[added]"), "amount", "at = \"8 d\"\namount") + "[measured]\nvolume = \"630 ml\"\n", "if it may be drunk, drink it up: "},
		{"leave_in = true\n", "bottle it"}}
	for _, n := range []int{3, 9, 24} {
		b := &book.Shelf{Now: after(0)}
		for i := range n {
			j := somejar.Told{Name: fmt.Sprintf("a jar with a name of its own, and that number %d", i), Start: "2026-09-20T18:00:00",
				Scores: somejar.Done(1), Pulled: 192, More: kinds[i%3].more}
			if i%3 == 2 {
				j.Pulled = 0
			}
			g, err := due.Look(judged(t, j.Src(), b.Now))
			if err != nil {
				t.Fatal(err)
			}
			b.Batches = append(b.Batches, g)
		}
		due.SortByDue(b.Batches)
		var out bytes.Buffer
		if err := Print(view.NewPage(&out, pen.Style{}), b, false, false); err != nil {
			t.Fatal(err)
		}
		for _, k := range kinds {
			if got := strings.Count(out.String(), "  "+k.order); got != n/3 {
				t.Errorf("%d of %d rows begin with %q\n%s", got, n/3, k.order, out.String())
			}
		}
	}
}
