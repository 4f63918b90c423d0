package growth

// at is a limit at which growth was seen, stopsAt one at which none was, and
// recalled one from memory, which is shown and never decides.
func at(v float64, source string) Limit {
	return Limit{Value: v, Known: true, Seen: true, Source: source}
}

func stopsAt(v float64, source string) Limit {
	return Limit{Value: v, Known: true, Seen: true, Stops: true, Source: source}
}

func recalled(v float64) Limit {
	return Limit{Value: v, Known: true, Source: "MEM"}
}

// sources names the publications behind the limits. Most were read as
// abstracts or tables, not in full.
var sources = map[string]string{
	"ABB08":    "Abbasi and Niakousari 2008, Pak. J. Biol. Sci. 11:1365-1369",
	"ACE17":    "Sci. Rep. 2017, s41598-017-02975-8, introduction",
	"ACH22":    "Acharya and Nummer 2022, Food Prot. Trends 42:284-291",
	"ADV":      "Survival of Salmonella spp., Staphylococcus aureus and Bacillus cereus in Advocaat, abstract",
	"ANTH":     "anthocyanins of blackcurrant, crowberry and chokeberry juice at 4, 9 and 21 °C, J. Food Compos. Anal., abstract",
	"AP87":     "Andrews and Pitt 1987, J. Gen. Microbiol. 133:233",
	"BAKERS82": "Biotechnol. Bioeng. 1982, 24:1125-1134",
	"BANW89":   "Banwart 1989, ranges of minimum aw and pH, as reproduced in a university thesis",
	"BARTO03":  "Bartowsky et al. 2003, Lett. Appl. Microbiol. 36:307-314",
	"BBB92":    "US FDA, Factors affecting the growth of some foodborne pathogens, 1992, rev. 1999",
	"BEU81":    "Beuchat 1981, Cereal Foods World 26:345",
	"CHAR98":   "Charoenchai, Fleet and Henschke 1998, Am. J. Enol. Vitic. 49:283, abstract",
	"DAIFAS03": "Daifas et al. 2003, J. Food Prot. 66",
	"DANT05":   "Dantigny et al. 2005, Int. J. Food Microbiol. 98:261-269",
	"DANT05V":  "Dantigny et al. 2005, J. Food Prot. 68:1203",
	"DITT77":   "Dittrich 1977, as quoted in a text on wine microbiology",
	"DUGO00":   "Dugo et al. 2000, Ital. J. Food Sci. 12:343, abstract",
	"EC08":     "European Commission 2008, guidance on Listeria monocytogenes shelf-life studies",
	"EHD96":    "El Halouat and Debevere 1996, Int. J. Food Microbiol. 33:219-229",
	"FELL88":   "Fellers 1988, J. Food Sci. 53:1699-1702",
	"FIT":      "fitted here to the growth and no-growth rows of testdata/reference, from handbook limits",
	"FPCDS":    "Food Pathogen Control Data Summary, Hospitality Institute of Technology and Management",
	"FRAN24":   "Frangopoulos, Koliouskas and Petridis 2024, Appl. Sci. 14:10870",
	"FREE":     "sampling plan of a storage trial of citral in acid, 44 to 45 kJ/mol",
	"GRAHAM97": "Graham, Mason, Maxwell and Peck 1997, Lett. Appl. Microbiol. 24:95-100",
	"GROPIN":   "public collection of predictive models, equations as transcribed there; papers not read",
	"HITM":     "Snyder, Environmental conditions for pathogenic bacterial growth, table",
	"HSU12":    "Hsu et al. 2012, J. Agric. Food Chem. 60:10696",
	"HUANG01":  "Huang, Weng and Chiou 2001, J. Food Prot. 64:546-550",
	"IBE97":    "Ibeas et al. 1997, Am. J. Enol. Vitic. 48:71-74",
	"ITV04":    "trials at Beaune (Gerbaux), reported 17 December 2004",
	"JIB24":    "J. Inst. Brewing 2024, 130(4), doi 10.58430/jib.v130i4.61",
	"JSL87A":   "Jermini and Schmidt-Lorenz 1987, J. Food Prot., cardinal temperatures of osmotolerant yeasts",
	"KA68":     "Kunkee and Amerine 1968, Appl. Microbiol. 16:1067-1075, as summarised by Coetzee 2017",
	"KAK18":    "Kakagianni et al. 2018, Food Microbiol. 74:40-49",
	"KAL95":    "Kalathenos, Baranyi, Sutherland and Roberts 1995, Int. J. Food Microbiol. 25:63-74, equation as transcribed in a public collection of models; authors from memory",
	"KBM":      "Acetobacter pasteurianus KBMNS-IAUF-2, abstract",
	"LAHL05":   "Lahlali et al. 2005, Int. J. Food Microbiol. 103:315, abstract",
	"LEM02":    "Le Marc et al. 2002, Int. J. Food Microbiol. 73:219-237; form from memory",
	"LEM78":    "J. Jpn. Soc. Nutr. Food Sci. 31(5), 1978:518, abstract",
	"MEM":      "from memory, not checked",
	"MEM99":    "Membré, Kubaczka and Chéné 1999, Appl. Environ. Microbiol. 65:4921-4925, equation as transcribed in a public collection of models; authors from memory",
	"MENZ11":   "Menz et al. 2011, J. Food Prot. 74:1670-1675",
	"MH75":     "Murdock and Hatcher 1975, J. Milk Food Technol. 38:393, abstract",
	"MWM11":    "Molecular Wine Microbiology 2011, ch. 9, as quoted",
	"NADA":     "Nada sake research society, glossary",
	"NOT90":    "Int. J. Food Microbiol. 1990, 10:209-217",
	"OSU":      "Ohio State University, water activity, pH and temperature guides (ICMSF 1996)",
	"OURS":     "judgement of this project",
	"PAGES":    "common practice, household and trade pages without data",
	"PC68":     "Pitt and Christian 1968, Appl. Microbiol.",
	"PF97":     "Praphailong and Fleet 1997, Food Microbiol. 14:459-468",
	"PN4":      "Oenococcus oeni PN4 starter study, abstract",
	"ROJO14":   "Rojo et al. 2014, Zygosaccharomyces rouxii in concentrated grape juice, abstract and head of the manuscript",
	"RYAN00":   "Ryan-Stoneham and Tong 2000, J. Food Sci. 65:1296-1302",
	"SALV11":   "Salvadó et al. 2011, Appl. Environ. Microbiol. 77:2292-2302, as cited in a public collection of models",
	"STEELS99": "Steels et al. 1999, J. Appl. Microbiol. 87:520-527",
	"SYRUP24":  "trials of heated cherry syrup, 6 months (Discover Food 2024), and of mandarin syrup, 90 and 180 d, abstracts",
	"TOMPKIN":  "Tompkin, Minimum growth temperatures for selected foodborne pathogens, Table 1",
	"VHG":      "bioethanol handbook, very-high-gravity fermentations, secondary",
	"WAR90":    "Warren, Hill and Macdonald 1990, Biotechnol. Prog. 6:319-325",
	"WEEM99":   "Weemaes et al. 1999, J. Agric. Food Chem. 47:2404-2409",
	"WIKI":     "encyclopaedia article on Zygosaccharomyces, tertiary",
	"YAM84":    "Yamamoto, Higashi and Yoshii 1984, Nippon Shokuhin Kogyo Gakkaishi 31:531-535",
	"ZUE15":    "Zuehlke, Childs and Edwards 2015, Fermentation 1:3-12, abstract",
}

// Source returns the publication behind a key of Limit or Joint.
func Source(key string) (string, bool) {
	s, ok := sources[key]
	return s, ok
}

// densityKgPerM3 is ethanol-water at 20 °C by mass per cent, from the CRC
// Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative
// properties of aqueous solutions; 0 % from Council Directive 76/766/EEC.
var densityKgPerM3 = []struct{ massPercent, value float64 }{
	{0, 998.2}, {2, 994.5}, {5, 989.3}, {8, 984.7}, {10, 981.9}, {12, 979.2}, {15, 975.2},
	{20, 968.7}, {24, 963.2}, {30, 953.9}, {40, 935.2}, {50, 913.9}, {60, 891.1}, {100, 789.3},
}

// ABVFromMassPercent turns mass per cent of ethanol in water into % vol at
// 20 °C, within 0.03 % vol up to 30 mass per cent. Publications state limits
// either way; outside 0-100 the argument is moved to the nearer end.
func ABVFromMassPercent(massPercent float64) float64 {
	w := min(max(massPercent, 0), 100)
	d := densityKgPerM3
	i := 1
	for i < len(d)-1 && w > d[i].massPercent {
		i++
	}
	t := (w - d[i-1].massPercent) / (d[i].massPercent - d[i-1].massPercent)
	rho := d[i-1].value + t*(d[i].value-d[i-1].value)
	return w * rho / d[len(d)-1].value
}

// Organisms returns the entries, yeasts first. Where sources disagree the most
// permissive value stands, unless an entry is for strains that were tested by
// themselves.
func Organisms() []Organism {
	return []Organism{
		// Yeasts.
		{Name: "Zygosaccharomyces bailii", Group: Yeast,
			AwMin: at(0.80, "BEU81"), PHMin: at(2.0, "PF97"), PHMax: at(7.0, "PF97"),
			EthanolMaxABV: at(18, "WIKI"),
			Note:          "shrugs off 750 to 1200 mg/L of sorbate or benzoate; worked at 17 % vol for 100 days"},
		{Name: "Zygosaccharomyces rouxii", Group: Yeast,
			AwMin: at(0.62, "BANW89"), PHMin: at(2.0, "PF97"), PHMax: stopsAt(8.0, "PF97")},
		{Name: "Zygosaccharomyces rouxii, dried-fruit strains", Group: Yeast,
			AwMin: stopsAt(0.79, "EHD96"), Note: "two strains in glucose; handbooks give 0.62 for the species"},
		{Name: "Zygosaccharomyces lentus", Group: Yeast,
			PHMin: at(2.2, "STEELS99"), Note: "grows at 4~°C: a fridge alone does not stop it"},
		{Name: "osmotolerant yeasts", Group: Yeast,
			AwMin: at(0.60, "BANW89"), PHMin: at(2.0, "PF97"), TMaxC: at(42, "JSL87A"),
			Joint: []Joint{{AwMax: At(0.922), CelsiusMax: At(4), Days: 30, Source: "JSL87A"}},
			Note:  "29 strains; benzoate at 1500 mg/L held 18 of them only below aw 0.90 and pH 4"},
		{Name: "Saccharomyces cerevisiae", Group: Yeast,
			AwMin: at(0.90, "BANW89"), PHMin: at(2.0, "PF97"), PHMax: stopsAt(8.0, "PF97"),
			EthanolMaxABV: at(23, "VHG"),
			Note:          "23 % vol is a crowded, fed mash that made the alcohol itself; a stray cell is not known to pass 17.5"},
		{Name: "wine yeast (Saccharomyces) in sweet wine", Group: Yeast,
			AwMin: at(0.90, "BANW89"), PHMin: at(2.0, "PF97"), EthanolMaxABV: stopsAt(17.5, "KA68")},
		{Name: "bakers' yeast on alcohol alone", Group: Yeast,
			EthanolMaxABV: stopsAt(70.0/7.893, "BAKERS82"), Note: "70 g/L, alcohol as the only food"},
		{Name: "flor yeast (Saccharomyces cerevisiae)", Group: Yeast, NeedsAir: true,
			Joint: []Joint{{ABVMin: At(15), CelsiusMin: At(22.5), Source: "IBE97"}},
			Note:  "surface film on fortified wine above 15 % vol; fails when 15 % and 22.5~°C are passed together"},
		{Name: "Saccharomycodes ludwigii", Group: Yeast, Note: "seen growing at 15 % vol with sulphite; no upper limit read"},
		{Name: "Schizosaccharomyces pombe", Group: Yeast},
		{Name: "Dekkera bruxellensis", Group: Yeast, Note: "seen at 13.8 % vol, pH 3.4; no upper limit read"},
		{Name: "Kloeckera apiculata", Group: Yeast, PHMin: at(1.5, "PF97"), PHMax: stopsAt(8.0, "PF97")},
		{Name: "Pichia anomala", Group: Yeast},
		{Name: "Debaryomyces hansenii", Group: Yeast, AwMin: at(0.60, "BANW89"), PHMin: at(2.0, "PF97"),
			PHMax: stopsAt(8.0, "PF97"), Note: "0.87 by itself in handbooks; grew in 60 to 70 % sucrose"},
		{Name: "Kluyveromyces marxianus", Group: Yeast},
		{Name: "Yarrowia lipolytica", Group: Yeast},

		// Moulds. Alcohol limits were measured at aw 0.99 and 25 °C.
		{Name: "common food moulds", Group: Mould, NeedsAir: true, AwMin: at(0.60, "BANW89"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(5), "DANT05"),
			Note:          "ten species, 3 to 5 % by mass"},
		{Name: "Paecilomyces variotii", Group: Mould, NeedsAir: true, AwMin: at(0.60, "BANW89"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(6.43), "DANT05"), Note: "most tolerant of twelve moulds"},
		{Name: "Trichoderma harzianum", Group: Mould, NeedsAir: true,
			EthanolMaxABV: stopsAt(ABVFromMassPercent(2.14), "DANT05")},
		{Name: "Penicillium chrysogenum, spores", Group: Mould, NeedsAir: true,
			EthanolMaxABV: stopsAt(ABVFromMassPercent(4.3), "DANT05V"), Note: "germination over alcohol vapour, reversible"},
		{Name: "Aspergillus spp.", Group: Mould, NeedsAir: true, AwMin: at(0.738, "PC68"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(5), "DANT05")},
		{Name: "Eurotium spp.", Group: Mould, NeedsAir: true, AwMin: at(0.68, "AP87")},
		{Name: "Wallemia sebi", Group: Mould, NeedsAir: true, AwMin: at(0.65, "BEU81")},
		{Name: "Chrysosporium fastidium", Group: Mould, NeedsAir: true, AwMin: at(0.686, "PC68")},
		{Name: "Xeromyces bisporus", Group: Mould, NeedsAir: true, AwMin: at(0.605, "PC68"),
			Note: "the driest growth known in this table"},

		// Lactic acid bacteria.
		{Name: "lactobacilli of strong rice drinks", Group: Lactic,
			EthanolMaxABV: at(25, "NADA"),
			Note:          "Fructilactobacillus fructivorans and kin; grew at 23 % vol, 25 is claimed without data"},
		{Name: "lactobacilli of fortified wine", Group: Lactic, EthanolMaxABV: at(25, "NADA"),
			Note: "L. fructivorans and L. hilgardii soured must and brandy at 17 % vol; some strains tolerate 18 to 20"},
		{Name: "Lactiplantibacillus plantarum", Group: Lactic, Note: "grew at 13 % vol and, apart, at pH 3.2"},
		{Name: "Oenococcus oeni", Group: Lactic, PHMin: at(3.0, "PN4"),
			Note: "a starter strain: 15.8 % vol and, apart, pH 3.0"},
		{Name: "wine lactic acid bacteria already in the wine", Group: Lactic, PHMin: stopsAt(3.1, "ITV04"),
			Note: "numbers fall at pH 3.1 in white and 3.3 in red wine of ordinary strength"},
		{Name: "most lactic acid bacteria", Group: Lactic, EthanolMaxABV: at(12, "ACE17"),
			Note: "the exceptions above decide, not the rule"},

		// Acetic and other bacteria.
		{Name: "acetic acid bacteria", Group: Acetic, NeedsAir: true, EthanolMaxABV: recalled(15),
			Note: "grew at 9 % vol and 40~°C; the upper end is from memory and decides nothing"},
		{Name: "Gram-negative food spoilage bacteria", Group: OtherBact, EthanolMaxABV: stopsAt(9, "YAM84")},
		{Name: "Gram-positive food spoilage bacteria", Group: OtherBact, EthanolMaxABV: stopsAt(11, "YAM84"),
			Note: "9 to 11 %; overturned for lactic acid bacteria of strong drinks"},
		{Name: "Bacillus and Pediococcus of dessert wine", Group: OtherBact, Note: "tolerated 20 % vol; no upper limit read"},
		{Name: "Alicyclobacillus acidoterrestris", Group: OtherBact, NeedsAir: true,
			PHMin: stopsAt(2.02, "KAK18"), TMinC: stopsAt(15, "KAK18"), EthanolMaxABV: recalled(6),
			Note: "lowest growth seen: pH 2.52 at 35~°C, and 25~°C at pH 3.32"},

		// Pathogens, most permissive value of the tables read.
		{Name: "Clostridium botulinum, proteolytic", Group: Pathogen,
			AwMin: at(0.93, "BBB92"), PHMin: at(4.6, "HITM"), PHMax: at(9, "BBB92"), TMinC: at(10, "BBB92"), TMaxC: at(50, "BBB92"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(6), "DAIFAS03"),
			Note:          "spores survive; toxin is not smelt or tasted"},
		{Name: "Clostridium botulinum, non-proteolytic", Group: Pathogen,
			AwMin: at(0.965, "BBB92"), PHMin: at(5.0, "HITM"), PHMax: at(9, "HITM"), TMinC: at(3, "GRAHAM97"), TMaxC: at(45, "HITM"),
			Note: "grew and made toxin at 3~°C in five weeks; no alcohol limit read"},
		{Name: "Staphylococcus aureus", Group: Pathogen,
			AwMin: at(0.83, "OSU"), PHMin: at(4.0, "OSU"), PHMax: at(10, "OSU"), TMinC: at(6.5, "HITM"), TMaxC: at(50, "HITM"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(10), "HUANG01"),
			Joint:         eggSugarSpirit()},
		{Name: "Salmonella spp.", Group: Pathogen,
			AwMin: at(0.94, "OSU"), PHMin: at(3.8, "OSU"), PHMax: at(9.5, "OSU"), TMinC: at(2.0, "HITM"), TMaxC: at(47, "BBB92"),
			EthanolMaxABV: stopsAt(10, "ACH22"), Joint: eggSugarSpirit(),
			Note: "the alcohol limit was seen in fruit juices and purees"},
		{Name: "Listeria monocytogenes", Group: Pathogen,
			AwMin: at(0.90, "EC08"), PHMin: at(4.1, "FPCDS"), PHMax: at(9.6, "FPCDS"), TMinC: at(-1.5, "EC08"), TMaxC: at(45, "EC08"),
			EthanolMaxABV: stopsAt(10, "ACH22"), Joint: eggSugarSpirit(),
			Note: "grows in a fridge; the alcohol limit was seen in fruit juices and purees"},
		{Name: "Escherichia coli", Group: Pathogen,
			AwMin: at(0.935, "BBB92"), PHMin: stopsAt(4.2, "JIB24"), PHMax: at(9.5, "BBB92"), TMinC: at(2.5, "BBB92"), TMaxC: at(46, "OSU"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(7.5), "HUANG01"),
			Note:          "grew at pH 4.3 in alcohol-free beer, not at 4.2"},
		{Name: "Bacillus cereus", Group: Pathogen,
			AwMin: at(0.912, "HITM"), PHMin: at(4.35, "HITM"), PHMax: at(9.3, "BBB92"), TMinC: at(4, "TOMPKIN"), TMaxC: at(50, "HITM"),
			EthanolMaxABV: stopsAt(ABVFromMassPercent(11), "YAM84"),
			Note:          "the alcohol limit is the group's 11 %, taken as mass per cent, the less strict reading; spores survive 17 % vol for months"},
		{Name: "Clostridium perfringens", Group: Pathogen,
			AwMin: at(0.93, "BBB92"), PHMin: at(5.0, "HITM"), PHMax: at(9, "HITM"), TMinC: at(10, "BBB92"), TMaxC: at(52.3, "HITM")},
		{Name: "Yersinia enterocolitica", Group: Pathogen,
			AwMin: at(0.945, "FPCDS"), PHMin: at(4.0, "FPCDS"), PHMax: at(10, "FPCDS"), TMinC: at(-1.5, "FPCDS"), TMaxC: at(44, "BBB92")},
		{Name: "Shigella spp.", Group: Pathogen, PHMin: recalled(4.8), AwMin: recalled(0.96), TMinC: at(8, "BBB92"), TMaxC: at(45, "BBB92")},
		{Name: "Vibrio parahaemolyticus", Group: Pathogen,
			AwMin: at(0.937, "HITM"), PHMin: at(4.8, "HITM"), PHMax: at(11, "HITM"), TMinC: at(5, "HITM"), TMaxC: at(43, "HITM")},
		{Name: "Campylobacter jejuni", Group: Pathogen,
			PHMin: at(4.9, "HITM"), PHMax: at(8, "BBB92"), TMinC: at(25, "BBB92"), TMaxC: at(45, "HITM")},

		// Floras tested as they came.
		{Name: "natural flora of fresh citrus juice", Group: MixedFlora,
			Joint: []Joint{
				{CelsiusMax: At(4.4), Days: 16, Source: "FELL88"},
				{CelsiusMax: At(1.1), Days: 22, Source: "FELL88"},
				{CelsiusMax: At(-1.7), Days: 23, Source: "FELL88"},
			},
			Note: "counts fell at 4.4~°C and colder; spoiled in 5 to 8 days at 7.8~°C"},
		{Name: "mixed flora of egg, milk or cream", Group: MixedFlora, Note: "rose 1000-fold at 8.9 % vol while pathogens died"},
	}
}

// eggSugarSpirit is the trial of whole egg with 250 g/L of sucrose and 7.0 g
// of ethanol per 100 mL (8.87 % vol): the named pathogens fell and never grew,
// 21 days at 22 °C and 49 days at 4 °C.
func eggSugarSpirit() []Joint {
	abv, sugar := At(7.0/0.7893), At(250)
	return []Joint{
		{ABVMin: abv, SugarMin: sugar, CelsiusMin: At(0), CelsiusMax: At(22), Days: 21, Source: "NOT90"},
		{ABVMin: abv, SugarMin: sugar, CelsiusMin: At(0), CelsiusMax: At(4), Days: 49, Source: "NOT90"},
	}
}
