package kinetics_test

import (
	"fmt"
	"math"

	"steepbook/kinetics"
)

// Fit my readings: four tastings of one botanical whose rate is usually 0.05 per
// hour, known to a factor of two. When is it at 6?
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
	// strong enough at about 34 h, hardly before 23 h; never: 8 %
}

// What two batches that came slower than usual say of the next.
func ExampleLearn() {
	slow := kinetics.Batch{Tastings: []kinetics.Tasting{
		{Hours: 24, Score: 2}, {Hours: 72, Score: 4.5}, {Hours: 168, Score: 7},
	}}
	prior := kinetics.Usual(0.05, 2)
	got, err := kinetics.Learn(prior, 0, []kinetics.Batch{slow, slow})
	if err != nil {
		fmt.Println(err)
		return
	}
	next := got.Prior(0)
	fmt.Printf("rate %.3f per hour instead of %.3f; %.1f of the doubt about it is gone\n",
		math.Exp(next.LogRate.Mean), math.Exp(prior.LogRate.Mean), got.OwnRate)
	// Output:
	// rate 0.014 per hour instead of 0.050; 0.9 of the doubt about it is gone
}
