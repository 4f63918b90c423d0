package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"steepbook/data/pattern"
)

// This file words the slips that the scanner meets: what the writer most likely
// meant, and how that is written.

// endOfLine checks that nothing but a comment follows a value or a table line.
func (s *scanner) endOfLine(header bool) *Error {
	end := s.pos
	s.skipSpaces()
	if s.atLineEnd() || s.peek() == '#' {
		return nil
	}
	rest := s.restOfLine(s.pos)
	to := s.pos + len(rest)
	switch {
	case strings.HasPrefix(rest, ","):
		return s.here(s.pos, s.pos+1, "", "a comma at the end of the line; in this file each line ends "+
			"without one")
	case strings.HasPrefix(rest, ";"):
		return s.here(s.pos, s.pos+1, "", "a semicolon at the end of the line; in this file each line ends "+
			"without one")
	case secondPair().MatchString(rest):
		return s.here(s.pos, to, "", "%s begins a second name and value on the same line; put it on a line "+
			"of its own", quoted(rest))
	case strings.HasPrefix(rest, "["):
		return s.here(s.pos, to, "", "the table line %s must stand on a line of its own", quoted(rest))
	case header:
		return s.here(s.pos, to, "", "%s stands after the table line; put it on a line of its own",
			quoted(rest))
	case rest == `"`, strings.HasSuffix(s.text[:end], `""`) && strings.HasSuffix(rest, `"`):
		return s.here(end-1, end, "", "one quotation mark too many")
	case strings.Contains(rest, `"`):
		return s.here(s.pos, to, `words = 'called "bright" by all'`,
			"the text ended at the quotation mark before %s; around a text that holds quotation marks put "+
				"single ones", quoted(rest))
	case s.pos == end && (s.text[end-1] == '"' || s.text[end-1] == '\''):
		return s.here(s.pos, to, "", "%s stands outside the quotation marks; put it inside, or delete it",
			quoted(rest))
	}
	return s.here(s.pos, to, "", "%s stands after the end of the value; put # before a remark", quoted(rest))
}

var secondPair = pattern.New(`^[A-Za-z0-9_-]+ *=`)

// twice words the advice for a table that is there a second time.
func (s *scanner) twice(name string) string {
	if form, _ := s.d.target.tableForm(name); strings.HasPrefix(form, "[[") {
		return "for several write " + form + " before each"
	}
	return "put their lines together under one of them"
}

// meantTable guesses the table line that a line with stray brackets was meant
// to be; "" when it looks like none.
func (s *scanner) meantTable(line, asWritten string) string {
	name := strings.Join(strings.Fields(strings.NewReplacer("[", "", "]", "").Replace(line)), "")
	if form, fixed := s.d.target.tableForm(name); fixed {
		return form
	}
	if name == "" || strings.ContainsFunc(name,
		func(r rune) bool { return r >= utf8.RuneSelf || !isBare(byte(r)) }) {
		return ""
	}
	return fmt.Sprintf(asWritten, name)
}

// badKey words the fault where a name was expected and none stands.
func (s *scanner) badKey(start int, header bool) *Error {
	rest := s.restOfLine(start)
	to := start + len(rest)
	r, width := utf8.DecodeRuneInString(s.text[s.pos:])
	switch {
	case header:
		return s.here(start, to, "[finish]", "a table line needs a plain name between its brackets")
	case s.peek() == '=':
		return s.here(s.pos, s.pos+1, `name = "Winter cordial"`, `there is no name before "="`)
	case s.peek() == ',':
		return s.here(s.pos, s.pos+1, "", "one comma too many")
	case s.peek() == '{':
		return s.here(s.pos, s.pos+1, "", "one brace { too many")
	case isCurly(r):
		return s.here(s.pos, s.pos+width, `"green cardamom" = 3`,
			"a curly quotation mark %c; use the straight one \"", r)
	case unicode.IsLetter(r):
		name, value, _ := strings.Cut(rest, "=")
		name = strings.TrimSpace(name)
		return s.here(start, to, fmt.Sprintf("%q = %s", name, valueFrom(value)),
			"the name %s has letters beyond a to z, so it needs quotation marks", quoted(name))
	}
	return s.here(start, to, `name = "Winter cordial"`, "%s is not a line of the form name = value",
		quoted(rest))
}

// noEquals words the fault of a line that starts like a key but has no "=".
func (s *scanner) noEquals(start int, path []keyPart, inline bool) *Error {
	rest := s.restOfLine(start)
	to := start + len(rest)
	name := joinKeys(path)
	if inline {
		// "{ bitter = 3,5 }": the comma before a lone number was meant as a decimal point.
		if c := s.peek(); (c == '}' || c == ',') && isDigits(name) {
			return s.here(start, s.pos, "3.5", "a decimal comma before %s; write a decimal point",
				quoted(name))
		}
		if before, _, ok := strings.Cut(name, "="); ok {
			return s.here(start, s.pos, fmt.Sprintf("%q = 3", strings.TrimSpace(before)),
				"the name %s has no closing quotation mark", quoted(strings.TrimSpace(before)))
		}
		if i := strings.IndexAny(rest, "=,}"); i >= 0 && rest[i] == '=' {
			long := strings.TrimSpace(rest[:i])
			bare := strings.NewReplacer(`"`, "", "'", "").Replace(long)
			switch {
			case bare != long && s.text[start] == '"' && strings.HasSuffix(long, `"`), bare == name:
			case bare != long:
				return s.here(start, start+i, fmt.Sprintf("%q = 3", bare),
					"the name %s needs one quotation mark at each end", quoted(long))
			default:
				return s.here(start, start+i, fmt.Sprintf("%q = 3", long),
					"the name %s has more than one word, so it needs quotation marks", quoted(long))
			}
		}
		return s.here(start, s.pos, fmt.Sprintf("%s = 3", toml.Key(keyNames(path))),
			`%s has no "=" and value after it`, quoted(name))
	}
	if form := s.meantTable(rest, "[%s]"); strings.HasSuffix(rest, "]") && !strings.Contains(rest, "=") &&
		form != "" {
		return s.here(start, to, form, "the table line %s does not begin with its brackets", quoted(rest))
	}
	after := s.restOfLine(s.pos)
	key := toml.Key(keyNames(path)).String()
	switch {
	case strings.HasPrefix(after, ":"):
		return s.here(s.pos, s.pos+1, key+" = "+valueFrom(after[1:]),
			`between a name and its value stands "=", not ":"`)
	case after == "":
		return s.here(start, to, key+` = "…"`,
			`%s stands alone on its line; a line gives a name, "=" and a value`, quoted(rest))
	}
	if i := strings.IndexByte(after, '='); i >= 0 && !strings.ContainsAny(after[:i], `"'`) {
		long := name + " " + strings.TrimSpace(after[:i])
		if near, ok := s.d.target.keyLike(s.path, long); ok {
			return s.here(start, s.pos+i, near+" = "+valueFrom(after[i+1:]),
				"a space stands within the name %s; did you mean %q?", quoted(long), near)
		}
		return s.here(start, s.pos+i, fmt.Sprintf("%q = %s", long, valueFrom(after[i+1:])),
			"the name %s has more than one word, so it needs quotation marks", quoted(long))
	}
	if c := after[0]; c == '"' || c == '\'' || c == '[' || c == '{' || isPlain(after) {
		return s.here(start, to, key+" = "+valueFrom(after), `"=" is missing between %s and its value`,
			quoted(name))
	}
	return s.here(start, to, `name = "Winter cordial"`,
		"%s is not a line of the form name = value; put # before a remark", quoted(rest))
}

func isDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// valueFrom turns what stands in the user's line into a value for an example.
func valueFrom(text string) string {
	text = strings.TrimSpace(text)
	if text == "" {
		return `"…"`
	}
	if c := text[0]; c == '"' || c == '\'' || c == '[' || c == '{' || isPlain(text) {
		return text
	}
	return fmt.Sprintf("%q", strings.Trim(text, curly+`"' `))
}

const curly = "“”„‟‘’‚‛«»″′`´"

func isCurly(r rune) bool { return strings.ContainsRune(curly, r) }

func (s *scanner) unclosed(start int, c byte, name string) *Error {
	text := s.restOfLine(start)
	shown := strings.TrimSpace(strings.TrimRight(text[1:], curly+`\`))
	right := name + " = " + string(c) + shown + string(c)
	if name == "key" || strings.ContainsAny(shown, "=}]#") {
		right = "" // where the text was meant to end is anyone's guess
	}
	if shown == "" {
		return s.here(start, start+len(text), "", "a quotation mark stands alone and is never closed")
	}
	return s.here(start, start+len(text), right, "the quotation mark before %s is never closed",
		quoted(shown))
}

// unfinished words a list or braces in which something stands that is neither a
// comma nor the end. On a later line than the beginning, the end was most likely
// forgotten, so that is where the error points.
func (s *scanner) unfinished(start, line int, what, name string, end byte) *Error {
	next := s.restOfLine(s.pos)
	if s.line > line {
		return s.d.mark(line, start, start+1, "",
			fmt.Sprintf("the %s of %s here must be closed with %c, or a comma is missing before %s on "+
				"line %d", what, quoted(name), end, quoted(next), s.line))
	}
	return s.here(s.pos, s.pos+len(next), "", "in the %s of %s a comma or %c is missing before %s", what,
		quoted(name), end, quoted(next))
}

// plainValue is every value that needs no quotation marks, generously: the
// library decides on the exact form of numbers and dates.
var plainValue = pattern.New(`^(true|false|[+-]?(inf|nan)|` +
	`[+-]?(0|[1-9](_?[0-9])*)(\.[0-9](_?[0-9])*)?([eE][+-]?[0-9](_?[0-9])*)?|` +
	`0x[0-9A-Fa-f_]+|0o[0-7_]+|0b[01_]+|` +
	`[0-9]{4}-[0-9]{2}-[0-9]{2}([Tt ][0-9:.]+([Zz]|[+-][0-9:]+)?)?|[0-9]{2}:[0-9]{2}[0-9:.]*)$`)

// isPlain reports whether a value needs no quotation marks. Nearly all are shaped
// like one of these, and no pattern is compiled for them.
func isPlain(text string) bool {
	whole, part, point := strings.Cut(text, ".")
	if len(whole) < 16 && digits(whole) && (whole == "0" || whole[0] != '0') && (!point || digits(part)) {
		return true
	}
	shape := strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return '0'
		}
		return r
	}, text)
	return shape == "true" || shape == "false" || shape == "0000-00-00T00:00:00" ||
		plainValue().MatchString(text)
}

// digits reports whether a text is digits, one at least.
func digits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

var (
	decimalComma = pattern.New(`^[+-]?[0-9]+,[0-9]+$`)
	pointAtEdge  = pattern.New(`^[+-]?(\.[0-9]+|[0-9]+\.)$`)
	zeroPadded   = pattern.New(`^[+-]?0+[0-9]+(\.[0-9]+)?$`)
	almostDate   = pattern.New(`^([0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]|[0-9]{1,2}[-/.][0-9]{1,2}[-/.][0-9]{2}|` +
		`[0-9 ]{2,}-[0-9 -]*[Tt]*[0-9 -]*:|[0-9]{4,}-+[0-9]+-+[0-9]+$)`)
	leadingNumber = pattern.New(`^[+-]?(0|[1-9][0-9]*)(\.[0-9]+)?`)
	runTogether   = pattern.New(`^(.*?)[ ,]*(("[^"]*"|[A-Za-z_-]+) *=.*)$`)
)

// bareValue reads a number, a date, true or false, and words everything else
// that stands without quotation marks.
func (s *scanner) bareValue(name string, inside bool) *Error {
	start := s.pos
	stop := "\n#"
	if inside {
		stop = "\n#,]}"
	}
	for s.pos < len(s.text) && strings.IndexByte(stop, s.text[s.pos]) < 0 {
		s.pos++
	}
	text := strings.TrimRight(s.text[start:s.pos], " \t\r")
	s.pos = start + len(text)
	if isPlain(text) {
		return nil
	}
	key := name
	if strings.ContainsAny(key, " .") {
		key = fmt.Sprintf("%q", key)
	}
	wrong := func(right, format string, args ...any) *Error {
		return s.here(start, s.pos, key+" = "+right, format, args...)
	}
	first, width := utf8.DecodeRuneInString(text)
	switch {
	case text == "" && inside:
		return s.d.mark(s.line, max(start-1, 0), start, "",
			fmt.Sprintf("%s has no value; give one, or leave the name out", quoted(name)))
	case text == "":
		return s.d.mark(s.line, max(start-1, 0), start, "",
			fmt.Sprintf("%s has no value; give one, or delete the line", quoted(name)))
	case first == '=':
		return s.here(start, start+1, key+" = "+valueFrom(strings.TrimLeft(text, "= ")), `one "=" too many`)
	case isCurly(first):
		return s.here(start, start+width, key+" = "+valueFrom(text),
			"a curly quotation mark %c; use the straight one \"", first)
	case strings.HasSuffix(text, "}") && !inside:
		return wrong("{ "+text, "the braces of %s have no opening {", quoted(name))
	case strings.HasSuffix(text, "]") && !inside && !strings.Contains(text, "["):
		return wrong("["+text, "the list of %s has no opening [", quoted(name))
	case runTogether().MatchString(text) && inside:
		m := runTogether().FindStringSubmatch(text)
		return s.here(start, s.pos, "", "a comma is missing between %s and %s", quoted(m[1]), quoted(m[2]))
	case runTogether().MatchString(text):
		m := runTogether().FindStringSubmatch(text)
		return s.here(start, s.pos, "", "%s begins a second name and value on the same line; put it on a "+
			"line of its own", quoted(m[2]))
	case strings.HasSuffix(text, `"`) || strings.HasSuffix(text, `'`):
		return wrong(fmt.Sprintf("%q", strings.ReplaceAll(strings.Trim(text, `"' `), `"`, "")),
			"the text of %s has no opening quotation mark", quoted(name))
	}
	if right, problem := almost(text); right != "" {
		return wrong(right, problem, quoted(text))
	}
	if f, t, ok := s.d.target.fieldAt(s.path); ok && wanted(t) != "" && wanted(t) != wantText {
		right := f.right
		if m := leadingNumber().FindString(text); right == "" && m != "" {
			right = key + " = " + m
		}
		return s.here(start, s.pos, right, "%s should be %s, not %s", quoted(name), wanted(t), quoted(text))
	}
	return wrong(fmt.Sprintf("%q", text), "%s is text and needs quotation marks", quoted(text))
}

// almost finds the number, the date, the true or false that a slip of the pen was meant
// to be, and what is wrong with it, with a place for the text; both empty where it is none.
func almost(text string) (right, problem string) {
	bare := strings.TrimLeft(text, "+-")
	sign := text[:len(text)-len(bare)]
	switch {
	case isYes(text):
		return "true", "%s is neither true nor false; write true for yes"
	case isNo(text):
		return "false", "%s is neither true nor false; write false for no"
	case decimalComma().MatchString(text):
		return strings.Replace(text, ",", ".", 1), "a decimal comma in %s; write a decimal point"
	case almostDate().MatchString(text):
		return "2026-11-20T18:00:00", "%s is not a date and time of the form year-month-dayThour:minute"
	case pointAtEdge().MatchString(text):
		return sign + zeroFirst(strings.TrimSuffix(bare, ".")), "%s has no digit on one side of its point"
	case zeroPadded().MatchString(text):
		return sign + zeroFirst(strings.TrimLeft(bare, "0")), "%s begins with a needless zero"
	}
	return "", ""
}

// zeroFirst puts the digit before a point that stands first, or that is all.
func zeroFirst(digits string) string {
	if digits == "" || digits[0] == '.' {
		return "0" + digits
	}
	return digits
}

func isYes(s string) bool {
	switch strings.ToLower(s) {
	case "yes", "y", "on", "true", "ja", "oui", "si":
		return true
	}
	return false
}

func isNo(s string) bool {
	switch strings.ToLower(s) {
	case "no", "n", "off", "false", "none", "nein", "non":
		return true
	}
	return false
}
