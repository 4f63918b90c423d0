package steep

import (
	"fmt"
	"regexp"
	"slices"
	"testing"
	"time"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/together"
)

// TestOneLastHour: to which hour a jar may stand is one time of the clock in every answer about the jar, at
// whatever minute it was begun and is asked about, and none of them is later than it may.
func TestOneLastHour(t *testing.T) {
	clock := regexp.MustCompile(`\b\d\d:\d\d\b`)
	said := 0
	for minute := range somejar.Either(10, 20) {
		start := time.Date(2026, 11, 20, 18, minute, 0, 0, time.UTC)
		src := fmt.Sprintf("name = \"W\"\nstarted = %s\nroom = \"20 C\"\n[spirit]\nname = \"white wine\"\nabv = 12\n"+
			"amount = \"700 ml\"\n[[botanical]]\nname = \"fresh basil\"\namount = \"20 g\"\ntarget = 5\n"+
			"[[botanical]]\nname = \"ginger\"\ncut = \"sliced\"\namount = \"30 g\"\ntarget = 4\n",
			start.Format("2006-01-02T15:04:05"))
		for _, after := range []time.Duration{7 * time.Minute, 2 * time.Hour, 230 * time.Minute} {
			a := assess(t, src, start.Add(after))
			end := a.JarEnd()
			may := a.Batch.At(end.H)
			if end.H <= 3.9 || end.H > 4 {
				t.Fatalf("begun at %v it ends after %g h, by four hours", start, end.H)
			}
			plan := together.Plan(a)
			for _, s := range []pen.Screen{Screen(a, pen.Style{}), TogetherScreen(a, &plan, pen.Style{})} {
				for _, text := range slices.Concat(s.Say, s.Due, rowTexts(s.Rows)) {
					for _, told := range clock.FindAllString(text, -1) {
						if said++; told != may.Format("15:04") {
							t.Errorf("begun at %v, after %v: %s is told of a jar that ends at %v: %s", start, after, told, may, text)
						}
					}
				}
			}
		}
	}
	if said < somejar.Either(50, 100) {
		t.Errorf("only %d hours were told", said)
	}
}

func rowTexts(rows [][]string) (texts []string) {
	for _, r := range rows {
		texts = append(texts, r[len(r)-1])
	}
	return texts
}
