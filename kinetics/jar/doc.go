// Package jar decides what to do with the flavours of one jar: several wanted
// ones, each with its own clock, and the unwanted tastes that may come with
// them.
//
// The decision is made once, by expected loss in points² of the bottle:
//
//	L(t) = E (S(t) − target)² + Σ p(source) E (over² + overPrice·over),  over = max(0, W(t) − limit)
//
// with the strength S of the flavour and W of every unwanted taste at the time t
// it comes out. V(t') is the same after one more tasting at t': the mean, over
// the scores that may be found, of the least L that is then left. A tasting
// costs SittingCost, coming back at all comingBack, and each day until then
// dayPrice. So a flavour is pulled now if neither waiting nor tasting
// again is worth it, left untasted until its best time if no tasting is, and
// tasted at the best t' otherwise. Before the first tasting nothing is pulled.
//
// A Jar holds what is known; At reads its scores and gives one Order for every
// flavour and unwanted taste. An Order is a value of this package alone: what
// others print, they read from it.
//
// Times are hours since the start of the jar, scores 0 to 10.
package jar
