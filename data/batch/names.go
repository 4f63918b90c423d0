package batch

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"steepbook/data/quantity"
	"steepbook/data/strict"
	"steepbook/data/visible"
)

// tastes lists what can be scored: the botanicals, then the watches, as the
// file names them.
func (b *Batch) tastes() []string {
	names := b.botanicalNames()
	for _, w := range b.Watches {
		names = append(names, w.Name)
	}
	return names
}

// Sweet and Sour can be scored of any batch, as it is sweetened and soured by steps.
const (
	Sweet = "sweet"
	Sour  = "sour"
)

// further lists what can be scored besides: what goes in later, and the sweet and the sour
// of it.
func (b *Batch) further() []string {
	names := b.additionNames()
	for _, x := range b.Additives {
		names = append(names, x.Name)
	}
	return append(names, Sweet, Sour)
}

func (b *Batch) botanicalNames() []string {
	var names []string
	for _, h := range b.Botanicals {
		names = append(names, h.Name)
	}
	return names
}

func (b *Batch) additionNames() []string {
	var names []string
	for _, a := range b.Additions {
		names = append(names, a.Name)
	}
	return names
}

// Adding finds the addition that was meant, as Taste does; what is none stays as it was
// typed, for more may go in than was planned. The error is one sentence: it can be two of
// them, or is a slip away from one.
func (b *Batch) Adding(typed string) (string, error) {
	known := b.additionNames()
	_, exact := declared(typed, known)
	near, slip := strict.Nearest(tidy(typed), known)
	switch {
	case !exact && slip && len(within(typed, known)) == 0:
		return "", &strict.Error{Problem: fmt.Sprintf("%q is no addition of this batch; did you mean %q?",
			shown(typed), near)}
	case !exact && len(within(typed, known)) == 0:
		return tidy(typed), nil
	}
	return meant(typed, known, "addition")
}

// Taste finds the botanical or watch that was meant by a name typed in a
// hurry: the name in any capitals, or words that only one name contains, as
// "zest" for "blood orange zest"; else an addition, sweet or sour. The error is one
// sentence with the nearest names.
func (b *Batch) Taste(typed string) (declared string, err error) {
	name, err := meant(typed, b.tastes(), "botanical or watch")
	if err == nil {
		return name, nil
	}
	if name, errs := meant(typed, b.further(), ""); errs == nil {
		return name, nil
	}
	return "", err
}

// Steeping finds the botanical that was meant, as Taste does.
func (b *Batch) Steeping(typed string) (declared string, err error) {
	for _, w := range b.Watches {
		if strings.EqualFold(strings.TrimSpace(typed), w.Name) {
			return "", &strict.Error{Problem: fmt.Sprintf("%q is a watch, a taste; only a botanical can be "+
				"pulled", w.Name)}
		}
	}
	return meant(typed, b.botanicalNames(), "botanical")
}

func meant(typed string, known []string, what string) (string, error) {
	if name, ok := declared(typed, known); ok {
		return name, nil
	}
	switch list := within(typed, known); len(list) {
	case 0:
	case 1:
		return list[0], nil
	default:
		return "", &strict.Error{Problem: fmt.Sprintf("%q can be %s; write one of them in full", shown(typed),
			quantity.Or(list))}
	}
	problem, _ := unknownName(typed, known, what)
	return "", &strict.Error{Problem: problem}
}

// within are the names that hold all words of what was typed.
func within(typed string, known []string) (list []string) {
	for _, k := range known {
		if containsWords(k, typed) {
			list = append(list, k)
		}
	}
	return list
}

// declared finds a name in any capitals.
func declared(name string, known []string) (string, bool) {
	name = tidy(name)
	i := slices.IndexFunc(known, func(k string) bool { return strings.EqualFold(k, name) })
	if i < 0 {
		return "", false
	}
	return known[i], true
}

// unknownName words a name that the file does not declare. near is the one name
// that was most likely meant, or "".
func unknownName(name string, known []string, what string) (problem, near string) {
	problem = fmt.Sprintf("%q is no %s of this batch", shown(name), what)
	if near, ok := strict.Nearest(name, known); ok {
		return fmt.Sprintf("%s; did you mean %q?", problem, near), near
	}
	var within []string
	for _, k := range known {
		if containsWords(k, name) || containsWords(name, k) {
			within = append(within, k)
		}
	}
	switch {
	case len(known) == 0:
		return problem + ", which has none yet; declare it in [[botanical]] or [[watch]]", ""
	case len(within) == 1:
		return fmt.Sprintf("%s; did you mean %q?", problem, within[0]), within[0]
	case len(within) > 0:
		return fmt.Sprintf("%s; did you mean %s?", problem, quantity.Or(within)), ""
	case len(known) <= 8:
		return fmt.Sprintf("%s; there are %s", problem, quantity.And(quantity.Quoted(known))), ""
	}
	return problem + "; declare it in [[botanical]] or [[watch]]", ""
}

// containsWords reports whether every word of part is a word of whole.
func containsWords(whole, part string) bool {
	words := strings.Fields(strings.ToLower(whole))
	parts := strings.Fields(strings.ToLower(part))
	for _, p := range parts {
		if !slices.Contains(words, p) {
			return false
		}
	}
	return len(parts) > 0
}

// tidy takes needless spaces out of a name, which no eye would see.
func tidy(name string) string {
	return strings.Join(strings.FieldsFunc(name,
		func(r rune) bool { return r == ' ' || r == '\u00a0' || r == '\t' }), " ")
}

// longestName is more than any name needs and less than a label can bear.
const longestName = 120

// nameProblem says what is wrong with a name as a name, or "".
func nameProblem(name string) string {
	switch {
	case len([]rune(name)) > longestName:
		return fmt.Sprintf("a name has at most %d letters; put the rest into a remark after #", longestName)
	case strings.ContainsFunc(name, unicode.IsControl):
		return "a name cannot hold a line break or another control character"
	case visible.Text(name) != name:
		return "a name cannot hold characters that are not seen, such as a mark that turns the reading; type it anew"
	}
	return ""
}

// shown cuts a word of the maker to the length of a glance.
func shown(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
