package remark

import "testing"

// TestOutOfTheCold: what says that a weak drink left the cold, or stood for days where it is warm, ends it, and what
// says where it was served, or where it was not, does not; a strong one stands anywhere.
func TestOutOfTheCold(t *testing.T) {
	for _, text := range []string{
		"left at room temperature", "not in the fridge for 3 days", "out of the fridge since Friday", "kept in the pantry",
		"stood warm for a week", "stood in the cupboard since bottling", "forgot it on the table",
		"left it on the kitchen table overnight, served the next day", "served it after it stood in the cupboard for days",
	} {
		if got := Causes(text, weakDrink); !got[0].ThrowAway {
			t.Errorf("%q in a weak drink: %s", text, got[0].Name)
		}
		if got := Causes(text, strongDrink); got[0].ThrowAway {
			t.Errorf("%q in a strong drink: %s", text, got[0].Name)
		}
	}
	for _, text := range []string{
		"served at room temperature", "brought to room temperature before serving", "the fridge stood at 3 C",
		"kept in the fridge and served at room temperature", "not left at room temperature", "never left on the table",
		"let it stand at room temperature for 20 minutes before serving", "took it out of the fridge and poured",
		"kept in the fridge, not in the cupboard", "kept in the fridge for 3 days", "in the fridge since Friday",
		"left the glass on the table", "tastes better at room temperature",
	} {
		if sign, _ := IsSign(text); sign {
			t.Errorf("%q is a sign", text)
		}
	}
}
