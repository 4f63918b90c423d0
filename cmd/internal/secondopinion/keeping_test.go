package secondopinion

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/shelf/spoilage"
)

// microbe is a guild as the tables have it, and its draws of strains and bottles.
type microbe struct {
	name              string
	v                 map[string]float64
	food, air, fungus bool
	loads             map[string]float64
	draws             [][7]float64
}

const keepingDraws = 600

// microbes reads the tables of the guilds and draws their strains at random.
var microbes = sync.OnceValues(func() (ms []microbe, all map[string]float64) {
	values := map[string]map[string]float64{}
	for _, r := range data.Rows("spoilage.csv") {
		if values[r.Text("guild")] == nil {
			values[r.Text("guild")] = map[string]float64{}
		}
		values[r.Text("guild")][r.Text("quantity")] = r.Number("value")
	}
	random := rand.New(rand.NewPCG(7, 1))
	for _, r := range data.Rows("spoilage-guilds.csv") {
		m := microbe{name: r.Text("guild"), v: values[r.Text("guild")], loads: map[string]float64{}}
		m.food, m.air = strings.Contains(r.Text("needs"), "food"), strings.Contains(r.Text("needs"), "air")
		m.fungus = strings.Contains(r.Text("needs"), "fungus")
		for _, l := range data.Rows("spoilage-loads.csv") {
			m.loads[l.Text("class")] = l.Number(m.name)
		}
		for range keepingDraws {
			var d [7]float64
			for k := range d {
				d[k] = random.NormFloat64()
			}
			m.draws = append(m.draws, d)
		}
		ms = append(ms, m)
	}
	return ms, values["all"]
})

// sugarActivity is the water activity of a sugar in the water of the drink, the alcohol
// left out.
func sugarActivity(f spoilage.Figures) (aw, waterMol, sugarMol float64) {
	waterMol = max(1000-0.62*f.SugarGPerL-9.5*f.ABVPercent, 18.015) / 18.015
	sugarMol = f.SugarGPerL / 342.297
	x := sugarMol / (sugarMol + waterMol)
	return (1 - x) * math.Exp(-6.47*x*x), waterMol, sugarMol
}

// perHour is the rate of one strain.
func (m *microbe) perHour(all map[string]float64, d [7]float64, f spoilage.Figures, celsius float64) float64 {
	tMin := m.v["t_min_c"] - all["t_spread"]*d[0]
	pHMin := m.v["ph_min"] - all["ph_spread"]*d[1]
	awMin := m.v["aw_min"] - all["aw_spread"]*d[2]
	most := m.v["abv_max"] * math.Exp(m.v["abv_spread"]*d[3])
	aw, water, sugar := sugarActivity(f)
	abv := f.ABVPercent
	if m.fungus { // in the water phase, pushed by the sugar
		ethanol := abv * 7.89 / 46.068
		abv = abv / (1 - 0.00062*min(f.SugarGPerL, 1000)) * math.Exp(4.2*sugar/(sugar+water+ethanol))
	}
	pH, opt := max(f.PH, m.v["ph_floor"]), m.v["ph_opt"]
	if celsius <= tMin || pH <= pHMin || aw <= awMin || abv >= most {
		return 0
	}
	ofT := math.Pow(min((celsius-tMin)/(m.v["t_opt_c"]-tMin), 1), 2)
	ofPH := 1.0
	if pH < opt {
		a := (pH - pHMin) * (pH - all["ph_upper"])
		ofPH = a / (a - (pH-opt)*(pH-opt))
	}
	ofWater := math.Pow((aw-awMin)/(1-awMin), m.v["aw_exponent"])
	if m.v["aw_slope"] > 0 {
		off := max(math.Sqrt(1-aw)-m.v["aw_from"], 0)
		ofWater = math.Exp(-m.v["aw_slope"]*off*off) * min((aw-awMin)/all["aw_ramp"], 1)
	}
	tail := m.v["abv_tail"]
	if tail == 0 {
		tail = 1
	}
	ofABV := math.Pow(1-math.Pow(abv/most, m.v["abv_exponent"]), tail)
	// How far each is from its optimum, weakened; together they slow once more.
	var far [4]float64
	for i, g := range []float64{ofT, ofPH, ofWater, ofABV} {
		far[i] = all["interaction_weight"] * math.Pow(1-math.Sqrt(g), 2)
	}
	psi := 0.0
	for i := range far {
		others := 2.0
		for j := range far {
			if j != i {
				others *= 1 - far[j]
			}
		}
		psi += far[i] / others
	}
	rate := m.v["rate_per_h"] * math.Exp(all["rate_spread"]*d[4])
	return rate * ofT * ofPH * ofWater * ofABV * min(max(2*(1-psi), 0), 1)
}

// days are those in which each draw shows something, counted hour by hour to the
// longest that is ever told.
func countedDays(b spoilage.Bottle, f spoilage.Figures, celsius float64) []float64 {
	const longest = 181 * 24
	ms, all := microbes()
	out := make([]float64, keepingDraws)
	for i := range out {
		out[i] = longest
	}
	if b.Opened {
		celsius += 2
	}
	for g := range ms {
		m := &ms[g]
		if m.food && !b.Food || m.air && !b.Opened && b.Load <= spoilage.Clean || b.Sorbate &&
			m.name == "wine yeast" {
			continue
		}
		for i, d := range m.draws {
			start := m.loads[b.Load.String()]
			if b.Opened {
				start = max(start, m.loads["opened"])
			}
			start += all["load_spread"] * d[5]
			if b.Load == spoilage.Heated && !b.Opened && start < -2.9 { // less than a cell in 0.75 l
				continue
			}
			rate := m.perHour(all, d, f, celsius)
			if m.fungus && !b.Food {
				rate *= all["poor_factor"]
			}
			if rate <= 0 {
				continue
			}
			lag, cells := all["lag_work"]*math.Exp(all["lag_spread"]*d[6]), start
			shows := max(m.v["visible_log10_per_ml"], start+0.3)
			for hour := 1.0; hour < out[i]+1; hour++ {
				grows := rate
				if lag > 0 { // the lag first, then what is left of the hour
					grows = max(rate-lag, 0)
					lag -= rate
				}
				if cells += grows / math.Ln10; cells >= shows {
					out[i] = min(out[i], hour-(cells-shows)*math.Ln10/rate)
					break
				}
			}
		}
	}
	slices.Sort(out)
	for i := range out {
		if out[i] /= 24; out[i] >= 181 {
			out[i] = math.Inf(1)
		}
	}
	return out
}

// ruleDays reads a published time at a temperature, straight in its logarithm between
// two rows; +Inf where there is none.
func ruleDays(rule string, celsius float64) (low, high float64) {
	var c, lows, highs []float64
	for _, r := range data.Rows("keeping-times.csv") {
		if r.Text("rule") == rule {
			at := 0.0
			if r.Text("celsius") != "" {
				at = r.Number("celsius")
			}
			c, lows, highs = append(c, at), append(lows, r.Number("low_days")), append(highs,
				r.Number("high_days"))
		}
	}
	return along(c, lows, celsius), along(c, highs, celsius)
}

// along reads a time off knots by its logarithm, the nearer end outside them.
func along(at, days []float64, celsius float64) float64 {
	if len(at) == 0 {
		return math.Inf(1)
	}
	celsius = min(max(celsius, at[0]), at[len(at)-1])
	for i := 1; i < len(at); i++ {
		if celsius <= at[i] {
			t := (celsius - at[i-1]) / (at[i] - at[i-1])
			return math.Exp((1-t)*math.Log(days[i-1]) + t*math.Log(days[i]))
		}
	}
	return days[0]
}

// opens is how far the ceiling of juice opens: with sugar as wine yeast is slowed, and
// with alcohol from 5 and more from 12 % vol.
func opens(f spoilage.Figures) float64 {
	slowed := func(sugar float64) float64 {
		aw, _, _ := sugarActivity(spoilage.Figures{SugarGPerL: sugar})
		return math.Exp(-40.85 * math.Pow(max(math.Sqrt(1-aw)-0.05, 0), 2))
	}
	by := max(1, slowed(110)/slowed(max(f.SugarGPerL, 110)))
	return by * math.Exp(0.2*max(0, f.ABVPercent-5)+0.3*max(0, f.ABVPercent-12))
}

// keepsFor is how long a bottle keeps by the plain loop within the published times, and
// which of them comes sooner.
func keepsFor(b spoilage.Bottle, celsius float64) (low, high float64, rule string) {
	if b.Load == spoilage.Heated { // heating never shortens
		c := b
		c.Load = spoilage.Clean
		low, high, rule = within(b, celsius)
		if l, h, r := within(c, celsius); l > low {
			return l, max(h, high), r
		} else {
			return low, max(h, high), rule
		}
	}
	return within(b, celsius)
}

func within(b spoilage.Bottle, celsius float64) (low, high float64, rule string) {
	worst, usual := countedDays(b, b.Worst, celsius), countedDays(b, b.Usual, celsius)
	low, high = worst[keepingDraws/10], usual[keepingDraws/2]
	bound := func(name string, celsius, by, byHigh float64) {
		l, h := ruleDays(name, celsius)
		if l*by < low {
			low, rule = l*by, name
		}
		high = min(high, h*byHigh)
	}
	warmer := celsius
	if b.Opened {
		warmer += 2
	}
	heated := b.Load == spoilage.Heated && !b.Opened
	switch {
	case b.Load >= spoilage.Juice:
		bound("juice", warmer, opens(b.Worst), opens(b.Usual))
	case heated:
		bound("heated", warmer, opens(b.Worst), opens(b.Usual))
	}
	if b.Opened && b.Wine != spoilage.NoWine {
		bound(string(b.Wine), celsius, 1, 1)
	}
	if b.Rich {
		bound(map[bool]string{true: "milk or egg, opened", false: "milk or egg"}[b.Opened], celsius,
			1, 1)
	}
	switch {
	case heated:
		bound("cap heated", celsius, 1, 1)
	case b.Load >= spoilage.Juice:
		bound("cap raw", celsius, 1, 1)
	case b.Food:
		bound("cap food", celsius, 1, 1)
	default:
		bound("cap poor", celsius, 1, 1)
	}
	return low, max(low, high), rule
}
