package batch

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

const momentExample = "2026-11-20T18:00:00"

// ParseMoment reads a moment that stands by itself: "2026-11-20T18:00:00",
// "2026-11-20 18:00", "2026-11-20", with or without an offset from UTC, "20 Nov
// 2026 6 pm". Without an offset it is the wall clock of loc. A time that the
// clocks skip is refused; of a time that comes twice the first is taken. The
// error is a *quantity.Error.
func ParseMoment(text string, loc *time.Location) (Moment, error) {
	m, _, err := Reckoning{Loc: loc, InFile: true}.Moment(text)
	return m, err
}

// Side says which of the times that words fit is meant.
type Side int

const (
	Nearest Side = iota // the nearest; a day of the week has to be asked about
	Last                // what has been, such as a tasting
	Next                // what comes, such as a tasting seen from the start of its batch
)

// Reckoning is what the words for a moment are reckoned from.
type Reckoning struct {
	Loc *time.Location
	// Now is what "yesterday" and "9 pm" count from; zero in a file, which is read on many days.
	Now time.Time
	// From is what a date without a year counts from, where there is no Now; zero where
	// nothing does.
	From   time.Time
	Side   Side            // on which side of Now or From
	InFile bool            // nobody can be asked: of a clock that comes twice the first is taken
	System quantity.System // US clocks have twelve hours, so that 9:30 says too little
	// Habit is how others beside it are written, where they show that.
	Habit Habit
}

// Habit is what the moments of one hand show of how it writes them.
type Habit struct {
	Hours24              bool // a clock of 24 hours
	DayFirst, MonthFirst bool // dates in figures
}

var (
	hours24    = pattern.New(`(?:^|[ T])(?:1[3-9]|2[0-3]):\d\d`)
	dayFirst   = pattern.New(`^(?:1[3-9]|2\d|3[01])[-/.]\d{1,2}\b`)
	monthFirst = pattern.New(`^\d{1,2}[-/.](?:1[3-9]|2\d|3[01])\b`)
)

// HabitOf is that of moments: of their dates none where some are written one way and some the other.
func HabitOf(moments []string) (h Habit) {
	for _, s := range moments {
		h.Hours24 = h.Hours24 || hours24().MatchString(s)
		h.DayFirst = h.DayFirst || dayFirst().MatchString(s)
		h.MonthFirst = h.MonthFirst || monthFirst().MatchString(s)
	}
	if h.DayFirst && h.MonthFirst {
		h.DayFirst, h.MonthFirst = false, false
	}
	return h
}

// from is what dates count from; zero where nothing does.
//
//go:noinline
func (r *Reckoning) from() time.Time {
	if r.Now.IsZero() {
		return r.From
	}
	return r.Now
}

// refused is asked with the example of a moment that would be right here and now.
//
//go:noinline
func (r *Reckoning) refused(text, format string) error {
	example := momentExample
	if from := r.from(); !from.IsZero() {
		example = from.In(r.Loc).Format("2006-01-02T15:04:00")
	}
	return asked(text, example, format, text)
}

// momentForms are the ways to write a moment in figures, most exact first.
var momentForms = []struct {
	layout           string
	zoned, onlyADate bool
}{
	{time.RFC3339Nano, true, false},
	{"2006-01-02T15:04Z07:00", true, false},
	{"2006-01-02T15:04:05.999999999", false, false},
	{"2006-01-02T15:04", false, false},
	{"2006-01-02", false, true},
}

// asked is what cannot be read without asking the maker.
func asked(text, example, format string, args ...any) *quantity.Error {
	return &quantity.Error{Input: text, Example: example, Problem: fmt.Sprintf(format, args...)}
}

// Moment reads a moment as people type it: in figures, as ParseMoment does, and
// "9pm", "18:30", "yesterday 9 pm", "Mon 9am", "Nov 24 8:00 pm", "2 days ago",
// "now". Words that fit two moments are refused with both. said is false where
// the text says nothing of a day or a clock. The error is a *quantity.Error.
func (r Reckoning) Moment(text string) (m Moment, said bool, err error) {
	s := strings.ToUpper(strings.TrimSpace(text))
	if day, clock, ok := strings.Cut(s, " "); ok && !strings.ContainsAny(clock, " T") {
		s = day + "T" + clock
	}
	for _, form := range momentForms {
		t, err := time.ParseInLocation(form.layout, s, time.UTC)
		if err != nil {
			continue
		}
		if form.zoned {
			m = Moment{Time: t.In(r.Loc), zoned: true}
		} else if m, err = onWallClock(t, r.Loc); err != nil {
			return Moment{}, true, err
		}
		m.DateOnly, said = form.onlyADate, true
		break
	}
	if !said {
		m, said, err = r.words(text)
	}
	if err == nil {
		m, err = r.checkYear(m, text)
	}
	if err == nil {
		err = r.asksWhich(m, text)
	}
	return m, said, err
}

// checkYear refuses years that are slips of the pen, before they overflow a
// time.Duration.
func (r Reckoning) checkYear(m Moment, text string) (Moment, error) {
	if y := m.Time.Year(); y < 1900 || y > 2200 {
		return Moment{}, r.refused(text, "the year in %q is not between 1900 and 2200")
	}
	return m, nil
}

var (
	clockWords = pattern.New(`(?:^| )(?:(\d{1,2})(?:[:.](\d{2}))? ?([ap])\.?m?\.?|(\d{1,2}):(\d{2})(?::(\d{2}))?|(?:12 )?(noon|midday|midnight))(?: |$)`)
	numericDay = pattern.New(`^(\d{1,4})([-/.])(\d{1,2})(?:[-/.](\d{1,4}))?\.?$`)
	namedDay   = pattern.New(`^(?:(\d{1,2})(?:st|nd|rd|th)?\.?[ -]?([a-z]+)\.?|([a-z]+)\.? ?(\d{1,2})(?:st|nd|rd|th)?)(?:[ -](\d{4}))?$`)
	figures    = pattern.New(`^\d{4}[-/.]\d`)
	smallWords = pattern.New(`,|@|(?:^| )(?:at|on)(?: |$)`)
	partOfDay  = pattern.New(`\b(?:to)?(?:morning|noon|evening|night|lunch|dinner|breakfast)`)
)

// words reads a moment in words: a clock, a day, or both in either order.
func (r Reckoning) words(text string) (m Moment, said bool, err error) {
	s := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if past, ok := strings.CutSuffix(s, " ago"); ok { // with its decimal comma
		d, err := quantity.ParseDuration(past)
		switch {
		case err != nil:
			return m, true, err
		case r.Now.IsZero():
			return m, true, r.needsDay(text)
		}
		return Moment{Time: r.Now.In(r.Loc).Add(-d).Truncate(time.Minute)}, true, nil
	}
	s = strings.Join(strings.Fields(smallWords().ReplaceAllString(s, " ")), " ")
	if s == "now" || s == "just now" {
		if r.Now.IsZero() {
			return m, true, r.needsDay(text)
		}
		return Moment{Time: r.Now.In(r.Loc).Truncate(time.Minute)}, true, nil
	}
	c := clock{none: true}
	found := clockWords().FindStringSubmatchIndex(s)
	if found != nil {
		if c, err = r.clock(text, clockWords().FindStringSubmatch(s)); err != nil {
			return m, true, err
		}
		s = strings.TrimSpace(strings.TrimSpace(s[:found[0]]) + " " + strings.TrimSpace(s[found[1]:]))
	}
	if partOfDay().MatchString(s) {
		return m, true, asked(text, "today 8 am", "%q is a part of a day; write the day and the hour", text)
	}
	days, err := r.days(text, s)
	if err != nil {
		return m, true, err
	}
	if days == nil {
		return m, found != nil || figures().MatchString(s), r.refused(text,
			"%q is not a date and time of the form year-month-dayThour:minute")
	}
	return r.choose(text, days, c)
}

// clock is a time of the day.
type clock struct {
	none    bool // only a day was said
	h, m, s int
}

// clock reads what clockWords found.
func (r Reckoning) clock(text string, found []string) (clock, error) {
	number := func(i int) int { n, _ := strconv.Atoi(found[i]); return n }
	switch {
	case found[7] == "midnight":
		return clock{}, asked(text, "2026-11-20 23:59",
			"midnight begins one day and ends another; write 11:59 pm of the one or 12:01 am of the other")
	case found[7] != "":
		return clock{h: 12}, nil
	case found[3] != "":
		c := clock{h: number(1) % 12, m: number(2)}
		if number(1) < 1 || number(1) > 12 || c.m > 59 {
			return c, asked(text, "9:30 pm", "there is no such time of the day in %q", text)
		}
		if found[3] == "p" {
			c.h += 12
		}
		return c, nil
	}
	c := clock{h: number(4), m: number(5), s: number(6)}
	switch {
	case c.h > 23 || c.m > 59 || c.s > 59:
		return c, asked(text, "18:30", "there is no such time of the day in %q", text)
	case r.System == quantity.US && !r.Habit.Hours24 && c.h >= 1 && c.h <= 12 && found[4][0] != '0':
		return c, asked(text, strings.Replace(text, found[4]+":"+found[5], found[4]+":"+found[5]+" pm", 1),
			"%s:%s can be in the morning or in the afternoon; write %s:%s am or %s:%s pm", found[4], found[5],
			found[4], found[5], found[4], found[5])
	}
	return c, nil
}

// clockOfDay reads "7 am" or "23:00" as the time since midnight; "24:00" is the end of
// the day.
func clockOfDay(text string) (time.Duration, bool) {
	s := strings.ToLower(strings.TrimSpace(text))
	if s == "24:00" {
		return 24 * time.Hour, true
	}
	found := clockWords().FindStringSubmatch(s)
	if found == nil || strings.TrimSpace(found[0]) != s {
		return 0, false
	}
	c, err := Reckoning{}.clock(text, found)
	return time.Duration(c.h)*time.Hour + time.Duration(c.m)*time.Minute, err == nil
}

var (
	months = []string{"january", "february", "march", "april", "may", "june", "july", "august", "september",
		"october", "november", "december"}
	weekdays = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}
)

// named finds the one of names that word is, or is the first letters of.
func named(names []string, word string) (int, bool) {
	for i, n := range names {
		if len(word) >= 3 && (strings.HasPrefix(n, word) || word == "sept" && i == 8) {
			return i, true
		}
	}
	return 0, false
}

// recurring is how often the days that words fit come round.
type recurring struct {
	one         []time.Time // one of them, or both readings of a date in figures, at midnight UTC
	days, years int         // by how much the others are apart; none of both where there are no others
	asks        bool        // two of them are too near to choose one
}

// days finds the days that words fit; nil where the words are none of a day.
func (r Reckoning) days(text, s string) (*recurring, error) {
	today := r.Now
	if today.IsZero() {
		today = r.From
	}
	y, mo, d := today.In(r.Loc).Date()
	date := time.Date(y, mo, d, 0, 0, 0, 0, time.UTC)
	off := map[string]int{"today": 0, "yesterday": -1, "tomorrow": 1, "day before yesterday": -2}
	bare, last := strings.CutPrefix(s, "last ")
	first, rest, more := strings.Cut(bare, " ")
	weekday, isWeekday := named(weekdays, strings.TrimSuffix(first, "."))
	if n, ok := off[s]; ok || s == "" {
		if r.Now.IsZero() {
			return nil, r.needsDay(text)
		}
		if s == "" {
			return &recurring{one: []time.Time{date}, days: 1}, nil
		}
		return &recurring{one: []time.Time{date.AddDate(0, 0, n)}}, nil
	}
	switch {
	case isWeekday && !more && r.Now.IsZero():
		return nil, r.needsDay(text)
	case isWeekday && !more && last:
		return &recurring{one: []time.Time{date.AddDate(0, 0, -(int(date.Weekday())-weekday+6)%7-1)}}, nil
	case isWeekday && !more:
		return &recurring{one: []time.Time{date.AddDate(0, 0, -(int(date.Weekday())-weekday+7)%7)}, days: 7,
			asks: r.Side == Nearest}, nil
	case isWeekday:
		days, err := r.dates(text, rest, y)
		if days != nil && days.years == 0 && int(days.one[0].Weekday()) != weekday {
			return nil, asked(text, days.one[0].Format("Mon 2 Jan 2006"), "%s was no %s",
				days.one[0].Format("2 January 2006"),
				days.one[0].AddDate(0, 0, (weekday-int(days.one[0].Weekday())+7)%7).Weekday())
		}
		return days, err
	}
	return r.dates(text, s, y)
}

// dates reads a day of the calendar, in words or figures, in the year y where it
// says none.
func (r Reckoning) dates(text, s string, y int) (*recurring, error) {
	whole := func(y, m, d int) (t time.Time, ok bool) {
		t = time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
		return t, m >= 1 && m <= 12 && d >= 1 && t.Day() == d
	}
	out := &recurring{}
	wrong := func() (*recurring, error) {
		return nil, r.refused(text, "there is no such day in the calendar as in %q")
	}
	year := func(said string) error {
		switch {
		case said == "" && r.from().IsZero():
			return r.refused(text, "%q does not say the year")
		case said == "":
			out.years = 1
		case len(said) != 4:
			return r.refused(text, "write the year in %q with four figures")
		default:
			y, _ = strconv.Atoi(said)
		}
		return nil
	}
	if f := namedDay().FindStringSubmatch(s); f != nil {
		day, word := f[1]+f[4], f[2]+f[3]
		m, ok := named(months, word)
		if !ok {
			return nil, nil
		}
		if err := year(f[5]); err != nil {
			return nil, err
		}
		d, _ := strconv.Atoi(day)
		if out.years == 1 && m == 1 && d == 29 {
			return nil, r.refused(text, "%q does not say the year")
		}
		t, ok := whole(y, m+1, d)
		if !ok {
			return wrong()
		}
		out.one = []time.Time{t}
		return out, nil
	}
	f := numericDay().FindStringSubmatch(s)
	if f == nil || f[2] == "." && f[4] == "" && !strings.HasSuffix(s, ".") {
		return nil, nil
	}
	n := func(i int) int { v, _ := strconv.Atoi(f[i]); return v }
	if len(f[1]) > 2 {
		t, ok := whole(n(1), n(3), n(4))
		if len(f[1]) != 4 || !ok {
			return wrong()
		}
		return &recurring{one: []time.Time{t}}, nil
	}
	if err := year(f[4]); err != nil {
		return nil, err
	}
	for _, monthFirst := range []bool{false, true} {
		if monthFirst && r.Habit.DayFirst || !monthFirst && r.Habit.MonthFirst {
			continue
		}
		d, m := n(1), n(3)
		if monthFirst {
			d, m = m, d
		}
		if t, ok := whole(y, m, d); ok && (len(out.one) == 0 || !t.Equal(out.one[0])) {
			out.one = append(out.one, t)
		}
	}
	switch len(out.one) {
	case 0:
		return wrong()
	case 2:
		likely := r.likelier(out.one[0], out.one[1]).Format("2 Jan 2006")
		return nil, asked(text, strings.Replace(strings.ToLower(text), s, likely, 1),
			"%q can be %s or %s; write the month in letters", s, out.one[0].Format("2 January"),
			out.one[1].Format("2 January"))
	}
	return out, nil
}

// likelier is the one of a day that has its month behind and one that has it first that is likely meant.
func (r *Reckoning) likelier(behind, first time.Time) time.Time {
	from := r.from()
	if from.IsZero() && r.System == quantity.US ||
		!from.IsZero() && first.Sub(from).Abs() < behind.Sub(from).Abs() {
		return first
	}
	return behind
}

// soonH is how near a moment to come must be for words that would else mean one
// long past to be about it, so that "9 pm" at ten to nine is not last night.
const soonH = 12 * time.Hour

// choose takes the one of the recurring days that is meant.
func (r Reckoning) choose(text string, days *recurring, c clock) (Moment, bool, error) {
	from := r.from()
	at := func(n int) (Moment, error) {
		t := days.one[0].AddDate(n*days.years, 0, n*days.days)
		m, err := onWallClock(time.Date(t.Year(), t.Month(), t.Day(), c.h, c.m, c.s, 0, time.UTC), r.Loc)
		m.DateOnly = c.none
		return m, err
	}
	if days.days == 0 && days.years == 0 {
		m, err := at(0)
		return m, true, err
	}
	var before, after Moment // the last one up to then, and the first one from then on
	var skipped error
	for n := -1; n <= 1; n++ {
		m, err := at(n)
		if err != nil {
			skipped = err
			continue
		}
		start := from
		if m.DateOnly { // the day itself counts for both
			y, mo, d := from.In(r.Loc).Date()
			start = time.Date(y, mo, d, 0, 0, 0, 0, r.Loc)
		}
		if !m.Time.After(from) {
			before = m
		}
		if !m.Time.Before(start) && after.Time.IsZero() {
			after = m
		}
	}
	switch {
	case skipped != nil && (before.Time.IsZero() || after.Time.IsZero()):
		return Moment{}, true, skipped
	case days.asks && !before.Time.Equal(after.Time):
		return before, true, asked(text, before.Time.Format("2006-01-02 15:04"),
			"%q can be %s or %s; write the date", text, before.Time.Format("2 January"),
			after.Time.Format("2 January"))
	case r.Side == Next, r.Side == Last && after.Time.Sub(from) < soonH && after.Time.After(from),
		before.Time.IsZero():
		return after, true, nil
	case r.Side == Last, after.Time.IsZero():
		return before, true, nil
	case days.days == 1: // a clock alone is today's
		m, err := at(0)
		return m, true, err
	case after.Time.Sub(from) < from.Sub(before.Time):
		return after, true, nil
	}
	return before, true, nil
}

// needsDay refuses in a file what means another day whenever it is read.
func (r Reckoning) needsDay(text string) error {
	return r.refused(text, "%q is another day whenever the file is read; write the date")
}
