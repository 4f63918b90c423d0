package kinetics

import (
	"cmp"
	"math"
	"slices"
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
	before      []float64 // [rate][plateau]: prior weight
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

// band is where a grid has weight: by shape and rate the edges of the plateau. A row
// without any has them the wrong way round.
type band struct {
	rate   axis
	lo, hi []float64
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

// add adds up the cells, all of them and by noise; top is the largest exponent that
// one of them was left at.
func (g *weighing) add() (total float64, top int) {
	clear(g.noiseWeight)
	top = math.MinInt
	ns, n := len(g.noise), g.plateaus()
	row := make([]float64, n*ns)
	level := g.level
	clear(level)
	for h := range g.family.shapes {
		for k := range g.rate.n {
			from, to := g.within(h, k)
			if from < to {
				top = max(top, g.cells(h, k, from, to, row[:(to-from)*ns]))
			}
			for c, w := range g.sums(row[:(to-from)*ns]) {
				level[from+c] = w
				total += w
			}
			level = level[n:]
		}
	}
	return total, top
}

// sums adds up cells over the noise, into the room of the first of them, and over the
// plateau into noiseWeight.
func (g *weighing) sums(cells []float64) []float64 {
	ns, all := len(g.noise), cells[:0]
	if ns != gridNoises {
		for ; len(cells) > 0; cells = cells[ns:] {
			sum := 0.0
			for s, w := range cells[:ns] {
				sum += w
				g.noiseWeight[s] += w
			}
			all = append(all, sum)
		}
		return all
	}
	var by [gridNoises]float64
	for ; len(cells) > 0; cells = cells[gridNoises:] {
		w := (*[gridNoises]float64)(cells)
		by[0], by[1], by[2], by[3], by[4] = by[0]+w[0], by[1]+w[1], by[2]+w[2], by[3]+w[3], by[4]+w[4]
		all = append(all, w[0]+w[1]+w[2]+w[3]+w[4])
	}
	for s, w := range by {
		g.noiseWeight[s] += w
	}
	return all
}

// within is the plateaus of a row, from one to another, at which a coarser grid has
// left any weight.
func (g *weighing) within(h, k int) (from, to int) {
	n, rates := g.plateaus(), g.left.rate.n
	if rates == 0 {
		return 0, n
	}
	at := min(max(int((g.rate.at(k)-g.left.rate.lo)/g.left.rate.step), 0), rates-1)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := max(at-1, 0); i <= min(at+1, rates-1); i++ {
		lo, hi = min(lo, g.left.lo[h*rates+i]), max(hi, g.left.hi[h*rates+i])
	}
	for from < n && g.plateau[from+1] <= lo {
		from++
	}
	for to = from; to < n && g.plateau[to] < hi; {
		to++
	}
	return from, to
}

// leave notes where the grid has weight, and a cell beyond. Fewer scores than four rule
// nothing out: any may be a slip.
func (g *weighing) leave() {
	const none = 1e-12 // weight of a cell, of the largest
	if len(g.readers) < 4 {
		return
	}
	n, least := g.plateaus(), none*slices.Max(g.level)
	g.left.rate = g.rate
	g.left.lo, g.left.hi = room(g.left.lo, len(g.level)/n), room(g.left.hi, len(g.level)/n)
	for i := range g.left.lo {
		lo, hi := math.Inf(1), math.Inf(-1)
		for c, w := range g.level[i*n:][:n] {
			if w >= least {
				lo, hi = min(lo, g.plateau[max(c-1, 0)]), g.plateau[min(c+2, n)]
			}
		}
		g.left.lo[i], g.left.hi[i] = lo, hi
	}
}

// believe lays the prior over the grid.
func (g *weighing) believe() {
	n := g.plateaus()
	g.mids, g.before = room(g.mids, n), room(g.before, g.rate.n*n)
	for c := range n {
		g.mids[c] = (g.plateau[c] + g.plateau[c+1]) / 2
	}
	given := g.prior
	given.LogRate.SD = g.lean.rest
	for c := range n {
		by := 0.0
		if g.lean.slope != 0 {
			by = g.lean.slope * (math.Log(g.mids[c]) - g.lean.mean)
		}
		for k := range g.rate.n {
			if c > 0 && g.lean.slope == 0 {
				g.before[k*n+c] = g.before[k*n]
				continue
			}
			g.before[k*n+c] = g.rate.step * given.kinds().density(g.rate.at(k)-by)
		}
	}
	whole := g.prior.plateauChance(g.prior.bounds())
	for c := range n {
		w := g.prior.plateauChance(g.plateau[c], g.plateau[c+1]) / whole
		for k := range g.rate.n {
			g.before[k*n+c] *= w
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

// read prepares tastings: those of one score side by side, since they read one table.
func (g *weighing) read(ts []Tasting) {
	ns, rows := len(g.noise), len(g.family.shapes)*g.rate.n
	ts = slices.Clone(ts)
	slices.SortFunc(ts, func(a, b Tasting) int { return cmp.Compare(a.Score, b.Score) })
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

// cells sets w, [plateau][noise], to the weights at a shape and rate and the plateaus
// from one to another, but for scale and 2^lift. Where the scores contradict each
// other their product would underflow: it is lifted on the way, to the exponent
// returned.
func (g *weighing) cells(h, k, from, to int, w []float64) (exponent int) {
	const step = 500
	ns, row, mids := len(g.noise), h*g.rate.n+k, g.mids[from:to]
	shares := g.shares[row*len(g.readers):][:len(g.readers)]
	start := weights{g.before[k*g.plateaus()+from:][:len(mids)], g.beforeNoise, g.family.shapes[h].weight}
	if ns != gridNoises || len(shares) == 0 || g.prior.grid.faceValue {
		start.fill(w)
	}
	const block = 32 // none of their products underflows
	for n := 0; n < len(shares); n += block {
		rs, part := g.readers[n:min(n+block, len(shares))], shares[n:min(n+block, len(shares))]
		switch {
		case g.prior.grid.faceValue:
			g.takeAtFaceValue(rs, part, mids, w)
		case ns != gridNoises:
			multiplyAny(rs, part, mids, w)
		case n == 0:
			multiply(rs, part, mids, w, &start)
		default:
			multiply(rs, part, mids, w, nil)
		}
		if len(rs) == block && slices.Max(w) < 0x1p-500 {
			exponent -= step
			for i := range w {
				w[i] *= 0x1p500
			}
		}
	}
	if exponent != g.lift {
		for i := range w {
			w[i] = math.Ldexp(w[i], exponent-g.lift)
		}
	}
	return exponent
}

// weights are those of the cells of a row before the scores: of the plateaus, of the
// noises, and of the shape.
type weights struct {
	plateau, noise []float64
	shape          float64
}

func (s *weights) fill(w []float64) {
	ns := len(s.noise)
	for i, before := range s.plateau {
		before *= s.shape
		cell := w[i*ns:][:ns]
		for s, v := range s.noise {
			cell[s] = before * v
		}
	}
}

// multiply multiplies w, [plateau][noise], or what it starts from, by the chances of
// some scores: the loop over the noise laid open, since this is half of all that is
// reckoned.
func multiply(rs []reader, shares, mids, w []float64, start *weights) {
	shares = shares[:len(rs)]
	for i, mid := range mids {
		w := (*[gridNoises]float64)(w[i*gridNoises:])
		if start != nil {
			v, before := (*[gridNoises]float64)(start.noise), start.plateau[i]*start.shape
			*w = [gridNoises]float64{before * v[0], before * v[1], before * v[2], before * v[3], before * v[4]}
		}
		w0, w1, w2, w3, w4 := w[0], w[1], w[2], w[3], w[4]
		for n := range rs {
			r := &rs[n]
			u := min(r.by*shares[n]*mid, lastLatent)
			j := int(u)
			f := u - float64(j)
			t := (*[2 * gridNoises]float64)(r.chance[j*gridNoises:])
			w0 *= t[0] + f*(t[gridNoises]-t[0])
			w1 *= t[1] + f*(t[gridNoises+1]-t[1])
			w2 *= t[2] + f*(t[gridNoises+2]-t[2])
			w3 *= t[3] + f*(t[gridNoises+3]-t[3])
			w4 *= t[4] + f*(t[gridNoises+4]-t[4])
		}
		w[0], w[1], w[2], w[3], w[4] = w0, w1, w2, w3, w4
	}
}

// multiplyAny is multiply for any number of noises.
func multiplyAny(rs []reader, shares, mids, w []float64) {
	ns := len(w) / len(mids)
	for i, mid := range mids {
		w := w[i*ns:][:ns]
		for n := range rs {
			r := &rs[n]
			u := min(r.by*shares[n]*mid, lastLatent)
			j := int(u)
			f := u - float64(j)
			t := r.chance[j*ns:][:2*ns]
			if ns == scoutNoises {
				w, t := (*[scoutNoises]float64)(w), (*[2 * scoutNoises]float64)(t)
				w[0] *= t[0] + f*(t[scoutNoises]-t[0])
				w[1] *= t[1] + f*(t[scoutNoises+1]-t[1])
				w[2] *= t[2] + f*(t[scoutNoises+2]-t[2])
				continue
			}
			for s := range w {
				w[s] *= t[s] + f*(t[ns+s]-t[s])
			}
		}
	}
}

// takeAtFaceValue multiplies by the densities of the scores.
func (g *weighing) takeAtFaceValue(rs []reader, shares, mids, w []float64) {
	for i := range w {
		sigma := g.noise[i%len(g.noise)]
		for n, r := range rs {
			w[i] *= normalPDF((r.score-shares[n]*mids[i/len(g.noise)])/sigma) / sigma
		}
	}
}

// marginals are the weights over ln k and over the plateau.
func (g *weighing) marginals() (rate, plateau []float64) {
	n := g.plateaus()
	rate, plateau = make([]float64, g.rate.n), make([]float64, n)
	for i, v := range g.level {
		rate[i/n%g.rate.n] += v
		plateau[i%n] += v
	}
	return rate, plateau
}

// find lays coarse grids, each on what the one before has left, and a fine one at last.
// Gains are found by turns with the curve.
func (g *weighing) find() {
	p := g.prior
	lo, hi := p.bounds()
	rate, plateau, noise := p.span(scoutRates), ratioEdges(lo, hi, scoutPlateaus), p.noises(scoutNoises)
	g.meet()
	g.left.rate.n = 0
	for n := firstRead; ; n *= moreRead {
		ts := some(g.tastings, n)
		g.weigh(rate, plateau, noise, ts)
		for turn := 0; turn < gainTurns && g.learnGains(ts) > atRest; turn++ {
			if n > firstRead { // they hardly move any more, and the next grid has them
				break
			}
			g.weigh(rate, plateau, noise, ts)
		}
		if n >= len(g.tastings) {
			break
		}
		rate, plateau = g.support(scoutRates, scoutPlateaus)
	}
	rate, plateau = g.support(gridRates, gridPlateaus)
	g.weigh(rate, plateau, p.noises(gridNoises), g.tastings)
	// The cells of the first coarse grid are as wide as tasters differ.
	for turn := 0; turn < gainTurns && g.learnGains(g.tastings) > atRest; turn++ {
		g.weigh(rate, plateau, p.noises(gridNoises), g.tastings)
	}
}

// some is n of the tastings at the most, in equal steps of every taster's.
func some(ts []Tasting, n int) []Tasting {
	if n >= len(ts) {
		return ts
	}
	all := slices.Clone(ts)
	slices.SortStableFunc(all, func(a, b Tasting) int {
		return cmp.Or(cmp.Compare(a.Taster, b.Taster), cmp.Compare(a.Hours, b.Hours))
	})
	out := make([]Tasting, n)
	for i := range out {
		out[i] = all[(2*i+1)*len(all)/(2*n)]
	}
	return out
}

// support is a grid of so many cells where this one has weight.
func (g *weighing) support(rates, plateaus int) (axis, []float64) {
	g.leave()
	rate, plateau := g.marginals()
	first, last := matters(rate)
	whole := g.rate.step * float64(last-first+1)
	fine := axis{g.rate.lo + g.rate.step*float64(first), whole / float64(rates), rates}
	first, last = matters(plateau)
	return fine, closeEdges(g.plateau[first:last+2], plateau[first:last+1], plateaus)
}

// matters is the first and last cell that matters, and one beyond on either side.
func matters(w []float64) (first, last int) {
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

// sum works out the moments that the answers need.
func (g *weighing) sum() {
	g.rows = make([]row, len(g.family.shapes)*g.rate.n)
	var s1, s2, c1, c2 float64
	for i := range g.rows {
		r := &g.rows[i]
		r.lk = g.rate.at(i % g.rate.n)
		for c, w := range g.level[i*g.plateaus():][:g.plateaus()] {
			v := g.mids[c]
			r.m0, r.m1, r.m2 = r.m0+w, r.m1+w*v, r.m2+w*v*v
		}
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
		t, ws := g.above(i), g.level[i*n:][:n]
		for c := n - 1; c >= 0; c-- {
			t[c] = t[c+1] + ws[c]
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
