package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/ical"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/quantity"
	"steepbook/plots"
)

// paper is what a batch looks like for the printer and the calendar, by its address below that of the
// batch: what it is, and how it is written. The assessment of n is locked meanwhile.
var paper = map[string]struct {
	mime  string
	write func(w io.Writer, j *book.Jar, n *answers) error
}{
	"page": {htmlMIME, func(w io.Writer, j *book.Jar, n *answers) error {
		return sheet.Page(w, n.a, j.Library, pen.Style{Units: n.units})
	}},
	"bench": {htmlMIME, func(w io.Writer, _ *book.Jar, n *answers) error {
		return sheet.Bench(w, n.a, pen.Style{Units: n.units})
	}},
	"calendar.ics": {"text/calendar; charset=utf-8", func(w io.Writer, j *book.Jar, n *answers) error {
		j.Kin().Tell(n.glance)
		dates, err := n.glance.Dates()
		if err != nil {
			return err
		}
		return ical.Write(w, calendar.File(n.name, calendar.Entries(n.glance, dates, n.units, nil), n.now))
	}},
	"label.png": {"image/png", func(w io.Writer, _ *book.Jar, n *answers) error {
		return n.label(w, "png")
	}},
	"label.pdf": {"application/pdf", func(w io.Writer, _ *book.Jar, n *answers) error {
		return n.label(w, "pdf")
	}},
}

const htmlMIME = "text/html; charset=utf-8"

// label draws the label that the batch wants now, on the smallest common size that holds it.
func (n *answers) label(w io.Writer, format string) error {
	sheetOf := "A4"
	if n.units == quantity.US {
		sheetOf = "Letter"
	}
	kind, err := label.Of(n.a)
	if err != nil {
		return err
	}
	return plots.Write(w, label.Sized(sheetOf, plots.Copies{Label: label.Words(n.a, kind, n.units)}), format)
}

// onPaper answers with the curves of a batch, and with what is printed of it.
func (s *server) onPaper(w http.ResponseWriter, r *http.Request) {
	st, j, bad := s.jar(r)
	if bad != nil {
		s.refuse(w, bad.status, bad.problem)
		return
	}
	what := r.PathValue("what")
	p, known := paper[what]
	n, err := s.answered(st, j)
	if err != nil || !known && (what != "curves.svg" || !n.Chart) {
		s.refuse(w, http.StatusNotFound, "There is no such page.")
		return
	}
	var out bytes.Buffer
	if !known {
		var svg []byte
		svg, err = n.chart()
		p.mime = "image/svg+xml"
		out.Write(svg)
	} else {
		n.mu.Lock()
		err = p.write(&out, j, n)
		n.mu.Unlock()
	}
	if errors.Is(err, label.ErrNone) {
		s.refuse(w, http.StatusNotFound, quantity.Capital(err.Error())+".")
		return
	}
	if err != nil {
		s.Log.Printf("%s of %s: %v", what, j.Path, err)
		s.refuse(w, http.StatusInternalServerError, "It could not be made; the terminal says why.")
		return
	}
	if p.mime == htmlMIME { // a page of its own, which has its style in it
		w.Header().Set("Content-Security-Policy", fmt.Sprintf("%s; frame-ancestors 'none'; base-uri 'none'; "+
			"form-action 'none'", sheet.Head{}.Policy()))
	}
	w.Header().Set("Content-Type", p.mime)
	_, _ = out.WriteTo(w)
}
