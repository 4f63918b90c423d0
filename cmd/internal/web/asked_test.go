package web

import (
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// undo sends the form that takes out the last entry.
func (s *site) undo(page string) *httptest.ResponseRecorder {
	s.t.Helper()
	m := regexp.MustCompile(`name="entry" value="([^"]+)"`).FindStringSubmatch(s.ask("GET", page, "").Body.String())
	if m == nil {
		s.t.Fatal("nothing can be undone")
	}
	return s.send(page+"/undo", s.ticket(page), "entry", m[1])
}

// TestUndoIsOfOneEntry: a page that another phone has overtaken takes nothing out.
func TestUndoIsOfOneEntry(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	want(t, s.send("/b/orange/note", s.ticket("/b/orange"), "what", "clear", "at", "12 h"), 303)
	page := s.ask("GET", "/b/orange", "").Body.String()
	mark := regexp.MustCompile(`name="entry" value="([^"]+)"`).FindStringSubmatch(page)
	if mark == nil || !strings.Contains(page, "Undo: noted clear, 06:00") {
		t.Fatal("the form does not name its entry")
	}
	want(t, s.send("/b/orange/pull", s.ticket("/b/orange"), "name", "clove", "at", "13 h"), 303)
	want(t, s.send("/b/orange/undo", s.ticket("/b/orange"), "entry", mark[1]), 200, "Something else was logged since",
		"pulled clove, 07:00", "Nothing was taken out")
	want(t, s.send("/b/orange/undo", s.ticket("/b/orange")), 200, "does not say what")
	if b := s.read("orange.toml"); len(b.Notes) != 1 || len(b.Pulls) != 1 {
		t.Errorf("log: %v", b.Log())
	}
}

// TestOddBottling: what steeps still, and more bottles than there is liquor for, is asked
// about before it is written; so is a volume that cannot be, and one that is far off is said.
func TestOddBottling(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	form := []string{"bottles", "40", "of", "250 ml", "at", "13 h"}
	want(t, s.send("/b/orange/bottle", s.ticket("/b/orange"), form...), 200, `name="again"`,
		"By the log, the orange zest and clove are still in the jar.")
	want(t, s.send("/b/orange/strain", s.ticket("/b/orange"), "at", "12 h", "volume", "9 l"), 200, `name="again"`, "9 l came out")
	w := s.send("/b/orange/strain", s.ticket("/b/orange"), "at", "12 h", "volume", "150 ml")
	want(t, w, 303)
	want(t, s.ask("GET", w.Header().Get("Location"), ""), 200, "is the measured volume right? It is used; if not, undo it.")
	want(t, s.send("/b/orange/bottle", s.ticket("/b/orange"), form...), 200, `name="again"`,
		"40 bottles of 250 ml: that is 10 l, and there is about")
	if b := s.read("orange.toml"); len(b.Bottlings) != 0 {
		t.Errorf("log: %v", b.Log())
	}
	want(t, s.send("/b/orange/bottle", s.ticket("/b/orange"), append(form, "again", "1")...), 303)
	if b := s.read("orange.toml"); len(b.Bottlings) != 1 {
		t.Errorf("log: %v", b.Log())
	}
}

// TestWhatWasSaid: a page that is loaded again says what was logged for some minutes only,
// and what is next only while nothing else was logged.
func TestWhatWasSaid(t *testing.T) {
	clock := now
	s := serve(t, map[string]string{"orange.toml": orange}, func(c *Config) { c.Now = func() time.Time { return clock } })
	w := s.send("/b/orange/pull", s.ticket("/b/orange"), "name", "clove")
	done := w.Header().Get("Location")
	want(t, s.ask("GET", done, ""), 200, `role="status"`)
	want(t, s.send("/b/orange/note", s.ticket("/b/orange"), "what", "clear"), 303)
	want(t, s.ask("GET", done, ""), 200, "pulled", "More has been logged since")
	clock = clock.Add(time.Hour)
	if w := s.ask("GET", done, ""); w.Code != 200 || strings.Contains(w.Body.String(), `role="status"`) {
		t.Error("an hour later it is said still")
	}
}

// TestWhatWasTyped: a form that comes back can be loaded again, on its own page only; what
// nobody keeps is said.
func TestWhatWasTyped(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange, "lime.toml": orange})
	w := s.ask("POST", "/b/orange/note", url.Values{"ticket": {s.ticket("/b/orange")}, "what": {"cloudy"}, "at": {"soonish"}}.Encode())
	at, place, _ := strings.Cut(w.Header().Get("Location"), "#")
	if w.Code != 303 || place != "answer" {
		t.Fatalf("%d %s", w.Code, w.Header())
	}
	for range 2 {
		want(t, s.ask("GET", at, ""), 200, `value="cloudy"`, `value="soonish" aria-invalid="true" aria-describedby="in-note-at-bad"`)
	}
	other := s.ask("GET", strings.Replace(at, "orange", "lime", 1), "")
	if want(t, other, 200, "not kept any longer"); strings.Contains(other.Body.String(), `value="cloudy"`) {
		t.Error("what was typed shows on another page")
	}
	want(t, s.ask("GET", "/new?typed=x", ""), 200, "not kept any longer")
	for range mostTyped {
		s.typed(t)
	}
	want(t, s.ask("GET", at, ""), 200, "not kept any longer")
}

// typed sends a form that comes back.
func (s *site) typed(t *testing.T) {
	t.Helper()
	s.ask("POST", "/new", "name=x&do=plan")
}

// TestBrokenFile: a file that cannot be read stands on top of the book, by its name as it is.
func TestBrokenFile(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange, "Winter-Lime.toml": "nonsense"})
	w := s.ask("GET", "/", "")
	want(t, w, 200, "Winter-Lime.toml:1")
	if body := w.Body.String(); strings.Index(body, "Winter-Lime") > strings.Index(body, `href="/b/orange"`) {
		t.Error("it stands below the batches")
	}
	s = serve(t, map[string]string{"winter.toml": "nonsense"})
	want(t, s.ask("GET", "/b/winter", ""), 422, "This batch cannot be read: winter.toml:1")
}

// TestWhatCannotBeWritten is shown, to be pasted.
func TestWhatCannotBeWritten(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	file := filepath.Join(s.dir, "orange.toml")
	if err := os.Chmod(file, 0o444); err != nil {
		t.Fatal(err)
	}
	w := s.send("/b/orange/note", s.ticket("/b/orange"), "what", "cloudy <b>", "at", "3 h")
	want(t, w, 200, "[[noted]]", "cloudy &lt;b&gt;", "the file is read-only", "add these lines")
	if strings.Contains(w.Body.String(), s.dir) {
		t.Errorf("a path is told: %s", w.Body)
	}
}

// TestTypedWhileAnEditorSaves: what is sent while the file is half saved, away or shut comes
// back with all that was typed, and can be sent again from there.
func TestTypedWhileAnEditorSaves(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	file := filepath.Join(s.dir, "orange.toml")
	for name, spoil := range map[string]func() error{
		"half saved": func() error { return os.WriteFile(file, []byte(orange[:len(orange)/2]), 0o644) },
		"emptied":    func() error { return os.Truncate(file, 0) },
		"away":       func() error { return os.Remove(file) },
	} {
		ticket := s.ticket("/b/orange")
		if err := spoil(); err != nil {
			t.Fatal(err)
		}
		form := url.Values{"ticket": {ticket}, "score:orange zest": {"4"}, "half:orange zest": {"1"}, "sample": {neat},
			"words": {"thin <b> " + name}, "at": {"12 h"}}
		w := s.ask("POST", "/b/orange/taste", form.Encode())
		at := w.Header().Get("Location")
		if w.Code != 303 {
			t.Fatalf("%s: %d\n%s", name, w.Code, w.Body)
		}
		at, _, _ = strings.Cut(at, "#")
		w = s.ask("GET", at, "")
		for _, wanted := range []string{`role="alert"`, `action="/b/orange/taste"`, "thin &lt;b&gt; " + name,
			`name="score:orange zest" value="4"`, "<dt>half a point more, orange zest</dt>", `name="ticket" value="` + ticket} {
			if w.Code < 400 || !strings.Contains(w.Body.String(), wanted) {
				t.Errorf("%s: %d without %q:\n%s", name, w.Code, wanted, w.Body)
			}
		}
		if err := os.WriteFile(file, []byte(orange), 0o644); err != nil { // the editor is done
			t.Fatal(err)
		}
		want(t, s.ask("GET", at, ""), 200, "thin &lt;b&gt; "+name, `name="score:orange zest" value="4" checked`)
		if w = s.ask("POST", "/b/orange/taste", form.Encode()); w.Code != 303 || !strings.Contains(w.Header().Get("Location"), "done=") {
			t.Errorf("%s: sent again: %d %s", name, w.Code, w.Header())
		}
		if b := s.read("orange.toml"); len(b.Tastings) != 1 || b.Tastings[0].Words != "thin <b> "+name {
			t.Errorf("%s: log: %v", name, b.Log())
		}
		if err := os.WriteFile(file, []byte(orange), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// A whole book that is away.
	ticket := s.ticket("/b/orange")
	if err := os.Rename(s.dir, s.dir+"-away"); err != nil {
		t.Fatal(err)
	}
	w := s.ask("POST", "/b/orange/note", url.Values{"ticket": {ticket}, "what": {"cloudy"}}.Encode())
	at, _, _ := strings.Cut(w.Header().Get("Location"), "#")
	if w = s.ask("GET", at, ""); !strings.Contains(w.Body.String(), "cloudy") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if err := os.Rename(s.dir+"-away", s.dir); err != nil {
		t.Fatal(err)
	}
}

// TestAllFaultsOfAnEntry: a form is told all that is wrong in it, each beside its field.
func TestAllFaultsOfAnEntry(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for _, c := range []struct {
		act  string
		form []string
		say  []string
	}{
		{"taste", []string{"score:clove", "3", "sample", "other", "other", "3-1", "at", "25:00"},
			[]string{`href="#in-taste-at"`, `href="#in-taste-other"`}},
		{"bottle", []string{"bottles", "many", "of", "a jug", "volume", "some", "at", "25:00"},
			[]string{`href="#in-bottle-at"`, `href="#in-bottle-bottles"`, `href="#in-bottle-of"`, `href="#in-bottle-volume"`}},
		{"add", []string{"name", "honey", "amount", "much"}, []string{`href="#in-add-amount"`}},
	} {
		want(t, s.send("/b/orange/"+c.act, s.ticket("/b/orange"), c.form...), 200, c.say...)
	}
	if b := s.read("orange.toml"); len(b.Log()) != 0 {
		t.Errorf("log: %v", b.Log())
	}
}

// TestSaidWithoutTheFile: where there are forms nobody is told what to write in a file, or on
// which line of it something stands.
func TestSaidWithoutTheFile(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	want(t, s.send("/b/orange/pull", s.ticket("/b/orange"), "name", "clove", "at", "13 h"), 303)
	w := s.send("/b/orange/pull", s.ticket("/b/orange"), "name", "clove", "at", "14 h")
	want(t, w, 200, "&#34;clove&#34; came out already, 13 h after the start.")
	if err := os.WriteFile(filepath.Join(s.dir, "bare.toml"), []byte("name = \"Bare\"\nstarted = 2026-11-20T18:00:00\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	bare := s.ask("GET", "/b/bare", "")
	want(t, bare, 200, "nothing that is a liquid is written yet")
	plan, _, _ := strings.Cut(s.send("/new", s.ticket("/new"), "do", "plan", "name", "N", "botanical.0.name", "clove").Body.String(), "<pre>")
	sugar := s.send("/b/orange/add", s.ticket("/b/orange"), "name", "white sugar", "amount", "3 crates")
	want(t, sugar, 200, `role="alert"`)
	twice := s.send("/new", s.ticket("/new"), "do", "plan", "name", "N", "botanical.0.name", "clove", "botanical.1.name", "clove")
	want(t, twice, 200, "Two botanicals are called &#34;clove&#34;")
	for _, page := range []string{w.Body.String(), s.ask("GET", "/b/orange", "").Body.String(), bare.Body.String(), plan,
		sugar.Body.String(), twice.Body.String()} {
		if bad := regexp.MustCompile(`\w+ = (&#34;|true|false|\d)|\bline \d|\[\w+\]|library\.toml`).FindString(page); bad != "" {
			t.Errorf("the page says %q", bad)
		}
	}
	for text, fact := range map[string]string{
		`ginger: it is taken as fresh; if it is dried, write cut = "dried"`:                      "ginger: it is taken as fresh",
		"Not said, from drained to pressed: write press = true or press = false under [finish].": "Not said, from drained to pressed.",
		"write press = true or press = false":                                                    "",
		"log it with its time (--at 2026-12-03T20:19); undo it":                                  "log it with its time; undo it",
		"weigh the vodka":    "weigh the vodka",
		"at 12:30: taste it": "at 12:30: taste it",
	} {
		if got := inForms([]string{text})[0]; got != fact {
			t.Errorf("%q is said as %q", text, got)
		}
	}
}

// TestStrainingOfWhatIsOut: what was pulled piece by piece can still be measured, as the command
// takes it, until that is logged.
func TestStrainingOfWhatIsOut(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	want(t, s.send("/b/orange/pull", s.ticket("/b/orange"), "name", "clove", "name", "orange zest", "at", "13 h"), 303)
	want(t, s.ask("GET", "/b/orange", ""), 200, `id="form-strain"`)
	want(t, s.send("/b/orange/strain", s.ticket("/b/orange"), "volume", "650 ml", "at", "14 h"), 303)
	if page := s.ask("GET", "/b/orange", "").Body.String(); strings.Contains(page, `id="form-strain"`) {
		t.Error("it can be strained twice")
	}
}

// TestWhatLiesInBottlesComesOut: what stays in, or was put back, is offered to be pulled until that is logged, and
// no straining of what is bottled is.
func TestWhatLiesInBottlesComesOut(t *testing.T) {
	const begun = "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"200 g\"\n"
	const filled = "[[bottled]]\nat = \"31 d\"\n"
	s := serve(t, map[string]string{"stays.toml": begun + "leave_in = true\n" + filled,
		"back.toml": begun + "[[strained]]\nat = \"30 d\"\n[[added]]\nname = \"sour cherry\"\namount = \"60 g\"\nat = \"30 d\"\n" +
			filled},
		func(c *Config) { c.Now = func() time.Time { return time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC) } })
	for _, at := range []string{"/b/stays", "/b/back"} {
		page := s.ask("GET", at, "")
		if want(t, page, 200, `id="form-pull"`); strings.Contains(page.Body.String(), `id="form-strain"`) {
			t.Errorf("%s: it is to be strained", at)
		}
		want(t, s.send(at+"/pull", s.ticket(at), "name", "sour cherry", "at", "100 d"), 303)
		if strings.Contains(s.ask("GET", at, "").Body.String(), `id="form-pull"`) {
			t.Errorf("%s: it is to come out twice", at)
		}
	}
}

// TestCalendarOfABatch: the page links to the dates as the command writes them.
func TestCalendarOfABatch(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	want(t, s.ask("GET", "/b/orange", ""), 200, `href="/b/orange/calendar.ics"`)
	w := s.ask("GET", "/b/orange/calendar.ics", "")
	want(t, w, 200, "BEGIN:VCALENDAR", "SUMMARY:Taste the")
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, "text/calendar") {
		t.Errorf("it is %s", got)
	}
}

// TestSentAgain: what was logged and is in the file no longer is not said to be logged, nor
// written unasked; what is there is said again, however late.
func TestSentAgain(t *testing.T) {
	clock := now
	s := serve(t, map[string]string{"orange.toml": orange}, func(c *Config) { c.Now = func() time.Time { return clock } })
	file := filepath.Join(s.dir, "orange.toml")
	entries := func(n int) {
		t.Helper()
		if b := s.read("orange.toml"); len(b.Log()) != n {
			t.Fatalf("log: %v, want %d", b.Log(), n)
		}
	}
	for name, takeOut := range map[string]func(){
		"undone": func() { want(t, s.undo("/b/orange"), 303) },
		"restored": func() {
			if err := os.WriteFile(file, []byte(orange), 0o644); err != nil {
				t.Fatal(err)
			}
		},
	} {
		ticket := s.ticket("/b/orange")
		form := []string{"score:clove", "3", "sample", neat, "words", name, "at", "12 h"}
		w := s.send("/b/orange/taste", ticket, form...)
		want(t, w, 303)
		done := w.Header().Get("Location")
		clock = clock.Add(time.Hour)
		want(t, s.send("/b/orange/taste", ticket, form...), 303)
		want(t, s.ask("GET", done, ""), 200, `role="status"`, "Logged in Orange", "clove 3 (neat).")
		entries(1)
		takeOut()
		if body := s.ask("GET", done, "").Body.String(); !strings.Contains(body, "It is not in the log any more") {
			t.Errorf("%s: the page does not say that it is gone", name)
		}
		w = s.send("/b/orange/taste", ticket, form...)
		want(t, w, 200, "was taken out of the log or changed since", `value="3" checked`, `value="`+name+`"`)
		entries(0)
		next := ticketField.FindStringSubmatch(w.Body.String())[1]
		want(t, s.send("/b/orange/taste", next, form...), 303)
		entries(1)
		want(t, s.undo("/b/orange"), 303)
	}
}

// TestNextOfWhatIsStrained: what is to be done with it stands above where it keeps, with its form open.
func TestNextOfWhatIsStrained(t *testing.T) {
	log := ""
	forms := regexp.MustCompile(`<details open>\s*<summary>([^<]*)`)
	for _, x := range []struct{ log, says, open string }{
		{"[[strained]]\nat = \"13 h\"\n", "Next: add the white sugar and water, then bottle it.", "Something went in"},
		{"[[added]]\nname = \"white sugar\"\namount = \"320 g\"\nat = \"13 h\"\n[[added]]\nname = \"water\"\namount = \"220 ml\"\nat = \"13 h\"\n",
			"Next: bottle it and measure the volume.", "Bottle it"},
		{"[[bottled]]\nbottles = 1\nof = \"700 ml\"\nat = \"13.5 h\"\n", "", ""},
	} {
		log += x.log
		s := serve(t, map[string]string{"orange.toml": orange + log})
		page := s.ask("GET", "/b/orange", "").Body.String()
		next, keep, open := strings.Index(page, "<strong>"+x.says), strings.Index(page, `id="keep"`), forms.FindStringSubmatch(page)
		if x.says != "" && (next < 0 || next > keep || len(open) == 0 || open[1] != x.open) || x.says == "" && len(open) > 0 {
			t.Errorf("%q: it says so at %d, where it keeps at %d, open is %q", x.says, next, keep, open)
		}
	}
}
