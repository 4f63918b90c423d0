// Package web shows a book in a browser and takes what is logged there: plain pages
// that work without script. It decides nothing and computes nothing that view and book
// do not say; it only words, asks and appends.
package web

import (
	"bytes"
	"errors"
	"log"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/data/disk"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Config is what a server shows and to whom.
type Config struct {
	Book *book.Kept
	// Now is the moment of every answer.
	Now func() time.Time
	// Units are those asked for at the start, nil for those of each batch.
	Units *quantity.System
	// Hosts are the names and addresses that it may be called by, without a port.
	Hosts []string
	// Code is what a browser must have been paired with; "" asks for none.
	Code string
	// Log takes what went wrong on the machine; a page never tells its paths.
	Log *log.Logger
}

// server answers the requests.
type server struct {
	Config
	tickets tickets
	typed   typed
	answers sync.Map // of a name: *shown
}

// most of what may be sent in a form, in bytes.
const mostSent = 64 << 10

// Handler answers for a book.
func Handler(c Config) http.Handler {
	s := &server{Config: c, tickets: newTickets()}
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+stylePath, s.style)
	mux.HandleFunc("GET /{$}", s.list)
	mux.HandleFunc("GET /new", s.askNew)
	mux.HandleFunc("POST /new", s.makeNew)
	mux.HandleFunc("GET /b/{name}", s.batch)
	mux.HandleFunc("GET /b/{name}/{what}", s.onPaper)
	mux.HandleFunc("POST /b/{name}/{act}", s.log)
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		s.refuse(w, http.StatusNotFound, "There is no such page.")
	})
	return s.guarded(mux)
}

// style answers with the style sheet of all pages.
func (s *server) style(w http.ResponseWriter, _ *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/css; charset=utf-8")
	h.Set("Cache-Control", "private, max-age=31536000, immutable") // its name changes with it
	_, _ = w.Write(styleSheet)
}

// page writes a page from its template; nothing of it is sent where that fails.
func (s *server) page(w http.ResponseWriter, status int, name string, data any) {
	var out bytes.Buffer
	if err := pages().ExecuteTemplate(&out, name, data); err != nil {
		s.Log.Printf("page %s: %v", name, err)
		http.Error(w, "This page could not be made; the terminal says why.", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	if status == http.StatusOK && name != "paired" {
		// Asked for anew each time, and yet kept for the back button with what was typed: no-store
		// would forbid that. Who has the browser has its pairing too, so nothing is given away.
		h.Set("Cache-Control", "private, no-cache")
	}
	w.WriteHeader(status)
	_, _ = w.Write(out.Bytes()) // a reader that has gone away is no fault
}

// refusal is a page that says why there is nothing else on it.
type refusal struct {
	frame
	Problem string
}

func (s *server) refuse(w http.ResponseWriter, status int, problem string) {
	s.page(w, status, "refusal", refusal{frame{Title: "Not here"}, pen.Clean(problem)})
}

// say is a text as a page has it, whoever typed a part of it.
func say(text string, units quantity.System) string { return quantity.Say(pen.Clean(text), units) }

// trouble is why a page cannot be made: a status, and a sentence.
type trouble struct {
	status  int
	problem string
}

// standing is the book as it stands.
func (s *server) standing() (*book.Standing, *trouble) {
	st, err := s.Book.At(s.Now())
	if err != nil {
		s.Log.Print(err)
		return nil, &trouble{http.StatusInternalServerError,
			"The folder of the book cannot be read; the terminal says why."}
	}
	return st, nil
}

// jar opens the batch that the address names; a name is only ever looked for among
// those of the book.
func (s *server) jar(r *http.Request) (*book.Standing, *book.Jar, *trouble) {
	st, bad := s.standing()
	if bad != nil {
		return nil, nil, bad
	}
	file := r.PathValue("name") + ".toml"
	j, err := st.Jar(file)
	switch {
	case errors.Is(err, book.ErrNoBatch):
		return nil, nil, &trouble{http.StatusNotFound, "There is no such batch in the book."}
	case err != nil:
		return nil, nil, &trouble{http.StatusUnprocessableEntity,
			"This batch cannot be read: " + s.sentence(file, err)}
	}
	if s.Units != nil {
		j.Units = *s.Units
	}
	return st, j, nil
}

// sentence is a fault in words for a page, without the paths of the machine: a fault in
// what was typed has no file and speaks of the form, one in a file its name and line.
func (s *server) sentence(file string, err error) string {
	var fault *strict.Error
	var clause disk.Clause
	switch {
	case errors.As(err, &fault):
	case errors.As(err, &clause):
		s.Log.Print(err)
		return "nothing was written, because " + string(clause) + "."
	default:
		s.Log.Print(err)
		return "the machine could not do it; the terminal says why."
	}
	short := *fault
	if short.File = file; short.Line == 0 {
		short.File = ""
	}
	if short.File == "" {
		short.Problem, short.Right = onForm(book.Unplaced(short.Problem)), onForm(short.Right)
	}
	if short.File != "" {
		return short.File + quantity.Sentence(strings.TrimPrefix(short.Error(), short.File))
	}
	return quantity.Sentence(short.Error())
}

var (
	tableName = pattern.New(`\[\[?(\w+)\]\]?`)
	keyEquals = pattern.New(`^\w+ *= *"?([^"]*)"?$`)
)

// inFile is the clause of a sentence that says what to write in a file: its key, or the library; and what a
// command takes, in brackets.
var inFile = pattern.New(` \(--[^)]*\)|(?:[;:] [^;:]*|^(?:write|add) )(?:\b\w+ = ["\d\w]|library\.toml|\[\[?\w+\]).*?(\.?)$`)

// inForms are sentences of an answer for who has forms and sees no file: the fact, without the
// key to write it by.
func inForms(list []string) []string {
	return pen.Each(list, func(text *string) string { return inFile().ReplaceAllString(*text, "$1") })
}

// asForms is a screen as inForms has it.
func asForms(s pen.Screen) pen.Screen {
	s.Say, s.Danger, s.Due, s.Notes = inForms(s.Say), inForms(s.Danger), inForms(s.Due), inForms(s.Notes)
	s.Rows = pen.Each(s.Rows, func(row *[]string) []string { return inForms(*row) })
	return s
}

// onForm words what is said of a file for who fills in a form: as inForms has it, and in the words
// of the form.
func onForm(text string) string {
	text = keyEquals().ReplaceAllString(inForms([]string{text})[0], "$1")
	return tableName().ReplaceAllStringFunc(text, func(t string) string {
		switch name := strings.Trim(t, "[]"); name {
		case "watch":
			return "tastes you do not want"
		case "botanical":
			return "what steeps"
		case "addition":
			return "what goes in after straining"
		default:
			return name
		}
	})
}

// address is where the page of a batch is.
func address(file string) string { return "/b/" + url.PathEscape(strings.TrimSuffix(file, ".toml")) }
