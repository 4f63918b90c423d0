package library

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"steepbook/data"
)

// Figures from memory or an unsigned page never settle a question of harm. They
// are listed here, so that a new one has to be added on purpose.
func TestWhatNobodyAnswersForNeverDecides(t *testing.T) {
	var memory []string
	for _, h := range Builtin().Hazards() {
		rests := h.LimitGPerDay.Known()
		for _, l := range h.Limits {
			for what, n := range map[string]Number{"mg/L": l.MGPerL, "mg a day": l.MGPerDay} {
				rests = rests || n.Known() && n.Grade.Decides()
				if n.Known() && !n.Grade.Decides() && !slices.Contains(memory, l.Substance+" "+what) {
					memory = append(memory, l.Substance+" "+what)
				}
			}
		}
		if n := h.MGPerG; n.Known() && !n.Grade.Decides() {
			memory = append(memory, h.Key+" content")
			rests = h.LimitGPerDay.Known()
		}
		if h.Decides() && !rests {
			t.Errorf("%s decides on a figure that nobody answers for", h.Key)
		}
	}
	slices.Sort(memory)
	want := []string{"caffeine-guarana content", "cyanide-bark content", "cyanide-leaf content", "nicotine content", "safrole content"}
	slices.Sort(want)
	if !slices.Equal(memory, want) {
		t.Errorf("that nobody answers for: %q\nwant %q", memory, want)
	}
}

// Limits against botanical-hazards.csv: EU Regulation 1334/2008 Annex III,
// Directive 88/388/EEC, 21 CFR 172.510, 172.575, 184 and 189, EFSA.
func TestHazardLimitsAgainstTheLaw(t *testing.T) {
	rows := table(t, "botanical-hazards.csv")
	find := func(group, substance, applies string) string {
		for _, r := range rows {
			if r["group"] == group && strings.Contains(r["substance"], substance) && strings.Contains(": "+r["applies_to"]+r["botanical_or_item"], applies) {
				return r["value_max"] + r["value_typical"]
			}
		}
		t.Fatalf("no row %s %s %s", group, substance, applies)
		return ""
	}
	h := Builtin().Hazards()
	// strictest is the level that a source is held to in a drink of that strength.
	strictest := func(key string, abv float64) (drink, day Number) {
		for _, l := range h[key].Limits {
			if l.OverABV > 0 && abv <= l.OverABV || l.ToABV > 0 && abv > l.ToABV {
				continue
			}
			if l.MGPerL.Known() && (!drink.Known() || l.MGPerL.Value < drink.Value) {
				drink = l.MGPerL
			}
			if l.MGPerDay.Known() && (!day.Known() || l.MGPerDay.Value < day.Value) {
				day = l.MGPerDay
			}
		}
		return drink, day
	}
	drink := func(key string, abv float64) Number { n, _ := strictest(key, abv); return n }
	day := func(key string) Number { _, n := strictest(key, 40); return n }
	for _, c := range []struct {
		got  Number
		want string
	}{
		{drink("cyanide-kernel", 40), find("eu-part-B", "hydrocyanic", "alcoholic")},
		{drink("cyanide-elder", 40), find("eu-part-B", "hydrocyanic", "alcoholic")},
		{drink("cyanide-stones", 40), find("us-172.510", "prussic", "cherry pits")},
		{drink("cyanide-leaf", 40), find("us-172.510", "prussic", "cherry-laurel")},
		{drink("thujone-wormwood", 40), find("eu-part-B", "thujone", "from Artemisia (")},
		{drink("thujone-wormwood", 0), find("eu-part-B", "thujone", "non-alcoholic")},
		{drink("thujone-sage", 40), find("eu-part-B", "thujone", "not made from Artemisia")},
		{drink("asarone-calamus", 40), find("eu-part-B", "asarone", "alcoholic")},
		{drink("quassin", 40), find("eu-part-B", "quassin", ": alcoholic beverages(any)")},
		{drink("quassin", 1), find("eu-part-B", "quassin", "non-alcoholic")},
		{drink("estragole", 0), find("eu-part-B", "estragole", "non-alcoholic")},
		{drink("quinine-cinchona", 40), find("us-172.510", "cinchona alkaloids", "cinchona")},
		{drink("safrole", 25), find("eu-1988-repealed", "safrole", "up to 25")},
		{drink("safrole", 25.1), find("eu-1988-repealed", "safrole", "over 25")},
		{drink("safrole-sassafras", 0), find("eu-part-B", "safrole", "non-alcoholic")},
		{drink("pulegone", 40), find("eu-1988-repealed", "pulegone", ": beverages")},
		{h["coumarin-cassia"].MGPerG, find("content", "coumarin", "ground")[len("7.02"):]},
		{h["caffeine-espresso"].MGPerG.scaled(100), find("content", "caffeine", "espresso")},
		{h["caffeine-brewed-coffee"].MGPerG.scaled(100), find("content", "caffeine", "coffee, brewed")},
		{day("glycyrrhizin-licorice"), find("health-value", "glycyrrhizin", "licorice")},
		{day("thujone-sage"), find("health-value", "thujone", "2 weekssage")},
	} {
		if fmt.Sprintf("%g", c.got.Value) != strings.TrimSuffix(c.want, ".0") {
			t.Errorf("%+v, want %s", c.got, c.want)
		}
	}
	if n := drink("estragole", 40); n.Known() {
		t.Errorf("estragole has a level in spirit: %+v", n)
	}
	// Coumarin 0.1 mg/kg (EFSA 2004, 2008) and cyanide 0.020 mg/kg (EFSA 2016), for 60 kg.
	if v := day("coumarin-cassia").Value; v != 0.1*60 {
		t.Errorf("coumarin %g mg a day", v)
	}
	if v := day("cyanide-kernel").Value; !near(v, 0.020*60, 1e-12) {
		t.Errorf("cyanide %g mg a day", v)
	}
	// EFSA 2016: the reference dose of a 70 kg adult is reached by 0.37 g of kernel.
	if g := 0.020 * 70 / h["cyanide-kernel"].MGPerG.Value; !near(g, 0.37, 0.015) {
		t.Errorf("%g g of kernel reach the reference dose", g)
	}
	// A 5 g cassia stick in 0.75 L, all of it drawn out: 32 mg/L typical and 67
	// at worst; 6 mg are in about 190 mL and 90 mL (worked by hand from the
	// same sources).
	c := h["coumarin-cassia"]
	if got := 5 * c.MGPerG.Value / 0.75; !near(got, 32, 0.5) {
		t.Errorf("typical coumarin %g mg/L", got)
	}
	if got := 1000 * day("coumarin-cassia").Value / (5 * c.MGPerG.High / 0.75); !near(got, 90, 0.5) {
		t.Errorf("worst: the daily intake is in %g mL", got)
	}
	// The doses the library offers keep what they likely bring at or below the level
	// of the drink, of what decides, and tonka below the coumarin of a day in 100 mL … 1 L.
	l := Builtin()
	for _, b := range l.Botanicals() {
		for _, x := range b.Hazards {
			level := drink(x.Key, 40)
			for _, cut := range b.Cuts {
				if got := cut.DoseGPerL.High * x.MGPerG.Value; x.Decides() && level.Known() && got > level.Value {
					t.Errorf("%s, %s: %g mg/L of %s, above %g", b.Name, cut.Name, got, x.Substance, level.Value)
				}
			}
		}
	}
	// Neither does a spirit pass the level by itself: 1 L weighs less than 1 kg.
	for _, s := range l.Spirits() {
		for _, x := range s.Hazards {
			if level := drink(x.Key, 40); level.Known() && 1000*x.MGPerG.Value > level.Value {
				t.Errorf("%s: %g mg/L of %s, above %g", s.Name, 1000*x.MGPerG.Value, x.Substance, level.Value)
			}
		}
	}
	// Fresh sage holds what its dry part holds.
	fresh, _ := l.Botanical("sage")
	dry, _ := l.Botanical("dried sage")
	if f, d := fresh.Hazards[0].MGPerG, dry.Hazards[0].MGPerG; !near(f.Value, d.Value*(1-fresh.Cuts[0].WaterGPerG.Value), 1e-9) || f.High >= d.High {
		t.Errorf("thujone of fresh sage %+v, dried %+v", f, d)
	}
	tonka, _ := l.Botanical("tonka bean")
	for _, cut := range tonka.Cuts {
		if got := 0.1 * cut.DoseGPerL.High * h["coumarin-tonka"].MGPerG.High; got > 6 {
			t.Errorf("tonka, %s: %g mg of coumarin in 100 mL", cut.Name, got)
		}
	}
}

// What must be forbidden is, under any of its names, and offers nothing.
func TestForbidden(t *testing.T) {
	l := Builtin()
	for _, name := range []string{
		"tobacco", "cigar", "apricot kernels", "cherry kernels", "bitter almonds", "calamus root", "sassafras", "pennyroyal", "aconite", "monkshood", "comfrey", "elder leaves",
		"rhubarb leaves", "rue", "tansy", "oleander", "yew", "datura", "belladonna", "henbane", "hemlock", "lobelia", "white cedar", "foxglove", "lily of the valley", "Japanese star anise", "peppermint oil", "essential oil", "arnica", "bacon",
		// The words on packets, and in books.
		"mahlab", "Mahleb", "ground mahlab", "MAHALEB", "acorus calamus", "sweet flag root", "Mentha pulegium", "Artemisia and tansy", "Ruta graveolens", "nerium oleander", "Taxus baccata",
		"digitalis purpurea", "convallaria", "Atropa belladonna", "jimson weed", "Prunus laurocerasus", "coltsfoot", "alkanet root", "betel nuts", "wall germander", "wild ginger", "bitter almond kernels",
	} {
		b, err := l.Botanical(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if b.Forbidden == "" || len(b.Cuts) != 0 {
			t.Errorf("%s is not forbidden", name)
		}
		if _, err := b.Cut(""); err == nil || !strings.Contains(err.Error(), "must not be steeped") {
			t.Errorf("%s: %v", name, err)
		}
	}
	// Ordinary things keep out of that list.
	for _, name := range []string{"almond", "cherry", "elderflower", "elderberry", "rhubarb", "star anise", "nutmeg", "wormwood", "peppermint", "bay leaf"} {
		if b, err := l.Botanical(name); err != nil || b.Forbidden != "" {
			t.Errorf("%s: %+v, %v", name, b, err)
		}
	}
}

// The plants that hold coumarin or thujone say so, under the words on packets.
func TestPacketWordsOfCautionedPlants(t *testing.T) {
	for substance, names := range map[string][]string{
		"coumarin": {"bison grass", "Bisongrass", "sweetgrass", "sweet grass blades", "holy grass", "zubrowka grass", "melilot", "sweet clover", "sweet clovers", "woodruff", "waldmeister", "Galium odoratum", "tonka", "cumaru", "Dipteryx odorata", "deer's tongue"},
		"thujone":  {"wormwood", "Artemisia absinthium", "absinthium", "southernwood", "génépi", "genepy", "Artemisia vulgaris", "dried sage"},
		"quassin":  {"quassia chips"},
	} {
		for _, name := range names {
			b, err := Builtin().Botanical(name)
			if err != nil || !slices.ContainsFunc(b.Hazards, func(h Hazard) bool { return h.Substance == substance }) {
				t.Errorf("%s: %v says nothing of %s", name, err, substance)
			}
		}
	}
}

// Allergens: Annex II of Regulation (EU) No 1169/2011 and the nine US major
// allergens as listed in allergens.csv.
func TestAllergens(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ name, us, eu string }{
		{"almond", "almond", "almonds"}, {"hazelnut", "hazelnut", "hazelnuts"}, {"green walnut", "walnut", "walnuts"}, {"pecan", "pecan", "pecan nuts"}, {"pistachio", "pistachio", "pistachio nuts"},
		{"peanut", "peanut", "peanuts"}, {"sesame seed", "sesame", "sesame"}, {"celery seed", "", "celery"}, {"mustard seed", "", "mustard"},
	} {
		b, err := l.Botanical(c.name)
		if err != nil {
			t.Error(err)
			continue
		}
		if len(b.Allergens) != 1 || b.Allergens[0].US != c.us || b.Allergens[0].EU != c.eu {
			t.Errorf("%s: %+v", c.name, b.Allergens)
		}
	}
	for _, c := range []struct{ name, us, eu string }{
		{"milk", "milk", "milk"}, {"heavy cream", "milk", "milk"}, {"condensed milk", "milk", "milk"}, {"butter", "milk", "milk"}, {"egg", "egg", "eggs"}, {"egg white", "egg", "eggs"},
		{"orgeat", "almond", "almonds"}, {"soy milk", "soy", "soybeans"}, {"sesame oil", "sesame", "sesame"}, {"coconut milk", "", ""}, {"beer", "", "barley"}, {"bottled lime juice", "contains sulfites", "sulphur dioxide or sulphites"},
	} {
		g, err := l.Ingredient(c.name)
		if err != nil {
			t.Error(err)
			continue
		}
		if len(g.Allergens) != 1 || g.Allergens[0].US != c.us || g.Allergens[0].EU != c.eu {
			t.Errorf("%s: %+v", c.name, g.Allergens)
		}
	}
	// Every EU name is one of the substances of the reference table.
	var eu []string
	for _, r := range table(t, "allergens.csv") {
		eu = append(eu, strings.ToLower(r["eu_name_to_emphasise"]))
	}
	all := strings.Join(eu, "|")
	known := every(t, l.tables.allergens())
	for k, a := range known {
		if a.EU != "" && !strings.Contains(all, strings.ToLower(strings.TrimSuffix(a.EU, "s"))) {
			t.Errorf("%s: EU name %q is not in the table", k, a.EU)
		}
	}
}

// The texts of the data files: no promise of being harmless, no leftovers, no
// machine paths.
func TestTextsOfTheFiles(t *testing.T) {
	bad := regexp.MustCompile(`(?i)\bsafe(ly|ty)?\b|\bTODO\b|\bFIXME\b|lorem ipsum|-type syrup|-style `)
	err := fs.WalkDir(data.Files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		src, err := fs.ReadFile(data.Files, path)
		if err != nil {
			return err
		}
		n := 0
		for line := range strings.Lines(string(src)) {
			n++
			if m := bad.FindString(line); m != "" && path != "tables/sources.csv" {
				t.Errorf("%s:%d: %q", path, n, m)
			}
			if strings.ContainsAny(line, "\t\r") || strings.HasSuffix(strings.TrimSuffix(line, "\n"), " ") {
				t.Errorf("%s:%d: tab, carriage return or trailing blank", path, n)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A first screen has two lines for what can hurt: every hazard says in them what to do, or
// what it does to whom, and none is a bare figure.
func TestEveryHazardSaysWhatToDo(t *testing.T) {
	for key, h := range Builtin().Hazards() {
		for _, text := range []string{h.Do, h.Drinker} {
			if n := len([]rune(text)); n > 130 || text != "" && (n < 4 || !strings.HasSuffix(text, ".")) {
				t.Errorf("%s: %q has %d letters; wanted is a sentence of up to 130", key, text, n)
			}
		}
		if h.Do == "" || strings.Contains(h.Do, " mg/L") {
			t.Errorf("%s says %q: not what to do", key, h.Do)
		}
		low := strings.ToLower(h.Do)
		leave := strings.Contains(low, "leave it out") || strings.Contains(low, "leave them out")
		maker := key == "coumarin-ceylon" || key == "quassin" || key == "sulphite" // which is named as an allergen
		if (h.MGPerG.Known() || h.ByDose) && !leave && !maker && h.Drinker == "" {
			t.Errorf("%s hangs on how much is drunk, and a label says nothing of it", key)
		}
	}
}

// Whose it is is no slip of what can hurt.
func TestOwnersAreNoAllergens(t *testing.T) {
	lib := Builtin()
	for _, name := range []string{"Anna's herbs", "Mary's plums", "grandma’s plums"} {
		if k := lib.Spelt(name); len(k.AllAllergens()) > 0 {
			t.Errorf("%s may hold %+v", name, k.AllAllergens())
		}
	}
	if k := lib.Spelt("Anna's crem"); len(k.AllAllergens()) == 0 {
		t.Error("cream misspelt holds nothing")
	}
}
