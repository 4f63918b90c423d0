package kinetics

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
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
	shapes   []shape
	lean     lean
	rate     axis                // ln k
	plateau  []float64           // edges of the cells, rising
	noise    []float64           // SD of a score, points
	cells    []float64           // [shape][rate][plateau][noise], sum 1: while it is worked out
	drawn    []int32             // those of them that stand for all
	level    []float64           // [shape][rate][plateau]: noise summed out, while it is worked out
	rows     []row               // [shape][rate]
	tails    []float64           // [row][edge]: weight of the plateaus from it upwards
	from     func() [][2]float64 // the same times the plateau, and its square
	evidence float64
	meanLK, varLK, meanC, varC, meanNoise, varNoise,
	priorVarLK, priorVarC float64
}

// axis is an even grid of n cells from lo, step wide.
type axis struct {
	lo, step float64
	n        int
}

func (a axis) at(i int) float64 { return a.lo + a.step*(float64(i)+0.5) }

// row is one shape and rate with the moments of the plateau there.
type row struct {
	lk         float64
	m0, m1, m2 float64 // weight, and weight times the plateau and its square
}

// settings change the grid for tests against outside values.
type settings struct {
	rates, plateaus, noises int
	reach                   float64 // prior SDs of rate and plateau, uncut
	faceValue               bool    // normal density at the score, no rounding, slips or ends
	only                    string  // the one shape to take
}

const (
	gridRates, gridPlateaus, gridNoises    = 49, 24, 5
	scoutRates, scoutPlateaus, scoutNoises = 55, 16, 3
	enough                                 = 1e-5 // marginal weight at which the grid ends, of the largest
)

// Posterior weighs the prior with the tastings; without any it is the prior.
// Errors wrap ErrPrior or ErrTasting and name what is wrong.
//
// A coarse grid finds where the weight lies, a fine one is laid there. Strength
// is C·(f + (1−f)·shape(k·t)); the chance of a score is in readingChance.
func (p Prior) Posterior(ts []Tasting) (*Posterior, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	for i, t := range ts {
		if err := t.validate(i); err != nil {
			return nil, err
		}
	}
	post := &Posterior{prior: p, lean: p.leaning(), tastings: slices.Clone(ts), shapes: families[p.Course]()}
	if i := slices.IndexFunc(post.shapes, func(s shape) bool { return s.name == p.grid.only }); i >= 0 {
		post.shapes = []shape{post.shapes[i]}
		post.shapes[0].weight = 1
	}
	slices.SortStableFunc(post.tastings, func(a, b Tasting) int {
		return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Score, b.Score), cmp.Compare(a.Taster, b.Taster))
	})
	lo, hi := p.bounds()
	room := grids.Get().(*grid)
	post.cells, post.level = room.cells, room.level
	defer func() {
		room.cells, room.level = post.cells, post.level
		post.cells, post.level = nil, nil
		grids.Put(room)
	}()
	if g := p.grid; g.rates > 0 {
		post.fill(p.span(g.rates), evenEdges(lo, hi, g.plateaus), p.noises(g.noises))
		post.sum()
		post.keep()
		return post, nil
	}
	post.fill(p.span(scoutRates), ratioEdges(lo, hi, scoutPlateaus), p.noises(scoutNoises))
	post.learnGains()
	post.flatten()
	first, last := support(post.rateWeights())
	rate := axis{post.rate.lo + post.rate.step*float64(first), post.rate.step * float64(last-first+1) / gridRates, gridRates}
	first, last = support(post.plateauWeights())
	post.fill(rate, ratioEdges(post.plateau[first], post.plateau[last+1], gridPlateaus), p.noises(gridNoises))
	post.sum()
	post.keep()
	return post, nil
}

// Ahead lays the tables that every jar asks for. Nothing has to wait for it: what
// is not there yet is laid when it is wanted.
func Ahead() {
	families[Wanted]()
	families[Unwanted]()
	for _, sigma := range (Prior{LogNoise: DefaultNoise()}).noises(gridNoises) {
		wholeTable(sigma)
	}
}

// grids lends the room that a posterior is worked out in.
var grids = sync.Pool{New: func() any {
	n := len(families[Wanted]()) * gridRates * gridPlateaus
	return &grid{make([]float64, 0, n*gridNoises), make([]float64, 0, n)}
}}

type grid struct{ cells, level []float64 }

// Drawn is how many jars stand for a posterior.
const Drawn = 320

// keep keeps of the cells what the answers need of them: the sums over the noise,
// and which of them are drawn, evenly spaced in the running sum of the weights, in
// order of rate, shape, plateau and noise.
func (p *Posterior) keep() {
	n := p.plateaus()
	p.tails = make([]float64, len(p.rows)*(n+1))
	for i := range p.rows {
		t, ws := p.tails[i*(n+1):][:n+1], p.row(i)
		for c := n - 1; c >= 0; c-- {
			t[c] = t[c+1] + ws[c]
		}
	}
	p.drawn = make([]int32, 0, Drawn)
	block := p.plateaus() * len(p.noise)
	sum, next := 0.0, 0.5/Drawn
	for k := range p.rate.n {
		for h := range p.shapes {
			at := (h*p.rate.n + k) * block
			if w := p.rows[h*p.rate.n+k].m0; sum+w < next {
				sum += w
				continue
			}
			for i, w := range p.cells[at : at+block] {
				sum += w
				for sum >= next && len(p.drawn) < Drawn {
					p.drawn = append(p.drawn, int32(at+i))
					next += 1.0 / Drawn
				}
			}
		}
	}
	var m, m2 float64
	for i, w := range p.noiseWeights() {
		s := p.noise[i]
		m += w * s
		m2 += w * s * s
	}
	p.meanNoise, p.varNoise = m, max(0, m2-m*m)
}

// evenEdges are the edges of n cells of one width, ratioEdges those of n cells of
// one ratio.
func evenEdges(lo, hi float64, n int) []float64 {
	out := make([]float64, n+1)
	for i := range out {
		out[i] = lo + (hi-lo)*float64(i)/float64(n)
	}
	return out
}

func ratioEdges(lo, hi float64, n int) []float64 {
	out := make([]float64, n+1)
	for i := range out {
		out[i] = lo * math.Pow(hi/lo, float64(i)/float64(n))
	}
	return out
}

// plateaus is the number of cells of the plateau, mid the middle of one.
func (p *Posterior) plateaus() int { return len(p.plateau) - 1 }

func (p *Posterior) mid(c int) float64 { return (p.plateau[c] + p.plateau[c+1]) / 2 }

// span is the axis of n log rates where the prior's weight lies.
func (p Prior) span(n int) axis {
	reach := 5 * p.LogRate.SD
	if p.Doubt > 0 {
		reach = max(reach, 4.2*UnusualSD)
	}
	if r := p.grid.reach; r > 0 {
		reach = r * p.LogRate.SD
	}
	return axis{p.LogRate.Mean - reach, 2 * reach / float64(n), n}
}

// noises are n noise levels evenly spaced in their logarithm.
func (p Prior) noises(n int) []float64 {
	if p.LogNoise.SD == 0 {
		return []float64{math.Exp(p.LogNoise.Mean)}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Exp(p.LogNoise.Mean + p.LogNoise.SD*noiseReach(n)*(2*float64(i)/float64(n-1)-1))
	}
	return out
}

// noiseReach is how many SDs the noise levels reach: 1.6 for five, wider where
// there are more.
func noiseReach(n int) float64 { return max(1.6, min(5, 0.16*float64(n))) }

// density is the prior density of ln k.
func (p Prior) rateDensity(lk float64) float64 {
	d := (1 - p.Doubt) * math.Exp(p.LogRate.logPDF(lk))
	if p.Doubt > 0 {
		wide := Normal{p.LogRate.Mean, max(UnusualSD, p.LogRate.SD)}
		d += p.Doubt * math.Exp(wide.logPDF(lk))
	}
	return d
}

// fill lays the grid, multiplies in the scores and normalises.
func (p *Posterior) fill(rate axis, plateau, noise []float64) {
	p.rate, p.plateau, p.noise = rate, plateau, noise
	wk, wc, ws := make([]float64, rate.n*p.plateaus()), make([]float64, p.plateaus()), make([]float64, len(noise))
	given := p.prior
	given.LogRate.SD = p.lean.rest
	for c := range wc {
		if c > 0 && p.lean.slope == 0 {
			for i := range rate.n {
				wk[i*len(wc)+c] = wk[i*len(wc)]
			}
			continue
		}
		by := 0.0
		if p.lean.slope != 0 {
			by = p.lean.slope * (math.Log(p.mid(c)) - p.lean.mean)
		}
		for i := range rate.n {
			wk[i*len(wc)+c] = rate.step * given.rateDensity(rate.at(i)-by)
		}
	}
	whole := p.prior.plateauChance(p.prior.bounds())
	for i := range wc {
		wc[i] = p.prior.plateauChance(plateau[i], plateau[i+1]) / whole
	}
	total := 0.0
	for i, s := range noise {
		ws[i] = 1
		if p.prior.LogNoise.SD > 0 {
			z := (math.Log(s) - p.prior.LogNoise.Mean) / p.prior.LogNoise.SD
			ws[i] = math.Exp(-z * z / 2)
		}
		total += ws[i]
	}
	ns := len(noise)
	if n := len(p.shapes) * rate.n * p.plateaus() * ns; cap(p.cells) < n {
		p.cells = make([]float64, n)
	} else {
		p.cells = p.cells[:n]
	}
	at := 0
	for h := range p.shapes {
		for k := range rate.n {
			for i, c := range wc {
				w := p.shapes[h].weight * wk[k*len(wc)+i] * c / total
				for s := range ns {
					p.cells[at+s] = w * ws[s]
				}
				at += ns
			}
		}
	}
	p.evidence = 0
	for i, t := range p.tastings {
		p.read(t)
		if i%8 == 7 { // long before a product of chances underflows
			p.scale()
		}
	}
	p.scale()
}

// scale makes the cells add to 1 and keeps the log of what they added to.
func (p *Posterior) scale() {
	sum := floats.Sum(p.cells)
	p.evidence += math.Log(sum)
	floats.Scale(1/sum, p.cells)
}

// share is the part of the plateau that is out at a shape and ln(k·t).
func (p *Posterior) share(h int, lx float64) float64 {
	if math.IsInf(lx, -1) {
		return 0
	}
	return p.prior.Early + (1-p.prior.Early)*p.shapes[h].at(lx)
}

// shares fills into[h·rates+k] with the part of the plateau that is out at ln t,
// for every shape and rate.
func (p *Posterior) shares(lt float64, into []float64) {
	if math.IsInf(lt, -1) {
		clear(into)
		return
	}
	early, rest, n := p.prior.Early, 1-p.prior.Early, p.rate.n
	for k := range n {
		u := (p.rate.at(k) + lt - shapeLow) / shapeStep
		switch {
		case !(u > 0): // nearly nothing, and continuous
			e := rest * math.Exp(shapeStep*u)
			for h := range p.shapes {
				into[h*n+k] = early + e*p.shapes[h].table[0]
			}
		case u >= shapeN-1:
			for h := range p.shapes {
				into[h*n+k] = early + rest*p.shapes[h].table[shapeN-1]
			}
		default:
			i := int(u)
			f := u - float64(i)
			for h := range p.shapes {
				t := p.shapes[h].table[i:][:2]
				into[h*n+k] = early + rest*(t[0]+f*(t[1]-t[0]))
			}
		}
	}
}

// scratch lends rows of numbers to sums that are made thousands of times.
var scratch = sync.Pool{New: func() any { return new([]float64) }}

func borrow(n int) *[]float64 {
	b := scratch.Get().(*[]float64)
	if cap(*b) < n {
		*b = make([]float64, n)
	}
	*b = (*b)[:n]
	return b
}

// logHours is ln t, -Inf for times at or before the start.
func logHours(t float64) float64 {
	if !(t > 0) {
		return math.Inf(-1)
	}
	return math.Log(t)
}

// read multiplies the chance of one score into every cell.
func (p *Posterior) read(t Tasting) {
	if p.prior.grid.faceValue {
		p.readFace(t)
		return
	}
	// The chances of this score, noise innermost, as the cells lie.
	ns := len(p.noise)
	rows := borrow(latentN * ns)
	defer scratch.Put(rows)
	table := *rows
	for s, sigma := range p.noise {
		for i, c := range readingTable(t.Score, sigma) {
			table[i*ns+s] = c
		}
	}
	by := t.part() * p.gainOf(t.Taster) / latentStep
	b := borrow(len(p.shapes) * p.rate.n)
	defer scratch.Put(b)
	shares := *b
	p.shares(logHours(t.Hours), shares)
	mids := make([]float64, p.plateaus())
	for c := range mids {
		mids[c] = by * p.mid(c)
	}
	at := 0
	for _, g := range shares {
		for _, m := range mids {
			u := min(g*m, float64(latentN)-1.001)
			i := int(u)
			f := u - float64(i)
			cells, lo, hi := p.cells[at:][:ns], table[i*ns:][:ns], table[(i+1)*ns:][:ns]
			for s, c := range lo {
				cells[s] *= c + f*(hi[s]-c)
			}
			at += ns
		}
	}
}

// readFace takes a score at its face value, with normal noise.
func (p *Posterior) readFace(t Tasting) {
	ns, lt := len(p.noise), logHours(t.Hours)
	for i := range p.cells {
		row := i / ns / p.plateaus()
		v := p.mid(i/ns%p.plateaus()) * p.share(row/p.rate.n, p.rate.at(row%p.rate.n)+lt)
		sigma := p.noise[i%ns]
		p.cells[i] *= normalPDF((t.Score-v)/sigma) / sigma
	}
}

// rateWeights is the marginal over ln k.
func (p *Posterior) rateWeights() []float64 {
	w := make([]float64, p.rate.n)
	for i, v := range p.level {
		w[i/p.plateaus()%p.rate.n] += v
	}
	return w
}

// plateauWeights is the marginal over the plateau.
func (p *Posterior) plateauWeights() []float64 {
	w := make([]float64, p.plateaus())
	for i, v := range p.level {
		w[i%p.plateaus()] += v
	}
	return w
}

// noiseWeights is the marginal over the noise.
func (p *Posterior) noiseWeights() []float64 {
	w := make([]float64, len(p.noise))
	for at := 0; at < len(p.cells); at += len(w) {
		for i, v := range p.cells[at:][:len(w)] {
			w[i] += v
		}
	}
	return w
}

// support is the first and last cell that matters, and one beyond on either side.
func support(w []float64) (first, last int) {
	top := slices.Max(w)
	first, last = 0, len(w)-1
	for first < last && w[first] < enough*top {
		first++
	}
	for last > first && w[last] < enough*top {
		last--
	}
	return max(first-1, 0), min(last+1, len(w)-1)
}

// above is the weights from each edge of the plateau upwards at a shape and rate.
func (p *Posterior) above(i int) []float64 {
	n := p.plateaus() + 1
	return p.tails[i*n : (i+1)*n]
}

// row is the weights over the plateau at a shape and rate.
func (p *Posterior) row(i int) []float64 {
	n := p.plateaus()
	return p.level[i*n : (i+1)*n]
}

// flatten sums the noise out.
func (p *Posterior) flatten() {
	ns := len(p.noise)
	p.level = slices.Grow(p.level[:0], len(p.cells)/ns)[:len(p.cells)/ns]
	for i := range p.level {
		p.level[i] = floats.Sum(p.cells[i*ns:][:ns])
	}
}

// sum works out what the answers need.
func (p *Posterior) sum() {
	p.flatten()
	p.rows = make([]row, len(p.shapes)*p.rate.n)
	p.from = sync.OnceValue(p.fromEdges)
	var s1, s2, c1, c2 float64
	for i := range p.rows {
		r := &p.rows[i]
		r.lk = p.rate.at(i % p.rate.n)
		for c, w := range p.row(i) {
			v := p.mid(c)
			r.m0, r.m1, r.m2 = r.m0+w, r.m1+w*v, r.m2+w*v*v
		}
		s1, s2, c1, c2 = s1+r.m0*r.lk, s2+r.m0*r.lk*r.lk, c1+r.m1, c2+r.m2
	}
	p.meanLK, p.varLK = s1, max(s2-s1*s1, 0)
	p.meanC, p.varC = c1, max(c2-c1*c1, 0)
	p.priorVarLK = (1-p.prior.Doubt)*p.prior.LogRate.SD*p.prior.LogRate.SD + p.prior.Doubt*math.Pow(max(UnusualSD, p.prior.LogRate.SD), 2)
	p.priorVarC = p.prior.Plateau.SD * p.prior.Plateau.SD
}

// Gain is how strongly one taster scores the same jar.
type Gain struct {
	Taster string
	// Factor is over the middle of all tasters, on which every strength of the
	// Posterior is. It is drawn towards 1 by what is known of tasters, the more
	// the fewer the scores.
	Factor float64
	Scores int
}

// TasterSD is the spread of the gain of tasters around 1. Open panel data
// (slope of a person's scores on the panel's, attributes that span 4.5 points or
// more) give 0.33 to 0.52 with the noise of the slopes included.
const TasterSD = 0.3

// Gains describes the tasters, where there are two or more of them.
func (p *Posterior) Gains() []Gain { return slices.Clone(p.gains) }

func (p *Posterior) gainOf(taster string) float64 {
	for _, g := range p.gains {
		if g.Taster == taster {
			return g.Factor
		}
	}
	return 1
}

// learnGains finds the likeliest gain of every taster about their middle, by
// turns with the curve: the slope of a taster's scores on the mean curve, drawn
// towards 1 with the spread TasterSD.
func (p *Posterior) learnGains() {
	by := map[string]int{}
	for _, t := range p.tastings {
		if _, ok := by[t.Taster]; !ok {
			by[t.Taster] = len(p.gains)
			p.gains = append(p.gains, Gain{Taster: t.Taster, Factor: 1})
		}
		p.gains[by[t.Taster]].Scores++
	}
	if len(p.gains) < 2 {
		p.gains = nil
		return
	}
	slices.SortFunc(p.gains, func(a, b Gain) int { return cmp.Compare(a.Taster, b.Taster) })
	for i, g := range p.gains {
		by[g.Taster] = i
	}
	const turns = 8
	for range turns {
		p.sum()
		noise2 := 0.0
		for i, w := range p.noiseWeights() {
			noise2 += w * p.noise[i] * p.noise[i]
		}
		top, bottom := make([]float64, len(p.gains)), make([]float64, len(p.gains))
		for _, t := range p.tastings {
			v := t.part() * p.Mean(t.Hours)
			top[by[t.Taster]] += v * t.Score / noise2
			bottom[by[t.Taster]] += v * v / noise2
		}
		sum := 0.0
		for i := range p.gains {
			const w = 1 / (TasterSD * TasterSD)
			p.gains[i].Factor = max((top[i]+w)/(bottom[i]+w), 0.1)
			sum += p.gains[i].Factor
		}
		for i := range p.gains {
			p.gains[i].Factor *= float64(len(p.gains)) / sum
		}
		p.fill(p.rate, p.plateau, p.noise)
	}
}
