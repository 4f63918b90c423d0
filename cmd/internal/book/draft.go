package book

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Draft is the text of a batch that is not written yet, read and answered as a batch of its book would be,
// as of now: what would be refused later is refused before there is a file. What is to be tied in a bag is written so. The error is a
// *Fault.
func Draft(file string, d batch.Draft, lib *library.Library, q bench.Question) (src []byte,
	a *bench.Assessment, err error) {
	d = d.Clone()
	d.ID = batch.NewID(file, d.Name, d.Started)
	d.Spirits = strong(d.Spirits, lib)
	if src, a, err = draft(file, d, lib, q); err != nil {
		return nil, nil, err
	}
	bags := false
	for i := range a.Recipe.Botanicals {
		d.Botanicals[i].Bag = a.Recipe.WantsBag(i)
		bags = bags || d.Botanicals[i].Bag
	}
	if !bags {
		return src, a, nil
	}
	return draft(file, d, lib, q)
}

// draft is Draft of what is written as it is.
func draft(file string, d batch.Draft, lib *library.Library, q bench.Question) (src []byte,
	a *bench.Assessment, err error) {
	if src, err = d.Text(); err != nil {
		return nil, nil, err
	}
	b, err := batch.ParseBeside(file, src, time.Local)
	if err != nil {
		return nil, nil, unplaced(err, src)
	}
	if a, err = bench.Assess(b, lib, q); err != nil {
		return nil, nil, unplaced(err, src)
	}
	return src, a, nil
}

// strong are the spirits of a draft with the strength that was typed: a bare per cent where
// a spirit and its strength are asked for is one, unless the library knows the thing and
// so says of what it is.
func strong(list []batch.DraftSpirit, lib *library.Library) []batch.DraftSpirit {
	out := slices.Clone(list)
	for i := range out {
		s := &out[i]
		_, in := quantity.StrengthIn(s.Name)
		if s.ABV != "" || !in.Said || in.ByVolume {
			continue
		}
		_, spirit := lib.Spirit(s.Name)
		_, ingredient := lib.Ingredient(s.Name)
		_, botanical := lib.Botanical(s.Name)
		if spirit != nil && ingredient != nil && botanical != nil {
			s.ABV = strconv.FormatFloat(in.Percent, 'f', -1, 64)
		}
	}
	return out
}

// Fault is what is wrong in a draft: a *strict.Error without file and line, and of which
// thing it speaks: the Entry-th (from 0) of a Table, "" at the top, and the Key there, ""
// where it is not known.
type Fault struct {
	Table, Key string
	Entry      int
	Err        error
}

func (f *Fault) Error() string { return f.Err.Error() }

// Unwrap is the *strict.Error.
func (f *Fault) Unwrap() error { return f.Err }

var (
	// placed finds a place in a file, such as " (first on line 9)".
	placed = pattern.New(` \((first on )?line \d+\)`)
	header = pattern.New(`^\[\[?(\w+)\]`)
	setKey = pattern.New(`^(\w+)\s*=`)
)

// Unplaced is a sentence without the lines of a file that it names, for who sees no file.
func Unplaced(text string) string { return placed().ReplaceAllString(text, "") }

// unplaced takes file and line off a fault in a text that is not written yet, and says what
// stands there.
func unplaced(err error, src []byte) error {
	var e *strict.Error
	if !errors.As(err, &e) {
		return err
	}
	f := &Fault{Err: &strict.Error{Problem: Unplaced(e.Problem), Right: e.Right}}
	if e.Line == 0 {
		return f
	}
	seen := map[string]int{}
	for i, line := range strings.Split(string(src), "\n") {
		if i == e.Line {
			break
		}
		f.Key = ""
		if t := header().FindStringSubmatch(line); t != nil {
			f.Table, f.Entry = t[1], seen[t[1]]
			seen[t[1]]++
		} else if k := setKey().FindStringSubmatch(line); k != nil {
			f.Key = k[1]
		}
	}
	return f
}
