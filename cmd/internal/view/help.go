package view

import (
	"steepbook/cmd/internal/pen"
	"steepbook/data/batch"
)

// BatchHelp prints the reference of the batch file.
func BatchHelp(p *pen.Page, keys []batch.Key) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("keys", keys)})
	}
	p.Para("A batch is one file of TOML: a line gives a name, \"=\" and a value, a line in brackets begins " +
		"a table, and what stands behind # is yours. At the top only name and started must be there; each answer says " +
		"what it still needs.")
	for len(keys) > 0 {
		var lines []pen.Pair
		table := keys[0].Table
		head := pen.Pair{"At the top", "above the first line in brackets"}
		for ; len(keys) > 0 && keys[0].Table == table; keys = keys[1:] {
			if k := keys[0]; k.Name == "" {
				head = pen.Pair{table, k.Takes}
			} else {
				lines = append(lines, pen.Pair{"  " + p.Say("%s", k.Example), k.Takes})
			}
		}
		p.Line("")
		p.Pairs([]pen.Pair{head})
		p.Pairs(lines)
	}
	p.Line("")
	p.Pairs([]pen.Pair{
		{"Amounts",
			`as recipes have them: "a scant 1/4 cup", "1 lb 4 oz", "2 (750 ml) bottles", ` +
				`"juice of half a lemon". Words that qualify become ranges. Without units = "us" ` +
				`a bare pint, quart, gallon or gill is asked about, ` +
				`and a bare cup or fluid ounce is carried as the range of a US and a metric one.`},
		{"Times",
			`since the start ("20 h", "2 d 4 h"), or of the clock: 2026-11-20T18:00:00, "24 Nov 20:00". ` +
				`What would be another day whenever the file is read, such as "yesterday", is refused.`},
		{"Unknown", "what the library does not know is judged on the careful side; what is written beside " +
			"a thing (abv, like) gives figures and takes no care away."},
	})
	return p.Done()
}
