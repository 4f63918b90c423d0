package web

import (
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// checks are the rules of html-validate (npm): all that are recommended, those of
// accessibility among them, but for the length of a title and blanks at the end of a line.
const checks = `{"root": true, "extends": ["html-validate:recommended", "html-validate:a11y"],
	"rules": {"long-title": "off", "no-trailing-whitespace": "off", "no-inline-style": "error",
	"form-dup-name": ["error", {"shared": ["radio", "checkbox", "submit", "button"]}]}}`

// TestMarkup gives every kind of page to an independent validator.
func TestMarkup(t *testing.T) {
	exe, err := exec.LookPath("html-validate")
	if err != nil {
		t.Skip("html-validate is not on the path (npm install html-validate@9.7.1): the markup was not checked")
	}
	s := serve(t, map[string]string{"orange.toml": orange, "done.toml": strings.Replace(orange, "clove", "mace", 2) +
		"\n[[strained]]\nat = \"8 h\"\n\n[[bottled]]\nbottles = 3\nof = \"250 ml\"\nat = \"9 h\"\n\n[[opened]]\nbottle = 1\nat = \"10 h\"\n",
		"wrong.toml": "nonsense"})
	dir := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(".htmlvalidate.json", checks)
	for name, at := range map[string]string{"list": "/", "batch": "/b/orange", "bottled": "/b/done", "page": "/b/orange/page",
		"bench": "/b/orange/bench", "new": "/new", "wrong": "/b/wrong", "none": "/b/none"} {
		write(name+".html", s.ask("GET", at, "").Body.String())
	}
	write("fault.html", s.send("/b/orange/taste", s.ticket("/b/orange"), "score:clove", "10", "half:clove", "1").Body.String())
	w := s.send("/b/orange/taste", s.ticket("/b/orange"), "score:clove", "3", "sample", neat)
	write("logged.html", s.ask("GET", w.Header().Get("Location"), "").Body.String())
	w = s.send("/b/orange/taste", s.ticket("/b/orange"), "score:clove", "3", "sample", neat)
	write("again.html", w.Body.String())
	plan := url.Values{"name": {"A & <b>"}, "spirit": {"vodka 40 %"}, "amount": {"500 ml"}, "botanical.0.name": {"clove"},
		"botanical.0.amount": {"2 g"}, "do": {"plan"}}
	back := func(w *httptest.ResponseRecorder) string {
		at, _, _ := strings.Cut(w.Header().Get("Location"), "#")
		return s.ask("GET", at, "").Body.String()
	}
	write("plan.html", back(s.ask("POST", "/new", plan.Encode())))
	plan.Set("amount", "lots")
	plan.Set("botanical.0.amount", "few")
	write("faults.html", back(s.ask("POST", "/new", plan.Encode())))
	cmd := exec.Command(exe, "--formatter", "text", ".")
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
