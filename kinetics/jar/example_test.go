package jar_test

import (
	"fmt"
	"math"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// When to pull: cardamom wanted at 5 and bitter not above 2, both tasted twice in
// a jar that is bottled as it is.
func ExampleJar_At() {
	neat := jar.Dilution{Share: 1}
	cardamom := jar.Flavour{
		Name: "cardamom", Prior: kinetics.Usual(0.03, 2), OutH: math.Inf(1), Target: 5, Bottle: neat,
		Scores: []jar.Score{{Hours: 12, Value: 2}, {Hours: 36, Value: 4}},
	}
	bitter := jar.Unwanted{
		Name: "bitter", Limit: 2, Bottle: neat, Lag: kinetics.Normal{Mean: math.Log(3), SD: 0.7},
		Scores: []jar.Score{{Hours: 12, Value: 0}, {Hours: 36, Value: 0.5}},
	}
	read, err := jar.Jar{Flavours: []jar.Flavour{cardamom}, Unwanted: []jar.Unwanted{bitter}}.At(36)
	if err != nil {
		fmt.Println(err)
		return
	}
	o := read.Orders[0]
	fmt.Printf("%s at %.0f h; best taken out at about %.0f h (%.0f to %.0f h)\n", o.Do, o.TasteH, o.BestH, o.FromH, o.UntilH)
	// Output:
	// taste at 40 h; best taken out at about 48 h (40 to 59 h)
}
