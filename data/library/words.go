package library

import (
	"slices"
	"strings"
	"unicode"

	"steepbook/data/pattern"
)

// The names of things are compared as sets of singular words, so that
// "zest of lime", "Lime zest" and "limes, zest" are one name.

// words splits a name into normalised words in the order written.
func words(name string) []string {
	fields := strings.FieldsFunc(leftIn(leftOut(fold(name))), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != ':' && r != '%' && r != '.'
	})
	out := fields[:0]
	for _, w := range fields {
		w = strings.Trim(w, ":.")
		if w == "" || stopWords[w] {
			continue
		}
		w = singular(w)
		if s, ok := spellings[w]; ok {
			w = s
		}
		out = append(out, w)
	}
	return out
}

// leftOut drops remarks on parts that were taken off and change nothing else: lemon
// peel without pith is lemon peel. "No stones" and "seeds removed" are one word each.
func leftOut(s string) string {
	if strings.Contains(s, "no ") || strings.Contains(s, "without ") {
		s = partsOut().ReplaceAllString(s, " ")
	} else if !strings.Contains(s, "removed") && !strings.Contains(s, "discarded") && !strings.Contains(s, " out") {
		return s
	}
	return stonesOut().ReplaceAllStringFunc(s, func(m string) string {
		if strings.Contains(m, "seed") || strings.Contains(m, "pip") {
			return " deseeded "
		}
		return " pitted "
	})
}

// leftIn turns "with stones", "stones in" and "with ribs" into one word each:
// cherries with their stones are fruit, cherry stones are not.
func leftIn(s string) string {
	if !strings.Contains(s, "with ") && !strings.Contains(s, " in") {
		return s
	}
	s = withParts().ReplaceAllStringFunc(s, func(m string) string {
		switch m = strings.TrimRight(m[strings.LastIndexByte(m, ' ')+1:], "s"); m {
		case "rib":
			return "unribbed"
		case "seed", "pip":
			return "unseeded"
		}
		return "unpitted"
	})
	return partsIn().ReplaceAllString(s, "unpitted")
}

var (
	withParts = pattern.New(`\bwith (?:the |their |its )?(?:stone|pit|seed|pip|rib)s?\b`)
	partsOut  = pattern.New(`\b(?:with no|no|without|without any|without the|without its) (?:white )?(?:pith|stem|stalk|core|membrane|wax|husk|added sugar|additive|colou?ring)s?\b`)
	stonesOut = pattern.New(`\b(?:with no|no|without(?: any| the| its)?) (?:stone|pit|seed|pip|kernel)s?\b|\b(?:stone|pit|seed|pip|kernel)s? (?:(?:are|were|all) )?(?:removed|discarded|taken out|out)\b`)
	partsIn   = pattern.New(`\b(?:stone|pit)s? (?:left )?in\b`)
)

// key is the set of words as one string.
func key(ws []string) string {
	if len(ws) == 1 {
		return ws[0]
	}
	ws = slices.Clone(ws)
	slices.Sort(ws)
	return strings.Join(slices.Compact(ws), " ")
}

func nameKey(name string) string { return key(words(name)) }

// fold lowers a name, takes accents and apostrophes off and parts joined letters.
func fold(s string) string {
	plain := true
	for i := range len(s) {
		c := s[i]
		plain = plain && c < 128 && c != '\'' && c != '`' && (c < 'A' || c > 'Z')
	}
	if plain {
		return s
	}
	if strings.ContainsAny(s, "œŒæÆß") {
		s = ligatures.Replace(s)
	}
	return strings.Map(func(r rune) rune {
		if r == '\'' || r == '’' || r == '`' || unicode.Is(unicode.Mn, r) {
			return -1
		}
		r = unicode.ToLower(r)
		if r < 128 {
			return r
		}
		for _, a := range accents {
			if strings.ContainsRune(a.from, r) {
				return a.to
			}
		}
		return r
	}, s)
}

var ligatures = strings.NewReplacer("œ", "oe", "Œ", "oe", "æ", "ae", "Æ", "ae", "ß", "ss")

var accents = []struct {
	from string
	to   rune
}{
	{"àáâãäåā", 'a'}, {"çćč", 'c'}, {"èéêëēě", 'e'}, {"ìíîïī", 'i'}, {"ñń", 'n'},
	{"òóôõöøō", 'o'}, {"ùúûüū", 'u'}, {"ýÿ", 'y'}, {"šś", 's'}, {"žźż", 'z'}, {"ł", 'l'},
}

var stopWords = map[string]bool{"of": true, "the": true, "a": true, "an": true, "and": true, "with": true, "in": true, "from": true, "or": true}

// spellings maps a singular word to the spelling used in the data.
var spellings = map[string]string{
	"chili": "chilli", "chile": "chilli", "chilly": "chilli", "chillie": "chilli",
	"liquorice": "licorice", "whisky": "whiskey", "yoghurt": "yogurt", "sulphite": "sulfite", "sulphate": "sulfate", "sulphuric": "sulfuric",
	"mandarine": "mandarin", "vanille": "vanilla", "cardamon": "cardamom", "cardamum": "cardamom",
	"flavour": "flavor", "colour": "color", "tumeric": "turmeric", "rosehip": "rose hip",
	"zested": "zest", "dry": "dried", "rind": "peel", "powdered": "powder", "caster": "castor",
	"icing": "powder", "confectioner": "powder", "gramme": "gram", "litre": "liter",
	"pimento": "allspice", "pimenta": "allspice",
	"dehydrated": "dried", "desiccated": "dried", "sundried": "dried",
	"kaffir": "makrut", "noyaux": "noyau", "mould": "mold", "crystallised": "crystallized",
}

// singular undoes the English plural of a lower-case word.
func singular(w string) string {
	if s, ok := irregular[w]; ok {
		return s
	}
	n := len(w)
	switch {
	case n < 4 || !strings.HasSuffix(w, "s"):
		return w
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
		return w
	case strings.HasSuffix(w, "ies") && n > 4:
		return w[:n-3] + "y"
	case strings.HasSuffix(w, "oes"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"), strings.HasSuffix(w, "xes"), strings.HasSuffix(w, "sses"):
		return w[:n-2]
	}
	return w[:n-1]
}

var irregular = map[string]string{
	"chilis": "chilli", "leaves": "leaf", "halves": "half", "cookies": "cookie", "molasses": "molasses",
	"lees": "lees", "sloes": "sloe", "cloves": "clove", "chives": "chive", "olives": "olive",
	"allspice": "allspice", "haws": "haw", "loaves": "loaf", "hips": "hip", "quinces": "quince",
	"swiss": "swiss", "citrus": "citrus", "cassis": "cassis", "brandies": "brandy",
	"eaux": "eau", "grains": "grain", "oats": "oat", "bitters": "bitters",
}
