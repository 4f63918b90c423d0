package remark

import (
	"testing"

	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// TestNamedInPlainWords: what a maker calls mould, slime, a bulge or a cork pushed out is
// that in the strongest drink too, and is thrown away. Public advice for home-made food
// says of a swollen, spurting or mouldy jar to throw it out untasted (CDC, Home-Canned
// Foods; USDA FSIS, Molds on Food: soft and liquid food is thrown away whole).
func TestNamedInPlainWords(t *testing.T) {
	strong := shelf.Bottle{ABVPercent: mixture.Exactly(40)}
	for text, cause := range map[string]string{
		"mold": "mould", "green mould on the pear": "mould", "white fuzz on the fruit": "mould",
		"Fuzzy mold at the neck!": "mould", "mold, and it hissed": "mould", "blue fur": "mould",
		"weißer Schimmel oben": "mould", "de la moisissure": "mould", "白いカビ": "mould", "плесень": "mould",
		"not sure if it is mold": "mould", "no lid so mould came": "mould", "no longer clear, mould": "mould",
		"bottle no 3 is mouldy": "mould", "nothing but mold": "mould", "no doubt it is mold": "mould",
		"not mouldy anymore": "mould", "could not get rid of the mold": "mould", "smells fine but has mold": "mould",
		"bottle bulging, cap popped off": "fermentation", "cork pushed out": "fermentation",
		"the lid has lifted": "fermentation", "swing top blew off": "fermentation", "it is swollen": "fermentation",
		"slimy on the spoon": "yeast or bacteria growing", "not free of mould": "mould", "not mould-free": "mould",
		"hardly free of mould": "mould", "Deckel gewölbt": "fermentation", "le couvercle est gonflé": "fermentation",
		"tapa hinchada": "fermentation", "coperchio gonfio": "fermentation", "bol deksel": "fermentation",
		"maggots in it": "grubs or insects in it", "made me sick": "someone was ill of it",
	} {
		got := Causes(text, strong)
		if got[0].Name != cause || !got[0].Named() || !got[0].ThrowAway {
			t.Errorf("%q: %+v, want %s", text, got[0], cause)
		}
	}
}

// TestDenied: what is said not to be there is no sign, and what is in doubt is one.
func TestDenied(t *testing.T) {
	for _, c := range []struct {
		text         string
		sign, denied bool
	}{
		{"no mold, nothing fizzy, smells fine", false, true},
		{"no mould or fizz", false, true},
		{"isn't mouldy", false, true},
		{"didn’t fizz", false, true},
		{"no sign of any white mould at all", false, true},
		{"mould-free", false, true},
		{"mould: none", false, true},
		{"no bad smell", false, true},
		{"good colour, smell is hardly fine", true, false}, // "hardly" is not known to carry it
		{"smell is fine", false, true},
		{"kein Schimmel", false, true},
		{"no fizz but cloudy", true, false}, // the complaint counts
		{"a little off, good colour", true, false},
		{"good colour but slightly off", true, false},
		{"a little bitter, good colour", false, false},
		{"good colour, no mould, lovely", false, true},
		{"not a bit off", false, true},
		{"smells not good", true, false},
		{"not a good smell", true, false},
		{"no longer fizzing", true, false},
		{"not clear", true, false},
		{"no longer clear", true, false},
		{"smells of nail varnish", true, false},
		{"gave one to a friend", false, false},
		{"cork pulled, lovely", false, false},
		{"", false, false},
		// Praise that is denied is a complaint.
		{"does not smell right", true, false},
		{"doesn't smell good", true, false},
		{"doesn't smell or taste right", true, false},
		{"never smelled so bad", true, false},
		{"no longer smells good", true, false},
		{"ne sent pas bon", true, false},
		{"no fizz and smells good", false, true},
		{"riecht nicht gut", true, false},
		{"does not smell bad", false, true},
		{"no strange smell or taste", false, true},
		{"smells odd like quince", true, false},
		// Half a remark clears nothing of the other half, in any language.
		{"pas de moisissure mais ça mousse", true, false},
		{"sin moho pero burbujea", true, false},
		{"senza muffa ma frizzante", true, false},
		{"geen schimmel maar het bruist", true, false},
		{"kein Schimmel, aber es gärt", true, false},
		{"pas de moisissure mais bizarre", false, false},
		{"sin moho pero raro", false, false},
		{"riecht nach Essig", true, false},
		{"zischt beim Öffnen", true, false},
		{"schäumt", true, false},
		{"Kahmhaut", true, false},
		{"riecht faulig", true, false},
		{"odeur de vinaigre", true, false},
		{"burbujas", true, false},
		{"huele mal", true, false},
		{"fridge was off for 3 days", true, false},
		{"out of the fridge, lovely", false, false},
		// The name of a thing in it is no sign, but its word alone is.
		{"smells of sour cherry", false, true},
		{"tastes like sour cherries", false, false},
		{"tastes sour like lemon", false, false},
		{"sour but nice", false, true},
		{"sour but nice colour", true, false},
		{"sour but no good", true, false},
		{"smells of quince, no good", false, false},
		{"smells of quince no good", true, false},
		{"smells of quince and wine vinegar", false, true},
		{"riecht nach quince", false, true},
		{"nothing off, but smells like vinegar and socks", true, false},
		{"gone sour but nice", true, false},
		{"sour", true, false},
		{"smells of quince", false, true},
		{"smells of quince and socks", true, false},
		{"smells of wine vinegar", false, true},
		{"turned to vinegar", true, false},
		{"smells of nuts", false, true},
		{"smells better than last time", false, true},
		{"smelled better last time", true, false},
		{"no bubbles, no film, smells of quince", false, true},
		{"free of mould", false, true},
		{"it is free of mould", false, true},
		// What the serving makes.
		{"served with soda, nice bubbles", false, false},
		{"poured over ice, fizz from tonic", false, false},
		{"foam after shaking", false, true},
		{"bubbles on the fruit from pouring", false, true},
		{"served with soda, the bottle hissed", true, false},
		{"foam after shaking that stays", true, false},
		{"foam after shaking, pressure", true, false},
	} {
		if sign, denied := IsSign(c.text, "quince, grated", "white wine vinegar"); sign != c.sign || denied != c.denied {
			t.Errorf("%q: sign %v, denied %v", c.text, sign, denied)
		}
	}
}

// TestEachSignIsExplained: what is harmless behind one sign does not explain another.
func TestEachSignIsExplained(t *testing.T) {
	weak := shelf.Bottle{ABVPercent: mixture.Exactly(8), SugarGPerL: mixture.Exactly(100), Nourishing: []string{"pear"},
		Fruit: true, Steeping: true}
	tame := shelf.Bottle{ABVPercent: mixture.Exactly(17), SugarGPerL: mixture.Exactly(100), Fruit: true}
	for _, b := range []shelf.Bottle{weak, tame} {
		for _, text := range []string{"gas", "not cloudy any more but gas", "gas, cloudy and brown", "gas, threads"} {
			if got := Causes(text, b); got[0].Name != "fermentation" {
				t.Errorf("%q: %+v", text, got[0])
			}
		}
	}
}

// TestEverySignHasACause: whatever is in the drink, and beside what nobody sees.
func TestEverySignHasACause(t *testing.T) {
	for _, b := range []shelf.Bottle{{}, {Steeping: true}, {Filtered: true, ABVPercent: mixture.Exactly(40)}, {Dairy: true}, {Oil: true, NoSpirit: true}, {Nuts: []string{"almond"}}} {
		for key := range behind {
			for _, lives := range []bool{true, false} {
				s, likely := suspect{b, lives, lives}, 0.0
				for _, c := range behind[key](s) {
					likely = max(likely, s.left(c.cause, c.weight))
				}
				if likely <= 0 {
					t.Errorf("%s: nothing is behind it in %+v", key, b)
				}
			}
		}
	}
}

// drinks for the tests of signs: one in which nothing lives, and one that keeps by nothing.
var (
	strongDrink = shelf.Bottle{ABVPercent: mixture.Exactly(40)}
	weakDrink   = shelf.Bottle{ABVPercent: mixture.Exactly(8), SugarGPerL: mixture.Exactly(100), Nourishing: []string{"pear"}, Fruit: true}
)

// TestComplaints: what makers write of a drink that went wrong, in the words of public advice (a
// sign of spoilage, of gas, of illness, of what is no food) and in plain ones, ends a weak drink;
// what no strength makes good ends any.
func TestComplaints(t *testing.T) {
	for _, text := range []string{
		"spoiled", "it has gone bad", "went bad", "tastes wrong", "something grows in there", "colony on top",
		"skimmed off white stuff", "velvety layer", "white islands", "blue-green patches", "green dots", "cobweb at the neck",
		"mycoderma", "decayed", "rotting", "spurted", "sprayed the ceiling", "effervescent", "like champagne now",
		"lid won't stay down", "lid pinged up", "bottle 2 is leaking", "prickly on the tongue", "tingly", "pear tastes strange",
		"left out overnight", "stood in hot car at 50 C", "on the counter for 8 hours", "something is wrong with it",
		"looks weird", "I don't trust it", "not happy with it", "mould? yes", "is there mould? not sure", "mould?",
		"unlike the other jar this one is mouldy", "bottle 2 of the other batch is fine, this one fizzes",
	} {
		if got := Causes(text, weakDrink); !got[0].ThrowAway {
			t.Errorf("%q in a weak drink: %s", text, got[0].Name)
		}
	}
	for text, cause := range map[string]string{
		"blurred vision": "sight", "went blind for an hour": "sight", "guest felt ill after it": "ill", "taken to hospital": "ill",
		"got the runs": "ill", "stomach cramps": "ill", "numb lips": "ill", "broken glass in it": "foreign", "mouse droppings": "foreign",
		"worms": "vermin", "fruit flies drowned in it": "vermin", "steeped in an old lead crystal decanter": "lead",
		"kept in a copper pot": "metal", "stood in a galvanised bucket": "metal", "spurted when opened": "fermentation",
	} {
		if got := Causes(text, strongDrink); got[0].Name != causes().At(cause).Name || !got[0].ThrowAway || !got[0].Named() {
			t.Errorf("%q: %s, want %s", text, got[0].Name, cause)
		}
	}
	if got := Causes("kept in a glazed crock", strongDrink); got[0].ThrowAway || got[0].Name != causes().At("glaze").Name {
		t.Errorf("a glazed crock: %+v", got)
	}
}

// TestNoComplaints: questions that are answered, other jars, and words with another sense.
func TestNoComplaints(t *testing.T) {
	for text, want := range map[string]struct{ denied, plain bool }{
		"mould? none": {true, false}, "is it fizzing? no": {true, false}, "Mold = 0": {true, false}, "mould: no, fizz: no": {true, false},
		"any mould in it? no": {true, false}, "the other jar had mould": {false, false}, "last year's batch fizzed": {false, false},
		"film camera photo taken": {false, true}, "gave 1 to Mum": {false, true}, "bright 🍊": {false, true}, "lovely": {false, true},
		"moved to the cellar": {false, true}, "made with wormwood from the garden": {false, true}, "valkoista nukkaa": {false, false},
		"not bad": {false, false}, "served in a copper mug with soda": {false, true},
		"took it out of the fridge to serve": {false, true}, "left out the sugar": {false, false}, "the flavour grows on me": {false, false},
		"went in well, not bad at all": {false, false}, "distilled in a copper pot still": {false, false}, "tastes not bad": {true, false},
		"smells amazing": {true, false}, "prickly pears": {false, false},
	} {
		sign, denied := IsSign(text, "pear")
		if plain := IsPlain(text, "pear"); sign || denied != want.denied || plain != want.plain {
			t.Errorf("%q: sign %v, denied %v, plain %v", text, sign, denied, plain)
		}
	}
}
