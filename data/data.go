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
	"bufio"
	"embed"
	"encoding/csv"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Files holds the reference files under their path in this folder, for
// instance "botanicals/citrus.toml". It is read only.
//
//go:embed botanicals/*.toml ingredients/*.toml spirits/*.toml hazards/*.toml tables/constants.toml tables/marc.toml tables/*.csv
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

// Text is one of Files. That there is no such file is a fault of ours and panics.
func Text(path string) string {
	if text, ok := held()[path]; ok {
		return text
	}
	src, err := Files.ReadFile(path)
	if err != nil {
		panic(err)
	}
	return string(src)
}

// held are the files by their path as they lie in the program, where package embed keeps them as text: it
// copies what is read of it, most of a megabyte at each start.
var held = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	all := reflect.Indirect(reflect.ValueOf(Files).FieldByName("files"))
	for i := 0; all.Kind() == reflect.Slice && i < all.Len(); i++ {
		path, text := all.Index(i).FieldByName("name"), all.Index(i).FieldByName("data")
		if path.Kind() == reflect.String && text.Kind() == reflect.String && text.Len() > 0 {
			m[path.String()] = text.String()
		}
	}
	return m
})

// Table is a file of the folder tables, of which the rows that begin with one cell
// are read when they are wanted.
type Table struct {
	name, head string
	lines      map[string]string // by their first cell, which holds no comma; those of one stand together
	firsts     []string
}

// OpenTable finds the rows of the table of that name. Lines that begin with # say
// what it is, the first other line names the columns.
func OpenTable(name string) *Table {
	text := Text("tables/" + name)
	t := &Table{name: name, lines: make(map[string]string, strings.Count(text, "\n"))}
	last, from, at := "", 0, 0
	keep := func() {
		if _, twice := t.lines[last]; twice {
			panic(fmt.Sprintf("%s: the rows of %s do not stand together", name, last))
		}
		if last != "" {
			t.lines[last], t.firsts = text[from:at], append(t.firsts, last)
		}
	}
	for line := range strings.Lines(text) {
		switch first, _, _ := strings.Cut(line, ","); {
		case line[0] == '#':
		case t.head == "":
			t.head = line
		case first != last:
			keep()
			last, from = first, at
		}
		at += len(line)
	}
	keep()
	return t
}

// Firsts lists the first cells of the rows, each once, in the order of the table.
func (t *Table) Firsts() []string { return t.firsts }

// Rows reads the rows that begin with a cell. A fault in them is ours and panics.
func (t *Table) Rows(first string) []Row {
	if t.lines[first] == "" {
		return nil
	}
	return rows(t.name, t.head+t.lines[first])
}

// Rows reads the whole table of that name in the folder tables.
func Rows(name string) []Row { return rows(name, Text("tables/"+name)) }

// buffers are for package csv, which takes a new one for each of the hundred tables of a start if it is
// given none.
var buffers = sync.Pool{New: func() any { return bufio.NewReader(nil) }}

func rows(name, text string) []Row {
	buffer := buffers.Get().(*bufio.Reader)
	defer buffers.Put(buffer)
	buffer.Reset(strings.NewReader(text))
	r := csv.NewReader(buffer)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		panic(name + ": " + err.Error())
	}
	out := make([]Row, 0, len(lines)-1)
	for _, cells := range lines[1:] {
		out = append(out, Row{name, lines[0], cells})
	}
	return out
}
