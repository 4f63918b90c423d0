package textout

import (
	"fmt"
	"math"
	"strings"

	"steepbook/cmd/internal/scale"
	"steepbook/data/quantity"
)

// Scale prints a batch at another size; file is where it was written, "" when
// it was not.
func Scale(p *Page, s *scale.Scaled, file string) error {
	if p.JSON {
		return p.json(scaleJSON(s, file))
	}
	p.answer("%s", scaleSentence(p, s, file))
	p.line("")
	rows := make([][]string, len(s.Amounts))
	for i, r := range s.Amounts {
		rows[i] = []string{r.Name, "-", "-", "no amount written"}
		if r.Cut != "" {
			rows[i][0] += ", " + r.Cut
		}
		if r.New != nil {
			rows[i] = []string{rows[i][0], r.Old.Text, r.New.Text, roundingError(r.Error)}
		}
	}
	if len(rows) > 0 {
		p.table([]string{"what", "was", "take", "off by"}, rows)
		p.line("")
	}
	if len(s.Shopping) > 0 {
		rows = rows[:0]
		for _, b := range s.Shopping {
			rows = append(rows, []string{toBuy(b), howMuch(p, b), thatIs(p, b)})
		}
		p.table([]string{"to buy", "how much", "that is"}, rows)
		p.line("")
	}
	p.pairs(append(pours(p, &s.Portions, s.From.Drinks(), s.Blend.Unpriced), pair{"Jar", jarRoom(p, s)}))
	p.items(s.Warnings)
	if file == "" {
		p.item("nothing is written: add a file name to start this batch, such as big.toml")
	}
	return p.done()
}

func scaleSentence(p *Page, s *scale.Scaled, file string) string {
	text := fmt.Sprintf("%s, x%s", s.From.Batch.Name, quantity.FormatNumber(s.Factor))
	if to := &s.Blend; to.Have() {
		text += fmt.Sprintf(": about %s", p.volume(s.VolumeML.Value))
		if s.From.Blend.Have() {
			text += fmt.Sprintf(" instead of %s", p.volume(s.From.Blend.Result.VolumeML.Value))
		}
		text += ", " + atStrength(to.Result.ABVPercent)
	}
	if file != "" {
		text += ", written to " + file
	}
	return text + "."
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

func howMuch(p *Page, b scale.Purchase) string {
	switch {
	case b.Fruit > 0:
		return fmt.Sprintf("%d and %d spare", b.Fruit, b.Spare)
	case len(b.Amounts) == 1:
		return b.Amounts[0].String()
	case b.VolumeML > 0:
		return p.volume(b.VolumeML)
	case b.MassG > 0:
		return quantity.FormatMass(b.MassG, p.Units)
	}
	all := make([]string, len(b.Amounts))
	for i, a := range b.Amounts {
		all[i] = a.String()
	}
	return strings.Join(all, " + ")
}

func thatIs(p *Page, b scale.Purchase) string {
	var parts []string
	for i, w := range b.Bottles {
		// As its label says, by law in millilitres (27 CFR 5.203, from memory).
		text := fmt.Sprintf("%d x %.0f ml", w.Count, w.SizeML)
		if w.LeftML >= 0.5 {
			text += fmt.Sprintf(" with %s left", p.volume(w.LeftML))
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

func jarRoom(p *Page, s *scale.Scaled) string {
	if s.JarML <= 0 {
		return ""
	}
	least := ""
	if s.JarAtLeast {
		least = "at least "
	}
	return fmt.Sprintf("liquid and solids take %s%s while they steep: a jar a little "+
		"larger, with little air above", least, p.volume(s.JarML))
}

func scaleJSON(s *scale.Scaled, file string) object {
	from, to, r := &s.From.Blend, &s.Blend, &s.Blend.Result
	return append(append(object{
		{"batch", s.From.Batch.Name},
		{"file", some(file)},
		{"factor", s.Factor},
		{"wanted_ml", some(s.WantedML)},
		{"old_volume_ml", where(from.Have(), from.Result.VolumeML.Value)},
		{"volume_ml", where(to.Have(), s.VolumeML.Value)},
		{"abv_percent", where(to.Have(), r.ABVPercent.Value)},
		{"sugar_g_per_l", where(to.Have(), r.SugarGPerL.Value)},
		{"amounts", each(s.Amounts, scaledAmountJSON)},
		{"shopping", s.Shopping},
	}, portionsJSON(&s.Portions, some(s.EthanolG/drinkUSG), to.Unpriced)...), object{
		{"jar_ml", some(s.JarML)},
		{"warnings", s.Warnings},
	}...)
}

func scaledAmountJSON(r *scale.Amount) object {
	var was, is, meant any
	if r.New != nil {
		was, is = r.Old.Text, r.New.Text
	}
	if m := r.MeantG; m != nil {
		meant = *m
	}
	return object{
		{"part", r.Part},
		{"name", r.Name},
		{"cut", r.Cut},
		{"old", was},
		{"new", is},
		{"error_share", r.Error},
		{"meant_g", meant},
	}
}
