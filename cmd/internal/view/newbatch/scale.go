package newbatch

import (
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
)

// ScaleScreen is a batch at another size: how much to take of each thing.
func ScaleScreen(s *scale.Scaled, file string, style pen.Style) pen.Screen {
	out := bottle.BeginWhole(s.From, scaleSentence(style, s, file))
	out.Head, out.Notes = []string{"what", "was", "take", "off by"}, s.Warnings
	for _, r := range s.Amounts {
		name := r.Name
		if r.Cut != "" {
			name += ", " + r.Cut
		}
		row := []string{name, "-", "-", "no amount written"}
		if r.New != nil {
			row = []string{name, r.Old.Text, r.New.Text, roundingError(r.Error)}
		}
		for _, c := range s.From.Keep.Verdict.Cautions {
			if c.Unweighed == r.Name {
				row[len(row)-1] += ": weigh it"
				break
			}
		}
		out.Answer, out.Rows = append(out.Answer, len(out.Rows)), append(out.Rows, row)
	}
	if n := len(s.Shopping); n > 0 {
		out.Notes = append(out.Notes,
			fmt.Sprintf("To buy: %s, with --why.", quantity.Counted(n, "line", "lines")))
		out.More = "--why, with what to buy"
	}
	return out.Said(style.Units)
}

// Scale prints a batch at another size; file is where it was written, "" when it was not.
// With why also what to buy, what is poured and how large the jar is.
func Scale(p *pen.Page, s *scale.Scaled, file string, why bool) error {
	if p.JSON {
		return p.WriteJSON(scaleJSON(s, file))
	}
	screen := ScaleScreen(s, file, p.Style)
	if !why {
		p.Screen(screen, pen.OfScreen)
		return p.Done()
	}
	screen.Notes = nil // in full below
	p.Screen(screen, pen.Whole)
	p.Line("")
	if len(s.Shopping) > 0 {
		var rows [][]string
		for _, b := range s.Shopping {
			rows = append(rows, []string{toBuy(b), howMuch(p, b), thatIs(p, b)})
		}
		p.Table([]string{"to buy", "how much", "that is"}, rows)
		p.Line("")
	}
	p.Pairs(append(bottle.Pours(p, &s.Portions, nil, s.From.Drinks(), s.Blend.Unpriced),
		pen.Pair{"Jar", jarRoom(p, s)}))
	p.Items(s.Warnings)
	return p.Done()
}

func scaleSentence(p pen.Style, s *scale.Scaled, file string) string {
	text := fmt.Sprintf("%s, x%s", s.From.Batch.Name, quantity.FormatNumber(s.Factor))
	if to := &s.Blend; to.Have() {
		text += fmt.Sprintf(": about %s", p.Volume(to.Result.VolumeML.Value))
		if s.From.Blend.Have() {
			text += fmt.Sprintf(" instead of %s", p.Volume(s.From.Blend.Result.VolumeML.Value))
		}
		text += ", " + bottle.AtStrength(to)
	}
	if file == "" {
		return text + ". Nothing is written: add a file name to start this batch, such as big.toml."
	}
	text += ", written to " + file + ". "
	switch at, now := s.Batch.Started, s.From.Now; {
	case at.Sub(now).Abs() < time.Minute:
		return text + "It starts now: if it does not, set started in the file, or scale with --start."
	case at.Before(now):
		text += "It started "
	default:
		text += "It starts "
	}
	return text + view.Moment(s.Batch.Started, s.From.Now, 0).At() + "."
}

// roundingError prints how far a measure is from the exact amount.
func roundingError(share float64) string {
	switch percent := 100 * share; {
	case math.Abs(percent) < 0.05:
		return "exact"
	case math.Abs(percent) < 1:
		return "under 1 %"
	default:
		return fmt.Sprintf("%+.0f %%", percent)
	}
}

func toBuy(b scale.Purchase) string {
	if b.ABVPercent > 0 {
		return fmt.Sprintf("%s %s %%", b.Item, quantity.FormatNumber(b.ABVPercent))
	}
	return b.Item
}

func howMuch(p *pen.Page, b scale.Purchase) string {
	switch {
	case b.Fruit > 0:
		return fmt.Sprintf("%d and %d spare", b.Fruit, b.Spare)
	case len(b.Amounts) == 1:
		return b.Amounts[0].String()
	case b.VolumeML > 0:
		return p.Volume(b.VolumeML)
	case b.MassG > 0:
		return quantity.FormatMass(b.MassG, p.Units)
	}
	all := make([]string, len(b.Amounts))
	for i, a := range b.Amounts {
		all[i] = a.String()
	}
	return strings.Join(all, " + ")
}

func thatIs(p *pen.Page, b scale.Purchase) string {
	var parts []string
	for i, w := range b.Bottles {
		// As its label says, by law in millilitres (27 CFR 5.203, from memory).
		text := fmt.Sprintf("%d x %s", w.Count, quantity.FormatVolume(w.SizeML, quantity.Metric))
		if w.LeftML >= 0.5 {
			text += fmt.Sprintf(" with %s left", p.Volume(w.LeftML))
		}
		if i > 0 {
			text = "or " + text
		}
		parts = append(parts, text)
	}
	if b.Fruit > 0 {
		if b.FruitG > 0 {
			parts = append(parts, "about "+quantity.FormatMass(b.FruitG, p.Units))
		}
		for i, use := range b.Uses {
			switch a := b.Amounts[i]; {
			case use == "" || a.Of != "":
				parts = append(parts, a.String())
			default:
				parts = append(parts, a.String()+" "+use)
			}
		}
		if b.ZestFirst {
			parts = append(parts, "zest before juicing")
		}
	} else if _, _, _, weighed := b.Amounts[0].Grams(); b.MassG > 0 && !weighed {
		parts = append(parts, "about "+quantity.FormatMass(b.MassG, p.Units))
	}
	return strings.Join(parts, ", ")
}

func jarRoom(p *pen.Page, s *scale.Scaled) string {
	if s.JarML <= 0 {
		return ""
	}
	least := ""
	if s.JarAtLeast {
		least = "at least "
	}
	return fmt.Sprintf("liquid and solids take %s%s while they steep: a jar a little "+
		"larger, with little air above", least, p.Volume(s.JarML))
}

func scaleJSON(s *scale.Scaled, file string) pen.Object {
	from, to, r := &s.From.Blend, &s.Blend, &s.Blend.Result
	return append(append(pen.Object{
		pen.As("batch", s.From.Batch.Name),
		pen.As("file", pen.Some(file)),
		pen.As("danger", bottle.CanHurt(s.From)),
		pen.As("started", s.Batch.Started),
		pen.As("factor", s.Factor),
		pen.As("wanted_ml", pen.Some(s.WantedML)),
		pen.As("old_volume_ml", pen.Where(from.Have(), from.Result.VolumeML.Value)),
		pen.As("volume_ml", pen.Where(to.Have(), r.VolumeML.Value)),
		pen.As("abv_percent", pen.Where(to.Have(), r.ABVPercent.Value)),
		pen.As("sugar_g_per_l", pen.Where(to.Have(), r.SugarGPerL.Value)),
		pen.As("amounts", pen.Each(s.Amounts, scaledAmountJSON)),
		pen.As("shopping", s.Shopping),
	}, bottle.PortionsJSON(&s.Portions, nil,
		pen.Some(s.EthanolG/bottle.DrinkUSG), to.Unpriced)...), pen.Object{
		pen.As("jar_ml", pen.Some(s.JarML)),
		pen.As("warnings", s.Warnings),
	}...)
}

func scaledAmountJSON(r *scale.Amount) pen.Object {
	var was, now, meant any
	if r.New != nil {
		was, now = r.Old.Text, r.New.Text
	}
	if m := r.MeantG; m != nil {
		meant = *m
	}
	return pen.Object{
		pen.As("part", r.Part),
		pen.As("name", r.Name),
		pen.As("cut", r.Cut),
		pen.As("old", was),
		pen.As("new", now),
		pen.As("error_share", r.Error),
		pen.As("meant_g", meant),
	}
}
