// Package leastsq fits y = C(1 − exp(−k t)) to readings by plain least squares,
// without a belief: what a spreadsheet gives. Use it to compare with published
// fits and for many exact readings; for a few tastings use a Posterior of package
// kinetics, which cannot mislead where these cannot tell.
//
// Flat places of the sum of squares do not fool it: the plateau C is eliminated
// (variable projection), and the one remaining equation, the score in log k, is
// solved as a root. It needs no start. Intervals are of the profile. The checks
// are the certified values in the tests.
//
// References:
//
//	[1] Golub, G. H., Pereyra, V. (1973). The differentiation of pseudo-inverses
//	    and nonlinear least squares problems whose variables separate.
//	    SIAM J. Numer. Anal. 10, 413-432.
//	[2] Bates, D. M., Watts, D. G. (1988). Nonlinear Regression Analysis and
//	    Its Applications. Wiley.
package leastsq
