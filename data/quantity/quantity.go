// Package quantity reads and prints amounts, temperatures, durations, strengths
// and mixing ratios as they are written at the bench: "1 1/2 tbsp", "8-10
// pieces", "zest of 3", "68 F", "2 d 4 h", "114 proof".
//
// Units without a prefix are US customary measures with their exact legal size;
// imperial and metric kitchen measures carry theirs ("imp pint", "metric cup").
// Measures without an official size (dash, drop, pinch, splash, handful) keep
// their name and convert to nothing, and a bare "oz" stays undecided between
// weight and volume until someone knows what is measured.
//
// Every function that reads returns an *Error with one sentence for the person
// who wrote the text, and an example that would be right.
package quantity

import (
	"fmt"
	"strings"
)

// System is how amounts are printed.
type System int

// The systems of units for printing.
const (
	Metric System = iota
	US            // US customary measures, clocks of twelve hours
)

// Kind is what an amount measures.
type Kind int

// The kinds of amounts.
const (
	Mass   Kind = iota + 1
	Volume      // also dash, drop, pinch, splash and handful, which have no fixed size
	Count       // pieces
	Ounce       // "oz": weight or fluid, undecided
)

// Error is a text that could not be read as a quantity.
type Error struct {
	Input   string // the text
	Problem string // what is wrong with it
	Example string // a text that would be right; may be empty
	// Example is any right text, not the corrected Input: whoever knows the use may have a better
	// one
	General bool
}

// Error is one sentence with the problem and the example.
func (e *Error) Error() string {
	if e.Example == "" {
		return e.Problem
	}
	mark := ";"
	if strings.HasSuffix(e.Problem, "?") {
		mark = ""
	}
	return fmt.Sprintf("%s%s e.g. %q", e.Problem, mark, e.Example)
}

func fail(input, example, format string, args ...any) *Error {
	general := false
	switch example {
	case amountExample, temperatureExample, durationExample, abvExample, ratioExample, "8-10 pieces",
		"3 pieces", "1-2 pieces", "570 g", "250 ml":
		general = true
	}
	return &Error{Input: input, Problem: fmt.Sprintf(format, args...), Example: example, General: general}
}

// shown puts a word of the user into a message: in quotation marks, without
// control characters, and never longer than a glance.
func shown(s string) string {
	const most = 40
	r := []rune(strings.ToValidUTF8(s, "\uFFFD"))
	if len(r) > most {
		r = append(r[:most-1], '…')
	}
	return fmt.Sprintf("%q", string(r))
}

// tidied makes the many spaces, dashes and minus signs of word processors plain, and the
// figures and letters that are as wide as an ideograph.
var tidied = strings.NewReplacer(append(wide(),
	"\u00a0", " ", "\u2007", " ", "\u2009", " ", "\u200a", " ", "\u202f", " ", "\t", " ", "\u200b", "",
	"\u2212", "-", "\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-", "\u2014", "-",
	"\u2044", "/", "\u2215", "/", "º", "°", "\u3000", " ")...)

// wide are the full-width forms of what ASCII shows, each with its own (U+FF01 to U+FF5E).
func wide() (pairs []string) {
	for r := '!'; r <= '~'; r++ {
		pairs = append(pairs, string(r-'!'+'\uff01'), string(r))
	}
	return pairs
}

// Narrow is a text in the letters and figures that everything is read in.
func Narrow(s string) string { return tidied.Replace(s) }

func tidy(s string) string { return strings.TrimSpace(tidied.Replace(s)) }
