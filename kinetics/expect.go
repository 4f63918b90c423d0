package kinetics

import "math"

// Miss is the expected square of how far the strength will be from a wanted one
// after so many hours, in points² of a neat sample; what is beyond most counts as most.
//
// What is over the target at the time since is not believed to fade back to it:
// from then on its highest strength counts. since is +Inf where nothing is to be
// guarded.
func (p *Posterior) Miss(target, most, hours, since float64) float64 {
	b := p.sharesAt(hours)
	defer scratch.Put(b)
	g := *b
	sum := 0.0
	for i := range p.rows {
		sum += p.rows[i].miss(target, g[i])
	}
	if hours > since {
		sum += p.guard(target, g, logHours(since))
	}
	over, square := p.excess(most, g)
	return max(sum-square-2*(most-target)*over, 0)
}

// miss is the square of the miss of a row of which the share g is out, times its
// weight.
func (r *row) miss(target, g float64) float64 {
	return g*g*r.m2 - 2*g*target*r.m1 + target*target*r.m0
}

// guard is what the misses of shapes that fall lack, where they were higher at
// the time since: plateaus that were over the target then stay. It raises their
// shares to what they were.
func (p *Posterior) guard(target float64, g []float64, since float64) float64 {
	sum := 0.0
	for h := range p.family.shapes {
		if math.IsInf(p.family.shapes[h].peak, 1) {
			continue
		}
		for k := range p.rate.n {
			i := h*p.rate.n + k
			r := &p.rows[i]
			if before := p.share(h, r.lk+since); before > g[i] && r.m0 > 1e-8 {
				sum += p.guarded(i, target, g[i], before) - r.miss(target, g[i])
				g[i] = before
			}
		}
	}
	return sum
}

// guarded is the miss of a row that falls from one share to another: plateaus
// that were over the target stay.
func (p *Posterior) guarded(row int, target, g, before float64) float64 {
	sum := 0.0
	t := p.above(row)
	for c := range p.plateaus() {
		w, v := t[c]-t[c+1], p.mid(c)
		d := g*v - target
		if before*v > target {
			d = before*v - target
		}
		sum += w * d * d
	}
	return sum
}

// Short is the expected square of how far the strength will be after so many hours from nearly
// all there is to get (80 % of the plateau), in points²; a plateau beyond most counts as most.
func (p *Posterior) Short(most float64) func(hours float64) float64 {
	square := make([]float64, len(p.rows)) // of the plateaus, by their weight
	for i := range square {
		over, squared := p.beyond(i, 1, most)
		square[i] = p.rows[i].m2 - squared - 2*most*over
	}
	return func(hours float64) float64 {
		b := p.sharesAt(hours)
		defer scratch.Put(b)
		sum := 0.0
		for i, g := range *b {
			sum += (g - NearlyAll) * (g - NearlyAll) * square[i]
		}
		return max(sum, 0)
	}
}

// NearlyAll is the share of the plateau beyond which a taster will not notice
// the rest: one step of 20 %.
const NearlyAll = 0.8

// Excess is what the strength is above a limit after so many hours: its mean, in
// points of a neat sample, and its mean square; what is beyond most counts as most.
func (p *Posterior) Excess(limit, most, hours float64) (mean, square float64) {
	b := p.sharesAt(hours)
	defer scratch.Put(b)
	over, squared := p.excess(limit, *b)
	beyond, much := p.excess(most, *b)
	return max(over-beyond, 0), max(squared-much-2*(most-limit)*beyond, 0)
}

// excess is what the strength is above a limit where such shares are out: its mean
// and its mean square.
func (p *Posterior) excess(limit float64, shares []float64) (mean, square float64) {
	for i, g := range shares {
		if g*p.rows[i].top > limit {
			over, squared := p.beyond(i, g, limit)
			mean, square = mean+over, square+squared
		}
	}
	return mean, square
}

// beyond is the excess of a row of which the share g is out.
func (p *Posterior) beyond(row int, g, limit float64) (mean, square float64) {
	t, edges := p.above(row), p.plateau[:p.plateaus()+1]
	for c := p.rows[row].last; c >= 0; c-- {
		w, lo, hi := t[c]-t[c+1], g*edges[c]-limit, g*edges[c+1]-limit
		switch {
		case hi <= 0:
			return mean, square
		case lo < 0: // the limit lies within the cell
			w *= hi / (hi - lo)
			lo = 0
		}
		mean += w * (lo + hi) / 2
		square += w * (lo*lo + lo*hi + hi*hi) / 3
	}
	return mean, square
}

// Draws are equally likely jars drawn from a posterior by a fixed rule.
type Draws struct {
	post    *Posterior
	lk, c   []float64
	shape   []int
	noise   []int
	chances [][]float64 // by noise level
}

// WholeScores is how many scores in whole points there are, 0 to 10.
const WholeScores = int(topScore) + 1

// Draws takes as many jars as are Drawn, spread within their cells by a fixed rule.
func (p *Posterior) Draws() *Draws {
	n := len(p.drawn)
	room, which := make([]float64, 2*n), make([]int, 2*n)
	d := &Draws{post: p, lk: room[:n], c: room[n:], shape: which[:n], noise: which[n:]}
	for _, s := range p.noise {
		d.chances = append(d.chances, wholeTable(s))
	}
	for m, cell := range p.drawn {
		golden, silver := fraction(float64(m)*0.6180339887), fraction(float64(m)*0.4142135624)
		at, s := int(cell)/len(p.noise), int(cell)%len(p.noise)
		row, c := at/p.plateaus(), at%p.plateaus()
		d.lk[m] = p.rate.at(row%p.rate.n) + (golden-0.5)*p.rate.step
		d.c[m] = p.plateau[c] + silver*(p.plateau[c+1]-p.plateau[c])
		d.shape[m], d.noise[m] = row/p.rate.n, s
	}
	return d
}

func fraction(x float64) float64 { return x - math.Floor(x) }

// N is how many there are.
func (d *Draws) N() int { return len(d.c) }

// Plateau is the plateau of jar i.
func (d *Draws) Plateau(i int) float64 { return d.c[i] }

// At sets into[i] to the strength of jar i after so many hours.
func (d *Draws) At(hours float64, into []float64) {
	lt := logHours(hours)
	if math.IsInf(lt, -1) {
		clear(into)
		return
	}
	early, rest, f := d.post.prior.Early, 1-d.post.prior.Early, d.post.family
	n, from := len(f.shapes), (lt-shapeLow)/shapeStep
	for i, c := range d.c {
		h, u := d.shape[i], d.lk[i]*(1/shapeStep)+from
		if !(u > 0 && u < shapeN-1) {
			into[i] = c * (early + rest*f.at(h, d.lk[i]+lt))
			continue
		}
		j := int(u) // as f.at does, a call less
		t := f.table[j*n+h:][:n+1]
		into[i] = c * (early + rest*(t[0]+(u-float64(j))*(t[n]-t[0])))
	}
}

// Readings sets into[WholeScores·i+r] to the chance that jar i, with strength[i]
// times part in the sample, is scored r on whole points 0 to 10.
func (d *Draws) Readings(strength []float64, part float64, into []float64) {
	for i, s := range strength {
		u := min(max(s*part/latentStep, 0), lastLatent)
		j := int(u)
		f := u - float64(j)
		t := d.chances[d.noise[i]][WholeScores*j:][:2*WholeScores]
		row := into[WholeScores*i:][:WholeScores]
		for r := range row {
			row[r] = t[r] + f*(t[WholeScores+r]-t[r])
		}
	}
}

// wholeTables keeps wholeTable by the noise.
var wholeTables = memo[float64, []float64]{most: 100}

// wholeTable is readingTable for scores in whole points: those of one latent
// strength side by side. Where one score ends the next begins.
func wholeTable(sigma float64) []float64 {
	return wholeTables.of(sigma, func() []float64 {
		const last = WholeScores - 2 // a 10 is "10 or more"
		t := make([]float64, WholeScores*latentN)
		upTo := chancesUpTo(float64(last)+0.5, sigma, latentN+last*perPoint)
		for i := range latentN {
			below := 0.0
			for r := range WholeScores {
				to := 1.0
				if r <= last {
					to = upTo[i+(last-r)*perPoint]
				}
				t[WholeScores*i+r] = to - below
				below = to
			}
		}
		return t
	})
}
