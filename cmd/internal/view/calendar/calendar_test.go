package calendar

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/ical"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
	"steepbook/plots"
)

func assess(t *testing.T, src string, now time.Time, house *batch.House) *due.Glance {
	t.Helper()
	b, err := batch.Parse("test.toml", []byte(src), now.Location())
	if err != nil {
		t.Fatal(err, src)
	}
	a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now, House: house})
	if err != nil {
		t.Fatal(err)
	}
	g, err := due.Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return &g
}

func entries(t *testing.T, g *due.Glance) []Entry {
	t.Helper()
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	return Entries(g, dates, quantity.Metric, nil)
}

func words(l plots.Label) string {
	var all []string
	for _, line := range l.Lines {
		all = append(all, line.Text)
	}
	return strings.Join(all, "\n")
}

// TestDatesAgree: over random jars the calendar, the label, keep and the book name the same
// days, and another library reads every event back as it was meant.
func TestDatesAgree(t *testing.T) {
	kinds := map[due.Kind]int{}
	for n := range somejar.Either[uint64](55, 110) {
		r := rand.New(rand.NewPCG(n, 3))
		j := somejar.New(n)
		j.Press = false
		src, now := j.String(), somejar.Time(j.Now)
		if r.IntN(2) == 0 {
			j.Pulls = nil
			at := somejar.Time(j.Now).Add(time.Hour)
			now = at.AddDate(0, 0, r.IntN(30))
			src = j.String() + fmt.Sprintf("[finish]\nbottled = %s\n", at.Format("2006-01-02T15:04:05"))
		}
		house := &batch.House{}
		if r.IntN(3) == 0 {
			house.MaxAgeDays = float64(10 + r.IntN(60))
		}
		g := assess(t, src, now, house)
		list := entries(t, g)
		var out bytes.Buffer
		if err := ical.Write(&out, File("jar", list, now)); err != nil {
			t.Fatal(err)
		}
		cal, err := goical.NewDecoder(&out).Decode()
		if err != nil {
			t.Fatal(err)
		}
		if got := cal.Events(); len(got) != len(list) {
			t.Fatalf("%d: %d events of %d", n, len(got), len(list))
		}
		seen := map[string]bool{}
		for i, e := range cal.Events() {
			want := list[i]
			kinds[want.Kind]++
			uid, _ := e.Props.Text("UID")
			at, err := e.DateTimeStart(time.UTC)
			if err != nil || seen[uid] || uid != want.Event.UID ||
				want.Event.AllDay && at.Format(time.DateOnly) != want.Event.Start.Format(time.DateOnly) ||
				!want.Event.AllDay && !at.Equal(want.Event.Start.Truncate(time.Second)) {
				t.Errorf("%d: %s %v is read back as %v, %v", n, uid, want.Event, at, err)
			}
			seen[uid] = true
			heldToWaking(t, &want, house, now)
			if want.Kind == due.Use && !want.At.Before(now) && want.Event.Alarm == nil {
				t.Errorf("%d: %s rings not", n, want.Event.Summary)
			}
		}
		agree(t, n, g, list)
	}
	for _, k := range []due.Kind{due.Start, due.PutIn, due.Taste, due.Pull, due.Strain, due.Bottle,
		due.Rested, due.AtBest, due.Use} {
		if kinds[k] < 3 {
			t.Errorf("only %d times %s", kinds[k], k)
		}
	}
}

// TestWhatHurtsRings: of all that is told of at one moment the use-by of each bottle rings, wherever it stands,
// and where there is none the first of it.
func TestWhatHurtsRings(t *testing.T) {
	kinds := []due.Kind{due.Rested, due.AtBest, due.Use, due.Taste, due.Use, due.Bottle, due.StrainBy}
	for n := range somejar.Many(50) {
		r, nine := rand.New(rand.NewPCG(n, 5)), 9*time.Hour
		list, hurts := make([]Entry, 1+r.IntN(5)), 0
		for i := range list {
			list[i].Kind = kinds[r.IntN(len(kinds))]
			list[i].Event = ical.Event{Start: time.Date(2026, 12, 6, 0, 0, 0, 0, time.UTC), AllDay: true, Alarm: &nine}
			if list[i].Hurts() {
				hurts++
			}
		}
		ring(list)
		for i := range list {
			rings := list[i].Event.Alarm != nil
			if want := list[i].Hurts() || hurts == 0 && i == 0; rings != want {
				t.Errorf("%d: number %d of %d, %s, rings: %v", n, i+1, len(list), list[i].Kind, rings)
			}
		}
	}
}

// heldToWaking: what rings rings when somebody is up, and what is due today not before now.
func heldToWaking(t *testing.T, e *Entry, h *batch.House, now time.Time) {
	t.Helper()
	if e.Event.Alarm == nil {
		return
	}
	at := e.Event.Start.Add(*e.Event.Alarm)
	if e.Event.AllDay {
		at = day(e.Event.Start, *e.Event.Alarm)
	}
	if sameDay(e.Event.Start, now) && e.Event.AllDay && at.Before(now) {
		t.Errorf("%s rings at %v, which is over at %v", e.Event.Summary, at, now)
	}
	if before, after := h.Up(at); !before.Equal(after) {
		if !sameDay(e.Event.Start, at) || *e.Event.Alarm != 0 { // what is due this minute is told this minute
			t.Errorf("%s rings at %v", e.Event.Summary, at)
		}
	}
}

func agree(t *testing.T, n uint64, g *due.Glance, list []Entry) {
	t.Helper()
	a := g.Assessment
	find := func(k due.Kind, what string) *Entry {
		for i := range list {
			if e := &list[i]; e.Kind == k && strings.Join(e.What, "") == what {
				return e
			}
		}
		return nil
	}
	if g.Due.Kind == due.Discard {
		if len(list) != 1 || list[0].Kind != due.Discard {
			t.Errorf("%d: it must not be kept, and has %d events", n, len(list))
		}
		return
	}
	if g.Stage == due.Steeping || g.Stage == due.Planned {
		for i := range a.Curves {
			c := &a.Curves[i]
			e := find(due.Pull, c.Name)
			if text := words(label.Words(a, label.ForJar, quantity.Metric)); e != nil && e.Forecast && c.Order.Do == jar.Taste &&
				c.Order.BestH > a.ElapsedH && strings.Contains(text, "ull "+c.Name+" about") &&
				!strings.Contains(text, c.Name+" about "+quantity.Say(pen.Stamp(e.At, 24), quantity.Metric)) {
				t.Errorf("%d: %s is pulled at %v by the calendar, on the label\n%s", n, c.Name, e.At, text)
			}
		}
		// What the book says comes next is an event at that moment, and on the jar's label.
		d := g.Due
		if d.Kind == due.Taste || d.Kind == due.PutIn {
			e := find(d.Kind, strings.Join(d.What, ""))
			if e == nil || !d.Overdue && !e.At.Equal(d.At) {
				t.Errorf("%d: the book says %+v, the calendar %+v", n, d, e)
			} else if d.Kind == due.Taste && !d.Overdue && d.DoubtH <= 6 &&
				d.At.After(a.Now.Add(time.Hour)) &&
				!strings.Contains(words(label.Words(a, label.ForJar, quantity.Metric)),
					quantity.Say(pen.Stamp(e.At, d.DoubtH), quantity.Metric)) {
				t.Errorf("%d: %v is not on the label\n%s", n, e.At, words(label.Words(a, label.ForJar,
					quantity.Metric)))
			}
		}
		return
	}
	if g.Until.IsZero() || !a.Keep.OfBottle(g.Until) {
		return
	}
	var keep strings.Builder
	if err := bottle.Keep(view.NewPage(&keep, pen.Style{JSON: true}), a, false); err != nil {
		t.Fatal(err)
	}
	if at := g.Until.Format(time.RFC3339); !strings.Contains(keep.String(), `"until": "`+at) {
		t.Errorf("%d: %s is not what keep says", n, at)
	}
	kind := due.Use
	if g.Flavour {
		kind = due.AtBest
	}
	e := find(kind, "")
	day := g.Until.Format("2 Jan 2006")
	if e == nil || e.Event.Start.Format("2 Jan 2006") != day {
		t.Errorf("%d: it keeps to %s, the calendar says %+v", n, day, e)
	}
	if !a.Keep.SafePast && !strings.Contains(words(label.Words(a, label.ForBottle, quantity.Metric)), day) {
		t.Errorf("%d: %s is not on the label\n%s", n, day, words(label.Words(a, label.ForBottle,
			quantity.Metric)))
	}
}

const told = `name = "Clove; and, more"
started = 2026-11-20T18:00:00
[spirit]
name = "vodka"
abv = 40
amount = "500 ml"
[[botanical]]
name = "clove"
amount = "2 g"
target = 4
[[addition]]
name = "sugar"
amount = "200 g"
`

// TestImportMoves: after a tasting the same things have the same UID at their new moments,
// and a later calendar has the higher sequence.
func TestImportMoves(t *testing.T) {
	now := time.Date(2026, 11, 20, 19, 0, 0, 0, time.UTC)
	before := entries(t, assess(t, told, now, nil))
	after := entries(t, assess(t, told+"[[tasting]]\nat = \"2 h\"\nscore = { clove = 0.5 }\n",
		now.Add(2*time.Hour), nil))
	at := map[string]time.Time{}
	for _, e := range before {
		at[e.Event.UID] = e.At
	}
	moved := 0
	for _, e := range after {
		was, ok := at[e.Event.UID]
		if !ok {
			t.Errorf("%s is new", e.Event.Summary)
		}
		if !was.Equal(e.At) {
			moved++
		}
	}
	if moved < 2 || len(before) != len(after) {
		t.Errorf("%d of %d moved, %d before", moved, len(after), len(before))
	}
	pulled := entries(t, assess(t, told+"[[pulled]]\nname = \"clove\"\nat = \"3 h\"\n",
		now.Add(4*time.Hour), nil))
	found := false
	for _, e := range pulled {
		found = found || e.Done && e.Kind == due.Pull && !at[e.Event.UID].IsZero() &&
			e.At.Equal(now.Add(2*time.Hour)) && e.Event.Alarm == nil
	}
	if !found {
		t.Errorf("the pull did not move to where it happened: %+v", pulled)
	}
}

// TestRenamed: a batch with an id has the same UIDs under another name and in another file;
// the next batch, made of a copy of its file, has others, and so has one of the same minute.
func TestRenamed(t *testing.T) {
	now := time.Date(2026, 11, 20, 19, 0, 0, 0, time.UTC)
	of := func(file, src string) (uids []string) {
		b, err := batch.Parse(file, []byte(src), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			t.Fatal(err)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries(t, &g) {
			uids = append(uids, e.Event.UID)
		}
		return uids
	}
	id := func(file string) string {
		return told[:strings.Index(told, "[")] + "id = \"" + batch.NewID(file, "Jar", "2026-11-20T18:00:00") + "\"\n" +
			told[strings.Index(told, "["):]
	}
	renamed := strings.Replace(id("a.toml"), "name = \"", "name = \"My ", 1)
	next := strings.Replace(id("a.toml"), "started = 2026-11-20", "started = 2026-11-21", 1)
	first := of("a.toml", id("a.toml"))
	if got := of("b.toml", renamed); !slices.Equal(first, got) {
		t.Errorf("renamed it is another: %q, %q", first, got)
	}
	for file, src := range map[string]string{"c.toml": next, "d.toml": id("d.toml")} {
		for _, uid := range of(file, src) {
			if slices.Contains(first, uid) {
				t.Errorf("%s has the UID %s of another batch", file, uid)
			}
		}
	}
}

// TestOverdue: what is overdue rings now, and what hangs on it is not foreseen in the past.
func TestOverdue(t *testing.T) {
	now := time.Date(2027, 1, 20, 19, 0, 0, 0, time.UTC)
	src := told + "[[tasting]]\nat = \"4 h\"\nscore = { clove = 7 }\n"
	late := false
	for _, e := range entries(t, assess(t, src, now, nil)) {
		late = late || e.Overdue
		if !e.Done && e.end().Before(now) {
			t.Errorf("%s at %v", e.Event.Summary, e.Event.Start)
		}
	}
	if !late {
		t.Error("nothing is overdue")
	}
}

// TestAutumn: a jar started before clocks go back in Vienna on 25 October 2026 is due by
// elapsed hours, and a day is the day of the wall.
func TestAutumn(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Skip(err)
	}
	src := strings.Replace(told, "2026-11-20T18:00:00", "2026-10-24T20:00:00", 1) +
		"[[botanical]]\nname = \"star anise\"\namount = \"2 g\"\nin = \"8 h\"\n"
	now := time.Date(2026, 10, 24, 20, 30, 0, 0, vienna)
	for _, e := range entries(t, assess(t, src, now, nil)) {
		if e.Kind == due.PutIn {
			// 20:00 CEST and 8 hours is 4:00 CEST, which the clocks call 3:00.
			if want := time.Date(2026, 10, 25, 2, 0, 0, 0, time.UTC); !e.Event.Start.Equal(want) ||
				e.Event.Start.Format("15:04") != "03:00" {
				t.Errorf("it goes in at %v, want %v", e.Event.Start, want)
			}
			if ring := e.Event.Start.Add(*e.Event.Alarm); ring.Format("2 15:04") != "24 23:00" {
				t.Errorf("it rings at %v", ring)
			}
		}
	}
}

// TestBackFromADay: what is planned back is bottled in time to rest and not sooner than its
// taste lasts, the earlier start is the surer one, and started then the forward dates of
// the same jar are in time.
func TestBackFromADay(t *testing.T) {
	ready := time.Date(2026, 12, 20, 12, 0, 0, 0, time.UTC)
	juice := "[[addition]]\nname = \"orange juice\"\namount = \"150 ml\"\n"
	slow := "[[botanical]]\nname = \"gentian root\"\namount = \"4 g\"\ntarget = 4\n"
	for _, more := range []string{"", juice, slow + juice} {
		g := assess(t, told+more, time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC), nil)
		p, err := g.Back(ready)
		if err != nil {
			t.Fatal(err)
		}
		if p.Late > 0.06 || p.LateBy > 0.26 || p.Late > p.LateBy || p.Start.After(p.By) || p.TooLate {
			t.Errorf("%+v", p)
		}
		if p.Bottle.AddDate(0, 0, p.RestDays).After(ready) || !p.Best.IsZero() &&
			p.Best.Before(ready.Add(-12*time.Hour)) {
			t.Errorf("bottled %v, rested %d days, best by %v for %v", p.Bottle, p.RestDays, p.Best, ready)
		}
		if best := dateOfKind(p.Dates, due.AtBest); best != nil && best.At.Before(day(ready, 0)) {
			t.Errorf("bottled on %v with %q, it is at its best to %v", p.Bottle, more, best.At)
		}
		soon := time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)
		sooner, err := g.Back(soon)
		if err != nil || !sooner.TooLate || !sooner.Earliest.After(soon) {
			t.Errorf("%+v, %v", sooner, err)
		}
	}
	// The steep of a plan is that of the batch itself.
	g := assess(t, told+slow, time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC), nil)
	p, err := g.Back(ready)
	if err != nil {
		t.Fatal(err)
	}
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	own, planned := dateOfKind(dates, due.Strain), dateOfKind(p.Dates, due.Strain)
	if got, want := planned.At.Sub(p.Start), own.At.Sub(g.Assessment.Batch.Started); got != want {
		t.Errorf("it steeps for %v by the plan, %v by its own dates", got, want)
	}
}
