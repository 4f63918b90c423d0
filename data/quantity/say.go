package quantity

import (
	"math"
	"strconv"
	"strings"
	"time"

	"steepbook/data/pattern"
)

// Say prints a sentence in the units of its maker. Whoever writes a sentence and does not know them writes
// its figures in metric ones, with a tie before the unit: "keep it at 4~°C" (typed, "4~C"), "10 to 15~ml",
// "0.5~g", a difference of temperature as "3~K", a moment as "2~Jan 2006~15:04", "5~December",
// "today~15:04" or, a clock alone, "15:04~". What has no tie, such as the maker's own words and the
// figures of a law or a paper, stays as it is. A figure gets no more digits than it had.
func Say(text string, s System) string {
	if !strings.Contains(text, "~") {
		return text
	}
	text = tiedFigure().ReplaceAllStringFunc(text, func(found string) string {
		f := tiedFigure().FindStringSubmatch(found)
		first, joint, second, unit := f[1], f[2], f[3], f[4]
		if s == Metric {
			return first + joint + second + " " + strings.Replace(unit, "K", "°C", 1)
		}
		if second == "" {
			return inUS(first, unit)
		}
		a, _, _ := strings.Cut(inUS(first, unit), " (")
		b, grams, small := strings.Cut(inUS(second, unit), " (")
		if _, of, ok := cutNumber(b); ok {
			a = strings.TrimSuffix(a, of)
		}
		if small {
			return a + joint + b + " (" + first + joint + grams
		}
		return a + joint + b
	})
	return tiedMoment().ReplaceAllStringFunc(text, func(found string) string {
		plain := strings.TrimSpace(strings.ReplaceAll(found, "~", " "))
		for _, layout := range layouts {
			if t, err := time.Parse(layout, plain); err == nil {
				return strings.Repeat(" ", strings.Count(found[:1], "~")) + formatTime(t, layout, s)
			}
		}
		return found
	})
}

var (
	tiedFigure = pattern.New(`(-?\d+(?:\.\d+)?)(?:( to | and | or |-|–)(-?\d+(?:\.\d+)?))?~(°C|C|K|kg|g|ml|mL|l|L)`)
	tiedMoment = pattern.New(`\d{1,2}~[A-Z][a-z]{2,8}(?: \d{4})?(?:~\d{2}:\d{2})?|~\d{2}:\d{2}|\d{2}:\d{2}~`)
)

// cutNumber splits "1 1/2 tbsp" into the figure and the unit with its space.
func cutNumber(s string) (number, unit string, ok bool) {
	i := strings.LastIndexAny(s, "0123456789")
	if i < 0 {
		return "", "", false
	}
	return s[:i+1], s[i+1:], true
}

// inUS prints a metric figure as a US maker has it.
func inUS(figure, unit string) string {
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil {
		return figure + " " + unit
	}
	switch unit {
	case "°C":
		return FormatTemperature(v, US)
	case "C": // as it is typed
		return whole(Fahrenheit(v)) + " F"
	case "K":
		return whole(v*1.8) + " °F"
	case "kg":
		return FormatMass(1000*v, US)
	case "g":
		if v < gramPerOunce/10 { // with the digits that it came with, and as a scale shows it
			return significant(v/gramPerOunce, min(2, len(strings.Trim(figure, "0.-")))) + " oz wt (" +
				figure + " g)"
		}
		return FormatMass(v, US)
	case "l", "L":
		v *= 1000
	}
	return FormatVolume(v, US)
}

// Ounces is a mass [g] in ounces avoirdupois.
func Ounces(g float64) float64 { return g / gramPerOunce }

// FluidOunces is a volume [ml] in US fluid ounces.
func FluidOunces(ml float64) float64 { return ml / mlPerFlOz }

// Fahrenheit is a temperature [°C] in degrees Fahrenheit.
func Fahrenheit(c float64) float64 { return c*1.8 + 32 }

// significant prints v with n figures, trailing zeros cut.
func significant(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return FormatNumber(v)
	}
	return trimmed(v, max(0, n-1-int(math.Floor(math.Log10(math.Abs(v))))))
}

// layouts are those of package time that a tied moment may have, and how a US maker
// has the same.
var layouts = []string{"2 Jan 2006 15:04", "2 Jan 2006", "2 Jan", "2 January 2006", "2 January", "15:04"}

var usLayout = strings.NewReplacer("2 Jan 2006 15:04", "Jan 2, 2006, 3:04 pm",
	"2 January 2006", "January 2, 2006", "2 January", "January 2", "2 Jan 2006", "Jan 2, 2006",
	"2 Jan", "Jan 2", "15:04", "3:04 pm")

// formatTime prints a moment in one of the layouts; US clocks have twelve hours, a noon
// and a midnight, which are neither am nor pm, and no minutes at a full hour.
func formatTime(t time.Time, layout string, s System) string {
	if s != US {
		return t.Format(layout)
	}
	return usHour.Replace(t.Format(usLayout.Replace(layout)))
}

var usHour = strings.NewReplacer("12:00 pm", "noon", "12:00 am", "midnight", ":00 ", " ")
