package batch

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"steepbook/data/names"
	"steepbook/data/quantity"
	"steepbook/data/strict"
	"steepbook/data/visible"
)

// tastes lists what can be scored: the botanicals, then the watches, as the
// file names them.
func (b *Batch) tastes() []string {
	all := b.botanicalNames()
	for _, w := range b.Watches {
		all = append(all, w.Name)
	}
	return all
}

// Sweet and Sour can be scored of any batch, as it is sweetened and soured by steps.
const (
	Sweet = "sweet"
	Sour  = "sour"
)

// further lists what can be scored besides: what goes in later, and the sweet and the sour
// of it.
func (b *Batch) further() []string {
	return slices.Concat(b.additionNames(), b.addedNames(), []string{Sweet, Sour})
}

// Holds are the names of all that is in it, or will be.
func (b *Batch) Holds() []string {
	all := slices.Concat(b.botanicalNames(), b.additionNames(), b.addedNames())
	for _, x := range b.Spirits {
		all = append(all, x.Name)
	}
	return all
}

func (b *Batch) botanicalNames() []string {
	var all []string
	for _, h := range b.Botanicals {
		all = append(all, h.Name)
	}
	return all
}

// jarNames are what lies in the jar: the botanicals, and what joined them there.
func (b *Batch) jarNames() []string {
	all := b.botanicalNames()
	for _, a := range b.Additions {
		if a.In != nil {
			all = append(all, a.Name)
		}
	}
	return all
}

// addedNames are what was logged as it went in.
func (b *Batch) addedNames() []string {
	var all []string
	for _, x := range b.Additives {
		all = append(all, x.Name)
	}
	return all
}

func (b *Batch) additionNames() []string {
	var all []string
	for _, a := range b.Additions {
		all = append(all, a.Name)
	}
	return all
}

// Adding finds the addition that was meant, as Taste does; what is none stays as it was
// typed, for more may go in than was planned. The error is one sentence: it can be two of
// them, or is a slip away from one.
func (b *Batch) Adding(typed string) (string, error) {
	known := b.additionNames()
	found := names.Pick(typed, names.Within, known)
	near, slip := strict.Nearest(tidy(typed), known)
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return "", names.Between(shown(typed), found)
	case slip:
		return "", &strict.Error{Problem: fmt.Sprintf("%q is no addition of this batch; did you mean %q?",
			shown(typed), near)}
	}
	return tidy(typed), nil
}

// Taste finds the botanical or watch that was meant by a name typed in a hurry, as
// [names.Pick] does; else an addition, sweet or sour. The error is one sentence with the
// nearest names.
func (b *Batch) Taste(typed string) (declared string, err error) {
	return meant(typed, "botanical or watch", b.tastes(), b.further())
}

// Steeping finds the botanical that was meant, as Taste does.
func (b *Batch) Steeping(typed string) (declared string, err error) {
	for _, w := range b.Watches {
		if len(names.Pick(typed, names.Same, []string{w.Name})) > 0 {
			return "", &strict.Error{Problem: fmt.Sprintf("%q is a watch, a taste; only a botanical can be "+
				"pulled", w.Name)}
		}
	}
	return meant(typed, "botanical", b.jarNames(), b.addedNames())
}

// meant is the one name that was typed. The names to offer are those of the first list.
func meant(typed, what string, lists ...[]string) (string, error) {
	switch found := names.Pick(typed, names.Begun, lists...); len(found) {
	case 0:
		problem, _ := unknownName(typed, lists[0], what)
		return "", &strict.Error{Problem: problem}
	case 1:
		return found[0], nil
	default:
		return "", names.Between(shown(typed), found)
	}
}

// declared finds a name as a file may write it.
func declared(name string, lists ...[]string) (string, bool) {
	found := names.Pick(name, names.Same, lists...)
	if len(found) != 1 {
		return "", false
	}
	return found[0], true
}

// unknownName words a name that the file does not declare. near is the one name
// that was most likely meant, or "".
func unknownName(name string, known []string, what string) (problem, near string) {
	problem = fmt.Sprintf("%q is no %s of this batch", shown(name), what)
	if near, ok := strict.Nearest(name, known); ok {
		return fmt.Sprintf("%s; did you mean %q?", problem, near), near
	}
	within := names.Pick(name, names.Within, known)
	for _, k := range known {
		if len(names.Pick(k, names.Within, []string{name})) > 0 {
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
