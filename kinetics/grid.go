package kinetics

import (
	"math"
	"slices"
	"sort"
	"sync"
)

// axis is an even grid of n cells from lo, step wide.
type axis struct {
	lo, step float64
	n        int
}

func (a axis) at(i int) float64 { return a.lo + a.step*(float64(i)+0.5) }

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

// closeEdges are the edges of n cells that lie close where the weight in coarser ones is
// dense: half of them by the cube root of its density, half evenly, in their logarithm.
func closeEdges(edges, weights []float64, n int) []float64 {
	at, total := make([]float64, len(edges)), 0.0 // the running count of cells at the edges
	for i, w := range weights {
		width := math.Log(edges[i+1] / edges[i])
		at[i+1] = width * math.Cbrt(w/width)
		total += at[i+1]
	}
	last := len(weights)
	whole := math.Log(edges[last] / edges[0])
	for i := range weights {
		even := math.Log(edges[i+1]/edges[i]) / whole
		at[i+1] = at[i] + float64(n)*(at[i+1]/total+even)/2
	}
	out := make([]float64, n+1)
	out[0], out[n] = edges[0], edges[last]
	i := 0
	for c := 1; c < n; c++ {
		for at[i+1] < float64(c) {
			i++
		}
		out[c] = edges[i] * math.Pow(edges[i+1]/edges[i], (float64(c)-at[i])/(at[i+1]-at[i]))
	}
	return out
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
	// The first coarse grid reads so many tastings at the most, the next of them more
	// times as many: all at once would leave but a cell or two of it.
	firstRead, moreRead = 32, 4
	// Gains are at rest when a turn moves none of them by more than that.
	gainTurns, atRest = 8, 1e-3
)

// span is the axis of n log rates where the prior's weight lies.
func (p Prior) span(n int) axis {
	reach := p.kinds().reach()
	if r := p.grid.reach; r > 0 {
		reach = r * p.LogRate.SD
	}
	return axis{p.LogRate.Mean - reach, 2 * reach / float64(n), n}
}

// noises are n noise levels evenly spaced in their logarithm: to 1.6 SDs for five,
// further where there are more.
func (p Prior) noises(n int) []float64 {
	if p.LogNoise.SD == 0 {
		return []float64{math.Exp(p.LogNoise.Mean)}
	}
	reach := max(1.6, min(5, 0.16*float64(n)))
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Exp(p.LogNoise.Mean + p.LogNoise.SD*reach*(2*float64(i)/float64(n-1)-1))
	}
	return out
}

// weighing is a grid that a posterior is worked out on: a weight for every shape,
// log rate, plateau and noise. Only the sums over the noise are kept.
type weighing struct {
	*Posterior
	mids        []float64 // of the cells of the plateau
	before      []float64 // [shape, or one for all][rate][plateau]: prior weight
	shape       []float64 // prior weight
	beforeNoise []float64
	readers     []reader
	shares      []float64   // [shape][rate][reader]: part of the plateau that is out
	chances     [][]float64 // lent to the readers, one a score
	level       []float64   // [shape][rate][plateau]: weight, sum 1
	noiseWeight []float64   // sum 1
	lift        int         // exponent of 2 of the cells
	scale       float64     // of a cell to its weight
	left        band        // of a coarser grid; of no cells before the first
}

// reader is what one tasting does to the cells.
type reader struct {
	by     float64   // from a plateau to steps of latentStep in the sample
	score  float64   // as it was given
	chance []float64 // [latent strength][noise] of the score
}

// weighings lends the room that a posterior is worked out in.
var weighings = sync.Pool{New: func() any { return new(weighing) }}

// room is n numbers in what was lent, none of them cleared.
func room(lent []float64, n int) []float64 { return slices.Grow(lent[:0], n)[:n] }

// weigh lays the grid and multiplies in the scores of some tastings.
func (g *weighing) weigh(rate axis, plateau, noise []float64, ts []Tasting) {
	g.rate, g.plateau, g.noise = rate, plateau, noise
	g.believe()
	g.read(ts)
	g.level = room(g.level, len(g.family.shapes)*rate.n*g.plateaus())
	g.noiseWeight = make([]float64, len(noise))
	g.lift = 0
	total, top := g.add()
	if top < 0 { // every cell had to be lifted
		g.lift = top
		total, _ = g.add()
	}
	g.scale = 1 / total
	for i := range g.level {
		g.level[i] *= g.scale
	}
	for s := range g.noiseWeight {
		g.noiseWeight[s] *= g.scale
	}
	g.evidence = math.Log(total) + float64(g.lift)*math.Ln2
}

// believe lays the prior over the grid.
func (g *weighing) believe() {
	n := g.plateaus()
	g.mids, g.shape = room(g.mids, n), room(g.shape, len(g.family.shapes))
	for c := range n {
		g.mids[c] = (g.plateau[c] + g.plateau[c+1]) / 2
	}
	laid := 1
	if g.prior.taught {
		laid = len(g.shape)
	}
	g.before = room(g.before, laid*g.rate.n*n)
	for h := range g.shape {
		g.shape[h] = g.family.shapes[h].weight
		if h < laid {
			given := g.prior
			if laid > 1 {
				given, g.shape[h] = given.by(h)
			}
			g.believeIn(given, g.before[h*g.rate.n*n:][:g.rate.n*n])
		}
	}
	total := 0.0
	g.beforeNoise = make([]float64, len(g.noise))
	for i, s := range g.noise {
		g.beforeNoise[i] = 1
		if g.prior.LogNoise.SD > 0 {
			z := (math.Log(s) - g.prior.LogNoise.Mean) / g.prior.LogNoise.SD
			g.beforeNoise[i] = math.Exp(-z * z / 2)
		}
		total += g.beforeNoise[i]
	}
	for i := range g.beforeNoise {
		g.beforeNoise[i] /= total
	}
}

// believeIn lays what is believed of rate and plateau, [rate][plateau].
func (g *weighing) believeIn(given Prior, before []float64) {
	n, l := g.plateaus(), given.leaning()
	given.LogRate.SD = l.rest
	whole := given.plateauChance(g.prior.bounds())
	for c := range n {
		by := 0.0
		if l.slope != 0 {
			by = l.slope * (math.Log(g.mids[c]) - l.mean)
		}
		for k := range g.rate.n {
			if c > 0 && l.slope == 0 {
				before[k*n+c] = before[k*n]
				continue
			}
			before[k*n+c] = g.rate.step * given.kinds().density(g.rate.at(k)-by)
		}
	}
	for c := range n {
		w := given.plateauChance(g.plateau[c], g.plateau[c+1]) / whole
		for k := range g.rate.n {
			before[k*n+c] *= w
		}
	}
}

// read prepares tastings: those of one score side by side, since they read one table.
func (g *weighing) read(ts []Tasting) {
	ns, rows := len(g.noise), len(g.family.shapes)*g.rate.n
	ts = slices.Clone(ts)
	sort.SliceStable(ts, func(i, j int) bool { return ts[i].Score < ts[j].Score })
	g.readers = slices.Grow(g.readers[:0], len(ts))[:len(ts)]
	g.shares = room(g.shares, rows*len(ts))
	scores := 0
	for i, t := range ts {
		r := &g.readers[i]
		*r = reader{by: t.part() * g.gainOf(t.Taster) / latentStep, score: t.Score}
		g.fillShares(logHours(t.Hours), g.shares[i:], len(ts))
		switch {
		case g.prior.grid.faceValue:
		case i > 0 && t.Score == ts[i-1].Score:
			r.chance = g.readers[i-1].chance
		default:
			if scores == len(g.chances) {
				g.chances = append(g.chances, nil)
			}
			r.chance = room(g.chances[scores], latentN*ns)
			g.chances[scores] = r.chance
			scores++
			for s, sigma := range g.noise {
				for j, c := range readingTable(t.Score, sigma) {
					r.chance[j*ns+s] = c
				}
			}
		}
	}
}

// sum works out the moments that the answers need.
func (g *weighing) sum() {
	g.rows = make([]row, len(g.family.shapes)*g.rate.n)
	var s1, s2, c1, c2 float64
	for i := range g.rows {
		r := row{lk: g.rate.at(i % g.rate.n)}
		for c, w := range g.level[i*g.plateaus():][:g.plateaus()] {
			v := g.mids[c]
			r.m0, r.m1, r.m2 = r.m0+w, r.m1+w*v, r.m2+w*v*v
		}
		g.rows[i] = r
		s1, s2, c1, c2 = s1+r.m0*r.lk, s2+r.m0*r.lk*r.lk, c1+r.m1, c2+r.m2
	}
	g.meanLK, g.varLK = s1, max(s2-s1*s1, 0)
	g.meanC, g.varC = c1, max(c2-c1*c1, 0)
	var m, m2 float64
	for i, w := range g.noiseWeight {
		s := g.noise[i]
		m += w * s
		m2 += w * s * s
	}
	g.meanNoise, g.varNoise = m, max(0, m2-m*m)
}

// keep keeps what the answers need of the cells: the sums over the plateaus, and
// which cells are drawn, evenly spaced in the running sum of the weights, in order
// of rate, shape, plateau and noise.
func (g *weighing) keep() {
	n, ns := g.plateaus(), len(g.noise)
	g.tails = make([]float64, len(g.rows)*(n+1))
	for i := range g.rows {
		t, ws, r := g.above(i), g.level[i*n:][:n], &g.rows[i]
		t[n] = 0 // a page of new memory that is read before it is written is laid twice
		for c := n - 1; c >= 0; c-- {
			t[c] = t[c+1] + ws[c]
			if r.top == 0 && t[c] > anyWeight {
				r.top, r.last = g.plateau[c+1], c
			}
		}
	}
	g.drawn = make([]int32, 0, Drawn)
	cell := make([]float64, ns)
	sum, next := 0.0, 0.5/Drawn
	// skip passes over weight in which no draw lies.
	skip := func(w float64) bool {
		if sum+w < next {
			sum += w
			return true
		}
		return false
	}
	for k := range g.rate.n {
		for h := range g.family.shapes {
			row := h*g.rate.n + k
			if skip(g.rows[row].m0) {
				continue
			}
			for c := range n {
				i := row*n + c
				if skip(g.level[i]) {
					continue
				}
				g.cells(h, k, c, c+1, cell)
				for s, w := range cell {
					sum += w * g.scale
					for sum >= next && len(g.drawn) < Drawn {
						g.drawn = append(g.drawn, int32(i*ns+s))
						next += 1.0 / Drawn
					}
				}
			}
		}
	}
}
