package view

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/picture"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/together"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
)

var long = flag.Bool("long", false, "hold the views against each other on twenty times as many batches")

// someAssessments calls f with n random batches that were begun, always the
// same, or twenty times as many.
func someAssessments(t *testing.T, n uint64, f func(j *somejar.Jar, a *bench.Assessment)) {
	t.Helper()
	if *long {
		n *= 20
	}
	for i := range n {
		j := somejar.New(i)
		if j.Now > 0 {
			f(j, assess(t, j.String(), somejar.Time(j.Now)))
		}
	}
}

func parseBatch(t *testing.T, src string) *batch.Batch {
	t.Helper()
	b, err := batch.Parse("jar.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return b
}

func assess(t *testing.T, src string, now time.Time) *bench.Assessment {
	t.Helper()
	a, err := bench.Assess(parseBatch(t, src), library.Builtin(), bench.Question{Now: now})
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return a
}

// said is one order as a view words it.
type said struct {
	do   jar.Do
	when string // as it is printed; "" for now
	of   []string
}

// verbs are the sentences of orders: their verb, the flavours they name, and when.
var verbs = []struct {
	do    jar.Do
	words *regexp.Regexp
}{
	{jar.Strain, regexp.MustCompile(`^Strain out the (?P<of>.+?) now: [^:]+\.$`)},
	{jar.Pull, regexp.MustCompile(`^Pull the (?P<of>.+?) now: [^:]+\.$`)},
	{jar.Leave, regexp.MustCompile(`^Leave the (?P<of>.+) until (?P<when>.+?)(?: \(.+\))?\.$`)},
	{jar.Taste,
		regexp.MustCompile(`^Taste (?:next )?(?P<when>[^.]+?): the (?P<of>[^.;]+)(?:; look for [^.]+ too)?\. (?:That is a first look(?:: few jars are ready by then)?|That tasting decides|(?:For the [^.]+ that|That) is longer in the jar than usual)\.(?: .+)?$`)},
	{jar.Taste, regexp.MustCompile(`^No need to taste the (?P<of>.+) before (?P<when>.+)\.$`)},
	{"put in",
		regexp.MustCompile(`^Put in the (?P<of>.+?) (?P<when>(?:now|today|tonight|tomorrow|yesterday|Mon|Tue|Wed|Thu|Fri|Sat|Sun|this|\d+ \w+ \d{4})\b.*)\.$`)},
	{jar.Nothing, regexp.MustCompile(`^Nothing has come of the (?P<of>.+): .+\.$`)},
	{jar.Out, regexp.MustCompile(`^Everything is out of the jar\.$`)},
}

var strong = regexp.MustCompile("(?s)\x1b\\[1m(.*?)\x1b\\[0m")

// ordersIn reads the orders off a printed answer: its strong sentences.
func ordersIn(t *testing.T, a *bench.Assessment, print func(p *pen.Page) error) []said {
	t.Helper()
	var text bytes.Buffer
	if err := print(NewPage(&text, pen.Style{Colour: true})); err != nil {
		t.Fatal(err)
	}
	var out []said
	for _, m := range strong.FindAllStringSubmatch(text.String(), -1) {
		s := strings.Join(strings.Fields(m[1]), " ")
		k := slices.IndexFunc(verbs, func(v struct {
			do    jar.Do
			words *regexp.Regexp
		}) bool {
			return v.words.MatchString(s)
		})
		if k < 0 {
			t.Fatalf("%q is no order\n%s", s, &text)
		}
		v := verbs[k]
		got := said{do: v.do}
		sub := v.words.FindStringSubmatch(s)
		if i := v.words.SubexpIndex("when"); i > 0 {
			got.when = sub[i]
		}
		if i := v.words.SubexpIndex("of"); i > 0 {
			got.of = named(t, a, sub[i])
		}
		out = append(out, got)
	}
	return out
}

// named takes a list of flavours apart: their names may hold commas and "and".
func named(t *testing.T, a *bench.Assessment, list string) []string {
	t.Helper()
	var names []string
	for i := range a.Curves {
		names = append(names, a.Curves[i].Name)
	}
	slices.SortFunc(names, func(x, y string) int { return len(y) - len(x) })
	var out []string
	for rest := list; rest != ""; {
		k := slices.IndexFunc(names, func(n string) bool { return strings.HasPrefix(rest, n) })
		if k < 0 {
			t.Fatalf("%q names nothing that is in the jar", list)
		}
		out = append(out, names[k])
		rest = rest[len(names[k]):]
		for _, between := range []string{", then the ", " and the ", " and ", ", "} {
			if r, ok := strings.CutPrefix(rest, between); ok {
				rest = r
				break
			}
		}
	}
	return out
}

// clockOf reads a printed moment back, with the doubt that its words leave.
func clockOf(t *testing.T, text string, now time.Time) (time.Time, time.Duration) {
	t.Helper()
	text = strings.TrimPrefix(text, "about ")
	day := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, now.Location())
	parts := map[string]int{"morning": 8, "afternoon": 15, "evening": 20, "night": 24}
	first, rest, _ := strings.Cut(text, " ")
	days := 0
	switch first {
	case "now":
		return now, 3 * time.Hour
	case "tonight":
		if rest == midnightWords {
			break
		}
		return day.Add(24 * time.Hour), 6 * time.Hour
	case "today", "this":
	case "tomorrow":
		days = 1
	case "yesterday":
		days = -1
	default:
		for _, form := range []string{"Mon 2 Jan", "2 Jan 2006"} {
			if at, err := time.Parse(form, text); err == nil {
				if at.Year() == 0 {
					at = at.AddDate(now.Year(), 0, 0)
				}
				return at.Add(12 * time.Hour), 24 * time.Hour
			}
		}
		for d := -6; d <= 6; d++ {
			if day.AddDate(0, 0, d).Format("Mon") == first {
				days = d // the later of two alike is the one to come
			}
		}
	}
	day = day.AddDate(0, 0, days)
	if rest == "" {
		return day.Add(12 * time.Hour), 12 * time.Hour
	}
	if h, ok := parts[rest]; ok {
		return day.Add(time.Duration(h) * time.Hour), 6 * time.Hour
	}
	if rest == midnightWords {
		return day.Add(24 * time.Hour), time.Hour
	}
	at, err := time.Parse("15:04", rest)
	if err != nil {
		t.Fatalf("%q is no moment", text)
	}
	return day.Add(time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute), time.Hour
}

// within reports whether a printed moment is the one that is meant.
func within(t *testing.T, a *bench.Assessment, text string, hours float64) bool {
	t.Helper()
	at, doubt := clockOf(t, text, a.Now)
	off := at.Sub(a.Batch.At(hours))
	return off.Abs() <= doubt
}

// holdOrders holds what a view orders against the orders of the jar: every
// flavour that is in it, or will be, is named once, by the verb of its order and
// at its hour.
func holdOrders(t *testing.T, where string, a *bench.Assessment, got []said) {
	t.Helper()
	times := map[string]int{}
	for _, s := range got {
		for _, name := range s.of {
			c := a.Curve(name)
			o := &c.Order
			if s.do == jar.Taste && o.Do == jar.Taste && c.JarH <= 0 {
				continue // it is tasted once it is in
			}
			times[name]++
			want, at := o.Do, a.ElapsedH
			switch {
			case c.JarH <= 0 && o.Do == jar.Taste:
				want, at = "put in", c.InH
			case o.Do == jar.Leave:
				at = o.ByH
			case o.Do == jar.Taste:
				at = o.TasteH
			}
			if s.do != want {
				t.Errorf("%s: %q for the %s: %+v", where, s.do, name, *o)
			}
			if s.when == "" {
				continue
			}
			joint := o.Do == jar.Taste && c.JarH > 0 && within(t, a, s.when, a.NextH)
			if !within(t, a, s.when, at) && !joint {
				t.Errorf("%s: %q %q for the %s, at %s: %+v", where, s.do, s.when, name,
					a.Batch.At(at).Format("Mon 2 Jan 15:04"), *o)
			}
		}
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		want := 1
		if c.Watch || c.Order.Do == jar.Out || c.Order.Do == jar.Stays {
			want = 0
		}
		if times[c.Name] != want {
			t.Errorf("%s: the %s is named %d times, not %d: %+v", where, c.Name, times[c.Name], want, c.Order)
		}
	}
}

// TestEveryViewSaysTheSameOrder holds the views of random jars against the
// orders that were decided.
func TestEveryViewSaysTheSameOrder(t *testing.T) {
	someAssessments(t, 15, func(j *somejar.Jar, a *bench.Assessment) {
		holdOrders(t, j.Name+": steep", a, ordersIn(t, a, func(p *pen.Page) error { return Steep(p, a) }))
		tasting := batch.NewTasting{Scores: []batch.Score{{Name: j.Botanicals[0].Name, Value: 4}}}
		holdOrders(t, j.Name+": taste", a,
			ordersIn(t, a, func(p *pen.Page) error { return Tasted(p, a, a, tasting, false) }))
		holdOrders(t, j.Name+": pull", a,
			ordersIn(t, a, func(p *pen.Page) error { return Pulled(p, a, []string{j.Botanicals[0].Name}, false) }))
		holdTable(t, j, a)
		holdJSON(t, j, a)
		holdBook(t, j, a)
		holdChart(t, j, a)
		holdTogether(t, j, a)
		if t.Failed() {
			t.Logf("%s", j)
			var b bytes.Buffer
			_ = Steep(NewPage(&b, pen.Style{}), a)
			t.Fatalf("%s", &b)
		}
	})
}

// holdTable reads the table of the steep: how long each is steeped.
// TestEveryViewNamesTheSamePlace: wherever a bottle is to stand, keep, its JSON and the
// book name one place, and one day.
func TestEveryViewNamesTheSamePlace(t *testing.T) {
	places := map[string]int{}
	someAssessments(t, 40, func(j *somejar.Jar, _ *bench.Assessment) {
		for _, finish := range []string{"", "store = \"fridge\"", "store = \"room\"", "store = \"12 C\"", "store = \"freezer\"",
			"strained = \"9 d\"", "strained = \"9 d\"\nstore = \"fridge\""} {
			src := j.String() + "[finish]\n" + finish + "\n"
			a := assess(t, src, somejar.Time(j.Now).AddDate(0, 0, 12))
			if a.Keep.Advised.Place == "" || a.MustNotKeep() || a.Keep.Past {
				continue
			}
			place := a.Keep.Advises()
			places[place]++
			if where := a.Keep.Advised.Place; place != string(where) && (place != "shelf" || where != shelf.Room) {
				t.Errorf("the days are those in the %s, and the place is called %s\n%s", where, place, src)
			}
			g, err := due.Look(a)
			if err != nil {
				t.Fatal(err)
			}
			var screen, program bytes.Buffer
			if err := Keep(NewPage(&screen, pen.Style{}), a, false); err != nil {
				t.Fatal(err)
			}
			if err := Keep(NewPage(&program, pen.Style{JSON: true}), a, false); err != nil {
				t.Fatal(err)
			}
			var answer struct {
				Advised struct {
					Place string `json:"place"`
				} `json:"advised"`
			}
			if err := json.Unmarshal(program.Bytes(), &answer); err != nil {
				t.Fatal(err)
			}
			first, _, _ := strings.Cut(screen.String(), "\nSafe")
			first = strings.Join(strings.Fields(first), " ")
			row := quantity.Say(keepsTill(&g, a.Now), quantity.Metric)
			if !strings.Contains(first, place) || answer.Advised.Place != place || !strings.HasPrefix(row, place) {
				t.Errorf("%s: keep says %q, its JSON %q, the book %q\n%s", place, first, answer.Advised.Place, row, src)
			}
			if u := a.Keep.Advised.Until; !u.IsZero() {
				if day := quantity.Say(dayOf(u, a.Now), quantity.Metric); !strings.Contains(first, day) || !strings.Contains(row, day) {
					t.Errorf("until %s: keep says %q, the book %q\n%s", day, first, row, src)
				}
			}
		}
	})
	for _, p := range []string{"fridge", "shelf", "cellar", "freezer"} {
		if places[p] == 0 {
			t.Errorf("no bottle was to stand in the %s: %v", p, places)
		}
	}
}

func holdTable(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	var text bytes.Buffer
	if err := Steep(NewPage(&text, pen.Style{}), a); err != nil {
		t.Fatal(err)
	}
	gap := regexp.MustCompile(` {2,}`)
	for i := range a.Curves {
		c := &a.Curves[i]
		k := slices.IndexFunc(strings.Split(text.String(), "\n"),
			func(l string) bool { return gap.Split(l, 2)[0] == flavour(c) })
		if k < 0 {
			t.Errorf("%s: no row for the %s\n%s", j.Name, c.Name, &text)
			continue
		}
		cells := gap.Split(strings.Split(text.String(), "\n")[k], 4)
		if o := &c.Order; !c.Watch &&
			(o.Do == jar.Leave || o.Do == jar.Taste || o.Do == jar.Pull || o.Do == jar.Strain) {
			if best, _,
				_ := strings.Cut(cells[2], " ("); strings.TrimSuffix(best, pen.OrLater) != pen.Span(o.BestH-c.InH) {
				t.Errorf("%s: the %s is right after %q: %+v", j.Name, c.Name, cells[2], *o)
			}
		}
	}
}

// holdJSON reads the steep for programs.
func holdJSON(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	var text bytes.Buffer
	if err := Steep(NewPage(&text, pen.Style{JSON: true}), a); err != nil {
		t.Fatalf("%s: %v", j.Name, err)
	}
	var got struct {
		Curves []struct {
			Do, Why, Blame string
			Overdue        bool
			ChanceNever    float64                    `json:"chance_never"`
			ByH            *float64                   `json:"by_h"`
			NextTastingH   *float64                   `json:"next_tasting_h"`
			TasteFromH     *float64                   `json:"taste_from_h"`
			UntilH         *float64                   `json:"until_h"`
			PullH          *struct{ Median *float64 } `json:"pull_h"`
		}
	}
	if err := json.Unmarshal(text.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	same := func(p *float64, v float64) bool {
		return p == nil && math.IsInf(v, 1) || p != nil && math.Abs(*p-v) <= 1e-9*math.Abs(v)
	}
	for i := range a.Curves {
		c, g := &a.Curves[i], &got.Curves[i]
		o := &c.Order
		inf := math.Inf(1)
		by, next := inf, inf
		if o.Do == jar.Leave || o.Do == jar.Pull || o.Do == jar.Strain {
			by = o.ByH
		}
		if !c.Watch && (o.Do == jar.Taste || o.Do == jar.Leave) {
			next = a.NextH
		}
		if g.Do != string(o.Do) || g.Why != string(o.Why) || g.Blame != o.Blame || g.Overdue != o.Overdue ||
			!same(&g.ChanceNever, o.Never) || !same(g.ByH, by) ||
			!same(g.NextTastingH, next) || !same(g.TasteFromH, o.FromH-c.InH) ||
			!same(g.UntilH, o.UntilH-c.InH) {
			t.Errorf("%s: %s: JSON %+v for %+v", j.Name, c.Name, *g, *o)
		}
		if pull := g.PullH; !math.IsInf(o.BestH, 1) && o.Do != jar.Nothing &&
			(pull == nil || !same(pull.Median, o.BestH-c.InH)) {
			t.Errorf("%s: %s: JSON pulls at %+v for %+v", j.Name, c.Name, pull, *o)
		}
	}
}

// holdBook reads the row of the book.
func holdBook(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	g, err := due.Look(a)
	if err != nil {
		t.Fatal(err)
	}
	if g.Stage != due.Steeping || g.Due.Kind == due.Discard {
		return
	}
	text := dueWords(&g)
	of := func(c *bench.Curve) bool { return slices.Contains(g.Due.What, c.Name) }
	first := math.Inf(1) // of all that is to be done
	overdue := false
	for i := range a.Curves {
		c := &a.Curves[i]
		o := &c.Order
		if c.Watch {
			if of(c) {
				t.Errorf("%s: book names the %s: %q", j.Name, c.Name, text)
			}
			continue
		}
		overdue = overdue || o.Overdue
		at, verb := math.Inf(1), ""
		switch {
		case c.JarH <= 0:
			at, verb = c.InH, "put in the "
		case o.Do == jar.Strain:
			at, verb = a.ElapsedH, "strain out the "
		case o.Do == jar.Pull:
			at, verb = a.ElapsedH, "pull the "
		case o.Do == jar.Leave:
			at, verb = o.ByH, "pull the "
		case o.Do == jar.Taste:
			at, verb = a.NextH, "taste the "
		}
		first = math.Min(first, at)
		if of(c) && !strings.Contains(text, verb) {
			t.Errorf("%s: book says %q for the %s: %+v", j.Name, text, c.Name, *o)
		}
		if of(c) && g.Due.Overdue && !o.Overdue && o.Do != jar.Pull && o.Do != jar.Strain {
			t.Errorf("%s: book says %q for the %s: %+v", j.Name, text, c.Name, *o)
		}
	}
	if g.Due.Overdue != overdue {
		t.Errorf("%s: book is overdue %v, the orders %v: %q", j.Name, g.Due.Overdue, overdue, text)
	}
	if off := g.Due.At.Sub(a.Batch.At(math.Max(first, a.ElapsedH))); !math.IsInf(first, 1) &&
		!g.Due.Overdue && (off > time.Second || off < -time.Second && g.Due.At.After(a.Now)) {
		t.Errorf("%s: book says %q at %s, the first order is for %s", j.Name, text, g.Due.At,
			a.Batch.At(first))
	}
	if strings.Contains(text, "overdue") != g.Due.Overdue {
		t.Errorf("%s: book says %q of what is overdue: %v", j.Name, text, g.Due.Overdue)
	}
}

// holdChart reads the picture.
func holdChart(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	for _, d := range picture.Chart(a).Curves {
		c := a.Curve(d.Name)
		o := &c.Order
		drawn := !c.Watch && c.OutH == nil && o.Do != jar.Nothing && o.Do != jar.Stays
		if (d.Window != nil) != drawn || drawn && (d.Window.From != o.FromH || d.Window.Best != o.BestH ||
			d.Window.Until != o.UntilH || (d.Window.Label != "") != (o.Why == jar.Spoils) ||
			!strings.Contains(d.Window.Label, o.Blame)) {
			t.Errorf("%s: %s is drawn with %+v for %+v", j.Name, c.Name, d.Window, *o)
		}
		if drawn && o.Why == jar.Enough && !math.IsInf(o.BestH, 1) && c.Target != nil {
			holdLine(t, j, c, d.Hours, d.Middle)
		}
	}
}

// holdLine: the line that is drawn is that of the decision.
func holdLine(t *testing.T, j *somejar.Jar, c *bench.Curve, hours, middle []float64) {
	t.Helper()
	for i, h := range hours {
		if own := h - c.InH; own > 0 &&
			math.Abs(middle[i]-c.Posterior.Mean(own)*(*c.Target/c.JarTarget)) > 1e-6 {
			t.Fatalf("%s: %s is drawn at %g after %g h", j.Name, c.Name, middle[i], own)
		}
	}
}

// holdTogether reads the timetable.
func holdTogether(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	plan := together.Plan(a)
	for _, s := range plan.Stays {
		c := a.Curve(s.Name)
		o := &c.Order
		if s.LeaveIn || s.PlanFailed || s.Out {
			continue
		}
		if s.BestH != o.BestH-c.InH || s.FromH != o.FromH-c.InH || s.UntilH != o.UntilH-c.InH {
			t.Errorf("%s: together has %+v for %+v", j.Name, s, *o)
		}
		if plan.NextJar {
			continue
		}
		if (o.Do == jar.Pull || o.Do == jar.Strain) && s.In && plan.TotalH > a.ElapsedH+1e-6 {
			t.Errorf("%s: together strains after %g h, %s comes out now: %+v", j.Name, plan.TotalH, s.Name,
				*o)
		}
	}
	var text bytes.Buffer
	if err := Together(NewPage(&text, pen.Style{}), a); err != nil {
		t.Fatal(err)
	}
	if wrong := regexp.MustCompile(`NaN|Inf|%!`).FindString(text.String()); wrong != "" {
		t.Errorf("%s: %s in\n%s", j.Name, wrong, &text)
	}
	text.Reset()
	if err := Together(NewPage(&text, pen.Style{JSON: true}), a); err != nil {
		t.Errorf("%s: %v", j.Name, err)
	}
}
