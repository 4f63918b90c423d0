package shelf_test

import (
	"fmt"

	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// A sour 15 % cordial with fresh juice, kept in a fridge.
func ExampleJudge() {
	b := shelf.Bottle{
		ABVPercent: mixture.Range{Value: 15.1, Low: 14.6, High: 15.6},
		SugarGPerL: mixture.Exactly(250),
		PH:         mixture.Exactly(3.4), PHKnown: true,
		FreshJuice: []string{"blood orange juice"}, Nourishing: []string{"blood orange juice"},
		Filtered: true, BoiledBottle: true,
	}
	v := shelf.Judge(b, shelf.Storage{Place: shelf.Fridge})
	fmt.Println(v.Verdict, v.Unopened.Words, "sealed,", v.Opened.Words, "opened")
	fmt.Println(v.DecidedBy.Text)
	for _, c := range shelf.Changes(b, shelf.Storage{Place: shelf.Room}, nil) {
		if c.Verdict.Verdict == shelf.VerdictShelf {
			fmt.Println("for a shelf:", c.Text)
		}
	}
	// Output:
	// fridge 6 to 12 weeks sealed, 6 to 12 weeks opened
	// yeasts that stand alcohol (Zygosaccharomyces bailii and kin) end it first, though not within the longest trials that were read; a shelf asks for 26 % vol at the worst
	// for a shelf: raise the strength to 27.0 % vol
	// for a shelf: raise the strength to 23.0 % vol and bring the pH to 3.3 with acid
}
