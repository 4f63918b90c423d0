package bench

import (
	"fmt"
	"math"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf"
)

// keep judges where the bottle keeps and until when.
func (a *Assessment) keep(p *parts, q Question) {
	k := &a.Keep
	k.Storage = storage(a.Batch.Finish.Store, a.Batch.Finish.StoreC, q)
	bottle := a.Blend.bottle
	if a.Blend.Have() {
		k.Verdict = shelf.Judge(bottle, k.Storage)
		k.Table = shelf.Table(bottle)
	} else {
		k.Verdict = shelf.Verdict{
			Verdict: shelf.VerdictUnknown, Place: k.Storage.Place, AtC: shelf.Judge(shelf.Bottle{}, k.Storage).AtC, Confidence: "low",
			Needs: a.Blend.Missing,
		}
	}
	k.Verdict.Warnings = append(k.Verdict.Warnings, a.Blend.Warnings...)
	k.Changes = a.changes(p)
	a.Blend.Remarks = a.remarks(p)
	k.houseRules(q.House)
	seen := map[string]bool{}
	declare := func(list []library.Allergen) {
		for _, al := range list {
			if !seen[al.Name] {
				seen[al.Name] = true
				k.Allergens = append(k.Allergens, al)
			}
		}
	}
	for i := range p.botanicals {
		if known := p.botanicals[i].known; known != nil {
			declare(known.Allergens)
			if known.Forbidden != "" {
				k.MustNot = append(k.MustNot, known.Name+": "+known.Forbidden)
			}
		}
	}
	for _, x := range p.additions {
		if x.botanical != nil && x.botanical.Forbidden != "" {
			k.MustNot = append(k.MustNot, x.botanical.Name+": "+x.botanical.Forbidden)
		}
	}
	if len(k.MustNot) > 0 {
		never := shelf.Days{Words: "not at all"}
		k.Verdict.Verdict, k.Verdict.Unopened, k.Verdict.Opened = shelf.VerdictDiscard, never, never
		k.Verdict.DecidedBy = shelf.Decision{Text: "it holds what must not be steeped"}
		k.Verdict.FlavourText, k.Verdict.EndedBy, k.Verdict.Reasons, k.Changes, k.Table = "", "", nil, nil, nil
	}
	for _, x := range p.additions {
		switch {
		case x.ingredient != nil:
			declare(x.ingredient.Allergens)
		case x.spirit != nil:
			declare(x.spirit.Allergens)
		case x.botanical != nil:
			declare(x.botanical.Allergens)
		}
	}
	for _, x := range p.bases {
		if x.known != nil {
			declare(x.known.Allergens)
		}
	}
}

// houseRules shortens the times to what the place's own rules allow: they may
// take days away, never add any.
func (k *Keep) houseRules(h *batch.House) {
	if h == nil {
		return
	}
	by := h.Rule
	if by == "" {
		by = "house rule"
	}
	shorten := func(d *shelf.Days, most float64, what string) {
		if most == 0 || d.High <= most {
			return
		}
		d.High, d.Low = most, math.Min(d.Low, most)
		d.Words = fmt.Sprintf("at most %.0f days (%s)", most, by)
		k.House = append(k.House, fmt.Sprintf("%s: %s within %.0f days", by, what, most))
	}
	shorten(&k.Verdict.Unopened, h.MaxAgeDays, "use it up")
	shorten(&k.Verdict.Opened, math.Min(orInf(h.UseWithinDays), orInf(h.MaxAgeDays)), "once opened, use it up")
	if h.FridgeAlways && k.Verdict.Verdict == shelf.VerdictShelf {
		k.Verdict.Verdict = shelf.VerdictFridge
		k.House = append(k.House, by+": everything is kept cold")
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
			place = placeOf(*at)
		}
		return shelf.Storage{Place: place, Celsius: *at, Measured: true}
	}
	if place == shelf.Fridge && q.House != nil && q.House.FridgeC != nil {
		return shelf.Storage{Place: place, Celsius: *q.House.FridgeC, Measured: true}
	}
	if place == "" {
		place = shelf.Room
	}
	return shelf.Storage{Place: place}
}

// placeOf names the kind of place a temperature belongs to: below freezing a
// freezer, to 10 °C a fridge, to 18 °C a cellar. Our bands.
func placeOf(celsius float64) shelf.Place {
	switch {
	case celsius < 0:
		return shelf.Freezer
	case celsius <= 10:
		return shelf.Fridge
	case celsius <= 18:
		return shelf.Cellar
	}
	return shelf.Room
}

// Sign gives the likely causes of something seen or smelt in the bottle.
func (a *Assessment) Sign(text string) []shelf.Cause { return shelf.Sign(text, a.Blend.bottle) }

// Fades lists what changes in store apart from microbes.
func (a *Assessment) Fades() []shelf.Fade {
	if !a.Blend.Have() {
		return nil
	}
	return shelf.Fades(a.Blend.bottle, a.Keep.Verdict.AtC)
}
