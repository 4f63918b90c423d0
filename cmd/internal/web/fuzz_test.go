package web

import (
	"bytes"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

// FuzzForms sends whatever forms bytes make, and bodies that are no form: every answer is a
// page or a refusal, what is shown is no markup of whoever sent it, and a file only ever
// gets longer, or shorter by an undo, and stays one that can be read.
func FuzzForms(f *testing.F) {
	for i := range 20 {
		f.Add(bytes.Repeat([]byte{byte(11 * i), byte(7 * i), byte(3 * i), byte(5*i + 2), byte(i * i)}, 40), "")
	}
	f.Add([]byte{1, 3}, "what=%zz&what=a;b&=&%00=1")
	f.Add([]byte{1, 0}, "score:clove=1e400&score:clove=2&half:clove=on&sample=1:0&taster=%1b[31m")
	f.Fuzz(func(t *testing.T, choices []byte, raw string) {
		o := somejar.NewOdd(choices)
		s := serve(t, map[string]string{"a.toml": orange})
		before := orange
		for range 1 + o.Of(4) {
			act := o.One("taste", "note", "pull", "strain", "bottle", "open", "empty", "add", "undo", "eat")
			page, to := "/b/a", "/b/a/"+act
			body := entryForm(o, act)
			if o.Of(6) == 5 {
				page, to, body = "/new", "/new", plannedForm(o)
			}
			if raw == "" {
				body.Set("ticket", s.ticket(page))
				raw = body.Encode()
			} else {
				raw += "&ticket=" + s.ticket(page)
			}
			kind := o.One("application/x-www-form-urlencoded", "text/plain", "multipart/form-data; boundary=x",
				"application/json", "")
			w := s.ask("POST", to, raw, "Content-Type", kind)
			if at, _, _ := strings.Cut(w.Header().Get("Location"), "#"); w.Code == 303 {
				w = s.ask("GET", at, "")
			}
			text := typedBack.ReplaceAllString(w.Body.String(), "")
			if w.Code >= 500 || strings.Contains(text, "<script") || strings.Contains(text, "<b>") ||
				strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && !unicode.IsSpace(r) }) {
				t.Fatalf("%s %q: %d: %s", to, raw, w.Code, text)
			}
			raw = ""
			now, err := os.ReadFile(filepath.Join(s.dir, "a.toml"))
			if err != nil || !strings.HasPrefix(string(now), orange) ||
				act != "undo" && !strings.HasPrefix(string(now), before) {
				t.Fatalf("%s %v: %v\n%s", to, body, err, now)
			}
			before = string(now)
		}
		files, err := os.ReadDir(s.dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if _, err := batch.Read(filepath.Join(s.dir, file.Name()), now.Location()); err != nil {
				t.Errorf("%s: %v", file.Name(), err)
			}
		}
	})
}

// typedBack is what a form holds again as it was sent.
var typedBack = regexp.MustCompile(` value="[^"]*"`)

// word is what a field may hold.
func word(o *somejar.Odd) string {
	return o.One("x", "clove", "orange zest", "<script>alert(1)</script>", "\x1b[31m", "\u202ex", "a\r\nb", "'''", "\"", "\\", "{{.}}",
		"=1+1", "3", "-1", "1e400", "nan", "\x00", "\xff", strings.Repeat("long ", 5000), "", "柚子", "１")
}

func entryForm(o *somejar.Odd, act string) url.Values {
	f := url.Values{}
	set := func(name, value string) {
		if o.Of(4) > 0 {
			f.Add(name, value)
		}
	}
	set("at", o.One("", "6 h", "yesterday", "2026-11-20T20:00", "1e9 h", "2027-01-01", word(o)))
	switch act {
	case "taste":
		set("score:clove", o.Number("3", "0", "10"))
		set("score:orange zest", o.Number("3", "0", "10"))
		set("half:clove", o.One("on", ""))
		set("score:clove", word(o))
		set("sample", o.One("neat", "1:3", "other", word(o)))
		set("other", o.One("1:3", word(o)))
		set("taster", word(o))
		set("words", word(o))
	case "add":
		set("name", o.One("white sugar", "water", word(o)))
		set("amount", o.One("", o.Amount("g", "ml"), word(o)))
		set("into", o.One("", o.Amount("ml"), word(o)))
	case "pull":
		set("name", o.One("clove", "orange zest", word(o)))
		set("name", o.One("clove", "orange zest", word(o)))
	case "bottle":
		set("bottles", o.Number("4", "1"))
		set("of", o.Amount("ml"))
		set("volume", o.One("", o.Amount("ml")))
	case "strain":
		set("volume", o.One("", o.Amount("ml"), word(o)))
	case "open", "empty":
		set("bottle", o.One("1", "2", "all", "0", word(o)))
	case "note":
		set("what", word(o))
	case "undo":
		set("entry", word(o))
	}
	set("again", o.One("on", ""))
	return f
}

func plannedForm(o *somejar.Odd) url.Values {
	f := url.Values{"do": {o.One("plan", "write", "more botanical", "more x")}, "name": {o.One("A jar", word(o))}, "spirit": {"rum"}, "abv": {"40"}, "amount": {"1 l"},
		"botanical.0.name": {"clove"}, "botanical.0.amount": {"2 g"}}
	for _, field := range []string{"started", "room", "spirit", "abv", "amount", "store", "press", "botanical.0.name",
		"botanical.0.amount", "botanical.0.cut", "botanical.0.target", "botanical.1.name", "addition.0.name", "addition.0.amount",
		"watch.0.name", "watch.0.limit", "bottle", "ready", "units"} {
		if o.Of(2) == 1 {
			f.Set(field, o.One(word(o), "clove", o.Amount("g", "ml"), o.Number("6", "40")))
		}
	}
	return f
}
