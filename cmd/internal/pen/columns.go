package pen

import (
	"strings"

	"github.com/rivo/uniseg"
)

// The widths of the screens that are printed, in columns: what is taken where nobody
// says, and the narrowest and widest that text is set to.
const (
	Usual    = 80
	Narrow   = 40
	Wide     = 100
	leastOne = 24 // of the last column, that it is not a column of single words
	phone    = 60 // below it no table is laid out
)

// width is how wide text is set.
func (s Style) width() int {
	if s.Width == 0 {
		return Usual
	}
	return min(max(s.Width, Narrow), Wide)
}

// columns is how much room a text takes on a terminal: an ideograph takes two columns,
// an accent that is a letter of its own none.
func columns(s string) int {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' { // most texts are of plain letters, one column each
			return uniseg.StringWidth(s)
		}
	}
	return len(s)
}

func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-columns(s))) }

// Clip cuts a maker's long words to fit a column.
func Clip(s string, room int) string {
	if columns(s) <= room {
		return s
	}
	first, _ := cut(s, room-1)
	return strings.TrimRight(first, " ,") + "…"
}

// within is Clip in the middle: the last words stay.
func within(s string, room int) string {
	if columns(s) <= room {
		return s
	}
	half, rest := (room-1)/2, s
	for state := -1; columns(rest) > half; {
		_, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
	}
	if _, words, parted := strings.Cut(rest, " "); parted {
		rest = words
	}
	first, _ := cut(s, room-1-columns(rest))
	return strings.TrimRight(first, " ,") + "…" + rest
}

// apart is Clip of some cells, by what stood there: what no longer differs from another so is cut in the
// middle, and stays whole where that tells it from no other either.
func apart(cells []string, room int) map[string]string {
	of, one := map[string]string{}, map[string]bool{} // whose a short form is, and whether it is of several
	for _, short := range []func(string, int) string{Clip, within} {
		for _, cell := range cells {
			s := short(cell, room)
			one[s] = one[s] || of[s] != "" && of[s] != cell
			of[s] = cell
		}
	}
	out := map[string]string{}
	for _, cell := range cells {
		for _, s := range []string{cell, within(cell, room), Clip(cell, room)} {
			if !one[s] || s == cell {
				out[cell] = s
			}
		}
	}
	return out
}

// cut parts a text behind the last letter that lies within so many columns.
func cut(s string, room int) (first, rest string) {
	rest = s
	for state, used := -1, 0; rest != ""; {
		letter, after, wide, next := uniseg.FirstGraphemeClusterInString(rest, state)
		if used+wide > room && first != "" {
			break
		}
		first, rest, state, used = first+letter, after, next, used+wide
	}
	return first, rest
}

// Wrap breaks a text into lines of at most so many columns, at its spaces. A word that
// is wider than that stays whole, such as a path that is to be copied, unless it is of
// a script that breaks between any two letters. A per cent or a degree stays with its figure.
func Wrap(text string, width int) []string {
	var lines []string
	for _, para := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		line := ""
		for _, word := range words(para, width) {
			for columns(word) > width && strings.ContainsFunc(word, ideograph) {
				if line != "" {
					lines, line = append(lines, line), ""
				}
				var first string
				first, word = cut(word, width)
				lines = append(lines, first)
			}
			switch {
			case line == "":
				line = word
			case columns(line)+1+columns(word) <= width:
				line += " " + word
			default:
				lines = append(lines, line)
				line = word
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// words are what a line may be broken between.
func words(text string, width int) []string {
	var out []string
	for _, word := range strings.Fields(text) {
		if n := len(out); n > 0 && (strings.HasPrefix(word, "%") || strings.HasPrefix(word, "°")) &&
			columns(out[n-1])+1+columns(word) <= width {
			out[n-1] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func ideograph(r rune) bool { return columns(string(r)) > 1 }

// Hang wraps text behind a first and, on the lines that follow, a further margin.
func (s Style) Hang(first, further, text string) []string {
	lines := Wrap(text, max(s.width()-max(columns(first), columns(further)), leastOne/2))
	for i, l := range lines {
		if i == 0 {
			l = first + l
		} else {
			l = further + l
		}
		lines[i] = strings.TrimRight(l, " ")
	}
	return lines
}

// cellRoom is how wide a column gets, before what stands in it is wrapped.
func (s Style) cellRoom() int { return max(s.width()*3/10, Narrow/2) }

// table sets rows in columns, none but the last wider than most, or each row as a wrapped list
// where they do not fit; the lines of each row stay together.
func (s Style) table(header []string, rows [][]string, most int) (head []string, blocks [][]string) {
	said := func(row []string) []string {
		return Each(row, func(cell *string) string { return s.Say("%s", *cell) })
	}
	header, rows = said(header), Each(rows, func(row *[]string) []string { return said(*row) })
	all := rows
	if len(header) > 0 {
		all = append([][]string{header}, rows...)
	}
	last := 0
	for _, row := range all {
		last = max(last, len(row)-1)
	}
	widths := make([]int, last)
	for _, row := range all {
		for i := range min(last, len(row)) {
			widths[i] = max(widths[i], columns(row[i]))
		}
	}
	for i := range widths { // what is long is wrapped in its column
		widths[i] = min(widths[i], most)
	}
	room, end := s.width(), 0
	for _, w := range widths {
		room -= w + 2
	}
	for _, row := range all {
		if len(row) > last {
			end = max(end, columns(row[last]))
		}
	}
	if last > 1 && s.width() < phone || room < min(leastOne, end) {
		return nil, Each(rows, func(row *[]string) []string { return s.listed(header, *row) })
	}
	set := Each(all, func(row *[]string) []string { return s.sideBySide(widths, *row) })
	if len(header) > 0 {
		return set[0], set[1:]
	}
	return nil, set
}

// sideBySide is one row in columns, each cell wrapped in its own.
func (s Style) sideBySide(widths []int, row []string) []string {
	cells := make([][]string, len(widths)+1)
	room, high := s.width(), 1
	for i := range cells {
		if i < len(widths) {
			room -= widths[i] + 2
		}
		switch {
		case i >= len(row):
			continue
		case i < len(widths) && columns(row[i]) <= widths[i]:
			cells[i] = row[i : i+1] // with its margin
		case i < len(widths):
			cells[i] = Wrap(row[i], widths[i])
		default:
			cells[i] = Wrap(row[i], room)
		}
		high = max(high, len(cells[i]))
	}
	lines := make([]string, high)
	for l := range lines {
		for i, cell := range cells {
			text := ""
			if l < len(cell) {
				text = cell[l]
			}
			if i < len(widths) {
				text = pad(text, widths[i]+2)
			}
			lines[l] += text
		}
		lines[l] = strings.TrimRight(lines[l], " ")
	}
	return lines
}

// listed is one row as a list: its name and what stands beside it, then the last cell
// below, unless all of it fits in one line.
func (s Style) listed(header, row []string) []string {
	cells := make([]string, 0, len(row))
	for i, cell := range row {
		switch {
		case cell == "":
		case i > 0 && i < len(header) && header[i] != "":
			cells = append(cells, header[i]+": "+cell)
		default:
			cells = append(cells, cell)
		}
	}
	if len(cells) < 2 {
		return s.Hang("", "  ", strings.Join(cells, ""))
	}
	if len(header) > 0 {
		if line := cells[0] + "  " + strings.Join(cells[1:], "; "); columns(line) <= s.width() {
			return []string{line}
		}
		return append(s.Hang("", "  ", cells[0]), s.Hang("  ", "  ", strings.Join(cells[1:], "; "))...)
	}
	if line := strings.Join(cells, "  "); columns(line) <= s.width() {
		return []string{line}
	}
	n := len(cells) - 1
	first := strings.Join(cells[:n], "  ")
	if columns(first) <= s.width() {
		return append([]string{first}, s.Hang("  ", "  ", cells[n])...)
	}
	return append(s.Hang("", "  ", first), s.Hang("  ", "  ", cells[n])...)
}
