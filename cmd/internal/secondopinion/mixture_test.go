package secondopinion

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"steepbook/shelf/mixture"
)

// table reads a table of published figures.
func table(t testing.TB, name string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open("../../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.FieldsPerRecord = '#', -1
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// A knot is the room in mL that a gram of a solute takes in water, at a share of the
// mass that is solute.
type knot struct{ share, room float64 }

// handbook is what the volumes are read from: the standard's polynomial for ethanol and
// water, and the CRC handbook's densities of every solute in water at 20 °C.
type handbook struct {
	r22   []float64
	rooms map[string][]knot
}

func newHandbook(t testing.TB) *handbook {
	h := &handbook{rooms: map[string][]knot{}}
	for _, r := range table(t, "oiml-r22-coefficients.csv") {
		if r["group"] == "A" {
			h.r22 = append(h.r22, number(t, r["value"]))
		}
	}
	put := func(solute string, share, density float64) {
		if share >= 0.05 { // below, the four printed digits do not tell the room
			room := (1000/density - (1-share)*1000/998.2) / share
			h.rooms[solute] = append(h.rooms[solute], knot{share, room})
		}
	}
	for _, r := range table(t, "sucrose-water-density.csv") {
		if (r["source"] == "CRC" || r["source"] == "CRC-F") && r["temperature_c"] == "20" {
			put("sucrose", number(t, r["sucrose_mass_pct"])/100, number(t, r["printed_density_kg_m3"]))
		}
	}
	for _, r := range table(t, "solute-density-crc.csv") {
		put(r["solute"], number(t, r["mass_pct"])/100, 1000*number(t, r["density_g_cm3"]))
	}
	for _, k := range h.rooms {
		slices.SortFunc(k, func(a, b knot) int {
			return int(math.Copysign(1, a.share-b.share))
		})
	}
	return h
}

// solventML is the volume of ethanol and water alone, in g.
func (h *handbook) solventML(ethanol, water float64) float64 {
	if ethanol+water <= 0 {
		return 0
	}
	p, rho := ethanol/(ethanol+water), 0.0
	for k, a := range h.r22 {
		rho += a * math.Pow(p, float64(k))
	}
	return (ethanol + water) / rho * 1000
}

// room reads a solute's room at a share of the mass, straight between the rows.
func (h *handbook) room(solute string, share float64) float64 {
	k := h.rooms[solute]
	i := 1
	for i < len(k)-1 && share > k[i].share {
		i++
	}
	a, b := k[i-1], k[i]
	share = min(max(share, k[0].share), k[len(k)-1].share)
	return a.room + (b.room-a.room)*(share-a.share)/(b.share-a.share)
}

// ml is the volume: the solvent's, and of every solute what it takes in water with as
// much of all solutes (Young's rule).
func (h *handbook) ml(p mixture.Parts) float64 {
	acid := p.Citric + p.Malic + p.Tartaric + p.Acetic + p.Lactic + p.Sorbic + p.Benzoic + p.OtherAcid
	solutes := p.Sucrose + p.Glucose + p.Fructose + p.Glycerol + p.OtherSolids + acid
	v := h.solventML(p.Ethanol, p.Water) + 1.09*p.Fat
	if solutes <= 0 {
		return v
	}
	share := solutes / (solutes + p.Ethanol + p.Water)
	for _, s := range []struct {
		name string
		g    float64
	}{{"sucrose", p.Sucrose + p.OtherSolids}, {"glucose", p.Glucose}, {"fructose", p.Fructose},
		{"glycerol", p.Glycerol}, {"citric acid", acid}} {
		v += s.g * h.room(s.name, share)
	}
	return v
}

// pour is a volume of a strength with what else a litre holds: water until it is full.
func (h *handbook) pour(ml, abv float64, perLitre mixture.Parts) mixture.Parts {
	p := perLitre.Times(ml / 1000)
	p.Ethanol = ml * abv / 100 * 0.7892391
	lo, hi := 0.0, 2*ml
	for range 60 {
		if p.Water = (lo + hi) / 2; h.ml(p) < ml {
			lo = p.Water
		} else {
			hi = p.Water
		}
	}
	return p
}

// sours are the protons of a molecule, its mass and pKa at 25 °C: the sources stand in
// package acidity.
var sours = []struct {
	g    func(p *mixture.Parts) float64
	mass float64
	pKa  []float64
}{
	{func(p *mixture.Parts) float64 { return p.Citric }, 192.124, []float64{3.128, 4.761, 6.396}},
	{func(p *mixture.Parts) float64 { return p.Malic }, 134.087, []float64{3.40, 5.20}},
	{func(p *mixture.Parts) float64 { return p.Tartaric }, 150.087, []float64{2.98, 4.34}},
	{func(p *mixture.Parts) float64 { return p.Acetic }, 60.052, []float64{4.757}},
	{func(p *mixture.Parts) float64 { return p.Lactic }, 90.078, []float64{3.86}},
}

// pH halves the stretch in which the charges cancel, from 0 to 14, the ionic strength
// found anew at every turn. blunted is the share of what is not known at its worst.
func (h *handbook) pH(p mixture.Parts, blunted float64) float64 {
	litres := h.solventML(p.Ethanol, p.Water) / 1000
	shift := 0.014 * min(100*p.Ethanol/789.2391/litres, 60)
	z := (p.StrongIonsMMol + blunted*p.BufferMMol) / 1000 / litres
	type acid struct {
		c   float64
		pKa []float64
	}
	acids := []acid{{blunted * p.BufferMMol / 1000 / litres, []float64{4.5}}}
	for i, s := range sours {
		g := s.g(&p)
		if i == 4 {
			g += (1 - blunted) * p.OtherAcid
		}
		acids = append(acids, acid{g / s.mass / litres, s.pKa})
	}
	// charge is what is left over at a pH, and the ionic strength there.
	charge := func(pH, ionic float64) (left, now float64) {
		root := math.Sqrt(ionic)
		lnG := -0.509 * (root/(1+root) - 0.3*ionic) // log10 of the coefficient of one charge
		hIon, oh := math.Pow(10, -pH-lnG), math.Pow(10, pH-13.995-lnG)
		left, now = z+hIon-oh, (hIon+oh+math.Abs(z))/2
		for _, a := range acids {
			forms, log := []float64{1}, 0.0
			for j, k := range a.pKa {
				// {H}{A-j-1}/{A-j} = K, the charged forms by their activities.
				log += pH - k - shift
				n := float64(j + 1)
				forms = append(forms, math.Pow(10, log-lnG*n*n))
			}
			total := 0.0
			for _, f := range forms {
				total += f
			}
			for n, f := range forms {
				left -= a.c * float64(n) * f / total
				now += a.c * float64(n*n) * f / total / 2
			}
		}
		return left, min(now, 0.5)
	}
	lo, hi := 0.0, 14.0
	for range 50 {
		pH, ionic, left := (lo+hi)/2, 0.0, 0.0
		for range 60 {
			left, ionic = charge(pH, ionic)
		}
		if left > 0 {
			lo = pH
		} else {
			hi = pH
		}
	}
	return (lo + hi) / 2
}

// waterActivity is x_w γ_w with the excess energy of ethanol and water taken apart by a
// difference quotient, the solutes by Norrish, and the two drawn together by the cross
// term of ethanol with sugar.
func waterActivity(p mixture.Parts) float64 {
	w, e := p.Water/18.015, p.Ethanol/46.068
	excess := func(w, e float64) float64 { // n G/RT
		n, d, sum := w+e, (e-w)/(e+w), 0.0
		for k, c := range []float64{1.20032, -0.30877, 0.05686, 0.05232, -0.14752} {
			sum += c * math.Pow(d, float64(k))
		}
		return w * e / n * sum
	}
	const d = 1e-5
	ln := math.Log(w/(w+e)) + (excess(w*(1+d), e)-excess(w*(1-d), e))/(2*w*d)
	acid := p.Citric + p.Malic + p.Tartaric + p.Acetic + p.Lactic + p.Sorbic + p.Benzoic + p.OtherAcid
	s, hex, gly, cit := p.Sucrose/342.297, (p.Glucose+p.Fructose)/180.156, p.Glycerol/92.094, acid/192.124
	n := w + s + hex + gly + cit
	ln += math.Log(w/n) - math.Pow((math.Sqrt(6.47)*s+1.5*hex+math.Sqrt(1.16)*gly+math.Sqrt(6.2)*cit)/n, 2)
	all := n + e
	return math.Exp(ln - 4.2*e/all*(s+hex+cit)/all)
}

// dissolved leaves out the sucrose that cannot be in solution at 25 °C: where it is as
// active as in saturated water (67.47 % by mass, Bubník and Kadlec 1995), the excess
// energy that of the three pairs, taken apart by a difference quotient.
func dissolved(p mixture.Parts) mixture.Parts {
	excess := func(w, e, s float64) float64 { return (1.785*w*e - 6.47*w*s + 0.515*e*s) / (w + e + s) }
	active := func(w, e, s float64) float64 {
		const d = 1e-5
		return math.Log(s/(w+e+s)) + (excess(w, e, s*(1+d))-excess(w, e, s*(1-d)))/(2*s*d)
	}
	w, e := p.Water/18.015, p.Ethanol/46.068
	full := active(1/18.015, 0, 0.6747/0.3253/342.297)
	lo, hi := 0.0, p.Sucrose/342.297
	if hi == 0 || active(w, e, hi) <= full && p.Sucrose < 0.6747/0.3253*(p.Water+p.Ethanol*18.015/46.068) {
		return p
	}
	for range 60 {
		if mid := (lo + hi) / 2; active(w, e, mid) < full {
			lo = mid
		} else {
			hi = mid
		}
	}
	p.Sucrose = hi * 342.297
	return p
}

// someRecipe is a random recipe: what a kitchen may put together, none of it in doubt.
func someRecipe(number uint64) mixture.Recipe {
	r := rand.New(rand.NewPCG(number, 0xb0))
	between := func(lo,
		hi float64) mixture.Quantity {
		return mixture.Quantity{Value: lo + (hi-lo)*r.Float64()}
	}
	some := func(most float64) float64 { return most * r.Float64() }
	one := mixture.Quantity{Value: 1}
	sweetSour := func() (p mixture.Parts) { // a gram of fruit or juice
		p = mixture.Parts{Sucrose: some(0.06), Glucose: some(0.06), Fructose: some(0.06),
			Glycerol: some(0.005),
			Citric:   some(0.05), OtherSolids: some(0.01)}
		switch r.IntN(4) {
		case 0:
			p.Malic, p.Tartaric = some(0.01), some(0.006)
		case 1:
			p.Acetic, p.Lactic, p.OtherAcid = some(0.01), some(0.01), some(0.003)
		case 2:
			p.BufferMMol = some(0.1)
		}
		p.StrongIonsMMol = some(0.3) * p.Citric / 0.05
		p.Water = 1 - p.MassG()
		return p
	}
	var out mixture.Recipe
	for i := range 1 + r.IntN(2) {
		b := mixture.Base{Name: "base", VolumeML: between(100, 1000), ABVPercent: between(20, 96),
			AcidFactor: one, SugarFactor: one}
		if i > 0 && r.IntN(2) == 0 {
			b.ABVPercent = between(0, 20)
			b.SugarGPerL = some(150)
			b.PerLitre = mixture.Parts{Glucose: some(30), Fructose: some(30), Glycerol: some(10),
				Malic: some(3), Tartaric: some(5),
				StrongIonsMMol: some(25)}
		}
		out.Bases = append(out.Bases, b)
	}
	for range r.IntN(4) {
		s := mixture.Solid{Name: "solid", MassG: between(2, 80), HeldMLPerG: between(0.5, 1.5),
			PressedMLPerG: between(0.1, 0.5),
			AcidFactor:    one, SugarFactor: one, WaterFactor: one, LeftIn: r.IntN(6) == 0}
		if r.IntN(2) == 0 {
			s.PerG = sweetSour()
		}
		if r.IntN(3) == 0 {
			s.InH = some(10)
		}
		if r.IntN(3) == 0 {
			s.OutH = s.InH + some(10)
		}
		out.Solids = append(out.Solids, s)
	}
	if v := some(1); r.IntN(2) == 0 {
		out.Pressed = mixture.Range{Value: v, Low: v, High: v}
	}
	add := func(g mixture.Quantity, perG mixture.Parts) {
		out.Additions = append(out.Additions, mixture.Addition{Name: "addition", MassG: g, PerG: perG,
			AcidFactor: one, SugarFactor: one})
	}
	for range r.IntN(5) {
		switch r.IntN(6) {
		case 0:
			add(between(20, 500), mixture.Parts{Water: 1})
		case 1:
			add(between(20, 300), mixture.Parts{Sucrose: 1})
		case 2:
			add(between(20, 500), mixture.Parts{Sucrose: 0.5, Water: 0.5})
		case 3:
			add(between(20, 400), sweetSour())
		case 4:
			add(between(1, 10), mixture.Parts{Citric: 1})
		case 5:
			add(between(20, 200), mixture.Parts{Ethanol: 0.35, Water: 0.65})
		}
	}
	return out
}

// make follows a recipe event by event.
func (h *handbook) make(r mixture.Recipe) (jar, bottle mixture.Parts) {
	for _, b := range r.Bases {
		litre := b.PerLitre
		litre.Sucrose += b.SugarGPerL
		jar = jar.Plus(h.pour(b.VolumeML.Value, b.ABVPercent.Value, litre))
	}
	type event struct {
		at  float64
		out bool
		s   *mixture.Solid
	}
	var events []event
	last := 0.0
	for i := range r.Solids {
		last = max(last, r.Solids[i].InH, r.Solids[i].OutH)
	}
	for i := range r.Solids {
		s := &r.Solids[i]
		end := s.OutH
		if end <= 0 {
			end = last + 1
		}
		events = append(events, event{s.InH, false, s})
		if !s.LeftIn {
			events = append(events, event{end, true, s})
		}
	}
	slices.SortStableFunc(events, func(a, b event) int { return int(math.Copysign(1, a.at-b.at)) })
	keeps := func(s *mixture.Solid) float64 {
		held, pressed := s.HeldMLPerG.Value, s.PressedMLPerG.Value
		return s.MassG.Value * (held + r.Pressed.Value*(pressed-held))
	}
	lost := 0.0
	lastIn := math.Inf(-1)
	for _, e := range events {
		if !e.out {
			lastIn = e.at
		}
	}
	for _, e := range events {
		switch {
		case !e.out:
			jar = jar.Plus(e.s.PerG.Times(e.s.MassG.Value))
			continue
		case e.at > lastIn: // with the rest
			lost += keeps(e.s)
			continue
		}
		v := h.ml(jar)
		jar = jar.Times(1 - min(keeps(e.s)/v, 1))
	}
	bottle = jar.Times(1 - min(lost/h.ml(jar), 1))
	for _, a := range r.Additions {
		bottle = bottle.Plus(a.PerG.Times(a.MassG.Value))
	}
	return jar, bottle
}

// TestMixtures holds random blends to a second formulation: volumes from the handbook's
// densities by Young's rule, the charges by halving, the activity by a difference quotient.
func TestMixtures(t *testing.T) {
	h := newHandbook(t)
	var g gaps
	refused, crystals := 0, 0
	each(blends, func(i int) {
		r := someRecipe(uint64(i))
		res, err := r.Balance()
		if err != nil { // the solids drink it all
			g.Lock()
			refused++
			g.Unlock()
			return
		}
		if h.compare(&g, i, r, &res) {
			g.Lock()
			crystals++
			g.Unlock()
		}
	})
	g.tell(t)
	t.Logf("%d refused, %d with crystals", refused, crystals)
}

// compare holds one blend to the second formulation, and says whether it has crystals.
func (h *handbook) compare(g *gaps, i int, r mixture.Recipe, res *mixture.Result) (crystals bool) {
	jar, p := h.make(r)
	v := h.ml(p)
	litres := v / 1000
	g.add("volume", "of itself", 0.002, res.VolumeML.Value/v-1, "recipe %d: %.2f, %.2f ml", i,
		res.VolumeML.Value, v)
	g.add("volume in the jar", "of itself", 0.002, res.JarVolumeML/h.ml(jar)-1, "recipe %d", i)
	abv := 100 * p.Ethanol / 0.7892391 / v
	g.add("strength", "% vol", 0.05, res.ABVPercent.Value-abv, "recipe %d: %.3f, %.3f", i,
		res.ABVPercent.Value, abv)
	sugar := (p.Sucrose + p.Glucose + p.Fructose) / litres
	g.add("sugar", "of itself", 0.002, (res.SugarGPerL.Value-sugar)/max(sugar, 1),
		"recipe %d: %.2f, %.2f g/L", i,
		res.SugarGPerL.Value, sugar)
	charges := -p.StrongIonsMMol / 1000
	for _, s := range sours {
		charges += s.g(&p) / s.mass * float64(len(s.pKa))
	}
	charges += p.OtherAcid / 90.078
	acid := max(charges/3*192.124/litres, 0)
	g.add("acid", "of itself", 0.002, (res.AcidGPerL.Value-acid)/max(acid, 0.1),
		"recipe %d: %.3f, %.3f g/L", i,
		res.AcidGPerL.Value, acid)
	if res.PHKnown {
		pH := h.pH(p, 0)
		if p.OtherAcid > 0 || p.BufferMMol > 0 {
			pH = h.pH(p, 0.5)
		}
		if pH > 1 && pH < 9 {
			g.add("pH", "", 0.005, res.PH.Value-pH, "recipe %d: %.4f, %.4f", i, res.PH.Value, pH)
		}
	}
	q := dissolved(p)
	aw := waterActivity(q)
	g.add("water activity", "", 0.001, res.WaterActivity.Value-aw, "recipe %d: %.4f, %.4f", i,
		res.WaterActivity.Value, aw)
	return q.Sucrose < p.Sucrose
}
