package web

import (
	"fmt"
	"log"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/data/batch"
)

// orange is an invented batch.
const orange = `name    = "Orange & <b>clove</b>"
started = 2026-11-20T18:00:00
room    = "20 C"

[spirit]
name   = "grape brandy"
abv    = 57
amount = "700 ml"

[[botanical]]
name   = "orange zest"
amount = "24 g"
target = 6

[[botanical]]
name   = "clove"
amount = "2 g"
target = 3

[[watch]]
name   = "bitter"
limit  = 2

[[addition]]
name   = "white sugar"
amount = "320 g"

[[addition]]
name   = "water"
amount = "220 ml"
`

// now is the moment of every answer in these tests.
var now = time.Date(2026, 11, 21, 8, 0, 0, 0, time.Local)

// site is a book that is served.
type site struct {
	t   testing.TB
	dir string
	h   http.Handler
	log strings.Builder
}

func serve(t testing.TB, files map[string]string, change ...func(*Config)) *site {
	t.Helper()
	s := &site{t: t, dir: t.TempDir()}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(s.dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := book.Keep(s.dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { kept.Close() })
	c := Config{Book: kept, Now: func() time.Time { return now }, Hosts: []string{"127.0.0.1", "localhost", "::1"},
		Log: log.New(&s.log, "", 0)}
	for _, f := range change {
		f(&c)
	}
	s.h = Handler(c)
	return s
}

// ask sends a request; head is name, value, name, value.
func (s *site) ask(method, target, body string, head ...string) *httptest.ResponseRecorder {
	s.t.Helper()
	r := httptest.NewRequest(method, "http://127.0.0.1:8763"+target, strings.NewReader(body))
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(head); i += 2 {
		if head[i] == "Host" {
			r.Host = head[i+1]
		} else {
			r.Header.Set(head[i], head[i+1])
		}
	}
	w := httptest.NewRecorder()
	s.h.ServeHTTP(w, r)
	return w
}

var ticketField = regexp.MustCompile(`name="ticket" value="([^"]+)"`)

// ticket is one off the page of a batch.
func (s *site) ticket(page string) string {
	s.t.Helper()
	w := s.ask("GET", page, "")
	m := ticketField.FindStringSubmatch(w.Body.String())
	if w.Code != http.StatusOK || m == nil {
		s.t.Fatalf("%s: %d: %s", page, w.Code, w.Body)
	}
	return m[1]
}

// send posts a form; pairs are name, value. Where it comes back, the answer is the page that
// shows it again.
func (s *site) send(target, ticket string, pairs ...string) *httptest.ResponseRecorder {
	s.t.Helper()
	f := url.Values{"ticket": {ticket}}
	for i := 0; i < len(pairs); i += 2 {
		f.Add(pairs[i], pairs[i+1])
	}
	w := s.ask("POST", target, f.Encode())
	if at := w.Header().Get("Location"); w.Code == http.StatusSeeOther && strings.Contains(at, "?typed=") {
		at, _, _ = strings.Cut(at, "#")
		return s.ask("GET", at, "")
	}
	return w
}

func (s *site) read(name string) *batch.Batch {
	s.t.Helper()
	b, err := batch.Read(filepath.Join(s.dir, name), time.Local)
	if err != nil {
		s.t.Fatal(err)
	}
	return b
}

func want(t testing.TB, w *httptest.ResponseRecorder, status int, texts ...string) {
	t.Helper()
	if w.Code != status {
		t.Errorf("status %d, want %d: %s", w.Code, status, start(w))
	}
	for _, text := range texts {
		if !strings.Contains(w.Body.String(), text) {
			t.Errorf("%q is not on the page: %s", text, start(w))
		}
	}
}

// start is the beginning of what a page says.
func start(w *httptest.ResponseRecorder) string {
	_, body, _ := strings.Cut(w.Body.String(), "<main")
	return body[:min(len(body), 400)]
}

func TestPagesAreThere(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	want(t, s.ask("GET", "/", ""), 200, "/b/orange", "Orange &amp; &lt;b&gt;clove&lt;/b&gt;")
	page := s.ask("GET", "/b/orange", "")
	want(t, page, 200, `action="/b/orange/taste"`, "orange zest", "/b/orange/curves.svg")
	if strings.Contains(page.Body.String(), "<b>clove") {
		t.Error("what the maker wrote stands on the page as markup")
	}
	if w := s.ask("GET", "/b/orange/curves.svg", ""); w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" {
		t.Errorf("curves: %d, %s", w.Code, w.Header().Get("Content-Type"))
	}
	if w := s.ask("GET", stylePath, ""); w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/css") {
		t.Errorf("style: %d", w.Code)
	}
	for what, begins := range map[string]string{"page": "<!DOCTYPE html>", "bench": "<!DOCTYPE html>",
		"label.png": "\x89PNG", "label.pdf": "%PDF-"} {
		w := s.ask("GET", "/b/orange/"+what, "")
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), begins) || !strings.Contains(w.Header().Get("Content-Security-Policy"),
			"frame-ancestors 'none'") {
			t.Errorf("%s: %d: %.40q", what, w.Code, w.Body)
		}
	}
	want(t, s.ask("GET", "/nothing", ""), 404)
	want(t, s.ask("GET", "/b/lime", ""), 404)
	want(t, s.ask("GET", "/b/orange/fade.svg", ""), 404)
	want(t, s.ask("POST", "/b/orange/eat", ""), 404)
	empty := serve(t, nil)
	want(t, empty.ask("GET", "/", ""), 200, "no batch")
}

// TestHeaders: what every answer carries, refusals too.
func TestHeaders(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for _, w := range []*httptest.ResponseRecorder{
		s.ask("GET", "/", ""), s.ask("GET", "/b/orange", ""), s.ask("GET", "/b/orange/curves.svg", ""),
		s.ask("GET", "/nothing", ""), s.ask("GET", "/", "", "Host", "evil.example"),
	} {
		h, cache := w.Header(), "no-store"
		if w.Code == 200 && strings.HasPrefix(h.Get("Content-Type"), "text/html") {
			cache = "private, no-cache" // so that the back button finds what was typed
		}
		for name, value := range map[string]string{
			"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff",
			"Referrer-Policy": "same-origin", "Cache-Control": cache,
		} {
			if h.Get(name) != value {
				t.Errorf("%d: %s is %q", w.Code, name, h.Get(name))
			}
		}
	}
}

// TestForeignHosts: a name that somebody else has made to point here is refused, reads
// too, and with nothing said.
func TestForeignHosts(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for _, host := range []string{"evil.example", "evil.example:8763", "127.0.0.1.evil.example", "localhost.evil.example",
		"", "192.168.1.5", "[::2]:8763", "127.0.0.1@evil.example", "0.0.0.0:8763"} {
		for _, method := range []string{"GET", "POST"} {
			if w := s.ask(method, "/b/orange", "", "Host", host); w.Code != 421 || w.Body.Len() > 0 {
				t.Errorf("%s %q: %d: %s", method, host, w.Code, w.Body)
			}
		}
	}
	for _, host := range []string{"127.0.0.1", "127.0.0.1:9", "localhost:8763", "LOCALHOST.", "[::1]:8763", "[::1]"} {
		want(t, s.ask("GET", "/", "", "Host", host), 200)
	}
}

// TestForeignPages: a page of another site cannot write.
func TestForeignPages(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	ticket := s.ticket("/b/orange")
	body := url.Values{"ticket": {ticket}, "what": {"x"}}.Encode()
	for _, head := range [][]string{
		{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Origin", "http://evil.example"},
		{"Origin", "null"}, {"Origin", "http://127.0.0.1:9999"},
	} {
		if w := s.ask("POST", "/b/orange/note", body, head...); w.Code != 403 || w.Body.Len() > 0 {
			t.Errorf("%v: %d: %s", head, w.Code, w.Body)
		}
	}
	if n := len(s.read("orange.toml").Notes); n != 0 {
		t.Errorf("%d notes were written", n)
	}
	for _, head := range [][]string{{"Sec-Fetch-Site", "same-origin"}, {"Origin", "http://127.0.0.1:8763"}} {
		want(t, s.ask("POST", "/b/orange/note", url.Values{"ticket": {s.ticket("/b/orange")}, "what": {head[0]}}.Encode(),
			head...), 303)
	}
}

// TestPairing: without the code one thing is said, whatever is asked for: not even whether there is
// such a page.
func TestPairing(t *testing.T) {
	const code = "00112233445566778899aabbccddeeff"
	s := serve(t, map[string]string{"orange.toml": orange}, func(c *Config) { c.Code = code })
	for _, ask := range [][2]string{{"GET", "/"}, {"GET", "/b/orange"}, {"GET", "/nothing"}, {"POST", "/b/orange/note"},
		{"GET", stylePath}, {"GET", "/pair"}, {"GET", "/pair?code="}, {"GET", "/pair?code=" + code[1:]},
		{"POST", "/pair?code=" + code}, {"GET", "/pair/?code=" + code}} {
		for _, cookie := range []string{"", codeCookie + "=", codeCookie + "=" + code[:31], codeCookie + "=" + strings.ToUpper(code)} {
			if w := s.ask(ask[0], ask[1], "", "Cookie", cookie); w.Code != 403 || w.Body.String() != unpaired {
				t.Errorf("%v with %q: %d: %s", ask, cookie, w.Code, w.Body)
			}
		}
	}
	w := s.ask("GET", "/pair?code="+code, "")
	want(t, w, 200, `href="/"`)
	set := w.Result().Cookies()
	if len(set) != 1 || !set[0].HttpOnly || set[0].SameSite != http.SameSiteStrictMode || set[0].Value != code {
		t.Fatalf("cookies: %v", set)
	}
	want(t, s.ask("GET", "/b/orange", "", "Cookie", codeCookie+"="+code), 200)
	want(t, s.ask("GET", "/", "", "Cookie", codeCookie+"="+code, "Host", "evil.example"), 421)
	if w := serve(t, nil).ask("GET", "/pair?code=", ""); w.Code != 404 {
		t.Errorf("pairing where none is asked for: %d", w.Code)
	}
}

// TestNothingOutside: no name from outside opens anything but a batch of the book.
func TestNothingOutside(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange, "house.toml": "country = \"UK\"\n", "secret.txt": "s3cret"})
	outside := filepath.Join(t.TempDir(), "out.toml")
	if err := os.WriteFile(outside, []byte(strings.Replace(orange, "Orange", "s3cret", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(s.dir, "link.toml")); err != nil {
		t.Skip("no links here:", err)
	}
	if err := os.Symlink("../../etc/passwd", filepath.Join(s.dir, "up.toml")); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(outside)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{
		"..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "../../etc/passwd", "..%5c..%5cout", "%2e%2e%5cout",
		url.PathEscape(strings.TrimSuffix(outside, ".toml")), "orange%00", "%00", "house", "library", "secret.txt",
		"secret", ".", "..", "%2e", "link", "up", "orange.toml", "orange/", "./orange", "ORANGE%20", "-", "*", "%ff%fe",
		strings.Repeat("a", 5000), "orange%2fcurves.svg",
	} {
		for _, method := range []string{"GET", "POST"} {
			for _, end := range []string{"", "/note", "/curves.svg"} {
				w := s.ask(method, "/b/"+name+end, "what=x")
				if w.Code < 300 || strings.Contains(w.Body.String(), "s3cret") || w.Code == 500 {
					t.Errorf("%s %s%s: %d: %s", method, name, end, w.Code, w.Body)
				}
			}
		}
	}
	want(t, s.ask("GET", "/", ""), 200, "link.toml: this is a link that leads out of the book", `href="/b/orange"`)
	if after, err := os.ReadFile(outside); err != nil || string(after) != string(before) {
		t.Errorf("the file outside was touched: %v", err)
	}
	noPaths(t, s)
}

// noPaths holds every refusal to tell no path of the machine.
func noPaths(t *testing.T, s *site) {
	t.Helper()
	for _, p := range []string{"/", "/b/link", "/b/up", "/b/orange", "/b/none"} {
		if body := s.ask("GET", p, "").Body.String(); strings.Contains(body, s.dir) || strings.Contains(body, os.TempDir()) {
			t.Errorf("%s tells a path: %s", p, body)
		}
	}
}

// TestTooMuch: what is too large is refused, and what is sent another way.
func TestTooMuch(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	ticket := s.ticket("/b/orange")
	want(t, s.send("/b/orange/note", ticket, "what", strings.Repeat("x", mostSent)), 413)
	want(t, s.ask("POST", "/b/orange/note", "%zz=1"), 400)
	want(t, s.ask("POST", "/b/orange/note", `{"what":"x"}`, "Content-Type", "application/json"), 303)
	for _, method := range []string{"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW"} {
		if w := s.ask(method, "/b/orange", ""); w.Code != 405 && w.Code != 404 {
			t.Errorf("%s: %d", method, w.Code)
		}
	}
	if got := s.read("orange.toml"); len(got.Log()) != 0 {
		t.Errorf("something was written: %v", got.Log())
	}
}

// TestOneTapOneEntry: a form sent again is one entry, at once or later.
func TestOneTapOneEntry(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	ticket := s.ticket("/b/orange")
	form := []string{"score:orange zest", "3", "half:orange zest", "1", "score:bitter", "0", "sample", "neat", "taster", "B é"}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			w := s.send("/b/orange/taste", ticket, form...)
			if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), "/b/orange?done=") {
				t.Errorf("%d: %s", w.Code, w.Body)
			}
		})
	}
	all.Wait()
	b := s.read("orange.toml")
	if len(b.Tastings) != 1 || len(b.Tastings[0].Scores) != 2 || b.Tastings[0].Scores[0].Value != 3.5 ||
		b.Tastings[0].Taster != "B é" {
		t.Fatalf("tastings: %+v", b.Tastings)
	}
	// Another form with the same ticket is not taken for the first one.
	want(t, s.send("/b/orange/note", ticket, "what", "cloudy"), 200, "cloudy", `role="alert"`)
	// The same once more within a minute is asked about, and written where that is wanted.
	w := s.send("/b/orange/taste", s.ticket("/b/orange"), form...)
	want(t, w, 200, `name="again"`, `value="3" checked`)
	next := ticketField.FindStringSubmatch(w.Body.String())[1]
	want(t, s.send("/b/orange/taste", next, append(form, "again", "1")...), 303)
	// A ticket of another server is none.
	want(t, s.send("/b/orange/note", newTicketsIssue(), "what", "cloudy"), 200, "cloudy", "was started anew")
	want(t, s.send("/b/orange/note", "", "what", "cloudy"), 200, "was started anew")
	if b := s.read("orange.toml"); len(b.Tastings) != 2 || len(b.Notes) != 0 {
		t.Errorf("log: %v", b.Log())
	}
}

func newTicketsIssue() string {
	t := newTickets()
	return t.issue()
}

// TestFaultsAreShownWithTheForm: what was typed is there again, with one sentence.
func TestFaultsAreShownWithTheForm(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for _, c := range []struct {
		act  string
		form []string
		say  string
	}{
		{"taste", []string{"words", "thin <i>"}, "othing is scored yet"},
		{"taste", []string{"score:clove", "10", "half:clove", "1", "words", "thin <i>"}, "10 is the most"},
		{"taste", []string{"half:clove", "1", "words", "thin <i>"}, "half a point alone is no score"},
		{"taste", []string{"score:clove", "3", "at", "in 2 hours", "words", "thin <i>"}, "no time that can be read"},
		{"taste", []string{"score:clove", "3", "at", "quarter past nine", "words", "thin <i>"}, "&#34;quarter past nine&#34; is no time that can be read"},
		{"taste", []string{"half:clove", "1", "at", "soonish", "words", "thin <i>"}, "href=\"#in-taste-at\""},
		{"taste", []string{"score:clove", "11", "words", "thin <i>"}, "scores run from 0"},
		{"taste", []string{"score:clove", "-1", "words", "thin <i>"}, "scores run from 0"},
		{"taste", []string{"score:clove", "NaN", "words", "thin <i>"}, "no score"},
		{"taste", []string{"score:clove", "Inf", "words", "thin <i>"}, "scores run from 0"},
		{"taste", []string{"score:clove", "3", "at", "tomorrow 9 am", "words", "thin <i>"}, "has not happened yet"},
		{"taste", []string{"score:clove", "3", "at", "soonish", "words", "thin <i>"}, "soonish"},
		{"taste", []string{"score:clove", "3", "sample", "other", "words", "thin <i>"}, "ow the sample was mixed"},
		{"taste", []string{"score:clove", "3", "sample", "0:0", "words", "thin <i>"}, "0:0"},
		{"pull", nil, "ick what came out"},
		{"pull", []string{"name", "clobe"}, "clobe"},
		{"bottle", []string{"bottles", "many"}, "many"},
		{"add", []string{"name", "honey"}, "ow much of the honey"}, {"add", []string{"name", " "}, "what went in"},
		{"empty", nil, "which bottle is empty"},
		{"note", []string{"what", "  "}, "empty"},
	} {
		w := s.send("/b/orange/"+c.act, s.ticket("/b/orange"), c.form...)
		want(t, w, 200, c.say, `role="alert"`)
		if c.act == "taste" {
			want(t, w, 200, "thin &lt;i&gt;")
		}
		if body := w.Body.String(); strings.Contains(body, s.dir) {
			t.Errorf("%v tells a path: %s", c, body)
		}
	}
	if b := s.read("orange.toml"); len(b.Log()) != 0 {
		t.Errorf("log: %v", b.Log())
	}
}

// TestWholeLife: everything that can be logged is logged as it was sent, and undone.
func TestWholeLife(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for i, c := range []struct {
		act  string
		form []string
	}{
		{"taste", []string{"score:clove", "2", "sample", "5:5", "at", "6 h"}},
		{"pull", []string{"name", "clove", "name", "orange zest", "at", "7 h"}},
		{"strain", []string{"volume", "650 ml", "at", "8 h"}},
		{"add", []string{"name", "white sugar", "amount", "300 g", "at", "9 h"}},
		{"bottle", []string{"bottles", "4", "of", "250 ml", "volume", "1 l", "at", "10 h"}},
		{"open", []string{"at", "11 h"}},
		{"note", []string{"what", "clear as a bell", "at", "12 h"}},
		{"empty", []string{"bottle", "1", "at", "13 h"}},
	} {
		w := s.send("/b/orange/"+c.act, s.ticket("/b/orange"), c.form...)
		if w.Code != 303 {
			t.Fatalf("%d %v: %d: %s", i, c, w.Code, w.Body)
		}
		want(t, s.ask("GET", w.Header().Get("Location"), ""), 200, `role="status"`)
	}
	b := s.read("orange.toml")
	if len(b.Tastings) != 1 || b.Tastings[0].SampleOther != 5 || len(b.Pulls) != 2 || len(b.Strainings) != 1 ||
		len(b.Additives) != 1 || len(b.Bottlings) != 1 || b.Bottlings[0].Bottles != 4 || len(b.Openings) != 1 ||
		len(b.Notes) != 1 || len(b.Emptyings) != 1 {
		t.Fatalf("log: %v", b.Log())
	}
	w := s.undo("/b/orange")
	want(t, w, 303)
	want(t, s.ask("GET", w.Header().Get("Location"), ""), 200, "Taken out again: emptied bottle 1, 07:00.")
	if got := s.read("orange.toml"); len(got.Emptyings) != 0 || len(got.Log()) != len(b.Log())-1 {
		t.Errorf("log after undo: %v", got.Log())
	}
}

// TestAnEditorSavesInBetween: what is shown is the file as it stands.
func TestAnEditorSavesInBetween(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	file := filepath.Join(s.dir, "orange.toml")
	for i := range 20 {
		name := fmt.Sprintf("Name %02d", i) // of one length: the size does not tell
		text := strings.Replace(orange, "Orange & <b>clove</b>", name, 1)
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		want(t, s.ask("GET", "/b/orange", ""), 200, name)
		want(t, s.ask("GET", "/", ""), 200, name)
	}
	if err := os.WriteFile(file, []byte(orange+"\nnonsense"), 0o644); err != nil {
		t.Fatal(err)
	}
	want(t, s.ask("GET", "/b/orange", ""), 422, "line")
	want(t, s.ask("GET", "/", ""), 200, "orange.toml:")
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	want(t, s.ask("GET", "/b/orange", ""), 404)
	want(t, s.ask("GET", "/", ""), 200, "no batch")
}
