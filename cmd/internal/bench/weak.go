package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/harm"
	"steepbook/shelf/mixture"
)

// jarIsWeak reports whether the jar itself, by its strength, holds nothing back: at the
// worst, by the doubt about the bottle, or because fat lies in it by no plan to take it off.
func (a *Assessment) jarIsWeak() bool {
	return a.Recipe.FatStays() || a.Blend.Result.JarVolumeML <= 0 ||
		worstJarABV(&a.Blend) < shelf.HoldsABVPercent
}

// worstJarABV is the strength [% vol] of a jar that is counted on.
func worstJarABV(b *recipe.Blend) float64 {
	r := &b.Result
	if r.Credited != nil {
		r = r.Credited
	}
	jar := shelf.Bottle{ABVPercent: r.JarABVPercent}
	if weakest := b.WeakestJar; weakest.Value > 0 {
		jar.OrWeaker(weakest)
	}
	return jar.WorstABVPercent()
}

// JarHolds reports whether the jar, by its strength alone, keeps what makes people ill from
// growing.
func (a *Assessment) JarHolds() bool { return !a.jarIsWeak() }

// GrowsFromStart reports whether the days of its keeping run in the jar, from its start or when it became so weak:
// nothing in it holds back what makes people ill, nor did anything in the jar.
func (a *Assessment) GrowsFromStart() bool {
	if !a.jarIsWeak() || a.spent().weak.IsZero() {
		return false
	}
	a.Judge()
	return a.Keep.Verdict.Fails
}

// FromStart says why the days of its keeping run from the start of the jar; empty where they
// do not, or where it has no days.
func (a *Assessment) FromStart() string {
	if why := a.spent().perishes; why != "" && !a.jarIsWeak() {
		a.Judge()
		return map[bool]string{false: why}[a.Keep.Withheld()]
	}
	if !a.GrowsFromStart() || a.Keep.Withheld() || len(a.Batch.Botanicals) == 0 { // mixed at once
		return ""
	}
	if a.Recipe.FatStays() {
		return "fat stays in the jar, and neither alcohol nor acid reaches what lies in it, so its days run from its start"
	}
	return holdsNothing(worstJarABV(&a.Blend), a.Batch.Hours(a.spent().weak))
}

// holdsNothing says of a jar, by the strength [% vol] that is counted on and the hour from which it has that, from
// when its days run.
func holdsNothing(worst, from float64) string {
	return fmt.Sprintf("the jar, at worst %.1f %% vol, not %g, holds nothing back, so its days run from %s",
		math.Floor(worst*10)/10, shelf.HoldsABVPercent, map[bool]string{true: "its start", false: "when it became so weak"}[from <= 0])
}

// StrongerJar is what to add to a jar whose days run from its start, so that they do not;
// empty where it is no such jar any more, or nothing does.
func (a *Assessment) StrongerJar() string {
	if _, out := a.Strained(); out || !a.GrowsFromStart() {
		return ""
	}
	add := a.toHold(a.Blend.Result.JarParts)
	if add == "" {
		return ""
	}
	return add + " to the jar at its start, and its days run from when it is strained or the rest goes in"
}

// toHold is what to add to a jar so that it holds back what grows, in measures as rough as that is known; empty
// where nothing does, or it would take more than there is of the jar, which makes another drink of it (judgement).
func (a *Assessment) toHold(jar mixture.Parts) string {
	want := shelf.HoldsABVPercent + 2
	if stock, ok := a.strongest(a.Recipe); ok && !a.Blend.Bottle.Oil {
		if p, err := mixture.Solve(jar, []mixture.Stock{stock},
			mixture.Goal{ABVPercent: &want}); err == nil && p.Reached && len(p.Add) == 1 &&
			p.Add[0].VolumeML <= jar.VolumeML(20) {
			ml := p.Add[0].VolumeML
			step := max(5, math.Pow10(int(math.Log10(max(ml, 1)))-1))
			return fmt.Sprintf("add %.0f~ml of %s (for %g %% vol)", step*math.Ceil(ml/step), stock.Name, want)
		}
	}
	return ""
}

// JarEnd is the last hour since its start to which a jar that steeps may stand, why, and whose limit that is,
// none where it is that of the jar; H is 0 where nothing ends it.
type JarEnd struct {
	H   float64
	Why string
	Of  []string
}

// thrown is what comes of a jar that stands for longer than it may.
const thrown = "; after that throw it away"

// JarLate reports whether the jar has stood for longer than it may.
func (a *Assessment) JarLate() bool { h := a.JarEnd().H; return h > 0 && h <= a.ElapsedH }

// JarEnd is the first hour at which what grows in the jar has had its time, or something in it
// has lain for as long as it may; somebody is up then, and it can be told by the clock.
func (a *Assessment) JarEnd() (end JarEnd) {
	if _, out := a.Strained(); out || a.Batch.BottledAt() != nil {
		return end
	}
	sooner := func(h float64, why string, of ...string) {
		if h > 0 && (end.H == 0 || h < end.H) {
			end = JarEnd{h, why, of}
		}
	}
	if why := a.FromStart(); why != "" {
		if _, safe := a.KeptIf(false, a.Batch.Started, time.Time{}, time.Time{}); !safe.IsZero() {
			sooner(safe.Sub(a.Batch.Started).Hours(), why+thrown)
		}
	}
	if weak := a.weakSteep(); weak != nil && !math.IsInf(weak.lastH, 1) {
		sooner(weak.lastH, quantity.And(weak.names)+
			" must not lie for longer in a jar that holds nothing back"+thrown, weak.names...)
	}
	if s := a.spent(); !s.gone.IsZero() {
		sooner(a.Batch.Hours(s.gone), s.why+thrown)
	}
	a.lying(func(x *recipe.Lies, lastH float64) {
		if !x.Out && !x.Stays {
			sooner(lastH, quantity.About(x.Name, strings.TrimSuffix(x.Do, "."))+x.Counted(), x.Name)
		}
	})
	if before, _ := a.awake(end.H); end.H > 0 && before > a.ElapsedH {
		end.H = before
	}
	if told := a.Batch.Hours(a.Batch.At(end.H).Truncate(clockMark)); told > 0 {
		end.H = told
	}
	return end
}

// clockMark is how finely the last hour of a jar is told: at a mark of the clock that lies within it, so
// that no answer that rounds an hour names a later one.
const clockMark = 5 * time.Minute

// lying are those that may lie in it for some days alone, and to which hour: the end of the last of these days,
// of which that on which it went in is the first, as if it had gone in sooner by the hours before that count.
// Where these are all, it is the day on which it goes in.
func (a *Assessment) lying(each func(x *recipe.Lies, lastH float64)) {
	for _, x := range a.Recipe.Lying(a.Batch, a.ElapsedH) {
		if x.SteepDays.Known() {
			last := a.Batch.At(x.InH-x.BeforeH).AddDate(0, 0, int(x.SteepDays.Value)-1)
			each(&x, a.Batch.Hours(keeping.Evening(a.Batch.At(max(a.Batch.Hours(last), x.InH)))))
		}
	}
}

// lain says in the caution of a hazard for how long what has it lay in, what lay there longest, where that was
// too long: nothing that is done to the drink later undoes it.
func (a *Assessment) lain(c *harm.Caution) {
	text, most := c.Text, 0.0
	a.lying(func(x *recipe.Lies, lastH float64) {
		limit := x.SteepDays.Value
		days := max(math.Floor((x.BeforeH+x.ToH-x.InH)/24), limit+1) // a day begun past the last is one more
		if x.ToH <= lastH || c.Of != x.Key || days <= most {
			return
		}
		most, c.LainFor, c.Lain = days, x.Substance, fmt.Sprintf("%s: in for %.0f days%s, and the limit is %g, for %s",
			quantity.Capital(x.Name), days, x.Counted(), limit, x.Substance)
		c.Do, c.Text, c.Share = c.Lain+harm.MeasureIt, c.Lain+". "+text, days/limit
	})
}

// weakSteep is how egg, milk, nuts or fresh low-acid plants lie in a jar that holds
// nothing back until what makes it strong or sour enough goes in, or it is strained: every
// state of the jar is judged as a bottle is, at the worst end of every figure, and the
// hours of those that fail add up, whatever comes later. nil where they never last too long.
func (a *Assessment) weakSteep() *weakJar {
	if a.weak == nil {
		w := a.walkJar()
		a.weak = &w
	}
	if math.IsInf(a.weak.lastH, 1) && a.weak.h == 0 {
		return nil
	}
	return a.weak
}

// weakJar is a jar that holds nothing back of what makes people ill: what lies in it, since
// how long [h], how long it may [h], and to which hour; the liquor, or why that is not known.
type weakJar struct {
	names           []string
	h, mostH, lastH float64
	parts           mixture.Parts
	lacks           string
	over            bool
}

// tooLong reports whether its time is up.
func (w *weakJar) tooLong() bool { return w != nil && w.h > w.mostH }

// walkJar is weakSteep, from one thing that goes in to the next.
func (a *Assessment) walkJar() weakJar {
	w := weakJar{lastH: math.Inf(1), mostH: shelf.WeakSteepH}
	if c := a.Batch.RoomC; c != nil {
		w.mostH = shelf.WeakSteepMostH(*c)
	}
	strained, end := math.Inf(1), a.ElapsedH
	if out, ok := a.Strained(); ok && (len(a.Batch.Botanicals) > 0 || a.Batch.StrainedAt() != nil) {
		strained, w.over = out, true
	} else if b := a.Batch.BottledAt(); b != nil {
		end = math.Min(end, b.Hours)
	}
	if len(a.Recipe.Botanicals) == 0 && !a.steepsAdded() && a.Blend.Have() {
		return w // mixed at once
	}
	at := a.joinedAt(strained)
	lain := 0.0 // by all that is planned; w.h is by now
	for i, t := range at {
		next := strained // then it is a bottle, and its days are told
		if i+1 < len(at) {
			next = at[i+1]
		}
		names, parts, lacks := a.unheld(a.inBy(t, strained), t)
		if len(names) == 0 {
			continue
		}
		if left := w.mostH - lain; next-t > left && math.IsInf(w.lastH, 1) {
			w.lastH = t + left
		}
		lain += next - t
		w.h += math.Max(math.Min(next, end)-t, 0)
		if len(w.names) == 0 || lacks == "" { // what is known to fail is told of
			w.names, w.parts, w.lacks = names, parts, lacks
		}
	}
	return w
}

// wentInH is when an addition goes in, in hours: never, by the log, where it is still to come, and with what the
// rest lies in where there is no base.
func (a *Assessment) wentInH(x *recipe.Addition, strained float64) float64 {
	switch e := &x.Entry; {
	case e.In != nil:
		return *e.In
	case len(a.Recipe.Bases) == 0:
		return 0
	case e.Logged:
		return a.Batch.Hours(a.Batch.WentIn(e))
	case a.unfinished() && !e.Logged && e.Amount != nil:
		return math.Inf(1)
	default:
		return math.Max(a.Batch.Hours(a.Batch.WentIn(e)), strained)
	}
}

// joinedAt are the hours at which something goes into the jar before it is strained, in their order, its start
// the first.
func (a *Assessment) joinedAt(strained float64) []float64 {
	at := []float64{0}
	for i := range a.Recipe.Botanicals {
		at = append(at, a.Recipe.Botanicals[i].Entry.In)
	}
	for i := range a.Recipe.Additions {
		at = append(at, a.wentInH(&a.Recipe.Additions[i], strained))
	}
	at = append(at, a.changedAt(0)...)
	slices.Sort(at)
	return slices.DeleteFunc(slices.Compact(at),
		func(t float64) bool { return t >= strained || math.IsInf(t, 1) })
}

// inBy is the recipe of what is in by an hour.
func (a *Assessment) inBy(t, strained float64) *recipe.Lines {
	return a.Recipe.Some(func(h *recipe.Botanical) bool { return h.Entry.In <= t },
		func(x *recipe.Addition) bool { return a.wentInH(x, strained) <= t })
}

// unheld names what lies in a jar of these lines that holds nothing back, none where it
// does; what cannot be reckoned holds nothing, and lacks says why.
func (a *Assessment) unheld(q *recipe.Lines, hours float64) (names []string, parts mixture.Parts, lacks string) {
	jar := recipe.Facts(a.Batch, q)
	if len(jar.FreshLowAcid) == 0 && !jar.Dairy && !jar.Egg && !jar.NutMilk {
		return nil, parts, ""
	}
	blend, err := a.blendOf(q, hours)
	if err != nil {
		blend.Missing = append(blend.Missing, err.Error())
	}
	if blend.Have() {
		jar, parts = blend.Bottle, blend.Result.Parts
	} else {
		lacks = blend.Missing[0]
	}
	jar = steepingJar(jar)
	jar.Oil = jar.Oil || q.FatStays()
	room := shelf.Storage{Place: shelf.Room}
	if !shelf.Judge(jar, room).Fails {
		return nil, parts, ""
	}
	if likely := jar; jar.PHKnown && lacks == "" { // by its likely pH it may hold
		likely.PH = mixture.Exactly(jar.PH.Value)
		if !shelf.Judge(likely, room).Fails {
			where := "ph = 3.4 under [measured]"
			if len(q.Bases) > 0 && len(q.Additions) < len(a.Recipe.Additions) { // [measured] speaks of the finished drink
				bare, _ := quantity.StrengthIn(q.Bases[0].Entry.Name)
				where = fmt.Sprintf("into library.toml a [[spirit]] with name = %q and that ph", bare)
			}
			lacks = fmt.Sprintf("its pH may be up to %.1f; measure it, and if it is 4.0 or less write %s", jar.PH.High, where)
		}
	}
	return slices.Concat(jar.FreshLowAcid, coldAlone(q)), parts, lacks
}

// WeakStart says what to do, within the hours that are left, where something lies in a
// jar that is neither strong nor sour enough for it; empty where nothing does.
func (a *Assessment) WeakStart() string {
	weak := a.weakSteep()
	if weak == nil || weak.over || weak.tooLong() || math.IsInf(weak.lastH, 1) || a.Batch.BottledAt() != nil {
		return ""
	}
	most := weak.mostH
	if end := a.JarEnd(); !slices.Equal(end.Of, weak.names) { // which ends it sooner
		most -= math.Ceil(max(weak.lastH-end.H-clockMark.Hours(), 0))
	}
	text := fmt.Sprintf("%s must not lie for more than %g hours in this jar, ", quantity.Capital(quantity.And(weak.names)), most)
	switch {
	case weak.lacks == "":
		text += fmt.Sprintf("which at %.0f %% vol is neither strong nor sour enough for that: ", weak.parts.ABVPercent())
	case weak.parts.VolumeML(20) > 0:
		text += "for whether it is sour enough cannot be said: " + weak.lacks + ", or "
	default:
		return text + "for whether it is strong or sour enough cannot be said: " + weak.lacks
	}
	if add := a.toHold(weak.parts); add != "" {
		text += add + ", or "
	}
	if weak.mostH > shelf.WeakSteepH {
		return text + "strain it by then"
	}
	return text + "let it steep in the fridge at 4~°C and write room = \"4~C\""
}

// JarDangers say what of a jar, until it is bottled, can hurt: what is to be made safe first, that it is to
// be strained now, its vapour, and what may not lie in it for long.
func (a *Assessment) JarDangers() (said []string) {
	if a.slim != nil {
		return a.slim.dangers
	}
	if !a.Keep.BottledAt.IsZero() {
		return nil
	}
	for _, s := range a.Recipe.Safe() {
		said = append(said, quantity.About(quantity.Capital(s.Name), s.How))
	}
	if a.JarLate() && !a.Unfit() {
		said = append(said, "Strain it now: "+a.JarEnd().Why+".")
	}
	for _, r := range a.Blend.Remarks { // a warmed jar
		if _, out := a.Strained(); r.Kind == "flame" && !out {
			said = append(said, r.Text)
		}
	}
	if text := a.WeakStart(); text != "" && !a.Unfit() {
		said = append(said, text+".")
	}
	return said
}

// Unfit reports that it must not even be tasted: it holds what must not be steeped,
// what makes people ill had its time in it, or something was seen that the maker named.
func (a *Assessment) Unfit() bool {
	if a.Keep == nil && !a.jarIsWeak() && !a.weakSteep().tooLong() &&
		len(a.Recipe.MustNot())+len(a.Recipe.MayBe())+len(a.Batch.Remarks()) == 0 {
		return false // strong enough for whatever lies in it
	}
	a.Judge()
	return a.Keep.Unfit()
}
