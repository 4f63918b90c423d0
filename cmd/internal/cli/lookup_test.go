package cli

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"
)

// The command asks for the nearest name, not for the first of the alphabet.
func TestLookupAsksForTheNearest(t *testing.T) {
	for asked, want := range map[string]string{
		"star aneese":       `did you mean "star anise"?`,
		"grapfruit zests":   `did you mean "grapefruit zest"?`,
		"cardamum pods red": `did you mean "green cardamom"`,
		"moon juice":        "lists what it knows",
		"sorrel":            `did you mean "hibiscus" or "fresh roselle"?`,
	} {
		var out, wrong bytes.Buffer
		app := newApp(strings.NewReader(""), &out, &wrong)
		err := app.RunContext(context.Background(),
			[]string{"steepbook", "lookup", "--book", t.TempDir(), asked})
		if err == nil {
			t.Errorf("%q was found:\n%s", asked, out.String())
			continue
		}
		if text := err.Error(); !strings.Contains(text, want) || strings.Count(text, ",") > mostNames {
			t.Errorf("%q: %q, want %q", asked, text, want)
		}
	}
}

// mostNames is how many names are offered at most.
const mostNames = 5

// TestLookupForPrograms: one document with every entry of the name, and nothing else.
func TestLookupForPrograms(t *testing.T) {
	for name, kinds := range map[string][]any{
		"lime": {"botanical"}, "lime juice": {"ingredient"}, "rum": {"spirit"}, "listeria": {"organism"},
		"egg": {"ingredient"},
	} {
		var got []any
		for _, e := range answer(t, "lookup", name)["entries"].([]any) {
			holds(t, name, e, shape{"kind": "s", "entry": "o"})
			got = append(got, e.(map[string]any)["kind"])
		}
		if !slices.Equal(got, kinds) {
			t.Errorf("%s is %v, want %v", name, got, kinds)
		}
	}
}
