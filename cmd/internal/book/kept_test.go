package book

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

func keep(t *testing.T, dir string) *Kept {
	t.Helper()
	k, err := Keep(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { k.Close() })
	return k
}

func at(t *testing.T, k *Kept, now time.Time) *Standing {
	t.Helper()
	s, err := k.At(now)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// rows are what a shelf says of each batch.
func rows(s *Shelf) []string {
	var out []string
	for i := range s.Batches {
		g := &s.Batches[i]
		out = append(out, fmt.Sprintf("%s %s %s %s %v %v %v", filepath.Base(g.Assessment.Batch.File), g.Stage, g.CopyOf,
			g.Due.Kind, g.Due.What, g.Due.At, g.Until))
	}
	return out
}

// TestKeptSaysWhatIsRead: a book that stays open says what a fresh look at its folder says,
// whatever is saved in between.
func TestKeptSaysWhatIsRead(t *testing.T) {
	dir := t.TempDir()
	last := filepath.Base(somejar.Book(t, dir, somejar.Either(5, 30)))
	k := keep(t, dir)
	same := func(what string) {
		t.Helper()
		files, err := Files(dir)
		if err != nil {
			t.Fatal(err)
		}
		fresh, err := Look(dir, files, somejar.BookNow)
		if err != nil {
			t.Fatal(err)
		}
		kept := at(t, k, somejar.BookNow).Shelf()
		if got, want := rows(kept), rows(fresh); !slices.Equal(got, want) {
			t.Errorf("%s:\n%s\nwant\n%s", what, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
		if !slices.Equal(kept.Wrong, fresh.Wrong) || kept.Units != fresh.Units {
			t.Errorf("%s: %v in %v, want %v in %v", what, kept.Wrong, kept.Units, fresh.Wrong, fresh.Units)
		}
	}
	same("at first")
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	old, err := os.ReadFile(filepath.Join(dir, last))
	if err != nil {
		t.Fatal(err)
	}
	write(last, string(old)+"\n[[strained]]\nat = \"13 h\"\n")
	same("strained")
	write(last, strings.Replace(string(old), "started", "begun", 1))
	same("with a fault")
	write(last, string(old))
	same("mended")
	write("house.toml", "country = \"US\"\nmax_age_days = 30\n")
	same("with rules")
	write("house.toml", "max_age_days = -30\n")
	same("with wrong rules")
	if err := errors.Join(os.Remove(filepath.Join(dir, "house.toml")), os.Remove(filepath.Join(dir, "jar-0003.toml"))); err != nil {
		t.Fatal(err)
	}
	same("without a batch")
}

// TestKeptOpensWhatIsRead: a batch is opened as from the command line, and steeped with the
// same neighbours.
func TestKeptOpensWhatIsRead(t *testing.T) {
	dir := t.TempDir()
	file := somejar.Book(t, dir, 40)
	s := at(t, keep(t, dir), somejar.BookNow)
	kept, err := s.Jar(filepath.Base(file))
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := Open(file, somejar.BookNow)
	if err != nil {
		t.Fatal(err)
	}
	a, err := kept.Steeped()
	if err != nil {
		t.Fatal(err)
	}
	b, err := fresh.Steeped()
	if err != nil {
		t.Fatal(err)
	}
	for i := range b.Curves {
		if got, want := a.Curves[i].Order, b.Curves[i].Order; !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", b.Curves[i].Name, got, want)
		}
	}
	for _, name := range []string{"", "none.toml", "../" + filepath.Base(dir) + "/jar-0001.toml", file, "library.toml"} {
		if _, err := s.Jar(name); !errors.Is(err, ErrNoBatch) {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// TestRowsAge: a row that hangs on the hour is looked at again, one that nothing is due of
// lasts its day.
func TestRowsAge(t *testing.T) {
	noon := time.Date(2026, 11, 21, 12, 0, 0, 0, time.Local)
	of := func(g due.Glance) row {
		return row{now: noon, made: time.Now().Add(-time.Hour), look: func() (due.Glance, error) { return g, nil }}
	}
	steeping := of(due.Glance{Stage: due.Steeping})
	resting := of(due.Glance{Stage: due.Bottled, Until: noon.Add(3 * time.Hour)})
	for _, c := range []struct {
		r     *row
		later time.Duration
		good  bool
	}{
		{&steeping, time.Hour, false}, {&resting, time.Hour, true}, {&resting, 4 * time.Hour, false},
		{&resting, 13 * time.Hour, false},
	} {
		if got := c.r.good([3]Stamp{}, noon.Add(c.later), rowLasts); got != c.good {
			g, _ := c.r.look()
			t.Errorf("%s after %s: good is %t", g.Stage, c.later, got)
		}
	}
	if resting.good([3]Stamp{{Size: 1}}, noon, rowLasts) {
		t.Error("a row of another file is good")
	}
}

// TestManyAlike: a book of jars that agree to the last digit still answers the next one.
func TestManyAlike(t *testing.T) {
	dir := t.TempDir()
	for i := range 30 {
		text := fmt.Sprintf("name = \"Jar %d\"\nstarted = %s\nroom = \"20 C\"\n\n[spirit]\nname = \"grape brandy\"\nabv = 57\n"+
			"amount = \"700 ml\"\n\n[[botanical]]\nname = \"orange zest\"\namount = \"24 g\"\ntarget = 6\n", i,
			time.Date(2026, 1, 1+i, 18, 0, 0, 0, time.UTC).Format("2006-01-02T15:04:05"))
		if i > 0 {
			text += "\n[finish]\nstrained = \"60 h\"\n\n[[tasting]]\nat = \"20 h\"\nscore = { \"orange zest\" = 4 }\n"
		}
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("jar-%02d.toml", i)), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	j, err := Open(filepath.Join(dir, "jar-00.toml"), time.Date(2026, 11, 21, 8, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Steeped(); err != nil {
		t.Error(err)
	}
}

// TestDraftKnowsTheHouse: a batch that is not written yet is answered by the rules of its book.
func TestDraftKnowsTheHouse(t *testing.T) {
	dir := t.TempDir()
	rules := []byte("rule = \"county code\"\nuse_within_days = 30\n")
	if err := os.WriteFile(filepath.Join(dir, batch.HouseFile), rules, 0o600); err != nil {
		t.Fatal(err)
	}
	d := batch.Draft{Name: "Clove", Started: somejar.BookNow.Format("2006-01-02T15:04:05"),
		Spirits:    []batch.DraftSpirit{{Name: "vodka 40%", Amount: "700 ml"}},
		Botanicals: []batch.DraftBotanical{{Name: "clove", Amount: "2 g"}}}
	_, a, err := at(t, keep(t, dir), somejar.BookNow).Draft(filepath.Join(dir, "clove.toml"), d)
	if err != nil {
		t.Fatal(err)
	}
	if a.Judge(); a.Keep.Advised.Opened.High != 30 {
		t.Errorf("opened it keeps %s", a.Keep.Advised.Opened.Words)
	}
}
