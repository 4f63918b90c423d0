package bookshelf

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/cmd/internal/view/label"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
)

// partLog is something that went in, at an hour since the start.
type partLog struct {
	name string
	n    int
	unit string
	at   time.Time
}

func (x *partLog) String() string {
	return fmt.Sprintf("[[added]]\nname = %q\namount = \"%d%s\"\nat = %s\n", x.name, x.n, x.unit, clock(x.at))
}

func clock(t time.Time) string { return t.Format("2006-01-02T15:04:05") }

// inParts is a random jar with raw egg that goes in at one, two or three times, before, with or after sugar and
// cream in one or two parts, some of it before it is strained; what it is, when it is strained, and the log.
func inParts(m *rand.Rand) (src string, strained time.Time, log []partLog) {
	start := time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC)
	abv, room := []int{22, 30, 40, 60, 60, 60}[m.IntN(6)], []int{6, 20, 20, 24}[m.IntN(4)]
	cream := []int{120, 240, 240, 900}[m.IntN(4)]
	src = fmt.Sprintf("name = \"Egg\"\nstarted = %s\nroom = \"%d C\"\n[spirit]\nname = \"spirit\"\nabv = %d\namount = \"500 ml\"\n"+
		"[[botanical]]\nname = \"vanilla\"\ncut = \"split\"\namount = \"1 bean\"\n"+
		"[[addition]]\nname = \"egg yolk\"\namount = \"8\"\n[[addition]]\nname = \"sugar\"\namount = \"200 g\"\n"+
		"[[addition]]\nname = \"cream\"\namount = \"%d ml\"\n", clock(start), room, abv, cream)
	strained = start.Add(time.Duration(12+m.IntN(36)) * time.Hour)
	when := func() time.Time {
		return strained.Add(time.Duration(m.IntN(10*24)-12*m.IntN(2)) * time.Hour)
	}
	for i, n := range [][]int{{8}, {4, 4}, {3, 3, 2}}[m.IntN(3)] {
		if i == 0 || m.IntN(3) > 0 {
			log = append(log, partLog{"egg yolk", n, "", when()})
		}
	}
	for _, x := range []partLog{{"sugar", 100, " g", when()}, {"sugar", 100, " g", when()},
		{"cream", cream / 2, " ml", when()}, {"cream", cream / 2, " ml", when()}} {
		if m.IntN(5) < 2 && x.at.After(strained) {
			log = append(log, x)
		}
	}
	slices.SortStableFunc(log, func(x, y partLog) int { return x.at.Compare(y.at) })
	return src, strained, log
}

// TestWhatIsInCountsInParts: of a drink of which a part is in and the rest waits, every view tells one day, and none
// that is later than what its bottles would be told, as it is, with the rest untold, or with the rest in now; as long as
// nothing new is logged no day comes later, and egg and spirit stand alone to one day.
func TestWhatIsInCountsInParts(t *testing.T) {
	seen := map[string]int{}
	for number := range somejar.Either[uint64](60, 900) {
		m := rand.New(rand.NewPCG(number, 0xe66))
		src, strained, log := inParts(m)
		entries := len(log)
		if m.IntN(2) == 0 {
			entries = m.IntN(len(log) + 1)
		}
		src += fmt.Sprintf("[[strained]]\nat = %s\n", clock(strained))
		last := strained
		for _, x := range log[:entries] {
			src += x.String()
			last = later(last, x.at)
		}
		var told, alone time.Time
		for _, h := range []int{0, 1 + m.IntN(20), 24 + m.IntN(48), 80 + m.IntN(100), 300 + m.IntN(200)} {
			now := last.Add(time.Duration(h) * time.Hour)
			g := lookAt(t, src, now, nil)
			a := g.Assessment
			k := a.Keep
			wrong := func(format string, args ...any) {
				t.Errorf("jar %d on %v: "+format+"\n%s", append(append([]any{number, now}, args...), src)...)
			}
			if k.Withheld() || g.Stage != due.Strained || g.Due.Kind == due.Discard || k.SafePast {
				seen["over"]++
				continue
			}
			if alone != k.Alone && !k.Alone.IsZero() && !alone.IsZero() {
				wrong("egg and spirit alone until %v, before that %v", k.Alone, alone)
			}
			if alone = k.Alone; !alone.IsZero() {
				seen["alone"]++
			}
			is := k.Safe.Until
			e := g.Expected()
			if is.IsZero() {
				is = e.Safe
			}
			if !is.Equal(e.Safe) {
				wrong("it is told to be good until %v, expected until %v", is, e.Safe)
			}
			if !told.IsZero() && is.After(told) {
				wrong("good until %v, before that until %v", is, told)
			}
			told = is
			inEveryView(&g, is, wrong)
			if k.OverIfMixed {
				seen["asked"]++
				continue
			}
			if a.Waits() {
				seen["waits"]++
			}
			if !k.Alone.IsZero() {
				continue // nobody who is told to wait bottles it
			}
			bottled := fmt.Sprintf("[[bottled]]\nat = %s\n", clock(now))
			full := src
			for i := range a.Recipe.ToCome {
				x := a.Recipe.ToCome[i].Entry
				full += fmt.Sprintf("[[added]]\nname = %q\namount = %q\nat = %s\n", x.Name, x.Amount.String(), clock(now))
			}
			asItIs := src
			for _, name := range []string{"egg yolk", "sugar", "cream"} {
				asItIs = corrected(asItIs, name, log[:entries])
			}
			for name, text := range map[string]string{"the rest untold": src, "the rest in": full, "as it is": asItIs} {
				b := lookAt(t, text+bottled, now, nil).Assessment.Keep
				if seen[name]++; !b.Safe.Until.IsZero() && !k.Safe.Until.IsZero() && is.After(b.Safe.Until) &&
					(name != "the rest in" || !b.Verdict.Fails) { // what is for its day is so from when it is mixed
					wrong("good until %v, bottled now with %s until %v", is, name, b.Safe.Until)
				}
			}
		}
	}
	for _, kind := range []string{"alone", "waits", "asked", "over", "the rest in"} {
		if seen[kind] < somejar.Either(3, 100) {
			t.Errorf("seen: %v", seen)
		}
	}
}

// corrected is a file in which no more of something is planned than is in it.
func corrected(src, name string, log []partLog) string {
	n, unit := 0, ""
	for _, x := range log {
		if x.name == name {
			n, unit = n+x.n, x.unit
		}
	}
	before, rest, _ := strings.Cut(src, fmt.Sprintf("[[addition]]\nname = %q\namount = \"", name))
	_, rest, _ = strings.Cut(rest, "\"\n")
	if n == 0 {
		return before + rest
	}
	return fmt.Sprintf("%s[[addition]]\nname = %q\namount = \"%d%s\"\n%s", before, name, n, unit, rest)
}

func later(x, y time.Time) time.Time {
	if x.After(y) {
		return x
	}
	return y
}

// inEveryView holds what each view says of a day against it: none says another.
func inEveryView(g *due.Glance, is time.Time, wrong func(format string, args ...any)) {
	a := g.Assessment
	dates, err := g.Dates()
	if err != nil {
		wrong("%v", err)
	}
	style := pen.Style{Units: quantity.Metric}
	said := map[string]string{"keep": bottle.KeepSentence(a, style),
		"log": nextact.Sentence(g)}
	for _, r := range Rows(&book.Shelf{Now: a.Now, Batches: []due.Glance{*g}}, style) {
		said["book"] += r.When + " " + r.What
	}
	for _, x := range calendar.Entries(g, dates, quantity.Metric, nil) {
		said["calendar"] += x.Event.Summary + "\n"
	}
	for _, line := range label.Words(a, label.ForBottle, quantity.Metric).Lines {
		said["label"] += line.Text + "\n"
	}
	days := []string{view.DateOf(is, a.Now), is.Format("Monday 2 January"), is.Format("2 Jan 2006"), "today"}
	for name, text := range said {
		for _, by := range []string{"use by ", "Use by ", "bottle it by ", "and measure the volume by "} {
			_, day, found := strings.Cut(quantity.Say(text, quantity.Metric), by)
			if found && !slices.ContainsFunc(days, func(d string) bool { return strings.HasPrefix(day, quantity.Say(d, quantity.Metric)) }) {
				wrong("good until %v, and %s says %q", is, name, text)
			}
		}
		if a.Keep.OverIfMixed && name != "label" && name != "calendar" && strings.Contains(text, "se by ") {
			wrong("%s names a day before it is known: %q", name, text)
		}
	}
}
