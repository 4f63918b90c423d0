package web

import (
	"errors"
	"fmt"
	"net/url"
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
		if d.src, d.answers, err = st.Draft(d.file, d.Draft); err == nil {
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
func (s *server) draft(form url.Values, st *book.Standing) *drafted {
	f := fieldsOf(form)
	d := &drafted{lines: map[string][]int{}, Draft: batch.Draft{Name: f.get("name"), Room: f.get("room"),
		Bottle: f.get("bottle"), Store: f.get("store"), Press: f.choice("press", "true", "false"),
		System: s.unitsOf(st), Started: book.Dated(st.Now)}}
	if d.System == quantity.US {
		d.Units = "us"
	}
	if d.Name == "" {
		d.wrong("name", "What is it called? It needs a name.")
		d.Name = "batch"
	}
	if text := f.get("started"); text != "" {
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
	if text := f.get("ready"); text != "" {
		m, _, err := batch.Reckoning{Now: st.Now, Loc: time.Local, Side: batch.Next,
			System: d.System}.Moment(text)
		if err != nil || !m.Time.After(st.Now) {
			d.wrong("ready", "%q is no day to come; write it such as 2026-12-20.", text)
		} else {
			d.Ready = m.Time.Format(time.DateOnly)
		}
	}
	f.unless("amount", "spirit", sayWhat)
	if text := f.get("spirit"); text != "" {
		spirit := batch.ParseDraftSpirit(text)
		spirit.Amount = f.either(spirit.Amount, "amount")
		d.Spirits = []batch.DraftSpirit{spirit}
	}
	d.readLists(f)
	d.bad = append(d.bad, f.left()...)
	d.AsTyped()
	return d
}

func (d *drafted) wrong(field, form string, args ...any) {
	d.bad = append(d.bad, fault{field, fmt.Sprintf(form, args...)})
}

// likeIt is an example of what the lines of a new batch name.
var likeIt = map[string]string{"botanical": "clove", "watch": "bitter", "addition": "sugar"}

// sayWhat is said where all but the name of a thing is filled in.
const sayWhat = "Say what it is: the rest of the line is filled in."

// readLists reads the lines of a new batch; the first field of a line may say all of it, as new
// takes it in one text.
func (d *drafted) readLists(f *fields) {
	each := func(list string, take func(name string, at func(string) string) error) {
		for i := range lines(f.sent, list) {
			at := func(of string) string { return field(list, i, of) }
			name, rest := f.get(at("name")), []string{"amount", "cut", "target", "limit", "from"}
			for _, of := range rest {
				f.unless(at(of), at("name"), sayWhat)
			}
			if name == "" {
				continue
			}
			err := batch.MeasureOnly(name, "write what it is, like "+likeIt[list])
			if err == nil {
				err = take(name, at)
			}
			if err != nil { // whatever the rest is
				d.wrong(at("name"), "%s.", quantity.Capital(err.Error()))
				for _, of := range rest {
					f.get(at(of))
				}
				continue
			}
			d.lines[list] = append(d.lines[list], i)
		}
	}
	each("botanical", func(name string, at func(string) string) error {
		b, err := batch.ParseDraftBotanical(name)
		if err != nil {
			return err
		}
		b.Cut, b.Amount = f.either(b.Cut, at("cut")), f.either(b.Amount, at("amount"))
		text, ok := f.either(b.Target, at("target")), false
		if b.Target, ok = score(text); !ok {
			d.wrong(at("target"), "%s: %q is no wanted strength from 0 to 10.", b.Name, text)
		}
		d.Botanicals = append(d.Botanicals, b)
		return nil
	})
	each("watch", func(name string, at func(string) string) error {
		x, err := batch.ParseDraftWatch(name)
		if err != nil { // the taste alone
			x = batch.DraftWatch{Name: name}
		}
		var ok bool
		if x.Limit, ok = score(f.either(x.Limit, at("limit"))); !ok || x.Limit == "" {
			d.wrong(at("limit"), "%s: say how much of it may be there, from 0 to 10, such as 2.", x.Name)
			x.Limit = "2"
		}
		for part := range strings.SplitSeq(f.get(at("from")), ",") {
			if part = strings.TrimSpace(part); part != "" {
				x.From = append(x.From, part)
			}
		}
		d.Watches = append(d.Watches, x)
		return nil
	})
	each("addition", func(name string, at func(string) string) error {
		x, err := batch.ParseDraftAddition(name)
		if err != nil { // its name alone
			x = batch.DraftAddition{Name: name}
		}
		x.Amount = f.either(x.Amount, at("amount"))
		d.Additions = append(d.Additions, x)
		return nil
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
