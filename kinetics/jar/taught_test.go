package jar

import (
	"math"
	"math/rand/v2"
	"testing"

	"steepbook/kinetics"
)

// The more jars that went the same way, the nearer the best time told of the next one
// comes to the true one: what they teach of rate, end and shape fits together, also
// where the library is wrong about all three, and where no shape of the family is the
// true one. Held in points of the strength at the time told, to the half point that no
// taster could tell.
func TestTheNextJarComesToTheTruth(t *testing.T) {
	makers := 12
	if *long {
		makers = 60
	}
	r := rand.New(rand.NewPCG(7, 7))
	var last, first float64
	for m := range makers {
		rise := []func(x float64) float64{firstOrder, weibull(uniform(r, 0.5, 0.8)), weibull(uniform(r, 1.5, 2.5)),
			twoSpeed(uniform(r, 0.15, 0.3), 1e3, 1)}[m%4]
		c := simCurve{rate: 0.03 * math.Exp(uniform(r, -1.2, 1.2)), plateau: uniform(r, 6, 10), shape: rise}
		target := math.Round(c.plateau * uniform(r, 0.45, 0.7))
		best := 0.0
		for ; c.at(best) < target; best += 0.1 {
		}
		var one kinetics.Batch
		for _, part := range []float64{0.06, 0.15, 0.3, 0.5, 0.8, 1.1} {
			one.Tastings = append(one.Tastings, kinetics.Tasting{Hours: part * best, Score: math.Round(10*c.at(part*best)) / 10})
		}
		library := kinetics.Usual(0.03, 1.9)
		library.Early = 0.08
		off := func(n int) float64 {
			teachers := make([]kinetics.Batch, n)
			for i := range teachers {
				teachers[i] = one
			}
			learned, err := kinetics.Learn(library, 0, teachers)
			if err != nil {
				t.Fatal(err)
			}
			next := plain("next", 0.03, 1.9, target)
			next.Prior = learned.Prior(0)
			reading, err := Jar{Flavours: []Flavour{next}}.At(0)
			if err != nil {
				t.Fatal(err)
			}
			return math.Abs(c.at(reading.Orders[0].BestH) - target)
		}
		few, many := off(1), off(6)
		first, last = first+few/float64(makers), last+many/float64(makers)
		t.Logf("maker %d, right at %.1f h: off by %.2f points after one jar, %.2f after six", m, best, few, many)
		if many > 0.5 {
			t.Errorf("maker %d: after six jars alike the time told is %.2f points off, after one %.2f", m, many, few)
		}
	}
	t.Logf("on the whole %.2f points, then %.2f", first, last)
	if last > first/2 {
		t.Errorf("off by %.2f points after one jar, by %.2f after six", first, last)
	}
}
