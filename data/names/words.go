// Package names reads the names that people give to things: which words they are made of,
// and which of some names was typed.
package names

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"steepbook/data"
)

// The names of things are compared as sets of singular words, so that
// "zest of lime", "Lime zest" and "limes, zest" are one name.

// Words splits a name into normalised words in the order written.
//
//go:noinline
//go:noinline
func Words(name string) []string { return Append(make([]string, 0, 4), name) }

// longestRead is how far a name is read, in bytes: what is longer is none.
const longestRead = 1000

// Append adds the words of a name to a list.
func Append(out []string, name string) []string {
	s, old := Fold(name[:min(len(name), longestRead)]), len(out)
	for read := false; ; read = true {
		remark := false
		for rest := s; rest != ""; {
			n := wordEnd(rest)
			w := rest[:n]
			rest = rest[min(n+1, len(rest)):]
			for w != "" && mark(w[0]) {
				w = w[1:]
			}
			for w != "" && mark(w[len(w)-1]) {
				w = w[:len(w)-1]
			}
			if w == "" {
				continue
			}
			f, known := forms()[w]
			remark = remark || f.remark
			if !known {
				f.word = regular(w)
			}
			if f.word != "" {
				out = append(out, f.word)
			}
		}
		if !remark || read {
			return out
		}
		s, out = leftIn(leftOut(s)), out[:old]
	}
}

// wordEnd is how long the word is that a text begins with, 0 where it begins with
// what parts words: anything but letters, digits, colon, per cent and point.
func wordEnd(s string) int {
	i := 0
	for i < len(s) && inWords[s[i]] {
		i++
	}
	if i == len(s) || s[i] < utf8.RuneSelf {
		return i
	}
	for j, r := range s[i:] {
		if r < utf8.RuneSelf && !inWords[r] ||
			r >= utf8.RuneSelf && !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return i + j
		}
	}
	return len(s)
}

// inWords are the signs of ASCII that words are made of.
var inWords = func() (t [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyz0123456789:%.") {
		t[c] = true
	}
	return t
}()

// mark reports whether a sign belongs to a word only where it stands inside.
func mark(c byte) bool { return c == ':' || c == '.' }

// vocabulary holds the words of names by class, and says what each class is.
var vocabulary = sync.OnceValue(func() *data.Table { return data.OpenTable("vocabulary.csv") })

// classes are the words of each class that was asked for.
var classes sync.Map

// Related are the words of a class, each with what stands beside it, read when they are
// first asked for. It is called some thirty times: inlined there it made the program larger.
//
//go:noinline
func Related(class string) func() map[string][]string {
	words, _ := classes.LoadOrStore(class, sync.OnceValue(func() map[string][]string {
		m := make(map[string][]string)
		for _, r := range vocabulary().Rows(class) {
			for word := range strings.SplitSeq(r.Text("words"), ", ") {
				word, of, _ := strings.Cut(word, " = ")
				m[word] = strings.Fields(of)
			}
		}
		return m
	}))
	return words.(func() map[string][]string)
}

// form is what becomes of a word as written.
type form struct {
	word   string // "" where it is left out
	remark bool   // without such a word leftOut and leftIn find nothing
}

var (
	spellings = Respelt("spelling")
	plurals   = Respelt("plural")
	forms     = sync.OnceValue(func() map[string]form {
		m := make(map[string]form)
		for w, s := range spellings() {
			m[w] = form{word: s}
		}
		for w, s := range plurals() {
			m[w] = form{word: spelled(s)}
		}
		for _, w := range strings.Fields("mit avec con en sott") {
			m[w] = form{w, true}
		}
		for w, r := range remarks() {
			if strings.IndexByte(telling, r.does) >= 0 {
				m[w] = form{regular(w), true}
			}
		}
		for _, w := range strings.Fields("of the a an and or") {
			m[w] = form{}
		}
		m["with"], m["in"], m["from"], m["all"] = form{remark: true}, form{remark: true}, form{remark: true}, form{"all", true}
		return m
	})
)

// Respelt are the ways to write a word, each with that word.
//
//go:noinline
func Respelt(class string) func() map[string]string {
	return sync.OnceValue(func() map[string]string {
		m := make(map[string]string)
		for w, also := range Related(class)() {
			for _, a := range also {
				m[a] = w
			}
		}
		return m
	})
}

// regular is what becomes of a word that is no form of its own.
func regular(w string) string {
	s := unending(w)
	if len(s) == len(w) {
		return w
	}
	return spelled(s)
}

func spelled(w string) string {
	if s, ok := spellings()[w]; ok {
		return s
	}
	return w
}

// Key is the set of words as one string.
func Key(ws []string) string {
	if len(ws) == 1 {
		return ws[0]
	}
	ws = slices.Clone(ws)
	slices.Sort(ws)
	return strings.Join(slices.Compact(ws), " ")
}

// Fold lowers a name, takes accents and apostrophes off and parts joined letters.
func Fold(s string) string {
	i := 0
	for i < len(s) && (inWords[s[i]] || s[i] == ' ') {
		i++
	}
	if i == len(s) {
		return s
	}
	out := make([]byte, 0, len(s)+4)
	for _, r := range s {
		switch {
		case r < latinEnd:
			out = append(out, latin[r]...)
		case r != '’' && !unicode.Is(unicode.Mn, r):
			out = utf8.AppendRune(out, unicode.ToLower(r))
		}
	}
	return string(out)
}

// latin is what Fold makes of each Latin letter and sign below latinEnd.
var latin = func() (t [latinEnd]string) {
	for r := range t {
		t[r] = string(unicode.ToLower(rune(r)))
	}
	for _, row := range strings.Fields("a:àáâãäåā c:çćč e:èéêëēě i:ìíîïī n:ñń o:òóôõöøō u:ùúûüū y:ýÿ s:šś z:žźż l:ł oe:œ ae:æ ss:ß") {
		plain, accented, _ := strings.Cut(row, ":")
		for _, r := range accented {
			t[r] = plain
			if up := unicode.ToUpper(r); up < latinEnd {
				t[up] = plain
			}
		}
	}
	t['\''], t['`'] = "", ""
	return t
}()

const latinEnd = 0x180

// Singular undoes the English plural of a lower-case word.
func Singular(w string) string {
	if s, ok := plurals()[w]; ok {
		return s
	}
	return unending(w)
}

// unending is the singular by rule.
func unending(w string) string {
	n := len(w)
	switch {
	case n < 4 || !strings.HasSuffix(w, "s"):
		return w
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
		return w
	case strings.HasSuffix(w, "ies") && n > 4:
		return w[:n-3] + "y"
	}
	for _, es := range []string{"oes", "ches", "shes", "xes", "sses"} {
		if strings.HasSuffix(w, es) {
			return w[:n-2]
		}
	}
	return w[:n-1]
}
