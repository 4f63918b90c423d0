package plots

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image/png"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"
)

// bottle is an invented label with all that one can hold.
func bottle() Label {
	return Label{WidthMM: 99.1, HeightMM: 67.7, Name: "Winter orange cordial", Lines: []LabelLine{
		{Text: "about 29 % vol, 250 ml", Large: true},
		{Text: "Contains: almonds, milk", Strong: true},
		{Text: "Keep it in the fridge. Best by 5 Dec 2026."},
		{Text: "Shake: natural sediment.", Spare: 1},
		{Blanks: []string{"Opened", "Discard"}},
		{Text: "Made with brandy, orange zest, cardamom and sugar.", Spare: 2},
	}}
}

// stopped is one that says not to drink it, with a name too long for its width.
func stopped() Label {
	return Label{WidthMM: 50, HeightMM: 40, Name: "Winterorangenvollmondnachtzauberaufguss",
		Stop: "DO NOT DRINK",
		Lines: []LabelLine{{Text: "Yew: every part of it is poison.", Strong: true},
			{Text: "Batch 20 Nov 2026"}}}
}

// TestLetterHeights: the typeface's own table says how high its x is, and the heights
// that the label promises are those of Regulation (EU) No 1169/2011, Article 13(2), 1.2 mm,
// and (3), 0.9 mm.
func TestLetterHeights(t *testing.T) {
	var buf sfnt.Buffer
	face := lettering{}.face()
	m, err := face.Metrics(&buf, fixed.Int26_6(face.UnitsPerEm())<<6, xfont.HintingNone)
	if err != nil {
		t.Fatal(err)
	}
	if want := float64(m.XHeight) / 64 / float64(face.UnitsPerEm()); math.Abs(xHeight()-want) > 0.005 {
		t.Errorf("x is %.4f of the size, the typeface says %.4f", xHeight(), want)
	}
	if LetterMM != 1.2 || SmallLetterMM != 0.9 {
		t.Error("not the heights of the regulation")
	}
}

// TestLabelPNGIsOfItsSize: 300 pixels an inch, and the file says so in the chunk of the
// PNG specification (W3C, third edition, 11.3.4.3): 300 / 0.0254 = 11811 a metre.
func TestLabelPNGIsOfItsSize(t *testing.T) {
	var out bytes.Buffer
	if err := Write(&out, bottle(), "png"); err != nil {
		t.Fatal(err)
	}
	i := bytes.Index(out.Bytes(), []byte("pHYs"))
	if i < 0 || binary.BigEndian.Uint32(out.Bytes()[i+4:]) != 11811 || out.Bytes()[i+12] != 1 {
		t.Error("no size, or a wrong one")
	}
	c, err := png.DecodeConfig(&out)
	if err != nil || math.Abs(float64(c.Width)-99.1/25.4*300) > 1 ||
		math.Abs(float64(c.Height)-67.7/25.4*300) > 1 {
		t.Errorf("%d x %d pixels, %v", c.Width, c.Height, err)
	}
}

func TestSheetPDFIsOfItsSize(t *testing.T) {
	g := Grid{Columns: 2, Rows: 4, WidthMM: 99.1, HeightMM: 67.7, LeftMM: 4.65, TopMM: 13.1,
		AcrossMM: 101.6, DownMM: 67.7}
	s := Sheet{WidthMM: 210, HeightMM: 297, Grid: g, Labels: []Copies{{bottle(), 5}, {stopped(), 9}}, Skip: 3}
	var out bytes.Buffer
	if err := Write(&out, s, "pdf"); err != nil {
		t.Fatal(err)
	}
	if n := len(regexp.MustCompile(`/Type /Page\b[^s]`).FindAll(out.Bytes(), -1)); n != 3 || s.Pages() != 3 {
		t.Errorf("%d pages, %d said, want 3 for 17 places of 8", n, s.Pages())
	}
	box := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`).FindSubmatch(out.Bytes())
	if box == nil {
		t.Fatal("no page size")
	}
	for i, mm := range []float64{210, 297} {
		if pt, _ := strconv.ParseFloat(string(box[i+1]), 64); math.Abs(pt/72*25.4-mm) > 0.1 {
			t.Errorf("%s points for %g mm", box[i+1], mm)
		}
	}
	many := s
	many.Labels = []Copies{{bottle(), 500}, {stopped(), 900}}
	var all bytes.Buffer
	if err := Write(&all, many, "pdf"); err != nil || all.Len() > 3*out.Len() { // each label is drawn once
		t.Errorf("a hundred times the labels take %d bytes instead of %d, %v", all.Len(), out.Len(), err)
	}
	if err := Write(io.Discard, s, "png"); err == nil {
		t.Error("three pages in one PNG")
	}
	s.Skip = 8
	if err := Write(io.Discard, s, "pdf"); err == nil {
		t.Error("a page begins behind its last place")
	}
	s.Skip, s.Grid.TopMM = 0, 30
	if err := Write(io.Discard, s, "pdf"); err == nil {
		t.Error("labels hang over the edge")
	}
}

// together are the texts of a figure without their spaces and line ends.
func together(texts []heard) string {
	var b strings.Builder
	for _, h := range texts {
		b.WriteString(strings.ReplaceAll(h.text, " ", ""))
	}
	return b.String()
}

// TestLabelsFitOrAreRefused: whatever is written on whatever size, the texts lie within
// the edges and apart, no letter is below the smallest, what must stand stands whole, and
// the size that a refusal names works.
func TestLabelsFitOrAreRefused(t *testing.T) {
	word := rapid.StringMatching(`[A-Za-zäöüß0-9%.,:柚]{1,14}`)
	text := rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(word, 1, 14).Draw(t, "words"), " ")
	})
	rapid.Check(t, func(t *rapid.T) {
		l := Label{WidthMM: rapid.Float64Range(20, 120).Draw(t, "w"), HeightMM: rapid.Float64Range(15,
			120).Draw(t, "h"),
			Name: text.Draw(t, "name")}
		if rapid.Bool().Draw(t, "stop") {
			l.Stop = text.Draw(t, "stop words")
		}
		for range rapid.IntRange(0, 5).Draw(t, "lines") {
			l.Lines = append(l.Lines, LabelLine{Text: text.Draw(t, "line"), Strong: rapid.Bool().Draw(t,
				"strong"),
				Spare: rapid.IntRange(0, 2).Draw(t, "spare")})
		}
		fit, err := Fit(Copies{Label: l})
		var small *SmallLabelError
		if errors.As(err, &small) {
			l.WidthMM, l.HeightMM = small.NeedWMM, small.NeedHMM
			fit, err = Fit(Copies{Label: l})
		}
		if err != nil {
			t.Fatal(err)
		}
		if fit.LetterMM < SmallLetterMM-1e-9 {
			t.Fatalf("letters of %g mm", fit.LetterMM)
		}
		f := l.figure(usualStyle())
		checkTexts(t, f, usualStyle())
		all := together(textsOf(f, usualStyle()))
		for _, line := range l.Lines {
			if want := strings.ReplaceAll(clean(line.Text), " ", ""); line.Spare == 0 &&
				!strings.Contains(all, want) {
				t.Fatalf("%q is not whole in %q", want, all)
			}
		}
		if want := strings.ReplaceAll(clean(l.Stop), " ", ""); !strings.Contains(all, want) {
			t.Fatalf("%q is not whole in %q", want, all)
		}
		if got := strings.NewReplacer("…", "", " ", "").Replace(all); !strings.HasPrefix(got,
			strings.ReplaceAll(clean(l.Name), " ", "")) {
			t.Fatalf("the name %q is not whole in %q", l.Name, got)
		}
	})
}

// TestSpareLinesGoFirst: before the letters shrink below what most can read, what may be
// left out is, and that is said.
func TestSpareLinesGoFirst(t *testing.T) {
	l := bottle()
	if fit, err := Fit(Copies{Label: l}); err != nil || len(fit.LeftOut) > 0 || fit.LetterMM < LetterMM {
		t.Fatalf("%+v, %v", fit, err)
	}
	l.WidthMM, l.HeightMM = 48, 27
	fit, err := Fit(Copies{Label: l})
	if err != nil || len(fit.LeftOut) == 0 || !strings.HasPrefix(fit.LeftOut[len(fit.LeftOut)-1],
		"Made with") ||
		fit.LetterMM < LetterMM-1e-9 {
		t.Errorf("%+v, %v", fit, err)
	}
	l.WidthMM, l.HeightMM = 30, 15
	if _, err := Fit(Copies{Label: l}); err == nil {
		t.Error("room on 30 x 15 mm")
	}
	l.WidthMM = math.NaN()
	if _, err := Fit(Copies{Label: l}); err == nil {
		t.Error("no size at all is a size")
	}
}

// TestOneSizeOfLettersASheet: what the fullest label of a sheet has no room for is left out of all of them and
// told, in letters of one height.
func TestOneSizeOfLettersASheet(t *testing.T) {
	full, size := bottle(), bottle()
	full.Lines = append(full.Lines, LabelLine{Text: strings.Repeat("all of it must stand. ", 18)})
	size.WidthMM, size.HeightMM = 63.5, 46.6
	full.WidthMM, full.HeightMM = 63.5, 46.6
	for _, labels := range [][]Copies{{{full, 1}, {size, 2}}, {{size, 2}, {full, 1}}} {
		fit, err := Fit(labels...)
		if err != nil {
			t.Fatal(err)
		}
		sets, _ := lay(labels)
		for _, s := range sets {
			if s.fit.LetterMM != fit.LetterMM {
				t.Errorf("letters of %g and of %g mm", s.fit.LetterMM, fit.LetterMM)
			}
			for _, text := range s.fit.LeftOut {
				if !slices.Contains(fit.LeftOut, text) {
					t.Errorf("%q is lost in silence", text)
				}
			}
		}
	}
}

func TestMissingCharactersAreTold(t *testing.T) {
	if got := Missing("柚子 yuzu 柚\u202e Grün Ω ж"); got != "柚子" {
		t.Errorf("%q", got)
	}
}

// BenchmarkLabelOfManyThings is a jar of so many botanicals on a label that has no room for
// them: the time grows as the text does.
func BenchmarkLabelOfManyThings(b *testing.B) {
	for _, n := range []int{30, 300} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			l := bottle()
			l.Lines = append(l.Lines, LabelLine{Text: strings.Repeat("5 g orange zest, fine zest; ", n)})
			for b.Loop() {
				_, _ = Fit(Copies{Label: l})
			}
		})
	}
}
