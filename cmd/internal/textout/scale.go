package textout

import (
	"fmt"
	"io"
	"math"
	"strings"

	"steepbook/cmd/internal/scale"
	"steepbook/data/quantity"
)

// Scale prints a batch at another size; file is where it was written, "" when
// it was not.
func Scale(p *Page, s *scale.Scaled, file string) error {
	p.Para("%s", p.Strong(scaleSentence(p, s, file)))
	p.Line("")
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
		p.Table([]string{"what", "was", "take", "off by"}, rows)
		p.Line("")
	}
	if len(s.Shopping) > 0 {
		rows = rows[:0]
		for _, b := range s.Shopping {
			rows = append(rows, []string{toBuy(b), howMuch(p, b), thatIs(p, b)})
		}
		p.Table([]string{"to buy", "how much", "that is"}, rows)
		p.Line("")
	}
	p.Pairs(append(pours(p, &s.Portions, s.From.Drinks(), s.Blend.Unpriced), Pair{"Jar", jarRoom(p, s)}))
	for _, w := range s.Warnings {
		p.Item("%s", w)
	}
	if file == "" {
		p.Item("nothing is written: add a file name to start this batch, such as big.toml")
	}
	return p.Err()
}

func scaleSentence(p *Page, s *scale.Scaled, file string) string {
	text := fmt.Sprintf("%s, x%s", s.From.Batch.Name, quantity.FormatNumber(s.Factor))
	if to := &s.Blend; to.Have() {
		text += fmt.Sprintf(": about %s", p.volume(s.VolumeML.Value))
		if s.From.Blend.Have() {
			text += fmt.Sprintf(" instead of %s", p.volume(s.From.Blend.Result.VolumeML.Value))
		}
		text += ", " + atStrength(to.Result.ABVPercent.Value, to.Result.ABVPercent.Low, to.Result.ABVPercent.High)
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
		text := fmt.Sprintf("%d x %.0f ml", w.Count, w.SizeML) // as its label says, by law in millilitres (27 CFR 5.203, from memory)
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
	return fmt.Sprintf("liquid and solids take %s%s while they steep: a jar a little larger, with little air above", least, p.volume(s.JarML))
}

type scaledAmountJSON struct {
	Part       string     `json:"part"`
	Name       string     `json:"name"`
	Cut        string     `json:"cut"`
	Old        *string    `json:"old"`
	New        *string    `json:"new"`
	ErrorShare float64    `json:"error_share"`
	MeantG     *valueJSON `json:"meant_g"`
}

type purchaseJSON struct {
	Item       string       `json:"item"`
	ABVPercent *float64     `json:"abv_percent"`
	Amounts    []string     `json:"amounts"`
	VolumeML   *float64     `json:"volume_ml"`
	MassG      *float64     `json:"mass_g"`
	Fruit      int          `json:"fruit"`
	Spare      int          `json:"spare"`
	FruitG     *float64     `json:"fruit_g"`
	Bottles    []boughtJSON `json:"bottles"`
}

type boughtJSON struct {
	SizeML float64 `json:"size_ml"`
	Count  int     `json:"count"`
	LeftML float64 `json:"left_ml"`
}

type scaleJSON struct {
	Batch       string             `json:"batch"`
	File        *string            `json:"file"`
	Factor      float64            `json:"factor"`
	WantedML    *float64           `json:"wanted_ml"`
	OldVolumeML *float64           `json:"old_volume_ml"`
	VolumeML    *float64           `json:"volume_ml"`
	ABVPercent  *float64           `json:"abv_percent"`
	SugarGPerL  *float64           `json:"sugar_g_per_l"`
	Amounts     []scaledAmountJSON `json:"amounts"`
	Shopping    []purchaseJSON     `json:"shopping"`
	portionsJSON
	JarML    *float64 `json:"jar_ml"`
	Warnings []string `json:"warnings"`
}

// ScaleJSON writes a batch at another size as JSON.
func ScaleJSON(w io.Writer, s *scale.Scaled, file string) error {
	out := scaleJSON{
		Batch: s.From.Batch.Name, Factor: s.Factor, WantedML: orNull(s.WantedML), JarML: orNull(s.JarML),
		Amounts: []scaledAmountJSON{}, Shopping: []purchaseJSON{},
		portionsJSON: portionsOf(&s.Portions, s.Blend.Unpriced), Warnings: lines(s.Warnings),
	}
	if file != "" {
		out.File = &file
	}
	if b := &s.From.Blend; b.Have() {
		out.OldVolumeML = finite(b.Result.VolumeML.Value)
	}
	if b := &s.Blend; b.Have() {
		r := &b.Result
		out.VolumeML, out.ABVPercent, out.SugarGPerL = finite(s.VolumeML.Value), finite(r.ABVPercent.Value), finite(r.SugarGPerL.Value)
	}
	for _, r := range s.Amounts {
		j := scaledAmountJSON{Part: r.Part, Name: r.Name, Cut: r.Cut, ErrorShare: r.Error}
		if r.New != nil {
			was, is := r.Old.Text, r.New.Text
			j.Old, j.New = &was, &is
		}
		if m := r.MeantG; m != nil {
			j.MeantG = &valueJSON{finite(m.Value), finite(m.Low), finite(m.High)}
		}
		out.Amounts = append(out.Amounts, j)
	}
	for _, b := range s.Shopping {
		j := purchaseJSON{
			Item: b.Item, ABVPercent: orNull(b.ABVPercent), VolumeML: orNull(b.VolumeML), MassG: orNull(b.MassG),
			Fruit: b.Fruit, Spare: b.Spare, FruitG: orNull(b.FruitG), Amounts: []string{}, Bottles: []boughtJSON{},
		}
		for _, a := range b.Amounts {
			j.Amounts = append(j.Amounts, a.String())
		}
		for _, x := range b.Bottles {
			j.Bottles = append(j.Bottles, boughtJSON(x))
		}
		out.Shopping = append(out.Shopping, j)
	}
	return write(w, out)
}

// orNull is v, or null for a figure that is not known.
func orNull(v float64) *float64 {
	if v <= 0 {
		return nil
	}
	return finite(v)
}
