package kinetics

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"sync"
)

// Posterior is what is believed of one flavour after its tastings: a weight for
// every point of a grid over shape, log rate, plateau and noise. Every answer is
// a weighted sum; between the points of a plateau or a rate the weight is spread
// evenly, so that no answer moves in steps. It is immutable and may be used from
// several goroutines.
type Posterior struct {
	prior    Prior
	tastings []Tasting
	gains    []Gain
	family   *family
	rate     axis      // ln k
	plateau  []float64 // edges of the cells, rising
	noise    []float64 // SD of a score, points
	drawn    []int32   // cells [shape][rate][plateau][noise] that stand for all
	rows     []row     // [shape][rate]
	tails    []float64 // [row][edge]: weight of the plateaus from it upwards

	evidence, meanLK, varLK, meanC, varC, meanNoise, varNoise float64
}

// row is one shape and rate with the moments of the plateau there.
type row struct {
	lk         float64
	m0, m1, m2 float64 // weight, and weight times the plateau and its square
	top        float64 // upper edge of the last cell with any weight, 0 where none has
	last       int     // that cell
}

// anyWeight is what a cell and those beyond it have at least to count in a loss: what is left out of
// a row is a ten-thousandth of a point² at the most, and two thirds of the rows are.
const anyWeight = 1e-7

// Posterior weighs the prior with the tastings; without any it is the prior.
// Errors name what is wrong with one of them.
//
// Coarse grids find where the weight lies, a fine one is laid there. Strength
// is C·(f + (1−f)·shape(k·t)); the chance of a score is in readingChance.
func (p Prior) Posterior(ts []Tasting) (*Posterior, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	for i, t := range ts {
		if err := t.validate(i); err != nil {
			return nil, err
		}
	}
	family := families[p.course]().only(p.grid.only)
	post := &Posterior{prior: p, tastings: slices.Clone(ts), family: family}
	sort.SliceStable(post.tastings, func(i, j int) bool {
		a, b := &post.tastings[i], &post.tastings[j]
		return cmp.Or(
			cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Score, b.Score), cmp.Compare(a.Taster, b.Taster)) < 0
	})
	g := weighings.Get().(*weighing)
	g.Posterior = post
	if n := p.grid; n.rates > 0 {
		lo, hi := p.bounds()
		g.left.rate.n = 0
		g.weigh(p.span(n.rates), evenEdges(lo, hi, n.plateaus), p.noises(n.noises), post.tastings)
	} else {
		g.find()
	}
	g.sum()
	g.keep()
	g.Posterior = nil
	weighings.Put(g)
	return post, nil
}

// Ahead lays the tables that every jar asks for. Nothing has to wait for it: what
// is not there yet is laid when it is wanted.
func Ahead() {
	families[wanted]()
	families[unwanted]()
	for _, sigma := range (Prior{LogNoise: usualNoise}).noises(gridNoises) {
		wholeTable(sigma)
	}
}

// Drawn is how many jars stand for a posterior.
const Drawn = 320

// plateaus is the number of cells of the plateau, mid the middle of one.
func (p *Posterior) plateaus() int { return len(p.plateau) - 1 }

func (p *Posterior) mid(c int) float64 { return (p.plateau[c] + p.plateau[c+1]) / 2 }

// above is the weights from each edge of the plateau upwards at a shape and rate.
func (p *Posterior) above(i int) []float64 {
	n := p.plateaus() + 1
	return p.tails[i*n : (i+1)*n]
}

// share is the part of the plateau that is out at a shape and ln(k·t).
func (p *Posterior) share(h int, lx float64) float64 {
	if math.IsInf(lx, -1) {
		return 0
	}
	return p.prior.Early + (1-p.prior.Early)*p.family.at(h, lx)
}

// fillShares fills every apart-th of into, in the order of the rows, with the part of
// the plateau that is out at ln t.
func (p *Posterior) fillShares(lt float64, into []float64, apart int) {
	if math.IsInf(lt, -1) {
		for i := range p.rate.n * len(p.family.shapes) {
			into[i*apart] = 0
		}
		return
	}
	early, rest, n := p.prior.Early, 1-p.prior.Early, p.rate.n*apart
	shapes := len(p.family.shapes)
	for k := range p.rate.n {
		u := (p.rate.at(k) + lt - shapeLow) / shapeStep
		at := into[k*apart:]
		switch {
		case !(u > 0): // nearly nothing, and continuous
			e := rest * math.Exp(shapeStep*u)
			for h, v := range p.family.table[:shapes] {
				at[h*n] = early + e*v
			}
		case u >= shapeN-1:
			for h, v := range p.family.table[(shapeN-1)*shapes:] {
				at[h*n] = early + rest*v
			}
		default:
			i := int(u)
			f := u - float64(i)
			lo := p.family.table[i*shapes:][:shapes]
			hi := p.family.table[(i+1)*shapes:][:shapes]
			for h, v := range lo {
				at[h*n] = early + rest*(v+f*(hi[h]-v))
			}
		}
	}
}

// scratch lends rows of numbers to sums that are made thousands of times.
var scratch = sync.Pool{New: func() any { return new([]float64) }}

// sharesAt lends shares after so many hours; they go back by scratch.Put.
func (p *Posterior) sharesAt(hours float64) *[]float64 {
	b := scratch.Get().(*[]float64)
	*b = room(*b, len(p.rows))
	p.fillShares(logHours(hours), *b, 1)
	return b
}

// logHours is ln t, -Inf for times at or before the start.
func logHours(t float64) float64 {
	if !(t > 0) {
		return math.Inf(-1)
	}
	return math.Log(t)
}
