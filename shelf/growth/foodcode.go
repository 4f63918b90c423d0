package growth

// NonTCS reports whether food heated to destroy vegetative cells and then packaged
// needs no time and temperature control for safety (TCS) by Table A of that
// definition, section 1-201.10(B) of the US FDA model Food Code; false asks for an
// assessment of the product. It is about pathogens, not spoilage, and knows nothing
// of alcohol. Read in the state adoptions of Tennessee (Comp. R. & Regs.
// 0080-04-09-.01) and Nevada (NAC 446.025).
func NonTCS(waterActivity, pH float64) bool {
	return waterActivity <= 0.92 || waterActivity <= 0.95 && pH <= 5.6 || pH <= 4.6
}
