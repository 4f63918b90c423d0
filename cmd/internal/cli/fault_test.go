package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"
)

// TestFaultsAsJSON: under --json every kind of error is one document on the standard
// output, nothing on the other, with the exit status that it has in words.
func TestFaultsAsJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	good := "name = \"A\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\n" +
		"amount = \"500 ml\"\n[[watch]]\nname = \"bitter\"\nlimit = 2\n"
	for name, src := range map[string]string{"a.toml": good, "wrong.toml": good + "[[botanical]]\n" +
		"name = \"clove\"\namuont = \"2 g\"\n", "locked.toml": good} {
		if err := os.WriteFile(name, []byte(src), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chmod("locked.toml", 0o444); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir("house", 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		typed string
		want  map[string]any // of the error; what is not here is not looked at
	}{
		{"stepe", map[string]any{"problem": `there is no command "stepe"; did you mean "steep"?`, "file": nil,
			"line": nil, "help": "steepbook --help"}},
		{"steep|a.toml|--nope", map[string]any{"problem": "there is no flag --nope", "help": "steepbook " +
			"steep --help"}},
		{"keep|a.toml|--at", map[string]any{"problem": "--at wants a value after it"}},
		{"blend|a.toml|--volume|2 kg", map[string]any{"problem": `--volume "2 kg" is no volume; write ` +
			`--volume "1 l"`}},
		{"steep|none.toml", map[string]any{"problem": "there is no such file", "file": "none.toml"}},
		{"steep|wrong.toml", map[string]any{"file": "wrong.toml", "line": 12.0, "column": 1.0,
			"excerpt": `amuont = "2 g"`, "right": `amount = "24 g"`}},
		{"book|a.toml", map[string]any{"file": nil}},
		{"taste|locked.toml|bitter=1|--words|10~ml too much|--at|1 h", map[string]any{"file": "locked.toml",
			"entry": "[[tasting]]\nat = \"1 h\"\nscore = { bitter = 1 }\nwords = \"10~ml too much\"\n"}},
	} {
		typed := append([]string{"--json"}, words(c.typed)...)
		status, out, errs := run(t, typed...)
		inWords, _, _ := run(t, words(c.typed)...)
		var v struct{ Error map[string]any }
		if err := json.Unmarshal([]byte(out), &v); err != nil || errs != "" || v.Error == nil {
			t.Errorf("%q: %v, %q, %q", c.typed, err, out, errs)
			continue
		}
		if status != inWords || v.Error["status"] != float64(status) {
			t.Errorf("%q: status %d, %d in words, %v told", c.typed, status, inWords, v.Error["status"])
		}
		for field, want := range c.want {
			if got := v.Error[field]; got != want {
				t.Errorf("%q: %s is %q, want %q", c.typed, field, got, want)
			}
		}
	}
}

// TestOneDocument: where the answer stands there already, what is wrong beside it goes
// to the error stream, also as JSON.
func TestOneDocument(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(dir+"/wrong.toml", []byte("nmae = 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, errs := run(t, "check", dir, "--json")
	if status != statusInput || !json.Valid([]byte(out)) || strings.Contains(out, `"error"`) ||
		!json.Valid([]byte(errs)) || !strings.Contains(errs, "must be mended") {
		t.Errorf("status %d, %q, %q", status, out, errs)
	}
}

// closed is a stream that nobody reads any more.
type closed struct{}

func (closed) Write([]byte) (int, error) { return 0, errors.New("broken pipe") }

// TestFailureToAnswer: an answer that cannot be written is a failure, told as such.
func TestFailureToAnswer(t *testing.T) {
	var errs bytes.Buffer
	if got := Main(context.Background(), []string{"steepbook", "help"}, strings.NewReader(""), closed{},
		&errs); got != statusFailure || !strings.Contains(errs.String(), "broken pipe") {
		t.Errorf("status %d, %q", got, errs.String())
	}
	if got := Main(context.Background(), []string{"steepbook", "help", "--json"}, strings.NewReader(""), closed{},
		&errs); got != statusFailure || !strings.Contains(errs.String(), `"problem": "the standard output did not take`) {
		t.Errorf("status %d, %q", got, errs.String())
	}
}
