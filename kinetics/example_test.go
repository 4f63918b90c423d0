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
