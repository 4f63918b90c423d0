package library

import (
	"fmt"
	"strings"
)

// NotFoundError says that a name is not in the library.
type NotFoundError struct {
	Name string
	Kind string // "botanical", "ingredient", "spirit" or "cut of <botanical>"

	// near is what may have been meant, elsewhere the kind under which the very name is
	// known, if it is: "ingredient" for demerara sugar looked up as a botanical. To find
	// them takes milliseconds, so that they are sought only when they are wanted. nil: nothing.
	near      func() []hint
	elsewhere func() string
}

// Nearest is what may have been meant, the likeliest first; it may be empty.
func (e *NotFoundError) Nearest() []string {
	if e.near == nil {
		return nil
	}
	return hintNames(e.near())
}

// Asked asks whether one of them was meant, and says of a poison that it is one; it may be
// empty.
func (e *NotFoundError) Asked() string {
	if e.near == nil {
		return ""
	}
	return asked(e.near())
}

// these are names known without a search.
func these(names ...string) func() []hint {
	return func() (hs []hint) {
		for _, n := range names {
			hs = append(hs, hint{name: n})
		}
		return hs
	}
}

// Error is one sentence.
func (e *NotFoundError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q is not %s", e.Name, withArticle(e.Kind))
	if !strings.HasPrefix(e.Kind, "cut of") {
		b.WriteString(" the library knows")
	}
	elsewhere := ""
	if e.elsewhere != nil {
		elsewhere = e.elsewhere()
	}
	if elsewhere != "" {
		fmt.Fprintf(&b, "; it is %s", withArticle(elsewhere))
	} else if asked := e.Asked(); asked != "" {
		b.WriteString("; " + asked)
	}
	return b.String()
}

// ForbiddenError says that a botanical must not be steeped.
type ForbiddenError struct {
	Name string
	Why  string
}

// Error is one sentence.
func (e *ForbiddenError) Error() string {
	return fmt.Sprintf("%s must not be steeped: %s", e.Name, e.Why)
}

// noWeightError says that the library has no weight for a measure or a piece.
type noWeightError struct {
	Name   string // "clove, whole"
	Amount string // as written
	Table  string // "botanical" or "ingredient"
	Entry  string // name to write in the library file
	Cut    string // cut to write there; "" for an ingredient
	Unit   string
	Noun   string
	Of     string
	Known  []string // measures that are known, for instance "1 tbsp", "1 piece"
}

// Error is one sentence with a right example.
func (e *noWeightError) Error() string {
	known := ""
	if len(e.Known) > 0 {
		known = " (known: " + strings.Join(e.Known, ", ") + ")"
	}
	return fmt.Sprintf("no weight is known for %q of %s%s: "+
		"weigh it, or add it to your library.toml like this, a line each: %s",
		e.Amount, e.Name, known, strings.ReplaceAll(strings.TrimSpace(e.Example()), "\n", " | "))
}

// Example is what to write into the maker's library file, as TOML.
func (e *noWeightError) Example() string {
	var b strings.Builder
	fmt.Fprintf(&b, "[[%s]]\nname = %q\n", e.Table, e.Entry)
	if e.Cut != "" {
		fmt.Fprintf(&b, "[[%s.cut]]\nname = %q\n", e.Table, e.Cut)
	}
	fmt.Fprintf(&b, "measures = [{ unit = %q", e.Unit)
	if e.Noun != "" {
		fmt.Fprintf(&b, ", noun = %q", e.Noun)
	}
	if e.Of != "" {
		fmt.Fprintf(&b, ", of = %q", e.Of)
	}
	b.WriteString(", g = 2.5 }]\n")
	return b.String()
}

// OunceError says that "oz" may be a weight or a volume.
type OunceError struct {
	Name   string
	Amount string
	Number string // the number of ounces as text
}

// Error is one sentence with both right examples.
func (e *OunceError) Error() string {
	return fmt.Sprintf("%q of %s may be a weight or a volume: write %q for the volume or %q for the weight",
		e.Amount, e.Name, e.Number+" fl oz", e.Number+" oz wt")
}

func withArticle(s string) string {
	if s == "" {
		return s
	}
	if strings.ContainsRune("aeiou", rune(s[0])) {
		return "an " + s
	}
	return "a " + s
}
