// Package steep says what to do with a jar now and next: one order for each flavour,
// what one more tasting changed, and one moment to strain everything.
package steep

import (
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
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// Screen is what to do with the jar: one order for each flavour.
func Screen(a *bench.Assessment, style pen.Style) pen.Screen {
	head := a.Batch.Name + ", " + Age(a) + ". "
	if style.Forms { // it stands above them
		head = ""
	}
	switch {
	case a.Unfit():
		s := bottle.Begin(a, nextWords(a))
		return s.Said(style.Units)
	case len(a.Curves) == 0:
		none := "Nothing is steeping: add a [[botanical]] to the batch, e.g. name = \"orange zest\", amount = \"24~g\", target = 6."
		if style.Forms {
			none = "Nothing steeps in it: no botanical is written down."
		}
		s := bottle.Begin(a, head+none)
		return s.Said(style.Units)
	}
	acts := due.Acts(a)
	s := bottle.Begin(a, head+headline(a, acts))
	s.Rows = flavourRows(a, acts)
	s.Notes = bottle.Handling(a) // which no last day gives way to
	for i := range s.Rows {
		s.Answer = append(s.Answer, i)
	}
	if len(acts) > 0 && acts[0].Kind == due.Strain {
		if back := a.PutBack(acts[0].What...); len(back) > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("Strain the jar through a cloth and put the %s back in.",
				quantity.And(back)))
		}
	}
	if text := bagWords(a); text != "" {
		s.Notes = append(s.Notes, text)
	}
	view.Standing(&s, a)
	s.Next = nextLine(a, acts, style)
	if how := TasteIt(a, style); how != "" && len(acts) > 0 && a.ElapsedH >= 0 {
		switch _, care := bottle.Mind(a); {
		case care != "": // it can hurt
			s.Due = append(s.Due, how)
		case strings.Contains(s.Next, " --sample "): // the line means nothing without it
			s.Say = append(s.Say, how)
		default:
			s.Notes = append(s.Notes, how)
		}
	}
	if next := a.NextSitting(); next != nil && next.Advice != "" {
		s.Notes = append(s.Notes, next.Advice)
	}
	if text := Rescue(a, style); text != "" {
		s.Notes = append(s.Notes, text)
	}
	s.Notes = append(s.Notes, a.Warnings...)
	for i := range a.Curves {
		for _, w := range a.Curves[i].Warnings {
			s.Notes = append(s.Notes, a.Curves[i].Name+": "+w)
		}
	}
	if len(acts) == 0 {
		s.Notes = append(s.Notes, doses(a)...)
	}
	if text := standsFor(a); text != "" && len(acts) > 0 && a.ElapsedH >= 0 &&
		len(s.Say)-1+len(s.Rows)+len(s.Notes) <= roomForSyrup {
		s.Notes = append(s.Notes, text)
	}
	return s.Said(style.Units)
}

// roomForSyrup is how many rows and notes leave a line for what the syrup stands for.
const roomForSyrup = 4

// Age is how long a batch has been going.
func Age(a *bench.Assessment) string {
	switch {
	case a.ElapsedH < 0:
		return "starts " + view.Moment(a.Batch.Started, a.Now, 0).At()
	case a.ElapsedH < 1.0/60:
		return "just started"
	}
	return pen.Spoken(a.ElapsedH) + " in"
}

// Print prints when to pull each botanical and when to taste next; with why also the
// times since each went in, what ends its steep and how much to take next time.
func Print(p *pen.Page, a *bench.Assessment, why bool) error {
	if p.JSON {
		return p.WriteJSON(JSON(a))
	}
	s := Screen(a, p.Style)
	if !why {
		p.Screen(s, pen.OfScreen)
		return p.Done()
	}
	p.Screen(s, pen.Whole)
	if len(a.Curves) == 0 {
		return p.Done()
	}
	p.Line("")
	p.Table([]string{"flavour", "right after, since it went in", "because"},
		pen.Each(a.Curves, func(c *steeping.Curve) []string {
			return []string{Flavour(c), rightAfter(c, pen.OrLater), Because(c)}
		}))
	p.Line("")
	setting := ""
	if b := a.Batch.Base(); b != "" {
		setting = " in " + b
	}
	if a.Batch.RoomC != nil {
		setting += " at " + p.Temperature(*a.Batch.RoomC)
	}
	if setting != "" {
		setting = "It steeps" + setting + ". "
	}
	p.Para("%sScores run from 0 (absent) over 6 (right for a lead flavour) to 10 (nothing else), as the bottle "+
		"will taste. Ranges hold nine times in ten.", setting)
	if _, ratio := Sample(a, p.Style); ratio != "" && s.Next != "" {
		if text := standsFor(a); !slices.Contains(s.Notes, text) {
			p.Para("%s", text)
		}
		p.Para("Taste plain spirit beside it, diluted the same way.")
	}
	if len(due.Acts(a)) > 0 {
		p.Items(doses(a))
	}
	return p.Done()
}

// First is the first tasting of a jar that was just begun, and between when each of its flavours is right, and
// whether it ever is, while there can be more of it, with its name where there are several: no list of what is done before hides it. Of a jar to come that is
// said behind what comes next. It is "" where nothing is to be tasted.
func First(a *bench.Assessment) string {
	acts, next := due.Acts(a), ""
	if d := acts[:min(len(acts), 1)]; len(d) > 0 && d[0].Kind != due.Taste && !(d[0].Kind == due.PutIn && d[0].Now) {
		next = headline(a, acts) + " "
	}
	for _, d := range acts {
		if d.Kind != due.Taste || len(d.What) == 0 {
			continue
		}
		at := nextact.Time(&d, a.Now)
		when := at.At()
		switch now := d.Now || at == view.Moment(a.Now, a.Now, 0); {
		case now && a.ElapsedH < 1.0/60:
			when = "as soon as it is in"
		case now:
			when = "now"
		}
		right := ""
		for _, name := range d.What {
			text := strings.TrimPrefix(tastingWords(a, a.Curve(name), &d), firstLook)
			if len(d.What) > 1 {
				text = strings.Replace(text, "; ", "; the "+name+" ", 1)
			}
			right += text
		}
		return next + quantity.Capital(view.IfIt(a.Keep)+nextact.Words(&d)) + " " + when + right + "."
	}
	return next
}

// nextLine is what to type next: what comes out is logged, else the next tasting.
func nextLine(a *bench.Assessment, acts []due.Act, style pen.Style) string {
	if len(a.Keep.Late) > 0 {
		return view.ShellLine(append([]string{"steepbook", "pull", a.Batch.File}, a.Keep.Late...))
	}
	if len(acts) > 0 && acts[0].Now {
		if do := acts[0].Kind; do == due.Pull || do == due.Strain {
			return view.ShellLine(append([]string{"steepbook", "pull", a.Batch.File}, acts[0].What...))
		}
	}
	return ScoreLine(a, style)
}

// Unscored stands behind a name in a line to type where the maker's own score goes: a number there would be
// logged by whoever copies the line.
const Unscored = "=?"

// ScoreLine is the line that logs the next tasting when its scores are filled in, with the mix
// that is tasted: a score counts as neat unless it is named. It is empty where nothing
// is to be tasted.
func ScoreLine(a *bench.Assessment, style pen.Style) string {
	flavours, watch := a.ToScore()
	if a.ElapsedH < 0 || len(flavours)+len(watch) == 0 || !a.Tasting().Offered() {
		return ""
	}
	line := []string{"steepbook", "taste", a.Batch.File}
	if _, ratio := Sample(a, style); ratio != "" {
		line = append(line, "--sample", ratio)
	}
	for _, n := range append(flavours, watch...) {
		line = append(line, n+Unscored)
	}
	return view.ShellLine(line)
}

// TasteIt says how the jar is tasted: by the drop where it can hurt, and of which mix; "" where as it is.
func TasteIt(a *bench.Assessment, style pen.Style) string {
	mix, ratio := Sample(a, style)
	care := bottle.TastingWords(a)
	switch {
	case ratio == "":
		return care
	case care == "":
		return "Taste it " + mix + "."
	}
	return strings.TrimSuffix(care, ".") + "; mix it " + mix + "."
}

// Sample is the mix to taste, what it is and of what, in the units of the maker, and the same as
// --sample takes it, jar first; both are empty where the jar is tasted neat.
func Sample(a *bench.Assessment, style pen.Style) (how, ratio string) {
	s := &a.Sample
	if s.JarML <= 0 {
		return "", ""
	}
	volume, partML := func(ml float64) string { return quantity.FormatNumber(ml) + " ml" }, 1.0
	if style.Units == quantity.US { // in what it is measured in, so that the ratio is read off it
		partML = 2 * steeping.SampleStepML
		volume = func(ml float64) string {
			return quantity.Amount{Kind: quantity.Volume, Low: ml / partML, High: ml / partML,
				Unit: "tsp"}.String()
		}
	}
	parts := []string{volume(s.JarML) + " of jar"}
	for _, part := range s.Parts {
		if part.VolumeML > 0 {
			name, _, _ := strings.Cut(part.Name, " (")
			parts = append(parts, volume(part.VolumeML)+" "+name)
		}
	}
	how = "as the bottle will be"
	switch {
	case a.ThinnedABV > 0:
		how = fmt.Sprintf("thinned to about %g %% vol, and score the thin sip", a.ThinnedABV)
	case a.LessSweet:
		how = "as strong as the bottle will be, though less sweet"
	}
	return how + ": " + quantity.And(parts), quantity.FormatNumber(s.JarML/partML) + ":" +
		quantity.FormatNumber((s.TotalML-s.JarML)/partML)
}

// standsFor says of the syrup of the sample which it is, and what it stands for; "" where
// there is none.
func standsFor(a *bench.Assessment) string {
	if mix, _ := Sample(a, pen.Style{}); !strings.Contains(mix, "syrup") {
		return ""
	}
	var names []string
	for i := range a.Recipe.Additions {
		x := &a.Recipe.Additions[i]
		if x.Entry.In == nil && x.Spirit == nil && !x.Reads.Water() && !slices.Contains(names, x.Entry.Name) {
			names = append(names, x.Entry.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "The 1:1 syrup is equal weights of sugar and water; in the sample it stands for the " +
		quantity.And(names) + "."
}

// Flavour is a flavour by its name, marked where it is only watched.
func Flavour(c *steeping.Curve) string {
	if c.Watch {
		return c.Name + " (watch)"
	}
	return c.Name
}

// bottleNow is how strong a flavour is in the bottle by now, of what is wanted.
func bottleNow(c *steeping.Curve) string {
	now := ""
	if c.JarH > 0 && (!c.Watch || c.Tasted > 0) {
		now = pen.Score(c.BottleNow.Value)
		if c.Order.TasteWhy == jar.Again { // what is believed is torn
			now = pen.Score(c.BottleNow.Low) + "-" + pen.Score(c.BottleNow.High)
		}
	}
	if c.Watch || c.Target == nil || now == "" {
		return now
	}
	return now + " of " + pen.Trim(*c.Target)
}

// rightAfter is how long a flavour is steeped: its best time with the 90 % range
// of the time at which it is as strong as wanted; open is how an open end is told.
func rightAfter(c *steeping.Curve, open string) string {
	o := &c.Order
	x := &o.Crossing
	switch {
	case c.Watch && c.Tasted == 0:
		return "not tasted yet"
	case c.Watch && o.Do == jar.Out:
		return "-"
	case c.Watch && o.Exceeds():
		return "at its limit now"
	case c.Watch && math.IsInf(x.P10, 1):
		return "not expected"
	case c.Watch && x.P10-c.InH < c.JarH:
		return view.OneIn(o.Over) + " that it is over"
	case c.Watch:
		return "under it to " + quantity.Span(x.P10-c.InH) + " at least"
	case o.Do == jar.Out:
		return "out after " + quantity.Span(c.JarH)
	case o.Do == jar.Stays:
		if h, ends := c.StaysTo(); ends {
			return "stays in, right to " + quantity.Span(h-c.InH)
		}
		return "stays in"
	}
	right, ok := c.Right()
	if !ok || o.Do == jar.Nothing {
		return "-"
	}
	best := quantity.Span(right.Value)
	switch {
	case !math.IsInf(right.High, 1):
		return best + " (" + pen.Spans(right.Low, right.High) + ")"
	case quantity.Span(right.Low) == best:
		return best + open
	}
	return best + " (" + quantity.Span(right.Low) + open + ")"
}

// Because says what ends the steep of one flavour, and how sure that is.
func Because(c *steeping.Curve) string {
	o := &c.Order
	var parts []string
	switch {
	case o.Do == jar.Out || o.Do == jar.Stays || c.Watch && (c.Tasted == 0 || c.From == ""):
		return ""
	case c.Watch:
		return "most likely from the " + c.From
	case o.Why == jar.NoneYet:
		return "nothing has come"
	case o.Why == jar.Spoils:
		parts = append(parts, o.Blame+" comes first")
	case o.Why == jar.Fades:
		return "best then, weaker since"
	case c.AllThere():
		parts = append(parts, "as strong as it gets")
	default:
		parts = append(parts, "strong enough")
	}
	if c.Target != nil && o.Never >= 0.05 {
		parts = append(parts, fmt.Sprintf("%s that it stays below %s", view.OneIn(o.Never),
			pen.Trim(*c.Target)))
	}
	if s := c.Standing(); s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
}

// Rescue says how a jar that holds too much of something is brought back, "" where it does not: once all is
// out that steeps, for spirit that joins the steep takes more of everything.
func Rescue(a *bench.Assessment, style pen.Style) string {
	r, once := a.Rescue, ""
	if a.Steeps() {
		once = "once everything is out, "
	}
	switch {
	case r == nil:
		return ""
	case !r.Practical:
		return fmt.Sprintf("There is far too much of the %s: it would take more than %s volumes of plain spirit "+
			"to one of it, which is not practical. Use it as a concentrate, by the spoon.", r.Name,
			pen.Trim(kinetics.MostVolumes))
	case r.Ask:
		return fmt.Sprintf("There may be too much of the %s: score it once more before you thin it, which cannot be undone.", r.Name)
	case r.SpiritML == 0: // nobody wrote how much is in the jar
		return fmt.Sprintf("There is too much of the %s: %sabout %s volumes of plain spirit to one of it should "+
			"bring it back; try it in a small glass first.", r.Name, once, pen.Trim(r.Volumes))
	}
	more, thins := "", ""
	if r.More {
		more = fmt.Sprintf(", with %s times as much of what is still to go in", pen.Trim(1+r.Volumes))
	}
	if len(r.Thins) > 0 {
		thins = " It thins the " + quantity.And(r.Thins) + " as well."
	}
	return fmt.Sprintf("There is too much of the %s: %sabout %s of plain spirit as strong as what is there (%s in all%s) "+
		"should bring it back; try it in a small glass first.%s", r.Name, once,
		style.Volume(quantity.Rounded(r.SpiritML, 2)), style.Volume(quantity.Rounded(r.VolumeML,
			2)), more, thins)
}

// doses says how much to use next time.
func doses(a *bench.Assessment) []string {
	var out []string
	for i := range a.Curves {
		c := &a.Curves[i]
		d := c.Dose
		if d == nil || math.IsInf(d.Factor, 1) {
			continue
		}
		text := fmt.Sprintf("%s times as much (%s to %s)", pen.Trim(d.Factor), pen.Trim(d.Low),
			view.OpenOr(d.High, pen.Trim))
		if d.Amount != "" {
			text = fmt.Sprintf("%s instead of %s (%s to %s times as much)", d.Amount, d.AmountNow,
				pen.Trim(d.Low), view.OpenOr(d.High, pen.Trim))
		}
		if d.PullH > 0 {
			out = append(out, fmt.Sprintf("%s, next time: pull it at about %s, or with the same time %s.", c.Name,
				pen.Spoken(d.PullH), text))
			continue
		}
		out = append(out, strings.TrimSpace(fmt.Sprintf("%s, next time: %s, for the strength wanted after %s. %s",
			c.Name, text, pen.Spoken(d.AtH), strings.Join(d.Warnings, " "))))
	}
	return out
}
