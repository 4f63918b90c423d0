// Package kinetics turns a few noisy tastings into the course of one flavour in
// the jar: how fast it comes, how strong it gets, when to pull, when to taste
// next, and what past batches say about the next one.
//
// # Model
//
// One flavour of one botanical follows
//
//	score(t) = C·(1 − (1−f)·exp(−k·t)) + e
//
// with the plateau C (a score, 0 to 10), the rate k (1/h), the share f that is
// washed off at once (usually zero) and the noise e of one score, normal with
// standard deviation σ. The plateau enters linearly, so it is integrated out in
// closed form; log k, log σ and f lie on a grid. There is no optimiser, no start
// and no failure to converge: every answer is a weighted sum over the grid.
//
// # Units
//
// Times are hours and rates 1/h in names and documents. The mathematics knows
// no unit: any one unit of time, used throughout, gives answers in that unit.
// Scores are points on a scale from 0 (absent) to 10 (nothing else). Logarithms
// are natural. An open end is +Inf; no method returns NaN for finite input.
//
// The package knows nothing of files, clocks or names of botanicals.
package kinetics
