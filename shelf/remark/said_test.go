package remark

import (
	"testing"

	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// TestNamedSmells: a smell that is named condemns where what it names is a bad one.
func TestNamedSmells(t *testing.T) {
	for _, text := range []string{
		"smells of orange", "smells of vanilla", "smells like cinnamon", "smells of rum", "smells of cake and summer",
		"smells like Christmas", "smell of alcohol", "smells boozy", "smells very boozy", "smells strongly of cardamom", "riecht nach Weihnachten",
		"huele a naranja", "sent la vanille", "ça sent l'orange", "profuma e odore di vaniglia", "ruikt naar sinaasappel", "smells really good",
		"a lovely smell of nuts", "smells so fruity", "smells mostly of quince",
		"cabbage smell gone", "the smell has gone", "smells a bit sweet",
	} {
		if sign, _ := IsSign(text); sign {
			t.Errorf("%q is a sign", text)
		}
	}
	for _, text := range []string{
		"smells of vinegar", "smells of rotten eggs", "smells like sulphur", "smells of orange and socks", "smells of solvent", "nose of acetone",
		"smells of old nuts", "smells like wet dog", "smells yeasty", "smells of sweat", "smells mouldy", "riecht nach Schwefel", "riecht nach Käse",
		"huele a huevo podrido", "huele a azufre", "ça sent le soufre", "odore di formaggio", "ruikt naar kaas", "smells of orange but also of cheese",
		"smells", "smells different", "a smell", "the smell has gone off", "smell gone sour", "smells of orange no good", "smells of drains",
		"smells like something died", "smells a bit off", "smells odd", "smells strange like quince", "the smell is getting stronger",
		"smells of bad fruit", "tastes like acetone", "tastes of soap", "mofo", "smells of orange and something odd",
	} {
		if got := Causes(text, weakDrink); !got[0].ThrowAway {
			t.Errorf("%q: %s", text, got[0].Name)
		}
	}
}

// TestNothingWrong: denials of people and things, answers, and words that only hold one of a sign.
func TestNothingWrong(t *testing.T) {
	for _, text := range []string{
		"nobody was sick", "no one got sick", "no one felt unwell", "no glass broken", "the glass is not broken", "Schimmel? keiner", "niente muffa", "brak pleśni",
		"плесени нет", "カビなし", "ei hometta", "bought silicone moulds for ice", "tasted with blue cheese", "burst of flavour",
		"broken ice in the glass", "vinegar rinse for the jar", "a fruit fly trap put next to it", "threw up my hands", "aluminium foil under the lid",
		"filter slimy with pectin", "a spoon fell in", "a sprig fell in the jar", "fell in love with it", "blood oranges in the jar",
		"dish soap rinsed out well", "a pear fell in", "smells of fresh bread", "served with tonic, bubbles and ice", "stood in the dark",
		"topped the glass up with soda, nice and fizzy", "niemand wurde krank", "personne n'a été malade",
	} {
		if sign, _ := IsSign(text, "pear"); sign {
			t.Errorf("%q is a sign", text)
		}
	}
}

// TestHarmInWords: illness, and what is no food, in the words of those whom it befalls.
func TestHarmInWords(t *testing.T) {
	for cause, texts := range map[string][]string{
		"ill": {
			"tongue went numb", "made my lips tingle", "hallucinated", "palpitations", "heart racing", "nausea", "hives", "a rash", "trouble breathing",
			"had to call the poison line", "ended up in A&E", "felt dizzy", "the cat licked it and died", "Erbrechen", "mir wurde schlecht",
			"übel geworden", "vomissements", "nausée", "mal au ventre", "vómitos", "lips swelled up", "no one slept, all were ill", "my sister was sick",
		},
		"sight": {"felt fine but saw double"},
		"foreign": {
			"hair in the jar", "dropped the thermometer and it broke in the jar", "a battery fell in", "a screw fell in", "a nail in the jar", "a coin in the bottle",
			"plastic piece in it", "paint chip floating", "cigarette ash fell in", "blood, cut my finger over it", "dish soap not rinsed out", "a thing from the shelf fell in",
			"ein Haar im Glas", "broken glass in it", "a light bulb broke over it",
		},
		"vermin": {"a beetle floating", "Obstfliegen im Glas", "mouche dans le bocal", "a moth floating in it", "hormigas en el frasco"},
		"lead":   {"carafe en cristal"},
	} {
		for _, text := range texts {
			if got := Causes(text, strongDrink); got[0].Name != causes().At(cause).Name || !got[0].Named() {
				t.Errorf("%q: %s, want %s", text, got[0].Name, cause)
			}
		}
	}
	if got := Causes("in a terracotta jug", strongDrink); got[0].Name != causes().At("glaze").Name {
		t.Errorf("terracotta: %s", got[0].Name)
	}
}

// TestTakenBack: an exception, a denial that is none, and this jar beside another take a denial back.
func TestTakenBack(t *testing.T) {
	for _, text := range []string{
		"without mould, except on the lid", "mold-free except one spot", "no mould in jar 2 but here yes", "not a single jar without mould",
		"the other jar went mouldy, and this one too", "the other jar had mould and so does this one", "like the other jar this one went mouldy",
		"can't say there's no mould", "nearly no mould", "nearly mould-free", "no mould apart from the rim", "kein Schimmel außer am Deckel",
		"fast kein Schimmel", "nicht ganz ohne Schimmel", "das andere Glas hat Schimmel, dieses auch", "pas de moisissure sauf au bord",
		"presque pas de moisissure", "l'autre bocal est moisi, celui-ci aussi", "casi no hay moho", "senza muffa eccetto sul bordo",
		"geen schimmel behalve op de deksel", "bijna geen schimmel", "something's growing", "grows hair", "er groeit iets", "algo crece en el frasco",
		"keine Bläschen, aber weiße Flocken und ein Pelz oben", "grüner Flaum", "duvet blanc", "pelusa", "schimlig", "verschimelt", "beschimmeld",
	} {
		if got := Causes(text, strongDrink); got[0].Name != causes().At("mould").Name {
			t.Errorf("%q: %s", text, got[0].Name)
		}
	}
	for _, text := range []string{
		"another jar went mouldy, this one is fine", "the other jar went mouldy, this one did not", "the other jar went mouldy, this one is lovely too",
		"no mould except in the other jar", "no fizz except from pouring", "no mould, smells of orange", "no mould no fizz", "almost no smell",
		"kein Pelz", "nothing is growing in it", "growing on me, lovely", "Kirschen geplatzt", "das andere Glas ist schimmelig, dieses ist gut",
		"l'autre bocal est moisi, celui-ci est bien", "de andere pot is beschimmeld, deze is goed", "rinsed the jar with boiling water",
		"no soap in it", "no smell of petrol", "doesn't smell of acetone", "used acetone to remove the label", "sent l'essence d'orange",
	} {
		if sign, _ := IsSign(text); sign {
			t.Errorf("%q is a sign", text)
		}
	}
}

// TestAsksWhatWentIn: what smells of a solvent, or of bitter almonds where nothing does, in any jar.
func TestAsksWhatWentIn(t *testing.T) {
	peel := shelf.Bottle{ABVPercent: mixture.Exactly(40), Steeping: true, CitrusPeel: []string{"orange peel"}}
	for _, b := range []shelf.Bottle{peel, strongDrink, weakDrink} {
		for _, text := range []string{
			"smells of paint thinner", "smells of petrol", "tastes of acetone", "smells like nail polish remover", "faint whiff of turpentine",
			"riecht nach Lösungsmittel", "riecht nach Benzin", "ça sent l'acétone", "huele a disolvente", "puzza di solvente", "ruikt naar terpentine",
			"smells of bitter almonds", "riecht nach Bittermandel",
		} {
			if got := Causes(text, b, "orange peel"); !got[0].Asks || !got[0].ThrowAway || !got[0].Named() {
				t.Errorf("%q: %+v", text, got[0])
			}
		}
		for text, cause := range map[string]string{
			"stinks of rotten eggs": "rotten", "rotten": "rotten", "riecht nach faulen Eiern": "rotten", "huele a huevos podridos": "rotten",
			"glazed clay jug from a flea market": "lead", "stood in an Aluminiumtopf": "metal", "rust in it": "foreign", "soap in it": "foreign",
			"Bauchweh bekommen": "ill", "Magenkrämpfe": "ill", "Flasche geplatzt": "fermentation", "Korken ist rausgeflogen": "fermentation",
			"flip top flew across the kitchen": "fermentation", "la botella reventó": "fermentation", "bouteille explosée": "fermentation",
		} {
			if got := Causes(text, b, "orange peel"); got[0].Name != causes().At(cause).Name || !got[0].ThrowAway {
				t.Errorf("%q: %s, want %s", text, got[0].Name, cause)
			}
		}
	}
	for text, holds := range map[string]string{"smells of almonds": "almond", "smells of bitter almonds": "whole apricots", "riecht nach Mandeln": "Mandeln"} {
		if sign, _ := IsSign(text, holds); sign {
			t.Errorf("%q of %s is a sign", text, holds)
		}
	}
}

// TestOfAnotherThing: illness as the reason for being late, what has fur or bursts by itself, what a denial
// behind the word denies and what is not this jar are none; the same words of the drink are.
func TestOfAnotherThing(t *testing.T) {
	for _, text := range []string{
		"grandma was ill, so I bottled late", "my husband was sick last week, so stirred late", "malade cette semaine, filtré plus tard",
		"daughter has a stomach bug, so nobody tasted", "Kind krank, später abgeseiht", "gave a bottle to my sick neighbour",
		"paper filter burst, did it again", "the bag burst, strained through cloth", "berries burst and sank", "orange segments burst when muddled", "balloon burst at the party",
		"exploded my budget on saffron", "threw up a shelf in the cellar", "rotten luck with the weather", "spoilt for choice",
		"furry taste on the tongue from the tannin", "pelziges Mundgefühl", "kiwi skin is hairy, peeled it", "fuzzy peach skins left on",
		"die Pfirsiche haben Flaum, abgerieben", "pelusa del melocotón quitada", "fluffy mullein leaves", "Salbeiblätter pelzig",
		"Etikett verschimmelt nicht", "schimmelt nicht", "gärt nicht", "fruit flies in the kitchen, covered it", "broke a glass, not this jar",
		"worm of lemon peel", "smells like varnish from the oak chips", "slimy marshmallow root as expected", "the flavour pops",
		"popped the cork for Anna's birthday", "pressure cooker used for the syrup", "the colour is rusty red", "saffron threads floating",
		"riecht herrlich nach Orange, keine Trübung", "strained through cheesecloth, clear", "riecht intensiv nach Zimt", "ruikt heerlijk naar sinaasappel", "huele delicioso",
		"mixed with tonic: fizzy and good", "riecht nach Hefegebäck", "smells fine, like oranges", "mould in the other jar, not this one",
	} {
		if sign, _ := IsSign(text); sign {
			t.Errorf("%q is a sign", text)
		}
	}
	for cause, texts := range map[string][]string{
		"ill": {
			"made my wife sick", "bottle made aunt ill", "made him dizzy", "drank some and had convulsions", "aunt was ill after it",
			"meiner Frau wurde schlecht davon", "die Kinder haben davon gebrochen", "mi mujer se puso enferma", "mia moglie è stata male",
			"mijn vrouw werd er ziek van", "oma moest overgeven", "Mein Mann wurde krank davon", "felt sick later", "was ill, so I threw it away",
			"drank a glass and was ill, bottled late", "was ill after tasting, bottled late", "we all got ill, strained later",
			"my husband was sick from it, so stirred late",
		},
		"sight": {"made my eyes blurry"},
		"fermentation": {
			"swing top went bang", "sprayed all over the kitchen", "es hat geknallt, alles klebt an der Wand", "fountain when I opened it",
			"overflowed by itself", "ist übergeschäumt", "Bügelverschluss aufgesprungen", "el tarro explotó", "il vasetto è scoppiato",
			"Deckel flog weg", "berries burst the bottle", "exploded, fruit everywhere", "lid popped off, the flavour pops",
		},
		"mould": {
			"a green spot on the floating orange", "white spot on the peel above the liquor", "grüner Fleck auf der Orangenscheibe",
			"far from mould-free", "nicht schimmelfrei", "niet schimmelvrij", "non più senza muffa", "von wegen kein Schimmel",
			"I doubt it's not mould", "im anderen Glas kein Schimmel, hier schon", "no fuzz, well, maybe a little", "the peaches grew a beard",
			"black spots under the lid", "blue-green islands on top", "white fuzz on the peach skins", "peaches went fuzzy",
			"sage leaves are growing fur", "schimmelt nicht nur am Rand", "Schimmel nicht weg", "mo\u00aduld", "fuzz and tastes odd",
		},
		"solvent": {"smells chemical, like white spirit", "riecht nach Klebstoff", "smells odd, like glue"},
		"kernel":  {"stones cracked with a hammer and put back"},
		"lead":    {"kept in a crystal decanter", "crystal decanter", "alter Tontopf mit Glasur vom Flohmarkt"},
		"vermin":  {"fruit flies in the kitchen and in the jar", "maggots in the garden plums"},
		"foreign": {"jar was used for paint", "decanted from a bottle marked poison"},
	} {
		for _, text := range texts {
			if got := Causes(text, strongDrink); got[0].Name != causes().At(cause).Name || !got[0].ThrowAway {
				t.Errorf("%q: %s, want %s", text, got[0].Name, cause)
			}
		}
	}
	for _, text := range []string{"glasierter Steinguttopf", "geglazuurde pot", "jarra de barro vidriado", "pot en terre vernissée"} {
		if got := Causes(text, strongDrink); got[0].Name != causes().At("glaze").Name {
			t.Errorf("%q: %s", text, got[0].Name)
		}
	}
}

// holdsPeach is what the notes below are of.
var holdsPeach = []string{"peach", "orange zest", "raspberry", "vanilla pod"}

// TestWhoseItIs: what has the spot, the smell or the fur decides: fruit before it went in, seeds, a label, a
// dish, a room while the bottle is fine; a smell that gets better, and the act of smelling, are no scent.
func TestWhoseItIs(t *testing.T) {
	for _, text := range []string{
		"seeds floating at the top", "specks of vanilla", "spots on the orange peel before it went in", "freckles on the fruit", "bruised berries, picked out",
		"water spots on the glass", "smells better every day", "smells improved", "smells stronger", "smells weaker", "smells nicer each week",
		"smelled it today", "took the lid off to smell", "the dog loved the smell", "fuzzy peach note", "fuzz of the peaches rubbed off first",
		"skins went furry in mouth, tannin", "mouldy old label replaced", "sourness just right", "sour gummy nose", "blue cheese pairing perfect",
		"a touch of vinegar in the salad went well with it", "smells of fresh paint in the room, bottle fine", "cellar smells musty, bottle fine",
		"cooked on gas stove", "put it behind the vinegar", "makes a great whisky sour", "dentist smell from the peach",
	} {
		if sign, _ := IsSign(text, holdsPeach...); sign {
			t.Errorf("%q is a sign", text)
		}
	}
	for _, text := range []string{
		"lid bows upwards", "lid dented outward", "sewage", "compost heap", "fishy", "turps", "whiteboard marker", "smells of marker pen", "pongs",
		"reeks", "minging", "found a slug", "peaches gone brown and dotted", "mousey", "yoghurty", "cheesy", "like old gym socks", "like putty",
		"pours like egg white", "grey velvet", "dots on surface", "mouse dropping found", "bag puffed up", "sizzles", "it spat at me",
		"working again", "growth on top", "orange growth", "leopard spots", "colony", "pink film", "lid was not on tight for a month",
		"left without a lid for a week", "rust in the lid", "paint flaking from the jar", "steeped in a brass", "steeped in a paint can",
		"steeped in a polystyrene tub", "smells of vinegar in the kitchen", "smells mouldy in the box", "the whole kitchen smells of vinegar",
		"floaties near the peaches", "something floating on the peach", "white spots on the peach before it went in", "looks good the smell is not",
		"smelled it and gagged", "the smell is stronger", "husband smelled vinegar", "hisses next to the stove", "mould on the label of bottle 2",
		"specks of black on the vanilla pod", "spots on the label and on the fruit", "tastes of cheese on toast", "lid popped over",
		"rotten old book smell", "cellar smells musty, bottle too", "cellar smells musty and so does the drink", "box smells of vinegar, leaked",
		"skin forming on the cherries", "berries floating in slime", "loved the smell until it went off", "smelled it, sour", "bad smell from the peach",
	} {
		if got := Causes(text, weakDrink, holdsPeach...); !got[0].ThrowAway {
			t.Errorf("%q: %s", text, got[0].Name)
		}
	}
	for _, of := range []shelf.Bottle{weakDrink, strongDrink} {
		one, many := Causes("a brown spot on one lemon", of), Causes("brown spots on the lemons", of)
		if one[0].Name != many[0].Name {
			t.Errorf("one spot is %s, many %s", one[0].Name, many[0].Name)
		}
	}
	for text, cause := range map[string]string{
		"growth on top": "mould", "pink film": "mould", "rust in the lid": "foreign", "found a slug": "vermin", "sewage": "rotten", "turps": "solvent",
		"lid bows upwards": "fermentation", "steeped in a brass": "metal", "fruit floats above the spirit": "exposed", "lid was left off all week": "ajar",
	} {
		if got := Causes(text, strongDrink); got[0].Name != causes().At(cause).Name {
			t.Errorf("%q: %s, want %s", text, got[0].Name, cause)
		}
	}
}
