package bench

import (
	"errors"
	"math"
	"strings"
	"testing"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/strict"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

const started = "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"

const halfLitre = started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n"

func resolved(t testing.TB, src string) *recipe.Lines {
	t.Helper()
	p, err := recipe.Read(somejar.Parse(t, src), somejar.Library(t), math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// An ounce of a liquid may be a volume or a weight; of a solid it is a weight.
// 1 oz = 28.349523125 g and 1 US fl oz = 29.5735295625 ml exactly (NIST
// Handbook 44, Appendix C).
func TestOunces(t *testing.T) {
	for _, src := range []string{
		halfLitre + "[[addition]]\nname = \"lime juice\"\namount = \"3 oz\"\n",
		halfLitre + "[[addition]]\nname = \"white rum\"\nabv = 40\namount = \"3 oz\"\n",
	} {
		_, err := recipe.Read(somejar.Parse(t, src), somejar.Library(t), math.Inf(1))
		var fault *strict.Error
		if !errors.As(err, &fault) {
			t.Fatalf("%v, want a fault with file and line for\n%s", err, src)
		}
		if msg := fault.Detail(); !strings.Contains(msg, "fl oz") || !strings.Contains(msg, "oz wt") {
			t.Errorf("%q names not both readings", msg)
		}
	}
	p := resolved(t, halfLitre+"[[botanical]]\nname = \"test bark\"\namount = \"1 oz\"\n[[addition]]\nname = \"white rum\"\nabv = 0\namount = \"1 US fl oz\"\n")
	if w := p.Botanicals[0].Weight; w == nil || math.Abs(w.G-28.3495) > 0.01 {
		t.Errorf("an ounce of a solid is %+v, want 28.35 g", w)
	}
	// Without alcohol it is water: 0.99820 g/ml at 20 °C (OIML R 22).
	if g := p.Additions[0].MassG(); math.Abs(g-29.5735*0.99820) > 0.01 {
		t.Errorf("a fluid ounce of it weighs %g g, want 29.52", g)
	}
	p = resolved(t, started+"[spirit]\nname = \"vodka\"\nabv = 0\namount = \"1 oz wt\"\n")
	if ml := p.Bases[0].Base.VolumeML.Value; math.Abs(ml-28.3495/0.99820) > 0.01 {
		t.Errorf("an ounce by weight has %g ml, want 28.40", ml)
	}
}

func TestUnknownNames(t *testing.T) {
	p := resolved(t, halfLitre+"[[botanical]]\nname = \"moon dust\"\namount = \"7 g\"\n"+
		"[[botanical]]\nname = \"tset peel\"\namount = \"7 g\"\n"+
		"[[botanical]]\nname = \"test peel\"\ncut = \"cubes of mine\"\namount = \"7 g\"\n"+
		"[[botanical]]\nname = \"my own\"\nlike = \"test bark\"\n"+
		"[[addition]]\nname = \"moon water\"\namount = \"10 ml\"\n[[addition]]\nname = \"demerara suger\"\namount = \"10 g\"\n")
	dust, typo, cut, like := p.Botanicals[0], p.Botanicals[1], p.Botanicals[2], p.Botanicals[3]
	if dust.Known != nil || dust.Cut == nil || dust.Weight == nil || dust.Weight.G != 7 {
		t.Errorf("an unknown botanical that is weighed: %+v", dust)
	}
	if typo.Known != nil || !strings.Contains(strings.Join(oddities(&typo, 0, nil), "; "), `did you mean "test peel"`) {
		t.Errorf("a slip of the pen: %q", oddities(&typo, 0, nil))
	}
	if cut.Known == nil || cut.Cut.Name != "strips" || !strings.Contains(cut.Note, `"cubes of mine"`) || !strings.Contains(cut.Note, `"zest"`) {
		t.Errorf("an unknown cut: %q", cut.Note)
	}
	if like.Known == nil || like.Known.Name != "test bark" || like.Weight != nil || !strings.Contains(like.Note, "weigh it") {
		t.Errorf("an own word with like: %+v", like)
	}
	if m := p.Additions[0].Unread; !strings.Contains(m, "moon water") || !strings.Contains(m, "library") {
		t.Errorf("an unknown addition: %q", m)
	}
	if m := p.Additions[1].Unread; !strings.Contains(m, `did you mean "demerara sugar"`) {
		t.Errorf("a misspelt addition: %q", m)
	}
}

func TestMissingFiguresOfASpirit(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{"[spirit]\nname = \"moon spirit\"\namount = \"1 l\"\n", "strength"},
		{"[spirit]\nname = \"moon spirit\"\nabv = 40\n", "amount"},
		{"[spirit]\nabv = 40\n", "amount of the spirit"},
	} {
		a := assessed(t, started+c.src, at("2026-11-21T08:00"))
		if a.Blend.Have() || !strings.Contains(a.Blend.Missing[0], c.want) {
			t.Errorf("%q: missing %q, want something on %q", c.src, a.Blend.Missing, c.want)
		}
		if a.Keep.Verdict.Verdict != "unknown" {
			t.Errorf("%q: the verdict is %q without a figure", c.src, a.Keep.Verdict.Verdict)
		}
	}
}

// What must not be steeped is refused with its reason, wherever it is written,
// and gets no time, no dose and no place.
func TestForbiddenPlants(t *testing.T) {
	var names []string
	for _, b := range library.Builtin().Botanicals() {
		if b.Forbidden != "" {
			names = append(names, b.Name)
		}
	}
	if len(names) < 10 {
		t.Fatalf("only %d forbidden plants", len(names))
	}
	names = append(names, "apricot stone", "snuff")
	for _, name := range names {
		for _, src := range []string{
			halfLitre + "[[botanical]]\nname = \"" + name + "\"\namount = \"2 g\"\ntarget = 5\n[[tasting]]\nat = \"2 h\"\nscore = { \"" + name + "\" = 3 }\n",
			halfLitre + "[[botanical]]\nname = \"mine\"\nlike = \"" + name + "\"\n",
			halfLitre + "[[botanical]]\nname = \"" + name + "\"\ncut = \"fine powder\"\namount = \"1 tsp\"\n",
		} {
			a := assessed(t, src, at("2026-11-21T08:00"))
			c := &a.Curves[0]
			if c.Forbidden == "" || c.Order.Why != jar.Forbid || !c.Order.Overdue || c.Dose != nil || !math.IsInf(c.Order.TasteH, 1) || !math.IsInf(c.Order.BestH, 1) {
				t.Errorf("%s: forbidden %q, dose %v, %+v", name, c.Forbidden, c.Dose, c.Order)
			}
			if !a.NotToServe() || a.Keep.Verdict.Verdict != "discard" || len(a.Changes())+len(a.Places()) > 0 {
				t.Errorf("%s: keep says %q with %d changes", name, a.Keep.Verdict.Verdict, len(a.Changes()))
			}
			if a.Rescue != nil {
				t.Errorf("%s: a rescue is offered", name)
			}
		}
		if a, err := Assess(somejar.Parse(t, halfLitre+"[[addition]]\nname = \""+name+"\"\namount = \"2 g\"\n"), somejar.Library(t), Question{Now: at("2026-11-21T08:00")}); err == nil && !a.NotToServe() {
			t.Errorf("%s as an addition: %q", name, a.Keep.Verdict.Verdict)
		}
	}
}

// The library's rate is carried to the jar by the shifts of kinetics, one
// after the other: ln k adds up, the spreads join in quadrature.
func TestPriorShifts(t *testing.T) {
	warm, err := kinetics.TemperatureShift(30)
	if err != nil {
		t.Fatal(err)
	}
	strong, err := kinetics.StrengthShift(60)
	if err != nil {
		t.Fatal(err)
	}
	const room, sixty = "room = \"30 C\"\n", "[spirit]\nname = \"vodka\"\nabv = 60\namount = \"500 ml\"\n"
	const bark = "[[botanical]]\nname = \"test bark\"\namount = \"2 g\"\n"
	for _, c := range []struct {
		name, src string
		shifts    []kinetics.Shift
	}{
		{"as the library has it", started + bark, nil},
		{"at 20 °C", started + "room = \"20 C\"\n" + bark, nil},
		{"warm", started + room + bark, []kinetics.Shift{warm}},
		{"strong", started + sixty + bark, []kinetics.Shift{strong}},
		{"warm and strong", started + room + sixty + bark, []kinetics.Shift{warm, strong}},
	} {
		a := assessed(t, c.src, at("2026-11-21T08:00"))
		got := a.Curves[0].Prior.LogRate
		cut := a.Curves[0].LibCut
		mean, sd := math.Log(cut.SlowRatePerH()), math.Log(cut.RateGSD)
		for _, s := range c.shifts {
			mean, sd = mean+s.LogMean, math.Hypot(sd, s.LogSD)
		}
		if cut.RatePerH.Grade == library.Own {
			// The maker's own figure is for this kitchen.
			mean, sd = math.Log(cut.SlowRatePerH()), math.Log(cut.RateGSD)
		}
		if math.Abs(got.Mean-mean) > 1e-9 || math.Abs(got.SD-sd) > 1e-9 {
			t.Errorf("%s: ln k is %.4f ± %.4f, want %.4f ± %.4f", c.name, got.Mean, got.SD, mean, sd)
		}
	}
	// The same through a botanical of the built-in library, which is not "own".
	plain := assessed(t, started+"[[botanical]]\nname = \"clove\"\n", at("2026-11-21T08:00"))
	moved := assessed(t, started+room+sixty+"[[botanical]]\nname = \"clove\"\n", at("2026-11-21T08:00"))
	if d := moved.Curves[0].Prior.LogRate.Mean - plain.Curves[0].Prior.LogRate.Mean; math.Abs(d-warm.LogMean-strong.LogMean) > 1e-9 {
		t.Errorf("warm and strong move ln k by %g, want %g", d, warm.LogMean+strong.LogMean)
	}
	if n := len(moved.Curves[0].Moved) - len(plain.Curves[0].Moved); n != 2 {
		t.Errorf("%d moves are told, want 2 more: %q", n, moved.Curves[0].Moved)
	}
}

// What the keeping judgement reads beside the figures.
func TestFacts(t *testing.T) {
	p := func(src string) (b *batch.Batch, r *recipe.Lines) {
		b = somejar.Parse(t, src)
		return b, resolved(t, src)
	}
	b, r := p(halfLitre + "[[botanical]]\nname = \"moon dust\"\n[[botanical]]\nname = \"orange zest\"\nleave_in = true\n" +
		"[[addition]]\nname = \"orange juice\"\namount = \"100 ml\"\n[[addition]]\nname = \"whole egg\"\namount = \"50 g\"\n")
	f := recipe.Facts(b, r)
	if f.NoSpirit || len(f.FreshJuice) != 1 || !f.Egg || !f.RawEgg || len(f.SolidsLeftIn) != 1 || len(f.OtherPeel) != 1 {
		t.Errorf("%+v", f)
	}
	if len(f.Nourishing) < 3 || f.Nourishing[0] != "moon dust" {
		t.Errorf("an unknown thing counts as food: %q", f.Nourishing)
	}
	b, r = p(started + "[[addition]]\nname = \"orange juice\"\namount = \"100 ml\"\nheated = true\n[[addition]]\nname = \"whole egg\"\namount = \"50 g\"\nheated = true\n")
	if f = recipe.Facts(b, r); !f.NoSpirit || len(f.FreshJuice) != 0 || f.RawEgg {
		t.Errorf("heated, and without spirit: %+v", f)
	}
	b, r = p(started + "[[addition]]\nname = \"water\"\namount = \"100 ml\"\n[[addition]]\nname = \"vodka\"\nabv = 40\namount = \"100 ml\"\n")
	if f = recipe.Facts(b, r); f.NoSpirit {
		t.Error("a spirit that is added is a spirit")
	}
	b, r = p(started + "[[botanical]]\nname = \"strawberry\"\n[finish]\nleave_in = true\nfiltered = true\nboiled = true\n")
	if f = recipe.Facts(b, r); !f.Fruit || !f.Pulp || !f.Filtered || !f.BoiledBottle || !f.NoSpirit {
		t.Errorf("fruit left in: %+v", f)
	}
}

// What may go in must not be taken for what may not.
func TestNothingAllowedIsTakenForForbidden(t *testing.T) {
	lib := library.Builtin()
	check := func(kind, name string) {
		h, err := recipe.ReadBotanical(nil, lib, batch.Botanical{Name: name})
		if err == nil && h.Known != nil && h.Known.Forbidden != "" {
			t.Errorf("the %s %q, steeped, is taken for %s", kind, name, h.Known.Name)
		}
		x, err := recipe.ReadAddition(nil, lib, batch.Addition{Name: name}, nil)
		if err == nil && x.Botanical != nil && x.Botanical.Forbidden != "" {
			t.Errorf("the %s %q, added, is taken for %s", kind, name, x.Botanical.Name)
		}
	}
	for _, g := range lib.Ingredients() {
		for _, n := range append([]string{g.Name}, g.Names...) {
			check("ingredient", n)
		}
	}
	for _, s := range lib.Spirits() {
		for _, n := range append([]string{s.Name}, s.Names...) {
			check("spirit", n)
		}
	}
}
