package due

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/kinetics/jar"
)

// TestNothingAfterTheLastDay: nothing is ordered, tasted, strained, bottled or rested after
// the day to which a jar is good as it stands, but for throwing it away. What it is foreseen to
// come to, strained and bottled by then, ends no jar that is not: by when that is strained is its own last hour.
func TestNothingAfterTheLastDay(t *testing.T) {
	for number := range somejar.Many(15) {
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
	if p, err := g.Back(now.AddDate(0, 0, 20)); err == nil && p.Running && p.TooLate && !p.Safe.IsZero() && p.Safe.Before(now) {
		t.Errorf("it ended at %v, and at %v is likelier\n%s", p.Safe, p.Earliest, src)
	}
	if g.Due.Kind == Discard || a.NotToServe() {
		return
	}
	if err := a.Steep(); err != nil {
		t.Fatal(err)
	}
	last := a.JarEnd().H
	for i := range a.Curves {
		o := &a.Curves[i].Order
		if last > 0 && (o.Do == jar.Taste || o.Do == jar.Leave) && !a.Curves[i].Watch &&
			(o.BestH > last || o.UntilH > last || o.Do == jar.Taste && o.TasteH > last || o.ByH > last && o.Do == jar.Leave) {
			t.Errorf("%s: %+v ends after %.1f h\n%s", a.Curves[i].Name, *o, last, src)
		}
	}
	end := a.Keep.Safe.Until
	by := g.Assessment.Batch.At(last)
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dates {
		if d.Kind == StrainBy && (!d.At.Equal(by) || !end.IsZero() && by.After(end)) {
			t.Errorf("strain by %v, and the jar may stand to %v, is good to %v\n%s", d.At, by, end, src)
		}
	}
	for _, d := range dates {
		if d.Kind == Use && d.Bottle == 0 && (end.IsZero() || d.At.Before(end)) {
			end = d.At
		}
	}
	for _, d := range dates {
		if d.Done || d.Kind == Ready || d.Kind == PutIn || d.Kind == StrainBy {
			continue
		}
		ofJar := last > 0 && (d.Kind == Taste || d.Kind == Pull || d.Kind == Strain)
		if !end.IsZero() && d.At.After(end) || ofJar && d.At.After(by) {
			t.Errorf("%s at %v, the jar to %v, good until %v\n%s", d.Kind, d.At, by, end, src)
		}
	}
}

// TestNothingComesOutUntasted: no flavour is foreseen to come out before the tasting that it
// waits for, nor at an hour that is named for it though its best is over: its tasting says.
func TestNothingComesOutUntasted(t *testing.T) {
	foreseen := 0
	for number := range somejar.Many(20) {
		j := somejar.New(number)
		for _, days := range []int{0, 2, 15} {
			g := look(t, j.String(), somejar.Time(j.Now).AddDate(0, 0, days), nil)
			dates, err := g.Dates()
			if err != nil {
				t.Fatal(err)
			}
			tasted := map[string]time.Time{}
			for _, d := range dates {
				for _, name := range d.What {
					if d.Kind == Taste && !d.Done {
						tasted[name] = d.At
					}
				}
			}
			for _, d := range dates {
				if !d.Forecast || d.Kind != Pull && d.Kind != Strain || len(d.What) != 1 {
					continue
				}
				foreseen++
				if at := tasted[d.What[0]]; d.At.Before(at) || !d.Until.IsZero() && d.Until.Before(g.Assessment.Now) {
					t.Errorf("%d: %v out at %v, right until %v, tasted at %v", number, d.What, d.At, d.Until, at)
				}
			}
		}
	}
	if foreseen < 20 {
		t.Errorf("only %d were foreseen", foreseen)
	}
}

// TestOpenBottlesEndByTheirOwn: what ends an open bottle has the kind of its end: its taste,
// then what can grow in it, each with the number.
func TestOpenBottlesEndByTheirOwn(t *testing.T) {
	src := somejar.Told{Scores: somejar.Done(1), Pulled: 192,
		More: "[[addition]]\nname = \"orange juice\"\namount = \"1 l\"\n[[added]]\nname = \"orange juice\"\n" +
			"amount = \"1 l\"\nat = \"200 h\"\n[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"200 h\"\n" +
			"[[opened]]\nbottle = 1\nat = \"201 h\"\n[[opened]]\nbottle = 2\nat = \"225 h\"\n"}.Src()
	g := look(t, src, at("2026-03-02T18:00").Add(226*time.Hour), nil)
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	k := g.Assessment.Keep
	for _, o := range k.Open {
		ends := map[Kind]time.Time{}
		for _, d := range dates {
			if d.Bottle == o.Number {
				ends[d.Kind] = d.At
			}
		}
		taste := k.Of(o.Number, g.Assessment.Now).TasteFirst()
		if _, best := ends[AtBest]; best != taste || taste && !ends[AtBest].Equal(o.Until) || !taste && !ends[Use].Equal(o.Until) {
			t.Errorf("bottle %d until %v, safe %v, by its taste %v: %v", o.Number, o.Until, o.Safe, taste, ends)
		}
	}
	if len(k.Open) != 2 {
		t.Errorf("%d are open", len(k.Open))
	}
}
