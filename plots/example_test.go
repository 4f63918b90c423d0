package plots_test

import (
	"bytes"
	"fmt"
	"image/png"
	"strings"

	"steepbook/plots"
)

func ExampleWrite() {
	target := 4.0
	e := plots.Extraction{
		Title: "Bay dram",
		Panels: []plots.Panel{{
			Name: "bay leaf", Cut: "torn",
			Hours:    []float64{0, 6, 12, 24, 48},
			Middle:   []float64{0, 1.6, 2.8, 4.2, 5.3},
			Low90:    []float64{0, 1, 1.9, 3, 4},
			High90:   []float64{0, 2.4, 3.9, 5.6, 6.8},
			Target:   &target,
			Tastings: []plots.Point{{Hours: 12, Score: 3, Low: 2.2, High: 3.8}},
			Window:   &plots.Span{From: 16, Best: 22, Until: 33, Label: "pull at about 22 h (16–33 h)"},
		}},
	}
	var out bytes.Buffer
	if err := plots.Write(&out, e, "png"); err != nil {
		fmt.Println(err)
		return
	}
	size, err := png.DecodeConfig(&out)
	fmt.Println(size.Width, "pixels wide", err)
	fmt.Println(e.Alt())
	// Output:
	// 960 pixels wide <nil>
	// Strength of each flavour in the bottle, by when it comes out of the jar, scores 0 to 10. bay leaf: 1 tasting, wanted 4, best pulled at 22 h.
}

func ExampleKeepingMap() {
	m := plots.KeepingMap{
		Title: "Where it keeps",
		Regions: []plots.Region{
			{Name: "fridge", Tone: 1, Outline: []plots.MapPoint{{0, 0}, {22, 0}, {22, 2000}, {0, 2000}}},
			{Name: "shelf", Tone: 0, Outline: []plots.MapPoint{{22, 0}, {100, 0}, {100, 2000}, {22, 2000}}},
		},
		Bottle: &plots.Bottle{At: plots.MapPoint{ABVPercent: 24, SugarGPerL: 180}, SDABVPercent: 0.5, SDSugarGPerL: 9, Label: "bay dram"},
	}
	var out strings.Builder
	if err := plots.Write(&out, m, "svg"); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.HasSuffix(out.String(), "</svg>\n"))
	fmt.Println(m.Alt())
	// Output:
	// true
	// Map of alcohol, % vol, against sugar, g/L. The bottle is at 24 % vol and 180 g/L, in the region "shelf".
}

func ExampleFade() {
	half := 0.5
	f := plots.Fade{
		Title: "What fades first", Store: "cellar, 14 °C", Floor: &half,
		Qualities: []plots.Quality{{Name: "green top note", Noticed: "6 to 10 weeks", Weeks: []float64{0, 4, 8, 16}, Share: []float64{1, 0.7, 0.5, 0.25}}},
	}
	var out bytes.Buffer
	if err := plots.Write(&out, f, "pdf"); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s\n", out.Bytes()[:5])
	fmt.Println(f.Alt())
	// Output:
	// %PDF-
	// Share left of each quality against weeks in store, cellar, 14 °C. green top note: 25 % left after 4 months; noticed in 6 to 10 weeks.
}

func ExampleExtraction_Alt() {
	fmt.Println(plots.Extraction{Panels: []plots.Panel{{Name: "sloe"}}}.Alt())
	// Output: Strength of each flavour in the bottle, by when it comes out of the jar, scores 0 to 10. sloe: no tasting.
}
