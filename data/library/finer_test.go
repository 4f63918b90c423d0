package library

import "testing"

// Where a jar ends goes by the grams over those of the usual dose, so that a cut that is
// faster because it is finer must not have a larger one: as many grams of a thing would
// end the weaker the finer they are.
func TestFinerIsNoWeaker(t *testing.T) {
	for _, b := range Builtin().Botanicals() {
		for i := range b.Cuts {
			for j := range b.Cuts {
				fine, coarse := &b.Cuts[i], &b.Cuts[j]
				if fine.RatePerH.Value > coarse.RatePerH.Value && fine.DoseGPerL.Value > coarse.DoseGPerL.Value {
					t.Errorf("%s: %g g/L %s, %g g/L %s", b.Name, fine.DoseGPerL.Value, fine.Name, coarse.DoseGPerL.Value, coarse.Name)
				}
			}
		}
	}
}
