package bottle

import (
	"testing"
	"time"

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
