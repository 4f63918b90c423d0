package quantity

import (
	"slices"
	"strings"

	"steepbook/data/pattern"
)

// mostLoose is the largest bare number that counts the things behind it: "6 nutmegs"
// are six, "151 rum" is a strength.
const mostLoose = 60

// longestLine is more than any line of a recipe has, in bytes.
const longestLine = 200

// ParseLine parts a line of a recipe into an amount and what it is of: "2 sticks of
// cinnamon", "1/2 cup white sugar", "10 cloves", "zest of 10 key limes" (which is of
// key lime zest). What stands behind the thing after a comma belongs to it. ok is
// false where a text does not begin with an amount, or names nothing.
func ParseLine(s string) (a Amount, thing string, ok bool) {
	text, after := tidy(s), ""
	if bareMeasure().MatchString(text) {
		text = "a " + text
	}
	if !strings.Contains(text, " ") || len(text) > longestLine || !opening().MatchString(text) {
		return Amount{}, "", false
	}
	if m := compound().FindStringSubmatch(text); m != nil {
		if _, ok := measures()[normalUnit(m[1])]; !ok {
			return Amount{}, "", false
		}
	}
	if a, err := parseAmount(text); err == nil && a.Of != "" { // "3 oranges, zested"
		thing = a.counted()
		return a, thing, thing != ""
	}
	if m := prepared().FindStringSubmatch(text); m != nil {
		text, after = m[1], m[2]
	}
	words := strings.Fields(text)
	for i := len(words); i > 0; i-- {
		a, err := parseAmount(strings.TrimRight(strings.Join(words[:i], " "), ","))
		if err != nil {
			continue
		}
		rest := words[i:]
		if len(rest) > 0 && strings.EqualFold(rest[0], "of") {
			rest = rest[1:]
		} else if len(rest) > 0 && a.Noun == "fruit" { // "12 apricot halves" are no apricots
			continue
		}
		thing = strings.Join(rest, " ")
		_, another := parseAmount(thing)
		switch {
		case thing == "":
			thing = a.counted()
		case another == nil && '0' <= thing[0] && thing[0] <= '9': // "2 g 3 g" names nothing
			return Amount{}, "", false
		case a.Of != "":
			continue
		case a.Kind == Count && a.Noun == "" && a.Of == "" && len(rest) > 1 && sizeless(rest[0]):
			// The reader of amounts says what is wrong with it.
			return Amount{Text: strings.Join(words[:len(words)-len(rest)+1], " ")},
				strings.TrimPrefix(strings.Join(rest[1:], " "), "of "), true
		case a.Kind == Count && a.Noun == "" && !a.countsLoosely(thing):
			return Amount{}, "", false
		}
		thing = strings.Trim(thing+", "+after, " ,")
		return a, thing, thing != ""
	}
	return Amount{}, "", false
}

// opening is how an amount may begin: most names do not.
var opening = pattern.New(`(?i)^(?:[0-9.½¼¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒~≈]|(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|dozen|couple|half|third|quarter` +
	`|few|several|the|zest|juice|peel|rind|skin|grated|finely|strips?|fresh|between|about|approx\.?|approximately|around|roughly|circa|ca\.?|scant|skimpy|short|shy|just` +
	`|slightly|not|nearly|almost|barely|bare|generous|good|ample|good-sized|level|heaped|heaping|rounded|packed|small|medium|large|big)\b)`)

// oneMeasure is a measure that stands alone, one of it: "pinch".
var oneMeasure = pattern.New(`(?i)^(?:pinch|dash|splash|handful|knob|thumb|drop|bunch|sprig)$`)

// ofSoMany begins an amount of a part whose name stands elsewhere: "di 1 limone".
var ofSoMany = pattern.New(`(?i)^(?:di|de|von|of) (\d)`)

// compound begins a name with a number in it: "five-flavour berry", but not "two-inch
// piece".
var compound = pattern.New(`(?i)^(?:two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)-([a-z]+)`)

// bareMeasure is a measure without its article: "pinch of salt".
var bareMeasure = pattern.New(`(?i)^(?:pinch|dash|splash|handful|knob|thumb|drop|bunch|sprig|slice|strip|piece|stick|bottle|glug|drizzle) of `)

// sizeless reports whether a word is a measure that is refused.
func sizeless(word string) bool {
	w := normalUnit(word)
	for _, w := range []string{w, strings.TrimSuffix(w, "s"), strings.TrimSuffix(w, "es")} {
		if _, ok := noUnits[w]; ok && w != "m" && w != "%" {
			return true
		}
	}
	return false
}

// prepared is what stands behind a comma: "2-inch piece, peeled".
var prepared = pattern.New(`^([^,]*(?:,[0-9][^,]*)?), +([a-zA-Z].*)$`)

// aPiece begins the name of a thing that is counted though it has no plural: "4 whole
// allspice".
var aPiece = pattern.New(`(?i)^(?:whole|dried|fresh|ripe) `)

// countsLoosely reports whether a bare number counts the things behind it: "8 tonka
// beans" are eight, "151 rum" and "five spice" are names.
func (a Amount) countsLoosely(thing string) bool {
	if anyOfSeveral().MatchString(a.Text) {
		return one(thing) != thing
	}
	digits := secondAmount().MatchString(a.Text)
	return a.High <= mostLoose && (one(thing) != thing || digits &&
		(a.High <= 1 || aPiece().MatchString(thing))) && !strings.HasPrefix(strings.ToLower(a.Text), "a")
}

// itself are the nouns that name a thing, and not only a piece of one.
var itself = []string{"fruit", "clove", "star", "egg", "egg white", "egg yolk", "chilli", "nut", "peppercorn"}

// counted is what a count says that it is of: "cinnamon sticks" of "2 cinnamon
// sticks", "key lime zest" of "zest of 10 key limes", nothing of "2 sticks".
func (a Amount) counted() string {
	if a.Kind != Count {
		return ""
	}
	scratch := Amount{Text: a.Text}
	text := scratch.qualify(scratch.leading(ofSoMany().ReplaceAllString(tidy(a.Text), "$1")), true)
	if m := ofPart().FindStringSubmatch(text); m != nil {
		text = scratch.leading(text[len(m[0]):])
	} else if m := partLast().FindStringSubmatch(text); m != nil {
		text = m[1]
	}
	if long := longThing().FindStringSubmatch(text); long != nil && (a.Noun == "inch" || a.Noun == "cm") {
		return long[1] // "3-inch cinnamon stick", but not "3-inch stick"
	}
	rest, err := scratch.numbers(text)
	if err != nil {
		return ""
	}
	what := scratch.qualify(ofWhat().ReplaceAllString(strings.TrimSpace(rest), ""), false)
	m, known := measures()[normalUnit(what)]
	switch {
	case known && slices.Contains(list(abroad[m.noun]), normalUnit(what)): // its name may be of any language
		return ""
	case a.Of != "" && what != "" && !(known && m.noun == "fruit" && normalUnit(what) == "fruit"):
		return one(what) + " " + a.Of
	case a.Of != "", known && !slices.Contains(itself, m.noun) && !strings.Contains(what, " "),
		strings.HasPrefix(what, "fruit"), a.Noun == "inch", a.Noun == "cm":
		return ""
	}
	return what
}

var longThing = pattern.New(`(?i)(?:inch|inches|cm)[- )]+([a-z]+ +[a-z].*)$`)

// one is the singular of what a fruit is called.
func one(what string) string {
	for _, end := range [][2]string{{"ies", "y"}, {"oes", "o"}, {"ches", "ch"}, {"s", ""}} {
		if head, ok := strings.CutSuffix(what, end[0]); ok && len(head) > 2 &&
			!strings.HasSuffix(what, "ss") && !strings.HasSuffix(what, "us") {
			return head + end[1]
		}
	}
	return what
}

// OfAnother reports a fruit that an amount counts and that is not the one a name
// speaks of: "3 limes" of "lemon zest". It is empty where they agree, or where one
// of them names no fruit.
func (a Amount) OfAnother(name string) string {
	if a.Noun != "fruit" {
		return ""
	}
	in := func(text string) (out []string) {
		for _, w := range lowerWords(text) {
			if m, ok := measures()[w]; ok && m.noun == "fruit" && one(w) != "fruit" &&
				!slices.Contains(list(abroad["fruit"]), w) {
				out = append(out, one(w))
			}
		}
		return out
	}
	said, named := in(a.Text), in(name)
	for _, w := range said {
		if len(named) > 0 && !slices.Contains(named, w) {
			return w
		}
	}
	return ""
}

// Beyond lists the words of a thing that a name does not have.
func Beyond(thing, name string) (out []string) {
	known := make(map[string]bool)
	for _, w := range lowerWords(name) {
		known[one(w)] = true
	}
	for _, w := range lowerWords(thing) {
		if !known[one(w)] && !slices.Contains([]string{"of", "the", "a", "an", "and"}, w) {
			out = append(out, w)
		}
	}
	return out
}

func lowerWords(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text),
		func(r rune) bool { return strings.ContainsRune(" ,()", r) })
}
