package quantity

import (
	"math"
	"strconv"
	"strings"
	"sync"

	"steepbook/data/pattern"
)

const amountExample = "24 g"

// Amounts beyond these are slips of the pen: a thousand kilograms or litres, a
// hundred thousand pieces, less than a microgram.
const (
	mostGrams  = 1e6
	mostPieces = 1e5
	leastGrams = 1e-6
)

var (
	ofPart    = pattern.New(`(?i)^(?:the +)?(?:finely +grated +|grated +|fresh +|strips? +of +)?(zest|juice|peel|rind|skin)s? +(?:(?:of|from) +)?`)
	partLast  = pattern.New(`(?i)^(.*?),? +(?:the +)?(zest only|juice only|zested|juiced)$`)
	rangeGap  = pattern.New(`(?i)^ *(?:-+|to\b|or\b) *`)
	hyphened  = pattern.New(`^-[a-zA-Z]`)
	severals  = pattern.New(`(?i)^(?:an? +)?(few|several)\b`)
	countless = pattern.New(`(?i)^(?:an? +)?(some|little|bit|lots?|many|plenty)\b`)
	almostOf  = pattern.New(`(?i)^([a-z]+?)s? *(?:o? ?f? ?|[a-z]{1,3}) *([0-9½¼¾].*)?$`)
	times     = pattern.New(`(?i)^(?:([1-9][0-9]?) *[x×*]|(an?|one|two|three|four|five|six|eight|ten|twelve)(?: *[x×*]| )) *([0-9½¼¾⅓⅔⅛].*)$`)
	sized     = pattern.New(`(?i)^([1-9][0-9]?) +([1-9][0-9.]*[ -]*[a-z. ]+? (?:bottle|can|tin|jar|carton|piece|knob|stick|length|strip)s?)$`)
	bracketed = pattern.New(`^([^()]*?) *\(([^()]*)\) *([^()]*)$`)
	between   = pattern.New(`(?i)^between +(.+?) +and +(.+)$`)
	twoParts  = pattern.New(`(?i)^(?:the +)?(zest|juice|peel|rind|skin)s? +(?:and|&|\+) +(?:the +)?(zest|juice|peel|rind|skin)s? +(?:of +)?(.*)$`)
	nextTerm  = pattern.New(`(?i)(?: +| *,)(plus|and|minus|less|of|at|à|to|or)? *((?:[0-9.¼½¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒]|(?:an?|one|two|three|half|quarter)\b).*)$| *([-+&]) *((?:[0-9.¼½¾⅓⅔⅛⅜⅝⅞]|(?:an?|one|two|three|half|quarter)\b).*)$`)
	ofWhat    = pattern.New(`(?i)^(?:of|each|ea\.?) +(?:(?:an?|the) +)?`)
	container = pattern.New(`(?i)^(.+?)[ -]+(?:sized? +|long +)?(?:bottle|can|tin|jar|carton|piece|knob|stick|length|strip|chunk)s?$`)
)

// several is how many a word for a number means, common practice.
var several = map[string][2]float64{"few": {3, 5}, "several": {4, 8}}

// longestAmount is more than any amount has, in bytes.
const longestAmount = 500

// partOf is the part of a fruit that a word means.
var partOf = map[string]string{
	"zest": "zest", "zested": "zest", "zest only": "zest", "juice": "juice", "juiced": "juice",
	"juice only": "juice",
	"peel":       "peel", "rind": "peel", "skin": "peel",
}

// ParseAmount reads an amount: a number, a fraction or a range with a unit, a
// count of pieces, "zest of 3", more than one of them ("1 lb 4 oz", "1/4 cup less 1
// tsp", "2 x 750 ml"), and words that qualify it ("a scant 1/4 cup"). The error is an
// *Error.
func ParseAmount(s string) (Amount, error) {
	if a, ok := amounts.Load(s); ok {
		return a.(Amount), nil
	}
	a, err := parseAmount(s)
	if err != nil {
		return Amount{}, err
	}
	amounts.Store(s, a)
	return a, nil
}

// ParseIn reads an amount as a maker means it who uses that system of units: ParseAmount,
// then In.
func ParseIn(s string, system System) (Amount, error) {
	a, err := ParseAmount(s)
	if err != nil {
		return a, err
	}
	return a.In(system)
}

// amounts and durations are those read so far: a book says the same few again and
// again.
var amounts, durations sync.Map

func parseAmount(s string) (Amount, *Error) {
	a := Amount{Text: s}
	text := ofSoMany().ReplaceAllString(tidy(s), "$1")
	if text == "" {
		return a, fail(s, amountExample, "the amount is empty")
	}
	if oneMeasure().MatchString(text) {
		text = "a " + text
	}
	if len(text) > longestAmount {
		return a, fail(s, amountExample, "%s is too long for an amount", shown(s))
	}
	if err := a.read(text); err != nil {
		return a, err
	}
	if err := a.fit(); err != nil {
		return a, err
	}
	a.mean()
	return a, a.sane()
}

// wrong is a fault in the text, which stands first in the format.
func (a *Amount) wrong(example, format string, args ...any) *Error {
	return fail(a.Text, example, format, append([]any{shown(a.Text)}, args...)...)
}

// read reads what is written, the words that qualify it apart.
func (a *Amount) read(text string) *Error {
	if n := plainNumber(text); n > 0 {
		if _, ok := measures()[normalUnit(text[n:])]; ok { // the usual case
			return a.term(text)
		}
	}
	if strings.HasPrefix(text, "-") {
		return a.wrong(amountExample, "the amount %s is negative")
	}
	text = a.qualify(a.leading(between().ReplaceAllString(text, "$1 to $2")), true)
	if m := twoParts().FindStringSubmatch(text); m != nil {
		return a.wrong(partOf[strings.ToLower(m[1])]+" of "+m[3],
			"%s holds two things; give each a line of its own")
	}
	if m := bracketed().FindStringSubmatch(text); m != nil {
		if done, err := a.brackets(m[1], m[2], m[3]); done {
			return err
		}
	}
	if m := ofPart().FindStringSubmatch(text); m != nil {
		a.Of, text = partOf[strings.ToLower(m[1])], a.leading(text[len(m[0]):])
	} else if m := partLast().FindStringSubmatch(text); m != nil {
		a.Of, text = partOf[strings.ToLower(m[2])], m[1]
	}
	if m := countless().FindString(text); m != "" {
		return fail(a.Text, "3 pieces", "%s in %s is no number", shown(m), shown(a.Text))
	}
	if m := sized().FindStringSubmatch(text); m != nil {
		return a.timesOf(m[1], m[2])
	}
	if m := times().FindStringSubmatch(text); m != nil && a.Of == "" {
		return a.timesOf(m[1]+m[2], m[3])
	}
	return a.terms(text)
}

// timesOf reads "2 x 750 ml", "a 2-inch piece".
func (a *Amount) timesOf(n, each string) *Error {
	count, _, _, err := number(n, a.Text, amountExample)
	if err != nil {
		return err
	}
	if err := a.read(each); err != nil {
		return err
	}
	a.Low, a.High = a.Low*count, a.High*count
	return nil
}

// brackets reads "2 (750 ml) bottles", and "1 cup (200 g)", of which the scale is
// the better witness. It reports whether there was anything to read.
func (a *Amount) brackets(head, in, tail string) (done bool, err *Error) {
	inner := Amount{Text: a.Text}
	if inner.read(tidy(in)) != nil {
		if q := (&Amount{}); q.qualify("x "+in, true) == "x" { // "1 cup (scant)"
			a.said(q.qualifiers()[0])
			return true, a.read(strings.TrimSpace(head + " " + tail))
		}
		return false, nil
	}
	if tail != "" || strings.TrimSpace(head) == "" {
		n, rest, found, err := number(head, a.Text, amountExample)
		if err != nil || !found || strings.TrimSpace(rest) != "" || !container().MatchString("x "+tail) {
			return false, nil
		}
		a.is(n, inner)
		return true, nil
	}
	outer := Amount{Text: a.Text}
	if err := outer.read(head); err != nil {
		n, rest, found, wrong := number(head, a.Text, amountExample) // "1 can (450 g)"
		if wrong != nil || !found || !container().MatchString("x "+strings.TrimSpace(rest)) {
			return true, err
		}
		a.is(n, inner)
		return true, nil
	}
	if outer.Kind == Ounce {
		outer = map[Kind]Amount{Mass: outer.AsWeight(), Volume: outer.AsFluid()}[inner.Kind]
	}
	if outer.Kind == Count && inner.Kind == Count && outer.High == 1 && outer.Low == 1 &&
		(inner.Noun == "inch" || inner.Noun == "cm") {
		outer = inner // "1 stick (3 inches)"
	}
	best, other := outer, inner
	if inner.Kind == Mass || inner.Kind == outer.Kind && !inner.fractional() {
		best, other = inner, outer
	}
	if best.Kind == other.Kind && best != other && (best.size() == 0 || other.size() == 0 ||
		math.Abs(math.Log(best.Mid()*best.size()/(other.Mid()*other.size()))) > 0.1) {
		return true, a.wrong(best.String(), "%s says two amounts that are not the same; write one")
	}
	a.is(1, best)
	return true, nil
}

// is takes the place of an amount with n times another; what qualifies it stays.
func (a *Amount) is(n float64, each Amount) {
	each.Said, each.Low, each.High = a.Said, n*each.Low, n*each.High
	*a = each
}

// terms reads one amount, or several that are added, taken off or a range.
func (a *Amount) terms(text string) *Error {
	first, op, rest := a.split(text)
	one := Amount{Text: a.Text}
	if rest == "" || a.Of != "" || one.term(first) != nil {
		return a.term(text)
	}
	for rest != "" {
		two := Amount{Text: a.Text}
		next, nextOp, after := two.split(rest)
		if two.term(next) != nil {
			return a.term(text)
		}
		if err := one.join(op, two); err != nil {
			return err
		}
		op, rest = nextOp, after
	}
	one.Said = a.Said
	*a = one
	return nil
}

// split parts a text behind its first amount.
func (a *Amount) split(text string) (first, op, rest string) {
	b := Amount{Text: a.Text}
	after, err := b.numbers(text)
	if err != nil {
		return text, "", ""
	}
	m := nextTerm().FindStringSubmatch(after)
	if m == nil {
		return text, "", ""
	}
	return text[:len(text)-len(m[0])], strings.ToLower(m[1] + m[3]), m[2] + m[4]
}

func (a *Amount) term(text string) *Error {
	rest, err := a.numbers(text)
	if err != nil {
		return err
	}
	return a.measure(strings.TrimSpace(rest))
}

// numbers reads the number or the range that an amount begins with.
func (a *Amount) numbers(text string) (rest string, err *Error) {
	if m := severals().FindStringSubmatch(text); m != nil {
		some := several[strings.ToLower(m[1])]
		a.Low, a.High = some[0], some[1]
		return text[len(m[0]):], nil
	}
	low, rest, found, err := number(text, a.Text, amountExample)
	if err != nil {
		return "", err
	}
	if !found {
		if strings.EqualFold(text, "nan") || strings.EqualFold(text, "inf") ||
			strings.EqualFold(text, "infinity") {
			return "", a.wrong(amountExample, "the amount %s is not a number")
		}
		if m, ok := measures()[normalUnit(text)]; ok {
			two := Amount{Kind: m.unit.kind, Low: 2, High: 2, Unit: m.unit.name, Noun: m.noun}
			return "", a.wrong(two.String(), "%s says no number")
		}
		if m := almostOf().FindStringSubmatch(tidy(a.Text)); m != nil {
			for _, part := range []string{"zest", "juice", "peel"} {
				if word := strings.ToLower(m[1]); word == part || oneSlip(word, part) {
					meant := strings.TrimSpace(part + " of " + m[2])
					if m[2] == "" {
						return "", a.wrong(part+" of 2", "%s says no number")
					}
					return "", a.wrong(meant, "the amount %s cannot be read; did you mean %q?", meant)
				}
			}
		}
		return "", a.wrong(amountExample, "the amount %s does not begin with a number")
	}
	a.Low, a.High = low, low
	gap := rangeGap().FindString(rest)
	if gap == "" {
		return rest, nil
	}
	high, after, found, err := number(rest[len(gap):], a.Text, "8-10 pieces")
	if err != nil {
		return "", err
	}
	if !found && hyphened().MatchString(rest) { // "2-inch"
		return rest[1:], nil
	}
	if !found {
		return "", a.wrong("8-10 pieces", "the range in %s has no second number")
	}
	a.High = high
	switch {
	case high == 0:
		return "", a.wrong("8-10 pieces", "the range in %s ends at zero")
	case high < 1 && low >= 1 && low == math.Trunc(low) && high != math.Trunc(high) &&
		strings.HasPrefix(gap, "-"):
		// "1-1/2 cups" is how some write one and a half; no range runs downwards.
		a.Low, a.High = low+high, low+high
	case high < low:
		return "", a.wrong(spellNumber(high, true)+"-"+spellNumber(low, true)+after,
			"the range in %s runs downwards")
	}
	return after, nil
}

// measure reads the unit, or what is counted.
func (a *Amount) measure(text string) *Error {
	text = a.qualify(ofWhat().ReplaceAllString(text, ""), false)
	// "1 heaping 1/4 cup"
	if secondAmount().MatchString(text[:min(len(text), 2)]) && a.Said != "" && a.Of == "" {
		return a.timesOf(spellNumber(a.Low, false), text)
	}
	if a.Of != "" {
		return a.ofFruit(text)
	}
	if text == "" {
		a.Kind, a.Unit = Count, "piece"
		return nil
	}
	if text == "t" || text == "T" {
		return fail(a.Text, spellNumber(a.Low, true)+" tbsp", "%s", noUnits["t"][0])
	}
	word := normalUnit(text)
	if m, ok := measures()[word]; ok {
		a.Kind, a.Unit, a.Noun = m.unit.kind, m.unit.name, m.noun
		return nil
	}
	// "750 ml bottle", "2-inch piece": the measure is the one before.
	if m := container().FindStringSubmatch(text); m != nil {
		of, ok := measures()[normalUnit(strings.TrimRight(m[1], "- "))]
		if long, _, two := strings.Cut(m[1], " "); !ok && two { // "3-inch cinnamon stick"
			of, ok = measures()[normalUnit(strings.TrimRight(long, "-"))]
			ok = ok && of.unit.size == 0
		}
		if ok && (of.unit.size > 0 || of.noun == "inch" || of.noun == "cm") {
			a.Kind, a.Unit, a.Noun = of.unit.kind, of.unit.name, of.noun
			return nil
		}
	}
	// "1 cinnamon stick", "3 vanilla beans": the last word is what is counted.
	if i := strings.LastIndexByte(text, ' '); i > 0 && !secondAmount().MatchString(text) {
		if m, ok := measures()[normalUnit(text[i+1:])]; ok && m.unit.kind == Count && m.noun != "" &&
			(!startsWithUnit(text[:i]) || measures()[normalUnit(text[:i])].noun == m.noun) {
			a.Kind, a.Unit, a.Noun = Count, "piece", m.noun
			return nil
		}
	}
	return a.unknownUnit(text, word)
}

// startsWithUnit reports whether text begins with the name of a unit, so that
// "cup cardamom pods" is not read as pods.
func startsWithUnit(text string) bool {
	words := strings.Fields(text)
	for i := range words {
		if _, ok := measures()[normalUnit(strings.Join(words[:i+1], " "))]; ok {
			return true
		}
		if _, ok := noUnits[normalUnit(words[i])]; ok {
			return true
		}
	}
	return false
}

// ofFruit reads what follows the number in "zest of 3 limes".
func (a *Amount) ofFruit(text string) *Error {
	a.Kind, a.Unit, a.Noun = Count, "piece", "fruit"
	if text == "" {
		return nil
	}
	// Which fruit it is, the line's own name says: "10 key limes".
	if m, ok := measures()[normalUnit(text)]; ok && m.unit.kind == Count || !ok &&
		!secondAmount().MatchString(text) && !startsWithUnit(text) && !strings.ContainsAny(text, "%+/(,") {
		return nil
	}
	if strings.Contains(text, " and ") {
		return a.wrong(a.Of+" of "+spellNumber(a.Low, true),
			"%s holds two things; give each a line of its own")
	}
	return a.wrong(a.Of+" of "+spellNumber(a.Low, true), "in %s only a number of fruit can follow %q, not %s",
		a.Of+" of", shown(text))
}

func sumExample(k Kind) string {
	if k == Volume {
		return "250 ml"
	}
	return "570 g"
}

var secondAmount = pattern.New(`[0-9¼½¾⅓⅔⅛⅜⅝⅞]`)

// unknownUnit words what follows a number and is no unit.
func (a *Amount) unknownUnit(text, word string) *Error {
	n := spellNumber(a.Low, true)
	if a.High > a.Low {
		n += "-" + spellNumber(a.High, true)
	}
	for _, w := range []string{word, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es")} {
		if no, ok := noUnits[w]; ok {
			return fail(a.Text, strings.ReplaceAll(no[1], "%s", n), "%s", no[0])
		}
	}
	words := strings.Fields(text)
	// A unit with something behind it: the something belongs elsewhere.
	for i := len(words) - 1; i > 0; i-- {
		head, tail := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		m, ok := measures()[normalUnit(head)]
		if !ok {
			continue
		}
		if secondAmount().MatchString(tail) {
			return a.wrong(sumExample(m.unit.kind), "%s holds more than one amount; add them up in one unit")
		}
		if m.unit.kind == Count && strings.HasPrefix(strings.ToLower(tail), "of ") {
			tail = tail[3:]
		}
		return fail(a.Text, n+" "+head, "%s in %s is more than an amount; what it is belongs to name, how "+
			"it is prepared to cut", shown(tail), shown(a.Text))
	}
	if secondAmount().MatchString(text) && !secondAmount().MatchString(words[0]) {
		// "a wee 1/4 cup": what is near is what stands behind the word.
		if near, err := parseAmount(text[len(words[0]):]); err == nil &&
			leadingWord().MatchString(tidy(a.Text)) {
			return fail(a.Text, near.String(), "%s in %s is not understood; leave it out, or write a range",
				shown(words[0]), shown(a.Text))
		}
		return a.wrong(amountExample, "%s holds more than one amount; add them up in one unit")
	}
	if likely, ok := likelyUnit(word); ok {
		return fail(a.Text, n+" "+likely, "unknown unit %s in %s; did you mean %q?", shown(text),
			shown(a.Text), likely)
	}
	return fail(a.Text, "3 pieces", "unknown unit %s in %s; use a weight (g, oz wt), a measure (ml, tsp, "+
		"tbsp, cup, fl oz) or a count (pieces, fruit, pods, sticks)", shown(text), shown(a.Text))
}

// sane refuses amounts that no bench has.
func (a *Amount) sane() *Error {
	size, most := a.size(), mostGrams
	if size == 0 {
		size, most = 1, mostPieces
		if a.Kind == Ounce {
			size, most = gramPerOunce, mostGrams
		}
	}
	switch {
	case a.Low == 0 && a.High == 0:
		return a.wrong(amountExample, "the amount %s is zero; leave it out if nobody measured it")
	case a.Low == 0:
		return a.wrong("1-2 pieces", "the range %s begins at zero")
	case math.IsNaN(a.Low) || math.IsInf(a.High, 0) || !(a.High*size <= most):
		limit := "1000 kg or 1000 l"
		if most == mostPieces {
			limit = strconv.Itoa(mostPieces)
		}
		return a.wrong(amountExample, "the amount %s is more than %s; is the unit right?", limit)
	case a.Low*size < leastGrams:
		return a.wrong(amountExample, "the amount %s is less than any scale shows; is the unit right?")
	}
	return nil
}
