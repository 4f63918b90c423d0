// Package kinetics turns a few noisy tastings into the course of one flavour in
// the jar: how fast it comes, how strong it gets, and what past batches say of
// the next. When to pull it, among others, is decided in package jar.
//
// A flavour rises from nothing to its plateau C, a score, at the rate k:
//
//	strength(t) = C·(f + (1−f)·shape(k·t)),   score = strength + noise
//
// The shapes are first order, 1 − exp(−x), and some that start slower, end
// slower, or are lost again; f, 0 to 0.8, is washed off at once. A Prior
// says what is believed before anyone has tasted; its Posterior is what is
// believed after: shape, ln k, C and noise lie on a grid, and every answer is a
// weighted sum over it. There is no optimiser, no start and no failure to
// converge. Learn makes the Prior of the next jar from those before.
//
// Times are hours and rates 1/h in names; the mathematics knows no unit, and any
// one, used throughout, gives answers in it. Scores are points from 0 (absent) to
// 10 (nothing else). Logarithms are natural. An open end is +Inf; no method
// returns NaN for finite input. The package knows no files, clocks or names.
package kinetics
