package bench

import (
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"steepbook/kinetics"
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

// Glasses is how many glasses one trial has.
func (d Design) Glasses() int {
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
	s := &Sheet{Design: d, Seed: seed, PerSitting: kinetics.Gentle.Sitting().Samples / d.Glasses()}
	r := rand.New(rand.NewPCG(seed, 0x5eed))
	orders := d.orders(r, trials)
	codes := r.Perm(900)[:trials*d.Glasses()]
	for i, second := range orders {
		t := Trial{Second: second, Odd: -1}
		for _, c := range codes[i*d.Glasses() : (i+1)*d.Glasses()] {
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
	halves := [2][][]bool{{{true, false, false}, {false, true, false}, {false, false, true}}, {{false, true, true}, {true, false, true}, {true, true, false}}}
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

// Add notes what in a drink lingers: what burns or numbs.
func (s *Sheet) Add(a *Assessment) {
	for i := range a.parts.botanicals {
		h := &a.parts.botanicals[i]
		if h.known != nil && (h.known.Fierce || h.known.Class == "heat") && !slices.Contains(s.CarryOver, h.entry.Name) {
			s.CarryOver = append(s.CarryOver, h.entry.Name)
		}
	}
}

// Forced is a forced-choice test: what so many trials can show, and what a
// count is worth.
type Forced struct {
	Design Design
	Trials int
	// Count is the number of right answers of a triangle, or of answers for one
	// of the two drinks of a pair.
	Count int
	// Needed is the least count that shows a difference at the 5 % level (for a
	// pair: of the drink named more often), 0 where even all would not.
	Needed int
	// Luck is the chance of such a count or a more telling one when the two
	// drinks are alike.
	Luck float64
	// Shown80 is the share of sips (0-1) with a noticed difference that so many
	// trials find four times in five, 0 where none is found so often.
	Shown80 float64
	// Enough is the number of trials that find one noticed in half of the sips so
	// often.
	Enough int
}

// The level and the power of a blind tasting, as sensory standards use them.
const (
	blindLevel = 0.05
	blindPower = 0.8
)

// ForcedTest judges a count by the exact binomial. A pair is asked without an
// expectation of which is stronger, so either side counts. It is an error when
// the numbers cannot be.
func ForcedTest(d Design, trials, count int) (Forced, error) {
	f := Forced{Design: d, Trials: trials, Count: count}
	test := kinetics.Triangle
	if d == Pair {
		test = kinetics.PairedEither
	}
	var err error
	if f.Enough, err = test.Trials(blindLevel, 0.5, blindPower); err != nil {
		return f, err
	}
	if f.Luck, err = test.PValue(trials, count); err != nil {
		return f, err
	}
	needed, ok, err := test.Critical(trials, blindLevel)
	if err != nil || !ok {
		return f, err
	}
	f.Needed = needed
	f.Shown80, err = shareFound(test, trials)
	return f, err
}

// shareFound is the share of sips that reach the power wanted, 0 where not even
// all do. The power rises with the share, so halving finds it.
func shareFound(test kinetics.Comparison, trials int) (float64, error) {
	low, high := 0.0, 1.0
	if p, err := test.Power(trials, blindLevel, high); err != nil || p < blindPower {
		return 0, err
	}
	for high-low > 1e-4 {
		mid := (low + high) / 2
		p, err := test.Power(trials, blindLevel, mid)
		if err != nil {
			return 0, err
		}
		if p < blindPower {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}

// Agreeing is the count of the answer given more often, for a pair; the right
// answers of a triangle.
func (f Forced) Agreeing() int {
	if f.Design == Pair {
		return max(f.Count, f.Trials-f.Count)
	}
	return f.Count
}

// Differs reports whether the count shows a difference at the 5 % level.
func (f Forced) Differs() bool { return f.Needed > 0 && f.Agreeing() >= f.Needed }
