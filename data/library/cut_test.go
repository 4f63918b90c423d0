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

// What is read of a cut is read under every name of the thing: where it stops by the name of the entry it stops by
// each of the others.
func TestEveryNameStopsAlike(t *testing.T) {
	l := Builtin()
	stops := func(text string) bool { return l.MustNot(text) != nil || len(l.Suspected(text, true)) > 0 }
	cuts := strings.Split("leaves; with stems; stems on; unripe; green; bitter; kernels cracked; stones in, crushed; with seeds, crushed; "+
		"mit Blättern; avec tiges; unreif; mit Kernen zerdrückt; leaves off the stem; most leaves removed; bark; wild; mouldy", "; ")
	for _, b := range l.Botanicals() {
		if b.Forbidden != "" {
			continue
		}
		for _, cut := range cuts {
			if !stops(b.Name + ", " + cut) {
				continue
			}
			for _, n := range b.Names {
				if !stops(n + ", " + cut) {
					t.Errorf("%q is harmless, and of %q it is not", n+", "+cut, b.Name)
				}
			}
		}
	}
}

// A part that is off harms nobody, however that is said, and of no plant by no name; a remark that is turned,
// that holds of some or that stands behind a comma takes nothing off.
func TestPartsThatAreOff(t *testing.T) {
	l := Builtin()
	harmful := map[string]string{"elderflower": "stems", "elderberry": "leaves", "rhubarb": "leaves", "apricot": "kernels", "cherry": "stones", "apple": "seeds", "soursop": "seeds", "physalis": "leaves"}
	for name, part := range harmful {
		for said := range strings.SplitSeq("no #; without the #; # removed; # trimmed off; # snipped; trimmed of #; # binned; # composted; "+
			"# thrown away; # taken out; # are not used; not the #; minus #; less the #; rid of #; free of all #; # picked off; # cut away; "+
			"ohne #; sans #; # entfernt; instead of #; never the #; #: out; washed, no # at all", "; ") {
			if b := l.MustNot(name + ", " + strings.ReplaceAll(said, "#", part)); b != nil {
				t.Errorf("%q of %s is %s", strings.ReplaceAll(said, "#", part), name, b.Name)
			}
		}
		for said := range strings.SplitSeq("# not removed; no # removed; not without #; most # removed; half the # cut away; # on, skin removed; "+
			"crushed #, peel off; # kept, nothing thrown away; # removed later; less # than usual; # picked young; pesticide-free #; not only #; "+
			"no pith, # crushed; ground #", "; ") {
			if text := name + ", " + strings.ReplaceAll(said, "#", part); l.MustNot(text) == nil {
				t.Errorf("%q is harmless: %q", text, words(text))
			}
		}
	}
	for want, texts := range map[string]string{
		"elder leaf": "elderberry, green picked; elderflower, stems off leaves on; elder, leaves off stems; elderflower, stems removed, leaves too; apricot, flesh removed from kernels; apricot, kernels shaken out of stones; brandy, taken from the heads",
		"": "elderberry, green parts cut away; elderberry, unripe ones sorted out; elderberry, no unripe ones; almond, bitter ones picked out; " +
			"passion fruit, not unripe; apple, sin semillas; apple, sans pépins; peach, zonder pit; brandy without heads; Obstler ohne Vorlauf; " +
			"lemon zest, oils expressed; lemon zest, oleo saccharum; elderflower, insects out; tomato, stems trimmed; raspberries, not mouldy",
	} {
		for text := range strings.SplitSeq(texts, "; ") {
			if b := l.MustNot(text); (b != nil) != (want != "") {
				t.Errorf("%q is %v: %q", text, b, words(text))
			}
		}
	}
}

// Which stones harm is a fact of the fruit, and so is whether they harm whole.
func TestStonesOfAFruit(t *testing.T) {
	l := Builtin()
	of := map[string]*Botanical{}
	for _, b := range l.Botanicals() {
		for _, fruit := range b.StonesOf {
			if f, err := l.Botanical(fruit); err != nil || f.Name != fruit {
				t.Errorf("%s: %q is no entry: %v", b.Name, fruit, err)
			}
			of[fruit] = b
		}
	}
	for _, b := range l.Botanicals() {
		if b.Kind != "fruit" || b.Forbidden != "" {
			continue
		}
		for _, n := range b.all() {
			for cut, opened := range map[string]bool{"whole, seeds in": false, "stones left whole": false, "seeds and all": false, "kernels left in, whole": false,
				"with seeds, crushed": true, "mit Kernen zerdrückt": true, "stones in, ground": true} {
				want, got := of[b.Name] != nil && (opened || of[b.Name].WholeToo), l.MustNot(n+", "+cut)
				if want && got == nil || !want && got != nil && n == b.Name {
					t.Errorf("%q: %v", n+", "+cut, got)
				}
			}
		}
	}
}

// A cut that was written behind the name is the cut.
func TestCutBehindACommaOfTheName(t *testing.T) {
	l := Builtin()
	for text, want := range map[string]string{
		"vanilla, split and scraped": "vanilla|split and scraped", "peach, skin on, stone out": "peach|skin on, stone out",
		"juniper": "juniper|", "elderberry, dried": "elderberry, dried|", "my thing, chopped": "my thing, chopped|", "pêche, feuilles": "peach leaf|",
	} {
		if name, cut := l.NameAndCut(text, ""); name+"|"+cut != want {
			t.Errorf("%q is %q, %q", text, name, cut)
		}
	}
}
