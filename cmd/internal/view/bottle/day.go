package bottle

import (
	"fmt"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// ForTheDay says what to do with what has no days where it is to stand.
//
//go:noinline
func ForTheDay(k *keeping.Keep) string {
	return fmt.Sprintf("drink it the day it is mixed, or find a colder %s", k.Advised.Place)
}

// forTheDay is the same as an answer: egg and spirit stand alone first, of anything else why it does not
// keep.
func forTheDay(a *bench.Assessment, style pen.Style) string {
	k := a.Keep
	do := quantity.Capital(first(a)+alone(a)+ForTheDay(k)) + "."
	if k.Alone.IsZero() {
		do = fmt.Sprintf("It does not keep: the %s, at %s, is too warm for it. %s", k.Advised.Place,
			style.Temperature(k.Advised.AtC), do)
	}
	return do
}

// shortCautions is how many letters two cautions may have to stand side by side.
const shortCautions = 130

// firstSentence is a text up to its first full stop.
func firstSentence(s string) string {
	s, _, _ = strings.Cut(s, ". ")
	return strings.TrimSuffix(s, ".") + "."
}

// firstClause is a text up to its first semicolon or full stop.
func firstClause(s string) string {
	s, _, _ = strings.Cut(s, ";")
	s, _, _ = strings.Cut(s, ". ")
	return strings.TrimSuffix(s, ".")
}

// OutBy says by which day what stays in the bottle is out of it, or nothing of it is left.
func OutBy(k *keeping.Keep, day string) string {
	return "take out the " + quantity.And(k.Stay.Names) + ", or drink it up, by " + day
}
