package quantity

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// And joins names as a sentence does: "a, b and c".
// Inlined at its calls it made the program larger.
//
//go:noinline
func And(names []string) string { return joined(names, " and ") }

// The is And with an article before it, which what is named as the maker's own has in its name: "the clove and
// mint", "my garden chili".
func The(names []string) string {
	text := And(names)
	if len(names) > 0 && strings.HasPrefix(strings.ToLower(text), "my ") {
		return text
	}
	return "the " + text
}

// Or joins names, each in quotation marks: "a", "b" or "c".
func Or(names []string) string { return joined(Quoted(names), " or ") }

// Quoted puts each name in quotation marks.
func Quoted(names []string) []string {
	q := make([]string, len(names))
	for i, n := range names {
		q[i] = fmt.Sprintf("%q", n)
	}
	return q
}

// Those are the items of a list that are wanted, in a list of their own.
func Those[T any](list []T, wanted func(*T) bool) (out []T) {
	for i := range list {
		if wanted(&list[i]) {
			out = append(out, list[i])
		}
	}
	return out
}

func joined(names []string, last string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + last + names[len(names)-1]
}

// Counted is a number of things: "1 batch", "3 batches".
// Inlined at its calls it made the program larger.
//
//go:noinline
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Verb is the form of a verb that goes with so many things.
func Verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// Sentence makes one of a clause: a capital in front, a full stop behind it unless it asks.
func Sentence(clause string) string {
	if clause = strings.TrimRight(clause, "."); !strings.HasSuffix(clause, "?") {
		clause += "."
	}
	return Capital(clause)
}

// Capital begins a sentence: its first letter is a capital, whatever its alphabet.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// About begins a sentence with what it is about, unless it names it: "Honey is not for infants".
func About(name, sentence string) string {
	words := strings.FieldsFunc(strings.ToLower(sentence), func(r rune) bool { return !unicode.IsLetter(r) })
	for _, word := range strings.Fields(strings.ToLower(name)) {
		if word != "and" && slices.Contains(words, word) {
			return sentence
		}
	}
	if name == "" || sentence == "" {
		return sentence
	}
	first, size := utf8.DecodeRuneInString(sentence)
	return name + ": " + string(unicode.ToLower(first)) + sentence[size:]
}
