package mixture_test

import (
	"fmt"

	"steepbook/shelf/mixture"
)

// A liqueur: spirit, peel that keeps some of it back, syrup.
func ExampleRecipe_Balance() {
	r := mixture.Recipe{
		Bases: []mixture.Base{{
			Name:       "grape brandy",
			VolumeML:   mixture.Quantity{Value: 700, SD: 5},
			ABVPercent: mixture.Quantity{Value: 57, SD: 0.3},
		}},
		Solids: []mixture.Solid{{
			Name:       "orange zest",
			MassG:      mixture.Quantity{Value: 30, SD: 1},
			PerG:       mixture.Parts{Water: 0.73},
			HeldMLPerG: mixture.Quantity{Value: 1, SD: 0.3},
		}},
		Additions: []mixture.Addition{{
			Name:  "2:1 syrup",
			MassG: mixture.Quantity{Value: 600, SD: 25, Cause: "syrup by the cup", Cure: "weigh it"},
			PerG:  mixture.Parts{Sucrose: 2. / 3, Water: 1. / 3},
		}},
	}
	res, err := r.Balance()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ml, %.1f %% vol (%.1f to %.1f), %.0f g/l sugar\n", res.VolumeML.Value,
		res.ABVPercent.Value, res.ABVPercent.Low, res.ABVPercent.High, res.SugarGPerL.Value)
	fmt.Printf("the jar's flavour at %.2f of its strength\n", res.BottleFraction)
	top := res.Causes[mixture.Sugar][0]
	fmt.Printf("sugar: %s (%s)\n", top.Cause, top.Cure)
	// Output:
	// 1134 ml, 33.7 % vol (32.7 to 34.7), 353 g/l sugar
	// the jar's flavour at 0.61 of its strength
	// sugar: syrup by the cup (weigh it)
}

// What brings a litre of strong infusion to 25 % vol and 250 g/l?
func ExampleSolve() {
	jar, err := mixture.FromVolume(1000, 60, mixture.Parts{})
	if err != nil {
		fmt.Println(err)
		return
	}
	have := []mixture.Stock{
		{Name: "water", PerG: mixture.Parts{Water: 1}},
		{Name: "sugar", PerG: mixture.Parts{Sucrose: 1}},
	}
	abv, sugar := 25.0, 250.0
	plan, err := mixture.Solve(jar, have, mixture.Goal{ABVPercent: &abv, SugarGPerL: &sugar})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range plan.Add {
		fmt.Printf("%.0f g %s\n", a.MassG, a.Name)
	}
	fmt.Printf("%.0f ml, %.1f %% vol, %.0f g/l\n", plan.Parts.VolumeML(20), plan.Parts.ABVPercent(), plan.Parts.SugarGPerL())
	// Output:
	// 1044 g water
	// 600 g sugar
	// 2400 ml, 25.0 % vol, 250 g/l
}
