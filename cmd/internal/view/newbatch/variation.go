package newbatch

import (
	"fmt"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/vary"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/quantity"
)

// Varied is the next variation of a batch that was written.
type Varied struct {
	Of     string // the name of the old batch
	Change *vary.Change
	Files  []string // what was written: the new batch, or the control and the changed half
	With   string   // the file to compare it with; "" where both halves were written
	Went   []vary.Went
	// Weighed says what was done about the amount of what is cut another way, "" for nothing.
	Weighed string
	// Off says of what could not be halved how far it is off.
	Off []string
	// Keeps is what the solids of the old batch were measured to keep; nil: nobody did.
	Keeps *float64
}

// KeepsWords says that what was measured of the solids goes with a new batch, "" where nothing was.
func KeepsWords(share *float64) string {
	if share == nil {
		return ""
	}
	return fmt.Sprintf("The solids were measured to keep %.0f %% of the liquor that is usual, and the same is expected of the new ones: "+
		"take keeps out of [finish] if you strain otherwise.", 100**share)
}

// WentWords says that a recipe is planned from what went in, "" where nothing else did than
// was planned.
func WentWords(list []vary.Went) string {
	var in, as []string
	for _, w := range list {
		switch {
		case w.Amount == "":
			as = append(as, fmt.Sprintf("%s of %s", w.Planned, w.Name))
		case w.Planned == "":
			in = append(in, fmt.Sprintf("%s of %s (not planned)", w.Amount, w.Name))
		default:
			in = append(in, fmt.Sprintf("%s of %s (planned: %s)", w.Amount, w.Name, w.Planned))
		}
	}
	said := ""
	if len(in) > 0 {
		said = fmt.Sprintf("It is planned from what went in: %s. ", quantity.And(in))
	}
	if len(as) > 0 {
		said += fmt.Sprintf("Of what went in by amounts that cannot be added up the plan stands: %s.", quantity.And(as))
	}
	return strings.TrimSpace(said)
}

// Variation says what was written and how to judge it; a is what it would come to.
func Variation(p *pen.Page, v *Varied, a *bench.Assessment) error {
	danger := bottle.CanHurt(a)
	pair := v.Files
	if v.With != "" {
		pair = []string{v.With, v.Files[0]}
	}
	judge := view.ShellLine(append([]string{"steepbook", "compare"}, pair...))
	blind := ""
	if bottle.NotForGuests(a) == "" {
		blind = view.ShellLine(append([]string{"steepbook", "compare", "--blind", "triangle"}, pair...))
	}
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("of", v.Of),
			pen.As("files", v.Files),
			pen.As("changed", pen.Object{
				pen.As("name", v.Change.Of),
				pen.As("factor", v.Change.Factor),
				pen.As("from", pen.Some(v.Change.From)),
				pen.As("to", v.Change.To),
			}),
			pen.As("went_in", pen.Each(v.Went, func(w *vary.Went) pen.Object {
				return pen.Object{pen.As("name", w.Name), pen.As("amount", pen.Some(w.Amount)),
					pen.As("planned", pen.Some(w.Planned))}
			})),
			pen.As("weighed", pen.Some(v.Weighed)),
			pen.As("not_half", v.Off),
			pen.As("must_not", a.Keep.MustNot),
			pen.As("danger", danger),
			pen.As("then", judge),
			pen.As("blind", pen.Some(blind)),
		})
	}
	for i, d := range danger {
		if i == 0 {
			p.Answer("%s", d)
			continue
		}
		p.Item("%s", d)
	}
	if v.With == "" {
		p.Answer("Wrote two halves of %s, each half the size: %s as it was, and %s with %s.", v.Of, v.Files[0],
			v.Files[1], v.Change.Line())
		p.Para("Start both at once from the same bottle and the same lots, and taste both each time.")
	} else {
		p.Answer("Wrote %s: %s with %s; everything else is as it was made.", v.Files[0], v.Of, v.Change.Line())
	}
	for _, text := range []string{steep.First(a), KeepsWords(v.Keeps)} {
		if text != "" {
			p.Para("%s", text)
		}
	}
	if len(v.Off) > 0 {
		p.Para("Not quite half, so a difference from the first batch: %s.", quantity.And(v.Off))
	}
	if len(v.Went) > 0 {
		p.Para("%s", WentWords(v.Went))
	}
	if v.Weighed != "" {
		p.Para("%s", v.Weighed)
	}
	p.Para("When both have tastings, this says what the change did:")
	p.Line("  %s", judge)
	if blind != "" {
		p.Para("And this sets out glasses to taste without knowing which is which:")
		p.Line("  %s", blind)
	}
	return p.Done()
}
