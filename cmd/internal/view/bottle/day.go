package bottle

import (
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// ForTheDay says what to do with what has no days where it is to stand.
func ForTheDay(k *keeping.Keep) string {
	return fmt.Sprintf("drink it the day it is mixed, or find a colder %s", k.Advised.Place)
}

// forTheDay is the same as an answer: egg and spirit stand alone first, of anything else why it does not
// keep.
func forTheDay(a *bench.Assessment, style pen.Style) string {
	k := a.Keep
	do := quantity.Capital(first(a)+Alone(a)+ForTheDay(k)) + "."
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

// OutBy says by which day what stays in the bottle is out of it, or nothing of it is left, a sentence of what may
// lie in it no longer and of what gets too strong; day says a day.
func OutBy(k *keeping.Keep, now time.Time, day func(time.Time) string) (said []string) {
	if len(k.Late) > 0 {
		said = append(said, "take out the "+quantity.And(k.Late)+" now")
	}
	for _, out := range k.Outs {
		said = append(said, "take out the "+quantity.And(out.Names)+", or drink it up, by "+day(out.By))
	}
	return append(said, tooLong(k, now, day)...)
}

// tooLong is that of what gets too strong.
func tooLong(k *keeping.Keep, now time.Time, day func(time.Time) string) (said []string) {
	for _, out := range k.TooStrong.Outs {
		said = append(said, tooStrong(out, now, day))
	}
	return said
}

func tooStrong(of keeping.Out, now time.Time, day func(time.Time) string) string {
	out := "take out the " + quantity.And(of.Names)
	if !now.After(of.By) {
		return out + " by " + day(of.By) + ", then likely too strong"
	}
	return out + ": likely too strong since " + day(of.By)
}

// countDays is how many midnights lie between two moments, or where none does how many hours.
func countDays(later, sooner time.Time) string {
	if midnights(later, sooner) == 0 {
		return quantity.Counted(int(math.Ceil(later.Sub(sooner).Hours())), "hour", "hours")
	}
	return quantity.Counted(midnights(later, sooner), "day", "days")
}

func midnights(later, sooner time.Time) int {
	day := func(t time.Time) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, time.UTC)
	}
	return int(math.Round(day(later).Sub(day(sooner)).Hours() / 24))
}

// left says how few days there are to a date, where they are few: of any days the first is that on which they
// begin, so of those that are left it is today.
func left(until, now time.Time) string {
	switch n := midnights(until, now) + 1; {
	case n == 1 && until.Format("15:04") < "23:59": // too little was left for all of that day
		return " (until " + until.Format("15:04~") + " today)"
	case n == 1:
		return " (today)"
	case n > 1 && n <= 7:
		return fmt.Sprintf(" (%d days left with today)", n)
	}
	return ""
}

// daysRun says from when its days run where that is its jar, or how many of them were used up before they do.
func daysRun(a *bench.Assessment) string {
	before := "the last of it went in"
	switch k := a.Keep; k.Since {
	case keeping.FromStraining:
		before = "it was strained"
	case keeping.FromBottling:
		before = "it was bottled"
	}
	if used, all := a.Keep.Used(); used > 0 && a.FromStart() == "" {
		return fmt.Sprintf("%.0f of its %.0f days were used up before %s", used, all, before)
	}
	return a.FromStart()
}
