package plots

import (
	"math"
	"time"
)

// The batches drawn in these tests are invented: they show the pictures every
// shape of input and say nothing about any botanical.

func ptr(v float64) *float64 { return &v }

// rising is a saturating curve with ranges that widen with doubt, from the time
// the botanical goes in.
func rising(name string, plateau, rate, in, end, doubt float64) Panel {
	c := Panel{Name: name}
	for i := 0; i <= 120; i++ {
		share := float64(i) / 120
		h := in + (end-in)*share*share
		at := func(z float64) float64 {
			return plateau * math.Exp(z*doubt/2) * -math.Expm1(-rate*math.Exp(z*doubt)*(h-in))
		}
		c.Hours = append(c.Hours, h)
		c.Middle = append(c.Middle, at(0))
		c.Low50, c.High50 = append(c.Low50, at(-0.67)), append(c.High50, at(0.67))
		c.Low90, c.High90 = append(c.Low90, at(-1.64)), append(c.High90, at(1.64))
	}
	return c
}

func taste(label string, at ...[2]float64) []Point {
	var out []Point
	for _, p := range at {
		out = append(out, Point{Hours: p[0], Score: p[1], Low: p[1] - 0.8, High: p[1] + 0.8, Label: label})
	}
	return out
}

var friday = time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)

// winter is the usual case: three botanicals, one of them hardly tasted, and a
// watched taste.
func winter() Extraction {
	cardamom := rising("green cardamom", 6.5, 0.055, 0, 60, 0.3)
	cardamom.Cut = "cracked"
	cardamom.Target = ptr(4.2)
	cardamom.Tastings = taste("", [2]float64{2, 0.8}, [2]float64{6, 2}, [2]float64{13.5, 3.3})
	cardamom.Window = &Span{From: 14, Best: 19, Until: 26, Label: "pull Sat 13:00 (08:00–20:00)"}
	zest := rising("blood orange zest", 8, 0.03, 0, 60, 0.35)
	zest.Cut = "fine zest"
	zest.Target = ptr(6)
	zest.Tastings = taste("", [2]float64{6, 1.2}, [2]float64{13.5, 2.9})
	zest.Window = &Span{From: 34, Best: 46, Until: math.Inf(1), Label: "pull Sun 16:00 (04:00 or later)"}
	pepper := rising("long pepper", 5, 0.008, 4, 60, 0.8)
	pepper.Cut = "crushed"
	pepper.Target = ptr(2)
	pepper.Note = "usual range, not your jar yet"
	bitter := rising("bitter", 4, 0.01, 0, 60, 0.6)
	bitter.Watch = true
	bitter.Limit = ptr(2)
	bitter.Tastings = taste("", [2]float64{13.5, 0.3})
	return Extraction{
		Title: "Winter orange cordial", Subtitle: "grape brandy 57 % vol, 20 °C",
		Panels: []Panel{cardamom, bitter, zest, pepper},
		NowH:   ptr(14), EndH: 60, Start: friday,
	}
}

// quick is a single zest over an hour and a half, tasted by two people.
func quick() Extraction {
	c := rising("lime zest", 7.5, 1.6, 0, 1.5, 0.25)
	c.Cut = "microplaned"
	c.Target = ptr(5)
	c.Tastings = append(taste("A", [2]float64{0.17, 1.5}, [2]float64{0.33, 3}), taste("B", [2]float64{0.33, 3.8}, [2]float64{0.5, 4.1})...)
	c.Window = &Span{From: 0.5, Best: 0.68, Until: 0.9, Label: "pull in 10 to 35 min"}
	return Extraction{Title: "Lime, one hour", Panels: []Panel{c}, NowH: ptr(0.55), EndH: 1.5, Start: friday}
}

// slow holds a zest of twenty minutes and a wood of six months in one jar.
func slow() Extraction {
	zest := rising("lime zest", 7, 6, 0, 1, 0.3)
	zest.PulledH, zest.Target = ptr(0.33), ptr(6)
	tail := []float64{2, 24, 240, 4380}
	for _, h := range tail {
		n := len(zest.Middle) - 1
		zest.Hours = append(zest.Hours, h)
		zest.Middle = append(zest.Middle, zest.Middle[n])
		zest.Low50, zest.High50 = append(zest.Low50, zest.Low50[n]), append(zest.High50, zest.High50[n])
		zest.Low90, zest.High90 = append(zest.Low90, zest.Low90[n]), append(zest.High90, zest.High90[n])
	}
	zest.Tastings = taste("", [2]float64{0.25, 5.2})
	sloe := rising("sloe", 6, 0.0012, 0, 4380, 0.4)
	sloe.Cut, sloe.Target = "whole, pricked", ptr(5)
	sloe.Window = &Span{From: 1100, Best: 1500, Until: 2300, Label: "pull 22 Jan (5 Jan – 24 Feb)"}
	var at [][2]float64
	for i := 1; i <= 12; i++ {
		h := 4 * math.Pow(1.72, float64(i))
		at = append(at, [2]float64{h, 6*-math.Expm1(-0.0012*h) + 0.3*math.Sin(float64(i))})
	}
	sloe.Tastings = taste("", at...)
	oak := rising("oak", 4, 0.0004, 400, 4380, 0.7)
	oak.Cut, oak.Target, oak.Note = "toasted chips", ptr(3), "no tasting yet: the usual range"
	oak.Window = &Span{From: 2900, Best: 4000, Until: math.Inf(1), Label: "pull in May or later"}
	return Extraction{Title: "Sloe and lime on oak", Subtitle: "neutral spirit 45 % vol, cellar 14 °C",
		Panels: []Panel{zest, sloe, oak}, NowH: ptr(900), EndH: 4380, Start: friday}
}

// crowded is eight flavours with names that do not fit.
func crowded() Extraction {
	names := [][2]string{
		{"candied bergamot peel from the second harvest, sun-dried on racks", "cut in strips of three millimetres, pith left on where it would not come off"},
		{"Szechuan pepper", "whole"}, {"柚子 yuzu zest", "fine zest"}, {"crème de rhubarbe", ""},
		{"cacao nibs", "toasted"}, {"bay leaf", "torn"}, {"gentian", "chopped root"},
	}
	e := Extraction{Title: "A liqueur with a very long name that goes on and on until somebody stops it", Subtitle: "wheat spirit 60 % vol", EndH: 400, NowH: ptr(390)}
	for i, n := range names {
		c := rising(n[0], 5+float64(i%3), 0.012*float64(i+1), float64(10*i), 400, 0.4)
		c.Cut, c.Target = n[1], ptr(float64(3+i%4))
		c.Tastings = taste("", [2]float64{40 + float64(i), 2}, [2]float64{120, 4})
		c.Window = &Span{From: 60, Best: 90, Until: 150, Label: "pull between 60 and 150 h, best 90 h, if the next tasting agrees with the last one and nobody objects"}
		if i == 2 {
			c.PulledH = ptr(88)
			c.Window.Label = "wanted at 90 h"
		}
		if i == 3 {
			c.Window = &Span{From: 500, Best: 600, Until: math.Inf(1), Label: "pull in 3 weeks"}
			c.Note = "one tasting only: mostly the usual range, so taste it again before you trust this"
		}
		e.Panels = append(e.Panels, c)
	}
	w := rising("tannic, woody dryness", 9, 0.03, 0, 400, 0.5)
	w.Watch, w.Limit = true, ptr(3)
	e.Panels = append(e.Panels, w)
	return e
}

// stand is a bottle among regions whose borders are made up for the picture.
func stand() KeepingMap {
	const far = 2000
	return KeepingMap{
		Title: "Where the cordial keeps", Subtitle: "at pH 3.4, with juice, unopened",
		Regions: []Region{
			{Name: "weeks in the fridge", Tone: 3, Outline: []MapPoint{{0, 0}, {15, 0}, {15, far}, {0, far}}},
			{Name: "months in the fridge", Tone: 1, Outline: []MapPoint{{15, 0}, {22, 0}, {22, far}, {15, far}}},
			{Name: "shelf, if strained clear", Tone: 5, Outline: []MapPoint{{18, 230}, {22, 90}, {22, far}, {18, far}}},
			{Name: "shelf: no growth expected", Tone: 0, Outline: []MapPoint{{22, 0}, {100, 0}, {100, far}, {22, far}}},
		},
		Bottle: &Bottle{At: MapPoint{ABVPercent: 15.1, SugarGPerL: 240}, SDABVPercent: 0.6, SDSugarGPerL: 14,
			Label: "this bottle"},
		Path: []Step{{To: MapPoint{ABVPercent: 23.4, SugarGPerL: 205}, Label: "95 ml more brandy"}},
	}
}

// shelf is three qualities that fade at different speeds.
func shelf() Fade {
	q := func(name string, k, doubt float64) Quality {
		q := Quality{Name: name}
		for i := 0; i <= 52; i++ {
			w := float64(i) / 2
			q.Weeks = append(q.Weeks, w)
			q.Share = append(q.Share, math.Exp(-k*w))
			q.Low = append(q.Low, math.Exp(-k*doubt*w))
			q.High = append(q.High, math.Exp(-k/doubt*w))
		}
		return q
	}
	f := Fade{Title: "What fades first", Subtitle: "Winter orange cordial", Store: "fridge, 4 °C",
		Qualities: []Quality{q("fresh juice", 0.2, 1.6), q("citrus top note", 0.09, 2), q("red colour", 0.035, 1.8), q("cardamom", 0.01, 2)},
		Floor:     ptr(0.5), NowWeeks: ptr(2)}
	for i, words := range []string{"2 to 5 weeks", "3 to 15 weeks", "2 to 8 months", "8 months and more"} {
		f.Qualities[i].Noticed = words
	}
	f.Qualities[3].Note = "one study, another spirit"
	return f
}
