package data

import (
	"fmt"
	"sync"
)

// Source is one publication, table, law or habit that figures rest on. Without a
// title it is in one line, which is Where.
type Source struct {
	Key     string `toml:"key"`     // short and stable, for instance "usda-sr26"
	Authors string `toml:"authors"` // people or body
	Title   string `toml:"title"`
	Where   string `toml:"where"` // journal, publisher, law, address; what of it was read
	Year    int    `toml:"year"`  // 0 when the source shows none

	// Unsigned: a page that nobody answers for. What only it says has the grade
	// page, or is a judgement.
	Unsigned bool `toml:"unsigned"`
}

// String is the source in one line.
func (s Source) String() string {
	year := ""
	if s.Year > 0 {
		year = fmt.Sprintf(" (%d)", s.Year)
	}
	if s.Title == "" {
		return s.Where
	}
	return fmt.Sprintf("%s%s: %s. %s", s.Authors, year, s.Title, s.Where)
}

var sources = sync.OnceValue(func() *Table { return OpenTable("sources.csv") })

// FindSource finds a source by its key, in the one list of them that there is,
// tables/sources.csv.
func FindSource(key string) (s Source, ok bool) {
	rows := sources().Rows(key)
	if len(rows) == 0 {
		return Source{}, false
	}
	r := rows[0]
	s = Source{
		Key: key, Authors: r.Text("authors"), Title: r.Text("title"), Where: r.Text("where"),
		Unsigned: r.Text("unsigned") == "yes",
	}
	if r.Text("year") != "" {
		s.Year = int(r.Number("year"))
	}
	return s, true
}

// Cite is the source of a key in one line, and the key itself where it is none: a
// source that is written out.
func Cite(key string) string {
	if s, ok := FindSource(key); ok {
		return s.String()
	}
	return key
}
