package web

import (
	"errors"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// newPage asks what a batch is, and shows the plan of it before it is written.
type newPage struct {
	frame
	Ticket, Problem string
	Faults          faults
	Form            url.Values
	Units           quantity.System
	Plan            *plan
}

// plan is what would come of what was typed.
type plan struct {
	File   string
	Orders pen.Screen
	Keep   pen.Screen
	Gift   *pen.Screen // back from the day on which it is to be ready
	Work   sheet.Work
	Hints  []string
	Text   string // the file
}

// The fewest and the most lines of a list.
const (
	fewLines  = 3
	mostLines = 30
)

// Lines are the numbers of the lines of a list: those that were sent, and more where more
// were asked for.
func (p *newPage) Lines(list string) []int {
	n := lines(p.Form, list)
	if p.Form.Get("do") == "more "+list {
		n += fewLines
	}
	out := make([]int, min(max(n, fewLines), mostLines))
	for i := range out {
		out[i] = i
	}
	return out
}

// lines is how many lines of a list were sent.
func lines(f url.Values, list string) (n int) {
	for n < mostLines && f.Has(field(list, n, "name")) {
		n++
	}
	return n
}

// field is the name of a field in a line of a list.
func field(list string, line int, of string) string {
	return list + "." + strconv.Itoa(line) + "." + of
}

// In is a field as it was typed.
func (p *newPage) In(name string) input {
	return input{fieldID(name), name, p.Form.Get(name), p.Faults.of(name)}
}

// Of is a field of a line.
func (p *newPage) Of(list string, line int, of string) input { return p.In(field(list, line, of)) }

// Eg is an example in the units of the book.
func (p *newPage) Eg(text string) string { return say(text, p.Units) }

// Is reports whether a choice was made.
func (p *newPage) Is(name, value string) bool { return p.Form.Get(name) == value }

// askNew asks, and answers to what was sent: with the plan, or with all that is wrong in it.
func (s *server) askNew(w http.ResponseWriter, r *http.Request) {
	st, bad := s.standing()
	p := &newPage{Form: url.Values{}}
	what, there := s.typed.get(r.URL.Query().Get("typed"), "/new")
	if bad != nil {
		if there {
			p.Form = what.(newPage).Form
		}
		s.keep(w, bad, "/new", p.Form)
		return
	}
	if r.URL.Query().Has("typed") {
		if there {
			was := what.(newPage)
			p = &was
			if do := p.Form.Get("do"); p.Problem == "" && !strings.HasPrefix(do, "more ") {
				s.answerNew(st, p)
			}
		} else {
			p.Problem = forgotten
		}
	}
	p.Title, p.Ticket, p.Units = "Start a batch", s.tickets.issue(), s.unitsOf(st)
	s.page(w, http.StatusOK, "new", p)
}

// answerNew works out the plan, or what stands in its way.
func (s *server) answerNew(st *book.Standing, p *newPage) {
	d, err := s.drafted(p.Form, st)
	if err == nil {
		units := d.answers.Batch.Units // as its page will say it
		if s.Units != nil {
			units = *s.Units
		}
		p.Plan, err = planned(d, units)
	}
	if err == nil {
		return
	}
	if errors.As(err, &p.Faults) {
		p.Faults = slices.Clone(p.Faults)
		for i := range p.Faults {
			p.Faults[i].Text = say(p.Faults[i].Text, s.unitsOf(st))
		}
		return
	}
	p.Problem = say(s.sentence("", err), s.unitsOf(st))
}

// unitsOf are the units of the whole book.
func (s *server) unitsOf(st *book.Standing) quantity.System {
	if s.Units != nil {
		return *s.Units
	}
	return st.Units()
}

// makeNew writes a batch, or sends the browser to its plan.
func (s *server) makeNew(w http.ResponseWriter, r *http.Request) {
	if !s.parsed(w, r) {
		return
	}
	f := r.PostForm
	again := func(place, problem string) {
		s.showTyped(w, r, "/new", place, newPage{Form: f, Problem: problem})
	}
	st, bad := s.standing()
	if bad != nil {
		again("answer", bad.problem)
		return
	}
	do := f.Get("do")
	if list, more := strings.CutPrefix(do, "more "); more {
		again(fieldID(field(list, lines(f, list), "name")), "")
		return
	}
	if do != "write" {
		again("answer", "")
		return
	}
	d, err := s.drafted(f, st)
	if err != nil {
		again("answer", "")
		return
	}
	file, id := d.file, f.Get("ticket")
	t, standing := s.tickets.claim(id, "new", f)
	switch standing {
	case repeated:
		file = t.said.File
	case fresh:
		if err := batch.Create(filepath.Join(s.Book.Dir, file), d.src); err != nil {
			s.tickets.giveBack(t)
			again("answer", quantity.Capital(say(s.sentence("", err), s.unitsOf(st))))
			return
		}
		said := s.logged(file, pen.Screen{Say: []string{"Written down as " + file + "."}})
		said.File = file
		s.tickets.settle(t, said)
	default:
		again("answer", "This page was from before; nothing was written. Look whether the batch is there already, "+
			"and if not send it again.")
		return
	}
	http.Redirect(w, r, address(file)+"?done="+url.QueryEscape(id), http.StatusSeeOther)
}

// planned words what would come of a batch, and for a gift when it has to be started; the
// error is of the steep.
func planned(d *drafted, units quantity.System) (*plan, error) {
	a := d.answers
	style := pen.Style{Units: units, Forms: true}
	p := &plan{File: d.file, Text: string(d.src), Orders: asForms(steep.Screen(a, style)),
		Keep: asForms(bottle.KeepScreen(a, style))}
	for _, h := range inForms(a.HintsInWords()) {
		p.Hints = append(p.Hints, style.Say("%s", quantity.Capital(h))+".")
	}
	lines, err := workOf(a, style)
	if err != nil {
		return nil, err
	}
	if p.Work = sheet.InOrder(lines, units); a.Batch.Ready.IsZero() {
		return p, nil
	}
	g, err := due.Look(a)
	if err != nil || g.Due.Kind == due.Discard {
		return p, err
	}
	back, err := g.Back(a.Batch.Ready)
	if err != nil {
		return nil, err
	}
	gift := calendar.GiftScreen(a, back, style)
	p.Gift = &gift
	return p, err
}

// taken are file names that a system or the book itself keeps for something else.
var taken = []string{"library", "house", "con", "prn", "aux", "nul"}

// longestName of a file, in letters.
const longestName = 48

// fileName makes the name of a file that is not there yet of what a batch is called:
// letters and digits with hyphens between, so that it is safe on every system.
func fileName(name string, there []string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r < utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r)), unicode.IsLetter(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	runes := []rune(b.String())
	base := strings.Trim(string(runes[:min(len(runes), longestName)]), "-")
	if base == "" || slices.Contains(taken, base) ||
		len(base) == 4 && (strings.HasPrefix(base, "com") || strings.HasPrefix(base, "lpt")) {
		base = strings.TrimLeft(base+"-batch", "-")
	}
	file := base + ".toml"
	isThere := func(old string) bool { return strings.EqualFold(old, file) }
	for n := 2; slices.ContainsFunc(there, isThere); n++ {
		file = base + "-" + strconv.Itoa(n) + ".toml"
	}
	return file
}
