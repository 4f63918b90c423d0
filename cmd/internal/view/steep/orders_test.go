package steep

import (
	"bytes"
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"steepbook/cmd/internal/steeping"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/picture"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/together"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// someAssessments calls f with n random batches that were begun, always the
// same, or forty times as many.
func someAssessments(t *testing.T, n uint64, f func(j *somejar.Jar, a *bench.Assessment)) {
	t.Helper()
	for i := range somejar.Many(n) {
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

// order is one order as a screen words it: what, of which flavours, and when as it is
// printed.
type order struct {
	do   string
	of   []string
	when string
}

// inHead are the forms of the order in a headline, inRow those in the row of a flavour.
var (
	inHead = regexp.MustCompile(`(?:^|\. )(?:(?P<when>Now): (?P<do>taste|pull|strain out|put in) the (?P<of>.+)|` +
		`Next: (?P<do>taste|pull|strain out|put in) the (?P<of>.+?) (?P<when>(?:at|on|tomorrow|tonight|this|today|yesterday)\b.*)|` +
		`(?P<do>Nothing more comes) of the (?P<of>.+): .+|(?P<do>Everything is out) of the jar(?:\. .+)?|` +
		`The (?P<of>.+) (?P<do>cannot go in)|(?P<do>Nothing is left) to taste or to pull)\.$`)
	inRow = regexp.MustCompile(`^(?P<do>taste|pull|strain out|put in) (?P<when>.+?)(?:[:,;] .*)?$|` +
		`^(?P<do>nothing comes of it|stays in the bottle|out after|cannot go in|never went in|not tasted yet|fine|over|maybe over|scored over)\b.*$`)
)

// read takes an order apart.
func read(t *testing.T, a *bench.Assessment, form *regexp.Regexp, text string) order {
	t.Helper()
	text = quantity.Say(text, quantity.Metric)
	m := form.FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("%q is no order", text)
	}
	var out order
	for i, name := range form.SubexpNames() {
		switch {
		case m[i] == "":
		case name == "do":
			out.do = m[i]
		case name == "when":
			out.when = strings.Replace(m[i], "Now", "now", 1)
		case name == "of":
			out.of = named(t, a, m[i])
		}
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
		for _, between := range []string{", then the ", " and ", ", "} {
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
	text = strings.NewReplacer("about ", "", "on ", "").Replace(text)
	day := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, now.Location())
	parts := map[string]int{"morning": 8, "afternoon": 15, "evening": 20, "night": 24}
	days, found := 0, true
	first, rest, _ := strings.Cut(text, " ")
	switch first {
	case "now":
		return now, 3 * time.Hour
	case "an": // hour after what is tasted now
		return now.Add(time.Hour), 15 * time.Minute
	case "tonight":
		return day.Add(24 * time.Hour), 6 * time.Hour
	case "today", "this":
	case "at":
		rest = text
	case "tomorrow":
		days = 1
	case "yesterday":
		days = -1
	default:
		for _, form := range []string{"Monday 2 January", "2 January", "2 January 2006"} {
			if at, err := time.Parse(form, text); err == nil {
				if at.Year() == 0 {
					at = at.AddDate(now.Year(), 0, 0)
				}
				return at.Add(12 * time.Hour), 24 * time.Hour
			}
		}
		found = false
		for d := -6; d <= 6; d++ {
			if day.AddDate(0, 0, d).Format("Monday") == first {
				days, found = d, true // the later of two alike is the one to come
			}
		}
	}
	day = day.AddDate(0, 0, days)
	if h, ok := parts[rest]; ok {
		return day.Add(time.Duration(h) * time.Hour), 6 * time.Hour
	}
	switch rest {
	case "":
		if found {
			return day.Add(12 * time.Hour), 24 * time.Hour
		}
	case "at midnight":
		return day.Add(24 * time.Hour), time.Hour
	}
	at, err := time.Parse("at 15:04", rest)
	if err != nil || !found {
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

// holdScreen holds the rows of a screen against the orders of the jar: every flavour has
// one row, with the verb of its order and at its hour.
func holdScreen(t *testing.T, where string, a *bench.Assessment, s pen.Screen) {
	t.Helper()
	times := map[string]int{}
	for _, row := range s.Rows {
		times[row[0]]++
		holdOrder(t, where, a, row[0], read(t, a, inRow, row[len(row)-1]))
	}
	for i := range a.Curves {
		if c := &a.Curves[i]; times[c.Name] != 1 {
			t.Errorf("%s: %d rows for the %s: %+v", where, times[c.Name], c.Name, c.Order)
		}
	}
	holdHead(t, where, a, s.Say[0])
}

// holdHead holds a headline against the orders, and that nothing is due before it.
func holdHead(t *testing.T, where string, a *bench.Assessment, text string) {
	t.Helper()
	head := read(t, a, inHead, text)
	for _, name := range head.of {
		if !strings.HasPrefix(head.do, "Nothing more") {
			holdOrder(t, where, a, name, head)
		}
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		now := !c.Watch && (c.Order.Do == jar.Pull || c.Order.Do == jar.Strain)
		if now && head.when != "now" {
			t.Errorf("%s: %q, and the %s comes out now", where, text, c.Name)
		}
		if acts := due.Acts(a); due.Overdue(acts, c) &&
			!slices.ContainsFunc(head.of, func(n string) bool { return due.Overdue(acts, a.Curve(n)) }) {
			t.Errorf("%s: %q, and the %s is overdue", where, text, c.Name)
		}
	}
}

// comesOut is what is done with a flavour that comes out later.
func comesOut(c *steeping.Curve) string {
	return map[bool]string{false: "pull", true: "strain out"}[c.OnlyStrained()]
}

// holdOrder holds what is said of one flavour against its order.
func holdOrder(t *testing.T, where string, a *bench.Assessment, name string, said order) {
	t.Helper()
	c := a.Curve(name)
	o := &c.Order
	want, at := string(o.Do), a.ElapsedH
	switch {
	case c.Watch:
		want = map[bool]string{true: "over", false: "fine"}[o.Over > 0.5 || o.Do == jar.Out && c.BottleNow.Value > c.Limit]
		if said.do == "maybe over" && o.Over >= 0.05 || said.do == "not tasted yet" && c.Tasted == 0 {
			want = said.do
		}
		if o.TasteWhy == jar.Again && o.Over <= 0.5 {
			want = "scored over"
		}
	case o.TooLate():
		want = "cannot go in"
	case c.NeverIn():
		want = "never went in"
	case o.Do == jar.Nothing:
		want = "nothing comes of it"
	case o.Do == jar.Stays:
		want = "stays in the bottle"
	case o.Do == jar.Out:
		want = "out after"
	case o.Do == jar.Strain:
		want = "strain out"
	case c.JarH <= 0:
		want, at = "put in", c.InH
	case o.Do == jar.Leave:
		want, at = comesOut(c), o.ByH
	case o.Do == jar.Taste:
		at = due.TastedH(a, a.NextSitting(), c)
	}
	if said.do != want {
		t.Errorf("%s: %q for the %s, not %q: %+v", where, said.do, name, want, *o)
	}
	if said.when == "" {
		return
	}
	joint := want == "taste" && within(t, a, said.when, a.NextH)
	if !within(t, a, said.when, at) && !joint {
		t.Errorf("%s: %q %q for the %s, at %s: %+v", where, said.do, said.when, name,
			a.Batch.At(at).Format("Mon 2 Jan 15:04"), *o)
	}
}

// TestEveryViewSaysTheSameOrder holds the views of random jars against the
// orders that were decided.
func TestEveryViewSaysTheSameOrder(t *testing.T) {
	someAssessments(t, 8, func(j *somejar.Jar, a *bench.Assessment) {
		if a.Unfit() {
			return // nothing is ordered of it
		}
		stop := map[bool]int{true: 1}[a.Keep.Stop != ""] // said first of all
		steep := Screen(a, pen.Style{})
		steep.Say = append(steep.Due[:stop:stop], steep.Say...)
		holdScreen(t, j.Name+": steep", a, steep)
		tasting := batch.NewTasting{Scores: []batch.Score{{Name: j.Botanicals[0].Name, Value: 4}}}
		holdHead(t, j.Name+": taste", a, TastedScreen(a, a, tasting, false, pen.Style{}).Due[stop])
		pulled := PulledScreen(a, []string{j.Botanicals[0].Name}, false, pen.Style{})
		pulled.Say = pulled.Due
		holdScreen(t, j.Name+": pull", a, pulled)
		holdTable(t, j, a)
		holdJSON(t, j, a)
		holdBook(t, j, a)
		holdChart(t, j, a)
		holdTogether(t, j, a)
		if t.Failed() {
			t.Logf("%s", j)
			var b bytes.Buffer
			_ = Print(view.NewPage(&b, pen.Style{}), a, true)
			t.Fatalf("%s", &b)
		}
	})
}

// holdTable reads how long each is steeped.
func holdTable(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	for i := range a.Curves {
		c := &a.Curves[i]
		if o := &c.Order; !c.Watch &&
			(o.Do == jar.Leave || o.Do == jar.Taste || o.Do == jar.Pull || o.Do == jar.Strain) {
			cell := rightAfter(c, pen.OrLater)
			best, _, _ := strings.Cut(cell, " (")
			if strings.TrimSuffix(best, pen.OrLater) != quantity.Span(o.BestH-c.InH) {
				t.Errorf("%s: the %s is right after %q: %+v", j.Name, c.Name, cell, *o)
			}
		}
	}
}

// holdJSON reads the steep for programs.
func holdJSON(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	var text bytes.Buffer
	if err := Print(view.NewPage(&text, pen.Style{JSON: true}), a, false); err != nil {
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
	acts := due.Acts(a)
	for i := range a.Curves {
		c, g := &a.Curves[i], &got.Curves[i]
		o := &c.Order
		inf := math.Inf(1)
		by, next := inf, inf
		if o.Do == jar.Leave || o.Do == jar.Pull || o.Do == jar.Strain {
			by = o.ByH
		}
		if !c.Watch && (o.Do == jar.Taste || o.Do == jar.Leave) {
			if next = a.NextH; a.NextSitting() != nil { // a tongue may have to rest
				next = a.NextSitting().AtH
			}
		}
		if g.Do != string(o.Do) || g.Why != string(o.Why) || g.Blame != o.Blame || g.Overdue != due.Overdue(acts, c) ||
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
	text := nextact.Due(&g)
	of := func(c *steeping.Curve) bool { return slices.Contains(g.Due.What, c.Name) }
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
		over := due.Overdue(g.Acts, c)
		overdue = overdue || over
		at, verb := math.Inf(1), ""
		switch {
		case c.JarH <= 0:
			at, verb = c.InH, "put in the "
		case o.Do == jar.Strain:
			at, verb = a.ElapsedH, "strain out the "
		case o.Do == jar.Pull:
			at, verb = a.ElapsedH, "pull the "
		case o.Do == jar.Leave:
			at, verb = o.ByH, comesOut(c)+" the "
		case o.Do == jar.Taste:
			at, verb = due.TastedH(a, a.NextSitting(), c), "taste the "
		}
		first = math.Min(first, at)
		if of(c) && !strings.Contains(text, verb) {
			t.Errorf("%s: book says %q for the %s: %+v", j.Name, text, c.Name, *o)
		}
		if of(c) && g.Due.Overdue && !over && len(g.Due.What) == 1 && o.Do != jar.Pull && o.Do != jar.Strain {
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
	if late := g.Due.Late(a.Now) > 0; strings.Contains(text, "overdue") != late || late && !g.Due.Overdue {
		t.Errorf("%s: book says %q of what is late: %v, overdue: %v", j.Name, text, late, g.Due.Overdue)
	}
}

// holdChart reads the picture.
func holdChart(t *testing.T, j *somejar.Jar, a *bench.Assessment) {
	t.Helper()
	for _, d := range picture.Chart(a).Panels {
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
func holdLine(t *testing.T, j *somejar.Jar, c *steeping.Curve, hours, middle []float64) {
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
	if err := Together(view.NewPage(&text, pen.Style{}), a, true); err != nil {
		t.Fatal(err)
	}
	if wrong := regexp.MustCompile(`NaN|Inf|%!`).FindString(text.String()); wrong != "" {
		t.Errorf("%s: %s in\n%s", j.Name, wrong, &text)
	}
	text.Reset()
	if err := Together(view.NewPage(&text, pen.Style{JSON: true}), a, true); err != nil {
		t.Errorf("%s: %v", j.Name, err)
	}
}
