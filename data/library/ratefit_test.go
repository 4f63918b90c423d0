package library

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"steepbook/kinetics"
)

// The rates of tables/rates.csv come out of this file: one weighted least
// squares on ln t80, the time to 80 % of the strength by taste at 20 °C, 40 %
// vol and the usual dose. Each class of cuts has a median someone experienced
// would name, cells of a class lie around it, two cuts of a plant are tied by a
// ratio, and the times of makers and publications pull. The mean and variance
// of such a model are exact.

var update = flag.Bool("update", false, "rewrite data/tables/rates.csv from maker-times.csv and rate-classes.toml")

const ratesFile = "../tables/rates.csv"

// Judgements of the model, all natural logs but the shares.
const (
	rightShare    = 0.80 // of the plateau, where a maker tastes and finds it right
	strainedShare = 0.85 // where a maker strains
	noticedShare  = 0.30 // where a maker only just notices it
	lateLog       = 1.1  // too long is three times t80

	rightSD, strainedSD, lateSD, noticedSD, printedSD = 0.75, 0.90, 0.90, 0.80, 0.90

	strengthLog, energyLogSD = 0.0102, 0.53 // a % vol, and of the energy: strength_factor_95 and activation_energy_gsd, rounded

	cellSD                = 0.45       // cells about their class
	habitOneSD, habitAll  = 0.85, 0.75 // of one habit, and of what all habits of a cell share
	habitLog0, habitSlow  = 1.7, 1.0   // habit over t80: first guess, estimated; in classes of months, kept
	quickBelowH, slowFrom = 40, 200    // class medians, h: below the first habits say nothing, from the second they overshoot less
	oddAbove              = 1.5        // residual, in standard deviations, from which a row counts less (Huber)

	makersAimSD, kitchenSD, likeSD = 0.25, 0.5, 0.25 // into the spread: makers' aim, kitchens, rows about another plant
)

type rateClass struct {
	Name      string   `toml:"name"`
	T80H      float64  `toml:"t80_h"`
	T80LogSD  float64  `toml:"t80_log_sd"`
	KitchenSD float64  `toml:"kitchen_log_sd"`
	Early     Number   `toml:"early_share"`
	Fierce    bool     `toml:"fierce"`
	Cells     []string `toml:"cells"`
}

type rateLink struct {
	Slow  string  `toml:"slow"`
	Fast  string  `toml:"fast"`
	Ratio float64 `toml:"ratio"`
	LogSD float64 `toml:"log_sd"`
}

// rateModel is what rate-classes.toml and maker-times.csv say.
type rateModel struct {
	Class []rateClass `toml:"class"`
	Link  []rateLink  `toml:"link"`
	First []struct {
		Cell string  `toml:"cell"`
		H    float64 `toml:"h"`
	} `toml:"first_tasting"`

	ix    map[string]int        // of a cell among the unknowns; the classes come first
	class map[string]*rateClass // of a cell
	rows  []*timeRow
}

// timeRow is one time turned into ln t80.
type timeRow struct {
	MakerTime
	cell      string
	y         float64 // ln t80, h; for a habit the log of the habit
	variance  float64 // of one such row of weight 1; 0 for a habit
	spread    float64 // variance of the range and of moving it to 20 °C and 40 % vol
	huber     float64
	fromMaker bool // tasted or strained
}

// belief is a normal belief about ln t80.
type belief struct{ mean, variance float64 }

// How makers' times are brought to 20 °C and 40 % vol, as kinetics.TemperatureBetween
// and kinetics.StrengthBetween do, with their sources.
const activationKJPerMol, activationGSD, strengthFactor95 = 25.0, 1.7, 1.75

const gas = 8.314462618e-3 // kJ/mol/K, CODATA

func newRateModel(t *testing.T) *rateModel {
	t.Helper()
	m := &rateModel{ix: map[string]int{}, class: map[string]*rateClass{}}
	decode(t, "tables/rate-classes.toml", m)
	for i := range m.Class {
		for _, cell := range m.Class[i].Cells {
			if m.class[cell] != nil {
				t.Errorf("%s is in two classes", cell)
			}
			m.class[cell] = &m.Class[i]
			m.ix[cell] = len(m.Class) + len(m.ix)
		}
	}
	factor, gsd := strengthFactor95, activationGSD
	if !near(strengthLog, math.Log(factor)/55, 5e-5) || !near(energyLogSD, math.Log(gsd), 5e-3) {
		t.Errorf("the constants of the library have moved: %g, %g", factor, gsd)
	}
	// The program moves rates by the same figures, and knows no file of them.
	stronger, err1 := kinetics.StrengthBetween(40, 41)
	warmer, err2 := kinetics.TemperatureBetween(20, 30)
	if energy := activationKJPerMol / gas * (1/293.15 - 1/303.15); err1 != nil || err2 != nil ||
		stronger.LogMean != strengthLog || !near(warmer.LogMean, energy, 1e-12) || !near(warmer.LogSD/energy, energyLogSD, 5e-3) {
		t.Errorf("kinetics moves rates by other constants: %+v, %+v", stronger, warmer)
	}
	times := makerTimes()
	for _, cell := range slices.Sorted(maps.Keys(times)) {
		if m.class[cell] == nil {
			t.Fatalf("%s has times, but no class", cell)
		}
		for _, x := range times[cell] {
			m.rows = append(m.rows, newTimeRow(cell, x))
		}
	}
	for _, l := range m.Link {
		if m.class[l.Slow] == nil || m.class[l.Fast] == nil || l.Ratio < 1 {
			t.Fatalf("link %s, %s", l.Slow, l.Fast)
		}
	}
	return m
}

func newTimeRow(cell string, x MakerTime) *timeRow {
	e := activationKJPerMol / gas * (1/(x.Celsius+273.15) - 1/293.15)
	s := strengthLog * (x.ABVPercent - 40)
	r := &timeRow{MakerTime: x, cell: cell, huber: 1, y: math.Log(x.LowH*x.HighH)/2 + s - e}
	energy := energyLogSD * e
	r.spread = s*s + energy*energy + sq(math.Log(x.HighH/x.LowH)/4)
	reaches := func(share float64) { r.y += math.Log(math.Log(5) / -math.Log(1-share)) }
	switch x.Kind {
	case Tasted, Strained:
		share, sd := rightShare, rightSD
		if x.Kind == Strained {
			share, sd = strainedShare, strainedSD
		}
		r.fromMaker = true
		// More of it is enough at a lower share, by the exponents of taste.
		if d := x.DoseRatio; d > 1 {
			share = max(0.30, share/math.Sqrt(d))
		} else if d < 1 {
			share = min(0.90, share/math.Pow(d, 0.25))
		}
		reaches(share)
		r.variance = sd*sd + sq(math.Log(max(x.DoseRatio, 1)))/16
	case TooLong:
		r.y -= lateLog
		r.variance = lateSD * lateSD
	case Noticed:
		reaches(noticedShare)
		r.variance = noticedSD * noticedSD
	case Printed:
		r.variance = printedSD * printedSD
	}
	return r
}

func sq(x float64) float64 { return x * x }

// silent reports whether the row is a habit in a class too quick for habits.
func (m *rateModel) silent(r *timeRow) bool {
	return r.Kind == Habit && m.class[r.cell].T80H < quickBelowH
}

// solve weighs everything but the rows left out; habit is how far habits
// overshoot.
func (m *rateModel) solve(t *testing.T, habit float64, leave func(*timeRow) bool) map[string]belief {
	t.Helper()
	n := len(m.Class) + len(m.ix)
	a, g := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	// add says that unknown i, less unknown j unless j < 0, is y.
	add := func(i, j int, y, variance float64) {
		w := 1 / variance
		a.SetSym(i, i, a.At(i, i)+w)
		g.SetVec(i, g.AtVec(i)+w*y)
		if j >= 0 {
			a.SetSym(j, j, a.At(j, j)+w)
			a.SetSym(i, j, a.At(i, j)-w)
			g.SetVec(j, g.AtVec(j)-w*y)
		}
	}
	for i, c := range m.Class {
		add(i, -1, math.Log(c.T80H), sq(c.T80LogSD))
		for _, cell := range c.Cells {
			add(m.ix[cell], i, 0, sq(cellSD))
		}
	}
	for _, l := range m.Link {
		add(m.ix[l.Slow], m.ix[l.Fast], math.Log(l.Ratio), sq(l.LogSD))
	}
	habits := map[string]float64{}
	for _, r := range m.rows {
		if r.Kind == Habit && !leave(r) {
			habits[r.cell] += r.Weight
		}
	}
	for _, r := range m.rows {
		if leave(r) || m.silent(r) {
			continue
		}
		y, v := r.y, r.variance
		if r.Kind == Habit {
			y, v = y-m.overshoot(r, habit), sq(habitOneSD)+sq(habitAll)*habits[r.cell]
		}
		add(m.ix[r.cell], -1, y, (v/r.Weight+r.spread)/r.huber)
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		t.Fatal("the rates have no single solution")
	}
	var x mat.VecDense
	var cov mat.SymDense
	if err := cmp.Or(chol.SolveVecTo(&x, g), chol.InverseTo(&cov)); err != nil {
		t.Fatal(err)
	}
	out := map[string]belief{}
	for cell, i := range m.ix {
		out[cell] = belief{x.AtVec(i), cov.At(i, i)}
	}
	return out
}

func (m *rateModel) overshoot(r *timeRow, habit float64) float64 {
	if m.class[r.cell].T80H >= slowFrom {
		return habitSlow
	}
	return habit
}

// fit solves until the rows that are far off have found their weight and the
// habits their ratio to what makers taste.
func (m *rateModel) fit(t *testing.T) (map[string]belief, float64) {
	t.Helper()
	none := func(*timeRow) bool { return false }
	isHabit := func(r *timeRow) bool { return r.Kind == Habit }
	makers := map[string]int{}
	for _, r := range m.rows {
		if r.fromMaker {
			makers[r.cell]++
		}
	}
	habit := habitLog0
	for range 4 {
		all := m.solve(t, habit, none)
		for _, r := range m.rows {
			z := (r.y - all[r.cell].mean) / math.Sqrt(r.variance/r.Weight+r.spread)
			if r.Kind == Habit {
				z = (r.y - m.overshoot(r, habit) - all[r.cell].mean) / math.Hypot(habitOneSD, habitAll)
			}
			r.huber = min(1, oddAbove/max(math.Abs(z), 1e-9))
		}
		without := m.solve(t, habit, isHabit)
		var over []float64
		for _, r := range m.rows {
			if med := m.class[r.cell].T80H; r.Kind == Habit && makers[r.cell] >= 2 && med >= quickBelowH && med < slowFrom {
				over = append(over, r.y-without[r.cell].mean)
			}
		}
		habit = stat.Mean(over, nil)
	}
	return m.solve(t, habit, none), habit
}

// counts are the rows of one cell by kind.
type counts struct {
	kind                 map[TimeKind]int
	makers, publications int
	published            string // source of the first published time
}

func (m *rateModel) count(cell string) counts {
	c := counts{kind: map[TimeKind]int{}}
	for _, r := range m.rows {
		if r.cell != cell {
			continue
		}
		c.kind[r.Kind]++
		switch {
		case r.Grade == Derived:
			c.publications++
			if r.Kind == Printed && c.published == "" {
				c.published = r.Source
			}
		case r.fromMaker || r.Kind == Habit:
			c.makers++
		}
	}
	return c
}

// tasted counts the times that say something by taste.
func (c counts) tasted() int { return c.kind[Tasted] + c.kind[Strained] }

// linked reports whether another cut of the plant has such times.
func (m *rateModel) linked(cell string) bool {
	return slices.ContainsFunc(m.Link, func(l rateLink) bool {
		return l.Slow == cell && m.count(l.Fast).tasted() > 0 || l.Fast == cell && m.count(l.Slow).tasted() > 0
	})
}

// grade says how a rate is known, and its source.
func (m *rateModel) grade(cell string, own bool) (Grade, string) {
	c := m.count(cell)
	total := 0
	for _, n := range c.kind {
		total += n
	}
	switch {
	case own && c.tasted() >= 2:
		return Practice, habits
	case own && c.tasted() == 0 && c.published != "":
		return Derived, c.published
	case c.tasted() > 0 || m.linked(cell) || own && total >= 3:
		return Derived, habits
	}
	return Judgement, "steepbook"
}

func (m *rateModel) note(cell string, own bool) string {
	c := m.count(cell)
	var parts, out []string
	for _, k := range []struct {
		n         int
		one, many string
	}{{c.kind[Tasted], "tasted", "tasted"}, {c.kind[Strained], "strained", "strained"}, {c.kind[Habit], "habit", "habits"}, {c.kind[TooLong], "late report", "late reports"},
		{c.kind[Noticed], "first notice", "first notices"}, {c.kind[Printed], "published", "published"}} {
		switch {
		case k.n == 1:
			parts = append(parts, "1 "+k.one)
		case k.n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", k.n, k.many))
		}
	}
	if len(parts) > 0 {
		out = append(out, strings.Join(parts, ", "))
		if !own {
			out[0] = "of its like: " + out[0]
		}
		if c.kind[Habit] > 0 && m.class[cell].T80H < quickBelowH {
			out = append(out, "habits left out: it is quick")
		}
	}
	if near := m.linked(cell); near && c.tasted() == 0 {
		out = append(out, "carried from another cut")
	} else if !near && len(parts) == 0 {
		out = append(out, "from its class alone: "+m.class[cell].Name)
	}
	return strings.Join(out, "; ")
}

// clockSteps are the times a first tasting is set to, h.
var clockSteps = []float64{.05, .1, .15, .25, .5, .75, 1, 1.5, 2, 3, 4, 6, 8, 10, 12, 18, 24, 36, 48, 72, 96, 120, 168, 240, 336, 504, 720, 1000, 1440}

// firstTasting is half strength of a fast jar: one of the fastest 5 % where
// things turn fierce, of the fastest sixth elsewhere.
func (m *rateModel) firstTasting(cell string, fierce bool, t80, gsd float64) float64 {
	for _, f := range m.First {
		if f.Cell == cell {
			return f.H
		}
	}
	h := t80 * math.Ln2 / math.Log(5) / gsd
	if fierce || m.class[cell].Fierce {
		h = t80 * math.Ln2 / math.Log(5) / math.Pow(gsd, z90)
	}
	return slices.MinFunc(clockSteps, func(a, b float64) int {
		return cmp.Compare(math.Abs(math.Log(a/h)), math.Abs(math.Log(b/h)))
	})
}

// rewritten is the table with everything but its first four columns made anew.
func (m *rateModel) rewritten(t *testing.T, src []byte, fitted map[string]belief) []byte {
	t.Helper()
	var out bytes.Buffer
	for l := range bytes.Lines(src) {
		if l[0] != '#' {
			break
		}
		out.Write(l)
	}
	r := csv.NewReader(bytes.NewReader(src))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(&out)
	_ = w.Write([]string{"botanical", "cut", "cell", "times_of", "rate_per_h", "gsd", "grade", "source", "makers", "publications", "early_share", "early_grade", "early_source", "first_tasting_h", "note"})
	for _, row := range rows[1:] {
		botanical, cut, cell, own := row[0], row[1], row[2], row[3] == "own"
		class := m.class[cell]
		if class == nil {
			t.Fatalf("%s, %s: rate-classes.toml has no cell %q", botanical, cut, cell)
		}
		b, err := Builtin().Botanical(botanical)
		if err != nil {
			t.Fatal(err)
		}
		like := 0.0
		if !own {
			like = likeSD
		}
		x := fitted[cell]
		t80, gsd := math.Exp(x.mean), math.Exp(math.Sqrt(x.variance+sq(makersAimSD)+sq(cmp.Or(class.KitchenSD, kitchenSD))+sq(like)))
		grade, source := m.grade(cell, own)
		c := m.count(cell)
		if !own {
			c.makers, c.publications = 0, 0
		}
		_ = w.Write([]string{
			botanical, cut, cell, row[3], fmt.Sprintf("%.4g", math.Log(5)/t80), fmt.Sprintf("%.2f", gsd), string(grade), source,
			strconv.Itoa(c.makers), strconv.Itoa(c.publications),
			fmt.Sprint(class.Early.Value), string(cmp.Or(class.Early.Grade, Judgement)), cmp.Or(class.Early.Source, "steepbook"),
			fmt.Sprint(m.firstTasting(cell, b.Fierce, t80, gsd)), m.note(cell, own),
		})
	}
	w.Flush()
	return out.Bytes()
}

// The table is what the evidence gives, to the last digit printed.
func TestRatesFromEvidence(t *testing.T) {
	m := newRateModel(t)
	fitted, habit := m.fit(t)
	t.Logf("%d times, %d cells, %d classes; t80 is %.2f of a habit", len(m.rows), len(m.ix), len(m.Class), math.Exp(-habit))
	m.logLeaveOneOut(t, fitted)
	src, err := os.ReadFile(ratesFile)
	if err != nil {
		t.Fatal(err)
	}
	want := m.rewritten(t, src, fitted)
	if *update {
		if err := os.WriteFile(ratesFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, made := strings.Split(string(src), "\n"), strings.Split(string(want), "\n")
	for i := range made {
		if i >= len(have) || have[i] != made[i] {
			t.Errorf("the fit gives %s", made[i])
		}
	}
}

// logLeaveOneOut takes each tasted or strained time out by itself, which for a
// weighted mean is an update, and says how well the others foretell it.
func (m *rateModel) logLeaveOneOut(t *testing.T, fitted map[string]belief) {
	t.Helper()
	var off, zs, sizes []float64
	held := 0
	for _, r := range m.rows {
		if !r.fromMaker || r.DoseRatio > 1.5 || r.DoseRatio < 0.5 {
			continue
		}
		x, v := fitted[r.cell], r.variance/r.Weight+r.spread
		h := x.variance / v
		e := r.y - (x.mean-h*r.y)/(1-h)
		z := e / math.Sqrt(x.variance/(1-h)+v)
		off, zs, sizes = append(off, e), append(zs, z), append(sizes, math.Abs(e))
		if math.Abs(z) < z90 {
			held++
		}
	}
	slices.Sort(sizes)
	t.Logf("leave one out, %d tasted or strained times: 90 %% ranges hold %.0f %%, sd of z %.2f, bias %+.2f, median error a factor %.1f",
		len(off), 100*float64(held)/float64(len(off)), stat.PopStdDev(zs, nil), stat.Mean(off, nil), math.Exp(sizes[len(sizes)/2]))
}
