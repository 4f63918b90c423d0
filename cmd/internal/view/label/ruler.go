package label

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"steepbook/data/quantity"
	"steepbook/plots"
)

// Ruler is what a label is measured with: a unit, and its millimetres.
type Ruler struct {
	Unit string
	MM   float64
}

// RulerOf is what the makers of a system measure with.
func RulerOf(s quantity.System) Ruler {
	if s == quantity.US {
		return Ruler{"in", 25.4}
	}
	return Ruler{"mm", 1}
}

// Size is a size of so many millimetres, "4 x 2 in".
func (r Ruler) Size(widthMM, heightMM float64) string {
	return fmt.Sprintf("%g x %g %s", math.Round(100*widthMM/r.MM)/100, math.Round(100*heightMM/r.MM)/100,
		r.Unit)
}

// AtLeast is a side to type that is no smaller than so many millimetres.
func (r Ruler) AtLeast(mm float64) string {
	return quantity.FormatNumber(math.Ceil(100*mm/r.MM-1e-9) / 100)
}

// rulers are the units that a size may be typed in; the first where there is none.
var rulers = []Ruler{{Unit: "mm", MM: 1}, {Unit: "cm", MM: 10}, {Unit: "in", MM: 25.4}}

// ParseSize reads "70x35", "70 x 35 mm", "7x3.5cm" or "2.75 x 1.4 in" as millimetres, and with what ruler it
// was measured, as far as that is said or a number shows it.
func ParseSize(text string, ruler *Ruler) (widthMM, heightMM float64, ok bool) {
	s := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), "×", "x")
	for _, w := range [][2]string{{"inches", "in"}, {"inch", "in"}, {"\"", "in"}} {
		s = strings.ReplaceAll(s, w[0], w[1])
	}
	by := rulers[0]
	for _, r := range rulers {
		if strings.HasSuffix(s, r.Unit) {
			by, s = r, strings.ReplaceAll(s, r.Unit, "")
		}
	}
	a, b, _ := strings.Cut(s, "x")
	w, errW := strconv.ParseFloat(strings.TrimSpace(a), 64)
	h, errH := strconv.ParseFloat(strings.TrimSpace(b), 64)
	if errW != nil || errH != nil {
		return 0, 0, false
	}
	*ruler = by
	w, h = math.Round(10*w*by.MM)/10, math.Round(10*h*by.MM)/10
	return w, h, min(w, h) >= plots.LeastLabelMM && max(w, h) <= plots.MostLabelMM
}
