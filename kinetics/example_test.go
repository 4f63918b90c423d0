package kinetics_test

import (
	"fmt"
	"math"

	"steepbook/kinetics"
)

// Four tastings of one botanical whose rate is usually 0.05 per hour, known to a
// factor of three.
func ExamplePrior_Posterior() {
	prior := kinetics.Prior{
		LogRate:  kinetics.Normal{Mean: math.Log(0.05), SD: math.Log(3)},
		Plateau:  kinetics.DefaultPlateau(),
		LogNoise: kinetics.DefaultNoise(),
	}
	post, err := prior.Posterior([]kinetics.Tasting{
		{Hours: 4, Score: 1}, {Hours: 10, Score: 3}, {Hours: 24, Score: 5}, {Hours: 48, Score: 7},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	w := post.Pull(kinetics.Aim{Score: 6})
	fmt.Printf("taste from %.0f h, expect %.0f h; never strong enough: %.0f %%\n", w.From, w.Best, 100*w.Never)
	fmt.Println(post.State().Reason())
	// Output:
	// taste from 26 h, expect 35 h; never strong enough: 7 %
	// The tastings agree well enough to name a date for this jar.
}

func ExampleFitFirstOrder() {
	// Biochemical oxygen demand, Bates and Watts (1988), A1.4.
	f, err := kinetics.FitFirstOrder([]float64{1, 2, 3, 4, 5, 7}, []float64{8.3, 10.3, 19, 16, 15.6, 19.8}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	lo, hi := f.RateInterval(0.95)
	fmt.Printf("plateau %.3f, rate %.4f (%.3f to %.3f)\n", f.Plateau, f.Rate, lo, hi)
	// Output: plateau 19.143, rate 0.5311 (0.131 to 1.808)
}
