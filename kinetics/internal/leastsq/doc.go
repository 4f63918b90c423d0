// Package leastsq fits curves by least squares without being fooled by flat
// places of the sum of squares.
//
// Two solvers are offered. [FirstOrder] fits y = C(1 − exp(−k t)) by variable
// projection: the plateau C is eliminated, and the one remaining equation, the
// score in log k, is solved as a root. It needs no start. [Solve] is a careful
// Levenberg-Marquardt method for everything with more parameters; [Scan] finds
// it a start when the model is linear in all but one or two of them.
//
// References:
//
//	[1] Golub, G. H., Pereyra, V. (1973). The differentiation of pseudo-inverses
//	    and nonlinear least squares problems whose variables separate.
//	    SIAM J. Numer. Anal. 10, 413-432.
//	[2] Moré, J. J. (1978). The Levenberg-Marquardt algorithm: implementation
//	    and theory. Lecture Notes in Mathematics 630, 105-116.
//	[3] Nielsen, H. B. (1999). Damping parameter in Marquardt's method.
//	    Report IMM-REP-1999-05, Technical University of Denmark.
//	[4] Bates, D. M., Watts, D. G. (1988). Nonlinear Regression Analysis and
//	    Its Applications. Wiley.
//
// The references are given for orientation; the checks are the certified values
// in the tests.
package leastsq
