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
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// TastedScreen is what one more tasting changed, of which sample it is, and when it was where that
// was said in words.
func TastedScreen(before, after *bench.Assessment, t batch.NewTasting, inWords bool,
	style pen.Style) pen.Screen {
	names := pen.Each(t.Scores, func(s *batch.Score) string { return s.Name + " " + pen.Trim(s.Value) })
	when, last := "", &batch.Tasting{}
	if n := len(after.Batch.Tastings); n > 0 {
		last = &after.Batch.Tastings[n-1]
	}
	if inWords {
		when = " for " + view.Clock(last.When)
	}
	ofBottle, sample := after.Batch.OfBottle(last), ""
	switch {
	case strings.TrimSpace(t.Sample) != "":
		sample = " (" + strings.TrimSpace(t.Sample) + ")"
	case !ofBottle:
		sample = " (neat)"
	}
	after.Judge() // the words of it may forbid it
	text := fmt.Sprintf("Logged in %s%s: %s%s.%s", after.Batch.Name, when, quantity.And(names), sample,
		steppedWords(after, last))
	if t.Words != "" {
		text += bottle.Slip(after, t.Words, last.When, style)
	}
	s := bottle.Begin(after, text)
	s.More = Why(after)
	if t.Words != "" {
		s.Say = append(s.Say, bottle.ReadWords(after, t.Words, last.When)...)
	}
	if ofBottle {
		if after.Keep.Stop == "" {
			s.Say = append(s.Say, bottle.KeepSentence(after, style))
		}
		s.Rows = pen.Each(t.Scores, func(x *batch.Score) []string { return bottleRow(after, x) })
		for _, f := range after.Keep.Faded(after.Batch, after.ElapsedH, after.Fades()) {
			s.Notes = append(s.Notes, quantity.Capital(bottle.FadedWords(&f))+".")
		}
		return s.Said(style.Units)
	}
	s.Due = append(s.Due, nextWords(after))
	if after.Unfit() {
		return s.Said(style.Units)
	}
	for _, x := range after.Steps() {
		s.Rows = append(s.Rows, []string{x.Name, pen.Trim(x.Is), stepWords(&x)})
	}
	acts := due.Acts(after)
	for _, x := range t.Scores {
		old, now := before.Curve(x.Name), after.Curve(x.Name)
		if now == nil {
			continue
		}
		s.Rows = append(s.Rows, []string{now.Name, bottleNow(now),
			rowWords(after, now, acts) + movedWords(after, old, now)})
		p := now.Scored(last.Hours, last.Taster)
		if old == nil || p == nil {
			continue
		}
		if at, odd := old.Surprised(*p); odd {
			again := ", so taste it again before you act on it"
			out := []jar.Do{jar.Pull, jar.Strain} // then it says itself whether to act on it
			switch is, was := slices.Contains(out, now.Order.Do), slices.Contains(out, old.Order.Do); {
			case is && was:
				again = ""
			case is:
				again = ", and the order for now rests on this score alone, which a second sip would check"
			}
			s.Say = append(s.Say, fmt.Sprintf("%s: %s to %s was to be expected%s; if it was a slip, correct its score "+
				"in the file.", quantity.Capital(now.Name), pen.Score(at.Low), pen.Score(at.High), again))
		}
	}
	for _, c := range after.Curves {
		old := before.Curve(c.Name)
		for _, w := range c.Warnings {
			if old == nil || !slices.Contains(old.Warnings, w) {
				s.Notes = append(s.Notes, c.Name+": "+w)
			}
		}
	}
	return s.Said(style.Units)
}

// steppedWords says what a score stands for in the bottle, where that is another by what a taster can
// tell, and that it is past the end of the scale; "" where all samples were as the bottle will be.
func steppedWords(a *bench.Assessment, t *batch.Tasting) string {
	var said []string
	for i := range t.Scores {
		x := &t.Scores[i]
		p := a.Curve(x.Name).Scored(t.Hours, t.Taster)
		if p == nil || math.Abs(x.Value*p.Step-x.Value) < toldApart {
			continue
		}
		said = append(said, x.Name+" "+pen.Strength(x.Value*p.Step))
	}
	if len(said) == 0 {
		return ""
	}
	return " In the bottle, which is not thinned so: " + quantity.And(said) + "."
}

// movedWords is how a tasting moved the time at which a flavour is right, and when that was;
// "" where it did not.
func movedWords(a *bench.Assessment, old, now *steeping.Curve) string {
	o := &now.Order
	switch {
	case now.Watch || old == nil || o.Do != jar.Taste && o.Do != jar.Leave || o.TasteWhy == jar.Again:
		return ""
	case math.IsInf(o.BestH, 1) || math.IsInf(old.Order.BestH, 1):
		return ""
	}
	doubt := func(o *jar.Order) float64 { return math.Min(o.UntilH-o.FromH, math.Abs(o.BestH-a.ElapsedH)) / 2 }
	was, is := view.By(a, old.Order.BestH, doubt(&old.Order)), view.By(a, o.BestH, doubt(o))
	if was == is {
		return ""
	}
	was = " (was " + was + ")"
	switch how, _ := now.Since(old); how {
	case steeping.Slower:
		return "; best later" + was
	case steeping.Faster:
		return "; best sooner" + was
	case steeping.Weaker:
		return "; best sooner, for less is to come" + was
	case steeping.Stronger:
		return "; best later, for more is to come" + was
	}
	if o.BestH <= a.ElapsedH {
		return "; likely best already " + view.At(a, o.BestH, doubt(o)) + was
	}
	return "; its best is now " + is + was
}

// Why shows all of a jar, and logs nothing a second time.
func Why(a *bench.Assessment) string {
	return view.ShellLine([]string{"steepbook", "steep", a.Batch.File, "--why"})
}

// Tasted prints what one more tasting changed; with why also the times before and after.
func Tasted(p *pen.Page, before, after *bench.Assessment, t batch.NewTasting, inWords, why bool) error {
	if p.JSON {
		return p.WriteJSON(JSON(after))
	}
	s := TastedScreen(before, after, t, inWords, p.Style)
	if !why {
		p.Screen(s, pen.OfScreen)
		return p.Done()
	}
	p.Screen(s, pen.Whole)
	var rows [][]string
	for _, x := range t.Scores {
		if old, now := before.Curve(x.Name), after.Curve(x.Name); now != nil {
			rows = append(rows, []string{now.Name, was(old, pen.OrLater), was(now, pen.MaybeNever),
				learned(old, now)})
		}
	}
	if len(rows) > 0 {
		p.Line("")
		p.Table([]string{"flavour", "right, since it went in: before", "by now", "what it told"}, rows)
	}
	return p.Done()
}

// PulledScreen confirms that things came out, and when where that was said in words, and
// says what is left to do.
func PulledScreen(a *bench.Assessment, names []string, inWords bool, style pen.Style) pen.Screen {
	s := bottle.Begin(a)
	s.More = Why(a)
	for _, name := range names {
		c := a.Curve(name)
		if c == nil { // it was added
			s.Say = append(s.Say, fmt.Sprintf("The %s came out.", name))
			continue
		}
		text, pull := fmt.Sprintf("The %s came out after %s", c.Name,
			pen.Spoken(c.JarH)), a.Batch.Lifted(c.Name, a.ElapsedH)
		if pull != nil && c.OutH != nil && pull.Hours > *c.OutH {
			text = fmt.Sprintf("What was left of the %s came off", c.Name)
		}
		if pull != nil && inWords {
			text += ", " + view.Clock(pull.When)
		}
		if c.Tasted > 0 {
			text += fmt.Sprintf(", at about %s in the bottle", pen.Score(c.BottleNow.Value))
		}
		if c.Target != nil {
			text += fmt.Sprintf(" (%s wanted)", pen.Trim(*c.Target))
		}
		s.Say = append(s.Say, text+".")
		if back := a.PutBack(); c.Fine && len(back) > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("It is so fine that only a cloth takes it out: put the %s back "+
				"in if it came out too.", quantity.And(back)))
		}
	}
	s.Due = append(s.Due, nextWords(a))
	if !a.Unfit() {
		s.Rows = flavourRows(a, due.Acts(a))
	}
	return s.Said(style.Units)
}

// Pulled prints that things came out.
func Pulled(p *pen.Page, a *bench.Assessment, names []string, inWords bool) error {
	if p.JSON {
		return p.WriteJSON(JSON(a))
	}
	p.Screen(PulledScreen(a, names, inWords, p.Style), pen.OfScreen)
	return p.Done()
}

// was is a flavour's time as it was known; open is how an open end is told.
func was(c *steeping.Curve, open string) string {
	if c == nil || c.Watch && c.Tasted == 0 {
		return "-"
	}
	return rightAfter(c, open)
}

// learned says what a tasting changed: the time, and how well it is known.
func learned(old, now *steeping.Curve) string {
	switch {
	case old == nil || now.Watch && now.From != "":
		return Because(now)
	case now.Watch:
		return ""
	case now.Order.Why == jar.NoneYet || now.Order.Why == jar.Fades:
		return Because(now)
	}
	how, wider := now.Since(old)
	said := []string{string(how)}
	switch {
	case wider < 0.3:
		said = append(said, "its time is much surer now")
	case wider < 0.8:
		said = append(said, "its time is surer now")
	case wider > 1.2 && old.Tasted == 0:
		said = append(said, "it does not fit what is usual, so less is sure")
	case wider > 1.2:
		said = append(said, "it does not fit what went before, so less is sure")
	}
	if s := now.Standing(); s != "" {
		said = append(said, s)
	}
	return strings.Join(said, "; ")
}

// bottleRow is a score of the bottle beside the one before it.
func bottleRow(a *bench.Assessment, s *batch.Score) []string {
	row := []string{s.Name, pen.Trim(s.Value), ""}
	if all := a.Keep.Scores(a.Batch, a.ElapsedH, s.Name); len(all) > 1 {
		first := all[0]
		row[2] = fmt.Sprintf("%s on day %.0f", pen.Trim(first.Score), math.Floor(first.Days))
	}
	return row
}

// stepWords says how the sweet or the sour moved, and by what.
func stepWords(s *bench.Step) string {
	if !s.Tasted {
		return ""
	}
	text := fmt.Sprintf("was %s", pen.Trim(s.Was))
	if len(s.Additions) > 0 {
		text += " before " + quantity.And(pen.Each(s.Additions, func(x *batch.Added) string {
			return fmt.Sprintf("%s of %s", x.Amount, x.Name)
		}))
	}
	return text
}
