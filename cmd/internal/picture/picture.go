// Package picture turns an assessment into what plots draws: the steep, the keeping map,
// and how the taste fades. It computes nothing that another view would say.
package picture

import (
	"fmt"
	"math"
	"slices"
	"steepbook/cmd/internal/steeping"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/cores"
	"steepbook/kinetics/jar"
	"steepbook/plots"
	"steepbook/shelf"
)

// Named is a picture and what its file is called by.
type Named struct {
	Name string
	plots.Picture
}

// OfSteep are the curves of a batch that has been timed, none where nothing steeps.
func OfSteep(a *bench.Assessment, units quantity.System) (all []Named) {
	if chart := Chart(a); len(chart.Panels) > 0 {
		chart.Subtitle, chart.US = quantity.Say(chart.Subtitle, units), units == quantity.US
		all = append(all, Named{"curves", chart})
	}
	return all
}

// OfKeeping are the keeping map and what fades in store of a batch that has been judged,
// as far as each is known.
func OfKeeping(a *bench.Assessment, units quantity.System) (all []Named) {
	if m, ok := KeepingMap(a); ok {
		all = append(all, Named{"keeping", m})
	}
	if f, ok := Fade(a); ok {
		f.Store = quantity.Say(f.Store, units)
		all = append(all, Named{"fade", f})
	}
	return all
}

// chartPoints is how many points a drawn curve has.
const chartPoints = 61

// Chart is the picture of the steep as it was decided: the strength in the bottle
// by which the order was found, the time to pull, what is wanted and what is not.
func Chart(a *bench.Assessment) plots.Extraction {
	e := plots.Extraction{Title: a.Batch.Name, Subtitle: subtitle(a), Start: a.Batch.Started}
	end, latest := math.Max(a.ElapsedH, 1), 0.0
	for i := range a.Curves {
		c := &a.Curves[i]
		for _, p := range c.Points {
			end = math.Max(end, p.Hours)
		}
		if c.Watch {
			continue
		}
		o := &c.Order
		latest = math.Max(latest, c.InH)
		if best := o.BestH; !math.IsInf(best, 1) {
			latest = math.Max(latest, best)
			if !math.IsInf(o.UntilH, 1) {
				best = o.UntilH
			}
			end = math.Max(end, c.InH+1.15*(best-c.InH))
		} else {
			end = math.Max(end, c.InH+1.15*c.Posterior.TimeToShare(0.8).Median)
		}
	}
	// A window that opens far beyond the others would squeeze all else.
	if a.ElapsedH > 0 {
		end = math.Min(end, math.Max(12*a.ElapsedH, latest*1.5))
	}
	e.EndH = end
	if now := a.ElapsedH; now > 0 && now <= end {
		e.NowH = &now
	}
	var shown []*steeping.Curve
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch || c.Tasted > 0 {
			shown = append(shown, c)
		}
	}
	e.Panels = make([]plots.Panel, len(shown))
	cores.Each(len(shown), func(i int) { e.Panels[i] = drawn(shown[i], end) })
	return e
}

// Charts is Chart in pictures of no more than so many flavours, all to the same hour.
func Charts(a *bench.Assessment, most int) []plots.Extraction {
	e := Chart(a)
	n := len(e.Panels)
	if n == 0 {
		return nil
	}
	pictures := (n + most - 1) / most
	var out []plots.Extraction
	for part := range slices.Chunk(e.Panels, (n+pictures-1)/pictures) {
		one := e
		one.Panels = part
		out = append(out, one)
	}
	return out
}

func subtitle(a *bench.Assessment) string {
	text := ""
	if len(a.Batch.Spirits) > 0 {
		text = a.Batch.Spirits[0].Label()
	}
	if a.Batch.RoomC != nil {
		text += fmt.Sprintf(", %.0f~°C", *a.Batch.RoomC)
	}
	return text
}

func drawn(c *steeping.Curve, end float64) plots.Panel {
	d := plots.Panel{Name: c.Name, Cut: c.Cut, Watch: c.Watch, Note: c.Standing()}
	strength := make([]kinetics.Interval, chartPoints)
	hours := func(i int) float64 { // closer together at the start, where the curve bends
		u := float64(i) / (chartPoints - 1)
		return c.InH + (end-c.InH)*u*u
	}
	cores.Each(chartPoints, func(i int) {
		own := hours(i) - c.InH
		if c.OutH != nil {
			own = math.Min(own, *c.OutH-c.InH)
		}
		strength[i] = c.BottleStrength(math.Max(own, 0))
	})
	for i, s := range strength {
		d.Hours, d.Middle = append(d.Hours, hours(i)), append(d.Middle, s.Mean)
		d.Low50, d.High50 = append(d.Low50, s.P25), append(d.High50, s.P75)
		d.Low90, d.High90 = append(d.Low90, s.P05), append(d.High90, s.P95)
	}
	several := slices.ContainsFunc(c.Points,
		func(p steeping.Point) bool { return p.Taster != c.Points[0].Taster })
	for _, p := range c.Points {
		dot := plots.Point{Hours: p.Hours, Score: p.Score, Low: math.Max(0, p.Score-p.SD),
			High: p.Score + p.SD}
		if several {
			dot.Label = p.Taster
		}
		d.Tastings = append(d.Tastings, dot)
	}
	switch o := &c.Order; {
	case c.OutH != nil:
		out := *c.OutH
		d.PulledH = &out
	case !c.Watch && !math.IsInf(o.BestH, 1) && o.Do != jar.Nothing && o.Do != jar.Stays:
		d.Window = &plots.Span{From: o.FromH, Best: o.BestH, Until: o.UntilH}
		if o.Why == jar.Spoils {
			d.Window.Label = o.Blame + " ends it"
		}
	}
	if c.Target != nil && *c.Target < float64(kinetics.WholeScores) {
		d.Target = c.Target
	}
	if c.Watch {
		d.Limit = &c.Limit
		if c.From != "" {
			d.Cut = "from the " + c.From
		}
	}
	return d
}

// KeepingMap is the plane of alcohol and sugar at this bottle's acidity and
// handling: how it keeps, where the bottle stands, and what the least change
// that moves it would do. ok is false where the blend is not known, or has no place since
// what nobody knows may be any sugar or spirit.
func KeepingMap(a *bench.Assessment) (m plots.KeepingMap, ok bool) {
	if !a.Blend.Whole() || a.Keep.NoPlace() || a.Blend.Strange() {
		return m, false
	}
	r := &a.Blend.Result
	b := a.Blend.Bottle
	// Room beside the bottle, so that its place and its neighbours show.
	maxABV := math.Min(math.Max(45, 5*math.Ceil((r.ABVPercent.High+5)/5)), 100)
	maxSugar := math.Min(math.Max(600, 50*math.Ceil((r.SugarGPerL.High+50)/50)), 2000)
	m = plots.KeepingMap{
		Title: a.Batch.Name + ": where it keeps", MaxABVPercent: maxABV, MaxSugarGPerL: maxSugar,
		Bottle: &plots.Bottle{
			At:           plots.MapPoint{ABVPercent: r.ABVPercent.Value, SugarGPerL: r.SugarGPerL.Value},
			SDABVPercent: (r.ABVPercent.High - r.ABVPercent.Low) / recipe.Ninety,
			SDSugarGPerL: (r.SugarGPerL.High - r.SugarGPerL.Low) / recipe.Ninety,
			Label:        "this bottle",
		},
		FootNote: "Weeks: two and more; months: six weeks and more. Drawn with the margins of the judgement, for this acidity and handling; not a validated process.",
	}
	if r.PHKnown {
		m.Subtitle = fmt.Sprintf("at pH %.1f", r.PH.Value)
	} else {
		m.Subtitle = "pH not known: no credit for acid"
	}
	// The step a bottle stands on rises with strength, so each step is bounded
	// by the least strength that reaches it, at every sweetness.
	steps := []struct {
		step shelf.Step
		name string
		tone int
	}{
		{shelf.StepPathogens, "a few cold days", 3}, {shelf.StepDays, "fridge: days", 2},
		{shelf.StepWeeks, "fridge: weeks", 1},
		{shelf.StepMonths, "fridge: months", 0}, {shelf.StepShelf, "shelf", 5},
	}
	first := 0.0
	for _, s := range steps {
		region := plots.Region{Name: s.name, Tone: s.tone}
		widest, abv := 0.0, first
		for sugar := 0.0; sugar <= maxSugar; sugar += mapSugarStep {
			abv = b.LeastABVPercent(s.step, sugar, maxABV, abv)
			widest = math.Max(widest, maxABV-abv)
			region.Outline = append(region.Outline, plots.MapPoint{ABVPercent: abv, SugarGPerL: sugar})
		}
		if first = region.Outline[0].ABVPercent; widest < 0.1 {
			continue
		}
		region.Outline = append(region.Outline, plots.MapPoint{ABVPercent: maxABV, SugarGPerL: maxSugar},
			plots.MapPoint{ABVPercent: maxABV})
		m.Regions = append(m.Regions, region)
	}
	for _, c := range a.Changes() {
		label := map[string]string{shelf.ChangeABV: "more spirit", shelf.ChangeSugar: "more sugar",
			shelf.ChangeNoJuice: "acid for juice"}[c.Kind]
		if math.Hypot(c.ABVPercent-r.ABVPercent.Value, (c.SugarGPerL-r.SugarGPerL.Value)/mapSugarStep) < 0.5 {
			continue // it does not move on this plane
		}
		if label != "" && len(m.Path) < 2 && c.ABVPercent <= maxABV && c.SugarGPerL <= maxSugar {
			m.Path = append(m.Path, plots.Step{To: plots.MapPoint{ABVPercent: c.ABVPercent,
				SugarGPerL: c.SugarGPerL}, Label: label + ": " + shelf.Keeps(c.Bottle).String()})
		}
	}
	return m, true
}

// mapSugarStep is how far apart the map looks, g/L.
const mapSugarStep = 30

// Fade is how what a drinker notices fades where the bottle is advised to
// stand; ok is false where nothing is known of it.
func Fade(a *bench.Assessment) (f plots.Fade, ok bool) {
	if !a.Blend.Whole() || a.Keep.Best.Place == "" {
		return f, false
	}
	const daysPerWeek = 7
	noticed := shelf.Noticed
	f = plots.Fade{Title: a.Batch.Name + ": what fades",
		Store: fmt.Sprintf("%s, %.0f~°C", a.Keep.Best.Place, a.Keep.Best.AtC), Floor: &noticed}
	if !a.Keep.SinceAt.IsZero() {
		now := a.Now.Sub(a.Keep.SinceAt).Hours() / 24 / daysPerWeek
		f.NowWeeks = &now
	}
	known := quantity.Those(a.Fades(), func(x *shelf.Fade) bool { return x.Known })
	known = known[:min(len(known), mostFades)]
	if len(known) == 0 {
		return f, false
	}
	for _, x := range known {
		// As long as the story: until what fades last is plainly gone, but no
		// longer than four times what fades first.
		f.EndWeeks = math.Max(f.EndWeeks, math.Min(1.5*x.Time.High, 4*known[0].Time.High)/daysPerWeek)
	}
	for _, x := range known {
		q := plots.Quality{Name: x.Attribute, Note: quantity.And(x.Of), Noticed: x.Time.Words}
		low, high := x.Time.Low/daysPerWeek, x.Time.High/daysPerWeek
		mid := math.Sqrt(low * high)
		for i := range chartPoints {
			w := f.EndWeeks * float64(i) / (chartPoints - 1)
			left := func(until float64) float64 { return math.Pow(noticed, w/until) }
			q.Weeks, q.Share = append(q.Weeks, w), append(q.Share, left(mid))
			q.Low, q.High = append(q.Low, left(low)), append(q.High, left(high))
		}
		// The first score of the bottle says nothing of what was lost by then: it stands on
		// the line.
		for _, name := range x.Of {
			scores := a.Keep.Scores(a.Batch, a.ElapsedH, name)
			if len(scores) < 2 || scores[0].Score <= 0 {
				continue
			}
			first := math.Pow(noticed, scores[0].Days/daysPerWeek/mid) / scores[0].Score
			for _, s := range scores {
				q.Dots = append(q.Dots, plots.Left{Weeks: s.Days / daysPerWeek, Share: first * s.Score})
			}
		}
		f.Qualities = append(f.Qualities, q)
	}
	return f, true
}

// mostFades is how many qualities one chart holds.
const mostFades = 4
