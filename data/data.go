// Package data carries the reference files that steepbook is built with:
// botanicals, ingredients, spirits, hazards, tables of constants and rates, and
// the list of publications they come from. The files are plain TOML, and CSV
// where a table is long, meant to be read and corrected by hand; package
// library turns them into Go values.
//
// Every figure names a source key, and every source key is a row of
// tables/sources.csv.
package data

import (
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Files holds the reference files under their path in this folder, for
// instance "botanicals/citrus.toml". It is read only.
//
//go:embed botanicals/*.toml ingredients/*.toml spirits/*.toml hazards/*.toml tables/*.toml tables/*.csv
var Files embed.FS

// Row is one line of a table, by the names of its columns.
type Row struct {
	table   string
	columns []string
	cells   []string
}

// Text is the cell of a column. A table without it is a fault of ours that a test
// finds, so it panics.
func (r Row) Text(column string) string {
	i := slices.Index(r.columns, column)
	if i < 0 {
		panic(fmt.Sprintf("%s: there is no column %s", r.table, column))
	}
	return r.cells[i]
}

// Number is the cell of a column that holds a number; anything else panics, as in
// Text.
func (r Row) Number(column string) float64 {
	v, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		panic(fmt.Sprintf("%s: %q in column %s is no number", r.table, r.Text(column), column))
	}
	return v
}

// Table is a file of the folder tables, of which the rows that begin with one cell
// are read when they are wanted.
type Table struct {
	name, head string
	lines      map[string]string // by their first cell, which holds no comma
	firsts     []string
}

// OpenTable finds the rows of the table of that name. Lines that begin with # say
// what it is, the first other line names the columns.
func OpenTable(name string) *Table {
	text, err := Files.ReadFile("tables/" + name)
	if err != nil {
		panic(err)
	}
	t := &Table{name: name, lines: map[string]string{}}
	for line := range strings.Lines(string(text)) {
		switch first, _, _ := strings.Cut(line, ","); {
		case line[0] == '#':
		case t.head == "":
			t.head = line
		default:
			if t.lines[first] == "" {
				t.firsts = append(t.firsts, first)
			}
			t.lines[first] += line
		}
	}
	return t
}

// Firsts lists the first cells of the rows, each once, in the order of the table.
func (t *Table) Firsts() []string { return t.firsts }

// Rows reads the rows that begin with a cell. A fault in them is ours and panics.
func (t *Table) Rows(first string) []Row {
	if t.lines[first] == "" {
		return nil
	}
	lines, err := csv.NewReader(strings.NewReader(t.head + t.lines[first])).ReadAll()
	if err != nil {
		panic(t.name + ": " + err.Error())
	}
	out := make([]Row, 0, len(lines)-1)
	for _, cells := range lines[1:] {
		out = append(out, Row{t.name, lines[0], cells})
	}
	return out
}

// Rows reads the whole table of that name in the folder tables.
func Rows(name string) []Row {
	t := OpenTable(name)
	var out []Row
	for _, first := range t.firsts {
		out = append(out, t.Rows(first)...)
	}
	return out
}
