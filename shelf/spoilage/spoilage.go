package spoilage

import (
	"math"
	"math/rand/v2"
	"sort"
	"sync"

	"steepbook/shelf/activity"
	"steepbook/shelf/growth"
)

// Figures are the composition of a drink: % vol at 20 °C, g/L of sugar, pH.
type Figures struct{ ABVPercent, SugarGPerL, PH float64 }

// Bottle is what the times depend on.
type Bottle struct {
	// Worst is the end of every figure that favours microbes, Usual the central
	// one.
	Worst, Usual Figures
	Load         Load
	// Food means that it holds more to live on than sugar, spirit and dry spice.
	Food bool
	// Opened means air, warmth at the table and cells from the pour.
	Opened bool
	// Rich means milk, egg or nut milk; Wine the kind of an opened wine that it
	// rests on.
	Rich bool
	Wine Wine
	// Sorbate means a dose of sorbate that holds wine yeast, by a published
	// table; it holds nothing else.
	Sorbate bool
}

// Wine is a kind of wine, for the air clock.
type Wine string

// The kinds; NoWine has no air clock.
const (
	NoWine        Wine = ""
	TableWine     Wine = "air, table wine"
	FortifiedWine Wine = "air, fortified wine"
)

// Life is how long a bottle keeps, in days.
type Life struct {
	// LowDays is the tenth of the draws that ends first at the worst figures,
	// HighDays the half at the usual ones, both within the outer rules.
	LowDays, HighDays float64
	// Organism is the guild that ends most of the early draws, in words, and
	// empty where none grows; Guild is its name in the tables, Looks what it makes
	// of a drink.
	Organism, Guild, Looks string
	// Rule is the rule of keeping-times.csv that shortens LowDays, empty where
	// the guilds alone decide.
	Rule string
}

// Quantiles of the draws.
const lowShare, highShare = 0.1, 0.5

// openedWarmerC is how much warmer a bottle in use stands. Judgement.
const openedWarmerC = 2

// The ceiling of raw juice opens with alcohol, by a factor of
// exp(openPerABV·(E-5) + openPerABVStrong·(E-12)), each from its strength on:
// 1 to 5 % vol, 2.7 at 10, 18 at 15. Judgement, between the published rate of
// wine yeast (2.2-fold at 12 %, Kalathenos et al. 1995) and the end of cold
// yeasts at 12 to 14 %.
const (
	openFromABV, openPerABV             = 5, 0.20
	openStrongFromABV, openPerABVStrong = 12, 0.30
	// juiceSugarGPerL is the sugar of a juice as it comes, above which sugar
	// opens the ceiling.
	juiceSugarGPerL = 110
)

// Keeps returns how long a bottle keeps at a temperature in °C. It never grants
// a shelf and knows nothing of what makes people ill.
func Keeps(b Bottle, celsius float64) Life { return keeps(tables(), ownStrains(), b, celsius) }

// LowDays is the LowDays of Keeps alone, in half the time.
func LowDays(b Bottle, celsius float64) float64 {
	b.Usual = Figures{}
	return keeps(tables(), ownStrains(), b, celsius).LowDays
}

func keeps(m *model, strains *[guilds][]strain, b Bottle, celsius float64) Life {
	life := m.life(strains, b, celsius)
	if b.Load == Heated {
		// Heating and closing hot never shortens.
		b.Load = Clean
		if cold := m.life(strains, b, celsius); cold.LowDays > life.LowDays {
			cold.HighDays = max(cold.HighDays, life.HighDays)
			life = cold
		} else {
			life.HighDays = max(life.HighDays, cold.HighDays)
		}
	}
	return life
}

func (m *model) life(strains *[guilds][]strain, b Bottle, celsius float64) Life {
	at := celsius
	if b.Opened {
		celsius += openedWarmerC
	}
	worst := m.endings(strains, b, b.Worst, celsius)
	out := Life{LowDays: worst[int(lowShare*float64(len(worst)))].days}
	if b.Usual != (Figures{}) {
		usual := m.endings(strains, b, b.Usual, celsius)
		out.HighDays = usual[int(highShare*float64(len(usual)))].days
	}
	if g, ok := earliest(worst[:len(worst)/5]); ok {
		out.Guild, out.Organism, out.Looks = m.guilds[g].name, m.guilds[g].words, m.guilds[g].looks
	}
	within := func(rule string, celsius, factorLow, factorHigh float64) {
		low, high := m.at(rule, celsius)
		if low*factorLow < out.LowDays {
			out.LowDays, out.Rule = low*factorLow, rule
		}
		out.HighDays = min(out.HighDays, high*factorHigh)
	}
	switch {
	case b.Load >= Juice:
		within("juice", celsius, m.opens(b.Worst), m.opens(b.Usual))
	case b.Load == Heated && !b.Opened:
		within("heated", celsius, m.opens(b.Worst), m.opens(b.Usual))
	}
	if b.Opened {
		within(string(b.Wine), at, 1, 1) // its days are those of opened bottles
	}
	switch {
	case b.Rich && b.Opened:
		within("milk or egg, opened", at, 1, 1)
	case b.Rich:
		within("milk or egg", at, 1, 1)
	}
	switch {
	case b.Load == Heated && !b.Opened:
		within("cap heated", at, 1, 1)
	case b.Load >= Juice:
		within("cap raw", at, 1, 1)
	case b.Food:
		within("cap food", at, 1, 1)
	default:
		within("cap poor", at, 1, 1)
	}
	out.HighDays = max(out.HighDays, out.LowDays)
	return out
}

// opens is how far the ceiling of juice opens with sugar, by the water activity
// that wine yeast meets, and with alcohol.
func (m *model) opens(f Figures) float64 {
	water := func(sugar float64) float64 { return m.guilds[wineYeast].slowedByWater(waterActivity(sugar, 0)) }
	return max(1, water(juiceSugarGPerL)/water(max(f.SugarGPerL, juiceSugarGPerL))) *
		math.Exp(openPerABV*max(0, f.ABVPercent-openFromABV)+
			openPerABVStrong*max(0, f.ABVPercent-openStrongFromABV))
}

// waterG is the water of a litre of drink [g]: a gram of sugar takes 0.62 mL, a
// % vol of alcohol 9.5 mL beside the water that it draws together.
func waterG(sugarGPerL, abvPercent float64) float64 {
	return max(1000-0.62*sugarGPerL-9.5*abvPercent, activity.MolarWater)
}

// waterActivity is that of the sugar in its water, all of it taken as sucrose,
// the alcohol left out: that has a factor of its own, and would count twice.
func waterActivity(sugarGPerL, abvPercent float64) float64 {
	return activity.SoluteFactor(activity.Masses{Water: waterG(sugarGPerL, abvPercent), Sucrose: sugarGPerL})
}

// effectiveABV is the alcohol that a yeast meets: that of the water phase,
// pushed further by sugar as activity.Cross says. It slants the walls that
// alcohol makes.
func effectiveABV(abvPercent, sugarGPerL float64) float64 {
	water, sugar := waterG(sugarGPerL, abvPercent)/activity.MolarWater, sugarGPerL/activity.MolarSucrose
	ethanol := abvPercent * 7.89 / activity.MolarEthanol
	inWater := abvPercent / (1 - 0.00062*min(sugarGPerL, 1000))
	return inWater * math.Exp(activity.Cross*sugar/(sugar+water+ethanol))
}

// draw is one set of strains and loads: standard normal numbers by guild.
type draw [guilds]struct{ t, pH, aw, abv, rate, load, lag float64 }

// latin is the table of draws behind every answer: a Latin hypercube, so that
// each number alone is spread evenly over its distribution.
func latin() []draw {
	const n = 160
	r := rand.New(rand.NewPCG(1, 2026))
	out := make([]draw, n)
	for g := range out[0] {
		for k := range 7 {
			for i, j := range r.Perm(n) {
				z := math.Sqrt2 * math.Erfinv(2*(float64(j)+0.5)/n-1)
				d := &out[i][g]
				*[...]*float64{&d.t, &d.pH, &d.aw, &d.abv, &d.rate, &d.load, &d.lag}[k] = z
			}
		}
	}
	return out
}

// strain is one strain of a guild: where it stops, its rate at its best [1/h],
// the work of its lag, and how far the load of its bottle is from the mean
// [log10].
type strain struct{ tMin, pHMin, awMin, abvMax, rate, lagWork, load float64 }

// strains are the draws of each guild as the coefficients have them.
func (m *model) strains(draws []draw) *[guilds][]strain {
	var out [guilds][]strain
	for i := range m.guilds {
		g := &m.guilds[i]
		for j := range draws {
			z := &draws[j][i]
			out[i] = append(out[i], strain{
				g.tMin - m.tSpread*z.t, g.pHMin - m.pHSpread*z.pH, g.awMin - m.awSpread*z.aw,
				g.abvMax * math.Exp(g.abvSpread*z.abv),
				g.rate * math.Exp(m.rateSpread*z.rate), m.lagWork * math.Exp(m.lagSpread*z.lag),
				m.loadSpread * z.load,
			})
		}
	}
	return &out
}

var ownStrains = sync.OnceValue(func() *[guilds][]strain { return tables().strains(latin()) })

// ending is when a draw ends, and by which guild; +Inf and none.
type ending struct {
	days float64
	by   number
}

const none number = -1

// earliest is the guild that ends most of them, the first of the table where
// two end as many.
func earliest(ends []ending) (number, bool) {
	var n [guilds]int
	best := none
	for _, e := range ends {
		if e.by == none {
			continue
		}
		n[e.by]++
	}
	for g, k := range n {
		if k > 0 && (best == none || k > n[best]) {
			best = number(g)
		}
	}
	return best, best != none
}

// endings are the ends of all draws, the first first.
func (m *model) endings(strains *[guilds][]strain, b Bottle, f Figures, celsius float64) []ending {
	out := make([]ending, len(strains[0]))
	for i := range out {
		out[i] = ending{math.Inf(1), none}
	}
	air := b.Opened || b.Load > Clean
	for i := range m.guilds {
		g := &m.guilds[i]
		if g.needsFood && !b.Food || g.needsAir && !air || b.Sorbate && number(i) == wineYeast {
			continue
		}
		load := g.loads[b.Load]
		if b.Opened {
			load = max(load, g.loads[opened])
		}
		slower := 1.0
		if !b.Food && g.fungus {
			slower = m.poorFactor
		}
		meets := m.meets(g, f, celsius)
		for j := range strains[i] {
			s := &strains[i][j]
			n := load + s.load
			if b.Load == Heated && !b.Opened && n < lessThanOneCell {
				continue
			}
			work := (s.lagWork + max(g.visible-n, leastGrowth)*math.Ln10) / slower / 24
			rate := m.rateOver(g, s, meets, work/out[j].days)
			if rate <= 0 {
				continue
			}
			if t := work / rate; t < out[j].days {
				out[j] = ending{t, number(i)}
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].days < out[j].days })
	return out
}

const (
	// lessThanOneCell in a bottle of 0.75 L, log10 per mL.
	lessThanOneCell = -2.9
	// leastGrowth is the least growth [log10] that shows, however dirty.
	leastGrowth = 0.3
)

// conditions are what a guild meets in a drink: the water activity of the
// sugar, the alcohol [% vol] of its phase, pH no lower than its floor and no
// higher than its optimum, °C.
type conditions struct{ aw, abv, pH, celsius, slowedByWater float64 }

func (m *model) meets(g *guild, f Figures, celsius float64) conditions {
	c := conditions{aw: waterActivity(f.SugarGPerL, f.ABVPercent), abv: f.ABVPercent,
		pH: min(max(f.PH, g.pHFloor), g.pHOpt), celsius: celsius}
	if g.fungus {
		c.abv = effectiveABV(f.ABVPercent, f.SugarGPerL)
	}
	c.slowedByWater = g.slowedByWater(c.aw)
	return c
}

// rateOver is the growth rate of one strain, 1/h, where it is not less than another,
// and 0 as soon as it is sure to be less.
func (m *model) rateOver(g *guild, s *strain, c conditions, than float64) float64 {
	if c.celsius <= s.tMin || c.pH <= s.pHMin || c.aw <= s.awMin || c.abv >= s.abvMax {
		return 0
	}
	fT := growth.GammaTemperature(c.celsius, s.tMin, g.tOpt)
	fPH := growth.CPM(c.pH, s.pHMin, g.pHOpt, m.pHUpper)
	rate := s.rate * fT * fPH
	if rate < than {
		return 0
	}
	var fAw float64
	if g.awSlope > 0 {
		fAw = c.slowedByWater * min((c.aw-s.awMin)/m.awRamp, 1)
	} else {
		fAw = power(growth.GammaWater(c.aw, s.awMin), g.awExponent)
	}
	if rate *= fAw; rate < than {
		return 0
	}
	fABV := power(1-power(c.abv/s.abvMax, g.abvExponent), g.abvTail) // Luong, with a tail
	if rate *= fABV; rate < than {
		return 0
	}
	phi := func(f float64) float64 { return m.interactionWeight * growth.PhiFromGamma(f) }
	return rate * growth.LeMarcXi(growth.LeMarcPsi(phi(fT), phi(fPH), phi(fAw), phi(fABV)))
}

// power is x to the p for x from 0 to 1, quicker than math.Pow.
func power(x, p float64) float64 {
	if p == 1 || x <= 0 {
		return x
	}
	return math.Exp(p * math.Log(x))
}

// slowedByWater is the factor of a guild whose published equation is one in
// sqrt(1-aw); 1 for the others.
func (g *guild) slowedByWater(aw float64) float64 {
	d := max(math.Sqrt(max(1-aw, 0))-g.awFrom, 0)
	return math.Exp(-g.awSlope * d * d)
}
