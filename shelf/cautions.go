package shelf

import (
	"cmp"
	"fmt"
	"strings"

	"steepbook/shelf/alcohol"
	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
)

// glassML is the serving in which a day's limit is counted.
const glassML = 60

// standing is how a compound stands against its limits.
type standing struct {
	caution Caution
	say     bool // worth saying
	over    bool // the likely amount is above a limit, and none of it is in doubt
}

// strictest is the lowest of the levels that apply, by the drink and by the day.
func strictest(limits []Limit, abv mixture.Range) (drink, day Limit) {
	for _, l := range limits {
		if !l.applies(abv) {
			continue
		}
		if l.MgPerL > 0 && (drink.MgPerL == 0 || l.MgPerL < drink.MgPerL) {
			drink = l
		}
		if l.MgPerDay > 0 && (day.MgPerDay == 0 || l.MgPerDay < day.MgPerDay) {
			day = l
		}
	}
	return drink, day
}

// standingOf says nothing when the high end is below a tenth of each limit and
// none of it is from memory.
func standingOf(s Substance, abv mixture.Range) standing {
	drink, day := strictest(s.Limits, abv)
	perL, perDay := drink.MgPerL, day.MgPerDay
	likely, high := s.MgPerL, max(s.HighMgPerL, s.MgPerL)
	share := 0.0
	if perL > 0 {
		share = high / perL
	}
	if perDay > 0 {
		share = max(share, high*glassML/1000/perDay)
	}
	limited := perL > 0 || perDay > 0
	if limited && share < 0.1 && s.Doubt == "" || !limited && high <= 0 && s.Text == "" {
		return standing{}
	}
	spread := likely > 1e-6*high && high > 1.2*likely
	text := s.Name
	say := func(format string, args ...any) { text += fmt.Sprintf(format, args...) }
	if s.From != "" {
		say(" from %s", s.From)
	}
	switch {
	case high <= 0:
		say(": the amount is not known")
	case spread:
		say(": about %s mg/L, up to %s", trimmed(likely, 3), trimmed(high, 3))
	default:
		say(": up to %s mg/L", trimmed(high, 3))
	}
	overL := perL > 0 && likely > perL
	if perL > 0 && high > 0 {
		say("; the limit is %s mg/L", trimmed(perL, 3))
		switch {
		case overL:
			say(", and this is over it")
		case high > perL:
			say(", so it can be over it")
		}
	}
	// What has made people ill counts at its high end.
	counts, is, reached := likely, "is", "; a day's limit of %s mg is reached %s"
	if day.Harm {
		counts, is, reached = high, "can be", "; %s mg in a day has made people ill, which is reached %s"
	}
	overDay := perDay > 0 && counts*glassML/1000 > perDay
	if perDay > 0 && high > 0 {
		within := "with " + volume(perDay/high*1000)
		switch {
		case spread:
			within = fmt.Sprintf("with about %s, at the high end %s", volume(perDay/likely*1000), within)
		case likely <= 1e-6*high:
			within += " at the high end"
		}
		say(reached, trimmed(perDay, 3), within)
		if overDay {
			say(", so one glass of %d mL %s over it", glassML, is)
		}
	}
	switch {
	case s.Doubt != "":
		say("; the content is %s, so take it as a warning only", s.Doubt)
	case high > 0 && day.Doubt+drink.Doubt != "":
		say("; %s", cmp.Or(day.Doubt, drink.Doubt))
	}
	if s.Text != "" {
		say(". %s", s.Text)
	}
	source := s.Source
	for _, l := range []Limit{day, drink} {
		if l.Source != "" {
			source = l.Source
		}
	}
	over := overL && drink.Doubt == "" || overDay && day.Doubt == ""
	return standing{Caution{Kind: "hazard", Text: text, Source: source}, true, s.Doubt == "" && over}
}

// OverLimit lists the cautions of compounds whose likely amount, all of what
// the botanicals hold taken as dissolved, is above a published level for the
// drink, or above a day's level in one glass of 60 mL. Amounts and levels in doubt
// never count.
func OverLimit(b Bottle) []Caution {
	var out []Caution
	for _, s := range b.Substances {
		if st := standingOf(s, b.ABVPercent); st.over {
			out = append(out, st.caution)
		}
	}
	return out
}

// Legal ceilings of preservatives in the drink, mg/L.
const (
	// sorbicCeiling is sorbic acid in wine, OIV Code of Oenological Practices
	// II.3.4.5.
	sorbicCeiling = 200.0
	// benzoateCeiling is sodium benzoate, 0.1 % of food, 21 CFR 184.1733(d).
	benzoateCeiling = 1000.0
	// SO2 has to be named on a label from 10 mg/L (Regulation (EU) 1169/2011
	// Annex II). Potassium metabisulfite is 57.6 % SO2 by molar mass.
	sulfiteLabel, so2Share = 10.0, 0.576
)

// sorbateCeilingMgPerL is the legal ceiling of potassium sorbate in wine, the
// salt that holds 200 mg/L of sorbic acid.
const sorbateCeilingMgPerL = sorbicCeiling / growth.SorbicShareOfPotassiumSorbate

// cautions collects what has to be said whatever the verdict.
func cautions(b Bottle, w worst, f findings) []Caution {
	var out []Caution
	add := func(kind, source, format string, args ...any) {
		out = append(out, Caution{Kind: kind, Text: fmt.Sprintf(format, args...), Source: source})
	}
	if len(b.FreshLowAcid) > 0 && !f.gate.pass() {
		if f.tooLate {
			add("botulism", rules()["too late"].Source, "it lay %s h in a jar that was neither strong nor "+
				"sour enough, and what grew there is not undone by what came later: throw it away; if "+
				"sugar, acid or spirit was in from the start, write in = \"0 h\" beside it",
				trimmed(b.WeakSteepH, 2))
		}
		medium := "syrup"
		if b.Oil {
			medium = "oil"
		}
		plants := strings.ReplaceAll(", "+strings.Join(b.FreshLowAcid, ", "), ", fresh ", ", ")[2:]
		add("botulism", "Daifas et al. 2003, J. Food Prot. 66; Graham et al. 1997, Lett. Appl. Microbiol. "+
			"24:95-100; extension advice of 2 to 4 days",
			"fresh %s in %s without enough acid or alcohol can poison without any sign: strain, keep at "+
				"4~°C or colder and use within 4 days, or freeze; dried plants, or pH 4.0 throughout, "+
				"remove the risk",
			plants, medium)
	}
	if b.RawEgg || b.Egg {
		add("raw egg", "BfR advice 2019; AVV Lebensmittelhygiene, Annex 1.5; Int. J. Food Microbiol. "+
			"1990, 10:209-217",
			"raw egg is not for children, pregnancy or the sick, and below 14 %% vol for the day it is "+
				"made; next time mix egg and spirit alone first and leave them 3 days at room "+
				"temperature, since alcohol kills slower in the cold, before anything else goes in")
	}
	if b.Dairy {
		add("dairy", practice, "milk and cream stay in the fridge at any strength; acid or much alcohol "+
			"curdles them")
	}
	if b.NutMilk {
		add("dairy", practice,
			"nut milk splits within days: shake it; splitting is harmless, gas or a sour smell is not")
	}
	for _, s := range b.Substances {
		if st := standingOf(s, b.ABVPercent); st.say {
			out = append(out, st.caution)
		}
	}
	p := b.Preservatives
	if s := p.PotassiumSorbateMgPerL; s > sorbateCeilingMgPerL {
		add("preservative", "OIV Code of Oenological Practices II.3.4.5",
			"potassium sorbate at %.0f mg/L is above the ceiling of %.0f mg/L for wine", s,
			sorbateCeilingMgPerL)
	} else if s > 0 && b.ABVPercent.Value > 0 {
		add("preservative", "University of Minnesota Enology 2014", "sorbate holds wine yeast alone and "+
			"gets no other credit here, and in alcohol it slowly takes on a smell of celery or pineapple")
	}
	if s := p.SodiumBenzoateMgPerL; s > 0 {
		if s > benzoateCeiling {
			add("preservative", "21 CFR 184.1733(d)",
				"sodium benzoate at %.0f mg/L is above the ceiling of %.0f mg/L", s, benzoateCeiling)
		}
		if w.freshJuice {
			add("preservative", "J. Agric. Food Chem. 1993, 41:693, as reported by the US FDA",
				"benzoate with the vitamin C of fresh juice can form benzene: leave one of them out")
		}
	}
	if so2 := p.PotassiumMetabisulfiteMgPerL * so2Share; so2 >= sulfiteLabel {
		add("allergen", "Regulation (EU) 1169/2011, Annex II: above 10 mg/L as SO2",
			"sulphite at about %.0f mg/L: it has to be named", so2)
	}
	if c, cautious, ok := alcohol.FlashPointC(b.ABVPercent.Value); ok && b.ABVPercent.Value >= 20 {
		if b.ABVPercent.Value >= 80 {
			c = cautious // where the table lies above closed-cup values
		}
		add("flame", "ethanol and water flash points, DCHAS-L list, 28 January 2015",
			"its vapour can catch fire from about %.0f~°C: no warming over a flame, no open heat near it", c)
	}
	if !f.line1 && w.abv < fermentABV && b.SugarGPerL.Value >= 4 {
		add("pressure", "stoichiometry of fermentation: 180 g of hexose give 88 g of carbon dioxide",
			"it may ferment in the bottle: no gas-tight flip-tops, open with care; every 4 g/L of sugar "+
				"that ferments gives its own volume of gas")
	}
	if b.ABVPercent.Value >= leastABV {
		add("health", "27 CFR 16.21; Mayo Clin. Proc. review of grapefruit and drugs",
			"no alcohol in pregnancy or with medicines that forbid it; ask a pharmacist about grapefruit, "+
				"bitter orange and strong herbs")
	}
	add("law", "ours", "not a validated process; local rules and a licensed process authority "+
		"decide for sale")
	return out
}
