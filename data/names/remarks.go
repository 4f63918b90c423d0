package names

import (
	"regexp"
	"strings"
	"sync"

	"steepbook/data/pattern"
)

// What a word does in a remark on the parts of a plant, by a letter each, so that the remarks of a clause
// are found in the letters of its words.
const (
	telling = "nbltoaAk" // there is none without one of these, or "from"
	other   = 'x'
)

// remark is what a word does in one, and what is left of a part that is off: "pitted".
type remark struct {
	does byte
	left string
}

var remarks = sync.OnceValue(func() map[string]remark {
	m := make(map[string]remark)
	for does := range strings.SplitSeq("p s q i r n b l t o w a A u F G k y f d c", " ") {
		for w, left := range Related("remark " + does)() {
			m[w] = remark{does[0], strings.Join(left, "")}
		}
	}
	return m
})

// Lists of parts ahead of what takes them off and behind it: there a quality wants its noun, for leaves
// that were picked green are not off. What was cut from a stem is rid of it; flesh that was cut from
// kernels left them.
const (
	fill   = `[dfG]*`
	stems  = `[pq]r?(?:` + fill + `[pq]r?)*`
	listed = `[psq]r?(?:` + fill + `[psq]r?)*`
	parts  = `(?:[ps]r?|qr)(?:` + fill + `(?:[ps]r?|qr))*`
)

// The first finds the parts that are off: "no leaves", "trimmed of leaves", "leaves thrown away" (its first
// group) and "leaves picked off the stem" (its second, and then the first are there). What may be turned or
// holds of some only takes nothing off.
var (
	partsOut = pattern.New(`(?:[nb]|ld|[ot]+G)` + fill + listed + `u?|(?:[otwaA]+F|A)` + fill + stems + `|` +
		`(` + parts + `)` + fill + `(?:[wkt]?[aA]+|o[owaA]*|nu)([Ff]` + fill + listed + `|[dG]` + fill + listed + `|` + listed + `$)?`)
	doubtful = pattern.New(`y|n` + fill + `[nbtlowaA]|[nb]` + fill + listed + fill + `(?:o|[wkt]?[aA])|[aA]` + fill + listed + fill + `k`)
)

// leftOut drops what is said to be off, the one place where that is read: lemon peel without pith is lemon
// peel, berries off their stems are berries. Of stones and seeds one word is left. Each clause speaks for
// itself.
//
// It reports whether anything is named that leftIn reads as left in.
func leftOut(s string) (left string, parts bool) {
	var out strings.Builder
	begin := func(r rune) bool { return strings.ContainsRune(",;()!?|\u2013\u2014", r) }
	for clause := range strings.FieldsFuncSeq(s, begin) {
		var ws []string
		var does []byte
		end := func() {
			dropOff(&out, ws, string(does))
			ws, does = ws[:0], does[:0]
		}
		for w := range strings.FieldsFuncSeq(clause,
			func(r rune) bool { return r == '-' || wordEnd(string(r)) == 0 }) {
			bare := strings.Trim(w, ":.")
			r, known := remarks()[bare]
			if !known {
				r, known = remarks()[Singular(bare)]
			}
			parts = parts || r.does == 'i' || r.left != ""
			switch {
			case !known:
				r.does = other
			case r.does == 'c':
				end()
			}
			if ws, does = append(ws, w), append(does, r.does); bare != w && bare != "" && w[len(w)-1] == '.' {
				end()
			}
		}
		end()
		out.WriteString(", ")
	}
	return out.String(), parts
}

// dropOff writes the words of a clause without the parts that are off.
func dropOff(out *strings.Builder, ws []string, does string) {
	at := 0
	write := func(to int) {
		for ; at < to; at++ {
			out.WriteString(ws[at] + " ")
		}
	}
	if strings.ContainsAny(does, "psq") && !doubtful().MatchString(does) {
		for _, m := range partsOut().FindAllStringSubmatchIndex(does, -1) {
			from, to := m[0], m[1]
			if m[4] >= 0 { // these were taken off those
				write(m[3])
				at, from = m[4], m[4]
			}
			write(from)
			for ; at < to; at++ {
				if r, ok := remarks()[Singular(strings.Trim(ws[at], ":."))]; ok && r.left != "" {
					out.WriteString(r.left + " ")
				}
			}
		}
	}
	write(len(ws))
}

// leftIn turns "with stones", "stones in", "with ribs" and "in oil" into one word each:
// cherries with their stones are fruit, cherry stones are not, nor are olives in oil olive oil.
func leftIn(s string, parts bool) string {
	for _, in := range []func() *regexp.Regexp{withParts, partsIn} {
		if !parts {
			break
		}
		s = in().ReplaceAllStringFunc(s, func(m string) string {
			switch {
			case ribs().MatchString(m):
				return " unribbed "
			case seeds().MatchString(m):
				return " unseeded "
			}
			return " unpitted "
		})
	}
	// one of them is in all of its words
	for _, oil := range []string{"ol", "oil", "oel", "huile", "aceite"} {
		if strings.Contains(s, oil) {
			return oilAround().ReplaceAllString(s, "oilpacked")
		}
	}
	return s
}

// stoneAbroad is a stone of a fruit, in other languages, from memory.
const stoneAbroad = `(?:(?:den|dem|ihren|les|leurs|ses|sus|los|i|il) )?(?:stein|steinen|steine|kern|kernen|kerne|noyau|noyaux|hueso|huesos|nocciolo|noccioli)\b`

var (
	ribs      = pattern.New(`\bribs?\b`)
	seeds     = pattern.New(`\b(?:seed|pip)s?\b`)
	withParts = pattern.New(`\bwith (?:the |their |its )?(?:(?:core|skin|peel)s? and )?(?:stone|pit|seed|pip|rib)s?\b|` +
		`\b(?:stone|pit|seed|pip)s? and all\b|\b(?:mit|avec|con) ` + stoneAbroad)
	partsIn = pattern.New(`\b(?:(?:stone|pit|seed|pip)s? |(?:stone|pit|seed|pip|kernel)s? (?:left|kept|still) )in(?:side)?` +
		`(?: (?:the |their )?(?:fruits?|flesh|cherry|cherries|berry|berries|it|them))? *(?:\b(?:and|but|for|while|during|too)\b|,|$)|` +
		`\b(?:stone|pit|seed|pip|kernel)s? (?:left|kept|still) (?:whole|intact|uncracked)\b`)
	oilAround = pattern.New(`\b(?:packed |preserved |stored )?(?:in|en|em|i|sott|a l|all) ?(?:(?:good|extra|virgin|olive|sunflower|rapeseed|canola|vegetable) )*` +
		`(?:oil|ol|oel|huile|olio|aceite|oleo|olie|olja|olivenol|rapsol|sonnenblumenol)\b`)
)
