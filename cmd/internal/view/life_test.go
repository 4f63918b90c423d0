package view

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
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// TestViewsOfALife holds the views against each other over batches at every stage of
// their lives: none speaks of what is out as if it steeped, or of what is gone as if it
// stood there, and all name the same days.
func TestViewsOfALife(t *testing.T) {
	stages := map[due.Stage]int{}
	for number := range uint64(150) {
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
		k := a.Keep
		wrong := func(format string, args ...any) {
			t.Errorf("jar %d, %s: "+format, append([]any{number, g.Stage}, args...)...)
		}

		style := pen.Style{}
		first := KeepScreen(a, style).Say[0]
		var text bytes.Buffer
		if err := Steep(NewPage(&text, style), a, false); err != nil {
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
			gone && (g.Due.Kind != due.Nothing || g.Due.Overdue || a.KeepAct() || !g.Until.IsZero()) {
			wrong("gone %v, due %+v, until %v, keep says %q", gone, g.Due, g.Until, first)
		}
		if !gone && !g.Until.Equal(k.Advised.Until) && !k.SinceAt.IsZero() {
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
		if a.Alive() != nil && (!strings.HasPrefix(first, "Do not serve it: ") || g.Due.Kind != due.Discard || !a.KeepAct()) {
			wrong("%+v was seen, and keep says %q, book %+v", a.Alive(), first, g.Due)
		}
		if !gone && a.Alive() == nil && !k.Past && !k.Advised.Until.IsZero() && len(k.MustNot)+len(k.Over) == 0 &&
			!strings.Contains(first, quantity.Say(dateOf(k.Advised.Until, now), quantity.Metric)) {
			wrong("keep says %q, its day is %s", first, dateOf(k.Advised.Until, now))
		}
		same := struct {
			keep, book string
		}{untilOf(t, keepJSON(a), "advised", "until"), ""}
		if g.Stage != due.Finished && !k.SinceAt.IsZero() {
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
	if err := NewPage(&out, pen.Style{JSON: true}).WriteJSON(answer); err != nil {
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

// TestLoggedAdditionsAreThePlan: who logs all that was planned has the blend that was
// planned, in one go or in two.
func TestLoggedAdditionsAreThePlan(t *testing.T) {
	const plan = "name = \"x\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\n" +
		"[[addition]]\nname = \"white sugar\"\namount = \"300 g\"\n[[addition]]\nname = \"water\"\namount = \"1 cup\"\n" +
		"[[strained]]\nat = \"5 d\"\n"
	read := func(more string) *bench.Assessment {
		a, err := bench.Read(somejar.Parse(t, plan+more), library.Builtin(), bench.Question{Now: somejar.Started.AddDate(0, 0, 20)})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	sugar := func(amount string) string {
		return "[[added]]\nname = \"White sugar\"\namount = \"" + amount + "\"\nat = \"6 d\"\n"
	}
	bottled := "[[bottled]]\nat = \"7 d\"\n"
	planned := read("").Blend.Result
	for more, want := range map[string]float64{
		sugar("300 g"): 1, sugar("100 g"): 1, sugar("0.1 kg") + sugar("200 g"): 1, sugar("300 g") + bottled: 1, bottled: 1,
		sugar("450 g"): 1.5, sugar("150 g") + bottled: 0.5, sugar("150 g") + sugar("450 g"): 2,
	} {
		a := read(more)
		got := a.Blend.Result.Parts.SugarG() / planned.Parts.SugarG()
		if diff := got - want; diff > 0.01 || diff < -0.01 {
			t.Errorf("%q: %.3f of the sugar planned, want %.3f", more, got, want)
		}
		if more == sugar("100 g") {
			if so := a.SoFar(); so == nil || so.Result.Parts.SugarG() > 0.36*planned.Parts.SugarG() || len(a.Recipe.ToCome) != 2 ||
				rest(a, &a.Recipe.ToCome[0]).Text != "200 g" {
				t.Errorf("to come %+v", a.Recipe.ToCome)
			}
		}
	}
	if a := read(bottled); a.SoFar() != nil || len(a.Recipe.ToCome) > 0 {
		t.Error("something is to come of what is bottled")
	}
	// Into the jar before it is strained: it steeps with the rest.
	early := strings.Replace(sugar("300 g"), "6 d", "1 d", 1)
	if a := read(early); len(a.Recipe.Additions) != 2 || a.Recipe.Additions[0].Entry.In == nil {
		t.Errorf("%+v", a.Recipe.Additions)
	}
}
