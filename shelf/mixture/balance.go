package mixture

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"steepbook/data/quantity"
	"steepbook/shelf/acidity"
)

// Balance follows the recipe in order and returns what is in the bottle, with
// 90 % ranges and their causes.
//
// The steep is taken as complete but where Solid.Given says less: water, sugar and
// acid that fresh solids bring are evenly spread between the liquid and the solids.
// Strained solids keep that liquor, per gram, as Solid says. The order in which additions go in
// makes no difference. Ranges come from moving every input by one standard
// deviation either way and adding the effects in quadrature, with the model's
// own errors; what was measured replaces what was computed, and brings its own
// standard deviation.
//
// It returns an *InputError for negative, non-finite or impossible values. A
// recipe without any liquid is an error too; one without spirit is not.
func (r Recipe) Balance() (Result, error) {
	r, err := r.checked()
	if err != nil {
		return Result{}, err
	}
	may := r.unsaid()
	r.settle()
	others, errs := make([]Result, len(may)), make([]error, len(may))
	var wait sync.WaitGroup
	for i := range may {
		wait.Go(func() { others[i], errs[i] = may[i].asSaid() })
	}
	r.Pressed = r.pressedAs()
	res, err := r.asSaid()
	wait.Wait()
	if say := r.mootWarning(); say != "" && err == nil && len(may) > 0 {
		res.Warnings = append([]string{say}, res.Warnings...)
	}
	for i := range others {
		if err == nil && errs[i] == nil {
			was := res.PH
			res.reach(&others[i])
			if may[i].moment {
				res.blame(was, Share{Cause: "whether it was read before the last went in",
					Cure: r.cure(Left + "measure it again")})
			}
		}
	}
	return res, err
}

// blame gives what a pH is wider than it was to one cause.
func (res *Result) blame(was Range, s Share) {
	if s.Fraction = 1 - square(ratio(was.High-was.Low, res.PH.High-res.PH.Low)); !res.PHKnown ||
		s.Fraction <= 0 {
		return
	}
	all := slices.Clone(res.Causes[Acidity])
	for i := range all {
		all[i].Fraction *= 1 - s.Fraction
	}
	all = append(all, s)
	largestFirst(all)
	res.Causes[Acidity] = all
}

// unsaid are the recipes that it may be as well, where something was measured: how far a reading is
// believed has to be asked at each end of the pressing that the volumes allow, and with each moment that it
// may be of. Without readings the ways of reckon reach both ends.
func (r Recipe) unsaid() (may []said) {
	if r.Measured == (Measured{}) {
		return nil
	}
	likely := r.clone()
	moments := []said{{Recipe: likely}}
	if likely.settle() {
		moments = append(moments, said{r.clone(), true})
	}
	for _, m := range moments {
		if m.Pressed = m.pressedAs(); m.moment {
			may = append(may, m)
		}
		if m.Pressed.Low == m.Pressed.High {
			continue
		}
		for _, end := range []float64{m.Pressed.Low, m.Pressed.High} {
			m.Pressed, m.moment = Exactly(end), false
			may = append(may, m)
		}
	}
	return may
}

// settle takes what is Moot for what it likely is, and reports whether anything is.
func (r *Recipe) settle() (any bool) {
	for i := range r.Additions {
		if a := &r.Additions[i]; a.Moot {
			a.Late, a.After, any = false, false, true
		}
	}
	return any
}

// said is a recipe that nobody said it is; moment: but for the moment of its readings it is the likely one.
type said struct {
	Recipe
	moment bool
}

// mootWarning asks for the moment of the readings where that is not known; "" where it is.
func (r *Recipe) mootWarning() string {
	var names []string
	for _, a := range r.Additions {
		if a.Moot && !slices.Contains(names, a.Name) {
			names = append(names, a.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("Whether the %s went in before the drink was measured or after is not said, so the worse of both "+
		"counts: if it was all in, move [measured] to the end of the file, else measure it again.", quantity.And(names))
}

// reach opens the ranges to those of another answer that may be the right one, and
// gives a reading no more credit than that does.
func (res *Result) reach(other *Result) {
	if res.Credited != nil || other.Credited != nil {
		credited, as := *res, other
		if res.Credited != nil {
			credited = *res.Credited
		}
		if other.Credited != nil {
			as = other.Credited
		}
		credited.widen(as)
		res.Credited = &credited
		for _, f := range other.Held {
			if !slices.Contains(res.Held, f) {
				res.Held = append(res.Held, f)
			}
		}
	}
	res.widen(other)
	res.Read = res.Read.and(other.Read)
	res.ExplainedML = min(res.ExplainedML, other.ExplainedML)
	most, as := &res.MostKept, other.MostKept
	*most = Kept{max(most.Liquor, as.Liquor), max(most.Added, as.Added),
		max(most.Late, as.Late)}
}

func (res *Result) widen(other *Result) {
	jar, as := &res.JarABVPercent, other.JarABVPercent
	jar.Low, jar.High = min(jar.Low, as.Low), max(jar.High, as.High)
	theirs := other.ranges()
	for i, to := range res.ranges() {
		switch {
		case to == nil, i == iPH && !res.PHKnown:
		case i == iPH && !other.PHKnown:
			to.High = max(to.High, acidity.Neutral)
		default:
			to.Low, to.High = min(to.Low, theirs[i].Low), max(to.High, theirs[i].High)
		}
	}
}

// asSaid is Balance of a recipe that is checked, at the likely pressing.
func (r Recipe) asSaid() (Result, error) {
	if r.Measured == (Measured{}) {
		return r.reckon(false)
	}
	v, err := r.compare()
	if err != nil {
		return Result{}, err
	}
	kept := r.keptShare(&v)
	r.Measured, r.mostRanML = v.taken, v.mostRanML
	res, err := r.reckon(v.short)
	if err != nil {
		return Result{}, err
	}
	res.Read = v.credited
	res.Warnings, res.AtOdds = append(res.Warnings, v.warnings...), v.warnings
	res.Doubted, res.Held, res.KeptShare = v.doubted, v.held, kept
	res.ExplainedML = min(res.ExplainedML, v.mostML+res.lateML)
	if v.credited != r.Measured {
		r.Measured = v.credited
		credited, err := r.reckon(v.short)
		if err != nil {
			return Result{}, err
		}
		res.Credited, res.WaterActivity = &credited, credited.WaterActivity
	}
	return res, nil
}

// Likely is the liquor in the jar at the end of the steep and the finished blend
// by the likely figures alone: those of Balance, without a word on how sure they
// are. The errors are the same.
func (r Recipe) Likely() (jar, bottle Parts, err error) {
	if r, err = r.checked(); err != nil {
		return Parts{}, Parts{}, err
	}
	r.settle()
	if r.Measured != (Measured{}) {
		r.Pressed = r.pressedAs()
		v, err := r.compare()
		if err != nil {
			return Parts{}, Parts{}, err
		}
		r.Measured, r.mostRanML = v.taken, v.mostRanML
	}
	main, err := r.course(&run{})
	return main.jar, main.parts, err
}

// checked is a copy of the recipe, if a vessel could hold it.
func (r Recipe) checked() (Recipe, error) {
	if err := r.check(); err != nil {
		return r, err
	}
	if err := r.tooStrong(); err != nil {
		return r, err
	}
	return r.clone(), nil
}

// course runs through a recipe from which something must run off.
func (r *Recipe) course(w *run) (outcome, error) {
	main, err := r.through(w)
	if err != nil {
		return outcome{}, err
	}
	if liquid := main.jarML + main.earlyML; len(r.Bases) > 0 && liquid > 0 && main.strainedML <= 0 {
		return outcome{}, refused("", "the solids can soak up %.0f~ml and there are %.0f~ml in the jar, "+
			"so nothing runs off: check the weights, or measure what you strain off and write strained = "+
			"\"200~ml\" under [measured]",
			main.soakML, liquid)
	}
	return main, nil
}

// reckon is Balance with every reading taken as it stands; short: more is missing
// from the finished blend than the recipe explains.
func (r Recipe) reckon(short bool) (Result, error) {
	r = r.clone()
	main, err := r.course(&run{told: true})
	if err != nil {
		return Result{}, err
	}
	res := Result{
		Parts: main.parts, PHKnown: main.phKnown,
		JarParts: main.jar, JarVolumeML: main.jarML, StrainedML: main.strainedML,
		MarcParts: main.marc, Kept: main.kept, MostKept: main.kept, BottleFraction: ratio(main.strainedML,
			main.figures[iVolume]),
		Open: main.open, Levels: main.levels, Rest: main.rest, Steps: main.steps, Causes: map[Property][]Share{},
		Warnings: main.warnings, Alone: !r.Mixed,
	}
	ways, err := r.ways(main, short, &res)
	if err != nil {
		return Result{}, err
	}
	late, _ := r.late()
	res.spread(main, r.doubts(main), ways, r.Measured.PH != nil && !late)
	for _, x := range []*Range{&res.ABVPercent, &res.JarABVPercent} { // its strongest part is stronger
		x.High = min(x.High, max(x.Value, r.mostABVPercent()))
	}
	for _, all := range res.Causes {
		for i := range all {
			all[i].Cure = r.cure(all[i].Cure)
		}
	}
	res.ExplainedML, res.lateML = min(res.VolumeML.Value, main.pouredML+main.lateML), main.lateML
	return res, nil
}

// ways are what may have gone another way than the likely one, which opens the
// ranges to one side. Where pressing tells, res warns that it was not said.
func (r *Recipe) ways(main outcome, short bool, res *Result) ([]way, error) {
	var ways []way
	add := func(o outcome, err error, cause, cure string) bool {
		if err == nil {
			ways = append(ways, way{o, cause, cure})
		}
		return err == nil
	}
	if short && main.shortML > 0 && r.Measured.StrainedML == nil && len(r.Additions) > 0 {
		before := *r
		left := max(main.strainedML*(1+main.shortML/main.readML)-main.shortML, 0)
		before.Measured.StrainedML = &Quantity{Value: left}
		o, err := before.follow(0)
		add(o, err, "whether it was lost before anything was added", Alone+"measure what you strain off")
	}
	if share, may := r.untold(main.shortML); short && may {
		if o, err := r.lacking(main, share); add(o, err, "what went in, for not all of it was logged",
			"log what went in") {
			res.MayLack = true
			res.MostKept = Kept{max(main.kept.Liquor, o.kept.Liquor), max(main.kept.Added, o.kept.Added),
				main.kept.Late}
		}
	}
	for _, p := range main.were {
		add(r.holding(main, p), nil, restCause, "give what it joined a batch of its own")
		res.MostKept.Late = max(res.MostKept.Late, ratio(main.figures[iVolume], p.VolumeML(20)))
	}
	tells := false
	for _, end := range []float64{r.Pressed.Low, r.Pressed.High} {
		if end == r.Pressed.Value {
			continue
		}
		o, err := r.course(&run{harder: end - r.Pressed.Value})
		if add(o, err, "whether the solids are pressed", "write press = true or press = false") {
			tells = tells || math.Abs(o.figures[iABV]-main.figures[iABV]) >= tellingABV ||
				math.Abs(o.figures[iVolume]/main.figures[iVolume]-1) >= tellingVolume
		}
	}
	if tells {
		res.Warnings = append(res.Warnings, "Whether the solids are pressed is not said, so the ranges "+
			"reach from drained to pressed: write press = true or press = false under [finish].")
	}
	if r.CurdsML != (Range{}) && r.Measured.VolumeML == nil {
		for _, end := range []float64{r.CurdsML.Low, r.CurdsML.High} {
			o, err := r.course(&run{curdsML: end - r.CurdsML.Value})
			add(o, err, "how much of it its own curds keep", Open+"measure the volume once it is filtered")
		}
	}
	if slices.ContainsFunc(r.Solids, func(s Solid) bool { return !s.LeftIn && s.Given.High > s.Given.Low }) {
		for _, end := range []float64{-1, 1} {
			o, err := r.course(&run{given: end})
			add(o, err, "how much of their water fresh plants gave in that time", Alone+"measure what you strain off, and its strength")
		}
	}
	if r.Unweighed != (Parts{}) || r.UnweighedHoldML > 0 {
		for _, w := range []run{{wet: true}, {wet: true, rich: true}} {
			o, err := r.through(&w)
			if !add(o, err, "how much went in of what has no known weight", Out+"weigh it") {
				return nil, err
			}
		}
	}
	if r.Alive {
		o, err := r.course(&run{fermented: true})
		add(o, err, "how much of the sugar has fermented", Left+"measure the sugar that is left")
	}
	for _, o := range r.others() {
		name, is := o.name, *o.per
		for _, may := range o.may {
			*o.per = may
			got, err := r.course(&run{})
			add(got, err, "what the "+name+" holds", "describe it in library.toml")
		}
		*o.per = is
	}
	return ways, nil
}

// holding is an outcome in which it holds what a vessel did.
func (r *Recipe) holding(main outcome, p Parts) outcome {
	o := run{outcome: main}
	o.parts = p
	o.fillFigures(r)
	if r.Only == nil { // how much was made of it is the same
		o.figures[iVolume] = main.figures[iVolume]
	}
	return o.outcome
}

// other is what may be another thing than it is taken for.
type other struct {
	name string
	per  *Parts
	may  []Parts
}

// others are those of a recipe.
func (r *Recipe) others() (list []other) {
	for i := range r.Bases {
		list = append(list, other{r.Bases[i].Name, &r.Bases[i].PerLitre, r.Bases[i].May})
	}
	for i := range r.Solids {
		list = append(list, other{r.Solids[i].Name, &r.Solids[i].PerG, r.Solids[i].May})
	}
	for i := range r.Additions {
		list = append(list, other{r.Additions[i].Name, &r.Additions[i].PerG, r.Additions[i].May})
	}
	return list
}

// mostUntold is the share of what nobody logged that may be in where it is asked whether it is:
// else too little of it is missing to tell. Judgement.
const mostUntold = 0.25

// untold is the share of what is Untold that went in if so much is missing because the rest did
// not; may: that is likely enough to be judged by.
func (r *Recipe) untold(missingML float64) (share float64, may bool) {
	ml := 0.0
	for _, a := range r.Additions {
		if a.Untold {
			ml += a.perG().Times(a.MassG.Value).VolumeML(20)
		}
	}
	share = max(1-ratio(missingML, ml), 0)
	return share, ml > 0 && share <= mostUntold
}

// lacking is the recipe with that share of what is Untold; what is sour by that alone is then not
// known to be so.
func (r *Recipe) lacking(main outcome, share float64) (outcome, error) {
	q := r.clone()
	for i := range q.Additions {
		if a := &q.Additions[i]; a.Untold {
			a.MassG.Value *= share
		}
	}
	o, err := q.follow(0)
	if main.phKnown && !o.phKnown {
		o.phKnown = true
		for _, i := range []int{iPHLow, iPH, iPHHigh} {
			o.figures[i] = acidity.Neutral
		}
	}
	return o, err
}

// What pressing must change to be asked about: the strength by half of what a
// label may be off (Regulation (EU) No 1169/2011, Annex XII), or a fiftieth of the
// volume, about what a marked jug shows.
const tellingABV, tellingVolume = 0.15, 0.02
