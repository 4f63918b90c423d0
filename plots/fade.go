package plots

import (
	"fmt"
	"math"
	"strings"

	"steepbook/data/quantity"
)

// Quality is something a bottle loses in store, such as a citrus top note.
// Weeks rise from bottling. Share, Low and High are the part left, 1 to 0: the
// median and its early and late end. Low and High may both be empty. Noticed is in how long a drinker notices
// the change, in words; "" says nothing of it.
type Quality struct {
	Name                    string
	Weeks, Share, Low, High []float64
	Dots                    []Left // what was tasted
	Note, Noticed           string
}

// Left is the part that was left of a quality by a tasting, 1 to 0; it may be more than 1.
type Left struct {
	Weeks, Share float64
}

// Fade shows the share left of each quality against the weeks in store, one
// panel a quality in the caller's order.
type Fade struct {
	Title, Subtitle string
	Store           string // where and how warm, such as "fridge, 4 °C"
	Qualities       []Quality
	Floor           *float64 // share, 0 to 1, at which a drinker notices the change
	NowWeeks        *float64 // weeks since bottling
	EndWeeks        float64  // right end of the axis; 0 takes the last time given
}

// Alt says in words what the picture shows.
func (f Fade) Alt() string {
	var b strings.Builder
	b.WriteString("Share left of each quality against " + f.unit().name + " in store")
	if store := clean(f.Store); store != "" {
		b.WriteString(", " + store)
	}
	b.WriteString(".")
	for _, q := range f.Qualities {
		n := len(q.Share)
		if n == 0 || n != len(q.Weeks) {
			continue
		}
		fmt.Fprintf(&b, " %s: %s left after %s", clean(q.Name), percent(q.Share[n-1]),
			quantity.Span(q.Weeks[n-1]*hoursPerWeek))
		if q.Noticed != "" {
			b.WriteString("; noticed in " + clean(q.Noticed))
		}
		if n := len(q.Dots); n > 0 {
			last := q.Dots[n-1]
			fmt.Fprintf(&b, "; %s left by your tasting after %s", percent(last.Share),
				quantity.Span(last.Weeks*hoursPerWeek))
		}
		b.WriteString(".")
	}
	return b.String()
}

func percent(share float64) string {
	return fmt.Sprintf("%.0f %%", 100*math.Max(0, math.Min(share, 1)))
}

func (f Fade) check() error {
	if len(f.Qualities) == 0 {
		return fmt.Errorf("%w: no quality is named; give at least one", errEmpty)
	}
	if err := finite("the end of the axis", f.EndWeeks); err != nil {
		return err
	}
	if f.EndWeeks < 0 {
		return fmt.Errorf("the axis ends before bottling, at %g weeks: %w", f.EndWeeks, errShape)
	}
	for _, v := range []*float64{f.Floor, f.NowWeeks} {
		if v != nil {
			if err := finite("the share at which it is noticed, or the present week,", *v); err != nil {
				return err
			}
		}
	}
	for i, q := range f.Qualities {
		who := quoted(q.Name, fmt.Sprintf("quality %d", i+1))
		for _, d := range q.Dots {
			for _, v := range []float64{d.Weeks, d.Share} {
				if err := finite("a tasting of "+who, v); err != nil {
					return err
				}
			}
		}
		err := checkSeries(who, named{"weeks", q.Weeks}, named{"share", q.Share}, named{"range", q.Low},
			named{"range", q.High})
		if err != nil {
			return err
		}
		if len(q.Low) != len(q.High) {
			return fmt.Errorf("the range of %s lacks its lower or its upper end: %w", who, errShape)
		}
	}
	switch end := f.end(); {
	case !(end > 0):
		return fmt.Errorf("%w: no quality has a time after bottling; give weeks or an end", errEmpty)
	case end*hoursPerWeek > maxYears*hoursPerYear:
		return fmt.Errorf("the axis would be %.0f weeks long, at most %d years can be drawn: %w",
			end, maxYears, errShape)
	}
	return nil
}

func (f Fade) end() float64 {
	end := f.EndWeeks
	if end <= 0 {
		for _, q := range f.Qualities {
			if n := len(q.Weeks); n > 0 {
				end = math.Max(end, q.Weeks[n-1])
			}
		}
	}
	return end
}

func (f Fade) figure(s style) *figure {
	st := stack{
		title: f.Title, subtitle: f.Subtitle, alt: f.Alt(),
		axis:       timeAxis{end: f.end() * hoursPerWeek, unit: f.unit()},
		axisName:   f.unit().name + " in store",
		yName:      "share left, %",
		yTop:       100,
		yMarks:     []float64{0, 50, 100},
		yMarksTall: []float64{0, 20, 40, 60, 80, 100},
		sideWidest: "noticed",
		captions:   []string{f.howToRead()},
	}
	if store := clean(f.Store); store != "" {
		st.axisName += " (" + store + ")"
	}
	if f.NowWeeks != nil {
		st.now = scaled(f.NowWeeks, hoursPerWeek)
		st.nowWords = "now, " + quantity.Span(*st.now)
	}
	for i, q := range f.Qualities {
		l := lane{
			name: q.Name, note: q.Note,
			color: s.Palette.Series[i%len(s.Palette.Series)],
			hours: times(q.Weeks, hoursPerWeek), median: times(q.Share, 100),
			low90: times(q.Low, 100), high90: times(q.High, 100),
		}
		for _, d := range q.Dots {
			left := 100 * math.Max(0, math.Min(d.Share, 1))
			l.dots = append(l.dots, Point{Hours: d.Weeks * hoursPerWeek, Score: left, Low: left, High: left})
		}
		if f.Floor != nil {
			l.levels = []level{{100 * *f.Floor, []string{"noticed", percent(*f.Floor)}, s.Palette.Ink}}
			if at := fallsTo(q.Weeks, q.Share, *f.Floor); !math.IsInf(at, 1) && q.Noticed != "" {
				l.posts = []post{{hours: at * hoursPerWeek, beyond: at * hoursPerWeek,
					words: "noticed in " + q.Noticed, color: s.Palette.Ink}}
			}
		}
		st.lanes = append(st.lanes, l)
	}
	return st.figure(s)
}

func (f Fade) howToRead() string {
	text, dots := "Line: most likely share", false
	for _, q := range f.Qualities {
		if dots = dots || len(q.Dots) > 0; len(q.Low) > 0 {
			text = "Line: most likely share; band: from early to late"
		}
	}
	if dots {
		text += "; dots: your tastings of the bottle"
	}
	return text + "."
}

// unit counts a short store in days.
func (f Fade) unit() unit {
	if f.end() < 3 {
		return days
	}
	return weeks
}

// fallsTo is the first time at which values, joined by straight lines, are down
// at a level; +Inf if they never are.
func fallsTo(at, values []float64, to float64) float64 {
	for i, v := range values {
		if v > to {
			continue
		}
		if i == 0 || math.IsInf(v, 0) || math.IsInf(values[i-1], 0) {
			return at[i]
		}
		return at[i-1] + (at[i]-at[i-1])*(values[i-1]-to)/(values[i-1]-v)
	}
	return math.Inf(1)
}

func times(values []float64, by float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v * by
	}
	return out
}

func scaled(v *float64, by float64) *float64 {
	w := *v * by
	return &w
}
