package batch

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

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
	isSize := func(text string) bool {
		a, err := quantity.ParseAmount(text)
		if err != nil {
			return false
		}
		_, _, _, ok := a.Millilitres()
		return ok || a.Kind == quantity.Ounce // which the file asks about
	}
	if found := timesSize().FindStringSubmatch(s); found != nil {
		n, err = strconv.Atoi(found[1])
		size := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(found[2], " bottles"), " each"))
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
	if isSize(s) {
		return 0, s, nil
	}
	return 0, "", fmt.Errorf("%q is no number of bottles of a size; write 5 x 250~ml", text)
}
