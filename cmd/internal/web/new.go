package web

import (
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// newPage asks what a batch is, and shows the plan of it before it is written.
type newPage struct {
	frame
	Ticket, Problem string
	Form            url.Values
	Units           quantity.System
	Plan            *plan
}

// plan is what would come of what was typed.
type plan struct {
	File   string
	Orders pen.Screen
	Keep   pen.Screen
	Gift   []pen.Part // back from the day on which it is to be ready
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

// Field and Of are a field of a line, and what was typed in it.
func (p *newPage) Field(list string, line int, of string) string { return field(list, line, of) }

func (p *newPage) Of(list string, line int, of string) string {
	return p.Form.Get(field(list, line, of))
}

// Eg is an example in the units of the book.
func (p *newPage) Eg(text string) string { return quantity.Say(text, p.Units) }

// Is reports whether a choice was made.
func (p *newPage) Is(name, value string) bool { return p.Form.Get(name) == value }

func (s *server) askNew(w http.ResponseWriter, _ *http.Request) {
	if st, ok := s.standing(w); ok {
		s.showNew(w, http.StatusOK, st, &newPage{Form: url.Values{}})
	}
}

func (s *server) showNew(w http.ResponseWriter, status int, st *book.Standing, p *newPage) {
	p.Title, p.Ticket, p.Units = "Start a batch", s.tickets.issue(), s.unitsOf(st)
	s.page(w, status, "new", p)
}

// unitsOf are the units of the whole book.
func (s *server) unitsOf(st *book.Standing) quantity.System {
	if s.Units != nil {
		return *s.Units
	}
	return st.Units()
}

// makeNew shows the plan of a batch, or writes it.
func (s *server) makeNew(w http.ResponseWriter, r *http.Request) {
	st, ok := s.standing(w)
	if !ok || !s.parsed(w, r) {
		return
	}
	p := &newPage{Form: r.PostForm}
	again := func(status int, err error) {
		if p.Problem = ""; err != nil {
			p.Problem = quantity.Say(s.sentence("", err), s.unitsOf(st))
		}
		s.showNew(w, status, st, p)
	}
	if strings.HasPrefix(p.Form.Get("do"), "more ") {
		again(http.StatusOK, nil)
		return
	}
	draft, err := s.draft(p.Form, st)
	if err != nil {
		again(http.StatusUnprocessableEntity, err)
		return
	}
	file := fileName(draft.Name, st.Names)
	src, a, err := book.Draft(file, draft, st.Library())
	if err != nil {
		again(http.StatusUnprocessableEntity, err)
		return
	}
	if p.Form.Get("do") != "write" {
		if p.Plan, err = planned(a, p.Form.Get("ready"), s.unitsOf(st)); err != nil {
			again(http.StatusUnprocessableEntity, err)
			return
		}
		p.Plan.File, p.Plan.Text = file, string(src)
		again(http.StatusOK, nil)
		return
	}
	id := p.Form.Get("ticket")
	t, standing := s.tickets.claim(id, "new", p.Form)
	switch standing {
	case repeated:
		file = t.said.File
	case fresh:
		if err := batch.Create(filepath.Join(s.Book.Dir, file), src); err != nil {
			s.tickets.giveBack(t)
			again(http.StatusUnprocessableEntity, err)
			return
		}
		said := pen.Screen{Say: []string{"Written down as " + file + "."}}
		s.tickets.settle(t, logged{File: file, Screen: said})
	default:
		again(http.StatusConflict, &strict.Error{Problem: "this page was from before; nothing was written: look " +
			"whether the batch is there already, and if not send it again"})
		return
	}
	http.Redirect(w, r, address(file)+"?done="+url.QueryEscape(id), http.StatusSeeOther)
}

// planned words what would come of a batch, and for a gift when it has to be started; the
// error is a *strict.Error or of the steep.
func planned(a *bench.Assessment, ready string, units quantity.System) (*plan, error) {
	style := pen.Style{Units: units}
	p := &plan{Orders: view.SteepScreen(a, style), Keep: view.KeepScreen(a, style)}
	for _, h := range a.Hints() {
		p.Hints = append(p.Hints, style.Say("%s", h))
	}
	lines, err := view.Work(a, style)
	if err != nil {
		return nil, err
	}
	if p.Work = sheet.InOrder(lines, units); strings.TrimSpace(ready) == "" {
		return p, nil
	}
	m, _, err := batch.Reckoning{Now: a.Now, Loc: time.Local, Side: batch.Next, System: units}.Moment(ready)
	if err != nil || !m.Time.After(a.Now) {
		return nil, &strict.Error{Problem: fmt.Sprintf("%q is no day to come", ready), Right: "2026-12-20"}
	}
	g, err := due.Look(a)
	if err != nil || g.Due.Kind == due.Discard {
		return p, err
	}
	y, month, d := m.Time.Date()
	back, err := g.Back(time.Date(y, month, d, 12, 0, 0, 0, time.Local))
	if err != nil {
		return nil, err
	}
	dates := &calendar.Made{Now: a.Now, Entries: calendar.Entries(a, back.Dates, units, back.Again)}
	p.Gift, err = view.Gathered(style, func(to *pen.Page) error {
		return calendar.PrintPlan(to, a, back, dates)
	})
	return p, err
}

// draft reads the form of a new batch; the error is a *strict.Error.
func (s *server) draft(f url.Values, st *book.Standing) (d batch.Draft, err error) {
	said := func(name string) string { return strings.TrimSpace(f.Get(name)) }
	d = batch.Draft{Name: said("name"), Room: said("room"), Bottle: said("bottle"), Store: said("store"),
		System: s.unitsOf(st), Started: book.Dated(st.Now)}
	if d.System == quantity.US {
		d.Units = "us"
	}
	if d.Name == "" {
		return d, &strict.Error{Problem: "what is it called? It needs a name"}
	}
	if text := said("started"); text != "" {
		m, _, err := batch.Reckoning{Now: st.Now, Loc: time.Local, System: d.System}.Moment(text)
		if err != nil {
			return d, &strict.Error{Problem: fmt.Sprintf("%q is no moment", text), Right: "yesterday 6 pm"}
		}
		d.Started = book.Dated(m.Time)
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
	err = readLists(f, &d)
	d.AsTyped()
	return d, err
}

// readLists reads the lines of a new batch.
func readLists(f url.Values, d *batch.Draft) error {
	each := func(list string, take func(of func(string) string) error) error {
		for i := range lines(f, list) {
			of := func(name string) string { return strings.TrimSpace(f.Get(field(list, i, name))) }
			if of("name") == "" {
				continue
			}
			if err := take(of); err != nil {
				return &strict.Error{Problem: err.Error()}
			}
		}
		return nil
	}
	number := func(text string) bool {
		v, err := strconv.ParseFloat(text, 64)
		return err == nil && v >= 0 && v <= mostScore
	}
	return firstOf(each("botanical", func(of func(string) string) error {
		b := batch.DraftBotanical{Name: of("name"), Cut: of("cut"), Amount: of("amount"),
			Target: of("target")}
		if b.Target != "" && !number(b.Target) {
			return fmt.Errorf("%s: %q is no wanted strength from 0 to 10", b.Name, b.Target)
		}
		d.Botanicals = append(d.Botanicals, b)
		return nil
	}), each("watch", func(of func(string) string) error {
		x := batch.DraftWatch{Name: of("name"), Limit: of("limit")}
		if !number(x.Limit) {
			return fmt.Errorf("%s: say how much of it may be there, from 0 to 10, like 2", x.Name)
		}
		for part := range strings.SplitSeq(of("from"), ",") {
			if part = strings.TrimSpace(part); part != "" {
				x.From = append(x.From, part)
			}
		}
		d.Watches = append(d.Watches, x)
		return nil
	}), each("addition", func(of func(string) string) error {
		d.Additions = append(d.Additions, batch.DraftAddition{Name: of("name"), Amount: of("amount")})
		return nil
	}))
}

// firstOf is the first error that there is.
func firstOf(all ...error) error {
	i := slices.IndexFunc(all, func(err error) bool { return err != nil })
	if i < 0 {
		return nil
	}
	return all[i]
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
