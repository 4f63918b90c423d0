package quantity

import (
	"strings"
	"sync"

	"steepbook/data/strict"
)

// unit is one measure: canonical name, size in grams or millilitres (0 where
// no official size exists), and the other ways to write it.
type unit struct {
	name   string
	kind   Kind
	size   float64
	plural string // for printing; "" when it is the name
	also   string // further spellings, separated by commas, in lower case without dots
}

// Exact sizes. The US gallon is 231 cubic inches of 2.54 cm cubed and the
// avoirdupois pound 0.45359237 kg (NIST Handbook 44, Appendix C); the imperial
// gallon is 4.54609 l (UK Weights and Measures Act 1985, Schedule 1).
const (
	gramPerPound = 453.59237
	gramPerOunce = gramPerPound / 16
	mlPerGallon  = 231 * 16.387064
	mlPerFlOz    = mlPerGallon / 128
	mlPerTbsp    = mlPerFlOz / 2
	mlPerTsp     = mlPerFlOz / 6
	mlPerBottle  = 750 // the usual one; see loose
	mlPerImpGal  = 4546.09
	mlPerImpFlOz = mlPerImpGal / 160
)

var units = []unit{
	{"g", Mass, 1, "", "gram,grams,gramme,grammes,gm,gms"},
	{"kg", Mass, 1000, "", "kilo,kilos,kilogram,kilograms,kilogramme,kilogrammes,kgs"},
	{"mg", Mass, 0.001, "", "milligram,milligrams,milligramme,milligrammes"},
	{"lb", Mass, gramPerPound, "", "lbs,pound,pounds"},
	{"oz wt", Mass, gramPerOunce, "", "ounce wt,ounces wt,oz weight,ounce weight,ounces weight," +
		"oz by weight,ounce by weight,ounces by weight," +
		"wt oz,weight oz,weight ounce,weight ounces,oz (wt),oz (weight),ounces (weight),oz av,oz avdp"},
	{"oz", Ounce, 0, "", "ounce,ounces,ozs"},

	{"ml", Volume, 1, "", "millilitre,millilitres,milliliter,milliliters,mls,cc"},
	{"cl", Volume, 10, "", "centilitre,centilitres,centiliter,centiliters"},
	{"dl", Volume, 100, "", "decilitre,decilitres,deciliter,deciliters"},
	{"l", Volume, 1000, "", "litre,litres,liter,liters,ltr,lt"},

	{"tsp", Volume, mlPerTsp, "", "tsps,teaspoon,teaspoons,teaspoonful,teaspoonfuls,us tsp,us teaspoon," +
		"us teaspoons"},
	{"tbsp", Volume, mlPerTbsp, "", "tbsps,tbs,tbl,tblsp,tablespoon,tablespoons,tablespoonful," +
		"tablespoonfuls,us tbsp,us tablespoon,us tablespoons"},
	{"fl oz", Volume, mlPerFlOz, "", "floz,fluid oz,fluid ounce,fluid ounces,fl ounce,fl ounces,liquid oz," +
		"liquid ounce,liquid ounces,oz fl,oz fluid"},
	{"gill", Volume, 4 * mlPerFlOz, "gills", ""},
	{"cup", Volume, 8 * mlPerFlOz, "cups", "cupful,cupfuls"},
	{"pint", Volume, 16 * mlPerFlOz, "pints", "pt,pts"},
	{"quart", Volume, 32 * mlPerFlOz, "quarts", "qt,qts"},
	{"gallon", Volume, mlPerGallon, "gallons", "gal,gals"},

	// The same where it is said that they are US ones: see Amount.In.
	{"US fl oz", Volume, mlPerFlOz, "", "us floz,us fluid ounce,us fluid ounces"},
	{"US gill", Volume, 4 * mlPerFlOz, "US gills", ""},
	{"US cup", Volume, 8 * mlPerFlOz, "US cups", ""},
	{"US pint", Volume, 16 * mlPerFlOz, "US pints", "us pt"},
	{"US quart", Volume, 32 * mlPerFlOz, "US quarts", "us qt"},
	{"US gallon", Volume, mlPerGallon, "US gallons", "us gal"},

	{"imp fl oz", Volume, mlPerImpFlOz, "", "imp fluid ounce,imp fluid ounces,imp floz"},
	{"imp gill", Volume, mlPerImpGal / 32, "imp gills", ""},
	{"imp pint", Volume, mlPerImpGal / 8, "imp pints", "imp pt"},
	{"imp quart", Volume, mlPerImpGal / 4, "imp quarts", "imp qt"},
	{"imp gallon", Volume, mlPerImpGal, "imp gallons", "imp gal"},

	// Rounded kitchen measures of metric countries, common practice.
	{"metric tsp", Volume, 5, "", "metric tsps,metric teaspoon,metric teaspoons"},
	{"metric tbsp", Volume, 15, "", "metric tbsps,metric tbs,metric tablespoon,metric tablespoons"},
	{"metric cup", Volume, 250, "metric cups", ""},
	{"dessertspoon", Volume, 10, "dessertspoons",
		"dsp,dessert spoon,dessert spoons,dessertspoonful,dessertspoonfuls"},
	{"bottle", Volume, mlPerBottle, "bottles", ""},

	// No official size: none of these is in NIST Handbook 44 or SP 811.
	{"dash", Volume, 0, "dashes", ""},
	{"drop", Volume, 0, "drops", ""},
	{"pinch", Volume, 0, "pinches", ""},
	{"splash", Volume, 0, "splashes", ""},
	{"handful", Volume, 0, "handfuls", "handsful"},
}

// noUnits are measures that are refused because nobody can say how much they
// are: why, and what to write instead ("%s" stands for the number).
var noUnits = map[string][2]string{
	"t":       {`"t" and "T" are too easily confused; write tsp or tbsp`, "%s tbsp"},
	"gr":      {`"gr" can be grams or grains; write g`, "%s g"},
	"grain":   {"grains are not a kitchen measure; write mg, at 64.8 mg a grain", "65 mg"},
	"c":       {`"c" can be cups or centilitres; write cup or cl`, "%s cup"},
	"m":       {`"m" is not an amount; write ml`, "%s ml"},
	"shot":    {"a shot has no fixed size; write ml or fl oz", "45 ml"},
	"jigger":  {"a jigger has no fixed size; write ml or fl oz", "45 ml"},
	"glass":   {"a glass has no fixed size; write ml or fl oz", "100 ml"},
	"can":     {"a can has no fixed size; write ml, fl oz or g", "400 ml"},
	"tin":     {"a tin has no fixed size; write ml, fl oz or g", "400 ml"},
	"jar":     {"a jar has no fixed size; write ml, fl oz or g", "400 ml"},
	"carton":  {"a carton has no fixed size; write ml, fl oz or g", "400 ml"},
	"fifth":   {"a fifth is not what it was; write ml", "750 ml"},
	"glug":    {"a glug has no fixed size; write ml, tbsp or fl oz", "30 ml"},
	"drizzle": {"a drizzle has no fixed size; write ml, tsp or tbsp", "1 tsp"},
	"spoon":   {"a spoon has no fixed size; write tsp or tbsp", "%s tsp"},
	"part":    {"parts say nothing without a size; write ml, g or a count", "100 ml"},
	"%":       {"an amount in % has no size; write g or ml", "24 g"},
}

// nouns are the things that are counted, singular, with their other forms.
var nouns = map[string]string{
	"piece": "pieces,pc,pcs,pce", "fruit": "fruits", "pod": "pods", "stick": "sticks,quill,quills",
	"clove": "cloves", "star": "stars,star anise,star anises", "sprig": "sprigs", "leaf": "leaves,leafs",
	"bag": "bags,teabag,teabags,tea bag,tea bags", "inch": "inches,in,ins,\"",
	"cm": "cms,centimetre,centimetres,centimeter,centimeters", "bean": "beans", "berry": "berries",
	"stalk": "stalks,stem,stems", "slice": "slices", "strip": "strips", "wedge": "wedges",
	"head": "heads", "flower": "flowers,blossom,blossoms", "petal": "petals", "bud": "buds",
	"seed":   "seeds",
	"nut":    "nuts,nutmeg,nutmegs,almond,almonds,hazelnut,hazelnuts,pecan,pecans,pistachio,pistachios,cashew,cashews",
	"kernel": "kernels", "stone": "stones,pit,pits", "root": "roots",
	"knob": "knobs,thumb,thumbs,thumb-size piece,thumb-sized piece,thumb sized piece,thumb-size knob," +
		"thumb-sized knob",
	"bulb": "bulbs", "blade": "blades", "peppercorn": "peppercorns,corn,corns", "chip": "chips",
	"nib": "nibs", "cube": "cubes", "tablet": "tablets", "packet": "packets,sachet,sachets",
	"bunch": "bunches", "egg": "eggs", "egg white": "egg whites,white,whites",
	"egg yolk": "egg yolks,yolk,yolks",
	"chilli": "chillies,chillis,chili,chilis,chile,chiles,pepper,peppers,jalapeño,jalapeños,jalapeno," +
		"jalapenos",
}

// abroad are the forms of units, nouns and fruits in other languages, from memory; a spoon is a
// metric one there.
var abroad = map[string]string{
	"g": "gramm,gramos,gramo,grammo,grammi", "kg": "kilogramm,kilogramos,kilogrammi",
	"ml": "mililitro,mililitros,millilitri", "l": "litro,litros,litri",
	"metric tsp": "teelöffel,tl,kaffeelöffel,cuillère à café,cuillères à café,càc,cucharadita,cucharaditas,cucchiaino," +
		"cucchiaini,theelepel,theelepels,tesked,teskedar,teske,teskeer",
	"metric tbsp": "esslöffel,el,eßlöffel,cuillère à soupe,cuillères à soupe,càs,cucharada,cucharadas,cucchiaio," +
		"cucchiai,eetlepel,eetlepels,matsked,matskedar,spiseske,spiseskeer",
	"bottle": "flasche,flaschen,bouteille,bouteilles,botella,botellas,bottiglia,bottiglie,fles,flessen",
	"pinch":  "prise,prisen,pincée,pincées,pizca,pizcas,pizzico,pizzichi,snufje,snufjes",
	"drop":   "tropfen,goutte,gouttes,gota,gotas,goccia,gocce,druppel,druppels",
	"dash":   "spritzer,trait,traits", "splash": "schuss,schuß,chorrito,chorritos,goccio,scheut,scheutje",
	"handful": "handvoll,hand voll,händevoll,poignée,poignées,puñado,puñados,manciata,manciate,handvol,näve,nävar",
	"clove":   "zehe,zehen,knoblauchzehe,knoblauchzehen,diente,dientes,spicchio,spicchi",
	"piece":   "stück,stücke,stueck,stk,pièce,pièces,morceau,morceaux,pieza,piezas,unidad,unidades,pezzo,pezzi",
	"stick":   "stange,stangen,bâton,bâtons,palo,palos,rama,ramas,stecca,stecche", "head": "dolde,dolden,ombelle,ombelles",
	"pod":   "schote,schoten,kapsel,kapseln,gousse,gousses,vaina,vainas,baccello,baccelli",
	"sprig": "zweig,zweige,brin,brins,ramita,ramitas,rametto,rametti", "bunch": "bund,bouquet,manojo,mazzo",
	"leaf": "blatt,blätter,feuille,feuilles,hoja,hojas,foglia,foglie", "flower": "blüte,blüten,fleur,fleurs,flores,fiore,fiori",
	"slice": "scheibe,scheiben,rondelle,rondelles,tranche,tranches,rodaja,rodajas,fetta,fette",
	"bean":  "bohne,bohnen", "egg": "ei,eier,oeuf,oeufs,œuf,œufs,huevo,huevos,uovo,uova",
	"egg yolk": "eigelb,dotter,jaune,jaunes,yema,yemas,tuorlo,tuorli", "egg white": "eiweiß,eiklar",
	"fruit": "zitrone,zitronen,orangen,limone,limoni,arancia,arance,limón,limones,naranja,naranjas,frucht,früchte",
}

// fruits are names that count whole fruit; which fruit it is, the line's own
// name says.
const fruits = "lime,limes,lemon,lemons,orange,oranges,blood orange,blood oranges,grapefruit,grapefruits," +
	"mandarin,mandarins,tangerine,tangerines,clementine,clementines,bergamot,bergamots,pomelo," +
	"pomelos,yuzu,yuzus,citron,citrons,kumquat,kumquats,apple,apples,pear,pears,quince,quinces,plum," +
	"plums,cherry,cherries,apricot,apricots,peach,peaches,nectarine,nectarines,banana,bananas," +
	"pineapple,pineapples,mango,mangos,mangoes,pomegranate,pomegranates,passion fruit,passionfruit," +
	"papaya,papayas,melon,melons,kiwi,kiwis,loquat,loquats,medlar,medlars,fig,figs,date,dates," +
	"strawberry,strawberries,walnut,walnuts"

// measure is what a unit word stands for.
type measure struct {
	unit *unit
	noun string // for counts
}

var measures = sync.OnceValue(func() map[string]measure {
	m := make(map[string]measure, 512)
	for i := range units {
		u := &units[i]
		m[strings.ToLower(u.name)] = measure{unit: u}
		if u.plural != "" {
			m[strings.ToLower(u.plural)] = measure{unit: u}
		}
		for _, a := range append(list(u.also), list(abroad[u.name])...) {
			m[a] = measure{unit: u}
		}
	}
	piece := &unit{name: "piece", kind: Count}
	for noun, forms := range nouns {
		m[noun] = measure{piece, noun}
		for _, f := range append(list(forms), list(abroad[noun])...) {
			m[f] = measure{piece, noun}
		}
	}
	for _, f := range list(fruits) {
		m[f] = measure{piece, "fruit"}
	}
	return m
})

// sizeOf is the size of a unit in grams or millilitres, 0 where it has none.
func sizeOf(name string) float64 {
	if m, ok := measures()[strings.ToLower(name)]; ok {
		return m.unit.size
	}
	return 0
}

func list(words string) []string {
	if words == "" {
		return nil
	}
	return strings.Split(words, ",")
}

var unitPrefixes = strings.NewReplacer("imperial ", "imp ", "british ", "imp ", "uk ", "imp ", "u s ", "us ",
	"american ", "us ")

// normalUnit brings a unit word to the form it has in measures.
func normalUnit(s string) string {
	s = strings.ToLower(strings.ReplaceAll(s, ".", " "))
	s = strings.Join(strings.Fields(s), " ")
	return unitPrefixes.Replace(s)
}

// plurals holds the printed plural of each count noun where it is not noun + s.
var plurals = map[string]string{
	"fruit": "fruit", "cm": "cm", "leaf": "leaves", "inch": "inches", "berry": "berries", "bunch": "bunches",
	"chilli": "chillies",
}

func pluralOf(noun string) string {
	if p, ok := plurals[noun]; ok {
		return p
	}
	return noun + "s"
}

// oneSlip reports whether a and b differ by one letter too many, too few or
// wrong, or by two neighbours swapped.
func oneSlip(a, b string) bool { return strict.Edits(a, b, 1) == 1 }

// likelyUnit finds the unit or noun that a word was probably meant to be.
func likelyUnit(word string) (string, bool) {
	if len(word) < 2 {
		return "", false
	}
	best, name := "", ""
	for w, m := range measures() {
		if len(w) < 2 || !oneSlip(word, w) {
			continue
		}
		n := m.unit.name
		if m.unit.kind == Count {
			n = pluralOf(m.noun)
		}
		// Of several, the one that starts the same, then the first in the
		// alphabet: the answer must not depend on the order of a map.
		better := best == "" || w[0] == word[0] && best[0] != word[0] ||
			(w[0] == word[0]) == (best[0] == word[0]) && w < best
		if better {
			best, name = w, n
		}
	}
	return name, best != ""
}
