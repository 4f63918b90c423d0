package data

import (
	"fmt"
	"strings"
)

// Sentence is a row of a table of what is said to a maker: of what kind it is, its
// words, in which {} stands for a figure or a name, and where it is from.
type Sentence struct{ Kind, Text, Source string }

// Sentences are the rows of the table of that name in the folder tables, by their keys.
func Sentences(name string) map[string]Sentence {
	out := map[string]Sentence{}
	for _, r := range Rows(name) {
		out[r.Text("key")] = Sentence{r.Text("kind"), r.Text("text"), r.Text("source")}
	}
	return out
}

// With is the text with what stands in the places of {}, numbers without decimals.
func (s Sentence) With(parts ...any) string {
	var b strings.Builder
	for i, text := range strings.Split(s.Text, "{}") {
		if i > 0 {
			if v, ok := parts[i-1].(float64); ok {
				fmt.Fprintf(&b, "%.0f", v)
			} else {
				fmt.Fprint(&b, parts[i-1])
			}
		}
		b.WriteString(text)
	}
	return b.String()
}
