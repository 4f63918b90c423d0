package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// keep judges where the bottle keeps and until when.
func (a *Assessment) keep() {
	k, p, q := a.Keep, a.parts, a.question
	a.Blend.bottle.WeakSteepH, _ = a.weakSteep()
	bottle := a.Blend.bottle
	usual := func(place shelf.Place) shelf.Storage { return storage(string(place), nil, Question{House: q.House}) }
	var asked *shelf.Storage
	switch {
	case a.Batch.Finish.Store != "" || a.Batch.Finish.StoreC != nil || q.Place != "" || q.Celsius != nil:
		s := storage(a.Batch.Finish.Store, a.Batch.Finish.StoreC, q)
		asked = &s
	case q.House != nil && q.House.FridgeAlways, len(a.Blend.Unread) > 0: // who knows what is in it
		s := usual(shelf.Fridge)
		asked = &s
	}
	if a.Blend.Whole() || a.Blend.Have() && bottle.WeakSteepH > shelf.WeakSteepH { // what grew is there, whatever else goes in
		advice := shelf.Advise(bottle, asked, usual)
		k.Verdict, k.BestKnown, k.NotThere = advice.Verdict, advice.BestKnown, advice.NotThere
		k.Safe.Keeping, k.Best.Keeping, k.Advised.Keeping = advice.Safe, advice.Best, advice.Advised
	} else {
		k.Verdict = shelf.Verdict{Verdict: shelf.VerdictUnknown, Confidence: "low", Needs: a.Blend.Wanting()}
		if asked != nil {
			k.Verdict.Place, k.Verdict.AtC = asked.Place, asked.Celsius
		}
	}
	k.Verdict.Warnings = append(k.Verdict.Warnings, a.Blend.Warnings...)
	a.Blend.Remarks = a.remarks(p)
	k.houseRules(q.House)
	k.days(a)
	k.people(p)
	k.hazards(p)
	if a.Blend.Whole() {
		k.Over = shelf.OverLimit(bottle)
	}
	for n := range p.all {
		if n.lost {
			note(&k.Unknown, n.name)
		}
		if text := n.notKnown(); text != "" {
			k.Verdict.Confidence, k.Verdict.ConfidenceText = "low", "not everything in it is known"
			k.Verdict.Warnings = append(k.Verdict.Warnings, text)
		}
	}
	if len(k.MustNot) > 0 {
		never := shelf.Days{Words: "not at all"}
		k.Verdict.Verdict, k.Verdict.Unopened, k.Verdict.Opened = shelf.VerdictDiscard, never, never
		k.Verdict.DecidedBy = shelf.Decision{Text: "it holds what must not be steeped"}
		k.Verdict.Confidence, k.Verdict.FlavourText, k.Verdict.EndedBy = "high", "", ""
		k.Verdict.Reasons, k.Verdict.Needs = nil, nil
		k.Safe, k.Best, k.Advised, k.BestKnown = Kept{}, Kept{}, Kept{}, false
	}
}

// Places judges the four places at their usual temperatures, warmest first, the
// house rules included; none where it must not be kept.
func (a *Assessment) Places() []shelf.Verdict {
	if !a.Blend.Whole() || len(a.Keep.MustNot) > 0 {
		return nil
	}
	var out []shelf.Verdict
	for _, place := range []shelf.Place{shelf.Room, shelf.Cellar, shelf.Fridge, shelf.Freezer} {
		k := Keep{Verdict: shelf.Judge(a.Blend.bottle, storage(string(place), nil, Question{House: a.question.House}))}
		k.houseRules(a.question.House)
		out = append(out, k.Verdict)
	}
	return out
}

// Days are how long it keeps there as it stands: sealed or, once it was opened,
// opened.
func (k *Keep) Days(x *Kept) shelf.Days {
	if k.OpenedAt.IsZero() {
		return x.Sealed
	}
	return x.Opened
}

// Needs lists what to measure or to write because the answer hangs on it.
func (a *Assessment) Needs() []string {
	v := &a.Keep.Verdict
	if v.Verdict == shelf.VerdictUnknown || a.Keep.Safe.Place == "" {
		return v.Needs
	}
	return shelf.Needs(a.Blend.bottle, *v)
}

// Where is the place where it keeps, by the words of shelf.Verdict or, where it
// is asked to stand elsewhere, the name of that place.
func (k *Keep) Where() string {
	if v := k.Verdict.Verdict; k.Safe.Place == "" || v == shelf.VerdictShelf {
		return v
	}
	return string(k.Safe.Place)
}

// days counts the days from when it was bottled, else strained, and from when
// it was opened.
func (k *Keep) days(a *Assessment) {
	f := a.Batch.Finish
	reached := func(s *batch.Stage) bool { return s != nil && s.Hours <= a.ElapsedH }
	switch hours, out := a.Strained(); {
	case k.Verdict.Fails && a.weakJar() && a.ElapsedH >= 0:
		// What could grow in it has grown from the start.
		k.Since, k.SinceAt = "mixed", a.Batch.Started
	case reached(f.Bottled):
		k.Since, k.SinceAt = "bottled", f.Bottled.When
	case out && a.ElapsedH >= 0:
		k.Since, k.SinceAt = "strained", a.Batch.At(hours)
	}
	switch {
	case reached(f.Opened):
		k.OpenedAt = f.Opened.When
	case a.question.Opened:
		k.OpenedAt = a.Now
	}
	if k.SinceAt.IsZero() && k.OpenedAt.IsZero() {
		return
	}
	until := func(from time.Time, d shelf.Days) time.Time {
		if from.IsZero() || math.IsInf(d.Low, 1) || d.Words == "" {
			return time.Time{}
		}
		// A date counts whole: to the end of the last day that lies within.
		u := from.Add(time.Duration(d.Low * 24 * float64(time.Hour)))
		if day := time.Date(u.Year(), u.Month(), u.Day(), 0, 0, 0, 0, u.Location()).Add(-time.Second); day.After(from) {
			return day
		}
		return u
	}
	for _, kept := range []*Kept{&k.Safe, &k.Best, &k.Advised} {
		if kept.Place == "" {
			continue
		}
		kept.Until = until(k.SinceAt, kept.Sealed)
		if open := until(k.OpenedAt, kept.Opened); !open.IsZero() && (kept.Until.IsZero() || open.Before(kept.Until)) {
			kept.Until = open
		}
	}
	if from, d := k.SinceAt, k.Best.Sealed.High; k.BestKnown && !from.IsZero() && !math.IsInf(d, 1) {
		k.BestEnds = from.Add(time.Duration(d * 24 * float64(time.Hour)))
	}
	over := func(u time.Time) bool { return !u.IsZero() && a.Now.After(u) }
	k.Past, k.SafePast = over(k.Advised.Until), over(k.Safe.Until)
}

// weakJar reports whether the jar itself, by its strength, holds nothing back.
func (a *Assessment) weakJar() bool {
	if r := &a.Blend.Result; r.JarVolumeML > 0 {
		return r.JarParts.ABVPercent() < shelf.HoldsABVPercent
	}
	return true
}

// coldJarC is a jar that stands cold, °C (FDA Food Code 3-501.16: 41 °F).
const coldJarC = 5.0

// weakSteep is how long egg, milk, nuts or fresh low-acid plants lay in a jar
// that held nothing back, in hours: until what made it strong or sour enough went
// in, or the jar was strained, or until now.
func (a *Assessment) weakSteep() (h float64, weak *weakJar) {
	if !a.Blend.Have() || a.Blend.Result.JarVolumeML <= 0 || a.Batch.RoomC != nil && *a.Batch.RoomC <= coldJarC {
		return 0, nil
	}
	// Each time that something went in is the start of a steep of its own.
	var starts []float64
	for i := range a.parts.botanicals {
		starts = append(starts, a.parts.botanicals[i].entry.In)
	}
	for _, x := range a.parts.additions {
		if x.entry.In != nil {
			starts = append(starts, *x.entry.In)
		}
	}
	if len(starts) == 0 {
		return 0, nil // mixed at once
	}
	for i := range a.parts.bases {
		if g := a.parts.bases[i].ingredient; g != nil && (g.Dairy || g.Egg || g.NutMilk) {
			starts = append(starts, 0)
		}
	}
	end, over := a.ElapsedH, false
	if out, strained := a.Strained(); strained && (len(a.Batch.Botanicals) > 0 || a.Batch.Finish.Strained != nil) {
		end, over = out, true
	} else if b := a.Batch.Finish.Bottled; b != nil {
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
	q := *a.parts
	q.botanicals = slices.DeleteFunc(slices.Clone(q.botanicals), func(x herb) bool { return x.entry.In > inTime })
	q.additions = nil
	later := end
	for _, x := range a.parts.additions {
		switch in := x.entry.In; {
		case in == nil:
		case *in <= inTime:
			q.additions = append(q.additions, x)
		case x.spirit != nil || x.ingredient != nil || x.abv != nil:
			later = math.Min(later, *in)
		}
	}
	jar := facts(a.Batch, &q)
	if len(jar.FreshLowAcid) == 0 && !jar.Dairy && !jar.Egg && !jar.NutMilk {
		return 0, nil
	}
	began := recipe(a.Batch, &q)
	parts, _, err := began.Likely()
	if err != nil || len(began.missing) > 0 {
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
	for n := range q.all {
		for _, g := range n.ingredients {
			if g.Dairy || g.Egg || g.NutMilk {
				note(&names, n.name)
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

// JudgedOn are the strength and the pH that keeping is judged on: as read, or where a
// reading says more than what went in explains, no more than that.
func (a *Assessment) JudgedOn() (abvPercent, pH float64, known bool) {
	b := &a.Blend.bottle
	return b.ABVPercent.Value, b.PH.Value, b.PHKnown
}

// WeakStart says what to do, within the hours that are left, where something lies in a
// jar that is neither strong nor sour enough for it; empty where nothing does.
func (a *Assessment) WeakStart() string {
	h, weak := a.weakSteep()
	if weak == nil || weak.over || h > shelf.WeakSteepH || a.Batch.Finish.Bottled != nil {
		return ""
	}
	text := fmt.Sprintf("%s must not lie for more than %g hours in this jar, which at %.0f %% vol is neither strong nor sour enough for that: ", capitalFirst(quantity.And(weak.names)), shelf.WeakSteepH, weak.parts.ABVPercent())
	want := shelf.HoldsABVPercent + 2
	if stock, ok := a.strongest(a.parts); ok {
		if p, err := mixture.Solve(weak.parts, []mixture.Stock{stock}, mixture.Goal{ABVPercent: &want}); err == nil && p.Reached && len(p.Add) == 1 {
			text += fmt.Sprintf("add %.0f~ml of %s (for %g %% vol), or ", 5*math.Ceil(p.Add[0].VolumeML/5), stock.Name, want)
		}
	}
	return text + "let it steep in the fridge at 4~°C and write room = \"4~C\""
}

func capitalFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// Unfit reports that it must not even be tasted: it holds what must not be steeped,
// or what makes people ill had its time in it.
func (a *Assessment) Unfit() bool {
	if !a.weakJar() && a.Keep == nil {
		return false // strong enough for whatever lies in it
	}
	a.Judge()
	k := a.Keep
	return len(k.MustNot) > 0 || k.Verdict.Verdict == shelf.VerdictDiscard && k.Advised.Place == "" || k.Verdict.Fails && k.SafePast
}

// people gathers what must be named to those who drink it, and what must not be
// drunk.
func (k *Keep) people(p *parts) {
	for n := range p.all {
		for _, al := range n.is().AllAllergens() {
			if !slices.ContainsFunc(k.Allergens, func(x library.Allergen) bool { return x.Name == al.Name }) {
				k.Allergens = append(k.Allergens, al)
			}
		}
		for _, b := range n.botanicals {
			if b.Forbidden != "" {
				k.MustNot = append(k.MustNot, b.Name+": "+b.Forbidden)
			}
		}
	}
}

// neatOil is the hazard of an essential oil by itself; whoever steeps the plant
// does not meet it.
const neatOil = "neat-oil"

// hazards says what no figure can be given for: hazards of the plant that hang
// on no dose, and those of a plant that nobody weighed.
func (k *Keep) hazards(p *parts) {
	said := map[string]bool{}
	for n := range p.all {
		if slices.ContainsFunc(n.botanicals, func(b *library.Botanical) bool { return b.Forbidden != "" }) {
			continue
		}
		for _, h := range n.is().AllHazards() {
			if h.Key == neatOil || h.MGPerG.Known() && n.weight != nil || said[h.Text] {
				continue
			}
			text := n.name + ": " + h.Text
			if h.MGPerG.Known() {
				text = fmt.Sprintf("%s holds %s, and how much of it went in is not known: weigh it. %s", n.name, h.Substance, h.Text)
			}
			said[h.Text] = true
			k.Verdict.Cautions = append(k.Verdict.Cautions, shelf.Caution{Kind: "hazard", Text: text, Source: h.Source})
		}
	}
}

// houseRules shortens the times to what the place's own rules allow: they may
// take days away, never add any.
func (k *Keep) houseRules(h *batch.House, changes ...Change) {
	if h == nil {
		return
	}
	by := h.Rule
	if by == "" {
		by = "house rule"
	}
	said := map[string]bool{}
	say := func(text string) {
		if !said[text] {
			said[text] = true
			k.House = append(k.House, text)
		}
	}
	shorten := func(d *shelf.Days, most float64, what string) {
		if math.IsInf(most, 1) || d.High <= most || d.Words == "" {
			return
		}
		d.High, d.Low = most, math.Min(d.Low, most)
		d.Words = fmt.Sprintf("at most %g days (%s)", most, by)
		say(fmt.Sprintf("%s: %s within %g days", by, what, most))
	}
	rule := func(sealed, opened *shelf.Days) {
		shorten(sealed, orInf(h.MaxAgeDays), "use it up")
		shorten(opened, math.Min(orInf(h.UseWithinDays), orInf(h.MaxAgeDays)), "once opened, use it up")
	}
	verdicts := []*shelf.Verdict{&k.Verdict}
	for i := range changes {
		verdicts = append(verdicts, &changes[i].Then)
	}
	for _, v := range verdicts {
		rule(&v.Unopened, &v.Opened)
		if h.FridgeAlways && v.Verdict == shelf.VerdictShelf {
			v.Verdict = shelf.VerdictFridge
			say(by + ": everything is kept cold")
		}
	}
	for _, kept := range []*Kept{&k.Safe, &k.Advised} {
		rule(&kept.Sealed, &kept.Opened)
	}
}

// orInf reads 0 as no limit.
func orInf(days float64) float64 {
	if days == 0 {
		return math.Inf(1)
	}
	return days
}

// storage is where the bottle is asked to stand: what was asked on the command
// line, else what the batch says, else a warm room.
func storage(store string, celsius *float64, q Question) shelf.Storage {
	place, at := shelf.Place(store), celsius
	if q.Place != "" || q.Celsius != nil {
		place, at = q.Place, q.Celsius
	}
	if at != nil {
		if place == "" {
			place = shelf.PlaceOf(*at)
		}
		return shelf.Storage{Place: place, Celsius: *at, Measured: true}
	}
	if h := q.House; place == shelf.Fridge && h != nil && h.FridgeC != nil && *h.FridgeC > usualC(place) {
		return shelf.Storage{Place: place, Celsius: *h.FridgeC, Measured: true}
	}
	if place == "" {
		place = shelf.Room
	}
	return shelf.Storage{Place: place}
}

// usualC is the temperature a place is judged at when nobody measured it, °C. A
// house's own fridge counts where it is warmer: a rule takes days, it gives none.
func usualC(place shelf.Place) float64 {
	return shelf.Judge(shelf.Bottle{}, shelf.Storage{Place: place}).AtC
}

// Sign gives the likely causes of something seen or smelt in the bottle.
func (a *Assessment) Sign(text string) []shelf.Cause { return shelf.Sign(text, a.Blend.bottle) }

// Fades lists what changes in store apart from microbes.
func (a *Assessment) Fades() []shelf.Fade {
	if !a.Blend.Whole() || a.Keep.Best.Place == "" {
		return nil
	}
	return shelf.Fades(a.Blend.bottle, a.Keep.Best.AtC)
}

// Rest says how long it is left before it is judged, empty where the blend is
// not known or must not be drunk.
func (a *Assessment) Rest() string {
	if !a.Blend.Whole() || len(a.Keep.MustNot) > 0 {
		return ""
	}
	rest := shelf.Rest(a.Blend.bottle)
	if k := a.Keep; k.BestKnown && rest.High > k.Best.Sealed.Low {
		return "" // it fades sooner
	}
	return rest.Words
}

// Coefficients are those of the guild that ends the bottle first, and those that
// all guilds share, with their sources in words; none where no guild decides.
func (a *Assessment) Coefficients() []spoilage.Coefficient {
	var out []spoilage.Coefficient
	if a.Keep.Verdict.Guild == "" {
		return nil
	}
	for _, c := range spoilage.Coefficients() {
		if c.Guild == a.Keep.Verdict.Guild || c.Guild == "all" {
			c.Source, _ = growth.Source(c.Source)
			out = append(out, c)
		}
	}
	return out
}

// WorstABV is the strength [% vol] that the keeping is judged on.
func (a *Assessment) WorstABV() float64 { return shelf.WorstABVPercent(a.Blend.bottle) }

// Organism is what the published limits say of one microbe in this bottle.
type Organism struct {
	Name, Group string
	CanGrow     bool
	Why         string
}

// Organisms goes through the published record at the worse end of each range,
// where the bottle is asked to stand.
func (a *Assessment) Organisms() []Organism {
	if !a.Blend.Whole() {
		return nil
	}
	c := shelf.Conditions(a.Blend.bottle, a.Keep.Verdict.AtC)
	var out []Organism
	for _, o := range growth.Organisms() {
		can, why := growth.CanGrow(o, c)
		out = append(out, Organism{o.Name, o.Group, can, why})
	}
	return out
}
