package records

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// hostile is text that a spreadsheet or a reader of CSV may trip over.
func hostile() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"", "=1+1", "'=1+1", "''=", "'", "-3", "+49", "@SUM(A1)", "\t=x", "\r\n=x", "a\r\nb",
			"a\rb", "a\nb", `"`, `""`, `a"b`, "a;b", "a,b", " a ", "'tis", "sep=;", "\uFEFF", "naïve, à 10~ml", "苦い",
			"=HYPERLINK(\"http://example.org\";\"x\")"}),
		rapid.String(),
		rapid.StringMatching(`['=+\-@\t\r\n",; a]{0,6}`),
	)
}

// TestNoCellIsAFormula: whatever a cell holds, what a spreadsheet sees begins with none
// of the characters that OWASP names (ASVS 5.0, 1.2.10), and reading gives the cell back.
func TestNoCellIsAFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := hostile().Draw(t, "cell")
		g := guarded(cell)
		if g != "" && strings.ContainsRune("=+-@\t\r\n\x00", rune(g[0])) {
			t.Fatalf("%q is written as %q", cell, g)
		}
		if got := bared(g); got != cell {
			t.Fatalf("%q is written as %q and read as %q", cell, g, got)
		}
	})
}

// TestRoundTripOfCells: rows of any text are read back as they were, and a reader apart
// from ours, that of the standard library, sees the same but for the CR that it drops.
func TestRoundTripOfCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.SliceOfN(hostile(), 3, 3), 1, 5).Draw(t, "rows")
		rows = append([][]string{{"one", "two", "three"}}, rows...)
		rows = slices.DeleteFunc(rows, func(r []string) bool { return strings.Join(r, "") == "" })
		for _, r := range rows {
			for i := range r {
				r[i] = strings.ToValidUTF8(r[i], "?")
			}
		}
		var b bytes.Buffer
		if err := Write(&b, rows); err != nil {
			t.Fatal(err)
		}
		lines, err := read("x.csv", b.Bytes())
		if err != nil {
			t.Fatalf("%v\n%q", err, b.String())
		}
		std, err := csv.NewReader(&b).ReadAll()
		if err != nil {
			t.Fatalf("the standard library: %v", err)
		}
		if len(lines) != len(rows) || len(std) != len(rows) {
			t.Fatalf("%d rows, want %d", len(lines), len(rows))
		}
		for i, r := range rows {
			if !slices.Equal(lines[i].cells, r) {
				t.Fatalf("%q, want %q", lines[i].cells, r)
			}
			for j := range r {
				// "\r\n" within a quoted field becomes "\n" there, as its documentation says.
				if want := strings.ReplaceAll(guarded(r[j]), "\r\n", "\n"); std[i][j] != want {
					t.Fatalf("the standard library reads %q, want %q", std[i][j], want)
				}
			}
		}
	})
}

// TestRecordsOfRFC4180: the examples of RFC 4180, section 2, and what spreadsheets write
// besides.
func TestRecordsOfRFC4180(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{ // cells parted by |, rows by /
		{"2.1", "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "aaa|bbb|ccc/zzz|yyy|xxx"},
		{"2.2, no last line end", "aaa,bbb,ccc\r\nzzz,yyy,xxx", "aaa|bbb|ccc/zzz|yyy|xxx"},
		{"2.5", "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "aaa|bbb|ccc/zzz|yyy|xxx"},
		{"2.6", "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", "aaa|b\r\nbb|ccc/zzz|yyy|xxx"},
		{"2.7", "\"aaa\",\"b\"\"bb\",\"ccc\"", "aaa|b\"bb|ccc"},
		{"semicolons, a mark, bare line feeds", "\uFEFFa;b\n1,5;2\n", "a|b/1,5|2"},
		{"tabs", "a\tb\n1\t2\n", "a|b/1|2"},
		{"commas within marks are no vote", "a;\"b,c,d\"\n1;2\n", "a|b,c,d/1|2"},
		{"said", "sep=;\r\na;b\r\n", "a|b"},
		{"empty lines", "a,b\n\n,\n1,2\n\n", "a|b/1|2"},
		{"old line ends", "a,b\r1,2\r", "a|b/1|2"},
		{"nothing", "", ""},
	} {
		lines, err := read("x.csv", []byte(c.src))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var rows []string
		for _, l := range lines {
			rows = append(rows, strings.Join(l.cells, "|"))
		}
		if got := strings.Join(rows, "/"); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	for _, c := range []struct{ name, src, want string }{
		{"never closed", "a,b\r\n\"1,2\r\n3,4\r\n", "x.csv:2: a quotation mark is opened"},
		{"closed within", "a,b\n\"1\"x,2\n", "x.csv:2: a quotation mark is closed within"},
		{"UTF-16", "\xff\xfea\x00", "not UTF-8"},
		{"Latin 1", "a,b\ncaf\xe9,1\n", "not UTF-8"},
	} {
		if _, err := read("x.csv", []byte(c.src)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("batch,at,hours,taster,sample,flavour,score,words\r\na.toml,,6,,,clove,3,\r\n"))
	f.Add([]byte("sep=;\n\"a\";\"b\"\"\n\";=1"))
	f.Fuzz(func(t *testing.T, src []byte) {
		lines, err := read("x.csv", src)
		if err != nil {
			return
		}
		var rows [][]string
		for _, l := range lines {
			rows = append(rows, l.cells)
		}
		var b bytes.Buffer
		if err := Write(&b, rows); err != nil {
			t.Fatal(err)
		}
		if len(rows) == 0 || len(rows[0]) < 2 {
			return // a lone cell may say what parts the cells
		}
		again, err := read("x.csv", b.Bytes())
		if err != nil || len(again) != len(lines) {
			t.Fatalf("%v: %d lines became %d\n%q", err, len(lines), len(again), b.String())
		}
	})
}
