package growth

// FoodCodeResult is a cell of the Food Code tables.
type FoodCodeResult string

// The two answers of the tables.
const (
	NonTCS            FoodCodeResult = "no time/temperature control needed"
	ProductAssessment FoodCodeResult = "product assessment required"
)

// FoodCodeTableA is Table A of the definition of a time/temperature control for
// safety food, section 1-201.10(B) of the US FDA model Food Code: for food
// heated to destroy vegetative cells and then packaged. It is about pathogens,
// not spoilage, and knows nothing of alcohol. Read in the state adoptions of
// Tennessee (Comp. R. & Regs. 0080-04-09-.01) and Nevada (NAC 446.025).
func FoodCodeTableA(waterActivity, pH float64) FoodCodeResult {
	switch {
	case waterActivity <= 0.92:
		return NonTCS
	case waterActivity <= 0.95 && pH <= 5.6:
		return NonTCS
	case pH <= 4.6:
		return NonTCS
	}
	return ProductAssessment
}
