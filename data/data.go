// Package data carries the reference files that steepbook is built with:
// botanicals, ingredients, spirits, hazards, tables of constants and rates, and
// the list of publications they come from. The files are plain TOML, and CSV
// where a table is long, meant to be read and corrected by hand; package
// library turns them into Go values.
//
// Every figure names a source key, and every source key is an entry of
// sources.toml; those of the tables about spoilage and fading stand with the
// microbes, in growth.Source.
package data

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// Files holds the reference files under their path in this folder, for
// instance "botanicals/citrus.toml". It is read only.
//
//go:embed sources.toml botanicals/*.toml ingredients/*.toml spirits/*.toml hazards/*.toml tables/*.toml tables/*.csv
var Files embed.FS

// Row is one line of a table, by the names of its columns.
type Row struct {
	table string
	cells map[string]string
}

// Text is the cell of a column.
func (r Row) Text(column string) string { return r.cells[column] }

// Number is the cell of a column that holds a number. A table without it is a
// fault of ours that a test finds, so it panics.
func (r Row) Number(column string) float64 {
	v, err := strconv.ParseFloat(r.cells[column], 64)
	if err != nil {
		panic(fmt.Sprintf("%s: %q in column %s is no number", r.table, r.cells[column], column))
	}
	return v
}

// Rows reads the table of that name in the folder tables. A fault in it is ours
// and panics.
func Rows(name string) []Row {
	text, err := Files.ReadFile("tables/" + name)
	if err != nil {
		panic(err)
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		panic(name + ": " + err.Error())
	}
	var out []Row
	for _, line := range lines[1:] {
		cells := map[string]string{}
		for i, h := range lines[0] {
			cells[h] = line[i]
		}
		out = append(out, Row{name, cells})
	}
	return out
}
