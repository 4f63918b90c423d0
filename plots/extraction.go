package plots

import (
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/data/quantity"
)

// Point is one tasting: a score of 0 to 10 at a time, in hours since the start
// of the batch. Low and High are the ends of its spread; equal ends mean that
// none is known. Label, a taster's mark or a word, is drawn where there is room.
type Point struct {
	Hours, Score, Low, High float64
	Label                   string
}

// Span is the time to pull, in hours since the start of the batch. Until may
// be +Inf: the window stays open. Label is printed above the shaded span.
type Span struct {
	From, Best, Until float64
	Label             string
}

// Panel is one flavour of an Extraction.
type Panel struct {
	Name string // botanical, or the taste that is watched
	Cut  string // form and fineness, may be empty

	// Hours since the start of the batch, rising, from the time the botanical
	// goes in. The other slices are either empty or as long as Hours and hold
	// the score, 0 to 10, that the bottle has if it comes out then: its mean and the ends of its
	// 50 % and 90 % ranges. Infinite scores are clipped to the picture.
	Hours, Middle, Low50, High50, Low90, High90 []float64

	Tastings []Point
	Window   *Span
	PulledH  *float64 // when it came out, hours since the start
	Target   *float64 // score wanted in the bottle
	Limit    *float64 // score a watched taste should stay under
	Watch    bool     // an unwanted taste; drawn last and in its own colour
	Note     string   // such as "usual range, not your jar yet"
}

// Extraction shows the strength of every flavour in the bottle over time: one
// panel a flavour, all on one time axis, watched tastes last.
//
// The time axis is even unless the flavours differ so much in speed that the
// quickest would be squeezed into its first part; then it is stretched towards
// its beginning and says so.
type Extraction struct {
	Title, Subtitle string
	Panels          []Panel
	NowH            *float64  // hours since the start
	EndH            float64   // right end of the time axis, hours; 0 takes the last time that is drawn
	Start           time.Time // gives the axis clock times or dates; zero for elapsed time only
	US              bool      // clocks of twelve hours, the day behind the month
}

// topScore is the end of the tasting scale.
const topScore = 10.0

// squeezed is how many times longer than the quickest flavour an even time axis
// may be before it is stretched.
const squeezed = 10.0

// Alt says in words what the picture shows.
func (e Extraction) Alt() string {
	var b strings.Builder
	b.WriteString("Strength of each flavour in the bottle, by when it comes out of the jar, scores 0 to 10.")
	for _, c := range e.ordered() {
		fmt.Fprintf(&b, " %s: %s", clean(c.Name), count(len(c.Tastings), "tasting"))
		if c.Target != nil && !math.IsInf(*c.Target, 0) {
			fmt.Fprintf(&b, ", wanted %s", tenths(*c.Target))
		}
		if c.Limit != nil && !math.IsInf(*c.Limit, 0) {
			fmt.Fprintf(&b, ", at most %s", tenths(*c.Limit))
		}
		if c.PulledH != nil {
			fmt.Fprintf(&b, ", %s", c.pulled())
		} else if c.Window != nil && !math.IsInf(c.Window.Best, 0) {
			fmt.Fprintf(&b, ", best pulled at %s", quantity.Span(c.Window.Best))
		}
		b.WriteString(".")
	}
	return b.String()
}

// pulled says when a flavour came out, or all that may bring an unwanted taste.
func (c *Panel) pulled() string {
	if c.Watch {
		return "all out at " + quantity.Span(*c.PulledH)
	}
	return "pulled at " + quantity.Span(*c.PulledH)
}

func count(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "1 " + what
	default:
		return fmt.Sprintf("%d %ss", n, what)
	}
}

// ordered gives the flavours in the caller's order with watched tastes last.
func (e Extraction) ordered() []Panel {
	var wanted, watched []Panel
	for _, c := range e.Panels {
		if c.Watch {
			watched = append(watched, c)
		} else {
			wanted = append(wanted, c)
		}
	}
	return append(wanted, watched...)
}

func (e Extraction) check() error {
	if len(e.Panels) == 0 {
		return fmt.Errorf("%w: the batch has no botanical and no watched taste; add at least one", errEmpty)
	}
	if err := finite("the end of the time axis", e.EndH); err != nil {
		return err
	}
	if e.EndH < 0 {
		return fmt.Errorf("the time axis ends before the start, at %g h: %w", e.EndH, errShape)
	}
	if e.NowH != nil {
		if err := finite("the present time", *e.NowH); err != nil {
			return err
		}
	}
	for i, c := range e.Panels {
		if err := c.check(quoted(c.Name, fmt.Sprintf("curve %d", i+1))); err != nil {
			return err
		}
	}
	switch end := e.end(); {
	case !(end > 0):
		return fmt.Errorf("%w: no flavour has a time after the start; give curves, tastings or an "+
			"end", errEmpty)
	case end > maxYears*hoursPerYear:
		return fmt.Errorf("the time axis would be %.0f h long, at most %d years can be drawn: %w",
			end, maxYears, errShape)
	}
	return nil
}

func (c Panel) check(who string) error {
	err := checkSeries(who, named{"hours", c.Hours},
		named{"middle", c.Middle}, named{"50 % range", c.Low50}, named{"50 % range", c.High50},
		named{"90 % range", c.Low90}, named{"90 % range", c.High90})
	if err != nil {
		return err
	}
	if len(c.Low50) != len(c.High50) || len(c.Low90) != len(c.High90) {
		return fmt.Errorf("the ranges of %s lack their lower or their upper ends: %w", who, errShape)
	}
	for i, t := range c.Tastings {
		if err := noNaN(fmt.Sprintf("tasting %d of %s", i+1, who), t.Hours, t.Score, t.Low,
			t.High); err != nil {
			return err
		}
	}
	if w := c.Window; w != nil {
		if err := noNaN("the time to pull "+who, w.From, w.Best, w.Until); err != nil {
			return err
		}
		if w.From > w.Until {
			return fmt.Errorf("the time to pull %s ends before it begins: %w", who, errShape)
		}
	}
	if c.PulledH != nil {
		if err := finite("the time when "+who+" was pulled", *c.PulledH); err != nil {
			return err
		}
	}
	for _, v := range []*float64{c.Target, c.Limit} {
		if v != nil {
			if err := noNaN("the wanted or highest score of "+who, *v); err != nil {
				return err
			}
		}
	}
	return nil
}

// end is the right end of the time axis in hours.
func (e Extraction) end() float64 {
	if e.EndH > 0 {
		return e.EndH
	}
	last := 0.0
	see := func(h float64) {
		if !math.IsInf(h, 0) {
			last = math.Max(last, h)
		}
	}
	for _, c := range e.Panels {
		if n := len(c.Hours); n > 0 {
			see(c.Hours[n-1])
		}
		for _, t := range c.Tastings {
			see(t.Hours)
		}
		if c.Window != nil {
			see(c.Window.From)
			see(c.Window.Best)
			see(c.Window.Until)
		}
		if c.PulledH != nil {
			see(*c.PulledH)
		}
	}
	return last
}

// pace is the time a flavour is about: when it is or was pulled, else its last
// tasting, else the end of the axis. It is 0 where nothing is known.
func (c Panel) pace(end float64) float64 {
	var h float64
	switch {
	case c.PulledH != nil:
		h = *c.PulledH
	case c.Window != nil:
		h = c.Window.Best
	case len(c.Tastings) > 0:
		for _, t := range c.Tastings {
			h = math.Max(h, t.Hours)
		}
	default:
		h = end
	}
	return h
}

// axis stretches early times when the quickest flavour needs it.
func (e Extraction) axis() timeAxis {
	a := timeAxis{end: e.end(), start: e.Start, us: e.US}
	quickest := a.end
	for _, c := range e.Panels {
		if h := c.pace(a.end); h > 0 && h < quickest {
			quickest = h
		}
	}
	if a.end > squeezed*quickest {
		a.knee = math.Max(quickest/5, a.end/1e6)
	}
	return a
}

func (e Extraction) figure(s style) *figure {
	st := stack{
		title: e.Title, subtitle: e.Subtitle, alt: e.Alt(),
		axis:  e.axis(),
		yName: "strength in the bottle, 0 to 10", yTop: topScore, yMarks: []float64{0, 5, 10},
		yMarksTall: []float64{0, 2, 4, 6, 8, 10},
		sideWidest: "wanted",
		captions:   []string{e.howToRead()},
		now:        e.NowH,
	}
	st.axisName = st.axis.caption()
	if e.NowH != nil {
		st.nowWords = "now, " + quantity.Span(*e.NowH)
	}
	for _, c := range e.ordered() {
		st.lanes = append(st.lanes, c.lane(s.Palette))
	}
	return st.figure(s)
}

func (c Panel) lane(pal palette) lane {
	l := lane{
		name: c.Name, aside: c.Cut, note: c.Note, color: pal.Wanted,
		hours: c.Hours, median: c.Middle,
		low50: c.Low50, high50: c.High50, low90: c.Low90, high90: c.High90,
		dots: c.Tastings,
	}
	if c.Watch {
		l.name, l.color = c.Name+" (watch)", pal.Watch
	}
	if c.Target != nil {
		l.levels = append(l.levels, level{*c.Target, []string{"wanted", tenths(*c.Target)}, pal.Ink})
	}
	if c.Limit != nil {
		l.levels = append(l.levels, level{*c.Limit, []string{"at most", tenths(*c.Limit)},
			pal.inkOf(pal.Watch)})
	}
	if w := c.Window; w != nil {
		green := pal.inkOf(pal.Window)
		l.shade = &[2]float64{w.From, w.Until}
		l.posts = append(l.posts, post{hours: w.Best, color: green, words: w.Label, beyond: w.From})
	}
	if c.PulledH != nil {
		l.posts = append(l.posts, post{
			hours: *c.PulledH, beyond: *c.PulledH, color: pal.Ink,
			words: c.pulled(),
		})
	}
	return l
}

// howToRead explains the marks that are really there.
func (e Extraction) howToRead() string {
	var median, half, most, tastings, spread, window bool
	for _, c := range e.Panels {
		median = median || len(c.Middle) > 0
		half = half || len(c.Low50) > 0
		most = most || len(c.Low90) > 0
		window = window || c.Window != nil
		for _, t := range c.Tastings {
			tastings = true
			spread = spread || t.High > t.Low
		}
	}
	var parts []string
	if median {
		parts = append(parts, "Line: expected strength.")
	}
	switch {
	case half && most:
		parts = append(parts, "Bands: 50 % and 90 % ranges.")
	case half:
		parts = append(parts, "Band: 50 % range.")
	case most:
		parts = append(parts, "Band: 90 % range.")
	}
	switch {
	case spread:
		parts = append(parts, "Dots: tastings with their spread.")
	case tastings:
		parts = append(parts, "Dots: tastings.")
	}
	if window {
		parts = append(parts, "Green: time to pull.")
	}
	return strings.Join(parts, " ")
}
