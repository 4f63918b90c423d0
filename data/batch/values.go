package batch

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// name reads a name that must be there. Spaces around it are the maker's slip.
func (p *parser) name(at spot, name, missing string) string {
	if name = tidy(name); name == "" {
		p.wrong(at, "%s", missing)
	}
	return p.fitName(at, name)
}

// fitName refuses what is no name as it stands.
func (p *parser) fitName(at spot, name string) string {
	if problem := nameProblem(name); problem != "" {
		p.fail(at, "", "%s", problem)
	}
	return name
}

// longestText is how much may be said at a time, in letters: ten pages.
const longestText = 20000

// fitText refuses more than most letters.
func (p *parser) fitText(at spot, text string, most int) {
	if len(text) > most && utf8.RuneCountInString(text) > most {
		p.fail(at, "", "%v has at most %d letters, and here are %d", at.last(), most,
			utf8.RuneCountInString(text))
	}
}

func (p *parser) room(v any) *float64 {
	at := once("room")
	switch v := v.(type) {
	case nil:
		return nil
	case string, int64, float64: // the figure alone lacks its scale
		return p.temperature(at, fmt.Sprint(v), p.doc.Right(at.path()...), -30, 100, "steeps")
	default:
		p.wrong(at, "%q should be a temperature in quotation marks", "room")
	}
	return nil
}

// temperature reads a temperature from low to high [°C]; beyond them nothing does what is
// said.
func (p *parser) temperature(at spot, s, right string, low, high float64, does string) *float64 {
	c, err := quantity.ParseTemperature(s)
	switch {
	case err != nil:
		p.refuseOr(at, right, err)
		return nil
	case c < low || c > high:
		p.fail(at, right, "nothing %s at %s", does, quantity.FormatTemperature(c, p.b.Units))
	}
	return &c
}

// units reads in whose units the maker thinks.
func (p *parser) units(s string) quantity.System {
	at := once("units")
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "us":
		return quantity.US
	case "metric":
	case "":
		if s == "" && p.doc.Has(at.path()...) {
			p.wrong(at, "units is empty; it is metric or us")
		}
	default:
		p.fail(at, `units = "us"`, "units is %q, but it can only be metric or us", shown(s))
	}
	return quantity.Metric
}

// named is the strength that stands in a name; nil where none does. Another one
// beside it is refused: no guess which is right.
func (p *parser) named(at spot, name string, written *float64) *quantity.NamedStrength {
	_, in := quantity.StrengthIn(name)
	if in.Unclear && written == nil {
		p.fail(at.of("name"), "", "the strength in the name %q cannot be read; write it as abv = 40 "+
			"beside the plain name", name)
	}
	if !in.Said {
		return nil
	}
	if written != nil && (in.ByVolume || at.in.table == "spirit" && *written > 0) &&
		math.Abs(in.Percent-*written) > 0.05 {
		p.fail(at.of("abv"), "abv = "+quantity.FormatNumber(in.Percent),
			"the name %q says %s %% vol, and beside it stands %s; keep one",
			name, quantity.FormatNumber(in.Percent), quantity.FormatNumber(*written))
	}
	return &in
}

// strength reads abv or proof, whichever is there. asBase is true for the
// liquid things steep in, where a fraction is a slip.
func (p *parser) strength(at spot, abv any, proof *float64, asBase bool) *float64 {
	atABV, atProof := at.of("abv"), at.of("proof")
	if abv != nil && proof != nil {
		p.fail(atProof, "", "both abv and proof are given; keep one, proof is twice abv")
		return nil
	}
	if proof != nil {
		if !(*proof >= 0 && *proof <= 200) {
			p.wrong(atProof, "proof runs from 0 to 200, twice the %% vol, not %s",
				quantity.FormatNumber(*proof))
		}
		v := *proof / 2
		return &v
	}
	var v float64
	var err error
	switch x := abv.(type) {
	case nil:
		return nil
	case string:
		v, err = quantity.ParseABV(x)
	case int64:
		v, err = float64(x), quantity.CheckABV(float64(x))
	case float64:
		v, err = x, quantity.CheckABV(x)
	default:
		p.wrong(atABV, "abv should be a number, the %% vol")
		return nil
	}
	switch {
	case err != nil && v > 100 && v <= 200:
		p.fail(atABV, "proof = "+quantity.FormatNumber(v), "%s", problemOf(err))
	case err != nil:
		p.wrong(atABV, "%s", problemOf(err))
	case asBase && v > 0.3 && v < 1 && v != 0.5:
		p.fail(atABV, "abv = "+quantity.FormatNumber(100*v),
			"abv is in per cent, so %s is all but no alcohol; did you mean %s?",
			quantity.FormatNumber(v), quantity.FormatNumber(100*v))
	}
	return &v
}

// price reads a price, which may be zero for what grew in the garden.
func (p *parser) price(at spot, v *float64) *float64 {
	if v != nil && !(*v >= 0 && *v <= 1e6) {
		p.wrong(at.of("price"), "a price is a number from 0 up to a million, not %s",
			quantity.FormatNumber(*v))
	}
	return v
}

// amount reads an amount of any kind.
func (p *parser) amount(at spot, s *string) *quantity.Amount {
	if s == nil {
		return nil
	}
	a, err := quantity.ParseIn(*s, p.b.Units)
	if err != nil {
		p.refuse(at, err)
		return nil
	}
	return &a
}

// line reads a name and an amount as people write them: the amount may stand in the
// name ("zest of 10 key limes"), or say again what it is of ("2 sticks of
// cinnamon"). cut takes what it says besides, how it is prepared; nil refuses that.
func (p *parser) line(at spot, name string, cut, s *string) (string, *quantity.Amount) {
	if s == nil {
		a, thing, ok := quantity.ParseLine(name)
		if !ok {
			return name, nil
		}
		if how := ""; cut != nil {
			if thing, how, _ = strings.Cut(thing, ","); *cut == "" {
				*cut = strings.TrimSpace(how)
			}
		}
		return thing, p.amount(at.of("name"), &a.Text)
	}
	if _, err := quantity.ParseAmount(*s); err != nil {
		if a, thing, ok := quantity.ParseLine(*s); ok &&
			(a.Kind != quantity.Count || a.Noun != "" || a.Of != "") {
			beyond := quantity.Beyond(thing, name)
			if len(beyond) == 0 || cut != nil && *cut == "" {
				if len(beyond) > 0 {
					*cut = strings.Join(beyond, " ")
				}
				s = &a.Text
			}
		}
	}
	a := p.amount(at.of("amount"), s)
	if a != nil {
		if other := a.OfAnother(name); other != "" {
			p.fail(at.of("amount"), "", "%q counts %s, and this is %s; write what it is of in name",
				shown(*s), other, name)
		}
	}
	return name, a
}

// liquid reads an amount of something that is always liquid: by volume, or by
// weight where that makes sense.
func (p *parser) liquid(at spot, s *string, what string, byWeight bool) *quantity.Amount {
	a := p.amount(at, s)
	if a == nil {
		return nil
	}
	if !byWeight { // an ounce of what is a volume is one
		*a = a.AsFluid()
	}
	_, _, _, isML := a.Millilitres()
	switch {
	case a.Kind == quantity.Ounce:
		fluid := a.AsFluid().String()
		p.fail(at, example(at, fluid), "%q can be weight or volume; for %s write %q, or %q if it was weighed",
			shown(*s), what, fluid, a.AsWeight().String())
	case a.Kind == quantity.Mass && byWeight, isML:
	case a.Kind == quantity.Mass:
		p.wrong(at, "%q is a weight; %s is measured by volume", shown(*s), what)
	case a.Kind == quantity.Count && a.Noun == "" && a.Of == "":
		p.wrong(at, "%q has no unit; %s is measured in ml, l, cups or fl oz", shown(*s), what)
	case a.Kind == quantity.Count:
		p.wrong(at, "%q is a count; %s is measured by volume", shown(*s), what)
	default:
		p.wrong(at, "%q has no fixed size; %s is measured in ml, l, cups or fl oz", shown(*s), what)
	}
	return a
}

// within checks that a number lies in a range.
func (p *parser) within(at spot, v *float64, low, high float64, what string) *float64 {
	if v != nil && !(*v >= low && *v <= high) {
		p.wrong(at, "%s runs from %s to %s, not %s", what, quantity.FormatNumber(low),
			quantity.FormatNumber(high), quantity.FormatNumber(*v))
	}
	return v
}

// concentration reads "12 g/l", "6 g/100 ml" or the "5 %" of a label, which is
// grams in 100 ml, into g/l. A bare number is
// refused: juice is spoken of in g/100 ml, a bottle in g/l. Values above most
// are refused too.
func (p *parser) concentration(at spot, v any, most float64) *float64 {
	name := at.last()
	if v == nil {
		return nil
	}
	text, ok := v.(string)
	if !ok {
		p.wrong(at, "%v needs its unit, g/l, g/100 ml or %%, in quotation marks", name)
		return nil
	}
	number, unit := cutUnit(text)
	factor, ok := concentrations[unit]
	g := 0.0
	if number != "0" {
		a, err := quantity.ParseAmount(number + " g")
		ok = ok && err == nil && a.Low == a.High
		g = a.Low * factor
	}
	switch {
	case !ok:
		p.wrong(at, "%q is not a concentration in g/l, g/100 ml or %%", shown(text))
		return nil
	case !(g <= most):
		p.wrong(at, "%v goes up to %s g/l, not %s g/l; is the unit right?", name, quantity.FormatNumber(most),
			quantity.FormatNumber(g))
		return nil
	}
	return &g
}

// concentrations holds the accepted units in g/l, without their spaces.
var concentrations = map[string]float64{
	"g/l": 1, "gperl": 1, "gperlitre": 1, "gperliter": 1, "g/litre": 1, "g/liter": 1,
	"g/100ml": 10, "gper100ml": 10, "g/dl": 10, "%": 10,
}

// cutUnit splits "6 g/100 ml" into "6" and "g/100ml".
func cutUnit(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	i := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789., /½¼¾", r) })
	if i < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:i]), strings.ToLower(strings.Join(strings.Fields(s[i:]), ""))
}

// stores holds the words for where a bottle is kept, and other words for them.
var stores = map[string]string{
	"fridge": "fridge", "refrigerator": "fridge", "freezer": "freezer", "cellar": "cellar", "room": "room",
	"shelf": "room", "cupboard": "room", "pantry": "room",
}

func (p *parser) store(at spot, s string) (place string, c *float64) {
	word := strings.ToLower(strings.TrimSpace(s))
	if word == "" {
		if p.doc.Has(at.path()...) {
			p.wrong(at, "%s is empty; it is fridge, freezer, cellar, room or a temperature", at.last())
		}
		return "", nil
	}
	if place, ok := stores[word]; ok {
		return place, nil
	}
	if strings.ContainsAny(word, "0123456789") {
		return "", p.temperature(at, s, example(at, "4~C"), -80, 60, "is kept")
	}
	if near, ok := strict.Nearest(word, []string{"fridge", "freezer", "cellar", "room"}); ok {
		p.fail(at, example(at, near), "%s is %q; did you mean %q?", at.last(), shown(s), near)
	}
	p.wrong(at, "%s is %q; it is fridge, freezer, cellar, room or a temperature", at.last(), shown(s))
	return "", nil
}
