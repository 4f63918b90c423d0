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
// about before it is written.
func TestOddBottling(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	form := []string{"bottles", "40", "of", "250 ml", "at", "13 h"}
	want(t, s.send("/b/orange/bottle", s.ticket("/b/orange"), form...), 200, `name="again"`,
		"By the log, the orange zest and clove are still in the jar.")
	want(t, s.send("/b/orange/strain", s.ticket("/b/orange"), "at", "12 h"), 303)
	want(t, s.send("/b/orange/bottle", s.ticket("/b/orange"), form...), 200, `name="again"`,
		"40 bottles of 250 ml hold 10 l, and there is about")
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
