package pen

import "strings"

// Piece is part of an answer that somebody else lays out: a paragraph, remarks, or a
// table, in the units of the maker. The others are empty.
type Piece struct {
	Text   string
	Strong bool // the paragraph is the answer, or a heading
	Items  []string
	Head   []string // of Rows, often empty
	Rows   [][]string
}

// Gather returns a page that keeps what is written on it, for Pieces.
func Gather(s Style, names Names) *Page {
	s.Colour, s.JSON = true, false // so that what is strong can be told
	return &Page{Style: s, names: names, parts: &[]Piece{}}
}

// Pieces are what was written on a page of Gather, in order.
func (p *Page) Pieces() []Piece { return *p.parts }

// gather keeps a part and reports whether this is a page that does.
func (p *Page) gather(part Piece) bool {
	if p.parts == nil {
		return false
	}
	list := p.parts
	bold, end := p.marks("1")
	if text, ok := strings.CutPrefix(strings.TrimSpace(part.Text), bold); ok && strings.HasSuffix(text, end) {
		part.Strong = true
	}
	plain := func(s string) string {
		return strings.TrimSpace(p.Say("%s", strings.NewReplacer(bold, "", end, "").Replace(s)))
	}
	part.Text = plain(part.Text)
	part.Items = Each(part.Items, func(s *string) string { return plain(*s) })
	part.Head = Each(part.Head, func(s *string) string { return plain(*s) })
	part.Rows = Each(part.Rows, func(row *[]string) []string {
		return Each(*row, func(s *string) string { return plain(*s) })
	})
	last := len(*list) - 1
	switch {
	case part.Text == "" && len(part.Items)+len(part.Rows) == 0: // a blank line
	case len(part.Items) > 0 && last >= 0 && len((*list)[last].Items) > 0:
		(*list)[last].Items = append((*list)[last].Items, part.Items...)
	default:
		*list = append(*list, part)
	}
	return true
}
