package quantity

import (
	"math"
	"strings"
)

// Temperatures outside these are no kitchen temperatures [°C].
const (
	absoluteZero  = -273.15
	hottestCommon = 150
)

const temperatureExample = "20 C"

// usualRoom [°C] is what a figure without a scale is likely near to.
const usualRoom = 20

// ParseTemperature reads a temperature in degrees Celsius or Fahrenheit and
// gives it in °C, from absolute zero to 150 °C. A bare number is refused: 68
// would be a mild room or a hot bath. The error is an *Error.
func ParseTemperature(s string) (celsius float64, err error) {
	text := tidy(s)
	sign := 1.0
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		sign, text = -1, strings.TrimSpace(rest)
	} else if rest, ok := strings.CutPrefix(text, "+"); ok {
		text = strings.TrimSpace(rest)
	}
	if text == "" {
		return 0, fail(s, temperatureExample, "the temperature is empty")
	}
	v, rest, found, perr := number(text, s, temperatureExample)
	if perr != nil {
		return 0, perr
	}
	if !found {
		return 0, fail(s, temperatureExample, "%s is not a temperature", shown(s))
	}
	if strings.HasPrefix(strings.TrimSpace(rest), "-") {
		return 0, fail(s, temperatureExample, "%s is a range; write one temperature", shown(s))
	}
	v *= sign
	scale := strings.ToLower(strings.Trim(strings.TrimSpace(rest), "."))
	scale = strings.TrimSpace(strings.TrimPrefix(scale, "°"))
	for _, word := range []string{"degrees", "degree", "deg.", "deg"} {
		scale = strings.TrimSpace(strings.TrimPrefix(scale, word))
	}
	switch scale {
	case "c", "celsius", "centigrade", "℃":
	case "f", "fahrenheit", "℉":
		v = (v - 32) / 1.8
	case "":
		n, likely := FormatNumber(v), " C"
		if math.Abs((v-32)/1.8-usualRoom) < math.Abs(v-usualRoom) {
			likely = " F"
		}
		return 0, fail(s, n+likely, "the temperature %s has no scale; write %s C or %s F", shown(s), n, n)
	case "k", "kelvin":
		return 0, fail(s, temperatureExample, "the temperature %s is in kelvin; write C or F", shown(s))
	default:
		return 0, fail(s, temperatureExample, "%s in %s is no temperature scale; write C or F",
			shown(strings.TrimSpace(rest)), shown(s))
	}
	switch {
	case v < absoluteZero:
		return 0, fail(s, temperatureExample, "the temperature %s is below absolute zero", shown(s))
	case !(v <= hottestCommon):
		return 0, fail(s, temperatureExample, "the temperature %s is above 150 C (302 F); is the scale "+
			"right?", shown(s))
	}
	return v, nil
}

// FormatTemperature prints a temperature [°C] in whole degrees: "20 °C", or for US
// "68 °F". A figure that is no number prints as "unknown".
func FormatTemperature(c float64, s System) string {
	if math.IsNaN(c) || math.IsInf(c, 0) {
		return unknown
	}
	if s != US {
		return whole(c) + " °C"
	}
	return whole(Fahrenheit(c)) + " °F"
}
