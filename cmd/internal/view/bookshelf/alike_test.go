package bookshelf

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// delicate is a random jar with what spoils, egg, cream, milk and juice among it, strained or not, with some
// of that logged, more spirit or milk poured in later, bottled at once or in turns, with bottles opened,
// and with moments at which it is asked about.
func delicate(number uint64) (src string, now []time.Time) {
	m := rand.New(rand.NewPCG(number, 0xa11c))
	j := somejar.New(number)
	j.Botanicals, j.Tastings, j.Pulls, j.Watches = j.Botanicals[:1], nil, nil, nil // whose fits take long
	const hour, day = 60, 24 * 60
	put := func(table, keys string) {
		j.Life = append(j.Life, somejar.Entry{Table: table, Keys: keys, At: j.Now})
	}
	later := func(minutes int) { j.Now += 1 + m.IntN(minutes) }
	in := func(name, amount string) string { return fmt.Sprintf("name = %q\namount = %q\n", name, amount) }
	for _, a := range []somejar.Addition{{Name: "raw egg", Amount: "3"}, {Name: "egg yolk", Amount: "4"},
		{Name: "egg white", Amount: "60 g"}, {Name: "cream", Amount: "200 ml"},
		{Name: "milk", Amount: "300 ml"}, {Name: "condensed milk", Amount: "200 g"},
		{Name: "orange juice", Amount: "150 ml"}, {Name: "sugar", Amount: "150 g"},
		{Name: "almond milk", Amount: "150 ml"}} {
		if m.IntN(6) == 0 {
			j.Additions = append(j.Additions, a)
		}
	}
	if m.IntN(4) > 0 {
		later(2 * day)
		put("strained", "")
		for _, a := range j.Additions {
			if m.IntN(3) > 0 {
				later(hour)
				put("added", in(a.Name, a.Amount))
			}
		}
		if m.IntN(3) == 0 {
			later(9 * day)
			put("added", [...]string{in("vodka", "200 ml"), in("milk", "100 ml"), in("water", "200 ml"),
				in("cream", "100 ml")}[m.IntN(4)])
		}
	}
	if m.IntN(5) > 1 {
		later(4 * day)
		n := 1 + m.IntN(3)
		put("bottled", [...]string{"", fmt.Sprintf("bottles = %d\nof = \"150 ml\"\n", n)}[m.IntN(2)])
		if m.IntN(2) == 0 { // and often as another drink, for something joined what was left over
			if later(5 * day); m.IntN(2) == 0 {
				put("added", in([...]string{"egg yolk", "lime juice", "milk"}[m.IntN(3)], "40 g"))
				later(day)
			}
			put("bottled", "bottles = 2\nof = \"100 ml\"\n")
		}
		if m.IntN(2) == 0 {
			later(20 * day)
			put("opened", "")
			if m.IntN(3) == 0 {
				later(3 * day)
				put("added", in("milk", "50 ml")+"bottle = 1\n")
			}
			if m.IntN(4) == 0 {
				later(9 * day)
				put("emptied", [...]string{"", "bottle = 1\n"}[m.IntN(2)])
			}
		}
	}
	last := somejar.Time(j.Now)
	for _, days := range []int{1, 9, 90} {
		now = append(now, last.Add(time.Hour*time.Duration(m.IntN(24*days))))
	}
	src = strings.Replace(j.String(), "abv = 40", fmt.Sprintf("abv = %d", 18+9*m.IntN(8)), 1)
	if m.IntN(4) == 0 {
		src = "ready = " + somejar.Time(j.Now).AddDate(0, 0, 1+m.IntN(40)).Format(time.DateOnly) + "\n" + src
	}
	return src, now
}

// eachDay holds the days of each bottle: every one that holds something has one, which its own label and row
// of the log have, and keep, the book and the calendar name those that are past it, or have a day that others
// have not.
func eachDay(a *bench.Assessment, shelf *book.Shelf, events string, wrong func(string, ...any)) {
	k, style := a.Keep, pen.Style{Units: quantity.Metric, Forms: true}
	day := map[int]*keeping.Lot{}
	for _, x := range k.Lots() {
		for _, number := range x.Numbers {
			if _, twice := day[number]; twice {
				wrong("bottle %d has two days", number)
			}
			day[number] = x
			if own := a.Drink(number).Keep; !own.Advised.Until.Equal(x.Until) || !own.Safe.Until.Equal(x.Safe) {
				wrong("bottle %d: by itself to %v and %v, else to %v", number, own.Advised.Until, own.Safe.Until, x)
			}
		}
		words := "by " + x.Until.Format("Monday 2 January") + ", " + view.Names(x.Numbers)
		if n := len(x.Numbers); n < k.Sealed() && x.Numbers[0] > 0 && len(k.Open) == 0 && !x.Until.IsZero() &&
			k.OfBottle(x.Until) && !a.NotToServe() && !strings.Contains(events, words) {
			wrong("the calendar does not say %s:\n%s", words, events)
		}
	}
	var over, sound []int
	for _, x := range a.Bottles().List {
		if of, is := day[x.Number]; is && of.Over(a.Now) {
			over = append(over, x.Number)
		} else if is {
			sound = append(sound, x.Number)
		} else if x.Emptied == nil && k.EmptiedAt.IsZero() && (x.Bottled != nil || x.Opened != nil) {
			wrong("bottle %d has no day", x.Number)
		}
	}
	if _, left := day[bench.LeftOver]; left || over == nil || sound == nil || !k.SafePast || k.EndsByAir() {
		return
	}
	inKeep, inBook := bottle.KeepScreen(a, style).Say[0], strings.Join(neverServe(shelf.Batches, style), " ")
	if words := view.Names(over); !strings.HasPrefix(inKeep, "Do not serve "+words+": ") ||
		!strings.Contains(inBook, ", "+words+" ("+view.Names(sound)) {
		wrong("past their day are %s: %q and %q", words, inKeep, inBook)
	}
}

// TestOneAnswerInEveryView: of jars with what spoils, what hurts, the place and the last day are one in keep,
// in the book, in both and the blend for programs, on the label and in the calendar.
func TestOneAnswerInEveryView(t *testing.T) {
	seen := map[string]int{}
	warm := 9.0
	houses := []*batch.House{nil, nil, {FridgeC: &warm}, {FridgeAlways: true},
		{Rule: "ours", MaxAgeDays: 30, UseWithinDays: 3}}
	given := map[uint64]string{ // which waits in a house with a rule, and whose days were over in the jar
		4: begun + "[spirit]\nabv = 40\n" + amount("300 ml") + "\n" +
			line("botanical", "lemon zest", amount("10 g")) + line("addition", "sugar", amount("100 g")) +
			line("addition", "water", amount("100 g")) + "[[strained]]\nat = \"39 h\"\n",
		5: begun + "[spirit]\nabv = 18\n" + amount("700 ml") + "\n" +
			line("botanical", "quince", amount("430 g")+"\nleave_in = true") +
			line("addition", "condensed milk", amount("200 g")) + "[[bottled]]\nat = \"360 h\"\n",
	}
	for number := range somejar.Many(60) {
		src, hours := delicate(number)
		if jar, is := given[number]; is {
			src, hours = jar, []time.Time{after(16 * 24), after(50 * 24)}
		}
		for _, now := range hours {
			g := lookAt(t, src, now, houses[number%5])
			a := g.Assessment
			k := a.Keep
			wrong := func(format string, args ...any) {
				t.Errorf("jar %d on %v: "+format+"\n%s", append(append([]any{number, now}, args...), src)...)
			}
			style := pen.Style{Units: quantity.Metric}
			inKeep, shelf := bottle.KeepJSON(a), &book.Shelf{Now: now, Batches: []due.Glance{g}}
			inBook := func(path ...string) string {
				return untilOf(t, bookJSON(shelf), append([]string{"batches", "0"}, path...)...)
			}
			for name, same := range map[string][2]string{
				"dangers in keep":  {inBook("danger"), untilOf(t, inKeep, "danger")},
				"dangers in blend": {inBook("danger"), untilOf(t, bottle.BlendJSON(a, nil), "danger")},
				"last day":         {inBook("keep", "until"), untilOf(t, inKeep, "advised", "until")},
				"verdict":          {inBook("keep", "verdict"), untilOf(t, inKeep, "verdict")},
			} {
				if g.Stage != due.Finished && same[0] != same[1] {
					wrong("%s: the book has %s and not %s", name, same[0], same[1])
				}
			}
			kind, err := label.Of(a)
			if (err != nil) != (g.Stage == due.Finished) {
				wrong("%s, and its label says %v", g.Stage, err)
			}
			if err != nil {
				seen["finished"]++
				continue
			}
			l := label.Words(a, kind, quantity.Metric)
			said := map[string]string{"keep": bottle.KeepScreen(a, style).Say[0],
				"the book": quantity.Say(keepsWords(&g, now, style), quantity.Metric)}
			if kind == label.ForBottle {
				for _, line := range l.Lines {
					said["the label"] += line.Text + "\n"
				}
			}
			dates, err := g.Dates()
			if err != nil {
				t.Fatal(err)
			}
			events := ""
			for _, x := range calendar.Entries(&g, dates, quantity.Metric, nil) {
				events += x.Event.Summary + "\n"
			}
			if lots := k.Lots(); len(lots) > 0 && !k.Withheld() {
				eachDay(a, shelf, events, wrong)
				seen["days"] += min(len(k.Rest)-1, 1)
			}
			stop := len(bottle.Begin(a).Say) > 0
			thrown := g.Due.Kind == due.Discard || g.Due.Kind == due.Use && g.Due.Overdue
			others := k.Sealed() > 0 && (!k.OpenedAt.IsZero() || len(k.Rest) > 1) // whose label it is
			if stop != thrown || !others && (l.Stop != "") != (stop || k.OverIfMixed) {
				wrong("stopped: %v, the book has %+v and the label %q", stop, g.Due, l.Stop)
			}
			if stop || k.OverIfMixed || k.ForTheDay() {
				seen[fmt.Sprint("stopped: ", stop)]++
				continue
			}
			place, day := k.Advises(), k.Advised.Until
			seen[place]++
			for name, text := range said {
				words := strings.TrimPrefix(view.DateOf(day, now), "on ")
				if name == "the label" {
					words = day.Format("2~Jan 2006")
				}
				over := name == "the label" && (others || !k.OfBottle(day) || day.Before(k.OpenedAt))
				if !day.IsZero() && !over && !strings.Contains(text, quantity.Say(words, quantity.Metric)) {
					wrong("%s does not say %s: %q", name, words, text)
				}
				if !k.Past && !(name == "the label" && others) && !strings.Contains(text, place) {
					wrong("%s does not say %s: %q", name, place, text)
				}
			}
			words := "by " + day.Format("Monday 2 January")
			if g.Stage == due.Bottled && !day.IsZero() && !k.Past && k.OfBottle(day) &&
				!strings.Contains(events, words) {
				wrong("the calendar does not say %s:\n%s", words, events)
			}
		}
	}
	for _, kind := range []string{"fridge", "shelf", "finished", "stopped: true", "stopped: false", "days"} {
		if seen[kind] < 3 {
			t.Errorf("seen: %v", seen)
		}
	}
}
