package view

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// done says what an entry of the log is.
var done = map[string]string{
	batch.KindTasting: "tasted", batch.KindPulled: "pulled", batch.KindStrained: "strained",
	batch.KindAdded: "added", batch.KindBottled: "bottled", batch.KindOpened: "opened",
	batch.KindEmptied: "emptied", batch.KindNoted: "noted",
}

// LoggedScreen confirms what was written down, says what it changed, and what is next;
// inWords: its moment was said in words, so that it is said back.
func LoggedScreen(g *due.Glance, entries []batch.Line, inWords bool, style pen.Style) pen.Screen {
	a := g.Assessment
	s := pen.Screen{More: steepLine(a)}
	for _, l := range entries {
		when := ""
		if inWords {
			when = " for " + exactly(l.When)
		}
		s.Say = append(s.Say, strings.TrimSpace(fmt.Sprintf("Logged in %s%s: %s %s", a.Batch.Name, when,
			done[l.Kind], l.Text))+".")
	}
	for i := range entries {
		l := &entries[i]
		if i+1 == len(entries) || l.Kind != batch.KindBottled { // of all that was bottled at once
			s.Say = append(s.Say, changed(g, l, style)...)
		}
		if l.Kind != batch.KindNoted {
			continue
		}
		for _, o := range a.Outcomes() {
			if o.At.Equal(l.When) && o.What == l.Text {
				danger, said := outcomeWords(a, &o)
				s.Danger, s.Say = append(s.Danger, danger...), append(s.Say, said)
			}
		}
	}
	if next := nextAct(g); next != "" {
		s.Say = append(s.Say, next)
	}
	return s.Said(style.Units)
}

// Logged prints what was written down.
func Logged(p *pen.Page, g *due.Glance, entries []batch.Line, inWords bool) error {
	a := g.Assessment
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", a.Batch.Name),
			pen.As("logged", pen.Each(entries, lineJSON)),
			pen.As("stage", g.Stage),
			pen.As("due", dueJSON(g)),
			pen.As("keep", pen.Where(g.Stage != due.Finished, keptJSON(a.Keep, a.Keep.Advises(),
				&a.Keep.Advised))),
			pen.As("bottles", bottlesJSON(a.Keep)),
			pen.As("to_come", pen.Each(a.Recipe.ToCome, toComeJSON)),
			pen.As("so_far", soFarJSON(a)),
			pen.As("outcomes", pen.Each(a.Outcomes(), outcomeJSON)),
		})
	}
	p.Screen(LoggedScreen(g, entries, inWords, p.Style), pen.OfKeep)
	return p.Done()
}

// changed says what an entry changed.
func changed(g *due.Glance, l *batch.Line, style pen.Style) []string {
	a := g.Assessment
	var text string
	switch {
	case g.Stage == due.Finished:
		text = "That was the last of it. It leaves the list of the book, and still teaches what it taught."
	case (l.Kind == batch.KindStrained || l.Kind == batch.KindAdded) && g.Stage == due.Steeping:
		var in []string
		for i := range a.Curves {
			if a.Curves[i].InJar() {
				in = append(in, a.Curves[i].Name)
			}
		}
		text = "Still in the jar, by the log: " + quantity.And(in) + "."
		if l.Kind == batch.KindAdded && style.Forms {
			text += " If that is out, log the straining too, with its time."
		} else if l.Kind == batch.KindAdded {
			text += " If that is out, log it with steepbook strain and its --at."
		}
	case l.Kind == batch.KindStrained:
		text = stillToCome(a)
	case l.Kind == batch.KindAdded:
		if so := soFarWords(a, style); so != "" {
			return []string{so, stillToCome(a)}
		}
		if b := &a.Blend; b.Have() {
			text = "All that was planned is in: " + figures(b, style) + "."
		}
	case l.Kind == batch.KindEmptied:
		text = bottlesWords(a)
	case l.Kind == batch.KindBottled:
		text = keepSentence(a, style)
		if b := &a.Blend; b.Have() && b.Filled != nil {
			if more := tooMuch(b.Filled, style); more != "" {
				return []string{more, quantity.Capital(text)}
			}
			if b.Filled.LeftML > 0 {
				return []string{style.Volume(b.Filled.LeftML) + " should be left over.", quantity.Capital(text)}
			}
		}
	case l.Kind == batch.KindOpened:
		text = keepSentence(a, style)
	}
	if text == "" {
		return nil
	}
	return []string{quantity.Capital(text)}
}

// figures are the yield and the figures of a blend in a few words.
func figures(b *recipe.Blend, style pen.Style) string {
	r := &b.Result
	text := fmt.Sprintf("about %s %s, %s g/L sugar", style.Volume(r.VolumeML.Value), atStrength(r.ABVPercent),
		pen.Number(r.SugarGPerL))
	if r.AcidGPerL.Value >= 0.05 {
		text += fmt.Sprintf(", %s g/L acid", pen.Number(r.AcidGPerL))
	}
	return text
}

// soFarWords says what is in by the log, "" where nothing is still to come.
func soFarWords(a *bench.Assessment, style pen.Style) string {
	b := a.SoFar()
	if b == nil {
		return ""
	}
	return "In so far: " + figures(b, style) + "."
}

// stillToCome says what is still to go in after straining.
func stillToCome(a *bench.Assessment) string {
	names := pen.Each(a.Recipe.ToCome, func(x *recipe.Addition) string {
		return fmt.Sprintf("%s (%s)", x.Entry.Name, rest(a, x).Text)
	})
	if len(names) == 0 {
		return ""
	}
	return "Still to go in: " + quantity.And(names) + "."
}

// rest is how much of an addition is still to go in, as it can be measured.
func rest(a *bench.Assessment, x *recipe.Addition) quantity.Amount {
	if x.Entry.Amount == nil {
		return quantity.Amount{}
	}
	amount, _ := quantity.Closely(*x.Entry.Amount, a.Batch.Units)
	return amount
}

// bottlesWords says which bottles are open and how many are not, each with its day.
func bottlesWords(a *bench.Assessment) string {
	k := a.Keep
	var said []string
	for i := range k.Open {
		o := &k.Open[i]
		text := fmt.Sprintf("bottle %d is open since %s", o.Number, dateOf(o.At, a.Now))
		switch {
		case !o.Safe.IsZero() && a.Now.After(o.Safe):
			text += ", past its day"
		case o.Past:
			text += ", past its best"
		case !o.Until.IsZero():
			text += ", use it by " + dateOf(o.Until, a.Now)
		}
		said = append(said, text)
	}
	if k.Sealed > 0 {
		text := quantity.Counted(k.Sealed, "is", "are") + " sealed"
		if len(said) == 0 {
			text = quantity.Counted(k.Sealed, "bottle is", "bottles are") + " left, sealed"
		}
		switch {
		case k.SealedUntil.IsZero():
		case a.Now.After(k.SealedUntil):
			text += ", past " + dateOf(k.SealedUntil, a.Now)
		default:
			text += ", until " + dateOf(k.SealedUntil, a.Now)
		}
		said = append(said, text)
	}
	if len(said) == 0 {
		return ""
	}
	return strings.Join(said, "; ") + "."
}

// what is what the keeping speaks of: the open bottle where others are sealed.
func what(k *bench.Keep) string {
	if len(k.Open) > 0 && (k.Sealed > 0 || len(k.Open) > 1) {
		return fmt.Sprintf("bottle %d", k.Open[0].Number)
	}
	return "it"
}

// outcomeWords says of a sign that was seen what it most likely is, and how that goes with
// what keep says; danger where it may be life.
func outcomeWords(a *bench.Assessment, o *bench.Outcome) (danger []string, said string) {
	seal := "sealed"
	if o.Opened {
		seal = "once opened"
	}
	text := fmt.Sprintf("%s, day %.0f (%s): most likely %s.", quantity.Capital(o.What), math.Floor(o.Days),
		dateOf(o.At, a.Now), o.Cause.Name)
	if o.Too != nil {
		text = strings.TrimSuffix(text, ".") + "; it is also " + o.Too.Name + "."
	}
	switch {
	case !o.Cause.ThrowAway:
	case o.Said.Open():
		text += fmt.Sprintf(" By what is known of it nothing should have grown, %s; so something in the file or "+
			"in the judgement is not right.", seal)
	case o.Days < o.Said.Low:
		text += fmt.Sprintf(" That is sooner than the %s %s that keep gives it.", o.Said.Words, seal)
	case o.Days <= o.Said.High:
		text += fmt.Sprintf(" Keep gives it %s %s, so it could be looked for.", o.Said.Words, seal)
	default:
		text += fmt.Sprintf(" Keep gives it %s %s, and they were over.", o.Said.Words, seal)
	}
	if o.Cause.ThrowAway && a.Keep.EmptiedAt.IsZero() {
		danger = append(danger, fmt.Sprintf("It may be alive (%s): if you are not sure, throw that bottle away "+
			"untasted.", o.What))
	}
	return danger, text
}

// fadedWords says how a taste held by the maker's own scores, beside what was expected.
func fadedWords(f *bench.Faded) string {
	text := fmt.Sprintf("%s: %s on day %.0f, %s on day %.0f", f.Of, pen.Trim(f.First.Score),
		math.Floor(f.First.Days), pen.Trim(f.Last.Score), math.Floor(f.Last.Days))
	if math.IsInf(f.NoticedD, 1) {
		return fmt.Sprintf("%s: less than a quarter of it is gone; expected after %s", text, f.Expected.Time.Words)
	}
	return fmt.Sprintf("%s: a quarter of it was gone between day %.0f and day %.0f; expected after %s", text,
		math.Floor(f.HeldD), math.Floor(f.NoticedD), f.Expected.Time.Words)
}

// ownScores says how its tastes held by the maker's own scores.
func ownScores(a *bench.Assessment) string {
	return strings.Join(pen.Each(a.Faded(), fadedWords), "; ")
}

// bottleRow is a score of the bottle beside the one before it.
func bottleRow(a *bench.Assessment, s *batch.Score) []string {
	row := []string{s.Name, pen.Trim(s.Value), ""}
	if all := a.BottleScores(s.Name); len(all) > 1 {
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

// nextAct says what to do next, "" where nothing is.
func nextAct(g *due.Glance) string {
	switch d := &g.Due; {
	case d.Kind == due.Discard && g.Assessment.Alive() != nil, // which is said already, and this too
		d.Kind == due.Bottle && len(g.Assessment.Recipe.ToCome) > 0:
		return ""
	case d.Kind == due.Nothing, d.Kind == due.AtBest, d.Kind == due.Use && !d.Overdue:
		return ""
	}
	return "Next: " + dueWords(g) + "."
}

// DoneWords is an entry of the log in words: "pulled clove, 05:14".
func DoneWords(l *batch.Line, now time.Time) string {
	text := strings.TrimSpace(done[l.Kind] + " " + pen.Clip(l.Text, 60))
	y, m, d := l.When.In(now.Location()).Date()
	if ty, tm, td := now.Date(); y == ty && m == tm && d == td {
		return text + l.When.Format(", 15:04~")
	}
	return text + l.When.Format(", 2~Jan 2006~15:04")
}

// UndoneScreen says what was taken out of the file again; g as in Undone.
func UndoneScreen(b *batch.Batch, g *due.Glance, removed string, style pen.Style) pen.Screen {
	s := pen.Screen{Say: []string{fmt.Sprintf("Taken out of %s, its last entry:", filepath.Base(b.File))}}
	for _, l := range strings.Split(strings.TrimSpace(removed), "\n") {
		s.Rows = append(s.Rows, []string{l})
	}
	if g == nil {
		return s.Said(style.Units)
	}
	if next := nextAct(g); next != "" {
		s.Notes = append(s.Notes, next)
	}
	return s.Said(style.Units)
}

// Undone prints what was taken out of the file again; g is nil where the batch cannot be
// answered even so.
func Undone(p *pen.Page, b *batch.Batch, g *due.Glance, removed string) error {
	if p.JSON {
		out := pen.Object{pen.As("batch", b.Name), pen.As("removed", pen.Verbatim(removed))}
		if g != nil {
			out = append(out, pen.As("stage", g.Stage), pen.As("due", dueJSON(g)))
		}
		return p.WriteJSON(out)
	}
	p.Screen(UndoneScreen(b, g, removed, p.Style), pen.Whole)
	return p.Done()
}
