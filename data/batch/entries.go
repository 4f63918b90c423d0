package batch

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// NewTasting is a tasting to be added, as the maker typed it.
type NewTasting struct {
	At     string // a duration since the start, "6 h", or a moment, "2026-11-21T00:05:00"
	Sample string // "1:3"; "" is neat
	Taster string
	Words  string
	Scores []Score // at least one; names as Batch.Taste takes them
}

// NewPull says that botanicals came out, an entry each.
type NewPull struct {
	Names []string // as Batch.Steeping takes them
	At    string   // as in NewTasting
}

// NewStraining says that the jar was strained.
type NewStraining struct {
	Names      []string // as Batch.Steeping takes them; none: everything
	At, Volume string   // Volume: the liquor measured, "680 ml"; "" where it was not
}

// NewAdded says that something went in.
type NewAdded struct {
	Name, Amount, At string // Name as Batch.Adding takes it
	Into             string // how much of the drink it went into; "" where that was not measured
	Bottle           int    // the open bottle that it went into; 0: not said
}

// NewBottling says that it was bottled.
type NewBottling struct {
	Bottles        int    // 0: not counted
	Of, Volume, At string // Of is the size of one; Volume the yield measured; both may be ""
	From           int    // the open bottle that they were poured out of; 0: none
}

// NewEach is several entries at once: what was filled into bottles of several sizes, or all that went in.
type NewEach[T Entry] []T

// NewOpening says that a bottle was opened.
type NewOpening struct {
	Bottle int // 0: the next that is sealed
	At     string
}

// NewEmptying says that a bottle is empty.
type NewEmptying struct {
	Bottle int // 0: everything
	At     string
}

// NewNote is something seen or done.
type NewNote struct{ What, At string }

// Entry is what can be added to a batch file: one of the types New… of this package.
type Entry interface {
	// tables are the entry as its tables, without line ends; the error is a fault in it.
	tables(b *Batch, loc *time.Location) ([][]string, error)
}

func (t NewTasting) tables(b *Batch, loc *time.Location) ([][]string, error) {
	var scores []string
	if len(t.Scores) == 0 {
		return nil, &strict.Error{Problem: "a tasting needs at least one score", Right: "bitter=1"}
	}
	seen := map[string]bool{}
	for _, s := range t.Scores {
		name, err := b.Taste(s.Name)
		if err != nil {
			return nil, err
		}
		if seen[name] {
			return nil, &strict.Error{Problem: fmt.Sprintf("%q has two scores in one tasting; keep one",
				name)}
		}
		seen[name] = true
		if !(s.Value >= 0 && s.Value <= 10) {
			return nil, &strict.Error{Problem: fmt.Sprintf("the score of %q is %s; scores run from 0 "+
				"(absent) to 10 (nothing else)", name, quantity.FormatNumber(s.Value))}
		}
		scores = append(scores, toml.Key{name}.String()+" = "+strconv.FormatFloat(s.Value, 'f', -1, 64))
	}
	e := began(KindTasting)
	e.at(t.At, loc)
	if s := strings.TrimSpace(t.Sample); s != "" {
		_, _, err := quantity.ParseRatio(s)
		e.fault("sample", err)
		e.text("sample", s)
	}
	e.text("taster", strings.TrimSpace(t.Taster))
	e.line("score", "{ "+strings.Join(scores, ", ")+" }")
	e.text("words", t.Words)
	return e.done()
}

// NewTastings are tastings that are worked out from the batch as it stands while the file is
// locked; none adds nothing. The error comes back as it is.
type NewTastings func(*Batch) ([]NewTasting, error)

func (x NewTastings) tables(b *Batch, loc *time.Location) ([][]string, error) {
	list, err := x(b)
	if err != nil {
		return nil, err
	}
	return NewEach[NewTasting](list).tables(b, loc)
}

func (x NewPull) tables(b *Batch, loc *time.Location) ([][]string, error) {
	names, err := steeping(b, x.Names)
	if err != nil {
		return nil, err
	}
	var all [][]string
	for _, name := range names {
		e := began(KindPulled)
		e.text("name", name)
		e.at(x.At, loc)
		one, err := e.done()
		if err != nil {
			return nil, err
		}
		all = append(all, one...)
	}
	return all, nil
}

// steeping are the botanicals that were meant.
func steeping(b *Batch, typed []string) (names []string, err error) {
	for _, t := range typed {
		name, err := b.Steeping(t)
		switch {
		case err != nil:
			return nil, err
		case slices.Contains(names, name):
			return nil, &strict.Error{Problem: fmt.Sprintf("%q stands there twice", name)}
		}
		names = append(names, name)
	}
	return names, nil
}

func (x NewStraining) tables(b *Batch, loc *time.Location) ([][]string, error) {
	names, err := steeping(b, x.Names)
	if err != nil {
		return nil, err
	}
	e := began(KindStrained)
	if len(names) > 0 {
		quoted := make([]string, len(names))
		for i, n := range names {
			quoted[i] = tomlText(n)
		}
		e.line("names", "["+strings.Join(quoted, ", ")+"]")
	}
	e.at(x.At, loc)
	e.text("volume", strings.TrimSpace(x.Volume))
	return e.done()
}

func (x NewAdded) tables(b *Batch, loc *time.Location) ([][]string, error) {
	name, err := b.Adding(x.Name)
	if err != nil {
		return nil, err
	}
	e := began(KindAdded)
	e.text("name", name)
	e.text("amount", strings.TrimSpace(x.Amount))
	e.at(x.At, loc)
	e.text("into", strings.TrimSpace(x.Into))
	e.count("bottle", x.Bottle)
	return e.done()
}

func (x NewBottling) tables(_ *Batch, loc *time.Location) ([][]string, error) {
	e := began(KindBottled)
	e.count("bottles", x.Bottles)
	e.text("of", strings.TrimSpace(x.Of))
	e.text("volume", strings.TrimSpace(x.Volume))
	e.count("from", x.From)
	e.at(x.At, loc)
	return e.done()
}

func (x NewEach[T]) tables(b *Batch, loc *time.Location) (all [][]string, err error) {
	for _, one := range x {
		tables, err := one.tables(b, loc)
		if err != nil {
			return nil, err
		}
		all = append(all, tables...)
	}
	return all, nil
}

func (x NewOpening) tables(b *Batch, loc *time.Location) ([][]string, error) {
	e := began(KindOpened)
	if x.Bottle == 0 && countBottles(b.Bottlings) > 0 { // a number is clearer than "the first"
		all := b.Bottles(math.Inf(1))
		x.Bottle, _ = all.sealed(math.Inf(1))
	}
	e.count("bottle", x.Bottle)
	e.at(x.At, loc)
	return e.done()
}

func (x NewEmptying) tables(_ *Batch, loc *time.Location) ([][]string, error) {
	e := began(KindEmptied)
	e.count("bottle", x.Bottle)
	e.at(x.At, loc)
	return e.done()
}

func (x NewNote) tables(_ *Batch, loc *time.Location) ([][]string, error) {
	e := began(KindNoted)
	e.text("what", strings.TrimSpace(x.What))
	e.at(x.At, loc)
	return e.done()
}

// entry is a table being written; it keeps the first fault.
type entry struct {
	lines []string
	err   error
}

func began(kind string) *entry { return &entry{lines: []string{"[[" + kind + "]]"}} }

func (e *entry) line(key, value string) { e.lines = append(e.lines, key+" = "+value) }

// text writes a text, and nothing for "".
//
//go:noinline
func (e *entry) text(key, text string) {
	if text != "" {
		e.line(key, tomlText(text))
	}
}

// count writes a number, and nothing for 0.
func (e *entry) count(key string, n int) {
	if n != 0 {
		e.line(key, strconv.Itoa(n))
	}
}

func (e *entry) at(typed string, loc *time.Location) {
	line, err := atLine(typed, loc)
	e.lines = append(e.lines, line)
	e.fault("at", err)
}

// fault keeps what is wrong with something typed at the prompt, and of which key.
func (e *entry) fault(key string, err error) {
	if e.err == nil && err != nil {
		wrong := typed(err)
		wrong.Key = key
		e.err = wrong
	}
}

func (e *entry) done() ([][]string, error) { return [][]string{e.lines}, e.err }

// atLine writes when something was: a duration stays as it was typed, a moment
// becomes a TOML date and time.
func atLine(typedAt string, loc *time.Location) (string, error) {
	s := strings.TrimSpace(typedAt)
	if s == "" {
		return "", &strict.Error{Problem: "the time is missing: say how long after the start, or when",
			Right: "6 h"}
	}
	_, derr := quantity.ParseDuration(s)
	if derr == nil {
		return "at = " + tomlText(s), nil
	}
	m, said, err := Reckoning{Loc: loc}.Moment(s)
	switch {
	case !said:
		return "", typed(derr)
	case err != nil:
		return "", typed(err)
	}
	return "at = " + m.Stamp(), nil
}

// typed turns an error about something typed at the prompt into a
// *strict.Error, which has no file and no line.
func typed(err error) *strict.Error {
	var qe *quantity.Error
	if errors.As(err, &qe) {
		return &strict.Error{Problem: qe.Problem, Right: qe.Example}
	}
	return &strict.Error{Problem: err.Error()}
}

func tomlText(s string) string {
	var b bytes.Buffer
	enc := toml.NewEncoder(&b)
	// A map of strings cannot fail to encode, nor a buffer to be written.
	_ = enc.Encode(map[string]string{"s": strings.ToValidUTF8(s, "\uFFFD")})
	return strings.TrimSuffix(strings.TrimPrefix(b.String(), "s = "), "\n")
}
