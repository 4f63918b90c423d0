package bench

import (
	"testing"

	"steepbook/data/library"
	"steepbook/shelf/mixture"
)

// TestWhatNobodyAnswersForNeverComforts: a figure from memory or an unsigned page
// is no pH or acid to judge a gate on, its acid only may be there, and its content
// keeps its warning; every other grade decides.
func TestWhatNobodyAnswersForNeverComforts(t *testing.T) {
	for grade, why := range map[library.Grade]string{
		library.Published: "", library.Derived: "", library.Own: "", library.Practice: "", library.Judgement: "",
		library.Page: "from an unsigned page", library.Memory: "from memory",
	} {
		n := library.Number{Value: 1, Low: 1, High: 1, Source: "steepbook", Grade: grade}
		decides := why == ""
		if proven(n) != decides || doubtOf(n) != why {
			t.Errorf("%s: proven %v, doubt %q", grade, proven(n), doubtOf(n))
		}
		var p mixture.Parts
		addAcid(&p, "citric", 1, grade)
		if (p.Citric == 1) != decides || (p.OtherAcid == 1) == decides {
			t.Errorf("%s: acid counted as %+v", grade, p)
		}
		if got := doubtOfLimit(library.Limit{MGPerL: n}); (got == "") != decides {
			t.Errorf("%s: a limit of it is in doubt for %q", grade, got)
		}
	}
	if got := doubtOfLimit(library.Limit{MGPerL: library.Number{Value: 1, Source: "eu-1334-2008", Grade: library.Published}, Exempt: "plain herb or spice"}); got == "" {
		t.Error("a level that the law exempts from stops somebody")
	}
	// None of what the built-in library knows makes up its mind on such a figure.
	l := library.Builtin()
	for key, h := range l.Hazards() {
		if h.Decides() && doubtOf(h.MGPerG) != "" && !h.LimitGPerDay.Known() {
			t.Errorf("%s decides on a content %s", key, doubtOf(h.MGPerG))
		}
	}
}
