package quantity

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data/pattern"
)

// qualifier is a word that says how an amount was measured. What is meant lies,
// nine times in ten, from low to high times what is written. All of these are
// common practice without a source: cooks differ, and so the ranges are wide.
type qualifier struct {
	name      string // as it is printed
	also      string // further spellings, separated by commas
	low, high float64
	fits      func(a *Amount) bool // nil: any amount
	goes      string               // with what it fits, for the refusal
}

var qualifiers = []qualifier{
	{"about", "approximately,approx,around,roughly,circa,ca,~,≈,or so,more or less,give or take",
		0.9, 1.1, nil, ""},
	{"scant", "skimpy,short,shy", 0.85, 0.95, nil, ""},
	{"just under", "a little under,slightly under,a bit under,just less than,slightly less than," +
		"a little less than,a bit less than,not quite,nearly,almost,barely,bare", 0.9, 1, nil, ""},
	{"just over", "a little over,slightly over,a bit over,just more than,slightly more than," +
		"a little more than,a bit more than", 1, 1.1, nil, ""},
	{"generous", "good,ample,good-sized", 1.05, 1.25, nil, ""},
	{"level", "levelled,leveled,flat,struck", 1, 1, (*Amount).spooned, "a spoon or a cup"},
	{"rounded", "", 1.2, 1.7, (*Amount).spooned, "a spoon or a cup"},
	{"heaped", "heaping,piled", 1.3, 2.2, (*Amount).spooned, "a spoon or a cup"},
	// How much more or less is in it depends on what it is: whoever weighs it knows.
	{"packed", "firmly packed,tightly packed,well packed,pressed down", 1, 1, (*Amount).spooned,
		"a spoon or a cup"},
	{"loose", "loosely packed,lightly packed,loosely filled,loosely", 1, 1, (*Amount).spooned,
		"a spoon or a cup"},
	{"small", "smallish,small-sized", 0.6, 0.95, (*Amount).sizeless,
		"what is counted, or a pinch or a handful"},
	{"medium", "medium-sized,medium sized,average,middling", 1, 1, (*Amount).sizeless,
		"what is counted, or a pinch or a handful"},
	{"large", "big,largish,large-sized,fat,extra large,extra-large,jumbo", 1.05, 1.5, (*Amount).sizeless,
		"what is counted, or a pinch or a handful"},
}

// spooned: it is filled, so that it may be heaped.
func (a *Amount) spooned() bool {
	switch strings.TrimPrefix(strings.TrimPrefix(a.Unit, "metric "), "US ") {
	case "tsp", "tbsp", "dessertspoon", "cup", "handful":
		return true
	}
	return false
}

// sizeless: it has no size of its own, so that it may be large or small.
func (a *Amount) sizeless() bool { return a.Kind == Count || a.Kind == Volume && a.size() == 0 }

var qualified = sync.OnceValue(func() map[string]*qualifier {
	m := make(map[string]*qualifier)
	for i := range qualifiers {
		q := &qualifiers[i]
		for _, w := range append([]string{q.name}, list(q.also)...) {
			m[w] = q
		}
	}
	return m
})

// mostQualifiers is how many words of the kind an amount may have: "about 2 heaped
// tsp".
const mostQualifiers = 2

// qualify takes the qualifying words off the front of a text, without an article
// that belongs to no number, or off its end.
func (a *Amount) qualify(text string, end bool) string {
	for a.qualifiedBy(mostQualifiers) {
		words := strings.Fields(text)
		cut := ""
		for n := min(4, len(words)-1); n > 0; n-- {
			part := words[:n]
			if end {
				part = words[len(words)-n:]
			}
			q := qualified()[strings.ToLower(strings.Trim(strings.Join(part, " "), ".,()"))]
			if q == nil {
				continue
			}
			a.said(q)
			if cut = strings.Join(words[n:], " "); end {
				cut = strings.TrimRight(strings.Join(words[:len(words)-n], " "), " ,")
			}
			break
		}
		if cut == "" {
			return text
		}
		text = cut
	}
	return text
}

func (a *Amount) said(q *qualifier) { a.Said = strings.TrimSpace(a.Said + " " + q.name) }

func (a *Amount) qualifiedBy(most int) bool { return len(a.qualifiers()) < most }

// qualifiers are those of Said.
func (a *Amount) qualifiers() (out []*qualifier) {
	rest := a.Said
	for rest != "" {
		i := slices.IndexFunc(qualifiers, func(q qualifier) bool {
			return rest == q.name || strings.HasPrefix(rest, q.name+" ")
		})
		if i < 0 {
			return out
		}
		out = append(out, &qualifiers[i])
		rest = strings.TrimSpace(strings.TrimPrefix(rest, qualifiers[i].name))
	}
	return out
}

// articled is an article before a qualifying word: it counts what is measured,
// unless a number does.
var articled = pattern.New(`(?i)^an? +(.*)$`)

// leading reads the qualifying words that an amount begins with.
func (a *Amount) leading(text string) string {
	text = tildes().ReplaceAllString(text, "$1 ")
	if whole := a.qualify(text, false); whole != text { // "a little over 2 cups"
		return a.oneOf(whole)
	}
	m := articled().FindStringSubmatch(text)
	if m == nil {
		return text
	}
	rest := a.qualify(m[1], false)
	switch {
	case rest == m[1]:
		return text
	case secondAmount().MatchString(rest[:min(len(rest), 2)]):
		return rest // "a scant 1/4 cup"
	}
	return a.oneOf(rest)
}

var tildes = pattern.New(`^([~≈]) *`)

// oneOf counts what is qualified and has no number as one: "heaped teaspoon".
func (a *Amount) oneOf(text string) string {
	if _, ok := measures()[normalUnit(text)]; ok {
		return "1 " + text
	}
	return text
}

// fit refuses qualifying words that say nothing of what is measured.
func (a *Amount) fit() *Error {
	for _, q := range a.qualifiers() {
		if q.fits != nil && !q.fits(a) {
			plain := *a
			plain.Said = ""
			return fail(a.Text, plain.String(), "%q in %s goes with %s", q.name, shown(a.Text), q.goes)
		}
	}
	return nil
}

// loose are the measures that are larger in one country than in another by so
// little that the difference can be carried along, as shares of the unit, and what
// to write to settle it. A metric cup is 250 ml and a US cup 236.6; an imperial
// fluid ounce is 28.41 ml and a US one 29.57. That spirits are usually sold by 700 ml in
// Europe and by 750 in the US, and wine by 750, is common practice; what sizes a bottle
// of spirit may have in the US stands in 27 CFR 5.203.
var loose = map[string]struct {
	low, high float64
	write     string
}{
	"cup": {1, 250 / (8 * mlPerFlOz),
		`a cup may be a US one (237 ml) or a metric one (250 ml); write "US cup" or "metric cup", ` +
			`or units = "us"`},
	"fl oz": {mlPerImpFlOz / mlPerFlOz, 1,
		`a fluid ounce may be a US one (29.6 ml) or an imperial one (28.4 ml); ` +
			`write "US fl oz" or "imp fl oz", or units = "us"`},
	"bottle": {700.0 / mlPerBottle, 1, `a bottle may be of 700 or of 750 ml; write the size on its label`},
}

// apart are the measures that differ so much between countries that nobody may
// choose for the maker: a fifth and more. The other one's name follows.
var apart = map[string]string{"gill": "imp gill", "pint": "imp pint", "quart": "imp quart",
	"gallon": "imp gallon"}

// In is the amount as a maker means it who uses that system of units. Where the
// system is not US, a bare cup or fluid ounce may be that of either country, and
// stands for the range of both; a bare pint, quart, gallon or gill must be asked
// about. The error is an *Error.
func (a Amount) In(s System) (Amount, error) {
	if s == US {
		return a, nil
	}
	if other, ok := apart[a.Unit]; ok {
		us, imp := a, a
		us.Unit, imp.Unit = "US "+a.Unit, other
		each := " each"
		if a.Low == 1 && a.High == 1 {
			each = ""
		}
		return a, a.wrong(us.String(), "%s can be US or imperial: write %q (%s%s) or %q (%s%s)", us.String(),
			FormatVolume(sizeOf(us.Unit), Metric), each, imp.String(), FormatVolume(sizeOf(imp.Unit), Metric),
			each)
	}
	if _, ok := loose[a.Unit]; ok && !a.loose {
		a.loose = true
		a.mean()
	}
	return a, nil
}

// written is the number or the range as it is written.
func (a Amount) written() (from, to float64) {
	if a.from > 0 {
		return a.from, a.to
	}
	return a.Low, a.High
}

// mean makes of what is written what is meant.
func (a *Amount) mean() {
	from, to := a.written()
	low, high := 1.0, 1.0
	for _, q := range a.qualifiers() {
		share := 1.0
		if strings.HasSuffix(a.Unit, "cup") && q.low >= 1.2 {
			share = 0.3 // what stands above the rim of a wide thing is less of it
		}
		low, high = low*(1+share*(q.low-1)), high*(1+share*(q.high-1))
	}
	if l, ok := loose[a.Unit]; ok && a.loose {
		low, high = low*l.low, high*l.high
	}
	a.from, a.to, a.Low, a.High = 0, 0, from, to
	if low != 1 || high != 1 {
		a.from, a.to, a.Low, a.High = from, to, from*low, to*high
	}
}

// plain is the amount as it is written, without what was made of it.
func (a Amount) plain() Amount {
	a.Low, a.High = a.written()
	a.from, a.to, a.Said, a.loose = 0, 0, "", false
	return a
}

// as gives what the amount is qualified by to another one.
func (a Amount) as(said Amount) Amount {
	a.Said, a.loose = said.Said, said.loose
	a.mean()
	a.Text = a.String()
	return a
}

var anyOfSeveral = pattern.New(`(?i)^(?:an? +)?(?:few|several)\b`)

// Taken says what was made of the words that qualify an amount, as part of a
// sentence: `"a scant 1/4 cup" is taken as 50 to 56 ml`. It is empty where there are
// none and it is no "few".
func (a Amount) Taken() string {
	moved := slices.ContainsFunc(a.qualifiers(), func(q *qualifier) bool { return q.low != 1 || q.high != 1 })
	if !moved && !anyOfSeveral().MatchString(a.Text) {
		return ""
	}
	is := ""
	if low, _, high, ok := a.Millilitres(); ok {
		is = FormatVolume(low, Metric) + " to " + FormatVolume(high, Metric)
	} else if low, _, high, ok := a.Grams(); ok {
		is = FormatMass(low, Metric) + " to " + FormatMass(high, Metric)
	} else {
		of := a.Noun
		if a.Kind != Count {
			of = a.Unit
		}
		is = strings.TrimSpace(FormatNumber(a.Low) + " to " + FormatNumber(a.High) + " times a usual " + of)
		if a.Kind == Count && (a.Noun == "" || a.Said == "about" || a.Said == "") {
			is = FormatNumber(a.Low) + " to " + FormatNumber(a.High)
		}
	}
	return shown(strings.TrimSpace(a.Text)) + " is taken as " + is
}

// Either says which two measures an amount may be in, and what would settle it: "a
// cup may be a US one (237 ml) or a metric one (250 ml); …". It is empty where it is
// settled.
func (a Amount) Either() string {
	if !a.loose {
		if a.Unit == "bottle" {
			return "a bottle is taken as 750 ml; write the size on its label"
		}
		return ""
	}
	return loose[a.Unit].write
}

// Times is f times the amount, rounded only where floats err.
func (a Amount) Times(f float64) Amount {
	plain := a.plain()
	plain.Low, plain.High = Rounded(f*plain.Low, 12), Rounded(f*plain.High, 12)
	return plain.as(a)
}
