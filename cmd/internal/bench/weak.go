package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// coldJarC is a jar that stands cold, °C (FDA Food Code 3-501.16: 41 °F).
const coldJarC = 5.0

// jarIsWeak reports whether the jar itself, by its strength, holds nothing back.
func (a *Assessment) jarIsWeak() bool {
	if r := &a.Blend.Result; r.JarVolumeML > 0 {
		return r.JarParts.ABVPercent() < shelf.HoldsABVPercent
	}
	return true
}

// JarHolds reports whether the jar, by its strength alone, keeps what makes people ill from
// growing.
func (a *Assessment) JarHolds() bool { return !a.jarIsWeak() }

// GrowsFromStart reports whether the days of its keeping run from the start of the jar:
// nothing in it holds back what makes people ill, nor did anything in the jar.
func (a *Assessment) GrowsFromStart() bool {
	a.Judge()
	return a.Keep.Verdict.Fails && a.jarIsWeak()
}

// FromStart says why the days of its keeping run from the start of the jar; empty where they
// do not.
func (a *Assessment) FromStart() string {
	if !a.GrowsFromStart() || len(a.Batch.Botanicals) == 0 { // mixed at once
		return ""
	}
	return fmt.Sprintf("the jar, at %.0f %% vol, holds nothing back, so its days run from its start",
		a.Blend.Result.JarParts.ABVPercent())
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

// toHold is what to add to a jar so that it holds back what grows, empty where nothing does.
func (a *Assessment) toHold(jar mixture.Parts) string {
	want := shelf.HoldsABVPercent + 2
	if stock, ok := a.strongest(a.Recipe); ok {
		if p, err := mixture.Solve(jar, []mixture.Stock{stock},
			mixture.Goal{ABVPercent: &want}); err == nil && p.Reached && len(p.Add) == 1 {
			return fmt.Sprintf("add %.0f~ml of %s (for %g %% vol)", 5*math.Ceil(p.Add[0].VolumeML/5), stock.Name, want)
		}
	}
	return ""
}

// JarEnd is the last hour since its start to which a jar that steeps may stand, and why; H is
// 0 where nothing ends it.
type JarEnd struct {
	H   float64
	Why string
}

// JarLastH is the hour of JarEnd.
func (a *Assessment) JarLastH() float64 { return a.JarEnd().H }

// JarEnd is the first hour at which what grows in the jar has had its time, or something in it
// has lain for as long as it may; somebody is up then.
func (a *Assessment) JarEnd() (end JarEnd) {
	if _, out := a.Strained(); out || a.Batch.BottledAt() != nil {
		return end
	}
	sooner := func(h float64, why string) {
		if h > 0 && (end.H == 0 || h < end.H) {
			end = JarEnd{h, why}
		}
	}
	if a.jarIsWeak() {
		if why := a.FromStart(); why != "" {
			if _, safe := a.KeptIf(false, a.Batch.Started, time.Time{}, time.Time{}); !safe.IsZero() {
				sooner(safe.Sub(a.Batch.Started).Hours(), why+"; what is in it after that is thrown away")
			}
		}
		if h, weak := a.weakSteep(); weak != nil { // before its start nothing has lain yet
			sooner(math.Max(a.ElapsedH, 0)-h+shelf.WeakSteepH, quantity.And(weak.names)+
				" must not lie for longer in a jar that holds nothing back; what is in it after that is thrown away")
		}
	}
	for i := range a.Recipe.Botanicals {
		h := &a.Recipe.Botanicals[i]
		if _, out := recipe.OutBy(a.Batch, &h.Entry, a.ElapsedH); out || h.Entry.LeaveIn {
			continue
		}
		for _, z := range h.Reads.StandsFor().AllHazards() {
			if z.SteepDays.Known() && !z.Spares(cmp.Or(h.Entry.Cut, h.Cut.Name)) {
				sooner(h.Entry.In+24*z.SteepDays.Value, shelf.About(h.Entry.Name, strings.TrimSuffix(z.Do, ".")))
			}
		}
	}
	if before, _ := a.awake(end.H); end.H > 0 && before > a.ElapsedH {
		end.H = before
	}
	return end
}

// weakSteep is how long egg, milk, nuts or fresh low-acid plants lay in a jar
// that held nothing back, in hours: until what made it strong or sour enough went
// in, or the jar was strained, or until now.
func (a *Assessment) weakSteep() (h float64, weak *weakJar) {
	if !a.Blend.Have() || a.Blend.Result.JarVolumeML <= 0 || a.Batch.RoomC != nil &&
		*a.Batch.RoomC <= coldJarC {
		return 0, nil
	}
	// Each time that something went in is the start of a steep of its own.
	var starts []float64
	for i := range a.Recipe.Botanicals {
		starts = append(starts, a.Recipe.Botanicals[i].Entry.In)
	}
	for _, x := range a.Recipe.Additions {
		if x.Entry.In != nil {
			starts = append(starts, *x.Entry.In)
		}
	}
	if len(starts) == 0 {
		return 0, nil // mixed at once
	}
	for i := range a.Recipe.Bases {
		if g := a.Recipe.Bases[i].Ingredient; g != nil && (g.Dairy || g.Egg || g.NutMilk) {
			starts = append(starts, 0)
		}
	}
	end, over := a.ElapsedH, false
	if out, strained := a.Strained(); strained &&
		(len(a.Batch.Botanicals) > 0 || a.Batch.StrainedAt() != nil) {
		end, over = out, true
	} else if b := a.Batch.BottledAt(); b != nil {
		end = math.Min(end, b.Hours)
	}
	slices.Sort(starts)
	for _, t := range slices.Compact(starts) {
		if lay, w := a.weakFrom(t, end); w != nil && (weak == nil || lay > h) {
			h, weak = lay, w
			weak.over = over
		}
	}
	return h, weak
}

// weakFrom is weakSteep of what was in at an hour: what joined it too late made up for
// nothing before that, and what nobody weighed may have thinned it as far as it can.
func (a *Assessment) weakFrom(t, end float64) (h float64, weak *weakJar) {
	inTime := t + shelf.WeakSteepH
	q := a.Recipe.JarAt(inTime)
	later := end
	for _, x := range a.Recipe.Additions {
		if in := x.Entry.In; in != nil && *in > inTime && (x.Spirit != nil || x.Ingredient != nil || x.ABVPercent != nil) {
			later = math.Min(later, *in)
		}
	}
	jar := recipe.Facts(a.Batch, q)
	if len(jar.FreshLowAcid) == 0 && !jar.Dairy && !jar.Egg && !jar.NutMilk {
		return 0, nil
	}
	began := recipe.Mix(a.Batch, q)
	parts, _, err := began.Likely()
	if err != nil || len(began.Missing) > 0 {
		return 0, nil
	}
	parts = parts.Plus(began.Unweighed)
	jar.SolidsLeftIn = nil // acid reaches what is sliced within the steep
	jar.ABVPercent, jar.SugarGPerL = mixture.Exactly(parts.ABVPercent()), mixture.Exactly(parts.SugarGPerL())
	if low, value, high, ok := parts.PHRange(); ok {
		jar.PH, jar.PHKnown = mixture.Range{Value: value, Low: low, High: high}, true
	}
	aw, awLow, awHigh := parts.WaterActivity()
	jar.WaterActivity = mixture.Range{Value: aw, Low: math.Min(aw, awLow), High: math.Max(aw, awHigh)}
	if !shelf.Judge(jar, shelf.Storage{Place: shelf.Room}).Fails {
		return 0, nil
	}
	names := slices.Clone(jar.FreshLowAcid)
	for n := range q.All {
		for _, g := range n.Ingredients {
			if g.Dairy || g.Egg || g.NutMilk {
				recipe.Note(&names, n.Name)
			}
		}
	}
	return math.Max(math.Min(end, later)-t, 0), &weakJar{names: names, parts: parts}
}

// weakJar is a jar that holds nothing back of what makes people ill: what lies in it,
// the liquor, and whether the steep is over.
type weakJar struct {
	names []string
	parts mixture.Parts
	over  bool
}

// WeakStart says what to do, within the hours that are left, where something lies in a
// jar that is neither strong nor sour enough for it; empty where nothing does.
func (a *Assessment) WeakStart() string {
	h, weak := a.weakSteep()
	if weak == nil || weak.over || h > shelf.WeakSteepH || a.Batch.BottledAt() != nil {
		return ""
	}
	text := fmt.Sprintf("%s must not lie for more than %g hours in this jar, which at %.0f %% vol is neither strong nor sour enough for that: ",
		quantity.Capital(quantity.And(weak.names)), shelf.WeakSteepH, weak.parts.ABVPercent())
	if add := a.toHold(weak.parts); add != "" {
		text += add + ", or "
	}
	return text + "let it steep in the fridge at 4~°C and write room = \"4~C\""
}

// Unfit reports that it must not even be tasted: it holds what must not be steeped,
// what makes people ill had its time in it, or something was seen that the maker named.
func (a *Assessment) Unfit() bool {
	if a.Keep == nil && !a.jarIsWeak() && len(a.Recipe.MustNot()) == 0 && len(a.Batch.Notes) == 0 {
		return false // strong enough for whatever lies in it
	}
	a.Judge()
	return a.Keep.Unfit()
}
