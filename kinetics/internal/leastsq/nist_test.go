package leastsq

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Data, starts and certified values: NIST/ITL Statistical Reference Datasets,
// nonlinear regression (public domain), as kept in testdata/reference/nist-strd;
// each file names its original publication.
const strd = "../../../testdata/reference/nist-strd"

type nistParam struct {
	starts        [2]float64
	certified, sd float64
}

type nistSet struct {
	params  []nistParam
	rss     float64
	dof     int
	columns map[string][]float64
}

func readCSV(t testing.TB, path string) (head []string, rows [][]string) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var text strings.Builder
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		if !strings.HasPrefix(sc.Text(), "#") {
			fmt.Fprintln(&text, sc.Text())
		}
	}
	all, err := csv.NewReader(strings.NewReader(text.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all[0], all[1:]
}

func num(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func readNIST(t testing.TB, name string) nistSet {
	t.Helper()
	set := nistSet{columns: map[string][]float64{}}
	head, rows := readCSV(t, filepath.Join(strd, name+".csv"))
	for c, h := range head {
		for _, r := range rows {
			set.columns[h] = append(set.columns[h], num(t, r[c]))
		}
	}
	head, rows = readCSV(t, filepath.Join(strd, "certified-values.csv"))
	col := map[string]int{}
	for i, h := range head {
		col[h] = i
	}
	for _, r := range rows {
		if r[col["dataset"]] != name {
			continue
		}
		set.params = append(set.params, nistParam{
			starts:    [2]float64{num(t, r[col["start1"]]), num(t, r[col["start2"]])},
			certified: num(t, r[col["certified"]]), sd: num(t, r[col["certified_sd"]]),
		})
		set.rss = num(t, r[col["rss"]])
	}
	// The file of Rat43 prints 9 degrees of freedom; its residual standard
	// deviation is that of 15 − 4 = 11.
	set.dof = len(set.columns["y"]) - len(set.params)
	if len(set.params) == 0 {
		t.Fatalf("no certified values for %s", name)
	}
	return set
}

// digits is the log relative error, capped at the eleven digits NIST prints.
func digits(got, want float64) float64 {
	if got == want {
		return 11
	}
	return math.Min(11, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

func TestFirstOrderNIST(t *testing.T) {
	for _, name := range []string{"Misra1a", "BoxBOD"} {
		set := readNIST(t, name)
		r, err := FirstOrder(set.columns["x"], set.columns["y"], nil)
		if err != nil {
			t.Fatal(err)
		}
		k, s2 := math.Exp(r.LogRate), r.RSS/float64(set.dof)
		for _, c := range []struct {
			what      string
			got, want float64
			min       float64
		}{
			{"plateau", r.Plateau, set.params[0].certified, 10.4},
			{"rate", k, set.params[1].certified, 10.4},
			{"sd of the plateau", math.Sqrt(r.VarPlateau * s2), set.params[0].sd, 10},
			{"sd of the rate", k * math.Sqrt(r.VarLogRate*s2), set.params[1].sd, 10},
			{"residual sum", r.RSS, set.rss, 10},
		} {
			if d := digits(c.got, c.want); d < c.min {
				t.Errorf("%s: %s %.11g, certified %.11g: %.1f digits", name, c.what, c.got, c.want, d)
			} else {
				t.Logf("%s: %s %.1f digits", name, c.what, d)
			}
		}
	}
}

func TestFirstOrderRefuses(t *testing.T) {
	for _, c := range []struct {
		name    string
		t, y, w []float64
		err     error
	}{
		{"straight", []float64{1, 2, 3}, []float64{1, 2, 3}, nil, ErrStraight},
		{"bending upwards", []float64{1, 2, 3}, []float64{1, 3, 6}, nil, ErrStraight},
		{"flat", []float64{10, 20, 30}, []float64{5, 5, 5}, nil, ErrFlat},
		{"falling", []float64{10, 20, 30}, []float64{6, 5, 4}, nil, ErrFlat},
		{"one time", []float64{2, 2, 2}, []float64{1, 2, 3}, nil, ErrTooFew},
		{"zero only beside one", []float64{0, 2}, []float64{0, 3}, nil, ErrTooFew},
		{"weights away", []float64{1, 2, 3}, []float64{1, 2, 2.5}, []float64{1, 0, 0}, ErrTooFew},
		{"NaN", []float64{1, 2}, []float64{1, math.NaN()}, nil, ErrNotFinite},
		{"negative time", []float64{-1, 2}, []float64{1, 2}, nil, ErrNotFinite},
		{"lengths", []float64{1, 2}, []float64{1}, nil, ErrLength},
	} {
		if _, err := FirstOrder(c.t, c.y, c.w); err != c.err {
			t.Errorf("%s: %v, want %v", c.name, err, c.err)
		}
	}
}

// Two readings leave nothing over: the curve goes through both.
func TestFirstOrderTwoPoints(t *testing.T) {
	r, err := FirstOrder([]float64{2, 6}, []float64{3, 5}, nil)
	if err != nil || r.RSS > 1e-25 {
		t.Fatalf("%+v, %v", r, err)
	}
}

// The best curve is unchanged when times and readings change their units.
func TestFirstOrderScales(t *testing.T) {
	x, y := []float64{0.5, 1, 2, 5, 9}, []float64{1, 2.5, 4, 6.5, 8}
	a, err := FirstOrder(x, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range []float64{1e-6, 24, 1e9} {
		x2, y2 := make([]float64, len(x)), make([]float64, len(x))
		for i := range x {
			x2[i], y2[i] = x[i]*u, y[i]*u
		}
		b, err := FirstOrder(x2, y2, nil)
		if err != nil || math.Abs(b.Plateau/u/a.Plateau-1) > 1e-11 || math.Abs(b.LogRate+math.Log(u)-a.LogRate) > 1e-11 {
			t.Errorf("unit %g: %+v, want %+v (%v)", u, b, a, err)
		}
	}
}

func BenchmarkFirstOrderBoxBOD(b *testing.B)  { benchFirst(b, "BoxBOD") }
func BenchmarkFirstOrderMisra1a(b *testing.B) { benchFirst(b, "Misra1a") }

func benchFirst(b *testing.B, name string) {
	set := readNIST(b, name)
	x, y := set.columns["x"], set.columns["y"]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FirstOrder(x, y, nil); err != nil {
			b.Fatal(err)
		}
	}
}
