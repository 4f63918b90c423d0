package bottle

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/data/quantity"
)

// TestTheHourThatIsLeft: an hour of today is told by the clock of the maker.
func TestTheHourThatIsLeft(t *testing.T) {
	at := time.Date(2026, 11, 22, 14, 30, 0, 0, time.UTC)
	for s, want := range map[quantity.System]string{quantity.Metric: " (until 14:30 today)", quantity.US: " (until 2:30 pm today)"} {
		if got := quantity.Say(left(at, at.Add(-time.Hour)), s); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestDaysLeftAreCountedAsDaysAre: of N days that begin now N are left, whatever N and the hour, and the
// count ends where the last of them is today.
func TestDaysLeftAreCountedAsDaysAre(t *testing.T) {
	for hour := range 24 {
		now := time.Date(2026, 12, 5, hour, 30, 0, 0, time.UTC)
		for n := 2; n <= 7; n++ {
			end := keeping.Evening(now.AddDate(0, 0, n-1)) // as keeping counts whole days from a moment
			if got := left(end, now); !strings.HasPrefix(got, fmt.Sprintf(" (%d days left", n)) {
				t.Errorf("%d days from %v: %q", n, now, got)
			}
			if got := left(end, end.Add(-time.Hour)); got != " (today)" {
				t.Errorf("on the last of %d days: %q", n, got)
			}
		}
	}
}
