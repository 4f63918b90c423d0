// Package records carries what a book holds to spreadsheets and back: the tastings, and
// a log for an inspector.
package records

import (
	"bytes"
	"io"
	"strings"
)

// What a spreadsheet takes for the beginning of a formula (OWASP Application Security
// Verification Standard 5.0, requirement 1.2.10: = + - @ tab and the null character;
// the line ends after OWASP's page "CSV Injection").
const formula = "=+-@\t\r\n\x00"

// guarded is a cell that no spreadsheet takes for a formula: a ' stands before it. A
// cell that looks as if it had been guarded is guarded once more, so that bared gives
// back every cell as it was.
func guarded(cell string) string {
	if begins(cell) {
		return "'" + cell
	}
	return cell
}

func begins(cell string) bool {
	cell = strings.TrimLeft(cell, "'")
	return cell != "" && strings.IndexByte(formula, cell[0]) >= 0
}

// Write writes rows as CSV: RFC 4180, parted by commas, every line ended by CR LF, text
// in UTF-8, no cell a formula.
//
// The reader and writer of the standard library lose a CR within a cell, which a
// maker's words may hold.
func Write(w io.Writer, rows [][]string) error {
	var b bytes.Buffer
	for _, row := range rows {
		for i, cell := range row {
			if i > 0 {
				b.WriteByte(',')
			}
			cell = guarded(cell)
			if strings.ContainsAny(cell, "\",;\t\r\n") || strings.TrimSpace(cell) != cell {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			b.WriteString(cell)
		}
		b.WriteString("\r\n")
	}
	_, err := w.Write(b.Bytes())
	return err
}
