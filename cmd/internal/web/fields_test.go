package web

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNothingIsDropped: what is filled in and would go into nothing is a fault beside its field,
// and stays typed; nothing is written.
func TestNothingIsDropped(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	for _, c := range []struct {
		act  string
		form []string
		say  []string
	}{
		{"taste", []string{"score:clove", "2", "sample", neat, "other", "1:6"},
			[]string{`href="#in-taste-other"`, "Tick &#34;another mix&#34; too if it was mixed &#34;1:6&#34;", `value="1:6"`}},
		{"taste", []string{"score:clove", "2", "sample", "5:5", "other", "1:6"}, []string{`href="#in-taste-other"`}},
		{"taste", []string{"score:clove", "2", "other", "1:6"}, []string{`href="#in-taste-other"`}},
		{"taste", []string{"score:clove", "2", "half:mace", "1"}, []string{"&#34;mace&#34; is no botanical or watch"}},
		{"taste", []string{"score:clove", "2", "score:clove", "3"}, []string{"&#34;3&#34; was sent as &#34;score:clove&#34;"}},
		{"bottle", []string{"bottles", "2 x 50 ml", "of", "100 ml"}, []string{`href="#in-bottle-of"`,
			"&#34;100 ml&#34; is said another way already: &#34;50 ml&#34;", `value="100 ml"`}},
		{"add", []string{"name", "white sugar: 250 g", "amount", "100 g"}, []string{`href="#in-add-amount"`}},
		{"empty", []string{"bottle", allOfIt, "bottle", "2"}, []string{"&#34;2&#34; was sent"}},
		{"note", []string{"what", "clear", "sort", "good"}, []string{"&#34;good&#34; was sent as &#34;sort&#34;"}},
		{"undo", []string{"entry", "x", "sort", "good"}, []string{"&#34;good&#34; was sent as &#34;sort&#34;"}},
	} {
		want(t, s.send("/b/orange/"+c.act, s.ticket("/b/orange"), c.form...), 200, append(c.say, `role="alert"`)...)
	}
	if b := s.read("orange.toml"); len(b.Log()) != 0 {
		t.Errorf("log: %v", b.Log())
	}
	for field, form := range map[string][]string{
		"spirit":             {"amount", "0.7 l"},
		"amount":             {"spirit", "vodka 40 %: 500 ml", "amount", "0.7 l"},
		"botanical.0.amount": {"botanical.0.name", "ginger, sliced: 20 g", "botanical.0.amount", "50 g"},
		"botanical.0.cut":    {"botanical.0.name", "ginger, sliced", "botanical.0.cut", "grated"},
		"botanical.0.target": {"botanical.0.name", "ginger @ 4", "botanical.0.target", "5"},
		"botanical.1.name":   {"botanical.0.name", "ginger", "botanical.1.name", "", "botanical.1.target", "5"},
		"watch.0.limit":      {"watch.0.name", "bitter=2", "watch.0.limit", "3"},
		"addition.0.amount":  {"addition.0.name", "200 g white sugar", "addition.0.amount", "300 g"},
	} {
		w := s.send("/new", s.ticket("/new"), append([]string{"do", "plan", "name", "N"}, form...)...)
		want(t, w, 200, `href="#`+fieldID(field)+`"`)
		if strings.Contains(w.Body.String(), "Nothing is written yet") {
			t.Errorf("%s: there is a plan", field)
		}
	}
	want(t, s.send("/new", s.ticket("/new"), "do", "plan", "name", "N", "press", "maybe"), 200, "&#34;maybe&#34; was sent")
}

// TestBottlesThatAreThere: a bottle is offered to be opened, or emptied, where there may be one,
// and a bottling that says nothing is none.
func TestBottlesThatAreThere(t *testing.T) {
	const filled = "\n[[strained]]\nat = \"10 h\"\n[[bottled]]\nbottles = 1\nof = \"250 ml\"\nat = \"11 h\"\n"
	const opened, emptied = "[[opened]]\nbottle = 1\nat = \"12 h\"\n", "[[emptied]]\nbottle = 1\nat = \"13 h\"\n"
	s := serve(t, map[string]string{"sealed.toml": orange + filled, "open.toml": orange + filled + opened,
		"gone.toml": orange + filled + opened + emptied, "jar.toml": orange})
	for name, forms := range map[string][3]bool{"sealed": {true, true, true}, "open": {false, true, true}, "gone": {}, "jar": {}} {
		page := s.ask("GET", "/b/"+name, "").Body.String()
		for i, form := range []string{`id="form-open"`, `id="form-empty"`, `id="in-add-into"`} {
			if strings.Contains(page, form) != forms[i] {
				t.Errorf("%s: %s: %v", name, form, !forms[i])
			}
		}
	}
	const page = "/b/open"
	into := func(ml string) *httptest.ResponseRecorder {
		return s.send(page+"/add", s.ticket(page), "name", "water", "amount", "50 ml", "into", ml)
	}
	want(t, into("9 l"), 200, `href="#in-add-into"`, "&#34;9 l&#34; is more than the water can have gone into", `value="9 l"`)
	want(t, s.send(page+"/add", s.ticket(page), "name", "water", "amount", "50 ml"), 200, "say how much it went into", `id="in-add-into"`)
	want(t, into("150 ml"), 303)
	if b := s.read("open.toml"); len(b.Additives) != 1 || b.Additives[0].Into.String() != "150 ml" {
		t.Errorf("log: %v", b.Log())
	}
	want(t, s.send("/b/jar/bottle", s.ticket("/b/jar"), "bottles", " "), 200, `href="#in-bottle-bottles"`, "Say how many bottles")
}

// TestLinesInOneField: the first field of a line is read as the command reads it.
func TestLinesInOneField(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	w := s.send("/new", s.ticket("/new"), "do", "plan", "name", "N", "spirit", "vodka 40 %: 500 ml",
		"botanical.0.name", "ginger, sliced: 20 g @ 4", "watch.0.name", "bitter=3", "addition.0.name", "200 g white sugar")
	want(t, w, 200, "name   = &#34;ginger&#34;\ncut    = &#34;sliced&#34;\namount = &#34;20 g&#34;\ntarget = 4",
		"limit  = 3", "name   = &#34;white sugar&#34;\namount = &#34;200 g&#34;", "amount = &#34;500 ml&#34;")
	want(t, s.send("/b/orange/add", s.ticket("/b/orange"), "name", "white sugar: 250 g"), 303)
	if b := s.read("orange.toml"); len(b.Additives) != 1 || b.Additives[0].Amount.String() != "250 g" {
		t.Errorf("log: %v", b.Log())
	}
}

// TestRenamedMeanwhile: a score of what the batch calls otherwise by now is a fault, and stands on
// the page still.
func TestRenamedMeanwhile(t *testing.T) {
	s := serve(t, map[string]string{"orange.toml": orange})
	ticket := s.ticket("/b/orange")
	renamed := strings.Replace(orange, `"clove"`, `"mace"`, 1)
	if err := os.WriteFile(filepath.Join(s.dir, "orange.toml"), []byte(renamed), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, more := range [][]string{nil, {"score:bitter", "1"}} {
		w := s.send("/b/orange/taste", ticket, append([]string{"score:clove", "3", "half:clove", "1", "sample", neat}, more...)...)
		want(t, w, 200, `href="#in-taste-score_3a_clove"`, "&#34;clove&#34; is no botanical or watch of this batch",
			`name="score:clove" value="3" checked`, `name="half:clove" value="1" checked`)
		if strings.Contains(w.Body.String(), "Nothing is scored") {
			t.Error("it says that nothing was scored")
		}
	}
	if b := s.read("orange.toml"); len(b.Log()) != 0 {
		t.Errorf("log: %v", b.Log())
	}
}

// TestFieldsLeft: whatever is read of a form, the rest of what is filled in is a fault, each once.
func TestFieldsLeft(t *testing.T) {
	f := fieldsOf(url.Values{"ticket": {"t"}, "a": {"1"}, "b": {"2", "2"}, "c": {" "}, "d": {"3"}, "e": {"4", "5"}})
	f.get("a")
	f.get("b")
	f.all("e")
	f.unless("d", "a", "%s", "why")
	bad := f.left()
	if len(bad) != 2 || bad[0].Field != "" || bad[1] != (fault{"a", "why"}) {
		t.Errorf("left: %v", bad)
	}
}

// TestThinnedAnyway: what nothing goes into later can be logged as it was thinned, and strong spirit
// is not taken for tasted neat before somebody says so.
func TestThinnedAnyway(t *testing.T) {
	const bare = "name = \"%s\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka %d %%\"\namount = \"200 ml\"\n" +
		"[[botanical]]\nname = \"gentian root\"\namount = \"1 g\"\ntarget = 6\n"
	s := serve(t, map[string]string{"strong.toml": fmt.Sprintf(bare, "Strong", 75), "mild.toml": fmt.Sprintf(bare, "Mild", 37)})
	chosen := `name="sample" value="neat" required checked`
	page := s.ask("GET", "/b/strong", "")
	want(t, page, 200, "thinned to about 20 % vol, and score the thin sip: 2.5 ml of jar and 7.5 ml water", `name="other"`, `name="sample" value="other" required`)
	if strings.Contains(page.Body.String(), chosen) {
		t.Error("strong spirit is taken for tasted neat")
	}
	want(t, s.ask("GET", "/b/mild", ""), 200, "Taste it as it is, or thin it", `name="other"`, chosen)
	want(t, s.send("/b/strong/taste", s.ticket("/b/strong"), "score:gentian root", "3", "sample", otherMix, "other", "1:9"), 303)
	if x := s.read("strong.toml").Tastings; len(x) != 1 || x[0].SampleOther != 9 {
		t.Errorf("tastings: %v", x)
	}
}
