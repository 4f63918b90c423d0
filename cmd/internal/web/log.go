package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// logged is what was written, in words.
type logged struct {
	Screen  pen.Screen
	Removed string // what an undo took out of the file
	File    string // of a new batch
}

// act is one kind of entry that a page can make: what it is called where its time is
// refused, and how its form is read; at is that time as the file has it. The error is a
// *strict.Error.
type act struct {
	what string
	read func(f url.Values, j *book.Jar, at string) (batch.Entry, error)
}

var acts = map[string]act{
	"taste": {"tasting", readTasting},
	"pull": {"pull", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		if len(f["name"]) == 0 {
			return nil, &strict.Error{Problem: "tick what came out of the jar"}
		}
		return batch.NewPull{Names: f["name"], At: at}, nil
	}},
	"strain": {"straining", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		return batch.NewStraining{At: at, Volume: f.Get("volume")}, nil
	}},
	"bottle": {"bottling", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		n, err := count(f.Get("bottles"), "number of bottles")
		return batch.NewBottling{Bottles: n, Of: f.Get("of"), Volume: f.Get("volume"), At: at}, err
	}},
	"open": {"opening", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		n, err := count(f.Get("bottle"), "number of a bottle")
		return batch.NewOpening{Bottle: n, At: at}, err
	}},
	"empty": {"emptying", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		if f.Get("bottle") == allOfIt {
			return batch.NewEmptying{At: at}, nil
		}
		n, err := count(f.Get("bottle"), "number of a bottle")
		if err == nil && n == 0 {
			err = &strict.Error{Problem: "say which bottle is empty, or that all of it is gone"}
		}
		return batch.NewEmptying{Bottle: n, At: at}, err
	}},
	"add": {"addition", readAdded},
	"note": {"note", func(f url.Values, _ *book.Jar, at string) (batch.Entry, error) {
		if strings.TrimSpace(f.Get("what")) == "" {
			return nil, &strict.Error{Problem: "the note is empty"}
		}
		return batch.NewNote{What: f.Get("what"), At: at}, nil
	}},
}

// allOfIt is the choice of a form for every bottle that is left.
const allOfIt = "all"

// readAdded reads what went in; without an amount it is all that was planned of it.
func readAdded(f url.Values, j *book.Jar, at string) (batch.Entry, error) {
	x := batch.NewAdded{Name: f.Get("name"), Amount: strings.TrimSpace(f.Get("amount")), At: at}
	if strings.TrimSpace(x.Name) == "" {
		return nil, &strict.Error{Problem: "say what went in"}
	}
	if x.Amount == "" {
		name, err := j.Batch.Adding(x.Name)
		if err != nil {
			return nil, err
		}
		if x.Amount, err = j.Rest(name); err != nil {
			return nil, err
		}
		if x.Amount == "" {
			return nil, &strict.Error{Problem: fmt.Sprintf("say how much of the %s went in", name), Right: "100~g"}
		}
	}
	return x, nil
}

// count reads a whole number; "" is 0.
func count(text, what string) (int, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 100000 {
		return 0, &strict.Error{Problem: fmt.Sprintf("%q is no %s", text, what)}
	}
	return n, nil
}

// readTasting reads the rows of buttons: score:NAME is a whole number, half:NAME adds half
// a point.
func readTasting(f url.Values, j *book.Jar, at string) (batch.Entry, error) {
	t := batch.NewTasting{At: at, Sample: f.Get("sample"), Taster: f.Get("taster"), Words: f.Get("words")}
	switch t.Sample {
	case neat:
		t.Sample = ""
	case otherMix:
		if t.Sample = strings.TrimSpace(f.Get("other")); t.Sample == "" {
			return nil, &strict.Error{Problem: "say how the sample was mixed, jar first", Right: "1:3"}
		}
	}
	one := func(name string) error {
		text, half := f.Get("score:"+name), f.Get("half:"+name) != ""
		if text == "" && !half {
			return nil
		}
		if text == "" {
			text = "0"
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || v != v {
			return &strict.Error{Problem: fmt.Sprintf("%q is no score of the %s", text, name)}
		}
		if half {
			v += 0.5
		}
		if half && v > mostScore {
			return &strict.Error{Problem: fmt.Sprintf("10 is the most that the %s can score; take the half "+
				"point off", name)}
		}
		t.Scores = append(t.Scores, batch.Score{Name: name, Value: v})
		return nil
	}
	for _, x := range j.Batch.Botanicals {
		if err := one(x.Name); err != nil {
			return nil, err
		}
	}
	for _, x := range j.Batch.Watches {
		if err := one(x.Name); err != nil {
			return nil, err
		}
	}
	if len(t.Scores) == 0 {
		return nil, &strict.Error{Problem: "nothing is scored yet: tap a number for what you tasted"}
	}
	return t, nil
}

// log makes an entry of a form and sends the browser to the page that says so. A form
// that cannot be taken is shown again as it was typed.
func (s *server) log(w http.ResponseWriter, r *http.Request) {
	st, j, ok := s.jar(w, r)
	if !ok {
		return
	}
	name := r.PathValue("act")
	if _, known := acts[name]; !known && name != "undo" {
		s.refuse(w, http.StatusNotFound, "There is no such page.")
		return
	}
	if !s.parsed(w, r) {
		return
	}
	f := form{Act: name, Values: r.PostForm}
	again := func(status int, p batchPage) {
		p.Form, p.Taster = f, taster(r)
		if name == "taste" {
			p.Taster = f.Get("taster")
		}
		s.showBatch(w, status, st, j, &p)
	}
	id := f.Get("ticket")
	here := address(filepath.Base(j.Path))
	t, standing := s.tickets.claim(id, here+" "+name, f.Values)
	switch standing {
	case foreign:
		again(http.StatusConflict, batchPage{Problem: "This page was from before the server was started anew. " +
			"Nothing was written. Look whether it is in the log already; if not, send it again."})
		return
	case other:
		again(http.StatusConflict, batchPage{Problem: "Something else was logged from this page before. " +
			"Nothing was written. Look whether it is right as it stands, then send it again."})
		return
	}
	if standing == fresh {
		said, err := s.append(st, j, f)
		if err != nil {
			s.tickets.giveBack(t)
			status, p := s.problem(j, err)
			again(status, p)
			return
		}
		s.tickets.settle(t, said)
	}
	if name == "taste" {
		http.SetCookie(w, keptCookie(tasterCookie, url.QueryEscape(f.Get("taster"))))
	}
	http.Redirect(w, r, here+"?done="+url.QueryEscape(id), http.StatusSeeOther)
}

// parsed reads a form; ok is false where the answer has been given.
func (s *server) parsed(w http.ResponseWriter, r *http.Request) (ok bool) {
	err := r.ParseForm()
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.refuse(w, http.StatusRequestEntityTooLarge, "That is more than a form may hold. Nothing was written.")
		return false
	case err != nil:
		s.refuse(w, http.StatusBadRequest, "The form came in pieces. Nothing was written; send it again.")
		return false
	}
	return true
}

// append writes an entry by the lock that the command line takes, too, and says what came
// of it.
func (s *server) append(st *book.Standing, j *book.Jar, f form) (said logged, err error) {
	defer func() {
		if r := recover(); r != nil { // whoever waits for the ticket must hear of it
			s.Log.Printf("%s of %s: %v\n%s", f.Act, j.Path, r, debug.Stack())
			err = errors.New("the entry could not be made")
		}
	}()
	if f.Act == "undo" {
		removed, err := batch.Undo(j.Path, time.Local)
		if err != nil {
			return logged{}, err
		}
		said := pen.Screen{Say: []string{"This was taken out of the file again:"}}
		return logged{Screen: said, Removed: removed}, nil
	}
	a := acts[f.Act]
	at, err := j.At(f.Get("at"), a.what)
	var early *book.NotYet
	switch {
	case errors.As(err, &early):
		return logged{}, &strict.Error{Problem: err.Error() + ", or correct the time"}
	case err != nil:
		return logged{}, &strict.Error{Problem: err.Error()}
	}
	entry, err := a.read(f.Values, j, at)
	if err != nil {
		return logged{}, err
	}
	before, err := s.answered(st, j)
	if err != nil {
		return logged{}, err
	}
	if err := j.Log(entry, f.Get("again") != ""); err != nil {
		return logged{}, err
	}
	screen, err := s.changed(j, before, entry)
	if err != nil {
		s.Log.Print(err)
		screen.Say = []string{"It is logged, but what it changed could not be worked out; the terminal says why."}
	}
	return logged{Screen: screen}, nil
}

// changed says what an entry has changed.
func (s *server) changed(j *book.Jar, before *answers, entry batch.Entry) (pen.Screen, error) {
	st, err := s.Book.At(s.Now())
	if err != nil {
		return pen.Screen{}, err
	}
	now, err := st.Jar(filepath.Base(j.Path))
	if err != nil {
		return pen.Screen{}, err
	}
	now.Units = j.Units
	after, err := s.answered(st, now)
	if err != nil {
		return pen.Screen{}, err
	}
	style := pen.Style{Units: j.Units}
	before.mu.Lock()
	defer before.mu.Unlock()
	if after != before {
		after.mu.Lock()
		defer after.mu.Unlock()
	}
	switch e := entry.(type) {
	case batch.NewTasting:
		return view.TastedScreen(before.a, after.a, e, true, style), nil
	case batch.NewPull:
		return view.PulledScreen(after.a, e.Names, true, style), nil
	}
	return view.LoggedScreen(after.glance, now.Batch.Newest(j.Batch), true, style), nil
}

// problem is the page for an entry that was not made.
func (s *server) problem(j *book.Jar, err error) (status int, p batchPage) {
	var write *batch.WriteError
	var again *batch.AgainError
	status = http.StatusUnprocessableEntity
	switch {
	case errors.As(err, &write):
		s.Log.Print(err)
		status, p.Problem, p.Paste = http.StatusInternalServerError, write.Problem()+".", write.Entry
	case errors.As(err, &again):
		status, p.Problem, p.Again = http.StatusConflict, again.Problem+".", true
	default:
		p.Problem = s.sentence(filepath.Base(j.Path), err)
	}
	p.Problem = quantity.Capital(quantity.Say(p.Problem, j.Units))
	return status, p
}
