package due

import (
	"slices"
	"steepbook/cmd/internal/steeping"
	"time"
)

// overdue reports whether what is to be done about one flavour is: it is late, or the flavour clearly
// worse than it was. Nothing is that waits for its hour.
func (d *Act) overdue(c *steeping.Curve, now time.Time) bool {
	return d.Late(now) > 0 || c.Order.Overdue && !d.At.After(now)
}

// Of is the act as it is of one of its flavours: what is done at once is due at hours of its own.
func (d *Act) Of(name string) Act {
	for _, own := range d.of {
		if slices.Contains(own.What, name) {
			return own
		}
	}
	return *d
}

// Overdue reports whether what is to be done about a flavour is, by all that is to be done with its jar.
func Overdue(acts []Act, c *steeping.Curve) bool {
	for i := range acts {
		if slices.Contains(acts[i].What, c.Name) {
			own := acts[i].Of(c.Name)
			return own.Overdue
		}
	}
	return c.Order.Overdue
}

// since is from when something is to be done: a tasting whenever it is asked.
func (d *Act) since() time.Time {
	if d.Kind == Taste {
		return d.DueAt
	}
	return d.At
}

// Late is for how long the moment of something has passed, by more than its doubt, and of a tasting by so much
// that something is lost; of what is done at once, of what is latest. What is late is overdue.
func (d *Act) Late(now time.Time) (late time.Duration) {
	for i := range d.of {
		late = max(late, d.of[i].Late(now))
	}
	jar := d.Kind == Taste || d.Kind == Pull || d.Kind == Strain
	if by := now.Sub(d.since()); len(d.of) == 0 && !d.Ask && (jar || d.Overdue) && by >= leastLate &&
		by >= hours(d.DoubtH) && !now.Before(d.LateAt) {
		late = by
	}
	return late
}

// leastLate is from when on one says that something is late. Judgement.
const leastLate = 10 * time.Minute
