package plots

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Errors that Write wraps. Their texts are meant for whoever gave the numbers.
var (
	errEmpty = errors.New("nothing to draw")
	errNaN   = errors.New("not a number")
	errShape = errors.New("numbers do not fit together")
)

// noNaN checks values that may be infinite, because they can be clipped.
func noNaN(where string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) {
			return fmt.Errorf("%s holds a value that is %w", where, errNaN)
		}
	}
	return nil
}

// finite checks values that cannot be clipped, such as places on an axis.
func finite(where string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%s holds a value that is %w or not finite", where, errNaN)
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
			return fmt.Errorf("the %s of %s must rise, but %g follows %g: %w", x.name, where, x.values[i],
				x.values[i-1], errShape)
		}
	}
	for _, y := range ys {
		if len(y.values) != 0 && len(y.values) != len(x.values) {
			return fmt.Errorf("%s has %d values of %s for %d %s: %w", where, len(y.values), y.name,
				len(x.values), x.name, errShape)
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
