package recipe

import (
	"strings"
	"testing"

	"steepbook/data/batch"
	"steepbook/data/library"
)

// TestAsFresh: what is said to be fresh is not told that it may be dried.
func TestAsFresh(t *testing.T) {
	for _, c := range []struct {
		name, cut string
		told      bool
	}{{"rose petals", "", true}, {"rose petals", "fresh", false}, {"fresh rose petals", "", false}, {"rose petals", "dried", false}} {
		h, err := ReadBotanical(&batch.Batch{}, library.Builtin(), batch.Botanical{Name: c.name, Cut: c.cut})
		if err != nil {
			t.Fatal(err)
		}
		if told := h.Reads.AsFresh(); (told != "") != c.told {
			t.Errorf("%s, %q: told %q", c.name, c.cut, told)
		}
	}
}

// TestHowStrong: what no name says to be a spirit is not told to be one of 40 %, no strength is offered to be
// copied, and what only ends or begins like the name of a liquid is none.
func TestHowStrong(t *testing.T) {
	for name, oil := range map[string]bool{"Kürbiskernöl": true, "apple juice of ours": true, "mystery spirit": false, "homemade spirit": false, "aguardiente": false, "firewater": false} {
		r, err := ReadBase(&batch.Batch{}, library.Builtin(), batch.Spirit{Name: name})
		if err != nil || r.Missing == "" {
			t.Fatalf("%s: %q, %v", name, r.Missing, err)
		}
		if zero := "abv = 0 below"; oil != strings.Contains(r.Missing, zero) || strings.Contains(r.Missing, "40") || strings.Contains(r.Missing, "[spirit]") {
			t.Errorf("%s: %s", name, r.Missing)
		}
	}
}
