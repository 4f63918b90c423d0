package web

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestFileNames: whatever a batch is called, its file has a name that is safe on every
// system, leads nowhere, and is not there yet.
func TestFileNames(t *testing.T) {
	for name, file := range map[string]string{
		"Winter orange & friends": "winter-orange-friends.toml", "../../etc/passwd": "etc-passwd.toml", "": "batch.toml",
		"House": "house-batch.toml", "LIBRARY": "library-batch.toml", "con": "con-batch.toml", "lpt1": "lpt1-batch.toml",
		"Zwölf 12": "zwölf-12.toml", "漢字": "漢字.toml", "...": "batch.toml", "a\x00b": "a-b.toml", "orange": "orange-2.toml",
	} {
		if got := fileName(name, []string{"Orange.toml"}); got != file {
			t.Errorf("%q is written as %q, want %q", name, got, file)
		}
	}
	safe := regexp.MustCompile(`^[\pL0-9]+(-[\pL0-9]+)*\.toml$`)
	rapid.Check(t, func(t *rapid.T) {
		there := rapid.SliceOf(rapid.SampledFrom([]string{"a.toml", "a-2.toml", "batch.toml"})).Draw(t, "there")
		got := fileName(rapid.String().Draw(t, "name"), there)
		if !safe.MatchString(got) || len(got) > 255 || !utf8.ValidString(got) || slices.Contains(there, got) ||
			got == "house.toml" || got == "library.toml" {
			t.Fatalf("%q", got)
		}
	})
}

// TestNewBatch: nothing is written before it is asked for, once where it is asked for
// twice, and never over a file.
func TestNewBatch(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	files := func() []string {
		t.Helper()
		all, err := filepath.Glob(filepath.Join(s.dir, "*"))
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	form := []string{"name", "Orange", "spirit", "vodka 40 %", "amount", "500 ml", "botanical.0.name", "clove",
		"botanical.0.amount", "2 g", "botanical.0.target", "3", "watch.0.name", "bitter", "watch.0.limit", "2",
		"watch.0.from", "clove", "press", "false", "addition.0.name", "white sugar", "addition.0.amount", "200 g"}
	ticket := s.ticket("/new")
	want(t, s.send("/new", ticket, append(form, "do", "plan")...), 200, "Nothing is written yet", "orange-2.toml",
		"from   = [&#34;clove&#34;]", "press  = false")
	want(t, s.send("/new", ticket, append(form, "do", "more botanical")...), 200, `name="botanical.3.name"`,
		`value="clove"`)
	for say, change := range map[string][]string{
		"It needs a name": {"Orange", " "}, "no wanted strength": {"3", "lots"}, "is no day to come": {"do", "ready"},
	} {
		bad := append(slices.Clone(form), "do", "plan", "ready", "")
		if change[1] == "ready" {
			bad[len(bad)-1] = "1999-01-01"
		} else {
			bad[slices.Index(bad, change[0])] = change[1]
		}
		want(t, s.send("/new", ticket, bad...), 200, say, `role="alert"`)
	}
	if n := len(files()); n != 1 {
		t.Fatalf("%d files before anything was to be written", n)
	}
	write := append(form, "do", "write")
	for range 2 {
		w := s.send("/new", ticket, write...)
		want(t, w, 303)
		want(t, s.ask("GET", w.Header().Get("Location"), ""), 200, "Written down as orange-2.toml")
	}
	if n := len(files()); n != 2 {
		t.Errorf("%d files: %q", n, files())
	}
	b := s.read("orange-2.toml")
	if b.Name != "Orange" || len(b.Botanicals) != 1 || b.Finish.Press == nil || *b.Finish.Press ||
		!slices.Equal(b.Watches[0].From, []string{"clove"}) {
		t.Errorf("%+v", b)
	}
	if old, err := os.ReadFile(filepath.Join(s.dir, "orange.toml")); err != nil || string(old) != orange {
		t.Errorf("the old batch was touched: %v", err)
	}
	if w := s.send("/new", newTicketsIssue(), write...); w.Code != 200 || !strings.Contains(w.Body.String(), "from before") || strings.Contains(w.Body.String(), s.dir) {
		t.Errorf("a ticket of another server: %d", w.Code)
	}
}

// TestAllFaultsAtOnce: each is said, linked to its field, which is marked, in the words of
// the form; a comma is a point.
func TestAllFaultsAtOnce(t *testing.T) {
	s := serve(t, nil)
	form := []string{"do", "plan", "name", "", "started", "whenever", "room", "cosy", "spirit", "vodka 40 %", "amount", "lots",
		"botanical.0.name", "clove", "botanical.0.amount", "2 gx", "botanical.1.name", "", "botanical.1.amount", "3 g",
		"botanical.2.name", "mace", "botanical.2.amount", "2 g", "botanical.2.target", "3,5", "watch.0.name", "bitter",
		"watch.0.limit", "some", "watch.0.from", "lime", "bottle", "huge", "ready", "1999-01-01"}
	w := s.send("/new", s.ticket("/new"), form...)
	for _, field := range []string{"name", "started", "room", "amount", "botanical.0.amount", "botanical.1.name",
		"watch.0.limit", "watch.0.from", "bottle", "ready"} {
		id := fieldID(field)
		want(t, w, 200, `href="#`+id+`"`, `id="`+id+`-bad"`, `aria-describedby="`+id+`-bad"`)
	}
	body := w.Body.String()
	for _, text := range []string{"[[", "room = ", fieldID("botanical.2.target") + "-bad"} {
		if strings.Contains(body, text) {
			t.Errorf("%q stands on the page", text)
		}
	}
	good := []string{"do", "plan", "name", "mace", "started", "yesterday 18:00", "spirit", "vodka 40 %", "amount", "500 ml",
		"botanical.0.name", "mace", "botanical.0.amount", "2 g", "botanical.0.target", "3,5", "ready", "2027-06-03"}
	w = s.send("/new", s.ticket("/new"), good...)
	want(t, w, 200, "target = 3.5", "ready   = 2027-06-03", "The day it is to be ready", "Nothing is written yet")
	for _, text := range []string{"just started", "(expected)", "1 in ", "bought =", "bag = true"} {
		if strings.Contains(w.Body.String(), text) {
			t.Errorf("%q stands on the plan", text)
		}
	}
}
