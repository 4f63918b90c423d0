package bench

import (
	"fmt"
	"math"
	"time"

	"steepbook/data/batch"
	"steepbook/shelf"
)

// houseRules shortens the times to what the place's own rules allow: they may
// take days away, never add any.
func (k *Keep) houseRules(h *batch.House, changes ...Change) {
	if h == nil {
		return
	}
	by := h.Rule
	if by == "" {
		by = "house rule"
	}
	said := map[string]bool{}
	say := func(text string) {
		if !said[text] {
			said[text] = true
			k.House = append(k.House, text)
		}
	}
	shorten := func(d *shelf.Days, most float64, what string) {
		if math.IsInf(most, 1) || d.High <= most || d.Words == "" {
			return
		}
		d.High, d.Low = most, math.Min(d.Low, most)
		d.Words = fmt.Sprintf("at most %g days (%s)", most, by)
		say(fmt.Sprintf("%s: %s within %g days", by, what, most))
	}
	rule := func(sealed, opened *shelf.Days) {
		shorten(sealed, orInf(h.MaxAgeDays), "use it up")
		shorten(opened, math.Min(orInf(h.UseWithinDays), orInf(h.MaxAgeDays)), "once opened, use it up")
	}
	verdicts := []*shelf.Verdict{&k.Verdict}
	for i := range changes {
		verdicts = append(verdicts, &changes[i].Then)
	}
	for _, v := range verdicts {
		rule(&v.Unopened, &v.Opened)
		if h.FridgeAlways && v.Verdict == shelf.VerdictShelf {
			v.Verdict = shelf.VerdictFridge
			say(by + ": everything is kept cold")
		}
	}
	for _, kept := range []*Kept{&k.Safe, &k.Advised} {
		rule(&kept.Sealed, &kept.Opened)
	}
}

// houseEnds sets the last day that the house gives what was strained at a moment.
func (k *Keep) houseEnds(h *batch.House, strained time.Time) {
	if h != nil && h.MaxAgeDays > 0 {
		k.houseEnd = until(strained, shelf.Days{Low: h.MaxAgeDays, Words: h.Rule + " "})
	}
}

// orInf reads 0 as no limit.
func orInf(days float64) float64 {
	if days == 0 {
		return math.Inf(1)
	}
	return days
}

// storage is where the bottle is asked to stand: what was asked on the command
// line, else what the batch says, else a warm room.
func storage(store string, celsius *float64, q Question) shelf.Storage {
	place, at := shelf.Place(store), celsius
	if q.Place != "" || q.Celsius != nil {
		place, at = q.Place, q.Celsius
	}
	if at != nil {
		if place == "" {
			place = shelf.PlaceOf(*at)
		}
		return shelf.Storage{Place: place, Celsius: *at, Measured: true}
	}
	if h := q.House; place == shelf.Fridge && h != nil && h.FridgeC != nil && *h.FridgeC > usualC(place) {
		return shelf.Storage{Place: place, Celsius: *h.FridgeC, Measured: true}
	}
	if place == "" {
		place = shelf.Room
	}
	return shelf.Storage{Place: place}
}

// usualC is the temperature a place is judged at when nobody measured it, °C. A
// house's own fridge counts where it is warmer: a rule takes days, it gives none.
func usualC(place shelf.Place) float64 {
	return shelf.Judge(shelf.Bottle{}, shelf.Storage{Place: place}).AtC
}
