package textout

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// Steep prints when to pull each botanical, why, and when to taste next.
func Steep(p *Page, a *bench.Assessment) error {
	if p.JSON {
		return p.json(steepJSON(a))
	}
	p.Line("%s", heading(p, a))
	p.Line("")
	unfit(p, a)
	if len(a.Curves) == 0 {
		p.Para("Nothing is steeping: add a [[botanical]] to the batch, e.g. name = \"orange zest\", amount = \"24~g\", target = 6.")
		return p.Err()
	}
	for _, s := range orders(a) {
		p.Para("%s", p.Strong(s))
	}
	p.Line("")
	rows := make([][]string, 0, len(a.Curves))
	for i := range a.Curves {
		c := &a.Curves[i]
		rows = append(rows, []string{flavour(c), bottleNow(c), rightAfter(c, orLater), because(c)})
	}
	p.Table([]string{"flavour", "bottle now / wanted", "right after", "because"}, rows)
	p.Line("")
	p.Para("Scores run from 0 (absent) over 6 (right for a lead flavour) to 10 (nothing else), as the bottle will taste. Times count from when each went in; ranges hold nine times in ten.")
	howToTaste(p, a, a.Batch.File)
	if r := a.Rescue; r != nil {
		rescue(p, r)
	}
	doses(p, a)
	for _, w := range a.Warnings {
		p.Item("%s", w)
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		for _, w := range c.Warnings {
			p.Item("%s: %s", c.Name, w)
		}
	}
	return p.Err()
}

func heading(p *Page, a *bench.Assessment) string {
	s := a.Batch.Name
	switch {
	case a.ElapsedH < 0:
		s += ", starts " + moment(a.Batch.Started, a.Now, 0)
	case a.ElapsedH < 1.0/60:
		s += ", just started"
	default:
		s += ", " + span(a.ElapsedH) + " in"
	}
	if b := a.Base(); b != "" {
		s += ", " + b
	}
	if a.Batch.RoomC != nil {
		s += ", " + quantity.FormatTemperature(*a.Batch.RoomC, p.Units)
	}
	return s
}

// orders says what to do, the most urgent first: it words each flavour's order and
// decides nothing.
func orders(a *bench.Assessment) []string {
	var out, later []string
	unfit := a.Unfit() // nothing of it is tasted any more
	groups := map[jar.Do][]*bench.Curve{}
	for i := range a.Curves {
		c := &a.Curves[i]
		switch o := &c.Order; {
		case c.Watch:
		case o.Why == jar.Forbid:
			out = append(out, fmt.Sprintf("Do not drink this jar: %s must not be steeped. %s", c.Name, capital(c.Forbidden)))
		case unfit:
		case c.JarH <= 0 && o.Do == jar.Taste:
			later = append(later, fmt.Sprintf("Put in the %s %s.", c.Name, moment(a.Batch.Started.Add(hours(c.InH)), a.Now, 0)))
		case o.Do == jar.Nothing:
			out = append(out, fmt.Sprintf("Nothing has come of the %s: check its age and the amount; more time will not help.", c.Name))
		default:
			groups[o.Do] = append(groups[o.Do], c)
		}
	}
	if unfit {
		return out
	}
	for _, do := range []jar.Do{jar.Strain, jar.Pull} {
		out = append(out, outNow(a, do, groups[do])...)
	}
	leave := groups[jar.Leave]
	sort.SliceStable(leave, func(i, j int) bool { return leave[i].Order.ByH < leave[j].Order.ByH })
	for _, c := range leave {
		o := &c.Order
		doubt := (o.UntilH - o.FromH) / 2
		text := fmt.Sprintf("Leave the %s until %s", c.Name, about(a.Batch.Started.Add(hours(o.ByH)), a.Now, doubt))
		if span := between(a, o); span != "" {
			text += " (" + span + ")"
		}
		out = append(out, text+".")
	}
	out = append(append(out, tasteNext(a)...), later...)
	if len(out) == 0 {
		out = append(out, "Everything is out of the jar.")
	}
	return out
}

// outNow is the order to take flavours out at once, one sentence a reason.
func outNow(a *bench.Assessment, do jar.Do, of []*bench.Curve) []string {
	type reason struct {
		words string
		names []string
	}
	var reasons []reason
	for _, c := range of {
		words := outBecause(a, c)
		k := slices.IndexFunc(reasons, func(r reason) bool { return r.words == words })
		if k < 0 {
			k = len(reasons)
			reasons = append(reasons, reason{words: words})
		}
		reasons[k].names = append(reasons[k].names, c.Name)
	}
	var out []string
	for _, r := range reasons {
		verb := "Pull the " + quantity.And(r.names)
		if do == jar.Strain {
			verb = "Strain out the " + quantity.And(r.names)
		}
		out = append(out, verb+" now: "+r.words+".")
	}
	if back := a.PutBack(); do == jar.Strain && len(out) > 0 && len(back) > 0 {
		out[len(out)-1] += fmt.Sprintf(" Strain the jar through a cloth and put the %s back in.", quantity.And(back))
	}
	return out
}

// outBecause says why a flavour comes out now.
func outBecause(a *bench.Assessment, c *bench.Curve) string {
	o := &c.Order
	past := ""
	if o.Overdue {
		past = fmt.Sprintf("; best after about %s", span(o.BestH-c.InH))
	}
	switch o.Why {
	case jar.Spoils:
		if w := curve(a, o.Blame); w != nil && w.Watch && w.Tasted > 0 {
			if w.BottleNow.Value >= 0.9*w.Limit {
				return fmt.Sprintf("the %s has reached its limit%s", o.Blame, past)
			}
			return fmt.Sprintf("the %s would pass its limit%s", o.Blame, past)
		}
		return fmt.Sprintf("longer steeping turns the jar %s%s", o.Blame, past)
	case jar.Fades:
		return fmt.Sprintf("best after about %s, weaker since", span(o.BestH-c.InH))
	case jar.AllThere:
		return "about as strong as it gets" + shortOf(c) + past
	}
	if o.Overdue {
		return "past the strength wanted" + past
	}
	return "as strong as wanted"
}

// between is the stretch in which no taster could tell the difference.
func between(a *bench.Assessment, o *jar.Order) string {
	doubt := (o.UntilH - o.FromH) / 4
	at := func(h float64) string { return moment(a.Batch.Started.Add(hours(h)), a.Now, doubt) }
	switch {
	case math.IsInf(o.UntilH, 1) && o.FromH > a.ElapsedH:
		return "right from " + at(o.FromH) + " on"
	case math.IsInf(o.UntilH, 1):
		return ""
	case o.FromH <= a.ElapsedH:
		return "by " + at(o.UntilH) + " at the latest"
	}
	from, until := at(o.FromH), at(o.UntilH)
	if from == until {
		return ""
	}
	return "right between " + from + " and " + until
}

// shortOf says by how much a flavour at its end misses what was wanted.
func shortOf(c *bench.Curve) string {
	if c.Target == nil || c.BottleNow.Value >= *c.Target-0.5 {
		return ""
	}
	return fmt.Sprintf(", %s of the %s wanted", score(c.BottleNow.Value), trim(*c.Target))
}

// about is a moment, hedged where it names a clock time.
func about(at, now time.Time, doubt float64) string {
	m := moment(at, now, doubt)
	if strings.Contains(m, ":") {
		return "about " + m
	}
	return m
}

// tasteNext names the next sitting: everything due by then, weakest first, what
// numbs the palate last, and why it is worth it; then what can wait longer.
func tasteNext(a *bench.Assessment) []string {
	s := a.NextSitting()
	if s == nil {
		return nil
	}
	at := "next " + moment(a.Batch.Started.Add(hours(s.AtH)), a.Now, math.Min(s.DoubtH, 6))
	if s.AtH <= a.ElapsedH+math.Max(0.02*a.ElapsedH, 1.0/120) {
		at = "now"
	}
	text := fmt.Sprintf("Taste %s: the %s", at, strings.Join(s.Flavours, ", then the "))
	if len(s.Watch) > 0 {
		text += "; look for " + quantity.And(s.Watch) + " too"
	}
	switch {
	case len(s.Late) > 0 && len(s.Late) == len(s.Flavours):
		text += ". That is longer in the jar than usual"
	case len(s.Late) > 0:
		text += fmt.Sprintf(". For the %s that is longer in the jar than usual", quantity.And(s.Late))
	case s.Decides:
		text += ". That tasting decides"
	case s.Early:
		text += ". That is a first look: few jars are ready by then"
	default:
		text += ". That is a first look"
	}
	text += "."
	if s.Advice != "" {
		text += " " + s.Advice
	}
	out := []string{text}
	for _, n := range s.Later {
		h := curve(a, n).Order.TasteH
		out = append(out, fmt.Sprintf("No need to taste the %s before %s.", n, moment(a.Batch.Started.Add(hours(h)), a.Now, math.Min((h-a.ElapsedH)/4, 6))))
	}
	return out
}

// howToTaste says how the next tasting is mixed, and prints the line that logs it,
// to be copied as it is: a score counts as neat unless the line names the mix.
func howToTaste(p *Page, a *bench.Assessment, file string) {
	scores := toScore(a)
	if len(scores) == 0 {
		return
	}
	line := []string{"taste", file}
	text := ""
	if recipe, ratio := sample(p, a); ratio != "" {
		text = fmt.Sprintf("Taste it as the bottle will be: %s. Taste the plain base beside it, thinned the same way. ", recipe)
		line = append(line, "--sample", ratio)
	}
	p.Para("%sLog a tasting like this, with your own scores:", text)
	p.Line("  steepbook %s", ShellLine(append(line, scores...)))
}

// toScore names what the next tasting scores, with a score to write over: all that
// is due, or all that is in; nothing of a jar that nobody may drink.
func toScore(a *bench.Assessment) []string {
	var flavours, watch []string
	s := a.NextSitting()
	if s != nil {
		flavours, watch = s.Flavours, s.Watch
	}
	for i := range a.Curves {
		switch c := &a.Curves[i]; {
		case c.Forbidden != "":
			return nil
		case s == nil && c.InJar():
			flavours = append(flavours, c.Name)
		}
	}
	var out []string
	for _, n := range flavours {
		out = append(out, n+"=3")
	}
	for _, n := range watch {
		out = append(out, n+"=0")
	}
	return out
}

// sample is the mix to taste, in millilitres, or in teaspoons beside them, and the
// same as --sample takes it; both are empty where the jar is tasted neat.
func sample(p *Page, a *bench.Assessment) (recipe, ratio string) {
	s := &a.Sample
	if s.JarML <= 0 {
		return "", ""
	}
	volume := func(ml float64) string {
		if p.Units == quantity.Metric {
			return trimML(ml) + " ml" // to the half millilitre: the ratio is read off it
		}
		return p.volume(ml)
	}
	parts := []string{volume(s.JarML) + " from the jar"}
	for _, part := range s.Parts {
		if part.VolumeML > 0 {
			parts = append(parts, volume(part.VolumeML)+" "+part.Name)
		}
	}
	return strings.Join(parts, " + "), trimML(s.JarML) + ":" + trimML(s.TotalML-s.JarML)
}

func trimML(ml float64) string { return strconv.FormatFloat(ml, 'f', -1, 64) }

// ShellLine writes arguments as one would type them.
func ShellLine(args []string) string {
	typed := make([]string, len(args))
	for i, a := range args {
		typed[i] = a
		if strings.ContainsAny(a, " \t\"'`$&|;<>()*?") {
			typed[i] = `"` + strings.NewReplacer(`"`, `\"`, "`", "\\`", "$", `\$`).Replace(a) + `"`
		}
	}
	return strings.Join(typed, " ")
}

func flavour(c *bench.Curve) string {
	if c.Watch {
		return c.Name + " (watch)"
	}
	return c.Name
}

func bottleNow(c *bench.Curve) string {
	now := "-"
	if c.JarH > 0 {
		now = score(c.BottleNow.Value)
	}
	switch {
	case c.Watch:
		return fmt.Sprintf("%s / at most %s", now, trim(c.Limit))
	case c.Target != nil:
		return fmt.Sprintf("%s / %s", now, trim(*c.Target))
	}
	return now
}

func trim(v float64) string { return significant(v, 2) }

// rightAfter is how long a flavour is steeped: its best time with the 90 % range
// of the time at which it is as strong as wanted; open is how an open end is told.
func rightAfter(c *bench.Curve, open string) string {
	o := &c.Order
	x := &o.Crossing
	switch {
	case c.Watch && c.Tasted == 0:
		return "not tasted yet"
	case c.Watch && o.Do == jar.Out:
		return "-"
	case c.Watch && o.Over > 0.5:
		return "at its limit now"
	case c.Watch && math.IsInf(x.P10, 1):
		return "not expected"
	case c.Watch && x.P10-c.InH < c.JarH:
		return oneIn(o.Over) + " that it is over"
	case c.Watch:
		return "under it to " + span(x.P10-c.InH) + " at least"
	case o.Do == jar.Out:
		return "out after " + span(c.JarH)
	case o.Do == jar.Stays:
		return "stays in"
	}
	right, ok := c.Right()
	if !ok || o.Do == jar.Nothing {
		return "-"
	}
	best := span(right.Value)
	switch {
	case !math.IsInf(right.High, 1):
		return best + " (" + spans(right.Low, right.High) + ")"
	case span(right.Low) == best:
		return best + open
	}
	return best + " (" + span(right.Low) + open + ")"
}

// because says what ends the steep of one flavour, and how sure that is.
func because(c *bench.Curve) string {
	o := &c.Order
	if c.Watch {
		switch {
		case c.Tasted == 0 || o.Do == jar.Out:
			return ""
		case c.From != "":
			return "most likely from the " + c.From
		}
		return ""
	}
	var parts []string
	switch {
	case o.Do == jar.Out || o.Do == jar.Stays:
		return ""
	case o.Why == jar.NoneYet:
		return "nothing has come"
	case o.Why == jar.Spoils:
		parts = append(parts, o.Blame+" comes first")
	case o.Why == jar.Fades:
		return "best then, weaker since"
	case o.Why == jar.AllThere || c.Target == nil || o.Never > 0.5:
		parts = append(parts, "as strong as it gets")
	default:
		parts = append(parts, "strong enough")
	}
	if c.Target != nil && o.Never >= 0.05 {
		parts = append(parts, fmt.Sprintf("%s that it stays below %s", oneIn(o.Never), trim(*c.Target)))
	}
	if s := c.Standing(); s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
}

// oneIn is a chance in words.
func oneIn(p float64) string {
	switch {
	case p > 0.9:
		return "almost certain"
	case p > 0.67:
		return "likely"
	case p > 0.4:
		return "1 in 2"
	}
	return fmt.Sprintf("1 in %.0f", math.Round(1/math.Max(p, 0.01)))
}

func rescue(p *Page, r *bench.Rescue) {
	if !r.Practical {
		p.Para("There is far too much of the %s: it would take more than %s volumes of plain spirit to one of jar, which is not practical. Use the jar as a concentrate, by the spoon.", r.Name, trim(kinetics.MostVolumes))
		return
	}
	if r.SpiritML == 0 { // nobody wrote how much is in the jar
		p.Para("There is too much of the %s: about %s volumes of plain spirit of the same strength to one of jar should bring it back; try it in a small glass first.", r.Name, trim(r.Volumes))
		return
	}
	p.Para("There is too much of the %s: about %s of plain spirit of the same strength (%s in all) should bring it back; an unspiced blend does as well. Try it in a small glass first.",
		r.Name, p.volume(r.SpiritML), p.volume(r.VolumeML))
}

// doses says how much to use next time.
func doses(p *Page, a *bench.Assessment) {
	for i := range a.Curves {
		d := a.Curves[i].Dose
		if d == nil {
			continue
		}
		name := a.Curves[i].Name
		if math.IsInf(d.Factor, 1) {
			continue
		}
		text := fmt.Sprintf("%s times the dose (%s-%s)", significant(d.Factor, 2), significant(d.Low, 2), highOf(d.High))
		if d.Amount != "" {
			text = fmt.Sprintf("%s instead of %s (%s-%s times as much)", d.Amount, d.AmountNow, significant(d.Low, 2), highOf(d.High))
		}
		if d.PullH > 0 {
			p.Item("%s, next time: pull it at about %s, or with the same time %s.", name, span(d.PullH), text)
			continue
		}
		p.Item("%s, next time: %s, for the strength wanted after %s. %s", name, text, span(d.AtH), strings.Join(d.Warnings, " "))
	}
}

func highOf(v float64) string {
	if math.IsInf(v, 1) {
		return "open"
	}
	return significant(v, 2)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
