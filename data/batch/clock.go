package batch

import (
	"fmt"
	"slices"
	"sort"
	"time"

	"steepbook/data/quantity"
)

// Moment is a time of the wall clock at a place.
type Moment struct {
	Time     time.Time
	DateOnly bool // only the day was given; Time is its midnight
	zoned    bool // it was given with its offset from UTC

	again time.Time // the other time that its clock showed the same; zero where that came once
}

// Stamp is the moment as a batch file has it: a date, or the clock of its place, with the
// offset from UTC where it was given with one, and where the clock showed the same twice.
func (m Moment) Stamp() string {
	switch {
	case m.DateOnly:
		return m.Time.Format(time.DateOnly)
	case m.zoned, len(readings(m.Time, m.Time.Location())) > 1:
		return m.Time.Format(time.RFC3339Nano)
	}
	return m.Time.Format("2006-01-02T15:04:05.999999999")
}

// Twice reports whether the clock of the place showed the same another time.
func (m Moment) Twice() bool { return !m.again.IsZero() }

// Dated writes a moment as a batch file has it, to the minute.
func Dated(t time.Time) string { return Moment{Time: t.Truncate(time.Minute)}.Stamp() }

// readings are the moments at which the clocks of loc show what t shows, in their order:
// one, none where the clocks skipped it, two where they were turned back over it.
func readings(t time.Time, loc *time.Location) (all []time.Time) {
	y, mo, d := t.Date()
	h, mi, s := t.Clock()
	wall := time.Date(y, mo, d, h, mi, s, t.Nanosecond(), time.UTC)
	for _, near := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, offset := wall.Add(near).In(loc).Zone()
		at := wall.Add(-time.Duration(offset) * time.Second).In(loc)
		if at.Format(time.DateTime) == wall.Format(time.DateTime) {
			all = append(all, at)
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Before(all[j]) })
	return slices.CompactFunc(all, time.Time.Equal)
}

// onWallClock finds the moment at which the clocks of loc show what t shows, the first of
// two.
func onWallClock(t time.Time, loc *time.Location) (Moment, error) {
	switch all := readings(t, loc); len(all) {
	case 1:
		return Moment{Time: all[0]}, nil
	case 2:
		return Moment{Time: all[0], again: all[1]}, nil
	}
	// The clocks skipped this time. By the clock as it was before, it is this moment:
	_, offset := t.Add(-24 * time.Hour).In(loc).Zone()
	later := t.Add(-time.Duration(offset) * time.Second).In(loc)
	if h, mi, s := t.Clock(); h == 0 && mi == 0 && s == 0 {
		// Some places change their clocks at midnight, so that the day begins later.
		return Moment{Time: later}, nil
	}
	return Moment{}, &quantity.Error{Input: t.Format("2006-01-02T15:04:05"),
		Example: later.Format("2006-01-02T15:04:05"),
		Problem: fmt.Sprintf("the clocks went forward on %s and never showed %s", t.Format("2006-01-02"),
			t.Format("15:04"))}
}

// asksWhich is the fault of a clock that was shown twice and may mean either; what has been
// cannot mean the one that is still to come.
func (r Reckoning) asksWhich(m Moment, text string) error {
	if !m.Twice() || m.DateOnly || r.InFile || r.Side == Last && m.again.After(r.Now) && !r.Now.IsZero() {
		return nil
	}
	return asked(text, m.Time.Format("2006-01-02T15:04Z07:00"),
		"the clocks went back on %s and showed %s twice; "+
			"write it with %s for the first time or %s for the second", m.Time.Format("2~January 2006"),
		m.Time.Format("15:04"), m.Time.Format("-07:00"), m.again.Format("-07:00"))
}

// momentOf turns a value of the TOML library into a moment. A local time comes
// with the offset that the machine has today, which means nothing, so the
// clock is read off and set up again in loc.
func momentOf(v time.Time, loc *time.Location) (Moment, error) {
	switch v.Location().String() {
	case "datetime-local":
		return ParseMoment(v.Format("2006-01-02T15:04:05.999999999"), loc)
	case "date-local":
		return ParseMoment(v.Format("2006-01-02"), loc)
	case "time-local":
		clock := v.Format("15:04")
		return Moment{}, &quantity.Error{Input: clock, Example: momentExample,
			Problem: fmt.Sprintf("the time %s has no date", clock)}
	}
	return Reckoning{}.checkYear(Moment{Time: v.In(loc)}, v.Format(time.RFC3339))
}

// loggedAt is when an entry of the log was, as it is written, and on which line.
type loggedAt struct {
	line int
	at   *any
}

func (p *parser) moments(raw *fileTable) []loggedAt {
	all := slices.Concat(
		momentsOf(p, KindTasting, raw.Tasting, func(t *tastingTable) *any { return &t.At }),
		momentsOf(p, KindPulled, raw.Pulled, func(t *pulledTable) *any { return &t.At }),
		momentsOf(p, KindStrained, raw.Strained, func(t *strainedTable) *any { return &t.At }),
		momentsOf(p, KindAdded, raw.Added, func(t *addedTable) *any { return &t.At }),
		momentsOf(p, KindBottled, raw.Bottled, func(t *bottledTable) *any { return &t.At }),
		momentsOf(p, KindOpened, raw.Opened, func(t *openedTable) *any { return &t.At }),
		momentsOf(p, KindEmptied, raw.Emptied, func(t *emptiedTable) *any { return &t.At }),
		momentsOf(p, KindNoted, raw.Noted, func(t *notedTable) *any { return &t.At }))
	sort.SliceStable(all, func(i, j int) bool { return all[i].line < all[j].line })
	return all
}

func momentsOf[T any](p *parser, kind string, list []T, at func(*T) *any) []loggedAt {
	all := make([]loggedAt, len(list))
	for i := range list {
		all[i] = loggedAt{p.doc.Line(kind, i, "at"), at(&list[i])}
	}
	return all
}

// settle gives the entries of the log that were written without an offset, in the hour that
// comes twice, the second time of their clock where they stand behind what came after the
// first. It reports whether there was one.
func (p *parser) settle(raw *fileTable) (settled bool) {
	last := p.b.Started
	for _, e := range p.moments(raw) {
		m, said, _, err := p.spanOrClock(*e.at)
		if !said || err != nil {
			continue
		}
		if m.Twice() && m.Time.Before(last) && !m.again.Before(last) {
			m.Time, settled = m.again, true
			_, offset := m.Time.Zone()
			*e.at = m.Time.In(time.FixedZone("", offset))
		}
		last = m.Time
	}
	return settled
}
