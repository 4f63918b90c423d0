package steep

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"steepbook/cmd/internal/steeping"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// headline is the next thing to do with a jar, as one would say it aloud.
func headline(a *bench.Assessment, acts []due.Act) string {
	a.Judge()
	late := a.Keep.Late
	if len(late)+len(acts) == 0 {
		late = a.Keep.Stronger(a.Now)
	}
	if len(late) > 0 { // before anything else
		return "Now: take out the " + quantity.And(late) + "."
	}
	if len(acts) == 0 {
		if late := tooLate(a); len(late) > 0 {
			return "The " + quantity.And(late) + " cannot go in."
		}
		done := "Everything is out of the jar. "
		if slices.ContainsFunc(a.Curves, func(c steeping.Curve) bool { return c.Order.Do == jar.Stays }) {
			done = "Nothing is left to pull. "
		}
		return strings.TrimSpace(done + afterJar(a))
	}
	d, lead := &acts[0], ""
	if d.Kind == due.Taste {
		lead = view.IfIt(a.Keep)
	}
	switch {
	case d.Kind == due.Spent:
		return quantity.Capital(nextact.Words(d)) + "."
	case d.Now:
		return quantity.Capital(lead+"now: ") + nextact.Words(d) + "."
	}
	return quantity.Capital(lead+"next: ") + nextact.Words(d) + " " + nextact.At(d, a.Now) + "."
}

// tooLate names what would go in after the jar has to be out.
func tooLate(a *bench.Assessment) (names []string) {
	for i := range a.Curves {
		if c := &a.Curves[i]; c.Order.TooLate() {
			names = append(names, c.Name)
		}
	}
	return names
}

// afterJar is what comes next once everything is out, or of what is bottled what nobody logged; "" where
// that is nothing.
func afterJar(a *bench.Assessment) string {
	g, err := due.Look(a)
	if text := bottle.NotLogged(a); text != "" {
		return quantity.Capital(text) + "."
	}
	if err != nil || g.Stage != due.Strained && g.Stage != due.Steeping {
		return ""
	}
	next := nextact.Sentence(&g)
	if g.Due.Kind == due.Add || g.Due.Kind == due.Stand {
		next = strings.TrimSpace(bottle.StillToCome(a) + " " + next)
	}
	return next
}

// flavourRows is one row a flavour, in the order of what is to be done: its strength in
// the bottle and what to do about it.
func flavourRows(a *bench.Assessment, acts []due.Act) [][]string {
	var rows [][]string
	row := func(c *steeping.Curve) {
		rows = append(rows,
			[]string{c.Name, bottleNow(c), rowWords(a, c, acts)})
	}
	var said []string
	for i := range acts {
		for _, n := range acts[i].What {
			if !slices.Contains(said, n) {
				said = append(said, n)
				row(a.Curve(n))
			}
		}
	}
	rest := make([]*steeping.Curve, 0, len(a.Curves))
	for i := range a.Curves {
		if c := &a.Curves[i]; c.Watch || c.Order.Do == jar.Out || c.Order.TooLate() ||
			c.Order.Do == jar.Stays && c.JarH > 0 {
			rest = append(rest, c)
		}
	}
	slices.SortStableFunc(rest,
		func(x, y *steeping.Curve) int { return cmp.Compare(restRank(x), restRank(y)) })
	for _, c := range rest {
		row(c)
	}
	return rows
}

// rowWords is what is said of one flavour, on whatever page: what is to be done with it, of
// all acts the first that names it, and what speaks for that; else how it stands.
func rowWords(a *bench.Assessment, c *steeping.Curve, acts []due.Act) string {
	for i := range acts {
		if slices.Contains(acts[i].What, c.Name) {
			return doWords(a, c, &acts[i])
		}
	}
	return restWords(a, c)
}

// restRank puts the unwanted tastes before what stays in the bottle and what is out.
func restRank(c *steeping.Curve) int {
	switch {
	case c.Watch:
		return 0
	case c.Order.Do == jar.Stays:
		return 1
	}
	return 2
}

// doWords is the order of one flavour and what speaks for it.
func doWords(a *bench.Assessment, c *steeping.Curve, d *due.Act) string {
	switch d.Kind {
	case due.Spent:
		return "nothing comes of it: check its age and the amount; more time will not help"
	case due.PutIn:
		if d.Now {
			return "put in now"
		}
		return "put in " + nextact.Time(d, a.Now).At()
	}
	do, own := string(d.Kind), d.Of(c.Name)
	if d.Kind == due.Strain {
		do = "strain out"
	}
	switch {
	case d.After != "":
		const room = 20 // of a line, for the name of another
		do += " an hour after the " + pen.Clip(d.After, room)
	case !d.Now:
		do += " " + nextact.At(d, a.Now) + nightWords(a, c, d)
	case d.Kind == due.Taste:
		do += " now"
		if tooStrongAt(c, a.ElapsedH) != "" && c.Order.TasteWhy != jar.Again {
			do += ", likely too strong"
		}
	default:
		return do + " now" + nextact.Late(&own, a.Now) + ": " + outBecause(a, c)
	}
	do += nextact.Late(&own, a.Now)
	return do + tastingWords(a, c, d)
}

// tastingWords are what speaks for the order of one flavour, whichever answer tells it: what is known of it
// before it is tasted, and the stretch in which it is right.
func tastingWords(a *bench.Assessment, c *steeping.Curve, d *due.Act) (do string) {
	switch s := a.NextSitting(); {
	case d.Kind != due.Taste:
	case c.Order.TasteWhy == jar.Again:
		if w := a.Curve(c.Order.Blame); w != nil && w.Order.TasteWhy == jar.Again {
			do += ", and the " + w.Name
		}
		return do + ": its last score does not fit, and this one decides"
	case slices.Contains(s.Late, c.Name):
		do += ": longer in than usual"
	case c.Order.Much:
		switch in := c.JarH > aMinute; {
		case in && tooStrongAt(c, a.ElapsedH) != "":
			return ", likely too strong already; taste it sooner or pull it, and use less next time"
		case in && !d.Now:
			return "; likely too strong by then: taste it sooner, and use less next time"
		case d.Now:
			return "; use less of it"
		}
		return "; likely too strong by then: use less of it"
	case s.Early && slices.Contains(s.Flavours, c.Name):
		do += firstLook
	}
	return do + rightWords(a, c, d)
}

const firstLook = ", a first look"

// aMinute is within which, in hours, what went in was only just put in, so that some may be taken out again.
const aMinute = 1.0 / 60

// nightWords says where a moment was moved out of the night to one side of its stretch.
func nightWords(a *bench.Assessment, c *steeping.Curve, d *due.Act) string {
	o, at := &c.Order, d.At.Sub(a.Batch.Started).Hours()
	switch {
	case d.Night != jar.Moved:
	case at < o.FromH && d.Kind != due.Taste:
		return ", before the night"
	case at > o.UntilH:
		return ", after the night"
	}
	return ""
}

// oftenWeak is from which chance on it is said at once that something stays weak.
const oftenWeak = 0.25

// rightWords is the stretch of a flavour, and the chance that it never is as strong as wanted,
// where that is one: of what is likely too strong by then, that is told and not how unsure it is.
func rightWords(a *bench.Assessment, c *steeping.Curve, d *due.Act) string {
	text := stretch(a, c, d)
	o := &c.Order
	if bound := o.Why == jar.Unsafe && o.UntilH > a.ElapsedH; c.Target == nil || o.Never < oftenWeak ||
		bound || tooStrongAt(c, toldFrom(a, c, d)) != "" {
		return text
	}
	return text + ", " + view.OneIn(o.Never) + " that it stays weak"
}

// toldFrom is from which hour of the jar on something is told of a flavour: no time to take it out before the
// tasting.
func toldFrom(a *bench.Assessment, c *steeping.Curve, d *due.Act) float64 {
	if d.Kind == due.Taste && c.Order.Do == jar.Taste {
		return math.Max(a.ElapsedH, a.Batch.Hours(d.At))
	}
	return a.ElapsedH
}

// stretch is between when no taster could tell the difference, of what is done about it.
func stretch(a *bench.Assessment, c *steeping.Curve, d *due.Act) string {
	o := &c.Order
	doubt := o.EdgeDoubtH(a.ElapsedH)
	open := math.IsInf(o.UntilH, 1)
	from, until, out, right, by := "", "", ", by ", "; right ", ""
	tasted := d.Kind == due.Taste
	if tasted {
		out = "; out by "
	}
	if with := a.StrainedWith(c); len(with) > 0 {
		right = "; best with the " + quantity.And(with) + " "
		if over := tooStrongAt(c, o.BestH); over != "" {
			by = ", at about " + over
		}
	}
	since, text := toldFrom(a, c, d), ""
	switch {
	case open && o.FromH > since:
		text = right + "from " + view.By(a, o.FromH, doubt) + by
	case open || o.UntilH <= a.ElapsedH && since <= a.ElapsedH:
	case o.UntilH <= since:
		if text = "; its usual time is over by then"; tooStrongAt(c, since) != "" {
			text = "; likely too strong by then: use less of it"
		}
	case o.FromH <= since:
		until = view.By(a, o.UntilH, doubt)
		if text = out + until; tasted && until == view.By(a, since, doubt) {
			text = "; out as soon as it is tasted"
		}
	default:
		if from, until = view.By(a, o.FromH, doubt), view.By(a, o.UntilH, doubt); from == until {
			text = right + view.At(a, o.FromH, doubt) + by
		} else {
			text = right + "from " + from + " to " + until + by
		}
	}
	if o.Why == jar.Unsafe && o.UntilH > a.ElapsedH {
		return out + view.By(a, o.UntilH, doubt) + ", it may stay in no longer"
	}
	if o.Why == jar.Spoils && o.Blame != "" && text != "" && !o.Bedtime {
		text += ", then " + o.Blame + " comes"
	}
	return text
}

// toldApart is how many points a taster can tell.
const toldApart = 0.5

// tooStrongAt is how strong a flavour is in the bottle when it comes out at an hour of the jar,
// "" unless it is stronger than wanted by more than a taster needs to tell.
func tooStrongAt(c *steeping.Curve, hours float64) string {
	if c.Target == nil || hours <= c.InH || math.IsInf(hours, 1) {
		return ""
	}
	if v := c.BottleAt(hours - c.InH).Value; v > *c.Target+toldApart {
		return pen.Score(v)
	}
	return ""
}

// bagWords names what is too strong by the time that it can be strained with the rest, and what
// helps; "" where nothing is.
func bagWords(a *bench.Assessment) string {
	var names []string
	for i := range a.Curves {
		if c := &a.Curves[i]; c.InJar() && len(a.StrainedWith(c)) > 0 && tooStrongAt(c, c.Order.BestH) != "" {
			names = append(names, c.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Tie the " + quantity.And(names) + " in a bag and write bag = true, to take it out alone: strained " +
		"with the rest it gets too strong."
}

// outWords stand before how long it was in the jar, of what is out: fat that was strained may not be off.
func outWords(a *bench.Assessment, c *steeping.Curve) string {
	if slices.Contains(a.FatToLift(), c.Name) {
		return "not logged off; strained after "
	}
	return "out after "
}

// restWords says of what is not steeped for its own sake, or no longer, how it stands.
func restWords(a *bench.Assessment, c *steeping.Curve) string {
	o := &c.Order
	switch {
	case o.Do == jar.Stays:
		if slices.Contains(a.Keep.Late, c.Name) {
			return "take it out now: in for longer than it may"
		}
		return "stays in the bottle" + staysTo(a, c)
	case o.TooLate():
		return "cannot go in: the jar must be out by then; put it in sooner, or make the jar stronger"
	case c.NeverIn():
		return "never went in"
	case !c.Watch:
		return outWords(a, c) + pen.Spoken(c.JarH)
	case c.Tasted == 0:
		return fmt.Sprintf("not tasted yet (limit %s)", pen.Trim(c.Limit))
	}
	from := ""
	if c.From != "" {
		from = "from the " + c.From
	}
	limit := "its limit of " + pen.Trim(c.Limit)
	switch { // by the chance, whether what brings it is in or out
	case o.Exceeds():
		return joinWords("over "+limit, from)
	case o.TasteWhy == jar.Again:
		return "scored over " + limit + ", which does not fit: score it once more"
	case o.Over >= 0.05:
		return joinWords("maybe over "+limit+" ("+view.OneIn(o.Over)+")", from)
	case from == "" || o.Do == jar.Out || !a.Curve(c.From).InJar():
		return fmt.Sprintf("fine (limit %s)", pen.Trim(c.Limit))
	}
	return fmt.Sprintf("fine (limit %s); %s if it comes", pen.Trim(c.Limit), from)
}

// staysTo is the end of what stays in the bottle, "" where it has none.
func staysTo(a *bench.Assessment, c *steeping.Curve) string {
	h, ends := c.StaysTo()
	strong := a.Keep.TooStrong.Of(c.Name)
	switch {
	case ends && c.Tasted == 0 && h <= a.ElapsedH:
		return "; usually too strong by now: taste it"
	case ends && c.Tasted == 0:
		return "; usually right to " + view.By(a, h, c.Order.EdgeDoubtH(a.ElapsedH)) + ": taste it before"
	case a.Now.After(strong) && !strong.IsZero():
		return ": take it out now, likely too strong since " + view.DateOf(strong, a.Now)
	case ends:
		return "; out of it by " + view.By(a, h, c.Order.EdgeDoubtH(a.ElapsedH)) + ", then likely too strong"
	}
	return ""
}

func joinWords(what, from string) string {
	if from == "" {
		return what
	}
	return what + ", likely " + from
}

// outBecause says why a flavour comes out now.
func outBecause(a *bench.Assessment, c *steeping.Curve) string {
	o := &c.Order
	past := ""
	if o.Overdue {
		past = ", was best " + bestWhen(c)
	}
	switch o.Why {
	case jar.Spoils:
		if w := a.Curve(o.Blame); w != nil && w.Watch && w.Tasted > 0 {
			if w.BottleNow.Value >= 0.9*w.Limit {
				return fmt.Sprintf("the %s taste has reached its limit%s", o.Blame, past)
			}
			return fmt.Sprintf("the %s taste would pass its limit%s", o.Blame, past)
		}
		return fmt.Sprintf("longer steeping turns the jar %s%s", o.Blame, past)
	case jar.Fades:
		return fmt.Sprintf("best %s, weaker since", bestWhen(c))
	case jar.AllThere:
		return "as strong as it gets" + past
	case jar.Unsafe:
		switch of := a.JarEnd().Of; {
		case slices.Contains(of, c.Name):
			return "it has been in for as long as it may"
		case len(of) > 0:
			return "the jar has stood for as long as it may, for the " + quantity.And(of)
		}
		return "the jar has stood for as long as it may"
	}
	switch {
	case o.Why == jar.Over:
		return "too strong" + past
	case o.Why == jar.Passes:
		return "it could pass " + pen.Trim(*c.Target) + " before you would be back"
	case o.Why == jar.Sleep:
		return "its time is in the night, and this is nearer to it than the morning" + past
	case o.Why == jar.Little:
		return "what is still to come is not worth the wait" + past
	}
	if c.Target != nil && c.BottleNow.Value < asStrong**c.Target {
		return "near enough to what is wanted" + past
	}
	return "as strong as wanted" + past
}

// asStrong is the share of the strength wanted below which it is near enough, beside a number
// that is less. Judgement.
const asStrong = 0.95

// bestWhen is how long after it went in a flavour that is past its best was at it, as well as
// the jar has told: no finer than the stretch in which nobody could tell it from the best.
func bestWhen(c *steeping.Curve) string {
	o := &c.Order
	from, best, until := o.FromH-c.InH, o.BestH-c.InH, math.Min(o.UntilH, c.JarH+c.InH)-c.InH
	switch {
	case until < told*from:
		return "after " + pen.Spoken(best)
	case from > until/wide:
		low, unit, _ := strings.Cut(pen.Spoken(from), " ")
		high := pen.Spoken(until)
		if !strings.HasSuffix(high, " "+unit) {
			low += " " + unit
		}
		return "after " + low + " to " + high
	}
	return "within the first " + pen.Spoken(until)
}

// A stretch whose end is not told times its beginning is one time, and one whose end is more
// than wide times that is all of the time up to it. Judgement.
const told, wide = 1.5, 10

// nextWords is the next thing to do with a jar, or that nobody may taste it.
func nextWords(a *bench.Assessment) string {
	if a.Unfit() {
		return bottle.TastingWords(a)
	}
	return headline(a, due.Acts(a))
}
