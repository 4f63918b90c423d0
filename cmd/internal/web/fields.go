package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
)

// fields reads a form and knows what of it was asked for: what is filled in and goes into
// nothing is a fault of the form, whatever it is called.
type fields struct {
	sent url.Values
	read map[string]int   // how many values of a field went into something
	why  map[string]fault // what is wrong where a field is filled in that was not asked for
}

func fieldsOf(sent url.Values) *fields {
	return &fields{sent, map[string]int{"ticket": 1, "do": 1}, map[string]fault{}}
}

// text is what was typed into a field, letter by letter.
func (f *fields) text(name string) string {
	f.read[name] = max(f.read[name], 1)
	return f.sent.Get(name)
}

// get is what stands in a field, "" for nothing.
func (f *fields) get(name string) string { return strings.TrimSpace(f.text(name)) }

// all is everything that was sent for a field.
func (f *fields) all(name string) []string {
	f.read[name] = len(f.sent[name])
	return f.sent[name]
}

// choice is get of one of several values; any other stays unread.
func (f *fields) choice(name string, values ...string) string {
	if !slices.Contains(values, f.sent.Get(name)) {
		return ""
	}
	return f.get(name)
}

// either is what was said in another field already, else what stands in this one: of both
// this one stays unread.
func (f *fields) either(said, name string) string {
	if said == "" {
		return f.get(name)
	}
	f.unless(name, name, "%q is said another way already: %q. Keep one of the two.", f.sent.Get(name), said)
	return said
}

// unless says what is wrong, and in which field, if one is filled in that is not asked for.
func (f *fields) unless(name, at, form string, args ...any) {
	f.why[name] = fault{at, fmt.Sprintf(form, args...)}
}

// under is the rest of the names of filled fields that begin alike, each once.
func (f *fields) under(prefixes ...string) (names []string) {
	for name, values := range f.sent {
		for _, p := range prefixes {
			rest, ok := strings.CutPrefix(name, p)
			if ok && strings.Join(values, "") != "" && !slices.Contains(names, rest) {
				names = append(names, rest)
			}
		}
	}
	slices.Sort(names)
	return names
}

// left is a fault for each field that is filled in and was not asked for.
func (f *fields) left() (bad faults) {
	for _, name := range f.under("") {
		for _, value := range f.sent[name][min(f.read[name], len(f.sent[name])):] {
			if strings.TrimSpace(value) == "" {
				continue
			}
			x, said := f.why[name]
			if !said {
				x.Text = fmt.Sprintf("%q was sent as %q, which is not asked for here. Load the page again.", value, name)
			}
			if !slices.Contains(bad, x) {
				bad = append(bad, x)
			}
		}
	}
	return bad
}
