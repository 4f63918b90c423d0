package scale

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/names"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

// Size is how large a batch is wanted. One of the fields is set.
type Size struct {
	Factor   float64          // so many times the old batch
	VolumeML float64          // of the finished blend
	Bottles  float64          // so many bottles,
	Each     *quantity.Amount // of this size; nil: the batch's own
	Item     string           // so large that there is
	Amount   *quantity.Amount // this much of Item
	Text     string           // as it was typed
}

var (
	byFactor  = pattern.New(`(?i)^[x×*]\s*([0-9].*)$|^([0-9][0-9./ ]*)\s*[x×*]$`)
	byBottles = pattern.New(`(?i)^(.*[0-9¼½¾⅓⅔])\s*bottles?(?:\s+of\s+(.+))?$`)
)

const examples = `write a volume ("3~l"), a factor ("x2"), a number of bottles ("12 bottles"), ` +
	`or how much there is of one thing ("plum=1.4~kg")`

// The factors that make sense: beyond them the amounts leave what can be
// weighed in a kitchen, or a unit was mistaken.
const (
	leastFactor = 0.001
	mostFactor  = 1000
)

// ParseSize reads a wanted size: "3 l", "x2", "12 bottles", "12 bottles of 250
// ml", "plum=1.4 kg", by the units of the batch. The error is one sentence for whoever
// typed it.
func ParseSize(text string, system quantity.System) (Size, error) {
	s := Size{Text: strings.TrimSpace(text)}
	if s.Text == "" {
		return s, errors.New(examples)
	}
	if i := strings.LastIndex(s.Text, "="); i >= 0 {
		s.Item = strings.TrimSpace(s.Text[:i])
		a, err := quantity.ParseIn(s.Text[i+1:], system)
		if err != nil {
			return s, err
		}
		if s.Item == "" {
			return s, fmt.Errorf("%q names nothing; %s", s.Text, examples)
		}
		s.Amount = &a
		return s, nil
	}
	if m := byFactor().FindStringSubmatch(s.Text); m != nil {
		n, ok := plainNumber(m[1] + m[2])
		if !ok {
			return s, fmt.Errorf(`%q is no factor; write "x2", "x1.5" or "x 1/2"`, s.Text)
		}
		s.Factor = n
		return s, within(n, s.Text)
	}
	if m := byBottles().FindStringSubmatch(s.Text); m != nil {
		n, ok := plainNumber(m[1])
		if !ok {
			return s, fmt.Errorf(`%q is no number of bottles; write "12 bottles"`, s.Text)
		}
		s.Bottles = n
		if m[2] == "" {
			return s, nil
		}
		each, err := ParseBottle(m[2], system)
		s.Each = &each
		return s, err
	}
	return s.volume(system)
}

// volume reads a size that is one volume, and refuses all else.
func (s Size) volume(system quantity.System) (Size, error) {
	a, err := quantity.ParseIn(s.Text, system)
	var wrong *quantity.Error
	if errors.As(err, &wrong) {
		return s, fmt.Errorf("%s; %s", strings.TrimSuffix(wrong.Problem, "?"), examples)
	}
	a = a.AsFluid() // a batch is measured by volume, and so is a bottle
	_, ml, _, isVolume := a.Millilitres()
	switch {
	case isVolume && (a.Low == a.High || a.Either() != ""):
		s.VolumeML = ml
		return s, nil
	case isVolume:
		return s, fmt.Errorf("%q is a range; write one volume", s.Text)
	case a.Kind == quantity.Count && a.Noun == "":
		n := quantity.FormatNumber(a.Mid())
		return s, fmt.Errorf(`%q can be read in two ways; write "x%s" for %s times the batch, `+
			`or "%s l" for so many litres of it`, s.Text, n, n, n)
	case a.Kind == quantity.Mass:
		return s, fmt.Errorf("%q is a weight, and a batch is measured by volume; %s", s.Text, examples)
	}
	return s, fmt.Errorf("%q is no size of a batch; %s", s.Text, examples)
}

// ParseBottle reads the size of a bottle. The error is one sentence.
func ParseBottle(text string, system quantity.System) (quantity.Amount, error) {
	a, err := quantity.ParseIn(text, system)
	if err != nil {
		return a, err
	}
	a = a.AsFluid()
	if _, _, _, ok := a.Millilitres(); !ok || a.Low != a.High && a.Either() == "" {
		return a, fmt.Errorf(`%q is no size of a bottle; write a volume, such as "250~ml"`, a.Text)
	}
	return a, nil
}

// plainNumber reads a number or fraction that stands alone.
func plainNumber(text string) (float64, bool) {
	a, err := quantity.ParseAmount(strings.TrimSpace(text))
	if err != nil || a.Kind != quantity.Count || a.Noun != "" || a.Of != "" || a.Low != a.High {
		return 0, false
	}
	return a.Low, true
}

func within(factor float64, text string) error {
	switch {
	case !(factor >= leastFactor):
		return fmt.Errorf("%q makes the batch less than a thousandth; is the unit right?", text)
	case factor > mostFactor:
		return fmt.Errorf("%q makes the batch more than a thousand times larger; is the unit right?", text)
	}
	return nil
}

// factor works out how many times the old batch is wanted.
func (s *Scaled) factor(lines []recipe.Line, q Question) error {
	b, size := s.From.Batch, q.Size
	fail := func(format string, args ...any) error {
		return fmt.Errorf("%s: %s", b.File, fmt.Sprintf(format, args...))
	}
	s.WantedML = size.VolumeML
	switch {
	case size.Factor > 0:
		s.Factor = size.Factor
		return nil
	case size.Item != "":
		f, err := itemFactor(lines, size)
		if err != nil {
			return fail("%s", err)
		}
		s.Factor = f
		return within(f, size.Text)
	case size.Bottles > 0:
		each := q.Bottle
		if each == nil {
			each = b.Finish.Bottle
		}
		if each == nil {
			return fail(`it does not say how large its bottles are; add --bottle "250~ml", ` +
				`or bottle = "250~ml" under [finish]`)
		}
		_, ml, _, _ := each.Millilitres()
		s.WantedML = size.Bottles * ml
	}
	if !s.plan.Blend.Have() {
		return fail(`how much it makes cannot be worked out, so give a factor such as "x2" (%s)`,
			s.plan.Blend.Missing[0])
	}
	s.Factor = s.WantedML / s.plan.Blend.Result.VolumeML.Value
	return within(s.Factor, size.Text)
}

// itemFactor is the factor that makes a batch have so much of one thing.
func itemFactor(lines []recipe.Line, size Size) (float64, error) {
	x, err := meantLine(lines, size.Item)
	if err != nil {
		return 0, err
	}
	if x.Amount == nil {
		return 0, fmt.Errorf("%s has no amount to scale from", x.Name)
	}
	if f, ok := size.Amount.Over(*x.Amount); ok {
		return f, nil
	}
	have, ok1 := x.Grams(*x.Amount)
	want, ok2 := x.Grams(*size.Amount)
	if !ok1 || !ok2 {
		return 0, fmt.Errorf("%q and %q of %s cannot be compared; give it in the same unit", x.Amount.Text,
			size.Amount.Text, x.Name)
	}
	return want.G / have.G, nil
}

// meantLine finds the line that a name typed in a hurry means.
func meantLine(lines []recipe.Line, typed string) (*recipe.Line, error) {
	var known []string
	for i := range lines {
		known = append(known, lines[i].Name)
	}
	switch found := names.Pick(typed, names.Begun, known); {
	case len(found) == 1:
		return &lines[slices.Index(known, found[0])], nil
	case len(known) == 0:
		return nil, errors.New("nothing is in it yet")
	case len(found) > 1:
		return nil, names.Between(typed, found)
	}
	return nil, fmt.Errorf("%q is not in it; there are %s", typed, strings.Join(known, ", "))
}
