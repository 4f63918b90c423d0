// Package sheet lays answers out as HTML, on the phone and on paper: what a view says as a
// screen, the order of work, pictures, the log. It words nothing and decides nothing. All
// that a maker wrote goes through html/template, which escapes it; no page asks for a
// script, for the network or for a style that does not stand in it.
package sheet

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"sync"

	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/quantity"
	"steepbook/plots"
)

//go:embed style.css
var style string

//go:embed *.html
var files embed.FS

// Generator is how a page says within its first lines that it is one of ours.
const Generator = `<meta name="generator" content="steepbook">`

// Head is what a page begins with, for the template of that name; Class is of its root,
// often empty: "sheet" for what is scribbled on, with "many" where it has to be small.
type Head struct{ Title, Class string }

// Style is the one style sheet of all pages.
func (Head) Style() template.CSS { return template.CSS(style) }

// Policy lets a page show itself and load nothing: no script, no font, no picture from
// elsewhere, and no style but Style, which is named by its digest (Content Security
// Policy Level 3, W3C).
func (Head) Policy() string {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

var parsed = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").ParseFS(files, "*.html"))
})

// Templates are the pages and their pieces, by name: "head" of a Head, "screen" of a pen.Screen with
// "says", "dangers", "rows" and "notes" of its parts, "work" of a Work, "step" of a
// view.WorkLine. The set is the caller's own, to add pages to and
// to be executed.
func Templates() *template.Template { return template.Must(parsed().Clone()) }

// Work is the order of work, what is done apart.
type Work struct{ Open, Done []worksheet.Line }

// InOrder parts what is open from what is done, its figures in the units of the maker; of
// steps in a row that are done at one time the first one says when.
func InOrder(lines []worksheet.Line, units quantity.System) (w Work) {
	last := ""
	for _, l := range lines {
		if l.When == last {
			l.When = ""
		} else {
			last = l.When
		}
		for _, text := range []*string{&l.When, &l.Do, &l.Why} {
			*text = quantity.Say(*text, units)
		}
		if l.Done {
			w.Done = append(w.Done, l)
		} else {
			w.Open = append(w.Open, l)
		}
	}
	return w
}

// Picture draws a picture to stand in a page.
func Picture(p plots.Picture) (template.HTML, error) {
	var b bytes.Buffer
	if err := plots.Inline(&b, p); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil // its words are escaped where it is drawn
}
