package batch

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
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

// NewPull is a pull to be added, as the maker typed it.
type NewPull struct {
	Name string // as Batch.Steeping takes it
	At   string // as in NewTasting
}

// AppendTasting adds a tasting at the end of a batch file. The file must be
// right before and after; what was in it stays as it is, byte for byte. A fault
// in the entry is a *strict.Error without a line, a fault in the file one with
// its line, and a file that cannot be written a *WriteError, which carries the
// entry. In each case the file is unchanged.
func AppendTasting(path string, t NewTasting, loc *time.Location) error {
	return add(path, loc, func(b *Batch) (string, error) {
		var scores []string
		if len(t.Scores) == 0 {
			return "", &strict.Error{Problem: "a tasting needs at least one score", Right: "bitter=1"}
		}
		seen := map[string]bool{}
		for _, s := range t.Scores {
			name, err := b.Taste(s.Name)
			if err != nil {
				return "", err
			}
			if seen[name] {
				return "", &strict.Error{Problem: fmt.Sprintf("%q has two scores in one tasting; keep one",
					name)}
			}
			seen[name] = true
			if !(s.Value >= 0 && s.Value <= 10) {
				return "", &strict.Error{Problem: fmt.Sprintf("the score of %q is %s; scores run from 0 "+
					"(absent) to 10 (nothing else)", name, quantity.FormatNumber(s.Value))}
			}
			scores = append(scores, toml.Key{name}.String()+" = "+strconv.FormatFloat(s.Value, 'f', -1, 64))
		}
		at, err := atLine(t.At, loc)
		if err != nil {
			return "", err
		}
		lines := []string{"[[tasting]]", at}
		if s := strings.TrimSpace(t.Sample); s != "" {
			if _, _, err := quantity.ParseRatio(s); err != nil {
				return "", typed(err)
			}
			lines = append(lines, "sample = "+tomlText(s))
		}
		if s := strings.TrimSpace(t.Taster); s != "" {
			lines = append(lines, "taster = "+tomlText(s))
		}
		lines = append(lines, "score = { "+strings.Join(scores, ", ")+" }")
		if t.Words != "" {
			lines = append(lines, "words = "+tomlText(t.Words))
		}
		return strings.Join(lines, "\n") + "\n", nil
	})
}

// AppendPull adds a pull at the end of a batch file, as AppendTasting adds a
// tasting.
func AppendPull(path string, p NewPull, loc *time.Location) error {
	return add(path, loc, func(b *Batch) (string, error) {
		name, err := b.Steeping(p.Name)
		if err != nil {
			return "", err
		}
		at, err := atLine(p.At, loc)
		if err != nil {
			return "", err
		}
		return strings.Join([]string{"[[pulled]]", "name = " + tomlText(name), at}, "\n") + "\n", nil
	})
}

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
func typed(err error) error {
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

// add appends the entry that write makes for the batch at path.
func add(path string, loc *time.Location, write func(*Batch) (string, error)) error {
	var before *Batch
	return Grow(path, func(old []byte) (entry string, err error) {
		if before, err = Parse(path, old, loc); err != nil {
			return "", err
		}
		return write(before)
	}, func(old, grown []byte) error {
		after, err := Parse(path, grown, loc)
		if err != nil {
			return inEntry(err, old)
		}
		return onlyGrew(before, after)
	})
}

// asPiece is the entry with an empty line before it, in the line ends of the
// file, and with the line end that the file may lack.
func asPiece(old []byte, entry string) []byte {
	piece := "\n" + entry
	if n := len(old); n > 0 && old[n-1] != '\n' {
		piece = "\n" + piece
	}
	return []byte(strings.ReplaceAll(piece, "\n", lineEnd(old)))
}

// inEntry takes file and line off a fault in the new entry: they would point
// at text that is not in the file.
func inEntry(err error, old []byte) error {
	var e *strict.Error
	if !errors.As(err, &e) || e.Line <= bytes.Count(old, []byte("\n"))+1 {
		return err
	}
	return &strict.Error{Problem: e.Problem, Right: e.Right}
}

// onlyGrew checks that a file with a new entry says all that it said before,
// and one thing more.
func onlyGrew(before, after *Batch) error {
	grown := len(after.Tastings) - len(before.Tastings) + len(after.Pulls) - len(before.Pulls)
	if grown != 1 || len(after.Tastings) < len(before.Tastings) || len(after.Pulls) < len(before.Pulls) {
		return fmt.Errorf("the file with the new entry would not read as one entry more")
	}
	cut := *after
	cut.Doc = before.Doc
	cut.Tastings = cut.Tastings[:len(before.Tastings):len(before.Tastings)]
	cut.Pulls = cut.Pulls[:len(before.Pulls):len(before.Pulls)]
	if len(cut.Tastings) == 0 {
		cut.Tastings = before.Tastings
	}
	if len(cut.Pulls) == 0 {
		cut.Pulls = before.Pulls
	}
	if !reflect.DeepEqual(&cut, before) {
		return fmt.Errorf("the file with the new entry would no longer say the same as before")
	}
	return nil
}
