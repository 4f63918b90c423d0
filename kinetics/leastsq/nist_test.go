package leastsq

import (
	"math"
	"testing"

	"steepbook/kinetics/internal/printed"
)

// Data, starts and certified values: NIST/ITL Statistical Reference Datasets,
// nonlinear regression (public domain), as kept in testdata/reference/nist-strd;
// each file names its original publication.

type nistSet struct {
	certified []float64 // plateau, rate
	rss       float64
	x, y      []float64
}

func readNIST(t testing.TB, name string) nistSet {
	t.Helper()
	var set nistSet
	for _, r := range printed.Table(t, "nist-strd/"+name+".csv") {
		set.x, set.y = append(set.x, printed.Number(t, r["x"])), append(set.y, printed.Number(t, r["y"]))
	}
	for _, r := range printed.Table(t, "nist-strd/certified-values.csv") {
		if r["dataset"] == name {
			set.certified, set.rss = append(set.certified, printed.Number(t, r["certified"])), printed.Number(t, r["rss"])
		}
	}
	if len(set.certified) != 2 {
		t.Fatalf("%d certified values for %s", len(set.certified), name)
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
		f, err := FirstOrder(set.x, set.y)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			what      string
			got, want float64
			min       float64
		}{
			{"plateau", f.Plateau, set.certified[0], 10.4},
			{"rate", f.Rate, set.certified[1], 10.4},
			{"residual sum", f.rss, set.rss, 10},
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
		name string
		t, y []float64
		err  error
	}{
		{"straight", []float64{1, 2, 3}, []float64{1, 2, 3}, ErrStraight},
		{"bending upwards", []float64{1, 2, 3}, []float64{1, 3, 6}, ErrStraight},
		{"flat", []float64{10, 20, 30}, []float64{5, 5, 5}, ErrFlat},
		{"falling", []float64{10, 20, 30}, []float64{6, 5, 4}, ErrFlat},
		{"one reading", []float64{1}, []float64{2}, errTooFew},
		{"one time", []float64{2, 2, 2}, []float64{1, 2, 3}, errTooFew},
		{"zero only beside one", []float64{0, 2}, []float64{0, 3}, errTooFew},
		{"NaN", []float64{1, 2}, []float64{1, math.NaN()}, errReadings},
		{"negative time", []float64{-1, 2}, []float64{1, 2}, errReadings},
		{"lengths", []float64{1, 2}, []float64{1}, errReadings},
	} {
		if _, err := FirstOrder(c.t, c.y); err != c.err {
			t.Errorf("%s: %v, want %v", c.name, err, c.err)
		}
	}
}

// Two readings leave nothing over: the curve goes through both.
func TestFirstOrderTwoPoints(t *testing.T) {
	r, err := FirstOrder([]float64{2, 6}, []float64{3, 5})
	if err != nil || r.rss > 1e-25 {
		t.Fatalf("%+v, %v", r, err)
	}
}

// The best curve is unchanged when times and readings change their units.
func TestFirstOrderScales(t *testing.T) {
	x, y := []float64{0.5, 1, 2, 5, 9}, []float64{1, 2.5, 4, 6.5, 8}
	a, err := FirstOrder(x, y)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range []float64{1e-6, 24, 1e9} {
		x2, y2 := make([]float64, len(x)), make([]float64, len(x))
		for i := range x {
			x2[i], y2[i] = x[i]*u, y[i]*u
		}
		b, err := FirstOrder(x2, y2)
		if err != nil || math.Abs(b.Plateau/u/a.Plateau-1) > 1e-11 || math.Abs(b.logRate+math.Log(u)-a.logRate) > 1e-11 {
			t.Errorf("unit %g: %+v, want %+v (%v)", u, b, a, err)
		}
	}
}

func BenchmarkFirstOrderBoxBOD(b *testing.B)  { benchFirst(b, "BoxBOD") }
func BenchmarkFirstOrderMisra1a(b *testing.B) { benchFirst(b, "Misra1a") }

func benchFirst(b *testing.B, name string) {
	set := readNIST(b, name)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FirstOrder(set.x, set.y); err != nil {
			b.Fatal(err)
		}
	}
}
