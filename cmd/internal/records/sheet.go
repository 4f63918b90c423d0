package records

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// alsoCalled is what people call a column.
var alsoCalled = map[string]string{"flavor": "flavour", "taste": "flavour", "when": "at",
	"day": "date", "clock": "time", "dilution": "sample", "who": "taster", "by": "taster", "notes": "words", "note": "words",
	"file": "batch"}

// Sheet is a file of tastings that was read, not yet held against a batch.
type Sheet struct {
	file    string
	lines   []line
	columns map[string]int
	habit   batch.Habit
	Unread  []string // the columns that say nothing here
}

// ReadTastings reads a file of tastings as Tastings writes it, or as a spreadsheet made
// it: the columns in any order, of which flavour, score and one of at and hours must be
// there; a decimal comma or point. The error is a *strict.Error.
func ReadTastings(file string, src []byte) (*Sheet, error) {
	lines, err := read(file, src)
	if err != nil {
		return nil, err
	}
	if len(lines) == 0 {
		return nil, &strict.Error{File: file, Problem: "the file is empty; its first line names the columns",
			Right: strings.Join(columns, ",")}
	}
	s := &Sheet{file: file, lines: lines[1:], columns: map[string]int{}}
	for i, name := range lines[0].cells {
		name = strings.TrimSpace(name)
		plain := strings.ToLower(name)
		if also, ok := alsoCalled[plain]; ok {
			plain = also
		}
		as := []string{plain}
		switch plain {
		case "at":
			as = []string{"at", "date", "time"}
		case "date", "time":
			as = []string{plain, "at"}
		}
		for _, x := range as {
			if k, twice := s.columns[x]; twice {
				return nil, s.wrong(lines[0], "", "the columns %q and %q say the same; keep one",
					strings.TrimSpace(lines[0].cells[k]), name)
			}
		}
		switch {
		case slices.Contains(columns, plain), plain == "date", plain == "time":
			s.columns[plain] = i
		case plain != "":
			s.Unread = append(s.Unread, name)
		}
	}
	for _, must := range []string{"at", "flavour", "score"} {
		there := func(column string) bool { _, is := s.columns[column]; return is }
		if there(must) || must == "at" && (there("date") || there("time") || there("hours")) {
			continue
		}
		problem := fmt.Sprintf("the first line names no column %q", must)
		if near, ok := strict.Nearest(must, s.Unread); ok {
			problem += fmt.Sprintf("; is %q meant?", near)
		}
		return nil, s.wrong(lines[0], strings.Join(columns, ","), "%s", problem)
	}
	moments := make([]string, len(s.lines))
	for i, l := range s.lines {
		moments[i] = s.at(l)
	}
	s.habit = batch.HabitOf(moments)
	return s, nil
}

// wrong is a fault in a line.
func (s *Sheet) wrong(l line, right, format string, args ...any) error {
	return &strict.Error{File: s.file, Line: l.number, Excerpt: l.text, Right: right,
		Problem: fmt.Sprintf(format, args...)}
}

// cell is the cell of a column, "" where there is none.
func (s *Sheet) cell(l line, column string) string {
	if i, ok := s.columns[column]; ok && i < len(l.cells) {
		return l.cells[i]
	}
	return ""
}

// at is the moment of a line as it is written, of a day and a time in columns of their own joined.
func (s *Sheet) at(l line) string {
	return strings.TrimSpace(s.cell(l, "at") + strings.TrimSpace(s.cell(l, "date")) + " " +
		strings.TrimSpace(s.cell(l, "time")))
}

// Add is what of a sheet is new to a batch.
type Add struct {
	Tastings []batch.NewTasting // in the order of the sheet
	Scores   int                // in all of them
	There    int                // scores that are in the batch already
	Others   int                // scores of other batches
}

// Into holds a sheet against a batch: a score is there already when one of the same
// moment, taster, flavour and figure is, each as often as it is there. Moments without an
// offset are those of loc; what comes after now has not happened yet. The error is a
// *strict.Error with the line of the sheet, and then nothing is to be added.
func (s *Sheet) Into(b *batch.Batch, loc *time.Location, now time.Time) (*Add, error) {
	mine, err := s.of(b)
	if err != nil {
		return nil, err
	}
	there := map[score]int{}
	for _, t := range b.Tastings {
		for _, x := range t.Scores {
			there[score{t.When.UnixNano(), t.Taster, x.Name, x.Value}]++
		}
	}
	out := &Add{Others: len(s.lines) - len(mine)}
	latest := map[sitting]int{} // the last tasting of each sitting
	for _, l := range mine {
		r, err := s.row(l, b, loc, now)
		if err != nil {
			return nil, err
		}
		key := score{r.when.UnixNano(), r.taster, r.score.Name, r.score.Value}
		if there[key] > 0 {
			there[key]--
			out.There++
			continue
		}
		out.Scores++
		i, begun := latest[r.sitting]
		if !begun || slices.ContainsFunc(out.Tastings[i].Scores,
			func(x batch.Score) bool { return x.Name == r.score.Name }) {
			i = len(out.Tastings)
			latest[r.sitting] = i
			out.Tastings = append(out.Tastings, batch.NewTasting{At: r.at, Sample: r.sample, Taster: r.taster,
				Words: r.words})
		}
		out.Tastings[i].Scores = append(out.Tastings[i].Scores, r.score)
	}
	return out, nil
}

// score is what makes a score the same as another.
type score struct {
	nano          int64
	taster, taste string
	value         float64
}

// of are the lines of a batch: all of them where they name one batch or none.
func (s *Sheet) of(b *batch.Batch) ([]line, error) {
	var names []string
	var mine []line
	own := filepath.Base(b.File)
	for _, l := range s.lines {
		name := strings.TrimSpace(s.cell(l, "batch"))
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		if name == own || name == "" {
			mine = append(mine, l)
		}
	}
	switch {
	case len(names) <= 1:
		return s.lines, nil
	case len(mine) == 0:
		return nil, &strict.Error{File: s.file, Problem: fmt.Sprintf("it holds tastings of %s and none of %s",
			quantity.And(names), own)}
	}
	return mine, nil
}

// sitting is what the scores of one tasting share.
type sitting struct{ at, taster, sample, words string }

// row is one score.
type row struct {
	sitting
	when  time.Time
	score batch.Score
}

// clockOfSample is what a spreadsheet makes of the sample 1:3 when it takes it for a
// time of the day.
var clockOfSample = pattern.New(`^(\d+:\d+):00$`)

func (s *Sheet) row(l line, b *batch.Batch, loc *time.Location, now time.Time) (r row, err error) {
	r.taster, r.words = strings.TrimSpace(s.cell(l, "taster")), s.cell(l, "words")
	if r.at, r.when, err = s.moment(l, b, loc); err != nil {
		return r, err
	}
	switch {
	case r.when.Before(b.Started):
		return r, s.wrong(l, "", "it was tasted before the batch started (%s)",
			b.Started.In(loc).Format("2006-01-02~15:04"))
	case r.when.After(now.Add(time.Minute)):
		return r, s.wrong(l, "", "it has not been tasted yet: it is %s",
			now.In(loc).Format("2006-01-02~15:04"))
	}
	text := clockOfSample().ReplaceAllString(strings.TrimSpace(s.cell(l, "sample")), "$1")
	text = strings.ReplaceAll(text, ",", ".")
	if text != "" {
		jar, other, err := quantity.ParseRatio(text)
		if err != nil {
			return r, s.wrong(l, "1:3", "%s", problemOf(err))
		}
		if other > 0 {
			r.sample = number(jar, -1) + ":" + number(other, -1)
		}
	}
	if r.score.Name, err = b.Taste(s.cell(l, "flavour")); err != nil {
		return r, s.wrong(l, "", "%s", problemOf(err))
	}
	text = strings.TrimSpace(s.cell(l, "score"))
	r.score.Value, err = figure(text)
	if err != nil || !(r.score.Value >= 0 && r.score.Value <= 10) {
		return r, s.wrong(l, "4", "%q is no score from 0 (absent) to 10 (nothing else)", text)
	}
	return r, nil
}

// moment reads when it was: the moment, or else the hours since the start.
func (s *Sheet) moment(l line, b *batch.Batch, loc *time.Location) (at string, when time.Time, err error) {
	const right = "2026-11-21T08:00 in the column at, or 14 in the column hours"
	text := s.at(l)
	if text == "" {
		hours := strings.TrimSpace(s.cell(l, "hours"))
		v, err := figure(hours)
		if err != nil || !(v >= 0 && v < 1e6) {
			return "", when, s.wrong(l, right, "it does not say when it was tasted: %q is no number of hours", hours)
		}
		return number(v, -1) + " h", b.At(v), nil
	}
	if d, err := quantity.ParseDuration(text); err == nil {
		return text, b.Started.Add(d), nil
	}
	m, said, err := batch.Reckoning{Loc: loc, From: b.Started, Side: batch.Next, System: b.Units, Habit: s.habit}.Moment(text)
	switch {
	case err != nil && said:
		return "", when, s.wrong(l, right, "%s", problemOf(err))
	case err != nil:
		return "", when, s.wrong(l, right, "%q is no moment", text)
	case m.DateOnly:
		return "", when, s.wrong(l, right, "%q is a day; write the hour too", text)
	}
	return m.Stamp(), m.Time, nil
}

// figure reads a number with a decimal point or comma.
func figure(text string) (float64, error) {
	return strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
}

// problemOf is a fault without its place.
func problemOf(err error) string {
	var wrong *strict.Error
	var read *quantity.Error
	switch {
	case errors.As(err, &wrong):
		return wrong.Problem
	case errors.As(err, &read):
		return read.Problem
	}
	return err.Error()
}
