package plots

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// listener notes every level text that is drawn, with the box it covers.
type listener struct{ heard []heard }

type heard struct {
	text string
	box  box
}

func (l *listener) fill(color.RGBA, path) {}
func (l *listener) stroke(stroke, path)   {}

func (l *listener) write(style lettering, at xy, upright bool, s string) {
	if !upright {
		l.heard = append(l.heard, heard{s, style.extent(at, left, s)})
	}
}

// textsOf draws a figure and returns its texts in page coordinates.
func textsOf(f *figure, s style) []heard {
	l := &listener{}
	f.paintOn(l, s, f.paint)
	return l.heard
}

// checkTexts holds a figure to the promise that no text is cut or meets another.
func checkTexts(t interface{ Errorf(string, ...any) }, f *figure, s style) {
	page := box{0, 0, f.width, f.height}.grow(-2)
	texts := textsOf(f, s)
	for i, a := range texts {
		if !a.box.within(page) {
			t.Errorf("%q leaves the page: %v in %v", a.text, a.box, page)
		}
		for _, b := range texts[:i] {
			if a.box.grow(-0.3).meets(b.box.grow(-0.3)) {
				t.Errorf("%q %v meets %q %v", a.text, a.box, b.text, b.box)
			}
		}
	}
}

func somePtr(t *rapid.T, name string, lo, hi float64) *float64 {
	if !rapid.Bool().Draw(t, "has "+name) {
		return nil
	}
	v := rapid.Float64Range(lo, hi).Draw(t, name)
	return &v
}

func someText(t *rapid.T, name string) string {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"", "bay", "green cardamom", "strips of candied bergamot peel, dried on racks in the sun", strings.Repeat("long", 60)}),
		rapid.StringN(0, 40, 80),
	).Draw(t, name)
}

func someStyle(t *rapid.T) style {
	s := usualStyle()
	s.WidthPt = rapid.Float64Range(240, 700).Draw(t, "width")
	s.TextPt = rapid.Float64Range(5, s.WidthPt/18).Draw(t, "text size")
	s.NamePt = rapid.Float64Range(s.TextPt, s.WidthPt/12).Draw(t, "name size")
	s.TitlePt = rapid.Float64Range(s.TextPt, s.WidthPt/12).Draw(t, "title size")
	return s
}

func somePanel(t *rapid.T) Panel {
	c := Panel{
		Name: someText(t, "name"), Cut: someText(t, "cut"), Note: someText(t, "note"),
		Watch: rapid.Bool().Draw(t, "watch"), Target: somePtr(t, "target", -2, 14), Limit: somePtr(t, "limit", -2, 14),
		PulledH: somePtr(t, "pulled", 0, 3000),
	}
	score := rapid.OneOf(rapid.Float64Range(-3, 15), rapid.Just(math.Inf(1)), rapid.Just(math.Inf(-1)))
	n := rapid.IntRange(0, 6).Draw(t, "samples")
	h := 0.0
	for range n {
		h += rapid.Float64Range(0, 500).Draw(t, "step")
		c.Hours = append(c.Hours, h)
		c.Middle = append(c.Middle, score.Draw(t, "median"))
		c.Low90 = append(c.Low90, score.Draw(t, "low"))
		c.High90 = append(c.High90, score.Draw(t, "high"))
	}
	for range rapid.IntRange(0, 12).Draw(t, "tastings") {
		v := score.Draw(t, "score")
		c.Tastings = append(c.Tastings, Point{rapid.Float64Range(-5, 3000).Draw(t, "at"), v, v - 1, v + 1, someText(t, "taster")})
	}
	if rapid.Bool().Draw(t, "window") {
		from := rapid.Float64Range(0, 2000).Draw(t, "from")
		best := from + rapid.Float64Range(0, 500).Draw(t, "best")
		c.Window = &Span{from, best, rapid.SampledFrom([]float64{best, best + 100, math.Inf(1)}).Draw(t, "until"), someText(t, "label")}
	}
	return c
}

func TestExtractionTextNeitherCutNorOverlapping(t *testing.T) {
	start := time.Date(2026, 11, 20, 18, 7, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		s := someStyle(t)
		e := Extraction{
			Title: someText(t, "title"), Subtitle: someText(t, "subtitle"),
			NowH: somePtr(t, "now", -10, 5000), EndH: math.Pow(10, rapid.Float64Range(-1, 4).Draw(t, "end")),
			Start: rapid.SampledFrom([]time.Time{{}, start}).Draw(t, "start"),
		}
		for range rapid.IntRange(1, 5).Draw(t, "curves") {
			e.Panels = append(e.Panels, somePanel(t))
		}
		if err := e.check(); err != nil {
			t.Fatal(err)
		}
		f := e.figure(s)
		checkTexts(t, f, s)
	})
}

func TestKeepingMapTextNeitherCutNorOverlapping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someStyle(t)
		place := rapid.Custom(func(t *rapid.T) MapPoint {
			return MapPoint{rapid.Float64Range(0, 40).Draw(t, "abv"), rapid.Float64Range(0, 600).Draw(t, "sugar")}
		})
		m := KeepingMap{Title: someText(t, "title"), Bottle: &Bottle{At: place.Draw(t, "bottle"), SDABVPercent: 1, SDSugarGPerL: 20,
			Label: someText(t, "label")}}
		for i := range rapid.IntRange(0, 5).Draw(t, "regions") {
			m.Regions = append(m.Regions, Region{someText(t, "region"), rapid.SliceOfN(place, 3, 6).Draw(t, "outline"), i})
		}
		for range rapid.IntRange(0, 2).Draw(t, "steps") {
			m.Path = append(m.Path, Step{place.Draw(t, "to"), someText(t, "change")})
		}
		if err := m.check(); err != nil {
			t.Fatal(err)
		}
		f := m.figure(s)
		checkTexts(t, f, s)
	})
}

func TestFadeTextNeitherCutNorOverlapping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someStyle(t)
		f := Fade{Title: someText(t, "title"), Store: someText(t, "store"), Floor: somePtr(t, "floor", 0, 1), NowWeeks: somePtr(t, "now", 0, 80),
			EndWeeks: rapid.Float64Range(0.3, 300).Draw(t, "end")}
		for range rapid.IntRange(1, 4).Draw(t, "qualities") {
			q := Quality{Name: someText(t, "name"), Note: someText(t, "note"), Noticed: "2 weeks to 4 months"}
			k := rapid.Float64Range(0, 2).Draw(t, "rate")
			for w := 0.0; w <= f.EndWeeks; w += f.EndWeeks / 8 {
				q.Weeks = append(q.Weeks, w)
				q.Share = append(q.Share, math.Exp(-k*w))
				q.Low = append(q.Low, math.Exp(-2*k*w))
				q.High = append(q.High, math.Exp(-k*w/2))
			}
			f.Qualities = append(f.Qualities, q)
		}
		if err := f.check(); err != nil {
			t.Fatal(err)
		}
		fig := f.figure(s)
		checkTexts(t, fig, s)
	})
}

// Words about a curve stand around the plots, never in them; only the tasters'
// marks do, and those keep clear of lines by themselves.
func TestWordsStandOutsideThePlots(t *testing.T) {
	now, target, pulled := 14.0, 4.0, 20.0
	e := Extraction{Title: "t", NowH: &now, EndH: 40, Panels: []Panel{
		{Name: "a", Cut: "cracked", Note: "note", Target: &target, Window: &Span{10, 15, 20, "pull then"}, PulledH: &pulled,
			Hours: []float64{0, 40}, Middle: []float64{0, 9}},
		{Name: "b", Watch: true, Limit: &target, Hours: []float64{0, 40}, Middle: []float64{0, 9}},
	}}
	s := usualStyle()
	if err := e.check(); err != nil {
		t.Fatal(err)
	}
	f := e.figure(s)
	// The plots are what is left between the numbers of the axis.
	for _, in := range textsOf(f, s) {
		for _, zero := range textsOf(f, s) {
			if zero.text != "10" || zero.box.X0 > 60 {
				continue
			}
			plot := box{zero.box.X1 + gap + 1, (zero.box.Y0+zero.box.Y1)/2 + 1, s.WidthPt - 80, (zero.box.Y0+zero.box.Y1)/2 + laneHeight(2, s) - 1}
			if in.box.meets(plot) {
				t.Errorf("%q at %v stands in the plot %v", in.text, in.box, plot)
			}
		}
	}
}

func TestTicks(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	type labels = string
	for _, c := range []struct {
		name string
		axis timeAxis
		want labels
	}{
		{"minutes", timeAxis{end: 1.5}, "0 10 20 30 40 50 60 70 80 90"},
		{"hours", timeAxis{end: 30}, "0 3 6 9 12 15 18 21 24 27 30"},
		{"days", timeAxis{end: 10 * 24}, "0 1 2 3 4 5 6 7 8 9 10"},
		{"weeks", timeAxis{end: 26 * hoursPerWeek}, "0 4 8 12 16 20 24"},
		{"weeks asked for", timeAxis{end: 4 * hoursPerWeek, unit: weeks}, "0 1 2 3 4"},
		{"stretched", timeAxis{end: 26 * hoursPerWeek, knee: 0.1}, "0 10 min 1 h 3 h 6 h 1 d 3 d 1 wk 4 wk 26 wk"},
		// The night of 25 October 2026 has 25 hours there: 12 hours after 18:00
		// the clock shows 05:00.
		{"clock change", timeAxis{end: 24, start: time.Date(2026, 10, 24, 18, 0, 0, 0, berlin)},
			"0/Sat 18:00 4/22:00 8/Sun 02:00 12/05:00 16/09:00 20/13:00 24/17:00"},
		{"clock of twelve hours", timeAxis{end: 24, us: true, start: time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)},
			"0/Fri 6:00 pm 6/Sat 12:00 am 12/6:00 am 18/noon 24/6:00 pm"},
		{"dates", timeAxis{end: 14 * 24, start: time.Date(2026, 12, 28, 9, 0, 0, 0, time.UTC)},
			"0/28 Dec 7/4 Jan 14/11 Jan"},
	} {
		c.axis.x0, c.axis.x1 = 30, 310
		var got []string
		ticks := c.axis.ticks(lettering{size: 9})
		if c.axis.knee > 0 {
			for i := range ticks {
				for j := range ticks[:i] {
					if ticks[i].value < ticks[j].value {
						ticks[i], ticks[j] = ticks[j], ticks[i]
					}
				}
			}
		}
		for _, k := range ticks {
			s := k.label
			if k.sub != "" {
				s += "/" + k.sub
			}
			got = append(got, s)
		}
		if g := strings.Join(got, " "); g != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, g, c.want)
		}
	}
}

func TestTimeAxisRunsFromEndToEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := timeAxis{end: rapid.Float64Range(0.1, 9000).Draw(t, "end"), x0: 10, x1: 300}
		a.knee = rapid.SampledFrom([]float64{0, a.end / 50, a.end / 1e5}).Draw(t, "knee")
		u, v := rapid.Float64Range(0, a.end).Draw(t, "u"), rapid.Float64Range(0, a.end).Draw(t, "v")
		if a.at(0) != 10 || math.Abs(a.at(a.end)-300) > 1e-9 || a.at(-1) != 10 || math.Abs(a.at(2*a.end)-300) > 1e-9 {
			t.Fatalf("ends at %v and %v", a.at(0), a.at(a.end))
		}
		if u < v && a.at(u) > a.at(v) {
			t.Fatalf("%v h lies right of %v h", u, v)
		}
	})
}

func TestWrapKeepsToItsWidth(t *testing.T) {
	l := lettering{size: 9}
	rapid.Check(t, func(t *rapid.T) {
		s := clean(rapid.StringN(0, 80, 200).Draw(t, "text"))
		width := rapid.Float64Range(20, 300).Draw(t, "width")
		lines := rapid.IntRange(1, 4).Draw(t, "lines")
		got := l.wrap(s, width, lines)
		if len(got) > lines {
			t.Fatalf("%d lines for at most %d", len(got), lines)
		}
		for _, line := range got {
			if l.width(line) > width {
				t.Fatalf("%q is %.1f wide, more than %.1f", line, l.width(line), width)
			}
		}
		if joined := strings.Join(got, " "); !strings.Contains(joined, "…") && joined != strings.Join(strings.Fields(s), " ") {
			t.Fatalf("%q lost something without an ellipsis: %q", s, joined)
		}
	})
}

func TestCleanLeavesWhatCanBeRead(t *testing.T) {
	for in, want := range map[string]string{
		"  green\n\tcardamom ":  "green cardamom",
		"crème, µg, ½, 4 °C, ≥": "crème, µg, ½, 4 °C, ≥",
		"柚子 yuzu":               "柚子 yuzu",
		"zest\x00\u200b\xff!":   "zest□!",
		"Крем, ζύθος":           "Крем, ζύθος",
	} {
		if got := clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestUnknownLettersAreDrawn: a letter that the typeface lacks is a square and does not
// vanish.
func TestUnknownLettersAreDrawn(t *testing.T) {
	f := lettering{size: 10}.face()
	var buf sfnt.Buffer
	square, _ := glyph(f, &buf, missing)
	for r, want := range map[rune]bool{'é': true, 'Ж': true, '柚': false} {
		if g, known := glyph(f, &buf, r); known != want || !known && g != square || g == 0 {
			t.Errorf("%c is glyph %d, known %v", r, g, known)
		}
	}
}

func TestSideLabelsKeepApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var labels []sideLabel
		for range rapid.IntRange(0, 4).Draw(t, "labels") {
			labels = append(labels, sideLabel{y: rapid.Float64Range(0, 100).Draw(t, "y"), lines: []string{"a", "b"}, style: lettering{size: 9}})
		}
		spread(labels, -10, 110)
		for i := 1; i < len(labels); i++ {
			if d := labels[i].y - labels[i-1].y; d < 2*9*lineStep-1e-9 {
				t.Fatalf("labels %v apart", d)
			}
		}
	})
}

func TestEllipseHoldsNinetyPercent(t *testing.T) {
	// Upper 10 % point of χ² with 2 degrees of freedom: 4.60517, as in the printed
	// table of the distribution appended to the statistics examinations of the
	// Namibia University of Science and Technology; gonum agrees.
	const chi2 = 4.60517
	if q := (distuv.ChiSquared{K: 2}).Quantile(0.9); math.Abs(q-chi2) > 1e-5 {
		t.Fatalf("gonum/stat/distuv gives %v", q)
	}
	b := Bottle{At: MapPoint{15, 240}, SDABVPercent: 0.6, SDSugarGPerL: 14}
	for _, p := range b.ellipse() {
		x, y := (p.ABVPercent-15)/0.6, (p.SugarGPerL-240)/14
		d2 := x*x + y*y
		if math.Abs(d2-chi2) > 1e-5 {
			t.Fatalf("squared distance %.6f, want %.5f", d2, chi2)
		}
	}
	if got := (Bottle{At: b.At}).ellipse(); got != nil {
		t.Errorf("an exact bottle has an ellipse: %v", got)
	}
}

func TestContrast(t *testing.T) {
	// 21:1 for black on white is the top of the scale in WCAG 2.2; 4.54:1 for
	// #767676 on white stands in published guides to it (for example slimutils,
	// "WCAG contrast ratio explained", quick reference).
	p := usualStyle().Palette
	white := p.Paper
	for _, c := range []struct {
		hex  uint8
		want float64
	}{{0x00, 21}, {0x76, 4.54}, {0xff, 1}} {
		grey := okabeBlack
		grey.R, grey.G, grey.B = c.hex, c.hex, c.hex
		if got := contrast(grey, white); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %#x is %.3f, want %v", c.hex, got, c.want)
		}
	}
	for _, c := range append(append(p.Series, p.Zones...), p.Ink, p.Muted, p.Wanted, p.Watch, p.Window) {
		if got := contrast(p.inkOf(c), white); got < minContrast {
			t.Errorf("text in %v has contrast %.2f", c, got)
		}
	}
	for _, c := range p.Zones {
		if got := contrast(p.Ink, over(p.Paper, c, zoneShare)); got < minContrast {
			t.Errorf("names on the tint of %v have contrast %.2f", c, got)
		}
	}
}

func TestPaletteIsThePublishedOne(t *testing.T) {
	// Values of Okabe and Ito's palette as listed in Wong, Nature Methods 8:441
	// (2011), and in the R packages khroma and see.
	for got, want := range map[string]string{
		hexOf(okabeBlack): "000000", hexOf(okabeOrange): "E69F00", hexOf(okabeSky): "56B4E9", hexOf(okabeGreen): "009E73",
		hexOf(okabeYellow): "F0E442", hexOf(okabeBlue): "0072B2", hexOf(okabeVermill): "D55E00", hexOf(okabePurple): "CC79A7",
	} {
		if got != want {
			t.Errorf("colour %s, want %s", got, want)
		}
	}
}

func hexOf(c interface{ RGBA() (r, g, b, a uint32) }) string {
	r, g, b, _ := c.RGBA()
	return fmt.Sprintf("%02X%02X%02X", r>>8, g>>8, b>>8)
}

func TestFallsTo(t *testing.T) {
	// Exponential loss reaches one half at ln 2 / k, whatever it starts from.
	var weeks, share []float64
	const k = 0.09
	for w := 0.0; w <= 26; w += 0.25 {
		weeks, share = append(weeks, w), append(share, math.Exp(-k*w))
	}
	if got, want := fallsTo(weeks, share, 0.5), math.Ln2/k; math.Abs(got-want) > 1e-3 {
		t.Errorf("half left after %.4f weeks, want %.4f", got, want)
	}
	for _, c := range []struct {
		share []float64
		want  float64
	}{
		{[]float64{1, 0.5, 0}, 1}, {[]float64{1, 0.75, 0.25}, 1.5}, {[]float64{0.4, 0.3, 0.2}, 0},
		{[]float64{1, 0.9, 0.8}, math.Inf(1)}, {nil, math.Inf(1)}, {[]float64{math.Inf(1), 0.1, 0}, 1},
	} {
		if got := fallsTo([]float64{0, 1, 2}, c.share, 0.5); got != c.want {
			t.Errorf("fallsTo(%v) = %v, want %v", c.share, got, c.want)
		}
	}
}

func TestClipped(t *testing.T) {
	in := box{0, 0, 10, 10}
	for _, c := range []struct {
		a, b, from, to xy
		ok             bool
	}{
		{xy{-10, 5}, xy{20, 5}, xy{0, 5}, xy{10, 5}, true},
		{xy{2, 2}, xy{8, 8}, xy{2, 2}, xy{8, 8}, true},
		{xy{-5, 5}, xy{5, -5}, xy{0, 0}, xy{0, 0}, true},
		{xy{-5, 4}, xy{4, -5}, xy{}, xy{}, false},
		{xy{12, 0}, xy{12, 9}, xy{}, xy{}, false},
	} {
		from, to, ok := clipped(c.a, c.b, in)
		if ok != c.ok || ok && (from != c.from || to != c.to) {
			t.Errorf("clipped(%v, %v) = %v %v %v", c.a, c.b, from, to, ok)
		}
	}
}

func TestInside(t *testing.T) {
	// A square with a notch cut in from the right.
	notched := []xy{{0, 0}, {10, 0}, {10, 4}, {5, 5}, {10, 6}, {10, 10}, {0, 10}}
	for at, want := range map[xy]bool{{1, 1}: true, {9, 5}: false, {4, 5}: true, {9, 9}: true, {11, 5}: false, {-1, 5}: false} {
		if got := inside(notched, at); got != want {
			t.Errorf("inside(%v) = %v", at, got)
		}
	}
	if d := fromEdge(notched, xy{2, 5}); math.Abs(d-2) > 1e-12 {
		t.Errorf("distance from the edge %v, want 2", d)
	}
}

func TestReadableOnAPhone(t *testing.T) {
	s := usualStyle()
	if px := s.TextPt * 400 / s.WidthPt; px < 10 {
		t.Errorf("labels are %.1f pixels high in a picture 400 pixels wide, want 10", px)
	}
}
