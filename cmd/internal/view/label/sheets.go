package label

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/plots"
)

// rule is a line of what the law asks of labels on what is sold.
type rule struct {
	place, unit, text, source string
	figure                    float64
}

const rulesFile = "label-rules.csv"

func readRule(r data.Row) rule {
	return rule{r.Text("place"), r.Text("unit"), r.Text("text"), r.Text("source"), r.Number("figure")}
}

var rules = sync.OnceValue(func() data.Keyed[rule] { return data.ByKey(rulesFile, readRule) })

// ruleRows are the rules in the order of their table.
func ruleRows() (list []rule) {
	for _, r := range data.Rows(rulesFile) {
		list = append(list, readRule(r))
	}
	return list
}

// Papers are those that labels are sold on.
var Papers = []string{"A4", "Letter"}

// Paper is the size of a sheet, mm, and the grids of labels that are common on it, the
// smallest labels first. ok is false where the paper is not one of Papers, in whatever
// letters.
func Paper(name string) (widthMM, heightMM float64, grids []plots.Grid, ok bool) {
	for _, r := range data.Rows("label-sheets.csv") {
		if !strings.EqualFold(r.Text("paper"), name) {
			continue
		}
		widthMM, heightMM = r.Number("paper_w_mm"), r.Number("paper_h_mm")
		grids = append(grids, plots.Grid{
			Columns: int(r.Number("columns")), Rows: int(r.Number("rows")),
			WidthMM: r.Number("width_mm"), HeightMM: r.Number("height_mm"),
			LeftMM: r.Number("left_mm"), TopMM: r.Number("top_mm"),
			AcrossMM: r.Number("across_mm"), DownMM: r.Number("down_mm"),
		})
	}
	sort.SliceStable(grids, func(i, j int) bool {
		return grids[i].WidthMM*grids[i].HeightMM < grids[j].WidthMM*grids[j].HeightMM
	})
	return widthMM, heightMM, grids, len(grids) > 0
}

// sameMM is by how much a size that is typed may differ from that of a sheet.
const sameMM = 0.6

// plainEdgeMM is what a printer leaves white on plain paper. Common practice, no source.
const plainEdgeMM = 8

// GridFor is where labels of a size stand on a paper: as on the sheets that are sold
// (common), else as many as plain paper holds, to be cut apart. The error says, in units
// of a ruler, that not one has room.
func GridFor(paper string, widthMM, heightMM float64, r Ruler) (g plots.Grid, common bool, err error) {
	w, h, grids, _ := Paper(paper)
	for _, g := range grids {
		if math.Abs(g.WidthMM-widthMM) <= sameMM && math.Abs(g.HeightMM-heightMM) <= sameMM {
			return g, true, nil
		}
	}
	g = plots.Grid{
		Columns: int((w - 2*plainEdgeMM) / widthMM), Rows: int((h - 2*plainEdgeMM) / heightMM),
		WidthMM: widthMM, HeightMM: heightMM, AcrossMM: widthMM, DownMM: heightMM,
	}
	if g.PerPage() < 1 {
		return g, false, fmt.Errorf("a label of %s has no room on %s (%s)", r.Size(widthMM, heightMM), paper,
			r.Size(w, h))
	}
	g.LeftMM, g.TopMM = (w-float64(g.Columns)*widthMM)/2, (h-float64(g.Rows)*heightMM)/2
	return g, false, nil
}

// A bottle is taken to be so many times as high to its shoulder as it is across, and straight for so much of
// that: the stoutest in use; a taller one has more room. Judgement, no source.
const toShoulder, straight = 1.45, 1.15

// side is how wide and high a label may be that goes round the straight part of its bottle, mm; over says
// that it is larger, which none is where nobody says the size.
func side(l *plots.Label) (widthMM, heightMM float64, over bool) {
	across := math.Cbrt(4 * 1000 * l.BottleML / (math.Pi * toShoulder))
	widthMM, heightMM = math.Pi*across, straight*across
	return widthMM, heightMM, across > 0 && (l.WidthMM > widthMM || l.HeightMM > heightMM)
}

// Sized is the first of some labels of one size, that of the smallest common labels of a paper on which all
// of each fits in letters of the usual height, of the largest where it fits on none; of those that every
// bottle has room for, or else of the smallest on which what must stand on them fits.
func Sized(paper string, labels ...plots.Copies) plots.Label {
	_, _, grids, _ := Paper(paper)
	var size plots.Grid
	for _, g := range grids {
		over := false
		for i := range labels {
			labels[i].WidthMM, labels[i].HeightMM = g.WidthMM, g.HeightMM
			_, _, wide := side(&labels[i].Label)
			over = over || wide
		}
		fit, err := plots.Fit(labels...)
		must, whole := err == nil, len(fit.LeftOut) == 0 && fit.LetterMM >= plots.LetterMM
		if must && (!over || size.WidthMM == 0) {
			size = g
		}
		if must && whole && !over {
			break
		}
	}
	if size.WidthMM == 0 {
		size = grids[len(grids)-1]
	}
	l := labels[0].Label
	l.WidthMM, l.HeightMM = size.WidthMM, size.HeightMM
	return l
}
