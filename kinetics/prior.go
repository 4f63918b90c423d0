package kinetics

import (
	"errors"
	"fmt"
	"math"
)

// Normal is a normal distribution by its mean and standard deviation.
type Normal struct{ Mean, SD float64 }

// Beta is a Beta(A, B) distribution on 0 to 1; the zero value stands for a share
// of exactly zero.
type Beta struct{ A, B float64 }

// off reports whether the share is fixed at zero.
func (b Beta) off() bool { return b == Beta{} }

// Prior is what is believed of one flavour before it is tasted.
type Prior struct {
	// LogRate is the natural logarithm of the rate k in 1/h. Its SD is the
	// logarithm of a geometric standard deviation: 0.7 is a factor of two,
	// 1.1 a factor of three.
	LogRate Normal
	// Plateau is the score reached in the end. It is normal so that it can be
	// integrated out exactly; it is not cut at 0 or 10.
	Plateau Normal
	// Early is the share of the plateau washed off at once. Zero value: none.
	Early Beta
	// LogNoise is the natural logarithm of the standard deviation of one score
	// in points. SD 0: known.
	LogNoise Normal
	// TasterSD is the spread, as a share of the plateau, of how strong several
	// tasters find the same jar; their deviations from the middle add up to zero.
	// Zero: DefaultTasterSD.
	TasterSD float64
	// Wild, when true, gives the scores the long tails of a Student t
	// distribution with 4 degrees of freedom and LogNoise as its scale, so that
	// one wild score loses its pull.
	Wild bool
}

// DefaultTasterSD is the spread of the gain of tasters around 1. Open panel data
// (slope of a person's scores on the panel's, attributes that span 4.5 points or
// more) give 0.33 to 0.52 with the noise of the slopes included.
const DefaultTasterSD = 0.3

// DefaultPlateau is the plateau before there is a history: 7 ± 2 points.
// A choice of this program: doses are meant to end between "right" and "strong".
func DefaultPlateau() Normal { return Normal{Mean: 7, SD: 2} }

// DefaultNoise is the log of the SD of one score: median 1.3 points, 95 % of
// 0.6 to 2.8. Retests in open panel data give 1.47 to 1.96 points on a 0-10
// scale for partly trained people (29 panelists, 2 sessions, 14 attributes of
// chocolate, R package SensoMineR) and 12 % of the scale for nine wine judges
// (Randall 1989, R package ordinal).
func DefaultNoise() Normal { return Normal{Mean: math.Log(1.3), SD: 0.4} }

// ErrPrior is wrapped by every error of Prior.Validate.
var ErrPrior = errors.New("the starting belief cannot be used")

// Validate reports the first field that cannot be computed with.
func (p Prior) Validate() error {
	bad := func(format string, a ...any) error {
		return fmt.Errorf("%w: %s", ErrPrior, fmt.Sprintf(format, a...))
	}
	switch {
	case !finite(p.LogRate.Mean) || math.Abs(p.LogRate.Mean) > 50:
		return bad("log rate %g must be a number between -50 and 50", p.LogRate.Mean)
	case !(p.LogRate.SD > 0 && p.LogRate.SD <= 5):
		return bad("spread of the log rate %g must be above 0 and at most 5", p.LogRate.SD)
	case !(math.Abs(p.Plateau.Mean) <= mostScore):
		return bad("plateau %g must be a score", p.Plateau.Mean)
	case !(p.Plateau.SD > 0 && p.Plateau.SD <= mostScore):
		return bad("spread of the plateau %g must be above 0 and in points", p.Plateau.SD)
	case !finite(p.LogNoise.Mean) || math.Abs(p.LogNoise.Mean) > 20:
		return bad("log of the noise %g must be a number between -20 and 20", p.LogNoise.Mean)
	case !(p.LogNoise.SD >= 0 && p.LogNoise.SD <= 3):
		return bad("spread of the log noise %g must be between 0 and 3", p.LogNoise.SD)
	case !p.Early.off() && !(p.Early.A >= 0.1 && p.Early.B >= 0.1 && p.Early.A <= 1e4 && p.Early.B <= 1e4):
		return bad("early share Beta(%g, %g) needs both numbers between 0.1 and 10000, or both zero for none", p.Early.A, p.Early.B)
	case !(p.TasterSD >= 0 && p.TasterSD <= 3):
		return bad("spread of the tasters %g must be between 0 and 3", p.TasterSD)
	}
	return nil
}

// Tasting is one score of one flavour.
type Tasting struct {
	// Hours since the botanical met the spirit. A score at zero hours is a blank
	// and teaches nothing about the rise; it is left out.
	Hours float64
	// Score in the jar, 0 to 10 (more is possible after conversion from a
	// diluted sample).
	Score float64
	// ExtraSD is the standard deviation, in points, that a conversion to jar
	// strength has added; it joins the noise in quadrature.
	ExtraSD float64
	// Censored marks a score at the top of the scale: this much or more.
	Censored bool
	// Taster distinguishes people. Scores without a name are one person's.
	Taster string
}

// mostScore is far beyond any conversion; the arithmetic is sound below it.
const mostScore = 1000

// ErrTasting is wrapped by every error about a tasting.
var ErrTasting = errors.New("a tasting cannot be used")

func (t Tasting) validate(i int) error {
	switch {
	case !(t.Hours >= 0) || !finite(t.Hours):
		return fmt.Errorf("%w: number %d is at %g h; the time must be zero or more", ErrTasting, i+1, t.Hours)
	case !(t.Score >= 0 && t.Score <= mostScore):
		return fmt.Errorf("%w: number %d has the score %g; a score is 0 to 10, or somewhat more after conversion from a diluted sample", ErrTasting, i+1, t.Score)
	case !(t.ExtraSD >= 0 && t.ExtraSD <= mostScore):
		return fmt.Errorf("%w: number %d has an added spread of %g points; it must be zero or more", ErrTasting, i+1, t.ExtraSD)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
