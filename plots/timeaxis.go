package plots

import (
	"math"
	"strconv"
	"strings"
	"time"
)

const (
	hoursPerDay  = 24.0
	hoursPerWeek = 7 * hoursPerDay
	hoursPerYear = 365.25 * hoursPerDay
	maxYears     = 301 // of a time axis: from the first moment that a batch may tell of to the last
)

// timeAxis maps hours since the start of a batch to x. With a knee above zero
// the axis is stretched towards its beginning: it runs as log(1 + t/knee),
// which is even below the knee and logarithmic far above it, and has a zero.
type timeAxis struct {
	end, knee float64
	x0, x1    float64
	start     time.Time
	unit      unit // of an even axis; the zero value chooses by the end
	us        bool
}

// counted is the unit an even axis is marked in.
func (a timeAxis) counted() unit {
	if a.unit.hours > 0 {
		return a.unit
	}
	return axisUnit(a.end)
}

func (a timeAxis) share(h float64) float64 {
	if a.knee > 0 {
		return math.Log1p(h/a.knee) / math.Log1p(a.end/a.knee)
	}
	return h / a.end
}

// at gives the x of a time; times outside the axis land on its ends.
func (a timeAxis) at(h float64) float64 {
	return a.x0 + (a.x1-a.x0)*a.share(math.Max(0, math.Min(h, a.end)))
}

// tick is a mark on an axis with up to two rows of words.
type tick struct {
	value      float64
	label, sub string
}

// unit is a span of time that an axis counts in.
type unit struct {
	name, short string
	hours       float64
}

var (
	minutes = unit{"minutes", "min", 1.0 / 60}
	hours   = unit{"hours", "h", 1}
	days    = unit{"days", "d", hoursPerDay}
	weeks   = unit{"weeks", "wk", hoursPerWeek}
	years   = unit{"years", "yr", hoursPerYear}
)

// axisUnit is the unit in which a span of so many hours is read most easily.
func axisUnit(end float64) unit {
	switch {
	case end <= 3:
		return minutes
	case end <= 3*hoursPerDay:
		return hours
	case end <= 10*hoursPerWeek:
		return days
	case end <= 10*hoursPerYear:
		return weeks
	default:
		return years
	}
}

// steps gives the intervals people count a unit in, from small to large; the
// last leaves few marks whatever the end.
func (u unit) steps(end float64) []float64 {
	var list []float64
	switch u {
	case minutes:
		list = []float64{1, 2, 5, 10, 15, 20, 30, 60}
	case hours:
		list = []float64{1, 2, 3, 4, 6, 12, 24}
	case days:
		list = []float64{1, 2, 7, 14, 28}
	case weeks:
		list = []float64{1, 2, 4, 8, 13, 26, 52, 104}
	default:
		list = []float64{1, 2, 5, 10, 20, 50, 100}
	}
	return append(list, math.Ceil(end/u.hours/3))
}

// evenTicks marks an even axis so that labels keep their distance.
func (a timeAxis) evenTicks(l lettering) []tick {
	u := a.counted()
	for _, step := range u.steps(a.end) {
		var ticks []tick
		day := time.Time{}
		for n := 0.0; n*step*u.hours <= a.end*(1+1e-9); n++ {
			h := n * step * u.hours
			t := tick{value: h, label: strconv.FormatFloat(n*step, 'g', 6, 64)}
			t.sub, day = a.clock(h, step*u.hours, day)
			ticks = append(ticks, t)
			if len(ticks) > 100 {
				break
			}
		}
		if a.apart(ticks, l, 1.3*l.size) {
			return ticks
		}
	}
	return []tick{{value: 0, label: "0"}}
}

// Marks for a stretched axis, the most telling ones first.
var stretchedMarks = [][]tick{
	{{value: 1, label: "1 h"}, {value: hoursPerDay, label: "1 d"}, {value: hoursPerWeek, label: "1 wk"}},
	{{value: 1.0 / 6, label: "10 min"}, {value: 6, label: "6 h"}, {value: 4 * hoursPerWeek, label: "4 wk"},
		{value: 3 * hoursPerDay, label: "3 d"}, {value: 26 * hoursPerWeek, label: "26 wk"},
		{value: 52 * hoursPerWeek, label: "52 wk"}},
	{{value: 0.5, label: "30 min"}, {value: 3, label: "3 h"}, {value: 12, label: "12 h"},
		{value: 2 * hoursPerWeek, label: "2 wk"}, {value: 13 * hoursPerWeek, label: "13 wk"},
		{value: 8 * hoursPerWeek, label: "8 wk"}},
	{{value: 0.25, label: "15 min"}, {value: 2, label: "2 h"}, {value: 2 * hoursPerDay, label: "2 d"}},
}

// stretchedTicks takes marks in order of importance while there is room. Only
// days carry a date: clock times of the crowded first hours would cost marks.
func (a timeAxis) stretchedTicks(l lettering) []tick {
	ticks := []tick{{value: 0, label: "0"}}
	for _, tier := range stretchedMarks {
		for _, t := range tier {
			if t.value > a.end*(1+1e-9) {
				continue
			}
			if t.value >= hoursPerDay {
				t.sub, _ = a.clock(t.value, t.value, time.Time{})
			}
			grown := append(append([]tick(nil), ticks...), t)
			if a.apart(grown, l, 0.5*l.size) {
				ticks = grown
			}
		}
	}
	return ticks
}

func (a timeAxis) ticks(l lettering) []tick {
	if a.knee > 0 {
		return a.stretchedTicks(l)
	}
	return a.evenTicks(l)
}

// apart tells whether all labels have a gap between them.
func (a timeAxis) apart(ticks []tick, l lettering, gap float64) bool {
	spans := make([][2]float64, len(ticks))
	for i, t := range ticks {
		half := math.Max(l.width(t.label), l.width(t.sub))/2 + gap/2
		x := a.at(t.value)
		for _, s := range spans[:i] {
			if x-half < s[1] && s[0] < x+half {
				return false
			}
		}
		spans[i] = [2]float64{x - half, x + half}
	}
	return true
}

// clock is the second row of a tick label: the date for steps of days, else
// the time, with the weekday when it differs from that of the tick before.
func (a timeAxis) clock(h, step float64, before time.Time) (string, time.Time) {
	if a.start.IsZero() {
		return "", before
	}
	t := time.Unix(a.start.Unix()+int64(h*3600), 0).In(a.start.Location()) // a Duration ends at 292 years
	switch {
	case step >= hoursPerYear:
		return t.Format("2006"), t
	case step >= hoursPerDay:
		return a.format(t, "2 Jan", "Jan 2"), t
	case !before.IsZero() && before.YearDay() == t.YearDay():
		return a.format(t, "15:04", "3:04 pm"), t
	default:
		return a.format(t, "Mon 15:04", "Mon 3:04 pm"), t
	}
}

// format prints a moment in the one layout, or in that of US makers.
func (a timeAxis) format(t time.Time, layout, us string) string {
	if a.us {
		return strings.Replace(t.Format(us), "12:00 pm", "noon", 1)
	}
	return t.Format(layout)
}

// caption names the axis with its unit and, where known, the start.
func (a timeAxis) caption() string {
	s := a.counted().name + " since the start"
	if a.knee > 0 {
		s = "time since the start, early hours drawn wider"
	}
	if !a.start.IsZero() {
		s += " (" + a.format(a.start, "Mon 2 Jan 2006, 15:04", "Mon Jan 2, 2006, 3:04 pm") + ")"
	}
	return s
}
