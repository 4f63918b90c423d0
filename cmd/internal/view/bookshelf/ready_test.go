package bookshelf

import (
	"bytes"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/work"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// TestOneForecast: over random lives with a day to be ready by, steep, keep, book, calendar
// and page say of it in one sentence; it is that of the dates in the calendar; and what book
// has next after straining is what the order of work has.
func TestOneForecast(t *testing.T) {
	late, inTime, adds := 0, 0, 0
	for number := range somejar.Either[uint64](20, 40) {
		j := somejar.New(number).Lived(number)
		now := somejar.Time(j.Now)
		ready := now.AddDate(0, 0, int(number*number%45))
		src := fmt.Sprintf("ready = %s\n%s", ready.Format(time.DateOnly), j)
		dir := t.TempDir()
		file := filepath.Join(dir, "jar.toml")
		if err := os.WriteFile(file, []byte(src), 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := batch.Parse(file, []byte(src), time.UTC)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		if g.Due.Kind == due.Add {
			adds++
			heldToWork(t, number, a)
		}
		if g.Aim == nil || g.Stage == due.Bottled && g.Due.Overdue { // of which only that is said
			continue
		}
		if g.Aim.InTime() {
			inTime++
		} else {
			late++
		}
		words := view.AimWords(g.Aim, now)
		for name, text := range told(t, dir, &g) {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(quantity.Say(words, quantity.Metric))) {
				t.Errorf("jar %d, %s: %s does not say %q:\n%s", number, g.Stage, name, words, text)
			}
		}
		heldToDates(t, number, &g)
	}
	if late < 5 || inTime < 4 || adds < 2 {
		t.Errorf("%d late, %d in time, %d with something to add", late, inTime, adds)
	}
}

// told is what the views say of a batch.
func told(t *testing.T, dir string, g *due.Glance) map[string]string {
	t.Helper()
	a, style := g.Assessment, pen.Style{Units: quantity.Metric}
	screen := func(s pen.Screen) string { return strings.Join(slices.Concat(s.Say, s.Due, s.Notes), " ") }
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	events := ""
	for _, e := range calendar.Entries(g, dates, quantity.Metric, nil) {
		events += e.Event.Description
	}
	shelf, err := book.Look(dir, []string{a.Batch.File}, a.Now)
	if err != nil {
		t.Fatal(err)
	}
	rows := ""
	for _, r := range Rows(shelf, style) {
		rows += r.What
	}
	var page bytes.Buffer
	if err := sheet.Page(&page, a, library.Builtin(), style); err != nil {
		t.Fatal(err)
	}
	return map[string]string{"steep": screen(steep.Screen(a, style)), "keep": screen(bottle.KeepScreen(a, style)),
		"calendar": events, "book": rows, "page": html.UnescapeString(page.String())}
}

// heldToDates: a jar that steeps is in time where the dates of the calendar are.
func heldToDates(t *testing.T, number uint64, g *due.Glance) {
	t.Helper()
	p := g.Aim.Plan
	if g.Stage != due.Steeping || p.Unsound {
		return
	}
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	var done time.Time
	for _, d := range dates {
		rested := g.Aim.Ready.Truncate(24*time.Hour).Sub(d.At.Truncate(24*time.Hour)).Hours() / 24
		if d.Kind == due.Bottle && p.Young && !p.TooLate && int(rested) != p.RestedDays {
			t.Errorf("jar %d: bottled on %v it has rested for %g days, not %d", number, d.At, rested, p.RestedDays)
		}
		if d.Kind == due.Bottle || d.Kind == due.Rested {
			done = d.At
		}
	}
	if p.Young {
		return
	}
	end := p.Ready.Truncate(24*time.Hour).AddDate(0, 0, 1)
	if p.TooLate {
		end = g.Aim.Ready.Truncate(24*time.Hour).AddDate(0, 0, 1)
	}
	if done.IsZero() || done.Before(end) != !p.TooLate {
		t.Errorf("jar %d: too late %v for %v, and the dates have it bottled or rested on %v", number, p.TooLate, end, done)
	}
}

// heldToWork: something goes in before the bottle in the order of work too.
func heldToWork(t *testing.T, number uint64, a *bench.Assessment) {
	t.Helper()
	steps, err := work.Of(a)
	if err != nil {
		t.Fatal(err)
	}
	for i := range steps {
		switch s := &steps[i]; {
		case s.Done:
		case s.Kind == work.Strengthen || s.Kind == work.Sweeten || s.Kind == work.Dilute || s.Kind == work.Add ||
			s.Kind == work.Sour:
			return
		case s.Kind == work.Bottle || s.Kind == work.Stop:
			t.Errorf("jar %d: %s before what is still to go in", number, s.Kind)
			return
		}
	}
}
