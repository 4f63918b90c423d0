package panel_test

import (
	"fmt"

	"steepbook/kinetics/panel"
)

// Nine of twelve found the odd glass.
func ExampleForcedTest() {
	f, err := panel.ForcedTest(panel.Triangle, 12, 9)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d of %d, %d needed: differs %v, by luck %.4f\n", f.Count, f.Trials, f.Needed, f.Differs(), f.Luck)
	// Output:
	// 9 of 12, 8 needed: differs true, by luck 0.0039
}
