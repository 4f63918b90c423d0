package vary

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// Line says what changed: "clove 6 pieces instead of 4 pieces".
func (c *Change) Line() string {
	switch {
	case c.Factor == "spirit" || c.Factor == "addition":
		return fmt.Sprintf("%s instead of %s", c.To, c.From)
	case c.Factor == "wanted strength":
		return strings.TrimSuffix(fmt.Sprintf("%s wanted at %s instead of %s", c.Of, c.To, c.From),
			" instead of ")
	case c.Factor == "time it goes in":
		return fmt.Sprintf("%s in after %s instead of %s", c.Of, c.To, c.From)
	}
	return strings.TrimSuffix(fmt.Sprintf("%s %s instead of %s", c.Of, c.To, c.From), " instead of ")
}

// short tells the new batch from the old in its name.
func (c *Change) short() string {
	if c.Factor == "spirit" || c.Factor == "addition" {
		return c.To
	}
	line, _, _ := strings.Cut(c.Line(), " instead of ")
	return line
}

// Question is what Text needs beside the batch and its change.
type Question struct {
	From, To string    // the old file as the new one names it, and the name that faults carry
	Name     string    // of the new batch; "" is the old name with the change
	Start    time.Time // of the new batch, in the zone that its clock times are in
	Keeps    *float64  // what its solids were measured to keep of the liquor that is usual; nil: nobody did
}

// Text is the recipe of a batch with one change, as a new batch file: what was logged and
// measured is left out, with the moments of its finish. The error is a fault in how the
// old file is written.
func Text(b *batch.Batch, c *Change, q Question) ([]byte, error) {
	w := b.Rewrite()
	w.From("One thing changed from", q.From, c.Line(), "The rest is the same, so that what tastes different "+
		"comes of the change: keep it so.")
	w.Anew(q.To, cmp.Or(q.Name, b.Name+", "+c.short()), q.Start)
	for _, h := range b.Botanicals {
		if c.part != "botanical" || c.entry != h.Index || c.sets[0].key != "in" {
			w.SetSpan(h.In, "botanical", h.Index, "in")
		}
	}
	for _, stage := range []*batch.Stage{b.Finish.Strained, b.Finish.Bottled, b.Finish.Opened} {
		if stage != nil {
			w.Drop("finish", stage.Key)
		}
	}
	for _, s := range c.sets {
		if s.drop {
			w.Drop(c.part, c.entry, s.key)
		} else if b.Doc.Has(c.part, c.entry, s.key) || s.key != "price" {
			w.Give(s.value, c.part, c.entry, s.key)
		}
	}
	w.Keeps(q.Keeps)
	text, err := w.Text()
	if err != nil {
		return nil, err
	}
	to, err := batch.Parse(q.To, text, q.Start.Location())
	if err != nil {
		return nil, err
	}
	return text, c.Only(b, to)
}

// Only holds a new batch, as it reads, against the old one with the change: an error where
// anything else differs, or nothing does.
func (c *Change) Only(old, to *batch.Batch) error {
	want := old.Anew(to)
	want.Finish.Strained, want.Finish.Bottled, want.Finish.Opened = nil, nil, nil
	same := len(old.Spirits) == len(to.Spirits) && len(old.Botanicals) == len(to.Botanicals) &&
		len(old.Additions) == len(to.Additions)
	if same {
		for i := range want.Botanicals { // a clock time that became a span
			if d := want.Botanicals[i].In - to.Botanicals[i].In; d > -1e-3 && d < 1e-3 {
				want.Botanicals[i].In = to.Botanicals[i].In
			}
		}
		if reflect.DeepEqual(c.line(&want), c.line(to)) {
			return fmt.Errorf("in the measures there are %s makes no difference at this size; change it more", c.Line())
		}
		switch i := c.entry; c.part {
		case "spirit":
			want.Spirits[i] = to.Spirits[i]
		case "botanical":
			want.Botanicals[i] = to.Botanicals[i]
		default:
			want.Additions[i] = to.Additions[i]
		}
	}
	if !same || !reflect.DeepEqual(&want, to) {
		return fmt.Errorf("%s cannot be changed as it is written; put each table under a header of its own, "+
			"such as [[botanical]], and each key on its own line", old.File)
	}
	return nil
}

// Between is the change as it reads in two batches that differ in it: of halves, with
// half the amounts.
func (c *Change) Between(old, to *batch.Batch) *Change {
	out := *c
	if from, now := c.amount(old), c.amount(to); c.Factor == "amount" && now != nil {
		out.To = now.Text
		if from != nil {
			out.From = from.Text
		}
	}
	return &out
}

// amount is how much there is of what changes.
func (c *Change) amount(b *batch.Batch) *quantity.Amount {
	switch c.part {
	case "spirit":
		return b.Spirits[c.entry].Amount
	case "botanical":
		return b.Botanicals[c.entry].Amount
	}
	return b.Additions[c.entry].Amount
}

// line is the line of a recipe that changes.
func (c *Change) line(b *batch.Batch) any {
	switch c.part {
	case "spirit":
		return b.Spirits[c.entry]
	case "botanical":
		return b.Botanicals[c.entry]
	}
	return b.Additions[c.entry]
}
