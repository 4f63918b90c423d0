package book

import (
	"errors"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/pattern"
	"steepbook/data/strict"
)

// Draft is the text of a batch that is not written yet, read and answered as of its start
// by the library alone: what would be refused later is refused before there is a file.
// The error is a *strict.Error without a place.
func Draft(file string, d batch.Draft, lib *library.Library) (src []byte, a *bench.Assessment, err error) {
	if src, err = d.Text(); err != nil {
		return nil, nil, err
	}
	b, err := batch.ParseBeside(file, src, time.Local)
	if err != nil {
		return nil, nil, unplaced(err)
	}
	if a, err = bench.Assess(b, lib, bench.Question{Now: b.Started}); err != nil {
		return nil, nil, unplaced(err)
	}
	return src, a, nil
}

// placed finds a place in a file, such as " (first on line 9)".
var placed = pattern.New(` \((first )?(on )?line \d+\)|, first on line \d+`)

// unplaced takes file and line off a fault: the file is not written yet.
func unplaced(err error) error {
	var e *strict.Error
	if !errors.As(err, &e) {
		return err
	}
	return &strict.Error{Problem: placed().ReplaceAllString(e.Problem, ""), Right: e.Right}
}
