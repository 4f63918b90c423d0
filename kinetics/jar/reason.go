package jar

import "math"

// reason is why a flavour comes out now whose own strength ends its steep, by what is
// believed of it; night says that what is better than now lies in the night.
func (d *decider) reason(i int, o *Order, night bool) Why {
	f, b := &d.Flavours[i], &d.Wanted[i]
	own, half := max(d.now-f.InH, 0), math.Sqrt(untold)
	is := b.Factor * b.Mean(own)
	switch {
	case d.over(i, d.now, o.Overdue):
		return Over
	case f.Target > 0 && is >= asWanted*f.Target:
		return Enough
	case night:
		return Sleep
	case b.chanceOfMore(own, half) <= hardlyMore:
		return AllThere
	case f.Target > 0 && !o.Short() && b.Factor*b.Mean(max(d.now, o.BestH)-f.InH) < asWanted*f.Target:
		return Passes // at its best it is short still, so what it could come to is too much
	}
	return Little
}

// over reports whether a flavour that is clearly worse at a moment than it was is so by its own strength.
// Inlined at its calls it made the program larger.
//
//go:noinline
func (d *decider) over(i int, at float64, worse bool) bool {
	f, b := &d.Flavours[i], &d.Wanted[i]
	return worse && f.Target > 0 && b.Factor*b.Mean(max(at-f.InH, 0)) > f.Target
}

// asWanted is the share of the strength wanted from which on it is said to be there: less
// is missing then than the fifth that a taster notices. Judgement.
const asWanted = 0.85

// hardlyMore is the chance of half a point more up to which a flavour is said to be as
// strong as it gets. Judgement.
const hardlyMore = 0.25

// chanceOfMore is the chance that a flavour that has steeped so long will ever be stronger
// in the bottle by more than some points.
func (b *Belief) chanceOfMore(own, points float64) float64 {
	const steps = 12 // to fifteen times as long, and in the end
	draws := b.Draws()
	n := draws.N()
	now, later, most := make([]float64, n), make([]float64, n), make([]float64, n)
	draws.At(own, now)
	ahead := []float64{math.Inf(1)}
	for k := range steps {
		ahead = append(ahead, max(own, minute)*math.Pow(1.25, float64(k+1)))
	}
	for _, t := range ahead {
		draws.At(t, later)
		for i, v := range later {
			most[i] = max(most[i], v)
		}
	}
	more := 0
	for i := range most {
		if b.Factor*(most[i]-now[i]) > points {
			more++
		}
	}
	return float64(more) / float64(n)
}
