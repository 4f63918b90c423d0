package keeping

import (
	"fmt"
	"math"

	"steepbook/data/batch"
	"steepbook/shelf"
)

// HouseRules shortens the times, those of other verdicts too, to what the place's own
// rules allow: they may take days away, never add any.
func (k *Keep) HouseRules(h *batch.House, others ...*shelf.Verdict) {
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
	for _, v := range append(others, &k.Verdict) {
		rule(&v.Unopened, &v.Opened)
		if h.FridgeAlways && v.Verdict == shelf.VerdictShelf {
			v.Verdict = shelf.VerdictFridge
			say(by + ": everything is kept cold")
		}
	}
	for _, kept := range []*Kept{&k.Safe, &k.Advised} {
		rule(&kept.Sealed, &kept.Opened)
		rule(&kept.Sound, &kept.OpenedSound)
	}
}

// orInf reads 0 as no limit.
func orInf(days float64) float64 {
	if days == 0 {
		return math.Inf(1)
	}
	return days
}
