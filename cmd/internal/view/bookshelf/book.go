// Package bookshelf says how the batches of a book stand in a row: what is due, what
// keeps until when, what they have taught, and all of them for programs.
package bookshelf

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Screen is what is due in a book, then what keeps until when; with all also what is
// finished.
func Screen(b *book.Shelf, all bool, style pen.Style) pen.Screen {
	s, dangers, now := Lead(b, all, style), false, 0
	told := map[*due.Glance]bool{} // by a row
	for _, r := range Rows(b, style) {
		if !all && r.Glance.Stage == due.Finished {
			continue
		}
		if r.Danger {
			r.When, dangers = r.When+" !", true
		}
		switch {
		case len(s.Answer) < mostRows && (r.Now || !told[r.Glance]):
			s.Answer = append(s.Answer, len(s.Rows))
		case r.Now:
			now++
		}
		told[r.Glance] = true
		s.Rows = append(s.Rows, []string{r.When, r.Name, r.What})
	}
	if now > 0 {
		s.More = fmt.Sprintf("--why (%d of them due now)", now)
	}
	for _, row := range stopRows(b.Batches, style) {
		s.Answer, s.Rows = append(s.Answer, len(s.Rows)), append(s.Rows, row)
	}
	if dangers {
		s.Notes = append(s.Notes, "! read first what can hurt in it, with steepbook keep FILE")
	}
	return s.Said(style.Units)
}

// Lead is the screen without its rows.
func Lead(b *book.Shelf, all bool, style pen.Style) pen.Screen {
	s := pen.Screen{Danger: neverServe(b.Batches, style)}
	count := map[string]int{}
	for i := range b.Batches {
		switch g := &b.Batches[i]; {
		case g.Stage == due.Finished:
			count["finished"]++
		case g.Due.Overdue || g.Due.Now:
			count["now"]++
		case g.Stage == due.Bottled:
			count["keep"]++
		case g.Due.Kind != due.Nothing:
			count["later"]++
		}
	}
	s.Say = []string{b.Now.Format("Monday 2~January, 15:04~. ") + counted(len(b.Batches), count, all)}
	if !style.Forms { // where they have a part of their own
		for _, text := range view.NotRead(pen.Each(b.Wrong,
			func(w *book.Wrong) string { return w.Problem })) {
			s.Danger = append(s.Danger, quantity.Capital(text))
		}
	}
	return s.Said(style.Units)
}

// mostRows is how many rows, of what is due now and one of every other batch, are printed however long the
// answer gets: more are another evening's work. Judgement.
const mostRows = 40

// stopRows are the batches that must not be drunk, below all work, where the sentence on top
// does not name them.
func stopRows(list []due.Glance, style pen.Style) (rows [][]string) {
	of := make(map[string][][]string)
	for i := range list {
		if g := &list[i]; g.Due.Kind == due.Discard {
			not := bottle.Forbids(g.Assessment)
			of[not] = append(of[not], []string{"never", stopName(g, style), not})
		}
	}
	for _, not := range slices.Sorted(maps.Keys(of)) {
		if rest := of[not]; len(rest) > MostNamed+1 {
			rows = append(rows, rest[MostNamed:]...)
		}
	}
	return rows
}

// Row is a line of the book: when, of which batch, and what is to be done or where it
// keeps. Now: it is due. Danger: something in the batch can hurt, which its own answers say; it
// stands at the first of its rows.
type Row struct {
	When, Name, What string
	Now, Danger      bool
	Glance           *due.Glance
}

// Rows are what is due in a book, what keeps, and what is finished. What is a danger
// is none of them.
func Rows(b *book.Shelf, style pen.Style) []Row {
	var rows []Row
	marked, aimed := map[*due.Glance]bool{}, map[*due.Glance]bool{} // once a batch
	add := func(when string, g *due.Glance, what string) {
		rows = append(rows, Row{When: style.Say("%s", when), Name: g.Title(), What: style.Say("%s", what),
			Now: when == now, Danger: !marked[g] && len(bottle.Hurting(g.Assessment)) > 0, Glance: g})
		marked[g] = true
	}
	y, m, d := b.Now.Date()
	tomorrow := time.Date(y, m, d+2, 0, 0, 0, 0, b.Now.Location())
	aims := func(g *due.Glance, what string) string {
		if g.Aim == nil || aimed[g] {
			return what
		}
		aimed[g] = true
		if p := g.Aim.Plan; p != nil && !p.Off.IsZero() { // that is the order
			return view.StartBy(p, b.Now) + "; for " + view.DateOf(g.Aim.Ready, b.Now)
		}
		return what + "; " + view.AimWords(g.Aim, b.Now)
	}
	for _, e := range due.Errands(b.Batches, tomorrow) {
		if e.Act.Kind == due.Discard || e.Act.Kind == due.Use {
			continue
		}
		before, behind := nextact.Mind(e.Glance, &e.Act)
		if before != "" {
			before = view.IfDrunkRow(e.Assessment.Keep)
		}
		what := before + lateWords(&e.Act, b.Now) + behind
		if e.Act.Kind == due.Rested ||
			(e.Act.Kind == due.Lift || e.Stage == due.Strained && e.Act.Kind != due.TakeOut && e.Act.Kind != due.Measure) &&
				!e.Until.IsZero() && !e.Act.Ask {
			kept := strings.TrimPrefix(keepsWords(e.Glance, b.Now, style), before)
			if e.Act.Place != "" { // which is told
				kept = strings.TrimPrefix(kept, bottle.InPlace(style, e.Assessment.Keep)+bottle.By(e.Assessment))
			}
			what += "; " + kept
		}
		what += view.Expected(e.Glance, func(t time.Time) string { return view.DateOf(t, b.Now) })
		add(actWhen(&e.Act, b.Now), e.Glance, aims(e.Glance, what))
	}
	for _, g := range due.Keeps(b.Batches) {
		add("keeps", g, aims(g, keepsWords(g, b.Now, style)))
	}
	for i := range b.Batches {
		if g := &b.Batches[i]; g.Stage == due.Finished {
			add("finished", g, "started on "+view.DateOf(g.Assessment.Batch.Started, b.Now))
		}
	}
	return rows
}

// counted says how many batches there are, and of which sort.
func counted(n int, count map[string]int, all bool) string {
	var parts []string
	for _, sort := range []struct{ of, one, many string }{{"now", "due now", "due now"},
		{"later", "later", "later"},
		{"keep", "keeps", "keep"}, {"finished", "finished", "finished"}} {
		if k := count[sort.of]; k > 0 {
			parts = append(parts, quantity.Counted(k, sort.one, sort.many))
		}
	}
	if count["now"] == 0 {
		parts = append([]string{"none due now"}, parts...)
	}
	text := quantity.Counted(n, "batch", "batches") + ": " + quantity.And(parts)
	if count["finished"] > 0 && !all {
		text += " (--all shows them)"
	}
	return text + "."
}

// ifMixed stands behind what is past its time by what nobody logged.
const ifMixed = " (if all has gone in since it was strained)"

// ifLacked stands behind what is over where nobody logged the rest.
const ifLacked = " (if the rest went in too late, or not yet)"

// neverServe names what nobody may drink any more, or ever.
func neverServe(list []due.Glance, style pen.Style) []string {
	var past, over, never, asked []string
	for i := range list {
		switch g := &list[i]; {
		case g.Due.Kind == due.Discard && bottle.OverLimit(g.Assessment):
			over = append(over, stopName(g, style))
		case g.Due.Kind == due.Discard:
			never = append(never, stopName(g, style))
		case g.Due.Kind == due.Use && g.Due.Overdue:
			name := g.Title() + nextact.BottleOf(g)
			if _, not := g.Assessment.Keep.Spoken(g.Assessment.Now); not != nil {
				name += " (" + view.Names(not) + quantity.Verb(len(not), " is", " are") + " not)"
			}
			if k := g.Assessment.Keep; k.Untold && !k.Withheld() {
				name += ifMixed
			} else if k.Lacked() {
				name += ifLacked
			}
			past = append(past, name)
		case g.Assessment.Keep.OverIfMixed:
			asked = append(asked, g.Title())
		}
	}
	var out []string
	if len(never) > 0 {
		it := "it as it is"
		if len(never) > MostNamed {
			it = fmt.Sprintf("%d batches as they are", len(never))
		}
		out = append(out, "Do not drink or keep "+it+": "+few(never)+".")
	}
	if len(over) > 0 {
		out = append(out, "Do not serve as it is what is over a limit: "+few(over)+".")
	}
	if len(out) > 0 && !style.Forms {
		out[0] += " Why: steepbook keep FILE"
	}
	if len(past) > 0 {
		out = append(out, "Do not serve it, past its keeping time: "+few(past)+".")
	}
	if len(asked) > 0 {
		out = append(out, "If all has gone in since it was strained, do not serve it: "+few(asked)+".")
	}
	return out
}

// stopName is a batch that must not be drunk, by its file too where that is to be typed.
func stopName(g *due.Glance, style pen.Style) string {
	if style.Forms || g.Namesake {
		return g.Title()
	}
	return g.Title() + " (" + filepath.Base(g.Assessment.Batch.File) + ")"
}

// MostNamed is how many batches one sentence names; of more the others have a row each.
const MostNamed = 3

// few names the first of many.
func few(names []string) string {
	if len(names) > MostNamed+1 {
		names = append(slices.Clone(names[:MostNamed]), fmt.Sprintf("%d more", len(names)-MostNamed))
	}
	return quantity.And(names)
}

// now is what is due now, for a column.
const now = "now"

// actWhen is when something is to be done, for a column.
func actWhen(d *due.Act, at time.Time) string {
	switch {
	case d.Overdue || d.Now:
		return now
	case d.At.IsZero():
		return "soon"
	case d.By:
		return "by " + nextact.Time(d, at).String()
	}
	return nextact.Time(d, at).String()
}

// lateWords is what is to be done, and how late it is.
func lateWords(d *due.Act, now time.Time) string {
	return nextact.Words(d) + nextact.Late(d, now) + nextact.GetUp(d)
}

// keepsWords is where a bottle is advised to stand, and until which day: the place and
// the day of the first line of keep; and what nobody logged of it.
func keepsWords(g *due.Glance, now time.Time, style pen.Style) string {
	text := placeWords(g, now, style)
	day := func(t time.Time) string { return view.DateOf(t, now) }
	for _, out := range bottle.OutBy(g.Assessment.Keep, now, day) {
		text += "; " + out
	}
	if untold := bottle.NotLogged(g.Assessment); untold != "" {
		text += "; " + untold
	}
	return text
}

func placeWords(g *due.Glance, now time.Time, style pen.Style) string {
	k := g.Assessment.Keep
	lead := view.IfDrunkRow(k) + bottle.Alone(g.Assessment)
	switch place := k.Advises(); {
	case place == "unknown":
		return "in the cold, for where is not known"
	case place == "discard":
		return "do not keep it"
	case g.Flavour && g.Until.Before(now):
		return lead + "drink " + bottle.What(g.Assessment) + " up: past " + bottle.Them(g.Assessment, "its", "their") + " best since " + view.DateOf(g.Until, now) + others(k, now)
	case k.ForTheDay():
		return lead + bottle.ForTheDay(k)
	case !g.Until.IsZero():
		return lead + bottle.InPlace(style, k) + bottle.By(g.Assessment) +
			view.GoodBy(g.Flavour, view.DateOf(g.Until, now))
	case k.Days(&k.Advised).Open():
		return lead + bottle.InPlace(style, k) + ", no date"
	}
	return lead + bottle.InPlace(style, k) + ", " + k.Days(&k.Advised).Words
}

// others says to which day those are good that are not past it, where some are.
func others(k *keeping.Keep, now time.Time) string {
	_, numbers := k.Spoken(now)
	those := quantity.Those(k.Rest, func(x **keeping.Lot) bool {
		return slices.Contains(numbers, (*x).Numbers[0]) && !(*x).Past(now)
	})
	advised, safe := keeping.First(those)
	if advised.IsZero() {
		return ""
	}
	return "; " + view.Names(numbers) + " " + view.GoodBy(!advised.Equal(safe), view.DateOf(advised, now))
}

// Print prints what is due and what keeps; with why also every batch with its stage
// and strength, and what the book has learned.
func Print(p *pen.Page, b *book.Shelf, all, why bool) error {
	if p.JSON {
		return p.WriteJSON(bookJSON(b))
	}
	s := Screen(b, all, p.Style)
	if len(b.Batches) == 0 {
		s.Say[0] = "Nothing could be read."
	}
	if !why {
		p.Screen(s, pen.OfScreen)
		return p.Done()
	}
	p.Screen(s, pen.Whole)
	if len(b.Batches) > 0 {
		p.Line("")
		p.Table([]string{"batch", "started", "stage", "alcohol", "keeps"},
			pen.Each(b.Batches, func(g *due.Glance) []string {
				return []string{g.Title(), view.DayOf(g.Assessment.Batch.Started, b.Now), stageWords(g),
					abvWords(g.Assessment), keepsWords(g, b.Now, p.Style)}
			}))
		p.Line("")
		p.Para("Dates are the early end, counted from when the last of it went in, as far as it is logged. A batch " +
			"counts as bottled once that is logged, or something of the finished drink is measured.")
	}
	if learned := b.Lessons(); len(learned) > 0 {
		p.Line("")
		lessons(p, learned)
	}
	return p.Done()
}

// notRead names the files that could not be read.
func notRead(p *pen.Page, wrong []book.Wrong) {
	if len(wrong) > 0 {
		p.Line("")
		p.Line("Not read, each for its first fault:")
		p.Items(pen.Each(wrong, func(w *book.Wrong) string { return w.Problem }))
	}
}

// lessons prints what the book has learned of each botanical and cut.
func lessons(p *pen.Page, list []prior.Lesson) {
	p.Line("What the book has learned:")
	p.Line("")
	p.Table([]string{
		"botanical, cut", "jars, tastings", "rate per hour", "library", "80 % out after",
		"ends at, in the jar", "yours: rate, end",
	}, pen.Each(list, func(l *prior.Lesson) []string {
		name := l.Botanical
		switch {
		case len(l.Forms) > 0:
			name += ", " + strings.Join(l.Forms, " or ")
		case l.Cut != "":
			name += ", " + l.Cut
		}
		return []string{
			pen.Clip(name, 32), fmt.Sprintf("%d, %d", l.Batches, l.Tastings), twoFigures(l.RatePerH),
			pen.Trim(l.Library.Value),
			quantity.Span(l.ReadyH.Value) + " (" + pen.Spans(l.ReadyH.Low, l.ReadyH.High) + ")",
			plateauWords(l.Plateau), own(l.OwnRate) + ", " + own(l.OwnPlateau),
		}
	}))
	p.Line("")
	p.Para("Ranges hold nine times in ten. Yours is the share of the library's doubt that your own tastings have " +
		"removed; the rest is still the library's. Rates hold for the room and strength of " +
		"the batch started last.")
}

func twoFigures(f mixture.Range) string {
	return fmt.Sprintf("%s (%s-%s)", pen.Trim(f.Value), pen.Trim(f.Low), pen.Trim(f.High))
}

func own(share float64) string {
	if share < 0.005 {
		return "none"
	}
	return pen.Percent(share)
}

func stageWords(g *due.Glance) string {
	if g.Stage == due.Steeping {
		return fmt.Sprintf("steeping, %s", pen.Spoken(g.Assessment.ElapsedH))
	}
	return string(g.Stage)
}

func abvWords(a *bench.Assessment) string {
	if !a.Blend.Have() {
		return "-"
	}
	return bottle.Told(&a.Blend, a.Blend.Result.ABVPercent) + " %"
}

func bookJSON(b *book.Shelf) pen.Object {
	return pen.Object{
		pen.As("folder", b.Folder),
		pen.As("now", b.Now),
		pen.As("overdue", b.Overdue()),
		pen.As("batches", pen.Each(b.Batches, func(g *due.Glance) pen.Object {
			a := g.Assessment
			return pen.Object{
				pen.As("file", filepath.Base(a.Batch.File)),
				pen.As("batch", a.Batch.Name),
				pen.As("started", a.Batch.Started),
				pen.As("stage", g.Stage),
				pen.As("copy_of", pen.Some(g.CopyOf)),
				pen.As("elapsed_h", a.ElapsedH),
				pen.As("strained_at", g.StrainedAt),
				pen.As("due", nextact.DueJSON(g)),
				pen.As("expected", view.ExpectedJSON(g)),
				pen.As("ready", view.AimJSON(g.Aim, b.Now)),
				pen.As("abv_percent", pen.Where(a.Blend.Have(), a.Blend.Result.ABVPercent.Value)),
				pen.As("danger", bottle.CanHurt(a)),
				pen.As("not_logged", a.NotLogged()),
				pen.As("keep", append(bottle.JudgedJSON(a.Keep),
					pen.As("until", g.Until), pen.As("until_is_flavour", g.Flavour))),
			}
		})),
		pen.As("wrong", b.Wrong),
		pen.As("learned", b.Lessons()),
	}
}
