package mixture

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
)

// The figures in the order they are kept in while computing.
const (
	iVolume = iota
	iABV
	iSugar
	iAcid
	iSolids
	iPH
	iActivity
	iDensity
	iLoss
	iPHLow // the pH with nothing, and with everything that may blunt the acid
	iPHHigh
	figureCount
)

var properties = [figureCount]Property{
	iVolume: Volume, iABV: ABV, iSugar: Sugar, iAcid: Acid, iSolids: Solids,
	iPH: Acidity, iActivity: WaterActivity, iDensity: Density, iLoss: Loss,
}

// ranges are the figures of a result in that order; nil for those it does not show.
func (res *Result) ranges() [figureCount]*Range {
	return [figureCount]*Range{
		iVolume: &res.VolumeML, iABV: &res.ABVPercent, iSugar: &res.SugarGPerL, iAcid: &res.AcidGPerL,
		iSolids: &res.Brix, iPH: &res.PH, iActivity: &res.WaterActivity, iDensity: &res.DensityKgPerM3,
		iLoss: &res.LossML,
	}
}

// outcome is one run through a recipe.
type outcome struct {
	rest              Rest
	parts, jar, marc  Parts
	open              []Poured // see Result
	were              []Parts  // all that any of those ever held
	levels            map[int]Level
	fills             map[int][]Parts // what was left over after each pour into that, from 1
	jarML, strainedML float64
	pouredML, lateML  float64 // all that there was before any was lost, and what went in after all readings
	earlyML, soakML   float64 // kept by solids that came out before the end, and what the strained could keep
	// of the finished blend, by a measured volume, after what solids may have kept; and that volume
	shortML, readML float64
	kept            Kept
	figures         [figureCount]float64
	phKnown         bool
	steps           []Step
	warnings        []string
}

// run is the state while a recipe is followed.
type run struct {
	outcome
	sugarShift float64 // see volumeML
	told       bool    // the steps are wanted
	wet, rich  bool    // what nobody weighed gives all its water, and its sugar and acid too
	fermented  bool    // what is alive in it has made alcohol of its sugar
	harder     float64 // pressed by so much more than is likely
	curdsML    float64 // curds keep so much more than is likely
	given      float64 // -1: solids gave the least they may have given, 1: the most
	early      Parts   // that liquor
	out        []bool  // which solids those are, by their place in the recipe
	read       bool    // the strained volume
	asRead     bool    // all that is measured of the blend but its volume
}

func (w *run) volume(p Parts) float64 { return p.volumeML(20, w.sugarShift) }

func (w *run) step(name string, what func() string, p Parts) {
	if !w.told {
		return
	}
	v := w.volume(p)
	w.steps = append(w.steps, Step{
		Name: name, What: what(), VolumeML: v,
		ABVPercent: p.abvPercent(w.sugarShift), SugarGPerL: 1000 * ratio(p.SugarG(), v),
	})
}

func (w *outcome) warn(format string, args ...any) {
	w.warnings = append(w.warnings, fmt.Sprintf(format, args...))
}

// follow runs through the recipe once, with the room of sugar shifted, and
// tells no steps.
func (r *Recipe) follow(sugarShift float64) (outcome, error) {
	return r.course(&run{sugarShift: sugarShift})
}

func (r *Recipe) through(w *run) (outcome, error) {
	w.kept = Kept{1, 1, 1}
	if err := w.steep(r); err != nil {
		return outcome{}, err
	}
	w.parts = w.strain(r)
	between := slices.ContainsFunc(r.Additions, func(a Addition) bool { return a.After && !a.Late })
	if between {
		before := w.add(r, func(a *Addition) bool { return !a.After && !a.Late })
		w.pouredML = w.volume(before)
		if err := w.readings(r); err != nil {
			return outcome{}, err
		}
	}
	w.blend(r, func(a *Addition) bool { return !a.Late && (a.After || !between) })
	if err := w.readings(r); err != nil {
		return outcome{}, err
	}
	w.join(r)
	w.fillFigures(r)
	return w.outcome, nil
}

// steep pours the bases together and lets the solids give up what they bring.
func (w *run) steep(r *Recipe) error {
	var jar Parts
	for _, b := range r.Bases {
		extract := vary(b.PerLitre, b.AcidFactor.Value, b.SugarFactor.Value)
		extract.Ethanol, extract.Water = 0, 0
		extract.Sucrose += b.SugarGPerL
		v := max(b.VolumeML.Value, 0)
		p, ok := fill(v, clamp(b.ABVPercent.Value, 0, 100), extract.Times(v/1000), w.sugarShift)
		if !ok {
			return noRoom(b.Name, b.ABVPercent.Value, extract)
		}
		p = p.shifted(b.PHShift.Value)
		jar = jar.Plus(p)
		what := func() string {
			return fmt.Sprintf("%s~ml at %s %% vol", quantity.FormatNumber(v),
				quantity.FormatNumber(b.ABVPercent.Value))
		}
		w.step(b.Name, what, jar)
	}
	w.out = make([]bool, len(r.Solids))
	early := r.early()
	for _, i := range r.order() {
		s := &r.Solids[i]
		jar = w.pull(r, jar, early, s.InH)
		if r.Measured.before(s) { // which goes into what was measured
			all := jar.Plus(w.early)
			jar = w.strainedRead(r, jar, all)
			w.early, w.earlyML = all.plus(-min(ratio(w.volume(jar), w.volume(all)), 1),
				all), max(w.volume(all)-w.volume(jar), 0)
		}
		if s.After {
			w.parts = jar
			if err := w.readings(r); err != nil {
				return err
			}
			jar = w.parts
		}
		g := max(s.MassG.Value, 0)
		brought := vary(s.PerG, s.AcidFactor.Value, s.SugarFactor.Value).Times(g * w.gives(s))
		brought.Water *= max(s.WaterFactor.Value, 0)
		jar = jar.Plus(brought)
		w.step(s.Name, func() string { return steeped(g, brought) }, jar)
	}
	if w.wet {
		more := Parts{Water: r.Unweighed.Water, BufferMMol: r.Unweighed.BufferMMol}
		if w.rich {
			more = r.Unweighed
		}
		jar = jar.Plus(more)
	}
	w.jar, w.jarML = jar, w.volume(jar)
	return nil
}

// steeped says what a solid gave up.
func steeped(g float64, brought Parts) string {
	what := quantity.FormatNumber(g) + "~g steeped"
	if m := brought.MassG(); m > 0 {
		what += "; gives up " + grams(brought.Water) + " of water"
		if s := brought.SugarG(); s >= 0.5 {
			what += " and " + grams(s) + " of sugar"
		}
	}
	return what
}

// grams prints a mass to three figures, from 100 g on to the gram.
func grams(g float64) string {
	if g >= 100 {
		return quantity.FormatNumber(math.Round(g)) + "~g"
	}
	return quantity.InFigures(g, 3) + "~g"
}

// Keeps is the liquor a gram keeps, mL, pressed to that share.
func (s *Solid) Keeps(pressed float64) float64 {
	return max(s.HeldMLPerG.Value+pressed*(s.PressedMLPerG.Value-s.HeldMLPerG.Value), 0)
}

// gives is the share of what it holds that a solid gave.
func (w *run) gives(s *Solid) float64 {
	switch {
	case s.LeftIn || s.Given == Range{}:
		return 1
	case w.given < 0:
		return s.Given.Low
	case w.given > 0:
		return s.Given.High
	}
	return s.Given.Value
}

// holds is the liquor a gram keeps, mL, beside the water of its own that it never gave.
func (w *run) holds(s *Solid, pressed float64) float64 {
	own := (1 - w.gives(s)) * s.PerG.Water * max(s.WaterFactor.Value, 0)
	return max(s.Keeps(pressed+w.harder)-own, 0)
}

// order lists the solids by when they go in, those of one moment as written.
func (r *Recipe) order() []int {
	is := make([]int, len(r.Solids))
	for i := range is {
		is[i] = i
	}
	slices.SortStableFunc(is, func(a, b int) int { return cmp.Compare(r.Solids[a].InH, r.Solids[b].InH) })
	return is
}

// early lists the solids that come out before the end.
func (r *Recipe) early() (is []int) {
	for i := range r.Solids {
		if s := &r.Solids[i]; !s.LeftIn && s.OutH > 0 {
			is = append(is, i)
		}
	}
	return is
}

// pull takes out what of those comes out before the hour named, with the liquor it
// keeps, and returns the rest of the jar.
func (w *run) pull(r *Recipe, jar Parts, of []int, before float64) Parts {
	for _, i := range of {
		s := &r.Solids[i]
		if w.out[i] || s.OutH > before || s.InH >= before {
			continue
		}
		w.out[i] = true
		v := w.volume(jar)
		held := min(max(s.MassG.Value, 0)*w.holds(s, r.Pressed.Value), v)
		w.early = w.early.Plus(jar.Times(ratio(held, v)))
		w.earlyML += held
		jar = jar.Times(1 - ratio(held, v))
		w.step(s.Name, func() string { return fmt.Sprintf("pulled; it keeps %.0f~ml", held) }, jar)
	}
	return jar
}

// strain takes off what solids keep, and returns what runs through.
func (w *run) strain(r *Recipe) Parts {
	held, strains := 0.0, false
	for i := range r.Solids {
		s := &r.Solids[i]
		if s.LeftIn || w.out[i] {
			continue
		}
		strains = true
		held += max(s.MassG.Value, 0) * w.holds(s, r.Pressed.Value)
	}
	if w.wet {
		held += r.UnweighedHoldML
	}
	w.soakML, held = held+w.earlyML, min(held, w.jarML)
	w.marc = w.early.Plus(w.jar.Times(ratio(held, w.jarML)))
	rest := w.jar.Times(1 - ratio(held, w.jarML))
	if strains {
		how := "dripped off or pressed"
		switch r.Pressed {
		case Dripped:
			how = "dripped off"
		case Pressed:
			how = "pressed"
		}
		what := func() string { return fmt.Sprintf("%s; the solids keep %.0f~ml", how, held) }
		w.step("strained", what, rest)
	}
	rest = w.strainedRead(r, rest, w.jar)
	w.strainedML = w.volume(rest)
	return rest
}

// lossSD is the standard deviation of what strained solids keep, mL.
func (w *run) lossSD(r *Recipe) (sd float64) {
	sds := map[string]float64{} // of one thing one error
	for i := range r.Solids {
		s := &r.Solids[i]
		if s.LeftIn || w.out[i] {
			continue
		}
		g, v := max(s.MassG.Value, 0), w.holds(s, r.Pressed.Value)
		way := s.Keeps(r.Pressed.Low) - s.Keeps(r.Pressed.High)
		perG := (1-r.Pressed.Value)*s.HeldMLPerG.SD + r.Pressed.Value*s.PressedMLPerG.SD
		sds[thing(s.Of, s.Name)] += math.Sqrt(square(g*perG) + square(s.MassG.SD*v) + square(g*way/2/z90))
	}
	for _, of := range slices.Sorted(maps.Keys(sds)) {
		sd = math.Hypot(sd, sds[of])
	}
	return sd
}

// blend puts in those of what went in before the volume was read of it, and lets that say how much it came to.
func (w *run) blend(r *Recipe, those func(*Addition) bool) {
	strained := w.parts
	added := w.add(r, func(a *Addition) bool { return those(a) && !a.Clear })
	w.figures[iLoss] = max(w.jarML-w.strainedML, 0) + w.earlyML
	if keep := min(r.CurdsML.Value+w.curdsML, w.volume(w.parts)); keep > 0 &&
		r.Measured.VolumeML == nil {
		w.loses(keep, Parts{})
		w.step("filtered", func() string {
			return fmt.Sprintf("through its own curds, which keep %.0f~ml",
				keep)
		}, w.parts)
	}
	clear := w.add(r, func(a *Addition) bool { return those(a) && a.Clear })
	w.pouredML += w.jarML + w.earlyML + w.volume(added.Plus(clear))
	if m := r.Measured.VolumeML; m != nil {
		w.yieldRead(r, strained, added, clear, max(m.Value, 0))
	}
}

// loses takes so much of the blend away, as strong as the rest of what is not clear.
func (w *run) loses(ml float64, clear Parts) {
	was := w.parts.plus(-1, clear)
	left := max(1-ratio(ml, w.volume(w.parts)-w.volume(clear)), 0)
	w.parts = was.Times(left).Plus(clear)
	w.strainedML *= left
	w.kept.Liquor, w.kept.Added = w.kept.Liquor*left, left
	w.figures[iLoss] += ml
}

// add puts in those of the additions, and returns what they bring.
func (w *run) add(r *Recipe, those func(*Addition) bool) (added Parts) {
	for i := range r.Additions {
		a := &r.Additions[i]
		if !those(a) {
			continue
		}
		g := max(a.MassG.Value, 0)
		in := a.perG().Times(g)
		added, w.parts = added.Plus(in), w.parts.Plus(in)
		w.step(a.Name, func() string { return quantity.FormatNumber(g) + "~g added" }, w.parts)
	}
	return added
}

// thinned is p with so much water that it comes to v mL.
func (w *run) thinned(p Parts, v float64) Parts {
	thin := func(water float64) float64 {
		p.Water = water
		return w.volume(p) - v
	}
	p.Water = crossing(p.Water, p.Water+2*v, thin)
	return p
}

func (w *run) fillFigures(r *Recipe) {
	p := w.parts
	if w.fermented {
		p = p.fermented()
	}
	v := w.volume(p)
	f := &w.figures
	f[iVolume] = v
	f[iABV] = p.abvPercent(w.sugarShift)
	f[iSugar] = 1000 * ratio(p.SugarG(), v)
	f[iAcid] = 1000 * ratio(p.titratableG(), v)
	f[iSolids] = p.Brix()
	f[iActivity], _, _ = p.WaterActivity()
	f[iDensity] = 1000 * ratio(p.MassG(), v)
	f[iPHLow], f[iPH], f[iPHHigh], w.phKnown = p.PHRange()
	late, sour := r.late()
	if m := r.Measured.PH; m != nil && !late {
		f[iPHLow], f[iPH], f[iPHHigh], w.phKnown = m.Value, m.Value, m.Value, true
	} else if m != nil && !sour { // what brings no acid makes nothing more sour, whatever weaker
		// spirit does to an acid
		f[iPH], f[iPHHigh] = max(f[iPH], m.Value), max(f[iPHHigh], m.Value)
	} else if names := r.maybeSour(); !w.phKnown && len(names) > 0 {
		w.warn("No pH is given: how sour %s may be is not known. A pH meter settles it.", quantity.And(names))
	}
}

// maybeSour lists what brings acid that may not be there.
func (r *Recipe) maybeSour() (names []string) {
	put := func(name string, p Parts, amount Quantity) {
		if p.OtherAcid > 0 && amount.Value > 0 {
			names = append(names, name)
		}
	}
	for _, b := range r.Bases {
		put(b.Name, b.PerLitre, b.VolumeML)
	}
	for _, s := range r.Solids {
		put(s.Name, s.PerG, s.MassG)
	}
	for _, a := range r.Additions {
		put(a.Name, a.PerG, a.MassG)
	}
	return names
}

// perG is the addition's composition with its factors and shifts worked in.
func (a Addition) perG() Parts {
	return vary(a.PerG, a.AcidFactor.Value, a.SugarFactor.Value).shifted(a.PHShift.Value)
}

// shifted is p with its own pH moved by changing its strong ions.
func (p Parts) shifted(by float64) Parts {
	if by == 0 {
		return p
	}
	if pH, ok := p.PH(); ok {
		if q, err := WithPH(p, clamp(pH+by, 1.5, 8)); err == nil {
			return q
		}
	}
	return p
}

// strength moves the ethanol of a gram by the change of strength from one
// value to another, water making room.
func strength(p Parts, from, to float64) Parts {
	if was := alcohol.MassFraction(from); was > 0 {
		e := p.Ethanol * alcohol.MassFraction(to) / was
		p.Water = max(p.Water-(e-p.Ethanol), 0)
		p.Ethanol = e
	}
	return p
}

// vary multiplies acids (with their strong ions) and sugars; water makes room,
// so that the mass of a gram stays a gram.
func vary(p Parts, acid, sugar float64) Parts {
	if acid == 1 && sugar == 1 { // of all but the one input that is moved
		return p
	}
	acid, sugar = max(acid, 0), max(sugar, 0)
	q := p.acidTimes(acid)
	q.StrongIonsMMol = acid * p.StrongIonsMMol
	q.Sucrose, q.Glucose, q.Fructose = sugar*p.Sucrose, sugar*p.Glucose, sugar*p.Fructose
	q.Water = max(p.Water-(q.AcidG()-p.AcidG())-(q.SugarG()-p.SugarG()), 0)
	return q
}

func square(x float64) float64 { return x * x }
