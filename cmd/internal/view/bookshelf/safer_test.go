package bookshelf

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/label"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// The tests here hold that less said, an amount in parts, another table for the same thing or a
// later hour never makes an answer safer. No figure in them is a measurement.

// judged is a batch with where it keeps; its curves are fitted by whoever asks for them.
func judged(t *testing.T, src string, now time.Time) *bench.Assessment {
	t.Helper()
	b, err := batch.Parse("jar.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	a, err := bench.Read(b, library.Builtin(), bench.Question{Now: now})
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	a.Judge()
	return a
}

func line(table, name, more string) string {
	return fmt.Sprintf("[[%s]]\nname = %q\n%s\n", table, name, more)
}

func amount(format string, args ...any) string {
	return fmt.Sprintf("amount = \""+format+"\"", args...)
}

const begun = "name = \"T\"\nstarted = 2026-11-20T18:00:00\nroom = \"20 C\"\n"

func after(hours float64) time.Time {
	return time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC).Add(time.Duration(hours * float64(time.Hour)))
}

// TestLabelForbidsWhatKeepForbids: of a batch of which nothing is to be drunk no label says
// where to keep it.
func TestLabelForbidsWhatKeepForbids(t *testing.T) {
	untold := 0
	for number := range somejar.Many(60) {
		j := somejar.New(number).Lived(number)
		src := j.String()
		if number%3 == 0 { // weak jars with what may spoil in them
			src = strings.Replace(src, "[spirit]", line("spirit", "white vinegar", amount("3 l"))+"[[spirit]]", 1) +
				line("botanical", "garlic, more", "like = \"garlic\"\nleave_in = true")
		}
		a := judged(t, src, somejar.Time(j.Now+int(number%5)*10000))
		if k := a.Keep; k.Withheld() || k.Stop == keeping.Gone {
			for _, kind := range []label.Kind{label.ForJar, label.ForBottle, label.ForOpened} {
				if l := label.Words(a, kind, quantity.Metric); l.Stop == "" {
					t.Errorf("jar %d is stopped, for %s, and its label for the %s is not", number, k.Stop, kind)
				}
			}
			if k.Stop == keeping.Untold {
				untold++
			}
		}
	}
	if untold < 5 {
		t.Errorf("only %d jars of which nothing can be said", untold)
	}
}

// TestOpeningMakesNothingLast opens bottles of weak wine at any hour, and looks at any later
// one: a bottle that was over stays over, and none keeps for longer than sealed.
func TestOpeningMakesNothingLast(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0x0bed))
	over, byAir := 0, 0
	for range somejar.Either(16, 60) {
		src := begun + line("spirit", []string{"white wine", "sweet vermouth", "fino sherry"}[r.IntN(3)],
			fmt.Sprintf("abv = %d\n", 9+r.IntN(9))+amount("700 ml")) +
			line("botanical", []string{"rosemary", "garlic", "clove"}[r.IntN(3)], amount("8 g")) +
			line("addition", "sugar", amount("%d g", 20+r.IntN(200))) + "[[strained]]\nat = \"20 h\"\n" +
			line("added", "sugar", amount("50 g")+"\nat = \"21 h\"") + "[[bottled]]\nbottles = 3\nof = \"250 ml\"\nat = \"22 h\"\n"
		at := 23 + 24*200*r.Float64()*r.Float64()
		was := false
		for _, later := range []float64{0, 24 * 2, 24 * 10, 24 * 40, 24 * 300} {
			sealed := judged(t, src, after(at+later))
			open := judged(t, src+fmt.Sprintf("[[opened]]\nat = \"%.2f h\"\n", at-0.01), after(at+later))
			if s, o := sealed.Keep.Safe.Until, open.Keep.Safe.Until; o.After(s) && !s.IsZero() {
				t.Errorf("opened after %.0f h it keeps to %v, sealed to %v\n%s", at, o, s, src)
			}
			must := due.MustAct(open)
			if !must && (due.MustAct(sealed) || was) {
				t.Errorf("opened after %.0f h and %.0f h later it may be served again\n%s", at, later, src)
			}
			if was = must; must {
				over++
			} else if open.Keep.Past && open.Keep.EndsByAir() {
				byAir++
			}
		}
	}
	if over < somejar.Either(5, 20) || byAir < somejar.Either(3, 5) {
		t.Errorf("%d were over and %d ended by the air: too few to tell", over, byAir)
	}
}

// TestLessSaidIsNoSafer: what is over a limit, or poisons, stays so however the file is written.
func TestLessSaidIsNoSafer(t *testing.T) {
	vodka := line("spirit", "vodka", "abv = 40\n"+amount("700 ml"))
	tonka, oil := line("botanical", "tonka bean", amount("20 g")), line("botanical", "garlic", amount("20 g"))
	bark := line("botanical", "cinchona bark", amount("2 g"))
	yeast := vodka + line("addition", "sugar", amount("200 g")) + line("addition", "water", amount("1.5 l")) + "[[strained]]\nat = \"10 h\"\n"
	syrup := vodka + bark + line("addition", "1:1 syrup", amount("1.5 l")) + "[[strained]]\nat = \"10 h\"\nvolume = \"690 ml\"\n"
	little := "[[bottled]]\nbottles = 2\nof = \"330 ml\"\nat = \"11 h\"\nvolume = \"690 ml\"\n"
	for what, src := range map[string]string{
		"no more than without the syrup":  syrup + little,
		"nothing runs off":                vodka + tonka + line("botanical", "oak chips", amount("900 g")),
		"no amount of the base":           line("spirit", "vodka", "abv = 40") + tonka,
		"no amount of the syrup":          vodka + tonka + line("addition", "simple syrup", ""),
		"a base that is no liquid":        vodka + tonka + line("spirit", "citric acid", amount("20 g")),
		"a spoon":                         vodka + line("botanical", "cinchona bark", amount("1 tbsp")),
		"twice the volume":                vodka + bark + "[measured]\nvolume = \"1.4 l\"\n",
		"a slip of one digit":             vodka + bark + "[measured]\nvolume = \"6.8 l\"\n",
		"strained more than went in":      vodka + bark + "[measured]\nstrained = \"6.8 l\"\n",
		"oil as a spirit":                 line("spirit", "vodka", "abv = 40\n"+amount("50 ml")) + line("spirit", "olive oil", amount("300 g")) + oil,
		"oil as a botanical":              line("spirit", "vodka", "abv = 40\n"+amount("50 ml")) + line("botanical", "olive oil", amount("300 g")) + oil,
		"oil that is to come off":         line("spirit", "vodka", "abv = 40\n"+amount("50 ml")) + line("botanical", "olive oil", amount("300 g")+"\nleave_in = false") + oil,
		"oil as an addition":              line("spirit", "vodka", "abv = 40\n"+amount("50 ml")) + line("addition", "olive oil", amount("300 g")+"\nin = \"0 h\"") + oil,
		"fat that nobody weighed":         vodka + line("botanical", "coconut oil", "") + oil,
		"fat that stays":                  vodka + line("botanical", "coconut oil", amount("100 g")+"\nleave_in = true") + oil,
		"spirit that came a day later":    line("spirit", "vodka", "abv = 40\n"+amount("50 ml")) + line("botanical", "olive oil", amount("300 g")) + oil + line("addition", "vodka", "abv = 40\nin = \"24 h\"\n"+amount("700 ml")),
		"yeast in closed bottles":         yeast + line("addition", "champagne yeast", amount("2 g")) + "[[bottled]]\nbottles = 6\nof = \"330 ml\"\nat = \"11 h\"\n",
		"yeast in bottles nobody counted": yeast + line("addition", "champagne yeast", amount("2 g")) + "[[bottled]]\nat = \"11 h\"\n",
	} {
		if a := judged(t, begun+src, after(14)); !due.MustAct(a) || label.Words(a, label.ForBottle, quantity.Metric).Stop == "" {
			t.Errorf("%s: to be served, %v\n%s", what, a.Keep.Verdict.Verdict, src)
		}
	}
	for what, src := range map[string]string{
		"the syrup logged, and much lost": syrup + line("added", "1:1 syrup", amount("1.5 l")+"\nat = \"10.5 h\"") + little,
		"washed with fat":                 vodka + line("botanical", "coconut oil", amount("100 g")),
		"washed, with garlic":             vodka + line("botanical", "coconut oil", amount("100 g")) + oil,
		"yeast in an open jug":            yeast + line("addition", "champagne yeast", amount("2 g")),
		"priming sugar, no yeast":         yeast + line("addition", "priming sugar", amount("2 g")) + "[[bottled]]\nbottles = 6\nof = \"330 ml\"\nat = \"11 h\"\n",
		"a usual dose, not weighed":       vodka + line("botanical", "cassia cinnamon", ""),
		"a pinch":                         vodka + line("botanical", "nutmeg", amount("a pinch")),
	} {
		if a := judged(t, begun+src, after(14)); a.Keep.Withheld() || label.Words(a, label.ForBottle, quantity.Metric).Stop != "" {
			t.Errorf("%s: %s\n%s", what, a.Keep.Stop, src)
		}
	}
	// Of what nobody weighed no shelf is sure.
	if v := judged(t, begun+vodka+line("botanical", "cinchona bark", ""), after(14)).Keep.Verdict; v.Confidence != "low" {
		t.Errorf("unweighed cinchona bark: sure %s", v.Confidence)
	}
}

// TestFatIsOnUntilSaid: on a jar every answer says first that fat has to come off, and beside that what it is
// with the fat in it; of what is strained or bottled it is the keeping, with its days, until somebody says
// that it came off. A jar on which it lies by a plan is no danger yet.
func TestFatIsOnUntilSaid(t *testing.T) {
	vodka := line("spirit", "vodka", "abv = 40\n"+amount("500 ml"))
	out, bottled := "[[strained]]\nat = \"100 h\"\n", "[[bottled]]\nat = \"101 h\"\n"
	style := pen.Style{Units: quantity.Metric}
	for _, fat := range []string{"olive oil", "butter", "garlic in oil", "Knoblauch in Öl", "ail à l'huile", "olvie oil"} {
		for _, more := range []string{"", line("botanical", "garlic", amount("30 g"))} {
			for _, done := range []string{"", out, out + bottled} {
				named := fat
				if library.InOil(fat) {
					named = "oil of the " + fat
				}
				src := begun + vodka + more + line("botanical", fat, amount("50 g"))
				a := judged(t, src+done, after(110))
				s, v := bottle.KeepScreen(a, style), &a.Keep.Verdict
				all, on := strings.Join(s.Danger, " "), strings.Contains(s.Say[0], "nce the "+named+" is off, ")
				if done == "" && (!on || !strings.Contains(all, "With any of the "+named+" in it") || !strings.Contains(all, "2 to 4 days in the fridge")) ||
					done != "" && (on || v.Verdict != shelf.VerdictFridge || v.Unopened.Words != "2 to 4 days" || len(bottle.Hurting(a)) == 0) ||
					v.Confidence != "low" {
					t.Errorf("%s, %q: %s, %q, %q", fat, done, v.Verdict, s.Say, s.Danger)
				}
				if late := judged(t, src+done, after(200)); done != "" && (!due.MustAct(late) || late.Keep.Stop != keeping.Sick) {
					t.Errorf("%s, %q, days later: %q", fat, done, late.Keep.Stop)
				}
				if g, err := due.Look(a); err != nil || done == out+bottled && !strings.Contains(keepsWords(&g, a.Now, style), "in the fridge, use by") {
					t.Errorf("%s in a book: %q, %v", fat, keepsWords(&g, a.Now, style), err)
				}
				// what lay in oil leaves that behind, to be said once all is out
				for at, off := range map[string]bool{"90 h": named == fat, "105 h": done != ""} {
					a = judged(t, src+done+line("pulled", fat, "at = \""+at+"\""), after(110))
					if gone := len(a.FatToLift()) == 0; gone != off && (at == "90 h" || done != "") || gone && a.Keep.Verdict.Verdict != shelf.VerdictShelf {
						t.Errorf("%s pulled at %s, %q: off %v, %s", fat, at, done, gone, a.Keep.Verdict.Verdict)
					}
				}
			}
		}
	}
	if a := judged(t, begun+vodka+line("botanical", "butter", amount("50 g")), after(0)); len(bottle.Hurting(a)) > 0 {
		t.Error("butter on a strong jar, not an hour old, is marked")
	}
}

// TestFatIsOnAgain: what is said of fat once it is off puts it back, unless it denies it or speaks of the taste.
func TestFatIsOnAgain(t *testing.T) {
	wash := begun + line("spirit", "bourbon", "abv = 45\n"+amount("700 ml")) + line("botanical", "brown butter", amount("120 g")) +
		line("pulled", "brown butter", "at = \"22 h\"") + "[[strained]]\nat = \"23 h\"\n[[bottled]]\nat = \"24 h\"\n"
	for note, on := range map[string]bool{
		"a few beads of fat floating on top, cloudy when cold": true, "butter still in it": true, "brown butter still in it": true,
		"a lid of butter left on top": true, "left the butter in bottle 2": true, "greasy film on top, butter not all off": true,
		"fat wash leaked, some butter back in": true, "oil slick on the surface": true, "Butter ist noch drin": true,
		"no butter left in it": false, "no fat on top": false, "fat is gone": false, "butter all off": false, "butter came off clean": false,
		"first fat wash, tastes great": false, "still tastes of brown butter, lovely": false, "nose of brown butter on top": false,
		"brown butter bourbon left in the fridge": false, "moved to the shelf": false,
	} {
		a := judged(t, wash+"[[noted]]\nwhat = \""+note+"\"\nat = \"25 h\"\n", after(26))
		if is := a.Keep.Verdict.Verdict == shelf.VerdictFridge; is != on || len(a.FatToLift()) > 0 != on {
			t.Errorf("%s: %s, to lift %q", note, a.Keep.Verdict.Verdict, a.FatToLift())
		}
	}
}

// TestLainTooLong: what lay in it for longer than its limit for a poison stands before where it keeps, marks
// the row of a book and is to be acted upon until it is measured: what is measured is held to its limits (25
// mg/L, 21 CFR 172.510; 1.2 mg a day, EFSA Journal 14(4):4424). Of what its name or cut says is pitted nothing
// is said of stones.
func TestLainTooLong(t *testing.T) {
	for thing, lain := range map[string]bool{
		"name = \"apricot\"": true, "name = \"sloes\"": true, "name = \"cherries with stones\"": true, "name = \"damsons\"": true,
		"name = \"apricot\"\ncut = \"halved\"": false, "name = \"pitted apricots\"": false, "name = \"apricots without stones\"": false,
		"name = \"pitted cherries\"": false, "name = \"apricot halves\"": false,
	} {
		jar := begun + line("spirit", "vodka", "abv = 40\n"+amount("700 ml")) + "[[botanical]]\n" + thing + "\n" +
			amount("200 g")
		out := jar + "\n[[strained]]\nat = \"200 d\"\n"
		src := out + "[[bottled]]\nat = \"200 d\"\n"
		a := judged(t, src, after(24*210))
		if due.MustAct(a) != lain || due.MustAct(judged(t, out, after(24*210))) != lain {
			t.Errorf("%s: must act %v", thing, !lain)
		}
		for mg, over := range map[string]bool{"0.4": false, "19": false, "24": true, "26": true} {
			m := judged(t, src+"[measured]\nhydrogen_cyanide = "+mg+"\n", after(24*210))
			if lain && (due.MustAct(m) != over || (m.Keep.Stop == keeping.TooMuch) != over ||
				len(m.Keep.Lain()) > 0) {
				t.Errorf("%s with %s mg/L: %q, must act %v", thing, mg, m.Keep.Stop, due.MustAct(m))
			}
			in := judged(t, jar+"\n[measured]\nhydrogen_cyanide = "+mg+"\n", after(24*210))
			if lain && len(in.Keep.Lain()) == 0 {
				t.Errorf("%s: %s mg/L count while it lies in it", thing, mg)
			}
		}
		if gone := judged(t, src+"[[emptied]]\nat = \"201 d\"\n", after(24*210)); due.MustAct(gone) {
			t.Errorf("%s: must act on what is gone", thing)
		}
		s := bottle.KeepScreen(a, pen.Style{Units: quantity.Metric})
		all := strings.Join(append(s.Say, s.Danger...), " ")
		if strings.HasPrefix(s.Say[0], "Serve none before its hydrogen cyanide is measured; then ") != lain || (len(bottle.Hurting(a)) > 0) != lain ||
			strings.Contains(all, "in for 200 days") != lain || !lain && strings.Contains(all, "stones whole") {
			t.Errorf("%s: %q", thing, all)
		}
	}
}

// TestLaterIsNoSafer: what must not be drunk is so later, in every answer.
func TestLaterIsNoSafer(t *testing.T) {
	for number := range somejar.Many(20) {
		j := somejar.New(number).Lived(number)
		src := strings.Replace(j.String(), "[spirit]", line("spirit", "white wine", amount("3 l"))+"[[spirit]]", 1) +
			line("botanical", "cinchona bark, more", "like = \"cinchona bark\"\n"+amount("40 g"))
		var was keeping.Stop
		for _, days := range []int{0, 3, 30, 300} {
			a := judged(t, src, somejar.Time(j.Now+days*1440))
			if !a.Keep.EmptiedAt.IsZero() {
				break
			}
			if was != "" && (!due.MustAct(a) || a.Keep.Verdict.Unopened.High > 0) {
				t.Errorf("jar %d: %q, and %d days later %q, %s", number, was, days, a.Keep.Stop, a.Keep.Verdict.Unopened.Words)
			}
			was = a.Keep.Stop
		}
	}
}

// TestSplitLinesAreNoSafer writes the lines of random jars, wines among them, in parts: no
// figure is known the better for it, and nothing keeps for longer.
func TestSplitLinesAreNoSafer(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 0x51))
	for range somejar.Either(30, 60) {
		type part struct {
			table, name, more, unit string
			of                      int
		}
		abv := fmt.Sprintf("abv = %d\n", 9+r.IntN(12))
		parts := []part{
			{"spirit", []string{"white wine", "fino sherry", "vodka"}[r.IntN(3)], abv, "ml", 400 + r.IntN(400)},
			{"spirit", "rum", "", "ml", r.IntN(200)},
			{"botanical", []string{"wormwood", "ginger", "plum"}[r.IntN(3)], "", "g", 2 + r.IntN(100)},
			{"addition", []string{"honey", "lemon juice", "simple syrup"}[r.IntN(3)], "", "ml", 10 + r.IntN(200)},
		}
		log := ""
		if r.IntN(2) == 0 { // in one go, and less or more of it
			log = line("added", parts[3].name, amount("%d ml", parts[3].of*(3+r.IntN(4))/5)+"\nat = \"97 h\"")
		}
		write := func(n int) (src string) {
			for _, p := range parts {
				times := n
				if p.table == "botanical" { // whose names are its own
					times = 1
				}
				for i := 0; p.of > 0 && i < times; i++ {
					src += line(p.table, p.name, p.more+amount("%.4f %s", float64(p.of)/float64(times), p.unit))
				}
			}
			return begun + src + "[[strained]]\nat = \"4 d\"\n" + log + "[[bottled]]\nbottles = 2\nof = \"200 ml\"\nat = \"98 h\"\n"
		}
		one, two := judged(t, write(1), after(150)), judged(t, write(3), after(150))
		x, y := &one.Blend.Result, &two.Blend.Result
		for what, of := range map[string][4]float64{
			"strength": {x.ABVPercent.Low, x.ABVPercent.High, y.ABVPercent.Low, y.ABVPercent.High},
			"sugar":    {x.SugarGPerL.Low, x.SugarGPerL.High, y.SugarGPerL.Low, y.SugarGPerL.High},
			"volume":   {x.VolumeML.Low, x.VolumeML.High, y.VolumeML.Low, y.VolumeML.High},
		} {
			if width := of[1] - of[0]; of[2] > of[0]+0.005*width || of[3] < of[1]-0.005*width {
				t.Errorf("%s %.4f to %.4f, in parts %.4f to %.4f\n%s", what, of[0], of[1], of[2], of[3], write(1))
			}
		}
		if due.MustAct(one) && !due.MustAct(two) {
			t.Errorf("%s, in parts %s\n%s", one.Keep.Stop, two.Keep.Stop, write(3))
		}
	}
}

// TestUnsaidStrengthIsNoSafer: a bottle without its strength counts for no more than the weakest of
// its class with its label, in the drink and in the jar, steeped in or added.
func TestUnsaidStrengthIsNoSafer(t *testing.T) {
	stopped := 0
	for _, s := range library.Builtin().Spirits() {
		if s.ABVPercent.Low <= 0 || strings.ContainsAny(s.Name, "0123456789") { // or its name says it
			continue
		}
		for number := range somejar.Either(3, 6) {
			write := func(label string) string {
				base, more := line("spirit", s.Name, label+amount("500 ml")), ""
				if number%3 == 2 {
					base, more = line("spirit", "water", amount("50 ml")), line("addition", s.Name, label+amount("500 ml"))
				}
				return begun + base + more + line("botanical", "rhubarb", amount("20 g")) +
					line("addition", "water", amount("%d g", 1+number*somejar.Either(240, 120))) + "[[strained]]\nat = \"115 h\"\n"
			}
			said := judged(t, write(fmt.Sprintf("abv = %g\n", s.ABVPercent.Low)), after(24*9))
			unsaid := judged(t, write(""), after(24*9))
			if x, y := said.WorstABV(), unsaid.WorstABV(); y > x+0.01 {
				t.Errorf("%s, jar %d: %.2f %% vol, without its label %.2f", s.Name, number, x, y)
			}
			if due.MustAct(said) {
				if stopped++; !due.MustAct(unsaid) {
					t.Errorf("%s, jar %d: %s, and without its label to be served", s.Name, number, said.Keep.Stop)
				}
			}
		}
	}
	if stopped < somejar.Either(10, 20) {
		t.Errorf("only %d were stopped", stopped)
	}
}

// TestLimitsAreToldAlike: with how much a limit of a day may be reached is told in one number by every answer about
// a drink that may pass it, in short or whole, and by the label of its bottle.
func TestLimitsAreToldAlike(t *testing.T) {
	told := 0
	for _, thing := range []string{"name = \"coffee beans\"\ncut = \"crushed\"\namount = \"160 g\"",
		"name = \"coffee beans\"\ncut = \"whole\"\namount = \"80 g\"", "name = \"peach leaves\"\namount = \"20 g\"",
		"name = \"cherry leaf\"\namount = \"12 g\"", "name = \"dried sage\"\namount = \"2 g\""} {
		a := judged(t, begun+line("spirit", "vodka", "abv = 40\n"+amount("700 ml"))+"[[botanical]]\n"+thing+
			"\n[[strained]]\nat = \"24 h\"\n[[bottled]]\nof = \"700 ml\"\nat = \"25 h\"\n", after(26))
		short, whole := bottle.Begin(a), bottle.BeginWhole(a)
		var sticks []string
		for _, l := range label.Words(a, label.ForBottle, quantity.Metric).Lines {
			sticks = append(sticks, l.Text)
		}
		for _, c := range a.Keep.Verdict.Cautions {
			if c.Reached == "" || !c.MayPass || c.Lasting || c.Unweighed != "" {
				continue
			}
			told++
			_, within, _ := strings.Cut(c.Reached, ": ")
			for _, texts := range [][]string{bottle.CanHurt(a), short.Danger, whole.Danger,
				bottle.KeepScreen(a, pen.Style{}).Danger, sticks} {
				said := strings.Join(texts, "\n")
				if !strings.Contains(said, within) && !strings.Contains(said, quantity.Say(within, quantity.Metric)) {
					t.Errorf("%s: %q is not told in\n%s", thing, within, said)
				}
			}
		}
		if above := (&pen.Screen{Danger: short.Danger}).Above(slices.Clone(whole.Danger)); !slices.Equal(above, whole.Danger) {
			t.Errorf("%s: in short beside the whole: %q", thing, above)
		}
	}
	if told < 3 {
		t.Errorf("only %d limits were told", told)
	}
}
