package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// keep judges where the bottle keeps and until when.
func (a *Assessment) keep() {
	k, p, q := a.Keep, a.Recipe, a.question
	a.Blend.Bottle.WeakSteepH, _ = a.weakSteep()
	bottle := a.Blend.Bottle
	usual := func(place shelf.Place) shelf.Storage {
		return storage(string(place), nil,
			Question{House: q.House})
	}
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
	for n := range p.All {
		if n.Lost {
			recipe.Note(&k.Unknown, n.Name)
		}
		if text := n.NotKnown(); text != "" {
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
	a.Judge()
	if !a.Blend.Whole() || len(a.Keep.MustNot) > 0 {
		return nil
	}
	var out []shelf.Verdict
	for _, place := range []shelf.Place{shelf.Room, shelf.Cellar, shelf.Fridge, shelf.Freezer} {
		k := Keep{Verdict: shelf.Judge(a.Blend.Bottle,
			storage(string(place), nil, Question{House: a.question.House}))}
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
	a.Judge()
	v := &a.Keep.Verdict
	if v.Verdict == shelf.VerdictUnknown || a.Keep.Safe.Place == "" {
		return v.Needs
	}
	return shelf.Needs(a.Blend.Bottle, *v)
}

// Advises is where it is advised to stand, by the words of Where.
func (k *Keep) Advises() string {
	switch place := k.Advised.Place; {
	case place == "":
		return k.Where()
	case place == shelf.Room && k.Verdict.Verdict == shelf.VerdictShelf:
		return shelf.VerdictShelf
	default:
		return string(place)
	}
}

// EndsByAir reports whether it is the air that ends the open bottle: opened wine, which is
// stale and makes nobody ill.
func (k *Keep) EndsByAir() bool {
	return !k.OpenedAt.IsZero() && strings.HasPrefix(k.Verdict.OpenedRule, "air")
}

// TasteFirst reports whether what ends its days is its taste, and nothing that grows: its
// flavour fades before it spoils, or the air ends the wine of the bottle that is open.
func (k *Keep) TasteFirst() bool {
	if k.EndsByAir() {
		return true
	}
	if until, safe := k.Advised.Until, k.Safe.Until; !until.IsZero() {
		return !until.Equal(safe)
	}
	return k.BestKnown && k.Best.Sealed.Low < k.Safe.Sealed.Low
}

// Where is the place where it keeps, by the words of shelf.Verdict or, where it
// is asked to stand elsewhere, the name of that place.
func (k *Keep) Where() string {
	if v := k.Verdict.Verdict; k.Safe.Place == "" || v == shelf.VerdictShelf {
		return v
	}
	return string(k.Safe.Place)
}

// Since says which moment the days of a bottle run from.
type Since string

// What the days run from.
const (
	FromStart     Since = "mixed"    // what could grow in the jar has grown from the start
	FromStraining Since = "strained" // nothing goes in after that, or what was strained held nothing back
	FromAddition  Since = "added"    // when the first of what goes in after straining was logged
	FromBottling  Since = "bottled"  // and what goes in after straining went in then, or it was heated then
)

// heatedWithinH is how long after straining what is heated for the bottle may have waited
// to count as fresh from the stove [h]. Common practice, no source.
const heatedWithinH = 48

// days counts the days from when what is in the bottle came together, as far as the log
// tells, and from when it was opened. That it is bottled later makes none of them longer:
// what grows and what fades does so in the jug as well.
func (k *Keep) days(a *Assessment) {
	if at := a.Batch.BottledAt(); at != nil && at.Hours <= a.ElapsedH {
		k.BottledAt = at.When
	}
	hours, out := a.Strained()
	strained := a.Batch.At(hours)
	added, logged := a.firstAdded(hours)
	finished := a.Batch.Measured.Finished()
	switch {
	case a.ElapsedH < 0:
	case a.GrowsFromStart():
		k.Since, k.SinceAt = FromStart, a.Batch.Started
	case !k.BottledAt.IsZero() && (!out || a.Batch.Finish.Heated &&
		k.BottledAt.Sub(strained).Hours() <= heatedWithinH):
		k.Since, k.SinceAt = FromBottling, k.BottledAt
	case out && logged && !a.jarIsWeak():
		k.Since, k.SinceAt = FromAddition, added
	case out && (a.jarIsWeak() || !a.addsLater() || k.BottledAt.IsZero() && finished):
		k.Since, k.SinceAt = FromStraining, strained
	case !k.BottledAt.IsZero():
		k.Since, k.SinceAt = FromBottling, k.BottledAt
	case out: // strong liquor that waits for the rest
		k.IfMixed, k.IfMixedSafe = until(strained, k.Advised.Sealed), until(strained, k.Safe.Sealed)
	}
	if out {
		k.houseEnds(a.question.House, strained)
	}
	k.bottles(a)
	if len(k.Open) == 0 && a.question.Opened {
		k.OpenedAt = a.Now
	}
	if k.SinceAt.IsZero() && k.OpenedAt.IsZero() && k.houseEnd.IsZero() {
		return
	}
	for _, kept := range []*Kept{&k.Safe, &k.Best, &k.Advised} {
		if kept.Place != "" {
			kept.Until = k.usable(kept, k.SinceAt, k.OpenedAt)
		}
	}
	if from, d := k.SinceAt, k.Best.Sealed.High; k.BestKnown && !from.IsZero() && !math.IsInf(d, 1) {
		k.BestEnds = from.Add(time.Duration(d * 24 * float64(time.Hour)))
	}
	over := func(u time.Time) bool { return !u.IsZero() && a.Now.After(u) }
	k.Past, k.SafePast = over(k.Advised.Until), over(k.Safe.Until)
	k.AllPast = k.SafePast && !k.EndsByAir() && (k.Sealed == 0 || over(k.SealedSafe))
}

// until is the last whole day within the early end of some days from a moment; zero where
// there is none.
func until(from time.Time, d shelf.Days) time.Time {
	if from.IsZero() || math.IsInf(d.Low, 1) || d.Words == "" {
		return time.Time{}
	}
	u := from.Add(time.Duration(d.Low * 24 * float64(time.Hour)))
	if day := time.Date(u.Year(), u.Month(), u.Day(), 0, 0, 0, 0,
		u.Location()).Add(-time.Second); day.After(from) {
		return day
	}
	return u
}

// addsLater reports whether anything goes in after straining. What steeps nothing is mixed
// at its start.
func (a *Assessment) addsLater() bool {
	return len(a.Batch.Botanicals) > 0 && slices.ContainsFunc(a.Batch.Additions, func(x batch.Addition) bool { return x.In == nil })
}

// firstAdded is when the first of what went in by now was logged, at or after so many hours.
func (a *Assessment) firstAdded(strainedH float64) (at time.Time, ok bool) {
	for _, x := range a.Batch.Additives {
		if x.Hours >= strainedH && x.Hours <= a.ElapsedH && (!ok || x.When.Before(at)) {
			at, ok = x.When, true
		}
	}
	return at, ok
}

// usable is the day to which a bottle is good whose days run from a moment, and that was
// opened at another, zero where it is sealed: what comes soonest, the end that the house
// sets included.
func (k *Keep) usable(x *Kept, since, opened time.Time) (day time.Time) {
	ends := []time.Time{until(since, x.Sealed), until(opened, x.Opened)}
	if x != &k.Best {
		ends = append(ends, k.houseEnd)
	}
	for _, t := range ends {
		if !t.IsZero() && (day.IsZero() || t.Before(day)) {
			day = t
		}
	}
	return day
}

// bottles parts those that are open from those that are sealed, each with its own day;
// what is said of the batch is said of the open one that ends first.
func (k *Keep) bottles(a *Assessment) {
	all := a.Bottles()
	k.Counted = all.Counted
	if all.Emptied != nil {
		k.EmptiedAt = all.Emptied.When
	}
	since := func(x *batch.Bottle) time.Time {
		if k.Since == FromBottling && x.Bottled != nil {
			return x.Bottled.When
		}
		return k.SinceAt
	}
	for i := range all.List {
		switch x := &all.List[i]; {
		case x.Emptied != nil || all.Emptied != nil:
		case x.Opened == nil:
			k.Sealed++
			first := func(to *time.Time, kept *Kept) {
				if u := k.usable(kept, since(x), time.Time{}); to.IsZero() || u.Before(*to) {
					*to = u
				}
			}
			first(&k.SealedUntil, &k.Advised)
			first(&k.SealedSafe, &k.Safe)
		default:
			o := OpenBottle{Number: x.Number, At: x.Opened.When}
			o.Until, o.Safe = k.usable(&k.Advised, since(x), o.At), k.usable(&k.Safe, since(x), o.At)
			o.Past = !o.Until.IsZero() && a.Now.After(o.Until)
			k.Open = append(k.Open, o)
		}
	}
	slices.SortStableFunc(k.Open, func(x, y OpenBottle) int {
		if x.Until.IsZero() != y.Until.IsZero() {
			return map[bool]int{true: 1, false: -1}[x.Until.IsZero()]
		}
		return x.Until.Compare(y.Until)
	})
	if len(k.Open) > 0 {
		k.OpenedAt = k.Open[0].At
	}
}

// Bottles are its bottles at this moment.
func (a *Assessment) Bottles() batch.Bottles { return a.Batch.Bottles(a.ElapsedH) }

// JudgedOn are the strength and the pH that keeping is judged on: as read, or where a
// reading says more than what went in explains, no more than that.
func (a *Assessment) JudgedOn() (abvPercent, pH float64, known bool) {
	b := &a.Blend.Bottle
	return b.ABVPercent.Value, b.PH.Value, b.PHKnown
}

// people gathers what must be named to those who drink it, and what must not be
// drunk.
func (k *Keep) people(p *recipe.Lines) {
	for n := range p.All {
		for _, al := range n.StandsFor().AllAllergens() {
			if !slices.ContainsFunc(k.Allergens, func(x library.Allergen) bool { return x.Name == al.Name }) {
				k.Allergens = append(k.Allergens, al)
			}
		}
	}
	k.MustNot = mustNot(p)
}

// mustNot names what of a recipe must not be steeped at all, with reasons.
func mustNot(p *recipe.Lines) (said []string) {
	for n := range p.All {
		for _, b := range n.Botanicals {
			if b.Forbidden != "" {
				said = append(said, b.Name+": "+b.Forbidden)
			}
		}
	}
	return said
}

// neatOil is the hazard of an essential oil by itself; whoever steeps the plant
// does not meet it.
const neatOil = "neat-oil"

// hazards says what no figure can be given for: hazards of the plant that hang
// on no dose, and those of a plant that nobody weighed.
func (k *Keep) hazards(p *recipe.Lines) {
	said := map[string]bool{}
	for n := range p.All {
		if slices.ContainsFunc(n.Botanicals, func(b *library.Botanical) bool { return b.Forbidden != "" }) {
			continue
		}
		for _, h := range n.StandsFor().AllHazards() {
			if h.Key == neatOil || h.MGPerG.Known() && n.Weight != nil || said[h.Text] {
				continue
			}
			c := shelf.Caution{Kind: "hazard", Text: shelf.About(n.Name, h.Text), Do: shelf.About(n.Name, h.Do), Source: h.Source}
			if h.MGPerG.Known() {
				c.Text = fmt.Sprintf("%s holds %s, and how much of it went in is not known: weigh it. %s",
					n.Name, h.Substance, h.Text)
				c.Do += " Weigh it."
			}
			said[h.Text] = true
			k.Verdict.Cautions = append(k.Verdict.Cautions, c)
		}
	}
}

// Sign gives the likely causes of something seen or smelt in the bottle.
func (a *Assessment) Sign(text string) []shelf.Cause { return shelf.Sign(text, a.Blend.Bottle) }

// Fades lists what changes in store apart from microbes.
func (a *Assessment) Fades() []shelf.Fade {
	a.Judge()
	if !a.Blend.Whole() || a.Keep.Best.Place == "" {
		return nil
	}
	return shelf.Fades(a.Blend.Bottle, a.Keep.Best.AtC)
}

// FadesFirst is the change of taste that counts at the place of Best.
func (a *Assessment) FadesFirst() shelf.Fade {
	fades := a.Fades()
	if i := slices.IndexFunc(fades, func(f shelf.Fade) bool { return f.Known && f.Decides }); i >= 0 {
		return fades[i]
	}
	return shelf.Fade{}
}

// Rest says how long it is left before it is judged, empty where the blend is
// not known or must not be drunk.
func (a *Assessment) Rest() string {
	rest, _ := a.RestDays()
	return rest.Words
}

// RestDays are the days of Rest; ok is false where nothing is said of it.
func (a *Assessment) RestDays() (rest shelf.Days, ok bool) {
	a.Judge()
	if !a.Blend.Whole() || len(a.Keep.MustNot) > 0 {
		return shelf.Days{}, false
	}
	rest = shelf.Rest(a.Blend.Bottle)
	if k := a.Keep; k.BestKnown && rest.High > k.Best.Sealed.Low {
		return shelf.Days{}, false // it fades sooner
	}
	return rest, true
}

// KeptFrom is to which days it would be at its best and sound, sealed, if it were closed
// at a moment; zero where there is none.
func (a *Assessment) KeptFrom(t time.Time) (best, safe time.Time) {
	a.Judge()
	k := a.Keep
	if k.Advised.Place == "" {
		return best, safe
	}
	safe = k.usable(&k.Safe, t, time.Time{})
	if best = k.usable(&k.Advised, t, time.Time{}); best.Equal(safe) {
		best = time.Time{}
	}
	return best, safe
}

// WorstABV is the strength [% vol] that the keeping is judged on.
func (a *Assessment) WorstABV() float64 { return shelf.WorstABVPercent(a.Blend.Bottle) }

// remarks are what the liquid may do where it will stand.
func (a *Assessment) remarks(p *recipe.Lines) []mixture.Remark {
	if !a.Blend.Have() {
		return nil
	}
	b := &a.Blend.Bottle
	s := mixture.Setting{StoreC: a.Keep.Verdict.AtC, OilRich: b.OilRich, Feeds: b.Nourishing, Sealed: true}
	if a.Blend.Result.JarVolumeML > 0 {
		s.SteepABV = a.Blend.Result.JarParts.ABVPercent()
	}
	if a.Batch.RoomC != nil && *a.Batch.RoomC > 30 {
		s.WarmedC = *a.Batch.RoomC
	}
	for i := range p.Botanicals {
		if k := p.Botanicals[i].Known; k != nil && k.Pectin {
			s.PectinRich = append(s.PectinRich, p.Botanicals[i].Entry.Name)
		}
	}
	for _, x := range p.Additions {
		if x.Ingredient == nil {
			continue
		}
		if x.Ingredient.Pectin {
			s.PectinRich = append(s.PectinRich, x.Entry.Name)
			s.Boiled = s.Boiled || x.Entry.Heated
		}
		if x.Ingredient.NutMilk {
			s.NutMilk = append(s.NutMilk, x.Entry.Name)
		}
	}
	return a.Blend.Result.Parts.Remarks(s)
}

// Strained reports whether everything that comes out of the jar is out, and
// when the last of it came, in hours since the start. A blend without
// botanicals is strained at its start.
func (a *Assessment) Strained() (hours float64, ok bool) {
	b := a.Batch
	all := b.StrainedAt()
	if all != nil && all.Hours > a.ElapsedH {
		all = nil
	}
	if a.ElapsedH < 0 {
		return 0, false
	}
	out, left := 0, 0
	for i := range b.Botanicals {
		e := &b.Botanicals[i]
		came, isOut := recipe.OutBy(a.Batch, e, a.ElapsedH)
		switch {
		case e.LeaveIn:
			left++
		case !isOut:
			return 0, false
		default:
			out++
			hours = math.Max(hours, came)
		}
	}
	implied := all != nil && (all.Key == batch.KindBottled || all.Key == batch.KindEmptied) // known by what came after
	if all != nil && (out == 0 || !implied) {
		return math.Max(hours, all.Hours), true
	}
	return hours, out > 0 || left == 0
}
