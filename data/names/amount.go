package names

import (
	"slices"
	"strings"
)

// Amounted is so much of a thing as one says it: "9 g cardamom", "3 walnuts" of walnut, "10 egg yolks" of 10
// yolks, and in brackets what is no amount of the thing itself, "lime zest (zest of 3)", "grapefruit peel
// (1 grapefruit)"; its name alone where the amount is empty.
func Amounted(amount, name string) string {
	in, of := strings.Fields(amount), strings.Fields(name)
	switch {
	case len(in) == 0:
		return name
	case strings.Contains(amount, " of "), strings.HasPrefix(name, in[len(in)-1]+" "):
		return name + " (" + amount + ")"
	}
	n := 0 // the words that both end with
	for n < len(of) && n+1 < len(in) && slices.Equal(Words(of[len(of)-1-n]), Words(in[len(in)-1-n])) {
		n++
	}
	if n == 0 {
		return amount + " " + name
	}
	return strings.Join(slices.Concat(in[:len(in)-n], of[:len(of)-n], in[len(in)-n:]), " ")
}
