package batch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

// BottledBy are the moments by an hour at which bottles were filled, the first first.
func (b *Batch) BottledBy(nowH float64) (all []*Stage) {
	add := func(s *Stage) {
		if by(s.Hours, nowH) && !slices.ContainsFunc(all, func(x *Stage) bool { return x.Hours == s.Hours }) {
			all = append(all, s)
		}
	}
	for i := range b.Bottlings {
		add(&Stage{b.Bottlings[i].Hours, b.Bottlings[i].When, KindBottled})
	}
	if f := b.Finish.Bottled; f != nil && len(b.Bottlings) == 0 {
		add(f)
	}
	inTime(all)
	return all
}

// FullSlack is the share by which a bottle may be off its label and is full. Judgement.
const FullSlack = 0.02

// measuredML is how much there was of what something had joined last, nil: of what nothing had, as it was
// measured in bottling. What was over then is what the next bottles are filled of, and what is measured
// then is what there was besides those that were filled before. 0: not known, for the last were filled when
// nothing measured was over.
func (b *Batch) measuredML(joined *Added) (sum float64) {
	left, over, known := 0.0, false, false
	for _, at := range b.BottledBy(math.Inf(1)) { // what has one moment has one volume
		read, hold, counted, some := 0.0, 0.0, true, false
		for i := range b.Bottlings {
			x := &b.Bottlings[i]
			if x.Hours != at.Hours || x.From > 0 || !b.holds(x, joined) {
				continue
			}
			if some = true; x.Volume != nil {
				read += *millilitres(x.Volume)
			}
			if of := b.sizeOf(x); of == nil || x.Bottles == 0 {
				counted = false
			} else {
				hold += float64(x.Bottles) * *millilitres(of)
			}
		}
		if !counted { // they took all of it, for all that is known
			hold = max(read, left)
		}
		switch {
		case !some:
		case read > 0:
			sum, left = sum+read-left, max(read-hold, 0)
			over, known = left > FullSlack*hold, true
		case over:
			left -= hold
		case !counted:
			return 0
		default:
			sum, known = sum+hold, false
		}
	}
	if !known {
		return 0
	}
	return sum
}

// holds reports whether bottles were filled of what that had joined last, nil: of what nothing had.
func (b *Batch) holds(x *Bottling, joined *Added) bool {
	of := b.filledOf(x)
	return of == nil && joined == nil || of != nil && joined != nil && of.With(joined)
}

// sizeOf is the size of the bottles that were filled, nil where nobody said it.
//
//go:noinline
func (b *Batch) sizeOf(x *Bottling) *quantity.Amount { return cmp.Or(x.Of, b.Finish.Bottle) }

// ParseBottlings reads how many bottles of which sizes were filled at a moment, "5 x 250 ml" or
// "3 x 500 ml, 2 x 250 ml"; volume is all of it as measured, "" where nobody did. The error is
// one sentence.
func ParseBottlings(text, volume, at string) (all NewEach[NewBottling], err error) {
	for _, one := range eachSize(text) {
		n, of, err := bottlesOf(one)
		if err != nil {
			return nil, err
		}
		all = append(all, NewBottling{Bottles: n, Of: of, At: at})
	}
	all[len(all)-1].Volume = volume
	return all, nil
}

var moreBottles = pattern.New(`(?i)\d+ ?(?:x|×|\*|bottles? of) ?\d`)

// eachSize parts "3 x 500 ml 2 x 250 ml" into what it says of each size.
func eachSize(text string) (all []string) {
	text = strings.Join(strings.Fields(text), " ")
	from := 0
	for i, at := range moreBottles().FindAllStringIndex(text, -1) {
		if i > 0 {
			all = append(all, text[from:at[0]])
			from = at[0]
		}
	}
	for i := range all {
		all[i] = strings.TrimRight(strings.TrimSuffix(strings.TrimRight(all[i], " ,+"), " and"), " ,+")
	}
	return append(all, text[from:])
}

// timesSize is a whole number of bottles, and behind a sign or a space their size: "1,5" is none.
var timesSize = pattern.New(`^(\d+)(?: ?(?:x|×|\*|of|bottles?(?: of)?) ?| |$)(.*)$`)

// bottlesOf reads "5 x 250 ml", "5 250ml", "5 bottles", "one", "a dozen bottles", "250 ml".
func bottlesOf(text string) (n int, of string, err error) {
	s := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if s == "" {
		return 0, "", nil
	}
	if found := timesSize().FindStringSubmatch(s); found != nil {
		n, err = strconv.Atoi(found[1])
		size := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(found[2], " bottles"), " each"))
		if one, other := twoSizes(size); other != "" {
			return 0, "", fmt.Errorf("%q is two sizes; say how many of each: %d x %s, 1 x %s", size, n, one, other)
		}
		if err == nil && n > 0 && (size == "" || isSize(size)) {
			return n, size, nil
		}
		if n > 0 && isNumber(strings.Replace(size, ",", ".", 1)) {
			return 0, "", fmt.Errorf("the %s of %q has no unit; write %d x %s~ml", size, text, n, size)
		}
	}
	counted, err := quantity.ParseAmount(strings.TrimSuffix(strings.TrimSuffix(s, "s"), " bottle"))
	if n := math.Round(counted.Low); err == nil && counted.Kind == quantity.Count && counted.Noun == "" &&
		counted.Low == n && counted.High == n && n > 0 {
		return int(n), "", nil
	}
	if one, other := twoSizes(s); other != "" {
		return 0, "", fmt.Errorf("%q is two sizes; say how many of each: 1 x %s, 1 x %s", text, one, other)
	}
	if isSize(s) {
		return 0, s, nil
	}
	return 0, "", fmt.Errorf("%q is no number of bottles of a size; write 5 x 250~ml", text)
}

// isSize reports whether a text is the size of a bottle.
func isSize(text string) bool {
	a, err := quantity.ParseAmount(text)
	if err != nil {
		return false
	}
	_, _, _, ok := a.Millilitres()
	return ok || a.Kind == quantity.Ounce // which the file asks about
}

// twoSizes are the two sizes that a text gives one behind the other, "375 ml 4 fl oz", which as an amount is
// their sum; empty where it is one.
func twoSizes(text string) (one, other string) {
	words := strings.Fields(text)
	for i := 1; i < len(words); i++ {
		one = strings.TrimRight(strings.TrimSuffix(strings.Join(words[:i], " "), " and"), " ,+&")
		if other = strings.Join(words[i:], " "); isSize(one) && isSize(other) {
			return one, other
		}
	}
	return "", ""
}
