package library

import (
	"slices"
	"strings"
	"testing"
)

// A cut is read for danger with its name, as one text: every name of what must not be steeped is heard
// behind that of a harmless plant.
func TestCutNamesWhatMustNotBeSteeped(t *testing.T) {
	l := Builtin()
	for _, b := range l.Botanicals() {
		if b.Forbidden == "" {
			continue
		}
		for _, n := range b.all() {
			if l.MustNot(n) != nil && l.MustNot("zedoary, with "+n) == nil && len(l.Suspected("zedoary, with "+n, true)) == 0 {
				t.Errorf("%q of %s is not heard in a cut", n, b.Name)
			}
		}
	}
}

// No cut that the library lists, by any of its names, makes a plant dangerous or names another thing beside it.
func TestListedCutIsHarmless(t *testing.T) {
	l := Builtin()
	for _, b := range l.Botanicals() {
		for i := range b.Cuts {
			for _, n := range b.all() {
				for _, cut := range b.Cuts[i].all() {
					text := n + ", " + cut
					if x := l.MustNot(text); x != nil {
						t.Errorf("%q is forbidden as %s", text, x.Name)
					}
					if never := l.Suspected(text, true); len(never) > 0 && len(l.Suspected(n, true)) == 0 {
						t.Errorf("%q may be %q", text, never)
					}
					if k := l.Beside(b, n, cut); len(k.Botanicals)+len(k.Ingredients)+len(k.Spirits) > 0 || another(l, n, cut) {
						t.Errorf("%q names another thing: %q", text, k.Words)
					}
				}
			}
		}
	}
}

// What a maker writes behind the comma, and what it says; from memory.
func TestCutsAsTheyAreWritten(t *testing.T) {
	l := Builtin()
	for want, texts := range map[string]string{
		"apricot kernel": "apricot, kernels; peach, stones; peaches with pits cracked; cherries, crushed with the stones; plums, smashed with stones; " +
			"damsons, put through a blender with stones; apples, with seeds, blended; pears, with pips crushed; sloes, stones cracked; " +
			"cherries, pitted and the cracked stones; cherries with core and stones, ground",
		"bitter almond":        "almonds, bitter; almonds, with a few bitter ones",
		"elder leaf":           "elderberries, with stems; elderberries, unripe; elderflower, with leaves; elder, leaves off the stem",
		"rhubarb leaf":         "rhubarb, leaves",
		"essential oil":        "peppermint, essential oil; lavender, oil",
		"spoiled food":         "strawberries, mouldy; orange zest, moldy; raspberry, a bit furry; walnuts, rotten",
		"treated plant":        "rose petals, from the florist; rose, sprayed; lavender, potpourri",
		"unripe passion fruit": "passionflower, unripe fruit",
		"wild mushroom":        "mushroom, wild",
		"meat":                 "turkey breast; mezcal, with raw turkey; quail; rabbit loin",
		"poisonous alcohol":    "homemade brandy heads 70 %; brandy heads 75 %; grappa heads; plum schnapps, heads; distillate, heads",
		"": "sloes, stones in; cherries, with stones, halved; cherries, stones and stalks removed; apricots, stoned; peaches, crushed, no stones; " +
			"elderberries, off the stems; elderberries, stripped from every stem; elderberries, stems and leaves removed; elderflower, no leaves; " +
			"rhubarb, leaves cut off; apples, core and seeds removed; apples, chopped with core and seeds; grapes, crushed with seeds; " +
			"raspberries, crushed with seeds; cardamom, crushed pods with seeds; peach, furry skin on; rose petals, not sprayed; thyme, leaves off the stem; " +
			"garlic heads; dill, flower heads; brown turkey figs; lamb's lettuce; pigeon peas; goose grass; orange zest, without pith and stalk; gooseberries",
	} {
		for text := range strings.SplitSeq(texts, "; ") {
			if b := l.MustNot(text); (b != nil || want != "") && (b == nil || b.Name != want) {
				t.Errorf("%q is %v, and not %q", text, b, want)
			}
		}
	}
	for text, want := range map[string]string{
		"parsley, wild": "hemlock", "carrot, wild": "hemlock", "celery seeds, foraged": "hemlock", "angelica root, dug up wild": "hemlock",
		"almonds, wild": "bitter almond", "sloes, foraged": "", "parsley, flat": "", "bay laurel, leaf": "",
	} {
		if never := l.Suspected(text, true); (want == "") != (len(never) == 0) || want != "" && !slices.Contains(never, want) {
			t.Errorf("%q may be %q, and not %q", text, never, want)
		}
	}
	if b := l.Beside(nil, "vanilla", "with tonka").Botanicals; len(b) != 1 || b[0].Name != "tonka bean" {
		t.Errorf("vanilla with tonka: %v", b)
	}
	for text, other := range map[string]bool{"quince, leaves": true, "walnut, leaves": true, "mint, leaves": false, "ginger, root": false, "vanilla, seeds": false} {
		if name, cut, _ := strings.Cut(text, ", "); another(l, name, cut) != other {
			t.Errorf("%q is another part: %v", text, !other)
		}
	}
}

// another reports whether a cut is another part of the plant.
func another(l *Library, name, cut string) bool {
	_, left := l.NameAndCut(name, cut)
	return left != cut
}
