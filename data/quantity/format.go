package quantity

import (
	"math"
	"strconv"
	"strings"
)

// unknown is printed for a figure that is no number.
const unknown = "unknown"

// mostDecimals that a number is printed with: what is smaller is printed as 0.
const mostDecimals = 12

// FormatNumber prints a number without trailing zeros, with at most four
// significant figures below 10000.
func FormatNumber(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return unknown
	}
	if math.Abs(v) >= 1000 {
		return whole(v)
	}
	if r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64); err == nil {
		v = roundTo(r, mostDecimals)
	}
	return strconv.FormatFloat(v+0, 'f', -1, 64)
}

// whole rounds to an integer and never prints "-0".
func whole(v float64) string {
	return strconv.FormatFloat(math.Round(v)+0, 'f', 0, 64)
}

// trimmed prints v with up to n decimals, trailing zeros cut.
func trimmed(v float64, n int) string {
	s := strconv.FormatFloat(v, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// roundTo rounds v to n decimals as it would be printed.
func roundTo(v float64, n int) float64 {
	p := math.Pow(10, float64(n))
	return math.Round(v*p) / p
}

// scaled prints v of a small unit with the digits of a kitchen scale: two
// decimals below 1, one below 10, none below 1000, and from there in the big
// unit with two decimals.
func scaled(v float64, small, big string) string {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return unknown
	case v < 0:
		return "-" + scaled(-v, small, big)
	case v > 0 && v < 0.005:
		return "less than 0.01 " + small
	case roundTo(v, 2) < 1:
		return trimmed(v, 2) + " " + small
	case roundTo(v, 1) < 10:
		return trimmed(v, 1) + " " + small
	case math.Round(v) < 1000:
		return trimmed(v, 0) + " " + small
	case math.Round(v/1000) < 100:
		return trimmed(v/1000, 2) + " " + big
	}
	return trimmed(v/1000, 0) + " " + big
}

// FormatMass prints a mass [g] with no more digits than a kitchen scale shows:
// "24 g", "1.25 kg", or for US "0.85 oz wt", "2 lb 3 oz wt". Below half an
// ounce the grams stand beside it.
func FormatMass(g float64, s System) string {
	switch {
	case s != US || math.IsNaN(g) || math.IsInf(g, 0):
		return scaled(g, "g", "kg")
	case g < 0:
		return "-" + FormatMass(-g, s)
	case g > 0 && g < 0.005:
		return scaled(g, "g", "")
	case g > 0 && g < gramPerOunce/2: // what a spice scale shows, in grams everywhere
		return significant(g/gramPerOunce, 2) + " oz wt (" + scaled(g, "g", "kg") + ")"
	}
	oz := math.Round(g / gramPerOunce)
	if oz < 16 {
		return scaled(g/gramPerOunce, "oz wt", "")
	}
	lb, rest := math.Floor(oz/16), math.Mod(oz, 16)
	text := trimmed(lb, 0) + " lb"
	if rest > 0 {
		text += " " + trimmed(rest, 0) + " oz wt"
	}
	return text
}

// usVolumes are the units that US makers are told a volume in, each below so many of it, the last without
// an end.
var usVolumes = []struct {
	name     string
	ml, most float64
}{{"tsp", mlPerTsp, 3}, {"tbsp", mlPerTbsp, 4}, {"fl oz", mlPerFlOz, 128}, {"gallon", mlPerGallon, 0}}

// usVolume is the unit of a volume [ml] for US makers.
func usVolume(ml float64) (unit int) {
	for unit < len(usVolumes)-1 && inSteps(ml/usVolumes[unit].ml) >= usVolumes[unit].most {
		unit++
	}
	return unit
}

// FormatVolume prints a volume [ml]: "250 ml", "1.05 l", or for US "8 1/2 fl oz",
// with spoons below two fluid ounces and gallons from one up. Below an eighth of a
// teaspoon US makers get sixteenths.
func FormatVolume(ml float64, s System) string { return FormatVolumeAmong(ml, ml, s) }

// FormatVolumeAmong prints a volume [ml] that is held against others: for US in the unit of the largest.
func FormatVolumeAmong(ml, largest float64, s System) string {
	switch {
	case s != US || math.IsNaN(ml) || math.IsInf(ml, 0):
		return scaled(ml, "ml", "l")
	case ml < 0:
		return "-" + FormatVolumeAmong(-ml, largest, s)
	case ml == 0:
		return "0 fl oz"
	case ml < mlPerTsp/32:
		return "less than 1/32 tsp"
	case ml < mlPerTsp*3/32:
		return "1/16 tsp"
	}
	own := usVolume(ml)
	in := max(own, usVolume(largest))
	u := &usVolumes[in]
	n := inSteps(ml / u.ml)
	switch {
	case u.ml == mlPerGallon:
		if n = roundTo(ml/u.ml, 2); n != 1 {
			return spellNumber(n, true) + " gallons"
		}
	case in > own && math.Abs(n*u.ml/ml-1) > tooFar: // a spoon, in ounces
		return significant(ml/u.ml, 2) + " " + u.name
	}
	return spellNumber(n, true) + " " + u.name
}

// inSteps rounds to what can be read off a measure: eighths below 1, quarters
// below 4, halves below 16, then whole ones.
func inSteps(v float64) float64 {
	for _, s := range [][2]float64{{1, 8}, {4, 4}, {16, 2}} {
		if r := math.Round(v*s[1]) / s[1]; r < s[0] {
			return r
		}
	}
	return math.Round(v)
}

// Rounded is v to so many significant figures.
func Rounded(v float64, figures int) float64 {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', figures, 64), 64)
	return r
}

// InFigures prints v to so many significant figures, without an exponent.
func InFigures(v float64, figures int) string { return FormatNumber(Rounded(v, figures)) }

// Digits prints v to so many digits as people round, halves away from zero, where InFigures rounds what is written:
// never an exponent, no noughts behind the point, nothing below a millionth.
func Digits(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	if math.Abs(v) < 1e-6 {
		return "0" // less than any figure here is known to
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	scale := math.Pow(10, float64(places))
	return trimmed(math.Round(v*scale)/scale, max(0, min(places, 6)))
}
