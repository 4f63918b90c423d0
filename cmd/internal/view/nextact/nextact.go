// Package nextact says what to do next with one batch, jar or bottle, and when. The
// screens of the jar, of the log and of the book all use its words.
package nextact

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"steepbook/cmd/internal/keeping"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// Ask is what is to be found out of a drink that is over if some of the rest, or all of it, went in.
func Ask(of []string) string {
	what := "the rest"
	if len(of) > 0 {
		what = quantity.The(of)
	}
	return "find out whether " + what + " went in, and log it: if so, do not serve it"
}

// Words is what is to be done, without its hour.
func Words(d *due.Act) string { return words(d, "") }

// words is the same, with the day on which it goes in or is bottled, as it stands before that.
func words(d *due.Act, on string) string {
	what := quantity.The(d.What)
	if d.Ask {
		return Ask(d.What)
	}
	switch d.Kind {
	case due.Taste:
		text := "taste " + strings.Join(pen.Each(d.What, func(name *string) string {
			return quantity.The([]string{*name})
		}), ", then ")
		if d.Again {
			text += " again"
		}
		if d.After != "" {
			text += " an hour after the " + d.After
		}
		return text
	case due.Pull:
		return "pull " + what
	case due.Strain:
		return "strain out " + what
	case due.StrainBy:
		return "strain the jar, at the latest"
	case due.PutIn:
		return "put in " + what
	case due.Start:
		return "start it"
	case due.Move:
		return "move it to " + what
	case due.Lift:
		return on + "take off " + what + " and log that with pull"
	case due.Spent:
		return "strain the jar, or add more: nothing more comes of " + what
	case due.Thin:
		return "thin it, for " + what + " in it"
	case due.TakeOut:
		return "take out " + what
	case due.Measure:
		return fmt.Sprintf("have its %s measured", quantity.And(d.What))
	case due.Rested:
		return view.Rested
	case due.Add:
		text := stand(d) + on + "add " + what + ", " + First(d) + "then bottle it"
		switch {
		case d.Alone:
			if d.Rest {
				what = "the rest of " + what
			}
			return fmt.Sprintf("%s%sadd %s to the spirit alone, and nothing else for %d days", stand(d), on, what, keeping.EggDays)
		case d.Apart:
			return fmt.Sprintf("leave the raw egg for %d days in strong spirit of its own, %s, then %s",
				keeping.EggDays, keeping.EggWarm(), text)
		}
		return text
	case due.Stand:
		return "add the rest: egg and spirit have stood alone"
	case due.Bottle:
		return stand(d) + on + First(d) + "bottle it and measure the volume"
	}
	return "nothing to do"
}

// stand says where the liquor is to stand until it is done.
func stand(d *due.Act) string {
	switch {
	case d.Place == "":
		return ""
	case d.There:
		return "keep it " + view.InPlace(d.Place) + "; "
	}
	return "put it " + view.InPlace(d.Place) + " now; "
}

// EggInJar says behind what is still in a jar that its raw egg waits for that; "" of any other.
func EggInJar(g *due.Glance) string {
	if e := g.Assessment.EggAlone(false); e.State != shelf.EggCan || e.In.IsZero() {
		return ""
	}
	return fmt.Sprintf(" Once it is out, leave egg and spirit alone for %d days.", keeping.EggDays)
}

// First is what comes before bottling: of fat that is not off, and where it curdles.
func First(d *due.Act) (said string) {
	if len(d.Fat) > 0 {
		said = fmt.Sprintf("take off the %s, log that with pull, ", quantity.And(d.Fat))
	}
	switch d.Curds {
	case keeping.ToCurdle:
		said += "let it curdle, filter it through its curds, "
	case keeping.Curdled:
		said += "once it is filtered through its curds, "
	}
	return said
}

// Time is when, hedged where an hour is no more than a good guess.
func Time(d *due.Act, now time.Time) view.When {
	m := view.Moment(d.At, now, d.DoubtH)
	switch d.Kind {
	case due.Taste:
		return view.Moment(d.At, now, math.Min(d.DoubtH, 6)) // a sitting has an hour
	case due.Pull, due.Strain:
		return m.Hedged()
	case due.Add, due.Bottle:
		return view.Moment(d.At, now, aDay)
	}
	return m
}

// At is when, as a sentence has it, and what the night has to do with it.
func At(d *due.Act, now time.Time) string {
	return Time(d, now).At() + GetUp(d)
}

// GetUp stands behind what lies in the night and is worth getting up for; "" elsewhere.
func GetUp(d *due.Act) string {
	if d.GetUp() {
		return ", worth getting up for"
	}
	return ""
}

// aDay is the doubt, in hours, of what has a day and no hour.
const aDay = 25

// Late is how late it is, as it stands behind what is to be done; "" where it is not.
func Late(d *due.Act, now time.Time) string {
	late := d.Late(now)
	if late <= 0 {
		return ""
	}
	said := pen.Spoken(late.Hours()) + " late"
	for _, name := range d.What { // what is done at once is late by its own hour
		own := d.Of(name)
		if pen.Spoken(own.Late(now).Hours())+" late" != said {
			return ", up to " + said
		}
	}
	return ", " + said
}

// Sentence says what to do next, "" where nothing is.
func Sentence(g *due.Glance) string {
	switch d := &g.Due; {
	case d.Kind == due.Discard && g.Assessment.Keep.Alive() != nil, // which is said already
		d.Kind == due.Nothing, d.Kind == due.AtBest, d.Dated():
		return ""
	}
	return "Next: " + Due(g) + "."
}

// Due is what to do next and when, in words.
func Due(g *due.Glance) string {
	d := &g.Due
	a := g.Assessment
	now := a.Now
	late := ""
	mind, aside := Mind(g, d)
	if by := d.Late(now); by > 0 && d.Overdue {
		late = " by " + pen.Spoken(by.Hours())
	}
	if d.Ask {
		return Words(d)
	}
	switch d.Kind {
	case due.Discard:
		not := "do not keep it as written"
		switch {
		case bottle.OverLimit(a):
			not = bottle.Forbids(a)
		case len(a.Keep.MustNot) > 0:
			not = "do not drink it"
		case len(a.Keep.MayBe) > 0:
			not = "find out what it is, and taste nothing"
		case !a.MustNotKeep() && a.Keep.Alive() != nil:
			not = "do not serve it"
		}
		return not + ": steepbook keep " + filepath.Base(a.Batch.File)
	case due.Use:
		if d.Overdue {
			return fmt.Sprintf("overdue%s%s: past %s keeping time, do not keep %s longer", late, BottleOf(g),
				bottle.Them(g.Assessment, "its", "their"), bottle.Them(g.Assessment, "it", "them"))
		}
		return mind + view.GoodBy(false, view.DateOf(d.At, now))
	case due.AtBest:
		if d.At.Before(now) {
			return mind + "past its best, not past keeping"
		}
		return mind + view.GoodBy(true, view.DateOf(d.At, now))
	case due.Nothing:
		return "nothing due"
	case due.Rested:
		return mind + Words(d) + aside
	case due.Stand:
		return "nothing else before " + Time(d, now).String() + ", for egg and spirit stand alone in a room until then"
	}
	switch {
	case late != "":
		return fmt.Sprintf("overdue%s: %s%s%s", late, mind, Words(d), aside)
	case d.At.IsZero():
		return mind + Words(d) + aside
	case d.Now && !d.By || !d.At.After(now):
		return mind + Words(d) + " now" + aside
	case d.Kind == due.Add || d.Kind == due.Bottle || d.Kind == due.Lift:
		return OnDay(d, view.DateOf(d.At, now))
	}
	return mind + Words(d) + " " + At(d, now) + aside
}

// OnDay says what to do by its day, from it or on it, as that is written.
func OnDay(d *due.Act, day string) string {
	switch {
	case d.By: // any sooner is as good
		return Words(d) + " by " + day
	case d.Alone:
		return words(d, "from "+day+", ")
	}
	return words(d, "on "+day+", ")
}

// Mind is how what is to be tasted or drunk may be: what stands before it where nobody knows, else
// in brackets behind what is to be tasted; "" where freely.
func Mind(g *due.Glance, d *due.Act) (before, behind string) {
	switch d.Kind {
	case due.Taste, due.Rested:
		return bottle.Mind(g.Assessment)
	case due.AtBest, due.Use:
		before = view.IfDrunk(g.Assessment.Keep)
	}
	return before, behind
}

// DueJSON is what to do next.
func DueJSON(g *due.Glance) pen.Object {
	return pen.Object{
		pen.As("kind", g.Due.Kind),
		pen.As("what", g.Due.What),
		pen.As("at", g.Due.At),
		pen.As("overdue", g.Due.Overdue),
		pen.As("text", Due(g)),
	}
}

// BottleOf is the bottle that is meant, where others of the batch are sealed or open too.
func BottleOf(g *due.Glance) string {
	if bottle := bottle.What(g.Assessment); bottle != "it" {
		return ", " + bottle
	}
	return ""
}
