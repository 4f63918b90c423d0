package bench

import (
	"cmp"
	"fmt"
	"math"
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
}

// lessonData is one botanical and cut over the batches.
type lessonData struct {
	name, cut string
	prior     kinetics.Prior // of the batch started last
	batches   []kinetics.BatchData
	rates     []kinetics.Normal // of each batch's own prior
}

// Lessons gathers the tastings of every botanical and cut over the batches of a
// book. Another room or strength is carried to that of the batch started last.
func Lessons(batches []*Assessment, lib *library.Library) ([]Lesson, error) {
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
			if c == nil || c.Watch || c.Tasted == 0 || forbidden {
				continue
			}
			key := h.lessonKey()
			g := found[key]
			if g == nil {
				g = &lessonData{name: key.name, cut: key.cut}
				found[key] = g
				groups = append(groups, g)
			}
			g.prior = c.Prior
			g.rates = append(g.rates, c.Prior.LogRate)
			g.batches = append(g.batches, kinetics.BatchData{Tastings: c.Posterior.Tastings(), DoseGPerL: s.doseGPerL(h)})
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
		g.batches[i].Shift = kinetics.Shift{
			LogMean: r.Mean - g.prior.LogRate.Mean,
			LogSD:   math.Sqrt(math.Abs(r.SD*r.SD - g.prior.LogRate.SD*g.prior.LogRate.SD)),
		}
	}
	out, err := kinetics.Learn(g.prior.Hyper(), g.batches)
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
	return l, nil
}
