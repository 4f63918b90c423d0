package web

import (
	"container/list"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
)

// typed keeps forms that come back with a fault or a plan, each under a name that nobody
// can guess: the browser is sent to a page that it can load again and come back to, with
// all that was typed. They live in memory, the latest mostTyped of them.
type typed struct {
	mu   sync.Mutex
	by   map[string]*list.Element
	line *list.List // of *sent, the latest first
}

// mostTyped of at most mostSent bytes each: 8 MB.
const mostTyped = 128

// sent is a form that was sent, and what is said of it.
type sent struct {
	id, where string
	what      any // a batchPage or a newPage
}

// put keeps what a page is to show again.
func (t *typed) put(id, where string, what any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.line == nil {
		t.by, t.line = map[string]*list.Element{}, list.New()
	}
	t.by[id] = t.line.PushFront(&sent{id, where, what})
	if t.line.Len() > mostTyped {
		delete(t.by, t.line.Remove(t.line.Back()).(*sent).id)
	}
}

// get finds it again, on the page where it was sent.
func (t *typed) get(id, where string) (any, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	e, ok := t.by[id]
	if !ok || e.Value.(*sent).where != where {
		return nil, false
	}
	return e.Value.(*sent).what, true
}

// forgotten is said where a form is asked for that is not kept any more.
const forgotten = "What was typed here is not kept any longer; nothing of it was written."

// showTyped sends the browser to a page that shows a form again, at a place of it.
func (s *server) showTyped(w http.ResponseWriter, r *http.Request, where, place string, what any) {
	id := s.tickets.issue()
	s.typed.put(id, where, what)
	http.Redirect(w, r, where+"?typed="+url.QueryEscape(id)+"#"+place, http.StatusSeeOther)
}

// kept is a form whose page cannot be made, as long as the file it is about cannot be read: what
// was typed, to be sent again.
type kept struct {
	refusal
	Address string
	Fields  []keptField
}

// keptField is one value that was sent, and what it is called.
type keptField struct{ Name, Value, Label string }

// keep says why there is no page, with what was typed on it.
func (s *server) keep(w http.ResponseWriter, bad *trouble, address string, f url.Values) {
	if len(f) == 0 {
		s.refuse(w, bad.status, bad.problem)
		return
	}
	k := kept{refusal{frame{Title: "Nothing is written yet"}, bad.problem}, address, nil}
	for _, name := range slices.Sorted(maps.Keys(f)) {
		for _, v := range f[name] {
			x := keptField{Name: name, Value: v}
			if name != "ticket" && name != "entry" && name != "do" && v != "" {
				x.Label = strings.Replace(strings.TrimPrefix(name, "score:"), "half:", "half a point more, ",
					1)
			}
			k.Fields = append(k.Fields, x)
		}
	}
	s.page(w, bad.status, "kept", k)
}

// fault is what is wrong in one field of a form, a sentence; Field is "" where it is the
// whole.
type fault struct{ Field, Text string }

// ID is that of the field on its page, where it has one.
func (f fault) ID() string { return fieldID(f.Field) }

// faults are all that is wrong in a form.
type faults []fault

func (f faults) Error() string {
	var all []string
	for _, x := range f {
		all = append(all, x.Text)
	}
	return strings.Join(all, " ")
}

// of is what is wrong in a field.
func (f faults) of(field string) string {
	for _, x := range f {
		if x.Field == field {
			return x.Text
		}
	}
	return ""
}

// wrong is the error of one field.
func wrong(field, text string) error { return faults{{field, text}} }

// fieldID is the id of a field on its page: what is no letter, digit or dash of ASCII is
// written by its number, so that no two fields share one.
func fieldID(name string) string {
	var id strings.Builder
	id.WriteString("in-")
	for _, r := range name {
		switch {
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-':
			id.WriteRune(r)
		default:
			fmt.Fprintf(&id, "_%x_", r)
		}
	}
	return id.String()
}

// input is a field as its page shows it.
type input struct{ ID, Name, Value, Bad string }
