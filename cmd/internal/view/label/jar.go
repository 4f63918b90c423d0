package label

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

func (w *writer) jar() {
	b := w.Batch
	in := "In " + b.Started.Format("Mon 2~Jan 2006") + " at" + b.Started.Format("~15:04")
	if b.StartedDateOnly {
		in = "In " + b.Started.Format("Mon 2~Jan 2006")
	}
	w.large(in)
	w.pulls()
	w.line(mustStand, w.contents())
	w.allergens()
	if text := w.WeakStart(); text != "" {
		w.strong(clause(text) + ".")
	}
	if c, ok := w.JarFlashC(); ok {
		w.line(mustStand, fmt.Sprintf("Flammable from %.0f~°C: no flame near it.", c))
	}
	var later []string
	for _, x := range b.Additions {
		if x.In == nil {
			later = append(later, amounted(x.Name, "", x.Amount))
		}
	}
	if len(later) > 0 {
		w.line(madeOf, "After straining: "+strings.Join(later, "; ")+".")
	}
}

// amounted is a thing as its recipe has it.
func amounted(name, cut string, amount *quantity.Amount) string {
	if cut != "" && !strings.Contains(strings.ToLower(name), strings.ToLower(cut)) {
		name += ", " + cut
	}
	if amount != nil {
		return amount.String() + " " + name
	}
	return name
}

// contents are what is in the jar, with cut and amount, and what it steeps in.
func (w *writer) contents() string {
	var all []string
	for _, s := range w.Batch.Spirits {
		all = append(all, amounted(cmp.Or(s.Label(), "spirit"), "", s.Amount))
	}
	for i := range w.Batch.Botanicals {
		e := &w.Batch.Botanicals[i]
		text := amounted(e.Name, e.Cut, e.Amount)
		if c := w.Curve(e.Name); c != nil && c.InH > math.Max(w.ElapsedH, 0) {
			text += " (goes in " + pen.Stamp(w.Batch.At(c.InH), 0) + ")"
		}
		all = append(all, text)
	}
	for _, x := range w.Batch.Additions {
		if x.In != nil {
			all = append(all, amounted(x.Name, "", x.Amount))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return strings.Join(all, "; ") + "."
}

// pulls words the orders of the jar with their moments: when to taste next, and what
// comes out by when.
func (w *writer) pulls() {
	if s := w.NextSitting(); s != nil {
		when := "now"
		if !s.Now {
			when = pen.Stamp(w.Batch.At(s.AtH), math.Min(s.DoubtH, 6))
		}
		w.strong("Taste next " + when + ": " + quantity.And(slices.Concat(s.Flavours, s.Watch)))
	}
	when := map[string][]string{}
	var order []string
	curves := slices.Clone(w.Curves)
	slices.SortStableFunc(curves, func(x, y bench.Curve) int { return cmp.Compare(outH(&x), outH(&y)) })
	for i := range curves {
		c := &curves[i]
		o := &c.Order
		at := outH(c)
		if math.IsInf(at, 1) {
			continue
		}
		text := "now"
		switch o.Do {
		case jar.Leave:
			text = "by " + pen.Stamp(w.Batch.At(at), (o.UntilH-o.FromH)/4)
		case jar.Taste:
			text = "about " + pen.Stamp(w.Batch.At(at), 24)
		}
		if when[text] == nil {
			order = append(order, text)
		}
		when[text] = append(when[text], c.Name)
	}
	var out []string
	for _, text := range order {
		out = append(out, quantity.And(when[text])+" "+text)
	}
	if len(out) > 0 {
		w.strong("Pull " + strings.Join(out, "; "))
	}
}

// outH is when a flavour comes out by its order, hours since the start; +Inf for what is
// out, stays, or is nobody's to take out.
func outH(c *bench.Curve) float64 {
	switch o := &c.Order; {
	case c.Watch:
	case o.Do == jar.Pull || o.Do == jar.Strain:
		return math.Inf(-1)
	case o.Do == jar.Leave:
		return o.ByH
	case o.Do == jar.Taste:
		return o.BestH
	}
	return math.Inf(1)
}
