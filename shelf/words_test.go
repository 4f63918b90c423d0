package shelf

import (
	"math"
	"testing"
)

func TestSpanWords(t *testing.T) {
	for _, c := range []struct {
		low, high   float64
		want, early string
	}{
		{5, 8, "5 to 8 days", "5 days"},
		{0.5, 5, "up to 5 days", "12 hours"},
		{5, 28, "5 days to 4 weeks", "5 days"},
		{19.7, 137, "2 weeks to 4 months", "19 days"},
		{5, 137, "5 days to 4 months", "5 days"},
		{39.3, 137, "1 to 4 months", "39 days"},
		{60, 61, "8 weeks", "60 days"},
		{121, 125, "4 months", "121 days"},
		{121, math.Inf(1), "4 months and more", "121 days"},
		{0.2, 0.7, "a few hours", "4 hours"},
	} {
		d := span{c.low, c.high}.days()
		if d.Words != c.want || d.Early() != c.early {
			t.Errorf("%g to %g days is %q, at the least %q; want %q and %q", c.low, c.high, d.Words, d.Early(),
				c.want, c.early)
		}
	}
}
