package bookshelf

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// waiting is a random jar that was strained, with something still to go in, with or without a day that it is
// for, and with the hours at which it is asked about; what of the rest is logged is in the log.
func waiting(number uint64) (src string, rest []string, now []time.Time) {
	m := rand.New(rand.NewPCG(number, 0x3a17))
	j := somejar.New(number)
	for _, b := range j.Botanicals {
		j.Now = max(j.Now, b.In+1)
	}
	for _, p := range j.Pulls {
		j.Now = max(j.Now, p.At)
	}
	j.Life = append(j.Life, somejar.Entry{Table: "strained", At: j.Now})
	strained := somejar.Time(j.Now)
	for _, a := range j.Additions {
		rest = append(rest, fmt.Sprintf("name = %q\namount = %q\n", a.Name, a.Amount))
	}
	for _, a := range []somejar.Addition{{Name: "cream", Amount: "200 ml"}, {Name: "orange juice", Amount: "150 ml"},
		{Name: "sugar", Amount: "120 g"}, {Name: "lemon juice", Amount: "60 ml"}, {Name: "honey", Amount: "60 g"}} {
		if m.IntN(2) == 0 {
			continue
		}
		j.Additions = append(j.Additions, a)
		entry := somejar.Entry{Table: "added", Keys: fmt.Sprintf("name = %q\namount = %q\n", a.Name, a.Amount), At: j.Now + 30}
		if m.IntN(3) == 0 {
			j.Life = append(j.Life, entry)
		} else {
			rest = append(rest, entry.Keys)
		}
	}
	src = strings.Replace(j.String(), "abv = 40", fmt.Sprintf("abv = %d", 18+8*m.IntN(6)), 1)
	if m.IntN(2) == 0 {
		src = "ready = " + strained.AddDate(0, 0, 2+m.IntN(60)).Format(time.DateOnly) + "\n" + src
	}
	for range 3 {
		now = append(now, strained.Add(time.Hour*time.Duration(1+m.IntN(40*24))))
	}
	slices.SortFunc(now, time.Time.Compare)
	return src, rest, now
}

// TestWhatWaitsHasOneDayInEveryView: what waits has one day in keep, in the book, in both for programs and among
// its dates, whatever of the rest was logged, with a plan and without; while it waits for the day of its plan that
// does not move, and what is bottled as it was planned has it too, at whatever hour of that day. What may be in it is the same with a
// plan and without, and what keeps in the cold alone keeps in no warm fridge.
func TestWhatWaitsHasOneDayInEveryView(t *testing.T) {
	seen := map[string]int{}
	for number := range somejar.Either[uint64](24, 2400) {
		number += 12 // of the first ones none is in the warm
		src, rest, hours := waiting(number)
		warm := 9.0
		fridge := &batch.House{FridgeC: &warm}
		house := []*batch.House{nil, nil, fridge, fridge, {Rule: "ours", MaxAgeDays: 30}}[number%5]
		planned := due.Expected{}
		for _, now := range hours {
			g := lookAt(t, src, now, house)
			a := g.Assessment
			k := a.Keep
			for _, x := range a.Batch.Additives { // it is good on the day it is mixed
				if house != fridge || x.Name != "cream" || now.Format(time.DateOnly) == x.When.Format(time.DateOnly) {
					continue
				}
				over := k.SafePast || k.Withheld() || g.Due.Kind == due.Discard
				if seen["in the warm"]++; !g.MustAct() || !over {
					t.Errorf("jar %d on %v: cream at %g °C is not over: %+v\n%s", number, now, warm, g.Due, src)
				}
			}
			if g.Stage != due.Strained || k.Withheld() || g.Due.Kind == due.Discard || g.Due.Kind == due.Use {
				continue
			}
			wrong := func(format string, args ...any) {
				t.Errorf("jar %d on %v: "+format+"\n%s", append(append([]any{number, now}, args...), src)...)
			}
			e := g.Expected()
			dates, err := g.Dates()
			if err != nil {
				t.Fatal(err)
			}
			var best, use time.Time
			for _, d := range dates {
				switch d.Kind {
				case due.AtBest:
					best = d.At
				case due.Use:
					use = d.At
				case due.Bottle:
					if !e.Bottled.IsZero() && d.At.Before(e.Bottled) {
						wrong("bottled on %v, by its plan on %v", d.At, e.Bottled)
					}
				}
			}
			if !best.Equal(e.Best) || !use.Equal(e.Safe) {
				wrong("its dates are %v and %v, expected is %+v", best, use, e)
			}
			plain := g
			if _, rest, is := strings.Cut(src, "\n"); is && strings.HasPrefix(src, "ready = ") {
				plain = lookAt(t, rest, now, house)
			}
			doubt := plain.Assessment.Keep
			if !k.IfMixedSafe.Equal(doubt.IfMixedSafe) {
				wrong("all in it is good until %v, without its day until %v", k.IfMixedSafe, doubt.IfMixedSafe)
			}
			events := ""
			for _, x := range calendar.Entries(&g, dates, quantity.Metric, nil) {
				events += x.Event.Summary + "\n" + x.Event.Description + "\n"
			}
			style := pen.Style{Units: quantity.Metric}
			keep := bottle.KeepScreen(a, style)
			rows := ""
			for _, row := range keep.Rows {
				rows += strings.Join(row, " ") + "\n"
			}
			said := map[string]string{"keep": strings.Join(slices.Concat(keep.Say, keep.Danger, keep.Due), " ") + rows}
			shelf := &book.Shelf{Now: now, Batches: []due.Glance{g}}
			for _, r := range Rows(shelf, style) {
				said["book"] += r.When + " " + r.What
			}
			if said["calendar"] = events; doubt.OverIfMixed {
				seen[fmt.Sprint("over, told by its plan: ", !k.OverIfMixed)]++
				l := label.Words(a, label.ForBottle, quantity.Metric)
				said["label"] = l.Stop
				for _, line := range l.Lines {
					said["label"] += " " + line.Text
				}
				for name, text := range said {
					if !regexp.MustCompile(`(?i)(if|whether) (all|the) .*( in|went)`).MatchString(text) {
						wrong("%s does not say what is over if the rest is in:\n%s", name, text)
					}
				}
			}
			if !e.Safe.IsZero() && g.Aim != nil && e.Safe.Before(g.Aim.Ready.AddDate(0, 0, -1)) &&
				strings.Contains(aimText(&g), "likelier") {
				wrong("it keeps until %v, for its day it says %s", e.Safe, aimText(&g))
			}
			_, until, sound := strings.Cut(aimText(&g), "use by ")
			if sound && !strings.HasPrefix(until, view.DateOf(e.Safe, now)) {
				wrong("it keeps until %v, for its day it says %s", e.Safe, until)
			}
			for name, text := range said {
				if name == "calendar" || name == "label" {
					continue
				}
				day := quantity.Say(view.DateOf(e.Safe, now), quantity.Metric)
				if !e.Safe.IsZero() && !k.OverIfMixed && !strings.Contains(text, "use by "+day) && g.Due.Kind != due.Stand &&
					(e.Doubt || !e.Bottled.IsZero()) {
					wrong("%s does not say %q:\n%s", name, day, text)
				}
			}
			if day := e.Safe.Format("Monday 2 January"); !e.Safe.IsZero() && !strings.Contains(events, "se by "+day) { // first of all what is to be done before
				wrong("the calendar does not say %q:\n%s", day, events)
			}
			one, other := untilOf(t, bottle.KeepJSON(a), "expected", "until"),
				untilOf(t, bookJSON(shelf), "batches", "0", "expected", "until")
			if one != other || (one == "null") != e.Safe.IsZero() {
				wrong("keep has %s for programs and the book %s, expected is %v", one, other, e.Safe)
			}
			switch {
			case k.OverIfMixed && !g.MustAct():
				wrong("its doubt is over and nobody is told")
			case e.Bottled.IsZero():
				seen[fmt.Sprint("doubt: ", e.Doubt)]++
				if _, sound := k.SealedDays(); !g.Due.Overdue && g.Due.By && !g.Due.At.Equal(sound) {
					wrong("the book has %+v, what is in it is sound to %v", g.Due, sound)
				}
				continue
			}
			seen["planned"]++
			if now.Before(planned.Bottled.Add(12*time.Hour)) && planned != e { // till its day is over
				wrong("its plan was %+v and is %+v", planned, e)
			}
			if planned = e; e.Bottled.Before(now) || len(rest) == 0 {
				continue
			}
			for _, clock := range []time.Duration{0, 18 * time.Hour, 24*time.Hour - time.Minute} {
				when := e.Bottled.Truncate(24 * time.Hour).Add(clock)
				if when.Before(now) {
					continue
				}
				at, follows := "at = "+when.Format("2006-01-02T15:04:05")+"\n", src
				for _, keys := range rest {
					follows += "[[added]]\n" + keys + at
				}
				filled := lookAt(t, follows+"[[bottled]]\n"+at, when, house)
				until := filled.Assessment.Keep.Safe.Until
				if !filled.Assessment.Keep.Withheld() && until.Format(time.DateOnly) != e.Safe.Format(time.DateOnly) {
					wrong("bottled on %v as it was planned it is sound to %v, planned was %v", when, until, e.Safe)
				}
			}
		}
	}
	for _, kind := range []string{"doubt: true", "doubt: false", "planned", "in the warm",
		"over, told by its plan: true"} {
		if seen[kind] < somejar.Either(4, 10) {
			t.Errorf("seen: %v", seen)
		}
	}
}

func aimText(g *due.Glance) string {
	if g.Aim == nil {
		return ""
	}
	return view.AimWords(g.Aim, g.Assessment.Now)
}

func lookAt(t *testing.T, src string, now time.Time, house *batch.House) due.Glance {
	t.Helper()
	a, err := bench.Read(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: now, House: house})
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	g, err := due.Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return g
}
