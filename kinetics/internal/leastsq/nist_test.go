package leastsq

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"math/cmplx"
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

// A model of one NIST set. Parameters named in logs are fitted as logarithms.
type nistModel struct {
	name   string
	f      func(b []complex128, x []float64) complex128
	logs   []int
	free   []int
	x      []string // columns of the predictors; default x
	logY   bool
	search bool // sums of exponentials: the rates are searched when the start leads nowhere
}

func cexp(v complex128) complex128 { return cmplx.Exp(v) }
func c(v float64) complex128       { return complex(v, 0) }

var nistModels = []nistModel{
	{name: "Misra1a", f: func(b []complex128, x []float64) complex128 { return b[0] * (1 - cexp(-b[1]*c(x[0]))) }, logs: []int{1}, search: true, free: []int{0}},
	{name: "BoxBOD", f: func(b []complex128, x []float64) complex128 { return b[0] * (1 - cexp(-b[1]*c(x[0]))) }, logs: []int{1}, search: true, free: []int{0}},
	{name: "Misra1b", f: func(b []complex128, x []float64) complex128 {
		return b[0] * (1 - cmplx.Pow(1+b[1]*c(x[0]/2), -2))
	}, logs: []int{1}, free: []int{0}},
	{name: "Misra1c", f: func(b []complex128, x []float64) complex128 {
		return b[0] * (1 - cmplx.Pow(1+2*b[1]*c(x[0]), -.5))
	}, logs: []int{1}, free: []int{0}},
	{name: "Misra1d", f: func(b []complex128, x []float64) complex128 { return b[0] * b[1] * c(x[0]) / (1 + b[1]*c(x[0])) }, logs: []int{1}, free: []int{0}},
	{name: "DanWood", f: func(b []complex128, x []float64) complex128 { return b[0] * cmplx.Pow(c(x[0]), b[1]) }, free: []int{0}},
	{name: "Chwirut1", f: chwirut},
	{name: "Chwirut2", f: chwirut},
	{name: "Lanczos1", f: threeExp, logs: []int{1, 3, 5}, search: true, free: []int{0, 2, 4}},
	{name: "Lanczos2", f: threeExp, logs: []int{1, 3, 5}, search: true, free: []int{0, 2, 4}},
	{name: "Lanczos3", f: threeExp, logs: []int{1, 3, 5}, search: true, free: []int{0, 2, 4}},
	{name: "MGH17", f: func(b []complex128, x []float64) complex128 {
		return b[0] + b[1]*cexp(-c(x[0])*b[3]) + b[2]*cexp(-c(x[0])*b[4])
	}, logs: []int{3, 4}, search: true, free: []int{0, 1, 2}},
	{name: "MGH10", f: func(b []complex128, x []float64) complex128 { return b[0] * cexp(b[1]/(c(x[0])+b[2])) }, logs: []int{0, 1, 2}},
	{name: "MGH09", f: func(b []complex128, x []float64) complex128 {
		return b[0] * (c(x[0]*x[0]) + c(x[0])*b[1]) / (c(x[0]*x[0]) + c(x[0])*b[2] + b[3])
	}},
	{name: "Eckerle4", f: func(b []complex128, x []float64) complex128 {
		z := (c(x[0]) - b[2]) / b[1]
		return b[0] / b[1] * cexp(-.5*z*z)
	}, logs: []int{1}, free: []int{0}},
	{name: "Nelson", f: func(b []complex128, x []float64) complex128 { return b[0] - b[1]*c(x[0])*cexp(-b[2]*c(x[1])) }, x: []string{"x1", "x2"}, logY: true, free: []int{0, 1}},
	{name: "Rat42", f: func(b []complex128, x []float64) complex128 { return b[0] / (1 + cexp(b[1]-b[2]*c(x[0]))) }, free: []int{0}},
	{name: "Rat43", f: func(b []complex128, x []float64) complex128 {
		return b[0] / cmplx.Pow(1+cexp(b[1]-b[2]*c(x[0])), 1/b[3])
	}, logs: []int{0, 2, 3}},
	{name: "Thurber", f: cubicOverCubic},
	{name: "Hahn1", f: cubicOverCubic},
	{name: "Kirby2", f: func(b []complex128, x []float64) complex128 {
		z := c(x[0])
		return (b[0] + b[1]*z + b[2]*z*z) / (1 + b[3]*z + b[4]*z*z)
	}},
	{name: "Bennett5", f: func(b []complex128, x []float64) complex128 { return b[0] * cmplx.Pow(b[1]+c(x[0]), -1/b[2]) }},
	{name: "Roszman1", f: func(b []complex128, x []float64) complex128 {
		// cmplx.Atan loses a tiny imaginary part, so its first-order form is used.
		u := b[2] / (c(x[0]) - b[3])
		at := complex(math.Atan(real(u)), imag(u)/(1+real(u)*real(u)))
		return b[0] - b[1]*c(x[0]) - at/math.Pi
	}},
}

func chwirut(b []complex128, x []float64) complex128 {
	return cexp(-b[0]*c(x[0])) / (b[1] + b[2]*c(x[0]))
}

func threeExp(b []complex128, x []float64) complex128 {
	z := c(-x[0])
	return b[0]*cexp(b[1]*z) + b[2]*cexp(b[3]*z) + b[4]*cexp(b[5]*z)
}

func cubicOverCubic(b []complex128, x []float64) complex128 {
	z := c(x[0])
	return (b[0] + z*(b[1]+z*(b[2]+z*b[3]))) / (1 + z*(b[4]+z*(b[5]+z*b[6])))
}

// problem differentiates the model by a complex step, exact to rounding.
func (m nistModel) problem(set nistSet) Problem {
	cols := m.x
	if cols == nil {
		cols = []string{"x"}
	}
	y := set.columns["y"]
	n, np := len(y), len(set.params)
	isLog := make([]bool, np)
	p := Problem{N: n, M: np, MaxStep: make([]float64, np), Free: make([]bool, np)}
	for _, j := range m.logs {
		isLog[j], p.MaxStep[j] = true, 1
	}
	if m.search {
		p.Lo, p.Hi = make([]float64, np), make([]float64, np)
		lo, hi := Range(set.columns["x"])
		for _, j := range m.logs {
			p.Lo[j], p.Hi[j] = lo, hi
		}
	}
	for _, j := range m.free {
		p.Free[j] = true
	}
	b, x := make([]complex128, np), make([]float64, len(cols))
	p.Residuals = func(theta, r, jac []float64) {
		for i := range n {
			for k, name := range cols {
				x[k] = set.columns[name][i]
			}
			for j := range b {
				b[j] = c(theta[j])
				if isLog[j] {
					b[j] = c(math.Exp(theta[j]))
				}
			}
			yi := y[i]
			if m.logY {
				yi = math.Log(yi)
			}
			r[i] = yi - real(m.f(b, x))
			if jac == nil {
				continue
			}
			for j := range b {
				const h = 1e-30
				keep := b[j]
				b[j] += complex(0, h*math.Max(math.Abs(real(keep)), 1e-200))
				d := imag(m.f(b, x)) / imag(b[j])
				b[j] = keep
				if isLog[j] {
					d *= real(keep)
				}
				jac[i*np+j] = d
			}
		}
	}
	return p
}

func TestSolveNIST(t *testing.T) {
	for _, m := range nistModels {
		set := readNIST(t, m.name)
		for s := range 2 {
			t.Run(fmt.Sprintf("%s/start%d", m.name, s+1), func(t *testing.T) {
				p := m.problem(set)
				start := make([]float64, p.M)
				for j := range start {
					start[j] = set.params[j].starts[s]
					if p.MaxStep[j] > 0 {
						start[j] = math.Log(start[j])
					}
				}
				sol, err := Solve(p, start)
				worst, worstSD := 11.0, 11.0
				for j := range start {
					v, sd := sol.Theta[j], math.NaN()
					if sol.Cov != nil {
						sd = sol.SD(j, set.dof)
					}
					if p.MaxStep[j] > 0 {
						v = math.Exp(v)
						sd *= v
					}
					worst = math.Min(worst, digits(v, set.params[j].certified))
					worstSD = math.Min(worstSD, digits(sd, set.params[j].sd))
				}
				if err != nil || !(worst >= 10) {
					t.Errorf("parameters: %.1f digits, want 10 (%v)", worst, err)
				}
				// Lanczos1 was made with thirteen exact digits: its certified residual
				// sum, 1.4e-25, is below the rounding of the model in double precision
				// (24 terms of 1e-16 squared), so three digits are what can be had.
				min := 9.0
				if m.name == "Lanczos1" {
					min = 2.5
				}
				if !(worstSD >= min && digits(sol.RSS, set.rss) >= min) {
					t.Errorf("standard deviations %.1f, residual sum %.1f digits, want %.1f", worstSD, digits(sol.RSS, set.rss), min)
				}
			})
		}
	}
}

// Starts far off in both parameters must end at the certified values or say
// that they did not: never a wrong answer with a nil error.
func TestSolveNeverWrong(t *testing.T) {
	for _, name := range []string{"Misra1a", "BoxBOD"} {
		set := readNIST(t, name)
		var m nistModel
		for _, m = range nistModels {
			if m.name == name {
				break
			}
		}
		m.search = false
		p := m.problem(set)
		right := 0
		for i := -6; i <= 6; i++ {
			for j := -6; j <= 6; j++ {
				b1, b2 := set.params[0].certified, set.params[1].certified
				sol, err := Solve(p, []float64{b1 * math.Exp2(float64(i)), math.Log(b2) + float64(j)*math.Ln2})
				if err != nil {
					continue
				}
				right++
				if d := math.Min(digits(sol.Theta[0], b1), digits(math.Exp(sol.Theta[1]), b2)); d < 9 {
					t.Errorf("%s from 2^%d, 2^%d: %.1f digits and no error", name, i, j, d)
				}
			}
		}
		t.Logf("%s: %d of 169 starts end at the certified values", name, right)
		if right < 160 {
			t.Errorf("%s: only %d of 169 starts succeed", name, right)
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
