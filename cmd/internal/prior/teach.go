package prior

import (
	"fmt"
	"math"
	"slices"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics"
)

// Expected is what is expected of a flavour before its own tastings count.
type Expected struct {
	Prior kinetics.Prior
	// Batches counts those of the book that taught it.
	Batches int
	// Moved says how the library's rate was carried to this jar.
	Moved []string
}

// Believe is what the library and the other batches of the book say of a
// botanical of this jar, its age counted. It is the only place where a prior is
// taught.
func (a *Asker) Believe(h *recipe.Botanical) Expected {
	plain, moved := a.plain(h)
	out := Expected{Prior: plain, Moved: moved}
	old := ageOf(h, a.Batch)
	n := Exponent(h.Known, a.Library).Value
	if taught := a.taught(h, plain, n); taught != nil {
		out.Prior, out.Batches, out.Moved = taught.Prior, taught.Batches, slices.Clone(taught.Moved)
	} else {
		m, sd := old.left()
		out.Prior = plain.Faded(m, sd, n)
	}
	if t := h.Cut.Taught; t != nil {
		out.Batches = max(out.Batches, len(t.By))
	}
	if old != nil {
		out.Moved = append(out.Moved, old.words(n))
	}
	return out
}

// lesson is what the voices of a book say of one jar's botanical, at the
// conditions of that jar.
type lesson struct {
	asker    *voice
	learned  kinetics.Learned
	teachers []*voice
	of       int     // how many could have taught
	aged     float64 // ln of the flavour left, mean over the teachers
	moved    []string
}

// taught is what the other batches of the book teach; nil where none speaks of the
// botanical. No batch learns from itself or from a copy of itself.
func (a *Asker) taught(h *recipe.Botanical, plain kinetics.Prior, exponent float64) *Expected {
	k := a.Book
	if k == nil || h.Known != nil && h.Known.Forbidden != "" {
		return nil
	}
	bare, err := recipe.ReadBotanical(a.Batch, k.bare, h.Entry)
	if err != nil {
		return nil
	}
	asker := newVoice(a.Batch, &bare, a.Recipe, k)
	all := slices.DeleteFunc(k.about(asker.key.name, asker.file),
		func(v *voice) bool { return v.holds(asker) || asker.holds(v) })
	return k.once(askedFor{asker.file, h.Entry.Name, plain, len(all)},
		func() *Expected {
			l := a.learn(h, asker, all, plain)
			if l == nil {
				return nil
			}
			p, said := l.prior(exponent)
			return &Expected{Prior: p, Batches: l.learned.Batches, Moved: append(l.moved, said...)}
		})
}

// askedFor is all that what is learned hangs on within one book: taste asks the
// same before and after.
type askedFor struct {
	file, botanical string
	plain           kinetics.Prior
	of              int
}

// once remembers what is to be expected: a lesson is a thousand times as large.
func (k *Book) once(q askedFor, learn func() *Expected) *Expected {
	k.mu.Lock()
	x, ok := k.taught[q]
	k.mu.Unlock()
	if ok {
		return x
	}
	x = learn()
	k.mu.Lock()
	defer k.mu.Unlock()
	k.taught[q] = x
	return x
}

// learn hears all voices, and what the library had from some of them is taken back: a rate
// alone is less than they say. Where one of those is not in the book any more that rate
// stands, and the others teach on.
func (a *Asker) learn(h *recipe.Botanical, asker *voice, all []*voice, plain kinetics.Prior) *lesson {
	t := h.Cut.Taught
	from, moved := a.plain(asker.herb)
	if t != nil && !a.Book.holds(t.By) {
		_, moved = a.plain(h)
		from = plain
		all = slices.DeleteFunc(all, func(v *voice) bool { return v.key == asker.key && t.Has(v.file) })
	}
	l := asker.learn(all, from)
	if l != nil {
		l.moved = moved
	}
	return l
}

// holds reports whether all of some files are in the book.
func (k *Book) holds(files []string) bool {
	return !slices.ContainsFunc(files, func(file string) bool {
		return !slices.ContainsFunc(k.batches, func(b *batch.Batch) bool { return fileOf(b) == file })
	})
}

// learn fits what the nearest voices say; plain is the library's Belief about
// the asker's jar.
func (v *voice) learn(list []*voice, plain kinetics.Prior) *lesson {
	l := &lesson{asker: v, teachers: v.nearest(list), of: len(list)}
	if len(list) == 0 {
		return nil
	}
	shifts := v.shiftsTo(l.teachers)
	batches := make([]kinetics.Batch, len(l.teachers))
	for i, w := range l.teachers {
		// A weaker spice is less of it.
		batches[i] = kinetics.Batch{Tastings: w.tastings, DoseGPerL: w.doseGPerL * math.Exp(w.left),
			Shift: shifts[i], Lot: w.lot}
		if w.key != v.key {
			early := w.early()
			batches[i].Early = &early
		}
		l.aged += w.left / float64(len(l.teachers))
	}
	var err error
	// The prior speaks of the asker's dose.
	if l.learned, err = kinetics.Learn(plain, v.doseGPerL, batches); err != nil || l.learned.Batches == 0 {
		return nil // what cannot be reckoned with teaches nothing
	}
	return l
}

// early is the share washed off at once.
func (v *voice) early() float64 { return v.herb.Cut.EarlyShare.Value }

// slower is the ln of the slow rest's rate over that of the plain rise that the
// library's figure is for.
func (v *voice) slower() float64 {
	return math.Log(v.herb.Cut.SlowRatePerH() / v.herb.Cut.RatePerH.Value)
}

// logRate is the library's rate of the slow rest and its spread.
func (v *voice) logRate() kinetics.Normal {
	c := v.herb.Cut
	return kinetics.Normal{Mean: math.Log(c.SlowRatePerH()), SD: math.Log(c.RateGSD)}
}

// shiftsTo carries the rate of v's jar to those of others: by room, by strength,
// and by cut. Jars that rest on one doubt, of the activation energy, of the
// effect of strength or of the ratio of two cuts, share it.
func (v *voice) shiftsTo(list []*voice) []kinetics.Shift {
	warmth, strength := make([]kinetics.Shift, len(list)), make([]kinetics.Shift, len(list))
	cuts := map[lessonKey][]int{}
	for i, w := range list {
		// A room beyond what the law is for is left as it is.
		warmth[i], _ = kinetics.TemperatureBetween(v.state.roomC, w.state.roomC)
		strength[i], _ = kinetics.StrengthBetween(v.state.abv, w.state.abv)
		if w.key != v.key {
			cuts[w.key] = append(cuts[w.key], i)
		}
	}
	warmth, strength = kinetics.Shared(warmth), kinetics.Shared(strength)
	out := make([]kinetics.Shift, len(list))
	for i := range out {
		out[i] = kinetics.Shift{LogMean: warmth[i].LogMean + strength[i].LogMean,
			LogSD: math.Hypot(warmth[i].LogSD, strength[i].LogSD)}
	}
	for _, at := range cuts {
		s := kinetics.CutBetween(v.logRate(), list[at[0]].logRate())
		if v.herb.RoughCut || list[at[0]].herb.RoughCut {
			s.LogSD = math.Hypot(s.LogSD, roughCutSD)
		}
		same := make([]kinetics.Shift, len(at))
		for i := range same {
			same[i] = s
		}
		for i, s := range kinetics.Shared(same) {
			o := &out[at[i]]
			o.LogMean, o.LogSD = o.LogMean+s.LogMean, math.Hypot(o.LogSD, s.LogSD)
		}
	}
	return out
}

// prior is the Belief about the asker's jar: what was learned at its dose. A
// botanical that has aged counts as less of it; how fast it ages is in doubt only
// as far as the ages differ.
func (l *lesson) prior(exponent float64) (kinetics.Prior, []string) {
	v := l.asker
	spread := lossLogSD * math.Abs(v.left-l.aged)
	var p kinetics.Prior
	if v.doseGPerL > 0 && l.learned.ReferenceDose > 0 {
		p = l.learned.Prior(v.doseGPerL*math.Exp(v.left)).Faded(0, spread, exponent)
	} else {
		p = l.learned.Prior(0).Faded(v.left-l.aged, spread, exponent)
	}
	said := l.said()
	shift, ratio, siblings := l.learned.Lot(v.lot)
	before := p.Plateau
	scale := before.Mean / math.Max(l.learned.Plateau.Mean, 1) // from the reference dose to this one
	p = p.WithPlateau(before.Mean+shift*scale, before.SD*ratio)
	switch {
	case siblings > 0:
		said = append(said, fmt.Sprintf(
			"%s of the same lot: the end %.1f ± %.1f instead of %.1f ± %.1f (lots taken to differ by a quarter: judgement)",
			quantity.Counted(siblings, "batch is",
				"batches are"), p.Plateau.Mean, p.Plateau.SD, before.Mean, before.SD))
	case ratio != 1:
		said = append(said, fmt.Sprintf(
			"your batches share a lot that this is not: the end %.1f ± %.1f instead of %.1f ± %.1f (lots taken to differ by a quarter: judgement)",
			p.Plateau.Mean, p.Plateau.SD, before.Mean, before.SD))
	}
	return p, said
}

// said tells who taught, why these, and what is gone of the library's doubt.
func (l *lesson) said() []string {
	said := []string{fmt.Sprintf("%s of your own with %s: %.0f %% of the library's doubt about the rate is gone by them, %.0f %% of that about the end",
		quantity.Counted(l.learned.Batches, "batch", "batches"),
		quantity.Counted(l.learned.Tastings, "tasting",
			"tastings"), 100*l.learned.OwnRate, 100*l.learned.OwnPlateau)}
	if l.of > len(l.teachers) {
		said = append(said, fmt.Sprintf(
			"%d of the %d batches that say something of it teach: the nearest, by cut, then lot, then strength, room, dose and date",
			len(l.teachers), l.of))
	}
	other := 0
	for _, w := range l.teachers {
		if w.key != l.asker.key {
			other++
		}
	}
	if other > 0 {
		said = append(said, fmt.Sprintf(
			"%s of another cut, carried over by the ratio of the library's rates (how far that holds: judgement)",
			quantity.Counted(other,
				"of them is", "of them are")))
	}
	return said
}
