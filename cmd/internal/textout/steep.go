package textout

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics"
)

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// Steep prints when to pull each botanical, why, and when to taste next.
func Steep(p *Page, a *bench.Assessment) error {
	p.Line("%s", heading(a))
	p.Line("")
	if len(a.Curves) == 0 {
		p.Para("Nothing is steeping: add a [[botanical]] to the batch, e.g. name = \"orange zest\", amount = \"24 g\", target = 6.")
		return p.Err()
	}
	for _, s := range conclusions(a) {
		p.Para("%s", p.Strong(s))
	}
	if s := tasteNext(a); s != "" {
		p.Para("%s", s)
	}
	p.Line("")
	rows := make([][]string, 0, len(a.Curves))
	for i := range a.Curves {
		c := &a.Curves[i]
		rows = append(rows, []string{flavour(c), jarNow(c), bottleNow(c), pullColumn(a, c), because(c)})
	}
	p.Table([]string{"flavour", "jar now", "bottle now / wanted", "pull after", "ends because"}, rows)
	p.Line("")
	p.Para("Scores run from 0 (absent) over 6 (right for a lead flavour) to 10 (nothing else). Ranges are 90 %%.")
	if s := sample(p, a); s != "" {
		p.Para("A sample at bottle strength: %s. Have a sip of the plain base beside it, thinned alike.", s)
	}
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
		for _, s := range c.Proposals {
			p.Item("%s: another reading: %s%s", c.Name, s.Words, weightOf(s))
		}
	}
	return p.Err()
}

func heading(a *bench.Assessment) string {
	s := a.Batch.Name
	switch {
	case a.ElapsedH < 0:
		s += ", starts " + moment(a.Batch.Started, a.Now, 0)
	default:
		s += ", " + span(a.ElapsedH) + " in"
	}
	if b := a.Base(); b != "" {
		s += ", " + b
	}
	if a.Batch.RoomC != nil {
		s += fmt.Sprintf(", %.0f °C", *a.Batch.RoomC)
	}
	return s
}

// conclusions says what to do, the most urgent first.
func conclusions(a *bench.Assessment) []string {
	var out []string
	var in []*bench.Curve
	var later, never []string
	for i := range a.Curves {
		c := &a.Curves[i]
		switch {
		case c.Watch:
			if c.Overdue {
				in = append(in, c)
			}
		case c.Forbidden != "":
			out = append(out, fmt.Sprintf("Do not drink this jar: %s must not be steeped. %s", c.Name, capital(c.Forbidden)))
		case c.OutH != nil:
		case c.Botanical != nil && c.Botanical.LeaveIn:
		case c.JarH <= 0:
			later = append(later, fmt.Sprintf("the %s goes in %s", c.Name, moment(a.Batch.Started.Add(hours(c.InH)), a.Now, 0)))
		case math.IsInf(c.Window.Best, 1):
			never = append(never, c.Name)
		default:
			in = append(in, c)
		}
	}
	sort.SliceStable(in, func(i, j int) bool {
		if in[i].Overdue != in[j].Overdue {
			return in[i].Overdue
		}
		return in[i].InH+in[i].Window.Best < in[j].InH+in[j].Window.Best
	})
	var leave []string
	named := map[string]bool{} // watched tastes that an order above names
	for _, c := range in {
		if c.Watch || c.Overdue && c.Window.LimitedBy == kinetics.ByWatch {
			named[c.Window.Watch] = named[c.Window.Watch] || !c.Watch
		}
	}
	for _, c := range in {
		at := a.Batch.Started.Add(hours(c.InH + c.Window.Best))
		doubt := (c.Window.Until - c.Window.From) / 2
		switch {
		case c.Watch && named[c.Name]:
		case c.Watch:
			out = append(out, fmt.Sprintf("The %s has reached its limit: strain what brings it now.", c.Name))
		case c.Silent():
			out = append(out, fmt.Sprintf("Nothing has come of the %s: check its age and the amount before you wait longer.", c.Name))
		case c.Window.LimitedBy == kinetics.ByDecline:
			out = append(out, fmt.Sprintf("Taste the %s beside a kept sample and pull it: it was at its best after about %s and has come down since. Next time pull it then; the dose can stay.", c.Name, span(c.PeakH())))
		case c.Overdue && c.Late != nil && c.JarH > c.Late.UsualH && !tastedLimit(c):
			out = append(out, fmt.Sprintf("Pull the %s now: past about %s it turns %s.", c.Name, span(c.Late.UsualH), c.Late.What))
		case c.Overdue && tastedLimit(c):
			out = append(out, fmt.Sprintf("Pull the %s now: the %s is at its limit.", c.Name, c.Window.Watch))
		case c.Overdue && c.Tasted == 0 && c.OwnBatches == 0:
			out = append(out, fmt.Sprintf("Taste the %s now, and pull it unless it is still weak: by the usual range it is past its time.", c.Name))
		case c.Overdue:
			out = append(out, fmt.Sprintf("Pull the %s now: it is past its time.", c.Name))
		case c.Enough:
			out = append(out, enough(a, c))
		case c.GoesOn():
			out = append(out, fmt.Sprintf("Leave the %s: it is still rising. Taste again before you decide.", c.Name))
		case c.Window.Best <= c.JarH && c.Window.LimitedBy == kinetics.ByPlateau:
			out = append(out, fmt.Sprintf("Pull the %s when you like: it is about as strong as it gets%s.", c.Name, shortOf(c)))
		case c.Window.Best <= c.JarH:
			out = append(out, fmt.Sprintf("Taste the %s and pull it if you like it: its time has come.", c.Name))
		case c.Window.Best-c.JarH < 16 && !ahead(at, a.Now, doubt):
			out = append(out, fmt.Sprintf("Pull the %s about now (%s at the latest).", c.Name, until(a, c, doubt/2)))
		case c.Window.Best-c.JarH < 16 && !ahead(a.Batch.Started.Add(hours(c.InH+c.Window.From)), a.Now, doubt/2):
			out = append(out, fmt.Sprintf("Pull the %s %s (%s at the latest).", c.Name, about(at, a.Now, doubt), until(a, c, doubt/2)))
		case c.Window.Best-c.JarH < 16:
			out = append(out, fmt.Sprintf("Pull the %s %s (between %s and %s).", c.Name, about(at, a.Now, doubt),
				moment(a.Batch.Started.Add(hours(c.InH+c.Window.From)), a.Now, doubt/2), until(a, c, doubt/2)))
		default:
			leave = append(leave, fmt.Sprintf("the %s until %s", c.Name, about(at, a.Now, doubt)))
		}
	}
	if len(leave) > 0 {
		out = append(out, "Leave "+list(leave)+".")
	}
	if len(never) > 0 {
		out = append(out, fmt.Sprintf("The %s will not come to the strength wanted.", list(never)))
	}
	for _, l := range later {
		out = append(out, capital(l)+".")
	}
	if len(out) == 0 {
		out = append(out, "Everything is out of the jar.")
	}
	return out
}

// tastedLimit reports whether a watched taste, as it was tasted, ends the steep:
// not only the time at which such a fault is usual.
func tastedLimit(c *bench.Curve) bool {
	return c.Window.LimitedBy == kinetics.ByWatch && (c.Late == nil || c.Window.Watch != c.Late.What)
}

// enough is the order for a flavour that has just risen to the strength wanted.
func enough(a *bench.Assessment, c *bench.Curve) string {
	text := fmt.Sprintf("The %s is at the strength wanted by its last tasting: pull it, or taste again", c.Name)
	if c.NextH == nil || *c.NextH-a.ElapsedH < 1.0/120 {
		return text + " now."
	}
	return text + " in " + span(*c.NextH-a.ElapsedH) + "."
}

// ahead reports whether a moment, as it would be printed, lies ahead of now.
func ahead(at, now time.Time, doubtH float64) bool {
	if !at.After(now) {
		return false
	}
	if doubtH > 12 {
		return true // a part of the day, and now is in it at the earliest
	}
	return nearest(at.In(now.Location()), clockStep(doubtH)).After(now)
}

// shortOf says by how much a flavour at its end misses what was wanted.
func shortOf(c *bench.Curve) string {
	if c.Target == nil || c.BottleNow.Value >= *c.Target-0.5 {
		return ""
	}
	return fmt.Sprintf(", %s of the %s wanted; next time use more of it", score(c.BottleNow.Value), trim(*c.Target))
}

// about is a moment, hedged where it names a clock time.
func about(at, now time.Time, doubt float64) string {
	m := moment(at, now, doubt)
	if strings.Contains(m, ":") {
		return "about " + m
	}
	return m
}

func until(a *bench.Assessment, c *bench.Curve, doubt float64) string {
	if math.IsInf(c.Window.Until, 1) {
		return "maybe never"
	}
	return moment(a.Batch.Started.Add(hours(c.InH+c.Window.Until)), a.Now, doubt)
}

// tasteNext names the next sitting: everything due within its hour, weakest
// first, what numbs the palate last.
func tasteNext(a *bench.Assessment) string {
	s := a.NextSitting()
	if s == nil {
		return ""
	}
	at := moment(a.Batch.Started.Add(hours(s.AtH)), a.Now, math.Min(s.DoubtH, 6))
	if s.AtH <= a.ElapsedH+0.02 {
		at = "now"
	}
	text := fmt.Sprintf("Taste next %s: %s.", at, strings.Join(s.Order, ", then "))
	if s.Advice != "" {
		text += " " + s.Advice
	}
	return text
}

// weightOf says how strongly the tastings ask for another reading.
func weightOf(s kinetics.Proposal) string {
	text := ""
	if s.PeakHours > 0 {
		text += fmt.Sprintf(" It was strongest after about %s.", span(s.PeakHours))
	}
	if s.Evidence > 0 && s.Curve == kinetics.RiseLoss {
		return text + fmt.Sprintf(" (The tastings favour it %s to 1, so no dose is taken from the plain curve.)", significant(math.Min(math.Exp(s.Evidence), 1000), 1))
	}
	if s.Evidence > 0 {
		text += fmt.Sprintf(" (The tastings favour it %s to 1; the plain curve is kept until you say otherwise.)", significant(math.Min(math.Exp(s.Evidence), 1000), 1))
	}
	return text
}

// sample is the mix to taste, in millilitres, or in teaspoons beside them.
func sample(p *Page, a *bench.Assessment) string {
	if a.Sample.JarML <= 0 {
		return ""
	}
	parts := []string{p.volume(a.Sample.JarML) + " from the jar"}
	for _, part := range a.Sample.Parts {
		if part.VolumeML > 0 {
			parts = append(parts, p.volume(part.VolumeML)+" "+part.Name)
		}
	}
	return strings.Join(parts, " + ")
}

func flavour(c *bench.Curve) string {
	if c.Watch {
		return c.Name + " (watch)"
	}
	return c.Name
}

func jarNow(c *bench.Curve) string {
	if c.JarH <= 0 {
		return "not in"
	}
	return score(c.JarNow.Value)
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

func pullColumn(a *bench.Assessment, c *bench.Curve) string {
	switch {
	case c.Watch && c.Tasted == 0:
		return "not tasted yet"
	case c.Watch && c.OutH != nil:
		return "-"
	case c.Watch && math.IsInf(c.Window.Best, 1):
		return "not expected"
	case c.AtLimit():
		return "at its limit now"
	case c.Watch:
		return "not before " + span(math.Max(c.InH+c.Window.Best-a.ElapsedH, 0))
	case c.OutH != nil:
		return "pulled after " + span(c.JarH)
	case c.Botanical != nil && c.Botanical.LeaveIn:
		return "stays in"
	case math.IsInf(c.Window.Best, 1), c.Silent():
		return "-"
	case c.GoesOn() && !c.Overdue && !c.Enough:
		return "open"
	}
	return fmt.Sprintf("%s (%s)", span(c.Window.Best), spans(c.Window.Low, c.Window.High))
}

// because says what ends the steep of one flavour, and how sure that is.
func because(c *bench.Curve) string {
	if c.Watch {
		switch {
		case c.Tasted == 0 || c.OutH != nil || c.AtLimit():
		case c.LineH > 0:
			return fmt.Sprintf("at its limit after about %s if it goes on so", span(c.InH+c.LineH))
		case c.Window.Never > 0.05:
			return fmt.Sprintf("%s chance that it never gets there", percent(c.Window.Never))
		}
		return ""
	}
	if c.OutH != nil {
		return ""
	}
	if c.Silent() {
		return "nothing has come"
	}
	var parts []string
	switch c.Window.LimitedBy {
	case "target":
		parts = append(parts, "strong enough")
	case "watch":
		if c.Late != nil && c.Window.Watch == c.Late.What {
			parts = append(parts, fmt.Sprintf("later it turns %s, noticed from %s", c.Late.What, span(c.Late.FromH)))
		} else {
			parts = append(parts, c.Window.Watch+" would pass its limit")
		}
	case "plateau":
		if c.Rising() {
			parts = append(parts, "still rising")
			break
		}
		parts = append(parts, "as strong as it gets")
	case "decline":
		return "it was at its best then and has come down"
	}
	if c.Target != nil && c.Window.Never >= 0.05 && !c.Rising() {
		parts = append(parts, fmt.Sprintf("%s chance it never reaches %s", percent(c.Window.Never), trim(*c.Target)))
	}
	if s := c.Standing(); s != "" {
		parts = append(parts, s)
	}
	if c.Window.Extrapolated {
		parts = append(parts, "far beyond the last tasting")
	}
	return strings.Join(parts, "; ")
}

func rescue(p *Page, r *bench.Rescue) {
	if !r.Practical {
		p.Para("The %s is far over what was wanted: it would take about %s volumes of plain spirit to one of jar, which is not practical. Use the jar as a concentrate, by the spoon.", r.Name, significant(r.Volumes, 1))
		return
	}
	p.Para("The %s is over what was wanted: %s of plain spirit of the same strength (%s-%s volumes to one of jar), to %s in all, brings it back; an unspiced blend does as well. Taste a small trial of that mix first.",
		r.Name, p.volume(r.SpiritML), significant(r.LowVolumes, 2), significant(r.HighVolumes, 2), p.volume(r.VolumeML))
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
		if d.GramsNow > 0 {
			text = fmt.Sprintf("%s g (%s-%s g) instead of %s g", significant(d.Grams, 2), significant(d.GramsLow, 2), highOf(d.GramsHigh), significant(d.GramsNow, 2))
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

func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
