package keeping

import (
	"slices"
	"testing"
	"time"
)

// What stays in a bottle comes out each on its own day, what has the same one together; of one name the first stands.
func TestEachComesOutOnItsDay(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 11, day, hour, 0, 0, 0, time.UTC) }
	var s Stay
	s.Stays("vanilla", at(15, 10))
	s.Stays("chilli", at(6, 22))
	s.Stays("cinnamon", at(15, 8))
	s.Stays("chilli", at(20, 8))
	if len(s.Outs) != 2 || !s.OutBy().Equal(at(6, 22)) || !slices.Equal(s.Outs[1].Names, []string{"vanilla", "cinnamon"}) ||
		!s.Outs[1].By.Equal(at(15, 8)) {
		t.Errorf("%+v", s)
	}
	for now, want := range map[time.Time][]string{at(1, 0): {"chilli"}, at(7, 0): {"chilli"}, at(16, 0): {"chilli", "vanilla", "cinnamon"}} {
		if due := s.Due(now); !slices.Equal(due.Names, want) || !due.By.Equal(at(6, 22)) {
			t.Errorf("on %v %+v", now, due)
		}
	}
	was := s
	if later := s.Later(24 * time.Hour); !later.OutBy().Equal(at(7, 22)) || !s.OutBy().Equal(was.OutBy()) {
		t.Errorf("%+v, a day later %+v", s, later)
	}
}
