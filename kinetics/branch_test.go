package kinetics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// contrary are batches whose scores follow no curve, in which a shape may have several hills.
func contrary(seed uint64) (bs []Batch) {
	r := rand.New(rand.NewPCG(seed, 7))
	for range 1 + r.IntN(8) {
		b, h := Batch{DoseGPerL: []float64{0, 5, 20, 40}[r.IntN(4)]}, 0.0
		for range 1 + r.IntN(5) {
			h += math.Exp(r.NormFloat64() + 2)
			b.Tastings = append(b.Tastings, Tasting{Hours: h, Score: math.Round(20*r.Float64()) / 2})
		}
		bs = append(bs, b)
	}
	return bs
}

// TestNoShapeIsLostOnOneHill: what is left behind by the chance of the hill that was climbed alone has
// hardly a weight by that of many points. With a fiftieth as the least it had 2.5 %.
func TestNoShapeIsLostOnOneHill(t *testing.T) {
	const seeds = 24
	lost := 0.0
	for seed := range uint64(seeds) {
		h := Usual(0.05, 2).hyper()
		var climbed, laid [mostShapes]float64
		for i, s := range families[h.course]().shapes {
			if s.rise == nil {
				continue
			}
			b := &branch{learner: &learner{h: h, shape: i}}
			b.read(contrary(seed))
			b.climbed()
			climbed[i] = s.weight * math.Exp(b.chance+100)
			for range 3 {
				b.laid = b.lay(b.proposal, 1024)
				b.proposal = b.proposal.refit(&b.laid)
			}
			laid[i] = s.weight * math.Exp(b.laid.chance+100)
		}
		var by, of float64
		for i := range laid {
			by, of = by+climbed[i], of+laid[i]
		}
		for i := range laid {
			if climbed[i] < leastClimbed*by {
				lost += laid[i] / of / seeds
			}
		}
	}
	if lost > 0.01 {
		t.Errorf("%.3f of the weight is lost", lost)
	}
}
