package due

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/kinetics/jar"
)

// TestNothingAfterTheLastDay: nothing is ordered, tasted, strained, bottled or rested after
// the day to which a jar is good as it stands, but for throwing it away.
func TestNothingAfterTheLastDay(t *testing.T) {
	for number := range uint64(60) {
		j := somejar.New(number)
		abv := []string{"12", "16", "24", "40"}[number%4]
		holdTheLastDay(t, strings.Replace(j.String(), "abv = 40", "abv = "+abv, 1), somejar.Time(j.Now))
	}
	weak := somejar.Started.Format("name = \"W\"\nstarted = 2006-01-02T15:04:05\nroom = \"20 C\"\n") +
		"[[spirit]]\nname = \"wine\"\nabv = 12\namount = \"500 ml\"\n"
	for _, more := range []string{
		"[[botanical]]\nname = \"strawberry\"\namount = \"200 g\"\ntarget = 5\n" +
			"[[addition]]\nname = \"sugar\"\namount = \"60 g\"\n",
		"[[botanical]]\nname = \"jalapeño\"\namount = \"200 g\"\ntarget = 5\n",
		"[[botanical]]\nname = \"clove\"\namount = \"3 pieces\"\ntarget = 5\n" +
			"[[addition]]\nname = \"egg white\"\namount = \"2\"\n",
	} {
		for _, h := range []time.Duration{1, 3, 30, 300} {
			holdTheLastDay(t, weak+more, somejar.Started.Add(h*time.Hour))
		}
	}
}

func holdTheLastDay(t *testing.T, src string, now time.Time) {
	t.Helper()
	g := look(t, src, now, nil)
	a := g.Assessment
	if g.Due.Kind == Discard || a.NotToServe() {
		return
	}
	if err := a.Steep(); err != nil {
		t.Fatal(err)
	}
	last := a.JarLastH()
	for i := range a.Curves {
		o := &a.Curves[i].Order
		if last > 0 && (o.Do == jar.Taste || o.Do == jar.Leave) && !a.Curves[i].Watch &&
			(o.BestH > last || o.UntilH > last || o.Do == jar.Taste && o.TasteH > last || o.ByH > last && o.Do == jar.Leave) {
			t.Errorf("%s: %+v ends after %.1f h\n%s", a.Curves[i].Name, *o, last, src)
		}
	}
	end := a.Keep.Safe.Until
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dates {
		if d.Kind == Use && d.Bottle == 0 && (end.IsZero() || d.At.Before(end)) {
			end = d.At
		}
	}
	for _, d := range dates {
		if !d.Done && d.Kind != Ready && d.Kind != PutIn && !end.IsZero() && d.At.After(end) {
			t.Errorf("%s at %v, good until %v\n%s", d.Kind, d.At, end, src)
		}
	}
}
