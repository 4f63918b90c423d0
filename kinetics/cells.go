package kinetics

import (
	"math"
	"slices"
)

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

// cells sets w, [plateau][noise], to the weights at a shape and rate and the plateaus
// from one to another, but for scale and 2^lift. Where the scores contradict each
// other their product would underflow: it is lifted on the way, to the exponent
// returned.
func (g *weighing) cells(h, k, from, to int, w []float64) (exponent int) {
	const step = 500
	ns, row, mids := len(g.noise), h*g.rate.n+k, g.mids[from:to]
	shares := g.shares[row*len(g.readers):][:len(g.readers)]
	start := weights{g.before[(row*g.plateaus()+from)%len(g.before):][:len(mids)], g.beforeNoise, g.shape[h]}
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
			*w = [gridNoises]float64{before * v[0], before * v[1], before * v[2], before * v[3],
				before * v[4]}
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
