package bookshelf

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// TestOnePlan: of random batches with a day that they are wanted for, yet to be started or steeping, with raw
// egg in every other one, steep, book, keep, page and both calendars name the same day to start, to strain and to
// bottle; what has raw egg in it is strained so long before it is bottled as that asks for, in words and
// dates.
func TestOnePlan(t *testing.T) {
	seen := map[string]int{}
	for number := range somejar.Either[uint64](36, 2000) {
		j := somejar.New(number)
		egg := number%2 == 0
		if j.Pulls = nil; egg {
			j.Additions = append(j.Additions, somejar.Addition{Name: "egg yolk", Amount: "6 pieces"},
				somejar.Addition{Name: "cream", Amount: "150 ml"})
		}
		now := somejar.Time(j.Now)
		if number%3 == 0 {
			now = somejar.Started.Add(-time.Hour * time.Duration(number))
		}
		ready := now.AddDate(0, 0, 4+int(number*number%61))
		src := fmt.Sprintf("ready = %s\n%s", ready.Format(time.DateOnly), strings.Replace(j.String(), "abv = 40", "abv = 60", 1))
		dir := t.TempDir()
		file := filepath.Join(dir, "jar.toml")
		if err := os.WriteFile(file, []byte(src), 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := batch.Parse(file, []byte(src), time.UTC)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		if g.Aim == nil || g.Aim.Plan == nil {
			continue
		}
		p, err := g.Back(g.Aim.Ready)
		if err != nil {
			t.Fatal(err)
		}
		words := view.AimWords(g.Aim, now)
		want := daysIn(words)
		all := told(t, dir, &g)
		for _, name := range slices.Sorted(maps.Keys(all)) {
			text := all[name]
			if _, after, is := strings.Cut(text, "or "+quantity.Say(view.DateOf(g.Aim.Ready, now), quantity.Metric)+": "); is {
				text, _, _ = strings.Cut(after, ".")
			}
			if got := daysIn(text); !maps.Equal(got, want) {
				t.Errorf("jar %d: %s has %v, the others %v:\n%s\n%s", number, name, got, want, text, words)
			}
		}
		plan := strings.Join(calendar.GiftScreen(a, p, pen.Style{Units: quantity.Metric}).Say, " ")
		if got := daysIn(plan); !maps.Equal(got, want) && !p.TooLate && !p.Unsound {
			t.Errorf("jar %d: calendar --ready has %v, steep %v:\n%s\n%s", number, got, want, plan, words)
		}
		for what := range want {
			seen[fmt.Sprint(what, ", egg: ", egg)]++
		}
		if !egg {
			continue
		}
		if s, b := want["strain"], want["bottle"]; !b.IsZero() && g.Stage == due.Steeping &&
			(s.IsZero() || s.AddDate(0, 0, keeping.EggDays).After(b)) {
			t.Errorf("jar %d: strained by %v and bottled by %v: %s", number, s, b, words)
		}
		var strained, bottled time.Time
		for _, d := range p.Dates {
			switch d.Kind {
			case due.Strain:
				strained = d.At
			case due.Bottle:
				bottled = d.At
			}
		}
		if !strained.IsZero() && strained.AddDate(0, 0, keeping.EggDays).After(bottled.Add(24*time.Hour)) {
			t.Errorf("jar %d: its dates have it strained on %v and bottled on %v", number, strained, bottled)
		}
	}
	if seen["strain, egg: true"] < 4 || seen["bottle, egg: false"] < 4 || seen["start, egg: true"] < 2 || seen["start, egg: false"] < 2 {
		t.Errorf("seen %v", seen)
	}
}

// planDay is a day on which something is done for a plan.
var planDay = regexp.MustCompile(`(?i)\b(?:(start|strain|bottle) it|(bottle)d) (?:by|on|about) (?:[a-z]+ )?(\d+) ([a-z]{3})`)

// daysIn are the days to start, to strain and to bottle that a text names.
func daysIn(text string) map[string]time.Time {
	days := map[string]time.Time{}
	text = strings.NewReplacer("~", " ", "\u00a0", " ").Replace(text)
	for _, m := range planDay.FindAllStringSubmatch(text, -1) {
		day, err := time.Parse("2 Jan 2006", m[3]+" "+m[4]+" 2026")
		if err == nil {
			days[strings.ToLower(m[1]+m[2])] = day
		}
	}
	return days
}
