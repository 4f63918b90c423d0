package bookshelf

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// TestViewsOfALife holds the views against each other over batches at every stage of
// their lives: none speaks of what is out as if it steeped, or of what is gone as if it
// stood there, and all name the same days.
func TestViewsOfALife(t *testing.T) {
	stages := map[due.Stage]int{}
	for number := range somejar.Many(30) {
		j := somejar.New(number).Lived(number)
		now := somejar.Time(j.Now)
		b, err := batch.Parse("jar.toml", []byte(j.String()), time.UTC)
		if err != nil {
			t.Fatalf("%v\n%s", err, j)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			t.Fatalf("%v\n%s", err, j)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		stages[g.Stage]++
		if g.Stage != due.Bottled && g.Stage != due.Finished && g.Due.Kind != due.Discard &&
			!(g.Due.Kind == due.Use && g.Due.Overdue) && len(Rows(&book.Shelf{Now: now, Batches: []due.Glance{g}}, pen.Style{})) == 0 {
			t.Errorf("jar %d, %s: no row, though there is work to do: %+v", number, g.Stage, g.Due)
		}
		k := a.Keep
		wrong := func(format string, args ...any) {
			t.Errorf("jar %d, %s: "+format, append([]any{number, g.Stage}, args...)...)
		}

		style := pen.Style{}
		first := bottle.KeepScreen(a, style).Say[0]
		var text bytes.Buffer
		if err := steep.Print(view.NewPage(&text, style), a, false); err != nil {
			t.Fatal(err)
		}
		steep := text.String()
		if g.Stage != due.Steeping {
			for i := range a.Curves {
				if c := &a.Curves[i]; c.InJar() && !c.Botanical.LeaveIn {
					wrong("the %s is still in the jar", c.Name)
				}
			}
			for _, word := range []string{"aste the", "aste next", "Pull ", "pull now", "Strain", "Leave "} {
				if strings.Contains(steep, word) {
					wrong("steep says %q:\n%s", word, steep)
				}
			}
		}
		gone := a.Bottles().Emptied != nil
		if gone != (g.Stage == due.Finished) || gone != strings.HasPrefix(first, "Nothing is left of it") ||
			gone && (g.Due.Kind != due.Nothing || g.Due.Overdue || due.MustAct(a) || !g.Until.IsZero()) {
			wrong("gone %v, due %+v, until %v, keep says %q", gone, g.Due, g.Until, first)
		}
		if !gone && !g.Until.Equal(k.Advised.Until) {
			wrong("book has it to %v, keep to %v", g.Until, k.Advised.Until)
		}
		for i, o := range k.Open {
			if i == 0 && (!o.At.Equal(k.OpenedAt) || !o.Until.Equal(k.Advised.Until)) {
				wrong("the first open bottle, %+v, is not that of the answer, %v to %v", o, k.OpenedAt, k.Advised.Until)
			}
			if o.Until.Before(o.At) && !o.Until.IsZero() && k.Advised.Until.After(o.Until) {
				wrong("a bottle that was opened late, %+v, outlives the answer", o)
			}
		}
		if a.Keep.Alive() != nil && (!strings.HasPrefix(first, "Do not serve it: ") || g.Due.Kind != due.Discard || !due.MustAct(a)) {
			wrong("%+v was seen, and keep says %q, book %+v", a.Keep.Alive(), first, g.Due)
		}
		if !gone && a.Keep.Alive() == nil && !k.Past && !k.Advised.Until.IsZero() && len(k.MustNot)+len(k.Over) == 0 &&
			!strings.Contains(first, quantity.Say(view.DateOf(k.Advised.Until, now), quantity.Metric)) {
			wrong("keep says %q, its day is %s", first, view.DateOf(k.Advised.Until, now))
		}
		same := struct {
			keep, book string
		}{untilOf(t, bottle.KeepJSON(a), "advised", "until"), ""}
		if g.Stage != due.Finished {
			same.book = untilOf(t, bookJSON(&book.Shelf{Now: now, Batches: []due.Glance{g}}), "batches", "0", "keep", "until")
			if same.keep != same.book {
				wrong("keep says %s and book %s", same.keep, same.book)
			}
		}
	}
	for _, s := range []due.Stage{due.Strained, due.Bottled, due.Finished} {
		if stages[s] < 5 {
			t.Errorf("%d batches of 150 are %s", stages[s], s)
		}
	}
}

// untilOf is a value of an answer for programs; null for one that is not there.
func untilOf(t *testing.T, answer pen.Object, path ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := view.NewPage(&out, pen.Style{JSON: true}).WriteJSON(answer); err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(out.Bytes(), &v); err != nil {
		t.Fatal(err)
	}
	for _, key := range path {
		switch at := v.(type) {
		case map[string]any:
			v = at[key]
		case []any:
			v = at[0]
		}
	}
	text, _ := json.Marshal(v)
	return string(text)
}
