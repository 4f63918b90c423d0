package view

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"

	"steepbook/cmd/internal/keeping"
	"steepbook/data/batch"
	"steepbook/data/names"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// acted reports whether a shell may act on a sign outside of quotation marks.
func acted(r rune) bool {
	return !unicode.In(r, unicode.L, unicode.N, unicode.M) && !strings.ContainsRune("_./:=,@%+-", r)
}

// ShellLine writes arguments as one would type them.
func ShellLine(args []string) string {
	typed := make([]string, len(args))
	for i, a := range args {
		if typed[i] = a; a == "" || strings.ContainsFunc(a, acted) {
			typed[i] = `"` + heldInQuotes().ReplaceAllString(a, `\$0`) + `"`
		}
	}
	return strings.Join(typed, " ")
}

var (
	// heldInQuotes is what a shell acts on between quotation marks, and a backslash where it
	// would take it for its own.
	heldInQuotes = pattern.New("[\"`$]|\\\\(?:[\"`$\\\\]|$)")
)

// OneIn is a chance in words.
func OneIn(p float64) string {
	switch {
	case p > 0.9:
		return "almost certain"
	case p > 0.67:
		return "likely"
	case p > 0.4:
		return "1 in 2"
	}
	return fmt.Sprintf("1 in %.0f", math.Round(1/math.Max(p, 0.01)))
}

// OpenOr is v as it is printed, or "open".
func OpenOr(v float64, printed func(float64) string) string {
	if math.IsInf(v, 0) {
		return "open"
	}
	return printed(v)
}

// NotRead says of files that could not be read what is wrong with the first of them, and how
// many more there are.
func NotRead(problems []string) (said []string) {
	const named = 3
	for i, problem := range problems {
		if i == named && len(problems) > named+1 {
			return append(said, fmt.Sprintf("%d more could not be read; steepbook check names them", len(problems)-i))
		}
		said = append(said, "not read: "+problem)
	}
	return said
}

// GoodBy is a day to which something is good, by the one word for what ends it: its taste, or what
// can grow in it.
func GoodBy(taste bool, day string) string {
	if taste {
		return "best by " + day
	}
	return "use by " + day
}

// IfDrunk begins whatever offers a drink, or a day for one, in which something lay too long, that holds what
// nobody knows here, or fat of which nobody said that it came off; "" of any other.
func IfDrunk(k *keeping.Keep) string {
	if len(k.Unknown) == 0 {
		return ifDrunk(k, "")
	}
	return ifDrunk(k, fmt.Sprintf("if the %s may be drunk, ", quantity.And(k.Unknown)))
}

// IfDrunkRow is the same in a row, which has no room for the names of what nobody knows.
func IfDrunkRow(k *keeping.Keep) string { return ifDrunk(k, IfIt(k)) }

func ifDrunk(k *keeping.Keep, unknown string) (said string) {
	if len(k.Late) > 0 {
		said = fmt.Sprintf("take out the %s; ", quantity.And(k.Late))
	}
	if lain := k.Lain(); len(lain) > 0 {
		said += fmt.Sprintf("serve none before its %s %s measured; then ", quantity.And(lain),
			quantity.Verb(len(lain), "is", "are"))
	}
	said += unknown
	if len(k.FatOn) > 0 {
		said += fmt.Sprintf("once the %s %s off, ", quantity.And(k.FatOn),
			quantity.Verb(len(k.FatOn), "is", "are"))
	}
	return said
}

// IfIt is the same in few words, where what nobody knows is named right below.
func IfIt(k *keeping.Keep) string {
	if len(k.Unknown) == 0 {
		return ""
	}
	return "if it may be drunk, "
}

// Done says what an entry of the log is.
var Done = map[string]string{
	batch.KindTasting: "tasted", batch.KindPulled: "pulled", batch.KindStrained: "strained",
	batch.KindAdded: "added", batch.KindBottled: "bottled", batch.KindOpened: "opened",
	batch.KindEmptied: "emptied", batch.KindNoted: "noted",
}

// InPlace says that something stands at a place.
func InPlace(place shelf.Place) string {
	switch place {
	case shelf.Cellar, shelf.Room:
		return "in a " + string(place)
	}
	return "in the " + string(place)
}

// Clock is a moment with its day, its figures tied to their units.
func Clock(t time.Time) string { return t.Format("Mon 2~Jan 2006~15:04") }

// Amounted is a thing as its recipe has it, with its cut where it has one and nil for no amount.
func Amounted(name, cut string, amount *quantity.Amount) string {
	if cut != "" && !strings.Contains(strings.ToLower(name), strings.ToLower(cut)) {
		name += ", " + cut
	}
	if amount == nil {
		return name
	}
	return names.Amounted(amount.String(), name)
}
