package kinetics_test

import (
	"fmt"

	"steepbook/kinetics"
)

// Four tastings of one botanical whose rate is usually 0.05 per hour, known to a
// factor of two.
func ExamplePrior_Posterior() {
	post, err := kinetics.Usual(0.05, 2).Posterior([]kinetics.Tasting{
		{Hours: 4, Score: 1}, {Hours: 10, Score: 3}, {Hours: 24, Score: 5}, {Hours: 48, Score: 7},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	w := post.TimeToScore(6)
	fmt.Printf("strong enough at about %.0f h, hardly before %.0f h; never: %.0f %%\n", w.Median, w.P05, 100*w.Never)
	// Output:
	// strong enough at about 34 h, hardly before 22 h; never: 8 %
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
