// Package printed reads the tables of testdata/reference for the tests of
// kinetics and its packages; nothing else imports it.
package printed

import (
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Table reads a file of testdata/reference: one map a row, by the heads of the
// columns, without the lines that begin with #.
func Table(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("../testdata/reference", name))
	if errors.Is(err, os.ErrNotExist) { // from one folder further down
		f, err = os.Open(filepath.Join("../../testdata/reference", name))
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rows := make([]map[string]string, len(all)-1)
	for i, row := range all[1:] {
		rows[i] = map[string]string{}
		for c, head := range all[0] {
			rows[i][head] = strings.TrimSpace(row[c])
		}
	}
	return rows
}

// Number is a cell of a table.
func Number(t testing.TB, cell string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
