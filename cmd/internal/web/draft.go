package web

import (
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// drafted is a batch as a form has it, and what it would answer.
type drafted struct {
	batch.Draft
	file    string
	src     []byte
	answers *bench.Assessment

	lines map[string][]int // of a list: the lines of the form that its entries stand in
	bad   faults
}

// drafted reads the form of a new batch, and answers it. The error is all its faults at
// once: what is wrong in one field is left out to look at the others.
func (s *server) drafted(form url.Values, st *book.Standing) (*drafted, error) {
	d := s.draft(form, st)
	bad, left := d.bad, form
	for range mostFaults {
		d.file = fileName(d.Name, st.Names)
		var err error
		if d.src, d.answers, err = book.Draft(d.file, d.Draft, st.Library(), st.Now); err == nil {
			break
		}
		var f *book.Fault
		if !errors.As(err, &f) {
			return nil, err
		}
		name := d.fieldOf(f)
		if name == "" || !left.Has(name) || left.Get(name) == "" {
			if len(bad) == 0 {
				bad = append(bad, fault{"", s.sentence("", err)})
			}
			break
		}
		bad = append(bad, fault{name, s.sentence("", err)})
		left = withoutField(left, name)
		d = s.draft(left, st)
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return d, nil
}

// mostFaults are told at once.
const mostFaults = 12

func withoutField(f url.Values, name string) url.Values {
	out := url.Values{}
	for k, v := range f {
		if k != name {
			out[k] = v
		}
	}
	out.Set(name, "")
	return out
}

// fieldOf is the field that a fault in the text of a draft stands in, "" where none is.
func (d *drafted) fieldOf(f *book.Fault) string {
	switch f.Table {
	case "", "finish":
		return f.Key
	case "spirit":
		if f.Key == "amount" {
			return "amount"
		}
		return "spirit"
	}
	lines := d.lines[f.Table]
	if f.Entry >= len(lines) {
		return ""
	}
	key := f.Key
	if key == "" {
		key = "name"
	}
	return field(f.Table, lines[f.Entry], key)
}

// draft reads the form of a new batch, what is wrong in it left out.
func (s *server) draft(f url.Values, st *book.Standing) *drafted {
	said := func(name string) string { return strings.TrimSpace(f.Get(name)) }
	d := &drafted{lines: map[string][]int{}, Draft: batch.Draft{Name: said("name"), Room: said("room"),
		Bottle: said("bottle"), Store: said("store"), System: s.unitsOf(st), Started: book.Dated(st.Now)}}
	if d.System == quantity.US {
		d.Units = "us"
	}
	if d.Name == "" {
		d.wrong("name", "What is it called? It needs a name.")
		d.Name = "batch"
	}
	if text := said("started"); text != "" {
		m, said, err := batch.Reckoning{Now: st.Now, Loc: time.Local, System: d.System}.Moment(text)
		switch {
		case err != nil && said:
			d.wrong("started", "%s.", quantity.Capital(err.Error()))
		case err != nil:
			d.wrong("started", "%q is no moment; write it such as yesterday 6 pm.", text)
		default:
			d.Started = book.Dated(m.Time)
		}
	}
	if text := said("ready"); text != "" {
		m, _, err := batch.Reckoning{Now: st.Now, Loc: time.Local, Side: batch.Next,
			System: d.System}.Moment(text)
		if err != nil || !m.Time.After(st.Now) {
			d.wrong("ready", "%q is no day to come; write it such as 2026-12-20.", text)
		} else {
			d.Ready = m.Time.Format(time.DateOnly)
		}
	}
	if press := said("press"); press == "true" || press == "false" {
		d.Press = press
	}
	if text := said("spirit"); text != "" {
		spirit := batch.ParseDraftSpirit(text)
		if amount := said("amount"); amount != "" {
			spirit.Amount = amount
		}
		d.Spirits = []batch.DraftSpirit{spirit}
	}
	d.readLists(f)
	d.AsTyped()
	return d
}

func (d *drafted) wrong(field, form string, args ...any) {
	d.bad = append(d.bad, fault{field, fmt.Sprintf(form, args...)})
}

// likeIt is an example of what the lines of a new batch name.
var likeIt = map[string]string{"botanical": "clove", "watch": "bitter", "addition": "sugar"}

// readLists reads the lines of a new batch.
func (d *drafted) readLists(f url.Values) {
	each := func(list string, take func(line int, of func(string) string)) {
		for i := range lines(f, list) {
			of := func(name string) string { return strings.TrimSpace(f.Get(field(list, i, name))) }
			if err := batch.MeasureOnly(of("name"), "write what it is, like "+likeIt[list]); err != nil {
				d.wrong(field(list, i, "name"), "%s.", quantity.Capital(err.Error()))
			} else if of("name") != "" {
				d.lines[list] = append(d.lines[list], i)
				take(i, of)
			} else if slices.ContainsFunc([]string{"amount", "cut", "target", "limit", "from"},
				func(name string) bool { return of(name) != "" }) {
				d.wrong(field(list, i, "name"), "Say what it is: the rest of the line is filled in.")
			}
		}
	}
	each("botanical", func(i int, of func(string) string) {
		b := batch.DraftBotanical{Name: of("name"), Cut: of("cut"), Amount: of("amount")}
		var ok bool
		if b.Target, ok = score(of("target")); !ok {
			d.wrong(field("botanical", i, "target"), "%s: %q is no wanted strength from 0 to 10.", b.Name,
				of("target"))
		}
		d.Botanicals = append(d.Botanicals, b)
	})
	each("watch", func(i int, of func(string) string) {
		x := batch.DraftWatch{Name: of("name")}
		var ok bool
		if x.Limit, ok = score(of("limit")); !ok || x.Limit == "" {
			d.wrong(field("watch", i, "limit"), "%s: say how much of it may be there, from 0 to 10, such as 2.",
				x.Name)
			x.Limit = "2"
		}
		for part := range strings.SplitSeq(of("from"), ",") {
			if part = strings.TrimSpace(part); part != "" {
				x.From = append(x.From, part)
			}
		}
		d.Watches = append(d.Watches, x)
	})
	each("addition", func(_ int, of func(string) string) {
		d.Additions = append(d.Additions, batch.DraftAddition{Name: of("name"), Amount: of("amount")})
	})
}

// score reads a number from 0 to 10, with a comma too, as the file has it; "" is none.
func score(text string) (string, bool) {
	if text == "" {
		return "", true
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(v >= 0 && v <= mostScore) {
		return "", false
	}
	return strconv.FormatFloat(v, 'f', -1, 64), true
}
