package names

import (
	"fmt"
	"slices"
	"strings"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// How says how closely a name has to be typed, each way looser than the one before it.
type How int

// The ways to name a thing that has a name.
const (
	Written How = iota // as it is written, in any capitals
	Same               // the same words: accents, plurals and their order aside
	Within             // words of the name, as "zest" for "orange zest"
	Begun              // beginnings of its words, as "card" for "green cardamom"
)

// leastBegun is how many letters begin a word: with fewer a slip would be a name.
const leastBegun = 3

// Pick finds which of some names was typed: of the ways up to the loosest allowed the
// first that finds any decides, in the first of the lists that has one.
func Pick(typed string, loosest How, lists ...[]string) (found []string) {
	written, ws := spaced(typed), []string(nil)
	for how := Written; how <= loosest; how++ {
		if how == Same {
			ws = Words(typed)
		}
		for _, known := range lists {
			for _, name := range known {
				if how.means(name, written, ws) && !slices.Contains(found, name) {
					found = append(found, name)
				}
			}
			if len(found) > 0 {
				return found
			}
		}
	}
	return nil
}

// spaced is a name with one space between any two of its words.
func spaced(name string) string {
	for i := range len(name) {
		if c := name[i]; c <= ' ' && (c != ' ' || i == 0 || i == len(name)-1 || name[i-1] == ' ') || c > '~' {
			return strings.Join(strings.Fields(name), " ")
		}
	}
	return name
}

// means reports whether a name was typed so: as written, spaced, of these words.
func (h How) means(name, written string, ws []string) bool {
	if h == Written {
		return strings.EqualFold(spaced(name), written)
	}
	if len(ws) == 0 {
		return false
	}
	of := Words(name)
	if h == Same {
		return Key(of) == Key(ws)
	}
	for _, w := range ws {
		if !slices.ContainsFunc(of, func(o string) bool {
			return o == w || h == Begun && len(w) >= leastBegun && strings.HasPrefix(o, w)
		}) {
			return false
		}
	}
	return true
}

// Between asks which of the names that Pick found is meant.
func Between(typed string, found []string) error {
	return &strict.Error{Problem: fmt.Sprintf("%q can be %s; write one of them in full", typed,
		quantity.Or(found))}
}
