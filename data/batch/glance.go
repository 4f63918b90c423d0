package batch

import (
	"bytes"
	"strings"
	"time"

	"steepbook/data/disk"
)

// Outline is what a look at the text of a batch file shows without parsing it: a
// book has many files, and few of them steep the same thing.
type Outline struct {
	Started time.Time
	// Words are the names of its botanicals and what they are like.
	Words []string
}

// ReadOutline looks at a batch file. b is the batch where it had to be parsed for that;
// else it can be parsed from src. The error is a *strict.Error.
func ReadOutline(path string, loc *time.Location) (g Outline, src []byte, b *Batch, err error) {
	if src, err = disk.Load(path); err != nil {
		return g, nil, nil, err
	}
	if g, ok := glanceAt(src, loc); ok {
		return g, src, nil, nil
	}
	if b, err = ParseBeside(path, src, loc); err != nil {
		return g, src, nil, err
	}
	return glanceOf(b), src, b, nil
}

// glanceAt looks at the text of a batch file line by line, three times as fast as the
// scanner of data/strict reads it. ok is false where something is written in a way that
// takes a parser: lists of tables within brackets, texts over several lines, escapes,
// quoted keys.
func glanceAt(src []byte, loc *time.Location) (g Outline, ok bool) {
	if bytes.Contains(src, []byte(`"""`)) || bytes.Contains(src, []byte(`'''`)) {
		return g, false
	}
	section := ""
	for line := range bytes.Lines(src) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		if line[0] == '[' {
			section = strings.Trim(string(beforeHash(line)), "[] \t\"'")
			continue
		}
		if section != "" && section != "botanical" {
			continue
		}
		key, value, found := bytes.Cut(line, []byte("="))
		key, value = bytes.TrimSpace(key), bytes.TrimSpace(value)
		if !found || len(value) == 0 || bytes.ContainsAny(key, `"'.`) {
			return g, false
		}
		switch string(key) {
		case "botanical":
			return g, false
		case "name", "like":
			if section == "" {
				continue
			}
			end := bytes.IndexByte(value[1:], value[0])
			if value[0] != '"' && value[0] != '\'' || end < 0 || bytes.IndexByte(value[:end+1], '\\') >= 0 {
				return g, false
			}
			g.Words = append(g.Words, string(value[1:end+1]))
		case "started":
			m, err := ParseMoment(strings.Trim(string(beforeHash(value)), " \t\"'"), loc)
			if err != nil {
				return g, false
			}
			g.Started = m.Time
		}
	}
	return g, !g.Started.IsZero()
}

func beforeHash(line []byte) []byte {
	before, _, _ := bytes.Cut(line, []byte("#"))
	return before
}

// glanceOf is the same of a batch that was parsed.
func glanceOf(b *Batch) Outline {
	g := Outline{Started: b.Started}
	for i := range b.Botanicals {
		e := &b.Botanicals[i]
		g.Words = append(g.Words, e.Name)
		if e.Like != "" {
			g.Words = append(g.Words, e.Like)
		}
	}
	return g
}
