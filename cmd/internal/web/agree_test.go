package web

import (
	"html/template"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/steep"
)

// TestSameAnswersAsTheCommandLine: whatever the jar, the page of a batch holds every sentence
// and cell of the screens that steep, keep and blend print of the same file.
func TestSameAnswersAsTheCommandLine(t *testing.T) {
	for n := range somejar.Many(6) {
		jar := somejar.New(n)
		now := somejar.Time(jar.Now)
		s := serve(t, map[string]string{"jar.toml": jar.String()},
			func(c *Config) { c.Now = func() time.Time { return now } })
		w := s.ask("GET", "/b/jar", "")
		opened, err := book.Open(filepath.Join(s.dir, "jar.toml"), now)
		if err == nil {
			_, err = opened.Steeped()
		}
		if err != nil {
			if w.Code != 422 {
				t.Errorf("jar %d: %v, and the page says %d", n, err, w.Code)
			}
			continue
		}
		want(t, w, 200)
		a, err := opened.Steeped()
		if err != nil {
			t.Fatal(err)
		}
		a.Judge()
		style := pen.Style{Units: opened.Units, Forms: true}
		body := w.Body.String()
		screens := []pen.Screen{steep.Screen(a, style), bottle.KeepScreen(a, style),
			bottle.BlendScreen(a, nil, style)}
		for _, screen := range screens {
			for _, text := range words(asForms(screen)) {
				text = strings.ReplaceAll(text, filepath.Join(s.dir, "jar.toml"), "jar.toml")
				if escaped := template.HTMLEscapeString(text); !strings.Contains(body, escaped) {
					t.Errorf("jar %d: %q is not on its page", n, text)
				}
			}
		}
		if strings.Contains(body, s.dir) {
			t.Errorf("jar %d: a path is told", n)
		}
		file, err := os.ReadFile(filepath.Join(s.dir, "jar.toml"))
		if err != nil || string(file) != jar.String() {
			t.Errorf("jar %d: to look at it has changed it: %v", n, err)
		}
	}
}

// words are all that a screen says.
func words(s pen.Screen) []string {
	all := slices.Concat(s.Say, s.Danger, s.Due, s.Notes)
	for _, row := range s.Rows {
		all = append(all, row...)
	}
	return all
}

// TestTasteIsOfferedWithItsCaution: what is over a limit has the form of its tasting, with how;
// what a maker calls mouldy has none.
func TestTasteIsOfferedWithItsCaution(t *testing.T) {
	jar := "name = \"Bitter\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"400 ml\"\n" +
		"[[botanical]]\nname = \"cinchona bark\"\namount = \"6 g\"\n"
	s := serve(t, map[string]string{"bitter.toml": jar,
		"mould.toml": jar + "[[noted]]\nwhat = \"green mould\"\nat = 2026-11-20T20:00:00\n"},
		func(c *Config) { c.Now = func() time.Time { return time.Date(2026, 11, 21, 10, 0, 0, 0, time.UTC) } })
	if body := s.ask("GET", "/b/bitter", "").Body.String(); !strings.Contains(body, `id="form-taste"`) ||
		!strings.Contains(body, "<strong>Taste it by the drop, and spit it out.</strong>") {
		t.Error("what is tasted by the drop has no form that says so")
	}
	if body := s.ask("GET", "/b/mould", "").Body.String(); strings.Contains(body, `id="form-taste"`) {
		t.Error("a mouldy jar has a form to taste it")
	}
}
