// Package somejar makes random batches for property tests: one to three
// botanicals of the library in sensible amounts, tasted by makers whose scores
// roughly rise, with unwanted tastes, additions, samples and tasters now and
// then. The same number gives the same batch. What a batch says can be changed
// field by field before it is written out.
package somejar

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"steepbook/data/library"
)

// Started is when every batch starts.
var Started = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

// Clock is how moments are written.
type Clock int

// Hours, minutes, or clock times.
const (
	InHours Clock = iota
	InMinutes
	ByTheClock
)

// Jar is a batch. Moments are whole minutes since the start.
type Jar struct {
	Name       string
	SpiritML   float64
	Botanicals []Botanical
	Watches    []Watch
	Additions  []Addition
	Tastings   []Tasting
	Pulls      []Pull
	Press      bool
	Life       []Entry
	// Now is the moment of the question.
	Now int

	// How it is written: in kilograms, by which clock.
	Kilograms bool
	Clock     Clock
}

// Botanical is one that steeps. Target is below 0 where none is written.
type Botanical struct {
	Name, Cut    string
	Grams        float64
	Target       float64
	In           int
	LeaveIn, Bag bool
	Dust         bool // that it is, by the library
}

// Watch is an unwanted taste.
type Watch struct {
	Name  string
	Limit float64
	From  []string
}

// Addition is what goes in later; Amount as written.
type Addition struct{ Name, Amount string }

// Score is one of a tasting.
type Score struct {
	Name  string
	Value float64
}

// Tasting is one round of scores.
type Tasting struct {
	At             int
	Sample, Taster string
	Scores         []Score
}

// Pull says that a botanical came out.
type Pull struct {
	Name string
	At   int
}

// Entry is one of the log besides tastings and pulls: the name of its table, its keys
// without the moment, and when it was.
type Entry struct {
	Table, Keys string
	At          int
}

// choice is a botanical in one cut, with what makes a jar of it.
type choice struct {
	name  string
	cut   *library.Cut
	known *library.Botanical
}

// choices are the cuts of the library that may be steeped.
var choices = sync.OnceValue(func() []choice {
	var out []choice
	for _, b := range library.Builtin().Botanicals() {
		if b.Forbidden != "" {
			continue
		}
		for i := range b.Cuts {
			out = append(out, choice{b.Name, &b.Cuts[i], b})
		}
	}
	return out
})

// maker is how one jar truly goes, and how it is tasted.
type maker struct {
	*rand.Rand
	noise, step float64
}

func (m maker) lognormal(sd float64) float64 { return math.Exp(sd * m.NormFloat64()) }

// score is a reading of a strength, in the maker's steps, 0 to 10.
func (m maker) score(strength float64) float64 {
	v := math.Round((strength+m.noise*m.NormFloat64())/m.step) * m.step
	return math.Min(math.Max(v, 0), 10)
}

// course is a true strength over time.
type course struct {
	end, ratePerMin, power float64
	in                     int
}

func (c course) at(min int) float64 {
	if min <= c.in {
		return 0
	}
	return -c.end * math.Expm1(-math.Pow(c.ratePerMin*float64(min-c.in), c.power))
}

// New is the batch of a number.
func New(number uint64) *Jar {
	m := maker{Rand: rand.New(rand.NewPCG(number, 0x5eed)), step: []float64{0.5, 1}[number%2]}
	m.noise = 0.5 * m.lognormal(0.5)
	j := &Jar{Name: fmt.Sprintf("Jar %d", number), SpiritML: float64(50 * (4 + m.IntN(20)))}
	courses := map[string]course{}
	slowest, quickest := 0.0, math.Inf(1)
	n := 1 + m.IntN(3)
	for len(j.Botanicals) < n {
		c := choices()[m.IntN(len(choices()))]
		if _, twice := courses[c.name]; twice {
			continue
		}
		rate := c.cut.SlowRatePerH() / 60
		if len(courses) > 0 && (rate*slowest > 60 || rate*quickest < 1.0/60) {
			continue // nobody steeps tea with whole oranges
		}
		slowest, quickest = math.Max(slowest, 1/rate), math.Min(quickest, 1/rate)
		dose := math.Max(c.cut.DoseGPerL.Value, 0.1) * m.lognormal(0.35)
		b := Botanical{Name: c.name, Cut: c.cut.Name, Grams: round(dose*j.SpiritML/1000, 2),
			Target: float64(2 + m.IntN(6)), Dust: c.cut.Dust, Bag: c.cut.Dust && m.IntN(2) == 0}
		if m.IntN(8) == 0 {
			b.Target = -1
		}
		courses[c.name] = course{end: math.Max(7+2*m.NormFloat64(), 1),
			ratePerMin: rate * m.lognormal(math.Log(c.cut.RateGSD)), power: []float64{0.7, 1, 1,
				1, 2}[m.IntN(5)]}
		j.Botanicals = append(j.Botanicals, b)
	}
	for i := 1; i < n; i++ {
		if b := &j.Botanicals[i]; m.IntN(4) == 0 {
			b.In = int(0.5 * m.Float64() * slowest)
			c := courses[b.Name]
			c.in = b.In
			courses[b.Name] = c
		}
	}
	if m.IntN(2) == 0 {
		w := Watch{Name: "harsh", Limit: 1 + 0.5*float64(m.IntN(5))}
		by := j.Botanicals[m.IntN(n)].Name
		if m.IntN(2) == 0 {
			w.From = []string{by}
		}
		c := courses[by]
		courses[w.Name] = course{end: 3.5 * m.lognormal(0.4), ratePerMin: c.ratePerMin / 3 * m.lognormal(0.5),
			power: 1, in: c.in}
		j.Watches = []Watch{w}
	}
	share := 1.0
	if m.IntN(2) == 0 {
		ml := float64(50 * (1 + int(j.SpiritML*(0.2+m.Float64())/50)))
		share = j.SpiritML / (j.SpiritML + ml)
		j.Additions = []Addition{{"water", fmt.Sprintf("%g ml", ml)}}
		if m.IntN(3) == 0 {
			j.Additions = append(j.Additions,
				Addition{"white sugar", fmt.Sprintf("%g g", 50*(1+float64(m.IntN(4))))})
		}
	}
	j.taste(m, courses, slowest, share)
	for i := range j.Botanicals {
		switch b := &j.Botanicals[i]; {
		case m.IntN(12) == 0:
			b.LeaveIn = true
		case m.IntN(8) == 0 && j.Now > b.In:
			j.Pulls = append(j.Pulls, Pull{b.Name, b.In + 1 + m.IntN(j.Now-b.In)})
		}
	}
	return j
}

// taste has the maker taste at up to five growing times.
func (j *Jar) taste(m maker, courses map[string]course, slowest, share float64) {
	at := slowest * (0.05 + 0.2*m.Float64())
	for range m.IntN(6) {
		t := Tasting{At: 1 + int(at)}
		if t.At < 8 || len(j.Tastings) > 0 && t.At <= j.Tastings[len(j.Tastings)-1].At {
			t.At += 3 * (len(j.Tastings) + 1)
		}
		by := 1.0
		if share < 1 && m.IntN(3) > 0 {
			others := max(1, int(math.Round(1/share-1)))
			t.Sample, by = fmt.Sprintf("1:%d", others), math.Sqrt(1/float64(1+others))
		}
		if m.IntN(4) == 0 {
			t.Taster = []string{"Ada", "Bo"}[m.IntN(2)]
		}
		for _, b := range j.Botanicals {
			if t.At > b.In && m.IntN(8) > 0 {
				t.Scores = append(t.Scores, Score{b.Name, m.score(by * courses[b.Name].at(t.At))})
			}
		}
		for _, w := range j.Watches {
			if m.IntN(3) > 0 {
				t.Scores = append(t.Scores, Score{w.Name, m.score(by * courses[w.Name].at(t.At))})
			}
		}
		at *= 1.4 + m.Float64()
		if len(t.Scores) > 0 {
			j.Tastings = append(j.Tastings, t)
		}
	}
	j.Now = int(at * m.Float64())
	if n := len(j.Tastings); n > 0 {
		j.Now = j.Tastings[n-1].At + int(0.5*math.Pow(m.Float64(), 2)*at)
	}
}

func round(v float64, figures int) float64 {
	by := math.Pow(10, float64(figures)-math.Ceil(math.Log10(v)))
	return math.Round(v*by) / by
}

// Copy is an independent copy.
func (j *Jar) Copy() *Jar {
	c := *j
	c.Botanicals, c.Watches, c.Additions, c.Pulls = slices.Clone(j.Botanicals), slices.Clone(
		j.Watches), slices.Clone(j.Additions), slices.Clone(j.Pulls)
	c.Tastings, c.Life = slices.Clone(j.Tastings), slices.Clone(j.Life)
	for i := range c.Tastings {
		c.Tastings[i].Scores = slices.Clone(c.Tastings[i].Scores)
	}
	return &c
}

// Time is the moment of so many minutes after the start.
func Time(min int) time.Time { return Started.Add(time.Duration(min) * time.Minute) }

// Hours is the moment of the question in hours after the start.
func (j *Jar) Hours() float64 { return float64(j.Now) / 60 }

// Last finds the last score of a taste: its tasting and place, or ok = false.
func (j *Jar) Last(name string) (tasting, score int, ok bool) {
	for t := len(j.Tastings) - 1; t >= 0; t-- {
		for s := range j.Tastings[t].Scores {
			if j.Tastings[t].Scores[s].Name == name {
				return t, s, true
			}
		}
	}
	return 0, 0, false
}

func (j *Jar) moment(min int) string {
	switch j.Clock {
	case InMinutes:
		return fmt.Sprintf("\"%d min\"", min)
	case ByTheClock:
		return Time(min).Format("2006-01-02T15:04:05")
	}
	const day = 24 * 60
	if min >= 30*day {
		return fmt.Sprintf("\"%d d %.10g h\"", min/day, float64(min%day)/60)
	}
	return fmt.Sprintf("\"%.10g h\"", float64(min)/60)
}

// Tables are the tables of the file, a string each; the head is not among them.
func (j *Jar) Tables() []string {
	var out []string
	table := func(name string) { out = append(out, "["+name+"]\n") }
	line := func(format string, args ...any) { out[len(out)-1] += fmt.Sprintf(format, args...) + "\n" }
	table("spirit")
	line("name = \"vodka\"\nabv = 40\namount = \"%g ml\"", j.SpiritML)
	for _, b := range j.Botanicals {
		table("[botanical]")
		line("name = %q\ncut = %q", b.Name, b.Cut)
		if j.Kilograms {
			line("amount = \"%s kg\"", strconv.FormatFloat(b.Grams/1000, 'f', -1, 64))
		} else {
			line("amount = \"%.10g g\"", b.Grams)
		}
		if b.Target >= 0 {
			line("target = %.10g", b.Target)
		}
		if b.In > 0 {
			line("in = %s", j.moment(b.In))
		}
		if b.LeaveIn {
			line("leave_in = true")
		}
		if b.Bag {
			line("bag = true")
		}
	}
	for _, w := range j.Watches {
		table("[watch]")
		line("name = %q\nlimit = %.10g", w.Name, w.Limit)
		if len(w.From) > 0 {
			line("from = [\"%s\"]", strings.Join(w.From, "\", \""))
		}
	}
	for _, a := range j.Additions {
		table("[addition]")
		line("name = %q\namount = %q", a.Name, a.Amount)
	}
	if j.Press {
		table("finish")
		line("press = true")
	}
	for _, t := range j.Tastings {
		table("[tasting]")
		line("at = %s", j.moment(t.At))
		if t.Sample != "" {
			line("sample = %q", t.Sample)
		}
		if t.Taster != "" {
			line("taster = %q", t.Taster)
		}
		var scores []string
		for _, s := range t.Scores {
			scores = append(scores, fmt.Sprintf("%q = %.10g", s.Name, s.Value))
		}
		line("score = { %s }", strings.Join(scores, ", "))
	}
	for _, p := range j.Pulls {
		table("[pulled]")
		line("name = %q\nat = %s", p.Name, j.moment(p.At))
	}
	for _, e := range j.Life {
		table("[" + e.Table + "]")
		line("%sat = %s", e.Keys, j.moment(e.At))
	}
	return out
}

// Head is the file above its tables.
func (j *Jar) Head() string {
	return fmt.Sprintf("name = %q\nstarted = %s\nroom = \"20 C\"\n", j.Name,
		Started.Format("2006-01-02T15:04:05"))
}

// String is the batch file.
func (j *Jar) String() string { return j.Head() + strings.Join(j.Tables(), "") }
