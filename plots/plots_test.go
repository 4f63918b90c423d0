package plots

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden pictures")

func scenes() map[string]Picture {
	return map[string]Picture{
		"extraction":           winter(),
		"extraction-minutes":   quick(),
		"extraction-stretched": slow(),
		"extraction-crowded":   crowded(),
		"keepingmap":           stand(),
		"fade":                 shelf(),
		"label":                bottle(),
		"label-stop":           stopped(),
	}
}

// coarse keeps files small and drawing quick.
func coarse() style {
	s := usualStyle()
	s.PixelsPerInch = 72
	return s
}

func TestGoldenPictures(t *testing.T) {
	for name, p := range scenes() {
		var got bytes.Buffer
		if err := write(&got, p, "png", coarse()); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		file := filepath.Join("testdata", name+".png")
		if *update {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, got.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("%v; make it with go test ./plots -update", err)
		}
		if share := difference(t, got.Bytes(), want); share > 0.001 {
			out := filepath.Join(t.ArtifactDir(), name+".png")
			if err := os.WriteFile(out, got.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			t.Errorf("%s: %.2f %% of the pixels differ from %s; what was drawn is in %s (keep it with go test -artifacts)", name, 100*share, file, out)
		}
	}
}

// difference is the share of pixels that differ visibly. Rounding differs
// between processors, so a pixel may be a little off.
func difference(t *testing.T, a, b []byte) float64 {
	t.Helper()
	decode := func(data []byte) image.Image {
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		return img
	}
	x, y := decode(a), decode(b)
	if x.Bounds() != y.Bounds() {
		return 1
	}
	off, all := 0, 0
	for j := x.Bounds().Min.Y; j < x.Bounds().Max.Y; j++ {
		for i := x.Bounds().Min.X; i < x.Bounds().Max.X; i++ {
			all++
			r0, g0, b0, _ := x.At(i, j).RGBA()
			r1, g1, b1, _ := y.At(i, j).RGBA()
			for _, d := range []float64{float64(r0) - float64(r1), float64(g0) - float64(g1), float64(b0) - float64(b1)} {
				if math.Abs(d) > 0x1800 {
					off++
					break
				}
			}
		}
	}
	return float64(off) / float64(all)
}

func TestEqualInputGivesEqualBytes(t *testing.T) {
	for name, p := range scenes() {
		for _, format := range Formats {
			var outs [2]bytes.Buffer
			var wait sync.WaitGroup
			for i := range outs {
				wait.Go(func() {
					if err := write(&outs[i], p, format, coarse()); err != nil {
						t.Errorf("%s: %v", name, err)
					}
				})
			}
			wait.Wait()
			if !bytes.Equal(outs[0].Bytes(), outs[1].Bytes()) {
				t.Errorf("%s.%s differs from one drawing to the next", name, format)
			}
		}
	}
}

func TestPNGHasTwoPixelsAPoint(t *testing.T) {
	var buf bytes.Buffer
	if err := Write(&buf, winter(), "png"); err != nil {
		t.Fatal(err)
	}
	cfg, err := png.DecodeConfig(&buf)
	if err != nil {
		t.Fatal(err)
	}
	// 360 pt are 5 inches, 480 pixels of 1/96 inch, drawn double.
	if cfg.Width != 960 {
		t.Errorf("%d pixels wide, want 960", cfg.Width)
	}
}

func TestSVGIsWellFormedOutlinesWithWords(t *testing.T) {
	for name, p := range scenes() {
		var buf bytes.Buffer
		if err := Write(&buf, p, "svg"); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		seen := map[string]int{}
		d := xml.NewDecoder(bytes.NewReader(buf.Bytes()))
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if el, ok := token.(xml.StartElement); ok {
				seen[el.Name.Local]++
				for _, a := range el.Attr {
					if strings.Contains(a.Value, "NaN") || a.Name.Local == "d" && strings.Contains(a.Value, "Inf") {
						t.Errorf("%s: %s=%q", name, a.Name.Local, a.Value)
					}
				}
			}
		}
		if seen["text"] != 0 || seen["title"] != 1 || seen["desc"] != 1 || seen["path"] < 8 {
			t.Errorf("%s: elements %v, want outlines, one title and one desc", name, seen)
		}
	}
}

func TestSVGEscapesForeignWords(t *testing.T) {
	e := quick()
	e.Title = `<script>alert("x")</script> & co`
	var buf bytes.Buffer
	if err := Write(&buf, e, "svg"); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(buf.String(), "<script>") || !strings.Contains(buf.String(), "&lt;script&gt;") {
		t.Error("a title is not escaped in the SVG")
	}
}

func TestPDFIsWhole(t *testing.T) {
	var buf bytes.Buffer
	if err := Write(&buf, stand(), "pdf"); err != nil {
		t.Fatal(err)
	}
	data := buf.Bytes()
	if !bytes.HasPrefix(data, []byte("%PDF-1.")) {
		t.Fatalf("begins with %q", data[:8])
	}
	// ISO 32000-1, 7.5.5: the number after startxref is the offset of the
	// cross-reference table.
	m := regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`).FindSubmatch(data)
	if m == nil {
		t.Fatal("no startxref at the end")
	}
	at, _ := strconv.Atoi(string(m[1]))
	if !bytes.HasPrefix(data[at:], []byte("xref")) {
		t.Errorf("startxref points to %q", data[at:at+10])
	}
	// 7.5.4: an entry of twenty bytes for each object, with the offset where it begins.
	entries := regexp.MustCompile(`(\d{10}) 00000 n \n`).FindAllSubmatch(data[at:], -1)
	if len(entries) != 5 {
		t.Fatalf("%d objects of a page", len(entries))
	}
	for i, e := range entries {
		from, _ := strconv.Atoi(string(e[1]))
		if begin := fmt.Sprintf("%d 0 obj\n", i+1); !bytes.HasPrefix(data[from:], []byte(begin)) {
			t.Errorf("at the offset of object %d stands %q", i+1, data[from:from+10])
		}
	}
	if bytes.Contains(data, []byte("/FontFile")) {
		t.Error("the PDF embeds a font, its text is not outlined")
	}
}

func TestBadInputIsRefusedWithOneSentence(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	change := func(f func(*Extraction)) Picture {
		e := winter()
		f(&e)
		return e
	}
	changeMap := func(f func(*KeepingMap)) Picture {
		m := stand()
		f(&m)
		return m
	}
	for name, c := range map[string]struct {
		p    Picture
		want error
		says string
	}{
		"empty batch":   {Extraction{Title: "t", EndH: 5}, errEmpty, "no botanical"},
		"no time":       {Extraction{Panels: []Panel{{Name: "bay"}}}, errEmpty, "no flavour has a time"},
		"NaN median":    {change(func(e *Extraction) { e.Panels[0].Middle[3] = nan }), errNaN, `middle of "green cardamom"`},
		"NaN range":     {change(func(e *Extraction) { e.Panels[1].High90[3] = nan }), errNaN, `90 % range of "bitter"`},
		"NaN tasting":   {change(func(e *Extraction) { e.Panels[0].Tastings[1].Score = nan }), errNaN, "tasting 2"},
		"NaN window":    {change(func(e *Extraction) { e.Panels[0].Window.Best = nan }), errNaN, "time to pull"},
		"NaN pulled":    {change(func(e *Extraction) { e.Panels[0].PulledH = ptr(nan) }), errNaN, "was pulled"},
		"NaN target":    {change(func(e *Extraction) { e.Panels[0].Target = ptr(nan) }), errNaN, "score"},
		"NaN now":       {change(func(e *Extraction) { e.NowH = ptr(nan) }), errNaN, "present"},
		"NaN end":       {change(func(e *Extraction) { e.EndH = nan }), errNaN, "end of the time axis"},
		"Inf hours":     {change(func(e *Extraction) { e.Panels[0].Hours[120] = inf }), errNaN, "not finite"},
		"negative end":  {change(func(e *Extraction) { e.EndH = -3 }), errShape, "before the start"},
		"400 years":     {change(func(e *Extraction) { e.EndH = 4 * 876600 }), errShape, "301 years"},
		"falling":       {change(func(e *Extraction) { e.Panels[0].Hours[3] = 0 }), errShape, "must rise"},
		"short series":  {change(func(e *Extraction) { e.Panels[0].Middle = e.Panels[0].Middle[:5] }), errShape, "5 values of middle for 121 hours"},
		"half a range":  {change(func(e *Extraction) { e.Panels[0].High50 = nil }), errShape, "lack"},
		"window turned": {change(func(e *Extraction) { e.Panels[0].Window.Until = 1 }), errShape, "ends before it begins"},

		"empty map":   {KeepingMap{}, errEmpty, "no bottle"},
		"two corners": {changeMap(func(m *KeepingMap) { m.Regions[0].Outline = m.Regions[0].Outline[:2] }), errShape, "2 corners"},
		"NaN corner":  {changeMap(func(m *KeepingMap) { m.Regions[0].Outline[0].ABVPercent = nan }), errNaN, "weeks in the fridge"},
		"NaN bottle":  {changeMap(func(m *KeepingMap) { m.Bottle.At.ABVPercent = nan }), errNaN, "bottle"},
		"no start":    {changeMap(func(m *KeepingMap) { m.Bottle = nil }), errShape, "start from"},
		"Inf change":  {changeMap(func(m *KeepingMap) { m.Path[0].To.ABVPercent = inf }), errNaN, "change 1"},
		"huge map":    {changeMap(func(m *KeepingMap) { m.MaxABVPercent = 120 }), errShape, "100"},

		"empty fade": {Fade{}, errEmpty, "no quality"},
		"NaN share":  {Fade{Qualities: []Quality{{Name: "zest", Weeks: []float64{0, 1}, Share: []float64{1, nan}}}}, errNaN, `"zest"`},
		"lone low":   {Fade{Qualities: []Quality{{Name: "zest", Weeks: []float64{0, 1}, Low: []float64{1, 1}}}}, errShape, "upper"},
		"no weeks":   {Fade{Qualities: []Quality{{Name: "zest"}}}, errEmpty, "weeks"},
	} {
		for _, format := range Formats {
			var buf bytes.Buffer
			err := Write(&buf, c.p, format)
			if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
				t.Errorf("%s, %s: error %v, want %v with %q", name, format, err, c.want, c.says)
			}
			if buf.Len() > 0 {
				t.Errorf("%s, %s: wrote %d bytes beside the error", name, format, buf.Len())
			}
		}
	}
}

func TestInfiniteEndsAreClipped(t *testing.T) {
	inf := math.Inf(1)
	e := winter()
	e.Panels[0].High90[60], e.Panels[0].Low90[61], e.Panels[0].Middle[62] = inf, -inf, inf
	e.Panels[0].Tastings[0].High, e.Panels[0].Tastings[1].Hours = inf, inf
	e.Panels[0].Window.From, e.Panels[0].Window.Until = -inf, inf
	e.Panels[2].Window = &Span{From: inf, Best: inf, Until: inf, Label: "never"}
	e.Panels[0].Target, e.Panels[1].Limit = ptr(inf), ptr(-inf)
	m := stand()
	m.Regions[3].Outline = []MapPoint{{22, 0}, {inf, 0}, {inf, inf}, {22, inf}}
	f := shelf()
	f.Qualities[0].Low[3], f.Qualities[0].High[3] = -inf, inf
	for name, p := range map[string]Picture{"extraction": e, "map": m, "fade": f} {
		for _, format := range Formats {
			var buf bytes.Buffer
			if err := write(&buf, p, format, coarse()); err != nil {
				t.Errorf("%s.%s: %v", name, format, err)
			}
			if format == "svg" && regexp.MustCompile(`NaN|Inf`).Match(buf.Bytes()) {
				t.Errorf("%s: the SVG holds %q", name, regexp.MustCompile(`.{30}(NaN|Inf).{30}`).Find(buf.Bytes()))
			}
		}
	}
}

func TestAltTellsTheStory(t *testing.T) {
	want := "Strength of each flavour in the bottle, by when it comes out of the jar, scores 0 to 10." +
		" green cardamom: 3 tastings, wanted 4.2, best pulled at 19 h." +
		" blood orange zest: 2 tastings, wanted 6, best pulled at 46 h." +
		" long pepper: no tasting, wanted 2. bitter: 1 tasting, at most 2."
	if got := winter().Alt(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	want = `Map of alcohol, % vol, against sugar, g/L. The bottle is at 15.1 % vol and 240 g/L, in the region "months in the fridge".` +
		` Proposed: 95 ml more brandy, to 23.4 % vol and 205 g/L, in the region "shelf: no growth expected".`
	if got := stand().Alt(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := shelf().Alt(); !strings.Contains(got, "fresh juice: 1 % left after 6 months; noticed in 2 to 5 weeks.") {
		t.Errorf("got %s", got)
	}
}

func TestShortFadeCountsDays(t *testing.T) {
	f := shelf()
	f.EndWeeks = 2
	if got := f.Alt(); !strings.Contains(got, "against days in store") || !strings.Contains(got, "fresh juice: 1 % left after 6 months; noticed in 2 to 5 weeks.") {
		t.Errorf("got %s", got)
	}
}

// TestLinesAreAsWideAsTheyAre: what is inked is what geometry says: length by width, a ring
// between two circles, and of a dashed line its marks.
func TestLinesAreAsWideAsTheyAre(t *testing.T) {
	for name, c := range map[string]struct {
		line path
		dash []float64
		want float64 // square points inked by a line 3 points wide
	}{
		"straight": {polyline(xy{10, 20}, xy{60, 20}), nil, 150},
		"aslant":   {polyline(xy{10, 10}, xy{40, 50}), nil, 150},
		"bent":     {polyline(xy{10, 10}, xy{10, 40}, xy{40, 40}), nil, 3*60 - 1.5*1.5*(1-math.Pi/4)},
		"back":     {polyline(xy{40, 40}, xy{10, 40}, xy{10, 10}), nil, 3*60 - 1.5*1.5*(1-math.Pi/4)},
		"dashed":   {polyline(xy{10, 10}, xy{40, 50}), []float64{6, 4}, 3 * 30},
		"ring":     {circle(xy{50, 50}, 20), nil, math.Pi * (21.5*21.5 - 18.5*18.5)},
	} {
		l, on := &layers{perPoint: 4}, bands.Get().(*band)
		l.stroke(stroke{color: color.RGBA{A: 0xff}, width: 3, dash: c.dash}, c.line)
		on.lay(l, image.Rect(0, 0, 400, 400), color.RGBA{})
		inked := 0.0
		for i := 3; i < len(on.img.Pix); i += 4 {
			inked += float64(on.img.Pix[i]) / 255 / 16
		}
		if math.Abs(inked-c.want) > 0.005*c.want {
			t.Errorf("%s: %.2f square points, want %.2f", name, inked, c.want)
		}
	}
}

// failing refuses every write.
type failing struct{}

var errFull = errors.New("disk full")

func (failing) Write([]byte) (int, error) { return 0, errFull }

func TestWriteErrorsComeThrough(t *testing.T) {
	for name, p := range scenes() {
		for _, format := range Formats {
			if err := write(failing{}, p, format, coarse()); !errors.Is(err, errFull) {
				t.Errorf("%s.%s: error %v", name, format, err)
			}
		}
	}
}

func BenchmarkPictures(b *testing.B) {
	for _, name := range []string{"extraction", "extraction-crowded", "keepingmap", "fade"} {
		p := scenes()[name]
		for _, format := range Formats {
			b.Run(name+"/"+format, func(b *testing.B) {
				for b.Loop() {
					if err := Write(io.Discard, p, format); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
