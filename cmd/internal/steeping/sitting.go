package steeping

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
	"steepbook/kinetics/panel"
)

// Sitting is the next tasting: when, and of what.
type Sitting struct {
	// AtH is hours since the start of the batch; DoubtH how much earlier or
	// later makes no difference.
	AtH, DoubtH float64
	Now         bool // it is due at this moment
	// RestedH is from when the tongue can taste what the last sitting did not bear, AtH where that is
	// waited for; 0 where it bore all.
	RestedH float64
	tasted  []*Curve // at the last one
	// Flavours are named weakest first, what numbs the palate last; Watch the
	// unwanted tastes to look for, Later what need not be tasted before its own
	// hour, and Rest what one sitting does not bear: it waits for the next.
	Flavours, Watch, Later, Rest []string
	// Early: nobody has tasted them, and all are tasted before their usual time.
	// Late names those that nobody has tasted and that have been in for longer
	// than usual.
	Early  bool
	Late   []string
	Advice string
}

// NextSitting is the next tasting of the jar: everything that is due by then or
// soon after, and the unwanted tastes that may come; nil when nothing is.
func (j *Steeped) NextSitting() *Sitting {
	if math.IsInf(j.NextH, 1) {
		return nil
	}
	// What is due soon after is tasted with it, the jar is open anyway: soon by the
	// time since the last tasting, so that it stays one sitting until then, and by the clock of
	// what is tasted.
	own := j.NextH
	for i := range j.Curves {
		if c := &j.Curves[i]; c.Order.Do == jar.Taste && c.Order.TasteH <= j.NextH {
			own = math.Min(own, j.NextH-c.InH)
		}
	}
	slack := math.Max((j.NextH-j.lastH)/4, 0.02*own)
	// A jar is tasted at once where that is within a third of the doubt, at most half an hour and
	// at least half a minute: whoever comes at the hour that was told is not sent away again.
	near := math.Min(math.Max(slack/3, 1.0/120), 0.5)
	s := &Sitting{AtH: j.NextH, DoubtH: slack, Now: j.NextH <= j.nowH+near}
	due, later := j.dueBy(s.AtH + slack)
	s.follow(j)
	again := false
	for _, c := range due {
		again = again || slices.Contains(s.tasted, c)
	}
	if !again && s.RestedH > math.Max(s.AtH, j.nowH) {
		s.AtH, s.Now = s.RestedH, false
		due, later = j.dueBy(s.AtH + slack)
	}
	for _, c := range later {
		s.Later = append(s.Later, c.Name)
	}
	samples := dulls(due).Sitting().Samples
	due, s.Rest = bearable(due, samples, math.Max(s.AtH, j.nowH)+SittingGapH)
	palate := dulls(due) // of what is tasted now: what waits numbs nothing yet
	limit := palate.Sitting()
	flavours := 0
	var numbing []string
	s.Early = true
	for _, c := range due {
		if !c.Watch {
			o := &c.Order
			s.Flavours = append(s.Flavours, c.Name)
			flavours++
			switch {
			case o.TasteWhy != jar.FirstLook:
				s.Early = false
			case o.Late:
				s.Early, s.Late = false, append(s.Late, c.Name)
			case s.AtH > o.FromH:
				s.Early = false
			}
		}
		if c.palate() == panel.Numbing {
			numbing = append(numbing, c.Name)
		}
	}
	for _, c := range due {
		if c.Watch {
			s.Watch = append(s.Watch, c.Name)
		}
	}
	// Of several tastes it must be said which.
	which := "Taste the " + quantity.And(numbing) + " last, to numb no other taste."
	switch len(numbing) {
	case 0: // it waits for the next sitting
		which = ""
	case flavours:
		which = fmt.Sprintf("They numb the tongue: wait %g minutes between them.", limit.GapMinutes)
	}
	limit.Words = strings.Replace(limit.Words, "It numbs the tongue: taste it last.", which, 1)
	switch {
	case len(s.Rest) > 0:
		s.Advice = fmt.Sprintf("No more than %d at a sitting: leave the %s for the next one, an hour later. %s",
			samples, quantity.And(s.Rest), limit.Words)
	case palate != panel.Gentle && flavours > 1:
		s.Advice = limit.Words
	}
	return s
}

// follow reads the sitting before it.
func (s *Sitting) follow(j *Steeped) {
	for i := range j.Curves {
		c := &j.Curves[i]
		if !c.Watch && slices.ContainsFunc(c.Points, func(p Point) bool { return p.Hours == j.lastH }) {
			s.tasted = append(s.tasted, c)
		}
	}
	j.weakestFirst(s.tasted)
	if n := len(s.tasted); n > 0 && n >= dulls(s.tasted).Sitting().Samples {
		s.RestedH = j.lastH + SittingGapH
	}
}

// DueH is from when a flavour is to be tasted, in hours since the start, however late it is now: by its
// own clock, and of what waited for a rested tongue from when it is rested.
func (s *Sitting) DueH(c *Curve) float64 {
	if slices.Contains(s.tasted, c) {
		return c.Order.DueH
	}
	return math.Max(c.Order.DueH, s.RestedH)
}

// bearable parts so many flavours, what is out of its time before the next sitting first, then what is most
// overdue or due, from those that wait for that; the unwanted tastes are looked for in any.
func bearable(due []*Curve, most int, nextH float64) (now []*Curve, rest []string) {
	var flavours []*Curve
	for _, c := range due {
		if !c.Watch {
			flavours = append(flavours, c)
		}
	}
	if len(flavours) <= most {
		return due, nil
	}
	sort.SliceStable(flavours, func(i, j int) bool {
		x, y := &flavours[i].Order, &flavours[j].Order
		if (x.UntilH < nextH) != (y.UntilH < nextH) {
			return x.UntilH < nextH
		}
		if x.Overdue != y.Overdue {
			return x.Overdue
		}
		return x.DueH < y.DueH
	})
	for _, c := range due {
		if slices.Contains(flavours[most:], c) {
			rest = append(rest, c.Name)
		} else {
			now = append(now, c)
		}
	}
	return now, rest
}

// SittingGapH is how long after a sitting the next one is, hours: a tongue that eugenol or
// heat has numbed is its own again. Judgement (panel.Palate.Sitting has the minutes).
const SittingGapH = 1

// dueBy parts what is tasted by an hour, what numbs or burns last and of the others the
// weakest first, from what need not be tasted before its own hour.
func (j *Steeped) dueBy(byH float64) (due, later []*Curve) {
	for i := range j.Curves {
		switch c := &j.Curves[i]; {
		case c.Watch && c.Order.Do == jar.Leave && c.JarH > 0,
			c.Order.Do == jar.Taste && c.Order.TasteH <= byH && c.InH < j.NextH:
			due = append(due, c)
		case c.Order.Do == jar.Taste && c.JarH > 0:
			later = append(later, c)
		}
	}
	j.weakestFirst(due)
	sort.SliceStable(later, func(i, j int) bool { return later[i].Order.TasteH < later[j].Order.TasteH })
	return due, later
}

// weakestFirst is the order in which flavours are tasted: what burns or numbs last, so
// that it dulls no other, and of the others the weakest first, as they will be by the next tasting.
func (j *Steeped) weakestFirst(list []*Curve) {
	atH := j.nowH
	if !math.IsInf(j.NextH, 1) {
		atH = math.Max(atH, j.NextH)
	}
	for _, c := range list {
		c.tasted = c.JarNow.Value
		if c.OutH == nil && atH > j.nowH {
			c.tasted = c.Posterior.Mean(math.Max(atH-c.InH, 0))
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		fi, fj := list[i].fierce(), list[j].fierce()
		if fi != fj {
			return fj
		}
		return list[i].tasted < list[j].tasted
	})
}

// TastingOrder is every flavour that steeps or will, in the order of tasting, then the
// unwanted tastes as written; nothing of a jar that nobody may drink.
func (j *Steeped) TastingOrder() (flavours, watch []*Curve) {
	for i := range j.Curves {
		switch c := &j.Curves[i]; {
		case c.Forbidden != "":
			return nil, nil
		case c.Watch:
			watch = append(watch, c)
		case c.OutH == nil:
			flavours = append(flavours, c)
		}
	}
	j.weakestFirst(flavours)
	return flavours, watch
}

// ToScore names what the next tasting scores, flavours and unwanted tastes: all that is due, and in
// the same glass what is to come out with no tasting of its own before; where nothing is due, all that is
// in; nothing of a jar that nobody may drink.
func (j *Steeped) ToScore() (flavours, watch []string) {
	s, all := j.NextSitting(), []*Curve{}
	if s != nil {
		watch = s.Watch
	}
	for i := range j.Curves {
		switch c := &j.Curves[i]; {
		case c.Forbidden != "":
			return nil, nil
		case !c.Watch && c.InJar() && (s == nil || c.Order.Do == jar.Leave), s != nil &&
			slices.Contains(s.Flavours, c.Name):
			all = append(all, c)
		}
	}
	j.weakestFirst(all)
	for _, c := range all {
		flavours = append(flavours, c.Name)
	}
	return flavours, watch
}

// PutBack names what goes back into the jar when some of it is strained: all else that is
// in it and has not come to its end.
func (j *Steeped) PutBack(strained ...string) []string {
	var names []string
	for i := range j.Curves {
		c := &j.Curves[i]
		if slices.Contains(strained, c.Name) {
			continue
		}
		if do := c.Order.Do; c.InJar() && (do == jar.Leave || do == jar.Taste || do == jar.Stays) {
			names = append(names, c.Name)
		}
	}
	return names
}

// dulls is what several tastes in their order do to the mouth: as the last that burns or numbs.
func dulls(tasted []*Curve) panel.Palate {
	palate := panel.Gentle
	for _, c := range tasted {
		if c.fierce() {
			palate = c.palate()
		}
	}
	return palate
}

// palate is what the taste does to the mouth.
func (c *Curve) palate() panel.Palate {
	switch {
	case c.Known == nil || !c.Known.Fierce:
		return panel.Gentle
	case c.Known.Class == "heat":
		return panel.Hot
	case c.Known.Kind == "herb" || c.Known.Kind == "leaf":
		return panel.Cooling
	}
	return panel.Numbing
}

func (c *Curve) fierce() bool { return c.Known != nil && c.Known.Fierce }
