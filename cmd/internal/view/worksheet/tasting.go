package worksheet

import (
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/quantity"
)

// TastingRow is a line of a tasting sheet: a taste, and what is wanted of it in the
// bottle, empty for none.
type TastingRow struct{ Name, Wanted string }

// TastingSheet is a sheet to taste by: the rows in the order of tasting, none where
// nothing is to be tasted; how it is done; what can hurt; and the line that logs it.
type TastingSheet struct {
	Rows        []TastingRow
	How, Danger []string
	Log         string
}

// plainControl is the row of what holds the scores together: a sip of the same without
// botanicals, diluted alike.
const plainControl = "plain spirit, diluted alike"

// Thinning says how to take a sample that no recipe mixes.
func Thinning(a *bench.Assessment) string {
	switch {
	case bottle.TastingWords(a) != "":
		return "Write down whether it was thinned, and how."
	case a.TooStrong():
		return "Spirit as strong as this numbs the tongue: thin it with water, and write down how, jar first; 1:2 is one " +
			"part of it and two of water."
	}
	return "Taste it as it is, or thin it and write down how."
}

// Tasting words the sheet to taste a batch by; its error is that of the steep.
func Tasting(a *bench.Assessment, style pen.Style) (t TastingSheet, err error) {
	if err := a.Steep(); err != nil {
		return t, err
	}
	care := bottle.TastingWords(a)
	if t.Danger = bottle.CanHurt(a); !a.Tasting().Offered() {
		t.Danger[0] = care + " " + t.Danger[0]
		return t, nil
	}
	flavours, watch := a.TastingOrder()
	if len(flavours) == 0 {
		return t, nil
	}
	line := []string{"taste", a.Batch.File}
	sips := "Small sips, water"
	if care != "" {
		sips = care + " Water"
	}
	t.How = []string{sips + " and a plain cracker between them, at the same hour each time."}
	if s := a.NextSitting(); s != nil && s.Advice != "" {
		t.How = []string{strings.TrimSpace(care + " " + s.Advice)}
	}
	if mix, ratio := steep.Sample(a, style); ratio != "" {
		t.How = append(t.How, "Mix the sample "+mix+".")
		line = append(line, "--sample", ratio)
	} else {
		t.How = append(t.How, Thinning(a))
	}
	t.How = append(t.How,
		"Score the plain control too: it should be 0 in all, and shows how the tongue is today.")
	for _, c := range flavours {
		row := TastingRow{Name: c.Name}
		if c.Target != nil {
			row.Wanted = pen.Trim(*c.Target)
		}
		t.Rows = append(t.Rows, row)
		line = append(line, c.Name+"=3")
	}
	for _, c := range watch {
		t.Rows = append(t.Rows, TastingRow{c.Name + ", unwanted", "at most " + pen.Trim(c.Limit)})
		line = append(line, c.Name+"=0")
	}
	control := plainControl
	if len(a.Batch.Spirits) == 0 {
		control = "plain base, diluted alike"
	}
	t.Rows = append(t.Rows, TastingRow{Name: control, Wanted: "0"})
	t.Log = quantity.Say("steepbook "+view.ShellLine(line), style.Units)
	return t, nil
}
