package label

import (
	"fmt"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// keeping is where it stands and until when: the places and the days of keep.
func (w *writer) keeping() {
	k := w.Keep
	if k.Verdict.Verdict == shelf.VerdictUnknown {
		w.line(mustStand, "How long it keeps is not known: keep it cold.")
		return
	}
	stand, mixed := "keep it "+place(k), k.ForTheDay() && k.OpenedAt.IsZero()
	if mixed {
		stand = bottle.ForTheDay(k)
	}
	text := quantity.Capital(view.IfDrunk(k)+view.Alone(w.Assessment, date)+stand) + ". "
	days, until, safe := k.Days(&k.Advised), k.Advised.Until, k.Safe.Until
	opened, taste := k.OpenedAt, k.TasteFirst()
	if w.of.open == 0 && k.Sealed() > 0 && !opened.IsZero() { // the days of Keep are those of the open one
		days, opened = k.Advised.Sealed, time.Time{}
		if until, safe = w.Keep.SealedDays(); until.IsZero() {
			until = safe
		}
	}
	over := !k.OfBottle(until)
	if over { // its best was over before
		until, taste = safe, false
	}
	switch {
	case mixed:
		text = strings.TrimSuffix(text, ". ")
	case !until.IsZero() && (!until.Equal(safe) || taste):
		text += quantity.Capital(view.GoodBy(true, date(until)))
		if !safe.IsZero() && !until.Equal(safe) {
			text += ", " + view.GoodBy(false, date(safe))
		}
	case !until.IsZero():
		text += quantity.Capital(view.GoodBy(false, date(until)))
	case over && k.Untold: // which the blank asks
		text = strings.TrimSuffix(text, ". ")
	case over:
		text += "Its best was over before it was bottled"
	case days.Open():
		text += "No date"
	default:
		text += quantity.Capital(within(taste, days, " of "+view.RunsFrom(w.Assessment)))
	}
	w.line(mustStand, text+".")
	w.line(mustStand, quantity.Capital(bottle.Frozen(w.Assessment)))
	if over && k.Untold {
		in := w.NotLogged()
		if len(in) != 1 {
			in = []string{"all of it"}
		}
		w.blanks(quantity.Capital(in[0])+" in", "Best by")
	}
	if !opened.IsZero() || k.Safe.Place == shelf.Freezer || k.Advised.Opened.Open() ||
		k.Advised.Opened.Words == "" || k.Advised.Opened.None() {
		return
	}
	taste = k.Advised.Opened.Low < k.Safe.OpenedSound.Low
	w.line(mustStand, "Once opened, "+within(taste, k.Advised.Opened, "")+".")
}

// within says for how long it is good, or at its best, from a moment, as a date counts: of two days or more
// that of the moment is the first.
func within(best bool, d shelf.Days, of string) string {
	text := "use"
	if best {
		text = "best"
	}
	text += " within " + d.Early() + of
	if d.Low >= 2 {
		text += ", counting that day"
	}
	return text
}

// which is the bottle that it is for, where others have labels of their own, and since when it is open.
func (w *writer) which() string {
	k, at := w.Keep, w.Keep.OpenedAt
	switch {
	case w.of.number == bench.LeftOver:
		return "What was left over."
	case len(w.of.own) > 0:
		return quantity.Capital(quantity.And(pen.Each(w.of.own,
			func(number *int) string { return view.Vessel(*number) }))) + "."
	case w.of.open == 0 && k.Sealed() > 0 || at.IsZero(): // the open one is another
		return ""
	case len(k.Open) > 0 && len(w.Batch.Bottles(w.ElapsedH).List) > 1:
		return fmt.Sprintf("Bottle %d. Opened %s.", k.Open[0].Number, date(at))
	}
	return "Opened " + date(at) + "."
}

// place is where it is advised to stand, as one says it.
func place(k *keeping.Keep) string {
	switch p := k.Advises(); p {
	case string(shelf.Fridge), string(shelf.Freezer):
		if at := k.Advised.AtC; !k.Advised.Place.Counts(at) {
			return fmt.Sprintf("in the %s, at %.0f~°C or cooler", p, at)
		}
		return "in the " + p
	case string(shelf.Cellar), string(shelf.Room):
		return fmt.Sprintf("in a %s, at %.0f~°C or cooler", p, k.Advised.AtC)
	}
	return "on a shelf, cool and dark"
}

// outBy is by when what stays in is out of it, what lay in it for too long, and what there is too much of.
func (w *writer) outBy() {
	for _, text := range bottle.OutBy(w.Keep, w.Now, date) {
		w.strong(quantity.Capital(text) + ".")
	}
	for _, c := range w.Keep.Verdict.Cautions {
		if c.Lain != "" {
			w.strong(c.Lain + ".")
		}
		if c.Less != "" {
			w.strong("Thin it before drinking: much " + c.Less + ".")
		}
	}
}

// cautions are those that a guest or a cook must know.
func (w *writer) cautions() {
	if w.Blend.Bottle.ABVPercent.Value > shelf.NeatABV {
		w.strong("Not to be drunk neat: thin it first.")
	}
	if fat := w.Blend.Bottle.FatIn; len(fat) > 0 {
		w.strong("Fat may be in it: lift off the " + quantity.And(fat) + ".")
	}
	w.outBy()
	for _, c := range w.Keep.Verdict.Cautions {
		if c.MayPass && c.Unweighed != "" {
			w.strong("Dose not known: " + c.Unweighed + ".")
		}
		if c.MayPass && !c.Lasting && c.Unweighed == "" && c.Reached != "" {
			w.strong(quantity.Capital(c.Reached) + ".")
		}
		switch c.Kind {
		case "banned":
			w.strong(strings.TrimSuffix(c.Text, ".") + ".")
		case "botulism":
			w.strong("Keep it cold: bad without any sign when old or warm.")
		case "stale":
			w.strong("Made with old juice: smell it first.")
		case "raw egg":
			if c.Ill {
				w.strong("Raw egg: may carry Salmonella.")
			}
			w.strong("Egg: not for children, in pregnancy or for the sick.")
		case "pressure":
			w.line(mustStand, "It may ferment: open it with care.")
		case "flame":
			b := w.Blend.Bottle
			b.JarABVPercent = 0 // it is the bottle that is spoken of
			if _, burns := b.FlashC(); burns {
				w.line(mustStand, "Flammable: no flame near it.")
			}
		case "health":
			w.line(mustStand, "Contains alcohol: not for children or in pregnancy.")
		}
	}
	w.line(mustStand, strings.Join(w.Recipe.Drinkers(w.Keep.Verdict.Cautions), " "))
}
