package bench

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"steepbook/data/library"
	"steepbook/kinetics"
)

// Lesson is what the batches of a book have taught of one botanical in one cut.
type Lesson struct {
	Botanical, Cut string
	// Batches and Tastings that speak of it.
	Batches, Tastings int
	// RatePerH is the rate of such a jar, under the conditions of the batch
	// started last; Library is what the library alone says of it. Plateau is
	// the score it ends at in the jar, at DoseGPerL (0: no dose is known).
	// Ranges are 90 %.
	RatePerH, Library, Plateau Figure
	DoseGPerL                  float64
	// ReadyH is when a jar nobody has tasted has four fifths of its plateau,
	// hours after the botanical went in.
	ReadyH Figure
	// OwnRate and OwnPlateau are the shares of the library's doubt that the
	// maker's own tastings have removed, 0 to 1; the rest is the library's.
	OwnRate, OwnPlateau float64
	Warnings            []string
	// NextPerH is the rate of a jar nobody has tasted yet, 90 %: wider than
	// RatePerH by what jars differ, and comparable with Library.
	NextPerH Figure
	// LibraryPlateau is the score such a jar ends at before anyone has tasted.
	LibraryPlateau Figure
	// Files are the batches that speak of it, without folders.
	Files []string

	next    kinetics.Normal    // of ln NextPerH
	written string             // the name as the maker writes it
	whole   bool               // an ingredient that is steeped, no botanical
	known   *library.Botanical // nil: the maker's own word
	form    *library.Cut       // nil: the library has no such cut
	room    *float64           // °C, of the batch started last
	abv     float64            // % vol, likewise; 0: not known
}

// lessonData is one botanical and cut over the batches.
type lessonData struct {
	name, cut string
	prior     kinetics.Prior // of the batch started last, its age left out
	dose      float64        // g/L of that batch, 0 when not known
	batches   []kinetics.BatchData
	rates     []kinetics.Normal // of each batch's own prior
	ends      []lotEnd          // of each batch, variance 0 where it says nothing
	aged      float64           // ln of the flavour left, mean over the batches
	files     []string
	written   string // the name as the maker writes it
	whole     bool   // an ingredient that is steeped, no botanical
	known     *library.Botanical
	form      *library.Cut
	last      *Assessment
}

// Lessons gathers the tastings of every botanical and cut over the batches of a
// book. Another room or strength is carried to that of the batch started last.
// Rates that batches have taught the library already are taken back first: the
// same tastings must not speak twice.
func Lessons(batches []*Assessment, lib *library.Library) ([]Lesson, error) {
	if bare := lib.Untaught(""); bare != lib {
		lib = bare
		again := make([]*Assessment, len(batches))
		for i, a := range batches {
			var err error
			if again[i], err = Assess(a.Batch, lib, Question{Now: a.Now}); err != nil {
				return nil, err
			}
		}
		batches = again
	}
	groups, err := lessonGroups(batches, lib)
	if err != nil {
		return nil, err
	}
	lessons := make([]Lesson, len(groups))
	faults := make([]error, len(groups))
	var wait sync.WaitGroup
	turn := make(chan struct{}, runtime.GOMAXPROCS(0)) // each holds some megabytes
	for i, g := range groups {
		turn <- struct{}{}
		wait.Go(func() {
			lessons[i], faults[i] = g.learn()
			<-turn
		})
	}
	wait.Wait()
	for _, err := range faults {
		if err != nil {
			return nil, err
		}
	}
	return lessons, nil
}

func lessonGroups(batches []*Assessment, lib *library.Library) ([]*lessonData, error) {
	batches = slices.Clone(batches)
	slices.SortStableFunc(batches, func(x, y *Assessment) int { return x.Batch.Started.Compare(y.Batch.Started) })
	found := map[lessonKey]*lessonData{}
	var groups []*lessonData
	for _, a := range batches {
		p, err := resolve(a.Batch, lib)
		if err != nil {
			return nil, err
		}
		s := &side{a: a, parts: p, baseML: p.baseML()}
		for i := range p.botanicals {
			h := &p.botanicals[i]
			c := s.curve(h.entry.Name)
			forbidden := h.known != nil && h.known.Forbidden != "" // nothing to be learned for a next time
			if c == nil || c.Watch || c.Tasted == 0 || forbidden || h.cut.Taught.Has(filepath.Base(a.Batch.File)) {
				continue
			}
			key := h.lessonKey()
			g := found[key]
			if g == nil {
				g = &lessonData{name: key.name, cut: key.cut}
				found[key] = g
				groups = append(groups, g)
			}
			old := h.age(a.Batch)
			left, _ := old.left()
			dose := h.doseGPerL(s.baseML)
			g.dose = dose
			g.prior, g.known, g.form, g.last = c.plain, h.known, h.form().lib, a
			g.written, g.whole = h.entry.Name, h.ingredient != nil
			g.rates = append(g.rates, c.plain.LogRate)
			// A weaker spice is less of it.
			g.batches = append(g.batches, kinetics.BatchData{Tastings: c.Posterior.Tastings(), DoseGPerL: dose * old.potency()})
			end := lotEnd{lot: sameLot(h.entry.Lot)}
			if y, v, ok := endOf(c.Posterior); ok {
				end.y, end.variance = y, v
			}
			g.ends = append(g.ends, end)
			g.aged += (left - g.aged) / float64(len(g.ends))
			if file := filepath.Base(a.Batch.File); !slices.Contains(g.files, file) {
				g.files = append(g.files, file)
			}
		}
	}
	slices.SortFunc(groups, func(x, y *lessonData) int {
		return cmp.Or(strings.Compare(strings.ToLower(x.name), strings.ToLower(y.name)), strings.Compare(x.cut, y.cut))
	})
	return groups, nil
}

// lessonKey is what tastings are gathered by: a botanical in one cut.
type lessonKey struct{ name, cut string }

func (h *herb) lessonKey() lessonKey {
	name := h.entry.Name
	if h.known != nil {
		name = h.known.Name
	}
	return lessonKey{strings.ToLower(name), strings.ToLower(h.form().name())}
}

// fit learns from the batches of the group, under the conditions of g.prior.
func (g *lessonData) fit() (kinetics.Learned, error) {
	for i, r := range g.rates {
		// What the two priors share is one doubt, not one a batch: only what
		// is not shared widens the step from one condition to another.
		g.batches[i].Shift = between(g.prior.LogRate, r)
	}
	hyper := g.prior.Hyper()
	hyper.ReferenceDose = g.dose // the prior speaks of that dose
	out, err := kinetics.Learn(hyper, g.batches)
	if err != nil {
		return out, fmt.Errorf("what the book has learned of %s: %w", g.name, err)
	}
	return out, nil
}

func (g *lessonData) learn() (Lesson, error) {
	out, err := g.fit()
	if err != nil {
		return Lesson{}, err
	}
	ready := out.TimeToShare(0.8)
	l := Lesson{
		Botanical: g.name, Cut: g.cut, Batches: out.Batches, Tastings: out.Tastings,
		RatePerH:  Figure{math.Exp(out.Rate.Median), math.Exp(out.Rate.P05), math.Exp(out.Rate.P95)},
		Plateau:   Figure{out.Plateau.Median, out.Plateau.P05, out.Plateau.P95},
		ReadyH:    Figure{ready.Median, ready.P05, ready.P95},
		DoseGPerL: out.ReferenceDose, OwnRate: out.OwnRate, OwnPlateau: out.OwnPlateau, Warnings: out.Warnings,
	}
	rate := g.prior.LogRate
	spread := rate.SD * ninety / 2
	l.Library = Figure{math.Exp(rate.Mean), math.Exp(rate.Mean - spread), math.Exp(rate.Mean + spread)}
	end, half := g.prior.Plateau, g.prior.Plateau.SD*ninety/2
	l.LibraryPlateau = Figure{end.Mean, end.Mean - half, end.Mean + half}
	l.next = out.Prior(0).LogRate
	spread = l.next.SD * ninety / 2
	l.NextPerH = Figure{math.Exp(l.next.Mean), math.Exp(l.next.Mean - spread), math.Exp(l.next.Mean + spread)}
	l.Files, l.known, l.form = slices.Sorted(slices.Values(g.files)), g.known, g.form
	l.written, l.whole = g.written, g.whole
	l.room, l.abv = g.last.Batch.RoomC, g.last.Blend.SteepABVPercent
	return l, nil
}
