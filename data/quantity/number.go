package quantity

import (
	"strconv"
	"strings"

	"steepbook/data/pattern"
)

// vulgar holds the fractions that have a character of their own.
var vulgar = map[rune][2]float64{
	'¼': {1, 4}, '½': {1, 2}, '¾': {3, 4}, '⅓': {1, 3}, '⅔': {2, 3}, '⅛': {1, 8}, '⅜': {3, 8},
	'⅝': {5, 8}, '⅞': {7, 8}, '⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5}, '⅙': {1, 6},
	'⅚': {5, 6}, '⅐': {1, 7}, '⅑': {1, 9}, '⅒': {1, 10},
}

var numberWords = map[string]float64{
	"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
	"eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fifteen": 15, "twenty": 20,
	"thirty": 30, "dozen": 12, "couple": 2, "half": 0.5, "third": 1.0 / 3, "quarter": 0.25, "halves": 0.5,
	"thirds": 1.0 / 3, "quarters": 0.25,
}

var (
	wholeAndFraction = pattern.New(`^([0-9]+) +([0-9]+) ?/ ?([0-9]+)`)
	plainFraction    = pattern.New(`^([0-9]+) ?/ ?([0-9]+)`)
	oneCharFraction  = pattern.New(`^([0-9]*) ?([¼½¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒])`)
	decimal          = pattern.New(`^([0-9]+)(?:([.,])([0-9]+))?|^[.,][0-9]+`)
	leadingWord      = pattern.New(`^[a-zA-Z]+`)
	dozens           = pattern.New(`(?i)^ *dozen\b`)
	anotherDigit     = pattern.New(`^ ?[0-9.,/¼½¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒]`)
)

// number reads the number that s begins with and returns what follows it. found
// is false when s begins with none. input and example serve the messages.
func number(s, input, example string) (v float64, rest string, found bool, err *Error) {
	if n := plainNumber(s); n > 0 && !andAHalf().MatchString(s[n:]) && !dozens().MatchString(s[n:]) {
		v, _ := strconv.ParseFloat(s[:n], 64)
		return v, s[n:], true, nil
	}
	v, rest, found, err = firstNumber(s, input, example)
	if m := andAHalf().FindStringSubmatch(rest); m != nil && err == nil && found && v >= 1 {
		more, _, _, _ := firstNumber(m[1], input, example)
		v, rest = v+more, rest[len(m[0]):]
	}
	if m := partOfOne().FindString(rest); m != "" && err == nil && found && v < 1 {
		rest = " " + rest[len(m):]
	}
	if m := dozens().FindString(rest); m != "" && err == nil && found {
		v, rest = 12*v, rest[len(m):]
	}
	if err == nil && found && anotherDigit().MatchString(rest) {
		return 0, "", true, fail(input, example, "%s has two numbers where one is expected", shown(input))
	}
	return v, rest, found, err
}

// plainNumber is the length of a plain number that s begins with, before the end, a
// letter or a space and a letter, and 0 for any other: the usual case, which needs
// no pattern.
func plainNumber(s string) int {
	digits := func(from int) int {
		n := from
		for n < len(s) && '0' <= s[n] && s[n] <= '9' {
			n++
		}
		return n
	}
	n := digits(0)
	if n == 0 || n > 15 {
		return 0
	}
	if n < len(s) && s[n] == '.' {
		m := digits(n + 1)
		if m == n+1 {
			return 0
		}
		n = m
	}
	after := strings.TrimPrefix(s[n:], " ")
	if after == "" || 'a' <= after[0]|0x20 && after[0]|0x20 <= 'z' {
		return n
	}
	return 0
}

func firstNumber(s, input, example string) (v float64, rest string, found bool, err *Error) {
	if m := wholeAndFraction().FindStringSubmatch(s); m != nil {
		v, err := fraction(m[1], m[2], m[3], input, example)
		return v, s[len(m[0]):], true, err
	}
	if m := plainFraction().FindStringSubmatch(s); m != nil {
		v, err := fraction("0", m[1], m[2], input, example)
		return v, s[len(m[0]):], true, err
	}
	if m := oneCharFraction().FindStringSubmatch(s); m != nil {
		whole, _ := strconv.ParseFloat("0"+m[1], 64)
		f := vulgar[[]rune(m[2])[0]]
		return whole + f[0]/f[1], s[len(m[0]):], true, nil
	}
	if m := decimal().FindStringSubmatch(s); m != nil {
		if m[2] == "," && len(m[3]) == 3 && strings.Trim(m[1], "0") != "" {
			example = strings.Replace(tidy(input), m[0], m[1]+m[3], 1)
			return 0, "", true, fail(input, example, "%s can be read in two ways; write %s%s, or %s.%s",
				shown(m[0]), m[1], m[3], m[1], m[3])
		}
		v, perr := strconv.ParseFloat(strings.Replace(m[0], ",", ".", 1), 64)
		if perr != nil {
			return 0, "", true, fail(input, example, "%s is too large a number", shown(m[0]))
		}
		return v, s[len(m[0]):], true, nil
	}
	return wordNumber(s)
}

// wordNumber reads "a", "two", "half a", "a dozen", "three quarters of a", "a couple
// of".
func wordNumber(s string) (v float64, rest string, found bool, err *Error) {
	next := func(s string) (word, after string) {
		s = strings.TrimLeft(s, " ")
		word = leadingWord().FindString(s)
		return strings.ToLower(word), s[len(word):]
	}
	word, rest := next(s)
	if v, found = numberWords[word]; !found {
		return 0, s, false, nil
	}
	for {
		word, after := next(rest)
		second, ok := numberWords[word]
		switch {
		case v < 1 && (word == "a" || word == "an"):
		case ok && (word == "dozen" || word == "couple" || v >= 1 && second < 1):
			v *= second
		case v < 1 && word == "of", word == "of" && v == 2 &&
			strings.EqualFold(leadingWord().FindString(strings.TrimPrefix(s, "a ")), "couple"):
		default:
			return v, rest, true, nil
		}
		rest = after
	}
}

// partOfOne is what stands between a fraction and what it is one of: "1/2 a lemon".
var partOfOne = pattern.New(`(?i)^ *(?:of +)?an? +`)

// andAHalf adds what stands behind a whole number: "1 and a half cups", "1 & 1/2".
var andAHalf = pattern.New(`(?i)^ *(?:and|&) +(a +half|a +quarter|a +third|half|[1-9]/[1-9]|[¼½¾⅓⅔⅛⅜⅝⅞])`)

func fraction(whole, top, bottom, input, example string) (float64, *Error) {
	w, _ := strconv.ParseFloat(whole, 64)
	t, _ := strconv.ParseFloat(top, 64)
	b, _ := strconv.ParseFloat(bottom, 64)
	if b == 0 {
		return 0, fail(input, example, "the fraction %s/%s divides by zero", top, bottom)
	}
	return w + t/b, nil
}

// kitchenFractions are the fractions that measuring spoons and cups come in.
var kitchenFractions = [][2]float64{{1, 2}, {1, 3}, {2, 3}, {1, 4}, {3, 4}, {1, 8}, {3, 8}, {5, 8}, {7, 8}}

// spellNumber prints v so that reading it gives v again, as a kitchen fraction
// where it is exactly one and fractions are wanted.
func spellNumber(v float64, fractions bool) string {
	if fractions && v < 1e6 {
		whole := float64(int64(v))
		for _, f := range kitchenFractions {
			if whole+f[0]/f[1] != v {
				continue
			}
			s := strconv.Itoa(int(f[0])) + "/" + strconv.Itoa(int(f[1]))
			if whole > 0 {
				s = strconv.FormatInt(int64(whole), 10) + " " + s
			}
			return s
		}
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
