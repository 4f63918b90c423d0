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
	// Words are those of its botanicals.
	Words []string
}

// Words are the names under which it may be known: as it is called, what it is like, and each with
// its cut, for "coffee beans", "ground" are another thing than coffee beans.
func (e *Botanical) Words() (list []string) {
	for _, name := range []string{e.Name, e.Like} {
		if name == "" {
			continue
		}
		if list = append(list, name); e.Cut != "" {
			list = append(list, e.Cut+" "+name)
		}
	}
	return list
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
	section, herb := "", Botanical{}
	for line := range bytes.Lines(src) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		if line[0] == '[' {
			section = strings.Trim(string(beforeHash(line)), "[] \t\"'")
			g.Words, herb = append(g.Words, herb.Words()...), Botanical{}
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
		case "name", "like", "cut":
			if section == "" {
				continue
			}
			end := bytes.IndexByte(value[1:], value[0])
			if value[0] != '"' && value[0] != '\'' || end < 0 || bytes.IndexByte(value[:end+1], '\\') >= 0 {
				return g, false
			}
			switch text := string(value[1 : end+1]); key[0] {
			case 'n':
				herb.Name = text
			case 'l':
				herb.Like = text
			default:
				herb.Cut = text
			}
		case "started":
			m, err := ParseMoment(strings.Trim(string(beforeHash(value)), " \t\"'"), loc)
			if err != nil {
				return g, false
			}
			g.Started = m.Time
		}
	}
	g.Words = append(g.Words, herb.Words()...)
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
		g.Words = append(g.Words, b.Botanicals[i].Words()...)
	}
	return g
}
