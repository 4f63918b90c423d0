package steep

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/steeping"
)

const coffee = "name = \"J\"\nstarted = 2026-12-01T10:00:00\nroom = \"20 C\"\n[spirit]\nname = \"vodka 40 %\"\namount = \"700 ml\"\n" +
	"[[botanical]]\nname = \"coffee beans\"\ncut = \"coarse ground\"\namount = \"80 g\"\ntarget = 6\n[[addition]]\nname = \"sugar\"\n" +
	"amount = \"300 g\"\n[[addition]]\nname = \"water\"\namount = \"300 ml\"\n"

// TestTooStrongIsNotWeak: of one flavour one of the two is told, of what nobody tasted as of what was.
func TestTooStrongIsNotWeak(t *testing.T) {
	start, strong, weak := time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC), 0, 0
	look := func(src string, now time.Time) {
		for _, row := range Screen(assess(t, src, now), pen.Style{}).Rows {
			said := row[len(row)-1]
			over, under := strings.Contains(said, "too strong"), strings.Contains(said, "stays weak")
			if over && under {
				t.Errorf("%v: %v", now, row)
			}
			if over {
				strong++
			}
			if under {
				weak++
			}
		}
	}
	for hours := range 96 {
		look(coffee, start.Add(time.Duration(hours)*time.Hour))
	}
	for number := range somejar.Either[uint64](20, 100) {
		j := somejar.New(number)
		for _, h := range []time.Duration{0, 30, 240} {
			look(j.String(), somejar.Time(j.Now).Add(h*time.Hour))
		}
	}
	if strong < 20 || weak < 20 {
		t.Errorf("%d too strong, %d weak", strong, weak)
	}
}

// TestBestThatIsPast: a best time that a tasting finds to be over is told as past.
func TestBestThatIsPast(t *testing.T) {
	start, past, ahead := time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC), 0, 0
	soon, late := assess(t, coffee, start.Add(2*time.Hour)), assess(t, coffee, start.Add(22*time.Hour))
	for tenths := 20; tenths < 60; tenths += 2 {
		tasted := fmt.Sprintf("[[tasting]]\nat = \"2 h\"\nsample = \"5:5\"\nscore = { \"coffee beans\" = %g }\n", float64(tenths)/10)
		old, now := soon.Curve("coffee beans"), assess(t, coffee+tasted, start.Add(2*time.Hour)).Curve("coffee beans")
		if how, _ := now.Since(old); how != steeping.AsThought || now.Order.BestH < 2 {
			continue
		}
		if said := movedWords(soon, old, now); strings.HasPrefix(said, "; its best is now ") {
			ahead++
		} else if said != "" {
			t.Errorf("scored %d tenths: %q of a best that is to come", tenths, said)
		}
		if said := movedWords(late, old, now); strings.HasPrefix(said, "; likely best already ") {
			past++
		} else if said != "" {
			t.Errorf("scored %d tenths: %q of a best that is past", tenths, said)
		}
	}
	if past == 0 || ahead == 0 {
		t.Errorf("%d past, %d ahead", past, ahead)
	}
}
