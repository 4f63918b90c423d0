package kinetics

import (
	"errors"
	"fmt"
	"math"
)

// Normal is a normal distribution by its mean and standard deviation.
type Normal struct{ Mean, SD float64 }

// Prior is what is believed of one flavour before it is tasted.
type Prior struct {
	// LogRate is the natural logarithm of the rate k in 1/h. Its SD is the
	// logarithm of a geometric standard deviation: 0.7 is a factor of two,
	// 1.1 a factor of three.
	LogRate Normal
	// Doubt is the chance, 0 to 1, that the rate of this jar is not of the usual
	// kind: its logarithm then has the spread unusualSD about the same mean; and,
	// independently and less often, that its plateau is not: see unusualPlateau.
	Doubt float64
	// Plateau is the strength reached in the end, in points of a neat sample,
	// cut at a tenth and at fifteen times its mean and, without Doubt, at 6 SD.
	Plateau Normal
	// Lean is the slope of ln k on the logarithm of the plateau, 0 where the two
	// are believed apart. Jars that were tasted on their rise tell the first rise
	// C·k, and leave −1. LogRate stays what is believed of the rate on the whole.
	Lean float64
	// Early is the share of the plateau washed off at once, 0 to 0.8.
	Early float64
	// LogNoise is the natural logarithm of the standard deviation of one score
	// in points. SD 0: known.
	LogNoise Normal

	course course           // the family of shapes
	taught bool             // by batches: each shape has a form of its own
	forms  [mostShapes]form // else the belief is the same by all
	grid   settings         // zero but in tests
}

// form is what is believed where the flavour rises by one shape of its family: a rate
// and an end that were learned by one shape are wrong by another.
type form struct {
	weight        float64 // of the shape
	rate, plateau Normal  // as LogRate and Plateau
	doubt, lean   float64
}

// by is the prior of one of the forms, and its weight.
func (p Prior) by(h int) (Prior, float64) {
	f := &p.forms[h]
	p.LogRate, p.Plateau, p.Lean = f.rate, f.plateau, f.lean
	if p.Doubt > 0 {
		p.Doubt = f.doubt
	}
	return p, f.weight
}

// unusualSD is the spread of ln k of a jar that is not of the usual kind, and
// usualDoubt the chance of one. Set by simulated makers (DEVELOPERS.md): the
// spreads of the library are narrow, and a jar three or ten times as fast as it
// says must not be a point over its target at the first look.
const (
	unusualSD  = 2.0
	usualDoubt = 0.25
)

// unusualPlateau is the spread of the logarithm of a plateau that is not of the
// usual kind: a concentrate made to be thinned threefold, or a tired spice. A
// share plateauDoubt of the jars with Doubt are such. Judgement.
const (
	unusualPlateau = 0.7
	plateauDoubt   = 0.4
)

// The plateau of the usual dose before there is a history, in points: a choice of
// this program, doses are meant to end between "right" and "strong". That of an
// unwanted taste is half of it, and less is known of it, for no dose is chosen by it:
// judgement.
var (
	usualPlateau    = Normal{Mean: 7, SD: 2}
	unwantedPlateau = Normal{Mean: 3.5, SD: 2.5}
)

// usualNoise is the log of the SD of one score: median 1.1 points, 95 % of
// 0.4 to 2.9. Retests in open panel data give 1.47 to 1.96 points on a 0-10
// scale for partly trained people (29 panelists, 2 sessions, 14 attributes of
// chocolate, R package SensoMineR) and 12 % of the scale for nine wine judges
// (Randall 1989, R package ordinal); one person in one jar does better.
var usualNoise = Normal{Mean: math.Log(1.1), SD: 0.5}

// Usual is the prior of a wanted flavour of the usual dose whose rate (1/h) is
// known to a geometric standard deviation.
func Usual(ratePerH, gsd float64) Prior {
	rate := Normal{math.Log(ratePerH), math.Log(gsd)}
	return Prior{LogRate: rate, Doubt: usualDoubt, Plateau: usualPlateau, LogNoise: usualNoise}
}

// Unwanted is the prior of a taste that comes with a flavour of the usual dose,
// logRate that of its rate (1/h): it may come late or be there at once, and does
// not rise as high.
func Unwanted(logRate Normal) Prior {
	p := Prior{LogRate: logRate, Doubt: usualDoubt, Plateau: unwantedPlateau, LogNoise: usualNoise}
	p.course = unwanted
	return p
}

// Itself is the prior of another word for this flavour, as bitter is of a bitter root: it
// comes as the flavour is found to, and as strong, but for what two words differ by, which
// is taken to be as much as two usual doses do.
func (p *Posterior) Itself() Prior {
	return Prior{
		LogRate: Normal{p.meanLK,
			math.Sqrt(p.varLK)}, Doubt: usualDoubt, Early: p.prior.Early, LogNoise: usualNoise,
	}.WithPlateau(p.meanC, math.Hypot(math.Sqrt(p.varC), usualPlateau.SD))
}

// AsStrongAs is the prior where the flavour it comes with ends at a plateau, in
// points, instead of that of the usual dose: as many times as strong.
func (p Prior) AsStrongAs(plateau float64) Prior { return p.Stronger(plateau/usualPlateau.Mean, 1) }

// doseDoubt is how much of a step away from the usual dose is in doubt: who takes
// far more or less than is usual often has a weaker or a stronger spice, or a
// finer tongue. Judgement.
const doseDoubt = 0.5

// Stronger is the prior at factor times the usual dose, the plateau following the
// dose by the power law up to mostScore, where a drop of spirit drowns in it, and
// the surer the nearer the dose is to the usual one. A factor of zero or less says
// that the dose is not known and changes nothing.
func (p Prior) Stronger(factor, exponent float64) Prior {
	if factor > 0 && finite(factor) {
		s := min(math.Pow(factor, exponent), mostScore/p.Plateau.Mean)
		sd := math.Hypot(p.Plateau.SD/p.Plateau.Mean, doseDoubt*math.Log(s))
		p.Plateau.Mean *= s
		p.Plateau.SD = min(sd, 1) * p.Plateau.Mean
	}
	return p
}

// Faded multiplies the plateau by a log-normal share of the amount, carried to the
// score by the exponent: exp(exponent·N(logMean, logSD²)). Mean and variance of the
// product are exact for independent factors; its shape is taken as normal.
func (p Prior) Faded(logMean, logSD, exponent float64) Prior {
	m, s2 := exponent*logMean, math.Pow(exponent*logSD, 2)
	f, f2 := math.Exp(m+s2/2), math.Exp(2*m+2*s2)
	c := p.Plateau
	v := f2*(c.Mean*c.Mean+c.SD*c.SD) - f*f*c.Mean*c.Mean
	return p.WithPlateau(c.Mean*f, math.Sqrt(max(v, 0)))
}

// leastPlateau is a strength that nobody tastes, points. Judgement.
const leastPlateau = 0.001

// plausible is a plateau in points, from leastPlateau to mostScore: neither a dose ten thousand
// times the usual nor jars of nothing but zeros are a reason to answer nothing.
func plausible(mean, sd float64) Normal {
	return Normal{Mean: min(max(mean, leastPlateau), mostScore), SD: min(sd, mostScore)}
}

// WithPlateau is the prior with another plateau, in points, as far as it is plausible.
func (p Prior) WithPlateau(mean, sd float64) Prior {
	was := p.Plateau
	p.Plateau = plausible(mean, sd)
	for h := 0; p.taught && h < len(p.forms); h++ {
		f := &p.forms[h].plateau
		*f = plausible(f.Mean*p.Plateau.Mean/was.Mean, f.SD*p.Plateau.SD/was.SD)
	}
	return p
}

// kinds is a belief about the log of a rate: normal, and of the same mean with the
// spread wide where the botanical is not of the usual kind, with the chance doubt.
type kinds struct {
	Normal
	doubt, wide float64
}

func (p Prior) kinds() kinds { return kinds{p.LogRate, p.Doubt, max(unusualSD, p.LogRate.SD)} }

func (k kinds) density(v float64) float64 {
	d := (1 - k.doubt) * k.pdf(v)
	if k.doubt > 0 {
		d += k.doubt * Normal{k.Mean, k.wide}.pdf(v)
	}
	return d
}

func (k kinds) variance() float64 { return (1-k.doubt)*k.SD*k.SD + k.doubt*k.wide*k.wide }

// reach is how far from the mean there is any weight.
func (k kinds) reach() float64 {
	if k.doubt > 0 {
		return max(5*k.SD, 4.2*k.wide)
	}
	return 5 * k.SD
}

// bounds are the ends of the plateau.
func (p Prior) bounds() (lo, hi float64) {
	if r := p.grid.reach; r > 0 {
		return p.Plateau.Mean - r*p.Plateau.SD, p.Plateau.Mean + r*p.Plateau.SD
	}
	lo, hi = p.Plateau.Mean/10, 15*p.Plateau.Mean
	if p.Doubt == 0 {
		lo, hi = max(lo, p.Plateau.Mean-6*p.Plateau.SD), min(hi, p.Plateau.Mean+6*p.Plateau.SD)
	}
	return lo, hi
}

// plateauChance is the prior chance of a plateau from a to b.
func (p Prior) plateauChance(a, b float64) float64 {
	n := p.Plateau
	c := normalCDF((b-n.Mean)/n.SD) - normalCDF((a-n.Mean)/n.SD)
	if p.Doubt > 0 {
		wide := max(unusualPlateau, n.SD/n.Mean)
		unusual := normalCDF(math.Log(b/n.Mean)/wide) - normalCDF(math.Log(a/n.Mean)/wide)
		c += plateauDoubt * p.Doubt * (unusual - c)
	}
	return c
}

// lean is how the rate hangs on the plateau: ln k is moved by slope·(ln C − mean)
// and the spread of what is left is rest.
type lean struct{ slope, mean, rest float64 }

func (p Prior) leaning() lean {
	l := lean{slope: p.Lean, rest: p.LogRate.SD}
	if p.Lean == 0 {
		return l
	}
	lo, hi := p.bounds()
	edges := ratioEdges(lo, hi, 32)
	var w0, w1, w2 float64
	for i, a := range edges[:32] {
		b := edges[i+1]
		w, v := p.plateauChance(a, b), math.Log(a*b)/2
		w0, w1, w2 = w0+w, w1+w*v, w2+w*v*v
	}
	l.mean = w1 / w0
	by := p.Lean * p.Lean * (w2/w0 - l.mean*l.mean)
	// The mean of some draws is no proof that nothing is left.
	l.rest = math.Sqrt(max(p.LogRate.SD*p.LogRate.SD-by, p.LogRate.SD*p.LogRate.SD/16))
	return l
}

// errPrior is wrapped by every error of Prior.validate.
var errPrior = errors.New("the starting belief cannot be used")

// mostLean is the steepest slope of the log rate on the log plateau.
const mostLean = 5

// validate reports the first field that cannot be computed with.
func (p Prior) validate() error {
	bad := func(format string, a ...any) error {
		return fmt.Errorf("%w: %s", errPrior, fmt.Sprintf(format, a...))
	}
	switch {
	case !finite(p.LogRate.Mean) || math.Abs(p.LogRate.Mean) > 50:
		return bad("log rate %g must be a number between -50 and 50", p.LogRate.Mean)
	case !(p.LogRate.SD > 0 && p.LogRate.SD <= 5):
		return bad("spread of the log rate %g must be above 0 and at most 5", p.LogRate.SD)
	case !(p.Doubt >= 0 && p.Doubt < 1):
		return bad("a chance of %g for an unusual jar must be from 0 to below 1", p.Doubt)
	case !(p.Plateau.Mean > 0 && p.Plateau.Mean <= mostScore):
		return bad("plateau %g must be a score above 0", p.Plateau.Mean)
	case !(p.Plateau.SD > 0 && p.Plateau.SD <= mostScore):
		return bad("spread of the plateau %g must be above 0 and in points", p.Plateau.SD)
	case !finite(p.LogNoise.Mean) || math.Abs(p.LogNoise.Mean) > 20:
		return bad("log of the noise %g must be a number between -20 and 20", p.LogNoise.Mean)
	case !(p.LogNoise.SD >= 0 && p.LogNoise.SD <= 3):
		return bad("spread of the log noise %g must be between 0 and 3", p.LogNoise.SD)
	case !(math.Abs(p.Lean) <= mostLean):
		return bad("a slope of the log rate of %g on the log plateau must be between -%d and %d", p.Lean, mostLean,
			mostLean)
	case !(p.Early >= 0 && p.Early <= 0.8):
		return bad("early share %g must be between 0 and 0.8", p.Early)
	}
	return nil
}

// Tasting is one score of one flavour.
type Tasting struct {
	// Hours since the botanical met the spirit. Before that, at zero hours or
	// less, the flavour cannot be there: such a score speaks of the taster.
	Hours float64
	// Score as it was given, 0 to 10.
	Score float64
	// Part is the share of jar in the sample, 0 to 1, raised to the exponent
	// that the flavour follows: what a neat strength of 1 tastes like in it.
	// 0 stands for neat.
	Part float64
	// Taster distinguishes people. Scores without a name are one person's.
	Taster string
}

// part is the share with its default.
func (t Tasting) part() float64 {
	if t.Part == 0 {
		return 1
	}
	return t.Part
}

// mostScore is far beyond the scale; the arithmetic is sound below it.
const mostScore = 1000

// errTasting is wrapped by every error about a tasting.
var errTasting = errors.New("a tasting cannot be used")

func (t Tasting) validate(i int) error {
	bad := func(format string, a ...any) error {
		return fmt.Errorf("%w: number %d %s", errTasting, i+1, fmt.Sprintf(format, a...))
	}
	switch {
	case !finite(t.Hours):
		return bad("is at %g h; the time must be a number", t.Hours)
	case !(t.Score >= 0 && t.Score <= mostScore):
		return bad("has the score %g; a score is 0 to 10", t.Score)
	case !(t.Part >= 0 && t.Part <= 1):
		return bad("is said to hold %g of the jar's strength; it must be 0 (neat) to 1", t.Part)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
