package panel

import (
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
)

// Design is how two drinks are compared without knowing which is which.
type Design string

// The designs.
const (
	// Triangle: three glasses, two of them alike; which is the odd one?
	// (ISO 4120)
	Triangle Design = "triangle"
	// Pair: one glass of each; which has more of what is asked? (ISO 5495)
	Pair Design = "pair"
)

// glasses is how many glasses one trial has.
func (d Design) glasses() int {
	if d == Pair {
		return 2
	}
	return 3
}

// The numbers of trials a sheet is made for.
const (
	FewestTrials = 3
	MostTrials   = 100
)

// Sheet is a blind tasting: the glasses of each trial, left to right.
type Sheet struct {
	Design Design
	Seed   uint64
	Trials []Trial
	// A sitting holds so many trials before the palate tires.
	PerSitting int
	// CarryOver names what lingers in either drink and spoils the next sip.
	CarryOver []string
}

// Trial is one question. Codes are the three-digit numbers on the glasses,
// Second says which of them hold the second drink, and Odd is the index of the
// odd one (-1 for a pair).
type Trial struct {
	Codes  []int
	Second []bool
	Odd    int
}

// SheetSeed makes the seed from what is compared, so that the same order is
// printed again; the names' order does not count.
func SheetSeed(d Design, trials int, names ...string) uint64 {
	names = slices.Clone(names)
	slices.Sort(names)
	h := fnv.New64a()
	h.Write([]byte(strings.Join(append([]string{string(d), strconv.Itoa(trials)}, names...), "\x00")))
	return h.Sum64()
}

// NewSheet makes a sheet for FewestTrials to MostTrials trials. The orders of
// the glasses are used equally often, as near as the number allows, in an order
// that only the seed knows.
func NewSheet(d Design, trials int, seed uint64) *Sheet {
	trials = min(max(trials, FewestTrials), MostTrials)
	s := &Sheet{Design: d, Seed: seed, PerSitting: Gentle.Sitting().Samples / d.glasses()}
	r := rand.New(rand.NewPCG(seed, 0x5eed))
	orders := d.orders(r, trials)
	codes := r.Perm(900)[:trials*d.glasses()]
	for i, second := range orders {
		t := Trial{Second: second, Odd: -1}
		for _, c := range codes[i*d.glasses() : (i+1)*d.glasses()] {
			t.Codes = append(t.Codes, 100+c)
		}
		if d == Triangle {
			t.Odd = odd(second)
		}
		s.Trials = append(s.Trials, t)
	}
	return s
}

// orders draws the glasses of each trial. Within every block of all orders each
// comes once; a last block that is not full takes from the two halves (first
// drink odd or first, second drink odd or first) in turn.
func (d Design) orders(r *rand.Rand, trials int) [][]bool {
	halves := [2][][]bool{
		{{true, false, false}, {false, true, false}, {false, false, true}},
		{{false, true, true}, {true, false, true}, {true, true, false}},
	}
	if d == Pair {
		halves = [2][][]bool{{{false, true}}, {{true, false}}}
	}
	block := 2 * len(halves[0])
	var out [][]bool
	for len(out) < trials {
		var next [][]bool
		first := r.IntN(2)
		p, q := r.Perm(block/2), r.Perm(block/2)
		for i := range block / 2 {
			pair := [2][]bool{halves[first][p[i]], halves[1-first][q[i]]}
			next = append(next, pair[0], pair[1])
		}
		next = next[:min(block, trials-len(out))]
		r.Shuffle(len(next), func(i, j int) { next[i], next[j] = next[j], next[i] })
		out = append(out, next...)
	}
	return out
}

func odd(second []bool) int {
	n := 0
	for _, s := range second {
		if s {
			n++
		}
	}
	return slices.Index(second, n == 1)
}

// Add notes what lingers in one of the drinks.
func (s *Sheet) Add(lingering []string) {
	for _, name := range lingering {
		if !slices.Contains(s.CarryOver, name) {
			s.CarryOver = append(s.CarryOver, name)
		}
	}
}
