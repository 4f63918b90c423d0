package batch

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/template"

	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

//go:embed draft.toml.tmpl
var draftTemplate string

// Draft is a batch that is not written yet, each thing as it was typed. What is empty
// is left out of the file, or stands there as a comment with an example.
type Draft struct {
	Name, Started, Room, Units string
	ID                         string // what it is known by; see NewID
	Spirits                    []DraftSpirit
	Botanicals                 []DraftBotanical
	Watches                    []DraftWatch
	Additions                  []DraftAddition
	Bottle, Store              string
	// Press is "true" or "false": whether the strained solids are squeezed.
	Press string
	Ready string // the day it is to be ready by, as 2026-12-20

	System quantity.System // of the examples
}

// DraftSpirit is what it steeps in; Said: its name says how strong it is.
type DraftSpirit struct {
	Name, ABV, Amount string
	Said              bool
}

// DraftBotanical is what steeps: its cut, amount and wanted strength, and whether it goes in
// tied up.
type DraftBotanical struct {
	Name, Cut, Amount, Target string
	Bag                       bool
}

// DraftWatch is an unwanted taste; From names the botanicals that bring it.
type DraftWatch struct {
	Name, Limit string
	From        []string
}

// DraftAddition is what goes in after straining.
type DraftAddition struct{ Name, Amount string }

// Clone is a draft of its own.
func (d Draft) Clone() Draft {
	d.Spirits, d.Botanicals = slices.Clone(d.Spirits), slices.Clone(d.Botanicals)
	d.Watches, d.Additions = slices.Clone(d.Watches), slices.Clone(d.Additions)
	return d
}

var (
	usMeasure     = pattern.New(`(?i)\d[\d\s/.,½¼¾⅓⅔-]*(?:fl\.?\s*oz|oz|ounces?|cups?|pints?|quarts?|lbs?|pounds?|°?F)\b`)
	metricMeasure = pattern.New(`(?i)\d\s*(?:ml|cl|dl|l|litres?|liters?|g|kg|grams?|°?C)\b`)
)

// Measured takes a batch that does not say its units for a US one when ounces, cups or °F
// are typed before any metric measure, and else for a metric one.
func (d *Draft) Measured(text string) {
	switch {
	case d.Units != "":
	case usMeasure().MatchString(text):
		d.Units, d.System = "us", quantity.US
	case metricMeasure().MatchString(text):
		d.Units = "metric"
	}
}

// AsTyped is Measured by what stands in the draft, in the order of its file.
func (d *Draft) AsTyped() {
	d.Measured(d.Room)
	for _, s := range d.Spirits {
		d.Measured(s.Amount)
	}
	for _, b := range d.Botanicals {
		d.Measured(b.Amount)
	}
	for _, a := range d.Additions {
		d.Measured(a.Amount)
	}
	d.Measured(d.Bottle)
	d.Measured(d.Store)
}

// Text is the batch file: TOML with the comments a newcomer needs.
func (d Draft) Text() ([]byte, error) {
	t, err := template.New("batch").Funcs(template.FuncMap{"q": quoteTOML}).Parse(quantity.Say(draftTemplate,
		d.System))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = t.Execute(&out, d)
	return out.Bytes(), err
}

// quoteTOML writes a basic string; TOML shares JSON's escapes.
func quoteTOML(s string) (string, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		return "", err
	}
	return strings.TrimSuffix(out.String(), "\n"), nil
}

// ParseDraftSpirit reads "grape brandy 57 %: 700 ml"; all but the name may be missing.
func ParseDraftSpirit(text string) DraftSpirit {
	name, amount, _ := parted(text)
	if a, err := quantity.ParseAmount(amount); err == nil && a.Kind == quantity.Count {
		name, amount = text, "" // the 126 of "126 proof rum"
	}
	_, in := quantity.StrengthIn(name)
	return DraftSpirit{Name: name, Amount: amount, Said: in.Said}
}

// Strong sets its strength: "114 proof" or "57 %"; nothing for "".
func (s *DraftSpirit) Strong(text string) error {
	if text == "" {
		return nil
	}
	v, err := quantity.ParseABV(text)
	if err == nil {
		s.ABV = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return err
}

// ParseDraftBotanical reads "blood orange zest, fine zest: 24 g @ 6"; all but the
// name may be missing, and the amount may come first, as in a recipe: "zest of 10 key
// limes @ 6". The error is what the batch file could not even be written with.
func ParseDraftBotanical(text string) (DraftBotanical, error) {
	rest, target, _ := strings.Cut(text, "@")
	name, amount, ok := parted(rest)
	name, cut, _ := strings.Cut(name, ",")
	if _, err := quantity.ParseAmount(cut); err == nil && !ok && strings.TrimSpace(amount) == "" {
		cut, amount = "", cut // "grated nutmeg, a pinch"
	}
	b := DraftBotanical{Name: strings.TrimSpace(name), Cut: strings.TrimSpace(cut),
		Amount: strings.TrimSpace(amount), Target: strings.TrimSpace(target)}
	switch {
	case b.Name == "":
		return b, errors.New("the name comes first, like clove: 2~g @ 4")
	case MeasureOnly(b.Name, "") != nil:
		return b, MeasureOnly(b.Name, "the name comes first, like clove: 2~g @ 4")
	case b.Target != "" && !isNumber(b.Target):
		return b, fmt.Errorf("%q is no wanted strength from 0 to 10", b.Target)
	}
	return b, nil
}

// MeasureOnly refuses as a name what is a temperature, an amount or a strength and nothing
// else.
func MeasureOnly(name, wanted string) error {
	if name == "" || name[0] < '0' || name[0] > '9' {
		return nil
	}
	is := ""
	if _, err := quantity.ParseABV(name); err == nil {
		is = "a number or a strength"
	}
	if _, err := quantity.ParseAmount(name); err == nil {
		is = "how much"
	}
	if _, err := quantity.ParseTemperature(name); err == nil {
		is = "a temperature"
	}
	if is == "" {
		return nil
	}
	return fmt.Errorf("%q is %s; %s", name, is, wanted)
}

// NameOnly refuses as a name what MeasureOnly does, and what holds how much of it there is.
func NameOnly(name, wanted string) error {
	line, _, _ := strings.Cut(name, "@")
	if _, amount, ok := quantity.CutAmount(strings.TrimSpace(line)); ok {
		if _, err := quantity.ParseAmount(amount); err == nil {
			return fmt.Errorf("%q says how much as well; %s", name, wanted)
		}
	}
	return MeasureOnly(name, wanted)
}

// ParseDraftWatch reads "bitter=2".
func ParseDraftWatch(text string) (DraftWatch, error) {
	name, limit, ok := strings.Cut(text, "=")
	w := DraftWatch{Name: strings.TrimSpace(name), Limit: strings.TrimSpace(limit)}
	if !ok || w.Name == "" {
		return w, fmt.Errorf("%q: write the taste and its limit, like bitter=2", text)
	}
	if err := NameOnly(w.Name, "write what it tastes of, like bitter"); err != nil {
		return w, err
	}
	if !isNumber(w.Limit) {
		return w, fmt.Errorf("%s: %q is no limit from 0 to 10", w.Name, w.Limit)
	}
	return w, nil
}

// ParseDraftAddition reads "demerara sugar: 320 g" and "320 g demerara sugar".
func ParseDraftAddition(text string) (DraftAddition, error) {
	name, amount, ok := parted(text)
	if !ok {
		return DraftAddition{}, errors.New("write what and how much, like demerara sugar: 320~g")
	}
	return DraftAddition{name, amount}, nil
}

// parted reads "demerara sugar: 320 g" and "320 g demerara sugar"; ok is false where
// there is no amount.
func parted(text string) (name, amount string, ok bool) {
	if name, amount, ok = quantity.CutAmount(text); ok {
		return name, amount, name != ""
	}
	if a, thing, found := quantity.ParseLine(text); found {
		return strings.TrimSpace(thing), a.Text, true
	}
	return name, "", false
}

func isNumber(text string) bool {
	v, err := strconv.ParseFloat(text, 64)
	return err == nil && !math.IsNaN(v)
}
