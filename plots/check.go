package plots

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Errors that the methods of the pictures wrap. Their texts are meant for
// whoever gave the numbers.
var (
	ErrStyle = errors.New("style not usable")
	ErrEmpty = errors.New("nothing to draw")
	ErrNaN   = errors.New("not a number")
	ErrShape = errors.New("numbers do not fit together")
)

// checkStyle refuses styles that would draw nothing or not at all.
func checkStyle(s Style) error {
	switch {
	case !(s.WidthPt >= 240 && s.WidthPt <= 2400):
		return fmt.Errorf("%w: the width is %g points; give 240 to 2400", ErrStyle, s.WidthPt)
	case !(s.PixelsPerInch >= 36 && s.PixelsPerInch <= 1200):
		return fmt.Errorf("%w: the resolution is %g pixels per inch; give 36 to 1200", ErrStyle, s.PixelsPerInch)
	case !(s.TextPt >= 4 && s.TextPt <= s.WidthPt/18):
		return fmt.Errorf("%w: labels of %g points; give 4 points to an eighteenth of the width", ErrStyle, s.TextPt)
	case !(s.NamePt >= s.TextPt && s.NamePt <= s.WidthPt/12 && s.TitlePt >= s.TextPt && s.TitlePt <= s.WidthPt/12):
		return fmt.Errorf("%w: names of %g and a title of %g points; give the size of labels to a twelfth of the width", ErrStyle, s.NamePt, s.TitlePt)
	case len(s.Palette.Series) == 0 || len(s.Palette.Zones) == 0:
		return fmt.Errorf("%w: the palette needs at least one colour for series and one for zones", ErrStyle)
	}
	return nil
}

// noNaN checks values that may be infinite, because they can be clipped.
func noNaN(where string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) {
			return fmt.Errorf("%s holds a value that is %w", where, ErrNaN)
		}
	}
	return nil
}

// finite checks values that cannot be clipped, such as places on an axis.
func finite(where string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%s holds a value that is %w or not finite", where, ErrNaN)
		}
	}
	return nil
}

// named is one series of a curve with its words for an error.
type named struct {
	name   string
	values []float64
}

// checkSeries checks that x rises and that every series is empty or as long.
func checkSeries(where string, x named, ys ...named) error {
	if err := finite("the "+x.name+" of "+where, x.values...); err != nil {
		return err
	}
	for i := 1; i < len(x.values); i++ {
		if x.values[i] < x.values[i-1] {
			return fmt.Errorf("the %s of %s must rise, but %g follows %g: %w", x.name, where, x.values[i], x.values[i-1], ErrShape)
		}
	}
	for _, y := range ys {
		if len(y.values) != 0 && len(y.values) != len(x.values) {
			return fmt.Errorf("%s has %d values of %s for %d %s: %w", where, len(y.values), y.name, len(x.values), x.name, ErrShape)
		}
		if err := noNaN("the "+y.name+" of "+where, y.values...); err != nil {
			return err
		}
	}
	return nil
}

// quoted is a name for use in an error.
func quoted(name, otherwise string) string {
	if s := strings.TrimSpace(clean(name)); s != "" {
		return fmt.Sprintf("%q", s)
	}
	return otherwise
}
