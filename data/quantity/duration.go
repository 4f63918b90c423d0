package quantity

import (
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/data/pattern"
)

const (
	day  = 24 * time.Hour
	week = 7 * day

	// longestSpan keeps durations far from the range of time.Duration, and is
	// longer than anything is steeped.
	longestSpan = 50 * 365 * day
)

const durationExample = "2 d 4 h"

var spans = map[string]time.Duration{
	"s": time.Second, "sec": time.Second, "secs": time.Second, "second": time.Second, "seconds": time.Second,
	"min": time.Minute, "mins": time.Minute, "minute": time.Minute, "minutes": time.Minute,
	"h": time.Hour, "hr": time.Hour, "hrs": time.Hour, "hour": time.Hour, "hours": time.Hour,
	"d": day, "day": day, "days": day,
	"w": week, "wk": week, "wks": week, "week": week, "weeks": week,
}

var noSpans = map[string]string{
	"m":     `"m" can be minutes or months; write min, or days for months`,
	"mo":    "a month has no fixed length; write days or weeks",
	"month": "a month has no fixed length; write days or weeks",
	"y":     "a year has no fixed length; write days or weeks",
	"yr":    "a year has no fixed length; write days or weeks",
	"year":  "a year has no fixed length; write days or weeks",
	"night": "a night has no fixed length; write hours",
}

var (
	spanWord = pattern.New(`^[^0-9 ,¼½¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒]+`)
	spanGlue = pattern.New(`(?i)^(?: *, *| *\+ *| +and +| +)`)
	// hourMinutes is "1h30", as some write a length in hours and minutes.
	hourMinutes = pattern.New(`(?i)^(.*\d ?h) ?([0-5]\d)$`)
	clockTime   = pattern.New(`^[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?$`)
)

// ParseDuration reads a length of time of zero or more: "36 h", "2 d 4 h",
// "90 min", "1h30", "1 week 2 days", "1 1/2 h". Months and years are refused because
// their length is not fixed; no unit may be there twice. The error is an *Error.
func ParseDuration(s string) (time.Duration, error) {
	if d, ok := durations.Load(s); ok {
		return d.(time.Duration), nil
	}
	d, err := parseDuration(s)
	if err == nil {
		durations.Store(s, d)
	}
	return d, err
}

func parseDuration(s string) (time.Duration, error) {
	text := tidy(s)
	bad := func(format string, args ...any) (time.Duration, error) {
		return 0, fail(s, durationExample, format, args...)
	}
	switch {
	case text == "":
		return bad("the duration is empty")
	case strings.HasPrefix(text, "-"):
		return bad("the duration %s is negative", shown(s))
	case clockTime().MatchString(text):
		return bad("%s can be a time of day or a duration; write a duration with its units", shown(s))
	case strings.EqualFold(text, "overnight"):
		return bad("a night has no fixed length; write hours")
	}
	var total float64 // in nanoseconds
	seen := map[time.Duration]bool{}
	if m := hourMinutes().FindStringSubmatch(text); m != nil {
		text = m[1] + " " + m[2] + " min"
	}
	for rest := text; rest != ""; {
		v, after, found, err := number(rest, s, durationExample)
		if err != nil {
			return 0, err
		}
		if _, unit := spans[strings.ToLower(strings.TrimSpace(rest))]; !found && unit {
			return bad("%s says no number", shown(s))
		}
		if !found {
			return bad("%s in %s is not a length of time", shown(rest), shown(s))
		}
		after = strings.TrimLeft(after, " ")
		if strings.HasPrefix(after, "-") || strings.HasPrefix(strings.ToLower(after), "to ") {
			return bad("%s is a range; write one duration", shown(s))
		}
		word := spanWord().FindString(after)
		unit := strings.ToLower(strings.TrimSuffix(word, "."))
		span, ok := spans[unit]
		if why, no := noSpans[strings.TrimSuffix(unit, "s")]; no && !ok {
			return bad("%s", why)
		}
		switch {
		case word == "":
			return bad("%s has no unit; write h for hours, d for days, min for minutes", shown(s))
		case !ok:
			return bad("unknown unit of time %s in %s; write wk, d, h or min", shown(word), shown(s))
		case seen[span]:
			return bad("the duration %s has the same unit twice", shown(s))
		}
		seen[span] = true
		total += v * float64(span)
		rest = after[len(word):]
		if rest != "" {
			rest = strings.TrimPrefix(rest, spanGlue().FindString(rest))
			if rest == "" {
				break
			}
		}
	}
	if !(total <= float64(longestSpan)) {
		return bad("the duration %s is longer than 50 years; is the unit right?", shown(s))
	}
	return time.Duration(total).Round(time.Millisecond), nil
}

// FormatDuration prints a length of time in its two largest units, rounded to
// the smaller of them: "45 min", "36 h", "2 h 30 min", "3 d 4 h", "5 wk 2 d".
// Hours go up to two days and days up to four weeks, as people count them.
// ParseDuration reads the result. A negative length has a leading minus.
func FormatDuration(d time.Duration) string {
	if d < 0 {
		if d == -d { // the one value that has no positive twin
			d++
		}
		return "-" + FormatDuration(-d)
	}
	if d == 0 {
		return "0 h"
	}
	for _, p := range printed {
		if d.Round(p.by) < p.below {
			return inUnits(d, p.big, p.small)
		}
	}
	return inUnits(d, week, day)
}

// printed says in which units a length of time is printed: in the two of the first line
// that it is below, rounded to so much; in small alone where big is more than all.
var printed = []struct{ by, below, big, small time.Duration }{
	{time.Second, time.Minute, longestSpan, time.Second},
	{1, 10 * time.Minute, time.Minute, time.Second},
	{time.Minute, 12 * time.Hour, time.Hour, time.Minute},
	{time.Hour, 2 * day, longestSpan, time.Hour},
	{time.Hour, 2 * week, day, time.Hour},
	{day, 4 * week, longestSpan, day},
}

func inUnits(d, big, small time.Duration) string {
	names := map[time.Duration]string{time.Second: "s", time.Minute: "min", time.Hour: "h", day: "d",
		week: "wk"}
	d = d.Round(small)
	b, r := d/big, d%big/small
	switch {
	case b == 0:
		return fmt.Sprintf("%d %s", r, names[small])
	case r == 0:
		return fmt.Sprintf("%d %s", b, names[big])
	}
	return fmt.Sprintf("%d %s %d %s", b, names[big], r, names[small])
}

// Span prints a length of time [h] in the unit that fits, as answers and pictures alike have it: "20 min",
// "1.5 h", "3 d".
func Span(hours float64) string {
	switch {
	case math.IsInf(hours, 1):
		return "never"
	case hours < 0.95:
		m := math.Round(hours * 60)
		if m > 10 {
			m = math.Round(m/5) * 5
		}
		return fmt.Sprintf("%.0f min", math.Max(m, 1))
	case hours < 9.5:
		h := math.Round(hours*2) / 2
		return fmt.Sprintf("%g h", h)
	case hours < 47.5:
		return fmt.Sprintf("%.0f h", math.Round(hours))
	case hours < 24*20:
		return fmt.Sprintf("%.0f d", math.Round(hours/24))
	case hours < 24*7*12:
		return fmt.Sprintf("%.0f wk", math.Round(hours/24/7))
	case hours < 24*365*2:
		return fmt.Sprintf("%.0f months", math.Round(hours/24/30.44))
	}
	return "over 2 years"
}

// SpanWithin prints a length of time as Span does, or where that is further off than it may be, both in hours,
// to five minutes, or to one where these are too many.
func SpanWithin(hours, off float64) string {
	text := Span(hours)
	if d, err := ParseDuration(text); err != nil || math.Abs(d.Hours()-hours) <= off {
		return text
	}
	step := 5 * time.Minute
	if off < step.Hours()/2 {
		step = time.Minute
	}
	return FormatDuration(time.Duration(hours * float64(time.Hour)).Round(step))
}
