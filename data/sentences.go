package data

import (
	"fmt"
	"math"
	"strings"
)

// Sentence is a row of a table of what is said to a maker: of what kind it is, its
// words, in which {} stands for a figure or a name, and where it is from.
type Sentence struct{ Kind, Text, Source string }

// Sentences are the rows of the table of that name, by their keys.
func Sentences(name string) Keyed[Sentence] {
	return ByKey(name, func(r Row) Sentence {
		return Sentence{r.Text("kind"), r.Text("text"),
			r.Text("source")}
	})
}

// Keyed is what the rows of a table say, by the column "key".
type Keyed[T any] map[string]T

// ByKey reads the table of that name in the folder tables.
func ByKey[T any](name string, read func(Row) T) Keyed[T] {
	out := Keyed[T]{}
	for _, r := range Rows(name) {
		out[r.Text("key")] = read(r)
	}
	return out
}

// At is what stands at a key. One that is not there is a fault of ours and panics.
func (k Keyed[T]) At(key string) T {
	v, ok := k[key]
	if !ok {
		panic(fmt.Sprintf("no row has the key %q", key))
	}
	return v
}

// With is the text with what stands in the places of {}, numbers without decimals.
func (s Sentence) With(parts ...any) string {
	var b strings.Builder
	for i, text := range strings.Split(s.Text, "{}") {
		if i > 0 {
			if v, ok := parts[i-1].(float64); ok {
				fmt.Fprintf(&b, "%.0f", math.Round(v)+0) // -0 + 0 is 0
			} else {
				fmt.Fprint(&b, parts[i-1])
			}
		}
		b.WriteString(text)
	}
	return b.String()
}
