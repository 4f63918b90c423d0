package jar

import (
	"math"
	"testing"

	"steepbook/kinetics"
)

var (
	inf    = math.Inf(1)
	bitter = kinetics.Normal{Mean: math.Log(3), SD: 0.7}
)

// plain is a flavour tasted neat and bottled as it is.
func plain(name string, ratePerH, gsd, target float64, scores ...float64) Flavour {
	f := Flavour{Name: name, Prior: kinetics.Usual(ratePerH, gsd), OutH: inf, Target: target, Bottle: Dilution{Share: 1, Exponent: kinetics.Normal{Mean: 0.43, SD: 0.07}}}
	for i := 0; i+1 < len(scores); i += 2 {
		f.Scores = append(f.Scores, Score{Hours: scores[i], Value: scores[i+1]})
	}
	return f
}

func taint(name string, limit float64, scores ...float64) Unwanted {
	u := Unwanted{Name: name, Limit: limit, Bottle: Dilution{Share: 1, Exponent: kinetics.Normal{Mean: 1, SD: 0.18}}, Lag: bitter}
	for i := 0; i+1 < len(scores); i += 2 {
		u.Scores = append(u.Scores, Score{Hours: scores[i], Value: scores[i+1]})
	}
	return u
}

func read(t testing.TB, j Jar, now float64) *Reading {
	t.Helper()
	r, err := j.At(now)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Cases by hand, from the issue that asked for this decision.
func TestByHand(t *testing.T) {
	first := func(r *Reading) Order { return r.Orders[0] }
	// Rosemary, overdone: right at about 8 h, past it a day later.
	o := first(read(t, Jar{Flavours: []Flavour{plain("rosemary", 0.036, 1.86, 5, 3, 1, 8, 5, 14, 8)}}, 38))
	if o.Do != Strain || !o.Overdue || o.BestH < 6.5 || o.BestH > 9.5 || o.Over < 0.9 {
		t.Errorf("rosemary: %+v", o)
	}
	// Black tea with bitter at its limit: strain now, and now is now, at the dose of
	// the library and at three times that.
	for _, dose := range []float64{1, 3} {
		tea := plain("black tea", 1.15, 2.5, 6, 0.05, 4, 0.117, 6)
		tea.Prior = tea.Prior.Stronger(dose, 1)
		o = first(read(t, Jar{Flavours: []Flavour{tea}, Unwanted: []Unwanted{taint("bitter", 2, 0.05, 1, 0.117, 2)}}, 0.117))
		if o.Do != Strain || o.ByH != 0.117 {
			t.Errorf("tea at %g times the dose: %+v", dose, o)
		}
	}
	// Over the target and flat: pull now, it will not fade back.
	o = first(read(t, Jar{Flavours: []Flavour{plain("zest", 0.05, 2, 5, 10, 9, 20, 10, 40, 10)}}, 40))
	if o.Do != Strain || o.ByH != 40 {
		t.Errorf("9, 10, 10: %+v", o)
	}
	// Nobody has tasted: no pull, a first look.
	o = first(read(t, Jar{Flavours: []Flavour{plain("clove", 0.031, 1.9, 5)}}, 400))
	if o.Do != Taste || o.TasteWhy != FirstLook || o.TasteH != 400 {
		t.Errorf("untasted: %+v", o)
	}
	// Red-hot chilli 1, 2.5, 2 of 4: the next look comes within the hour.
	r := read(t, Jar{Flavours: []Flavour{plain("chilli", 0.36, 2.6, 4, 0.2, 1, 0.5, 2.5, 0.75, 2)}}, 0.75)
	if o = first(r); o.Do != Taste || r.NextH > 1.75 {
		t.Errorf("chilli: %+v, next %g", o, r.NextH)
	}
	// Only zeros.
	o = first(read(t, Jar{Flavours: []Flavour{plain("old spice", 0.05, 2, 5, 10, 0, 40, 0, 100, 0)}}, 100))
	if o.Do != Nothing {
		t.Errorf("zeros: %+v", o)
	}
	// Scores 2, 4, 0 of 4: taste again, soon, before anything else.
	r = read(t, Jar{Flavours: []Flavour{plain("odd", 0.05, 2, 4, 10, 2, 20, 4, 40, 0)}}, 40)
	if o = first(r); o.Do != Taste || r.NextH > 50 {
		t.Errorf("2, 4, 0: %+v, next %g", o, r.NextH)
	}
	// Flat at its target, bitter at its limit.
	o = first(read(t, Jar{Flavours: []Flavour{plain("flat", 0.05, 2, 5, 10, 5, 20, 5, 40, 5)}, Unwanted: []Unwanted{taint("bitter", 2, 10, 1, 20, 1.5, 40, 2)}}, 40))
	if o.Do != Strain {
		t.Errorf("flat and bitter: %+v", o)
	}
}

// A limit means "not more than this": found at it once it ends the steep of what is
// within half a point of the strength wanted, a point over it of what is a point
// short; and never does more of the unwanted taste keep a flavour in for longer.
func TestLimitsEndSteeps(t *testing.T) {
	for _, rate := range []float64{0.02, 0.2, 2} {
		if rate != 0.2 && !*long {
			continue
		}
		for _, limit := range []float64{1, 2, 3} {
			for _, short := range []float64{0, 0.5, 1, 1.5, 2, 3} {
				until := inf
				for _, over := range []float64{-1, -0.5, 0, 0.5, 1, 1.5} {
					wanted := 6 - short
					f := plain("cinnamon", rate, 2, 6, 0.3/rate, wanted/2, 1/rate, wanted)
					w := taint("astringent", limit, 0.3/rate, (limit+over)/2, 1/rate, limit+over)
					o := read(t, Jar{Flavours: []Flavour{f}, Unwanted: []Unwanted{w}}, 1/rate).Orders[0]
					if over >= 0 && short <= 0.5+over/2 && o.Do != Strain {
						t.Errorf("rate %g/h, %g of 6, %+g over a limit of %g: %+v", rate, wanted, over, limit, o)
					}
					if o.BestH > 1.02*until {
						t.Errorf("rate %g/h, %g of 6, %+g over a limit of %g: best at %g h, at half a point less %g h", rate, wanted, over, limit, o.BestH, until)
					}
					until = o.BestH
				}
			}
		}
	}
}

// What is still weak after a long steep is not waited for by the month: the next
// thing to do is due within a month and a half, and what was in for a hundred days is
// strained, or looked at within a fortnight where that is as good, as strong as it gets or
// what is to come not worth the wait, or nothing came of it at all.
func TestWeakIsNotWaitedForByTheMonth(t *testing.T) {
	for _, rate := range []float64{0.003, 0.005, 0.01, 0.03, 0.1} {
		for _, target := range []float64{4, 5, 6, 7} {
			for _, most := range []float64{0.5, 1, 1.5} {
				for _, usual := range []float64{8, 16, 32} { // times the usual time
					f := plain("old spice", rate, 2, target)
					for x := usual / 8; x <= usual; x *= 2 {
						f.Scores = append(f.Scores, Score{Hours: x / rate, Value: most})
					}
					f.Scores[0].Value = 0
					now := usual / rate
					o := read(t, Jar{Flavours: []Flavour{f}}, now).Orders[0]
					if o.Do == Nothing {
						continue
					}
					if next := math.Min(o.ByH, o.TasteH); next-now > 45*24 {
						t.Errorf("rate %g/h, %g of %g after %.0f d: %s in %.0f d", rate, most, target, now/24, o.Do, (next-now)/24)
					}
					soon := o.Do == Strain || o.Do == Taste && o.TasteH-now <= 14*24
					if now > 100*24 && (!soon || o.Why != AllThere && o.Why != Little) {
						t.Errorf("rate %g/h, %g of %g after %.0f d: %+v", rate, most, target, now/24, o)
					}
				}
			}
		}
	}
}

func BenchmarkOrders(b *testing.B) {
	j := Jar{Flavours: []Flavour{
		plain("cardamom", 0.03, 2, 3, 6, 1, 14, 2.5), plain("zest", 0.1, 2, 6, 6, 2.5, 14, 4), plain("pepper", 0.02, 2, 2, 6, 0, 14, 0.5),
	}, Unwanted: []Unwanted{taint("bitter", 2, 6, 0, 14, 0.5)}}
	for b.Loop() {
		read(b, j, 14)
	}
}

// The next tasting does not run away: without a new score it stays where it was
// until it is due, and then it is due.
func TestTastingStaysWhereItIs(t *testing.T) {
	for _, c := range []struct {
		name   string
		rate   float64
		scores []float64
	}{
		{"early blank", 0.01, []float64{0.1, 0}},
		{"half way", 0.01, []float64{24, 2}},
		{"quick", 0.36, []float64{0.2, 1, 0.5, 2.5}},
	} {
		f := plain(c.name, c.rate, 2, 5, c.scores...)
		last := c.scores[len(c.scores)-2]
		o := read(t, Jar{Flavours: []Flavour{f}}, last).Orders[0]
		if o.Do != Taste || o.TasteH <= last || o.TasteH > 2/c.rate {
			t.Errorf("%s: %+v", c.name, o)
			continue
		}
		due := o.TasteH
		for _, share := range []float64{0.2, 0.5, 0.9, 0.999} {
			now := last + share*(due-last)
			if o = read(t, Jar{Flavours: []Flavour{f}}, now).Orders[0]; o.Do != Taste || math.Abs(o.TasteH/due-1) > 1e-9 {
				t.Errorf("%s: due at %.4g h, asked at %.4g h %s at %.4g h", c.name, due, now, o.Do, o.TasteH)
			}
		}
		if o = read(t, Jar{Flavours: []Flavour{f}}, due).Orders[0]; o.Do != Taste || o.TasteH != due {
			t.Errorf("%s: at %.4g h, when it is due: %s at %.4g h", c.name, due, o.Do, o.TasteH)
		}
	}
}

// An unwanted taste found before a flavour went in is not of its making.
func TestLateSuspectIsNotBlamed(t *testing.T) {
	in, late := plain("cinnamon", 0.01, 2, 5, 48, 2), plain("clove", 0.03, 2, 3)
	late.InH = 72
	s := read(t, Jar{Flavours: []Flavour{in, late}, Unwanted: []Unwanted{taint("bitter", 2, 48, 1)}}, 80).Unwanted[0]
	if s.Likeliest() != 0 || s.Sources[0].Probability < 0.95 {
		t.Errorf("bitter at 48 h, clove in at 72 h: %+v", s.Sources)
	}
}

// A fault that nobody scores is as strong as the flavour is found to be.
func TestFaultFollowsItsFlavour(t *testing.T) {
	weak, strong := plain("clove", 0.03, 2, 6, 24, 1, 72, 1, 168, 1), plain("clove", 0.03, 2, 6, 24, 4, 72, 7, 168, 8)
	for _, f := range []*Flavour{&weak, &strong} {
		f.Fault = &Fault{What: "numbing", Low: 72, Usual: 168, Highest: 336}
	}
	if o := read(t, Jar{Flavours: []Flavour{weak}}, 168).Orders[0]; o.Why == Spoils {
		t.Errorf("1 of 6 spoils: %+v", o)
	}
	strong.Target = 9
	if o := read(t, Jar{Flavours: []Flavour{strong}}, 168).Orders[0]; o.Why != Spoils {
		t.Errorf("8 of 9 a week on does not: %+v", o)
	}
}

// Nobody is told to be there at night: the stretch that is right ends in the
// evening before and begins in the morning after.
func TestNightsAreSlept(t *testing.T) {
	awake := func(h float64) (before, after float64) { // hours since a noon, up from 7 to 23
		if clock := math.Mod(h+12, 24); clock < 7 {
			return h - clock - 1, h - clock + 7
		} else if clock > 23 {
			return h - clock + 23, h - clock + 31
		}
		return h, h
	}
	for hours := 3.0; hours < 120; hours += 0.5 { // some at 23 o'clock
		f := plain("zest", 0.02, 2, 5, hours/2, 2, hours, 3.5)
		if hours < 20 { // in for five hours
			f = plain("pepper", 0.2, 2, 3, hours, 1)
			f.InH = hours - 5
		}
		o := read(t, Jar{Flavours: []Flavour{f}, Awake: awake}, hours).Orders[0]
		if o.Do == Taste && o.TasteH <= hours {
			t.Errorf("tasted at %g h, taste again at %g h", hours, o.TasteH)
		}
		for _, at := range []float64{o.FromH, o.UntilH} {
			if before, after := awake(at); at > hours && before != after && (o.BestH <= before || o.BestH >= after) {
				t.Errorf("asked at %g h: right from %g to %g h, best at %g h", hours, o.FromH, o.UntilH, o.BestH)
			}
		}
	}
}

// A score far past the strength wanted, where all else says that it is not there yet, is given
// once more at once; a second one as high takes it out, and a second tongue beside it is enough.
func TestTornIsTastedAgain(t *testing.T) {
	for _, c := range []struct {
		scores []float64
		do     Do
		why    NextWhy
	}{
		{[]float64{8, 0.5, 20, 1, 30, 1.2, 34, 6}, Taste, Again},
		{[]float64{8, 0.5, 20, 1, 30, 1.2, 34, 6, 34, 6}, Strain, ""},
		{[]float64{8, 0.5, 20, 1, 30, 1.2, 34, 1.5}, Taste, Decides},
	} {
		f := plain("wormwood", 0.01, 3, 4, c.scores...)
		o := read(t, Jar{Flavours: []Flavour{f}}, 34).Orders[0]
		if o.Do != c.do || o.TasteWhy != c.why || o.Do == Taste && !(o.TasteH > 34) || o.TasteWhy == Again && o.TasteH > 34.1 {
			t.Errorf("%v: %+v", c.scores, o)
		}
	}
}

// What is short of the strength wanted when the night begins, and would be far past it by
// morning, comes out because of the night, and says so; a moment in the night is one that is
// worth a point squared more than by day.
func TestNightIsTheReason(t *testing.T) {
	asleep := func(h float64) (before, after float64) { // from four hours on, for eight
		if h > 4 && h < 12 {
			return 4, 12
		}
		return h, h
	}
	seen := map[any]bool{}
	for target := 2.0; target <= 9; target += 0.25 {
		f := plain("pods", 0.2, 2, target, 2, 1, 4, 2)
		free, slept := read(t, Jar{Flavours: []Flavour{f}}, 4).Orders[0], read(t, Jar{Flavours: []Flavour{f}, Awake: asleep}, 4).Orders[0]
		at := slept.ByH
		if slept.Do == Taste {
			at = slept.DueH
		}
		before, after := asleep(at)
		if (before != after) != (slept.Night == GetUp) {
			t.Errorf("%g wanted: at %g h, %q", target, at, slept.Night)
		}
		if slept.Why == Sleep && (slept.Do != Strain && slept.Do != Pull || free.Do == slept.Do) {
			t.Errorf("%g wanted: %+v by night, %+v without one", target, slept, free)
		}
		seen[slept.Why], seen[slept.Night] = true, true
	}
	for _, want := range []any{Sleep, GetUp, Moved} {
		if !seen[want] {
			t.Errorf("no jar of these is %v: %v", want, seen)
		}
	}
}

// A look at a slow jar is in the evening, where that is near by the clock of the jar, and never
// before the look that it follows; a quick one is looked at when it is best.
func TestSlowJarsAreTastedInTheEvening(t *testing.T) {
	evening := func(h float64) float64 { return 24*math.Round((h-7)/24) + 7 } // seven hours in, each day
	var plainly, not int
	for hours := 3.0; hours < 400; hours *= 1.17 {
		f := plain("zest", 0.5/hours, 2, 5, hours/2, 1.5, hours, 2.5)
		free, o := read(t, Jar{Flavours: []Flavour{f}}, hours).Orders[0], read(t, Jar{Flavours: []Flavour{f}, Handy: evening}, hours).Orders[0]
		if free.Do != Taste {
			continue
		}
		off := math.Abs(evening(free.TasteH) - free.TasteH)
		if near := off <= handyWithin*free.TasteH && evening(free.TasteH) > hours+minute; near != (o.TasteH == evening(free.TasteH)) {
			t.Errorf("at %g h: best at %g h, told %g h", hours, free.TasteH, o.TasteH)
		} else if near {
			plainly++
		} else {
			not++
		}
		if o.Do != free.Do || o.TasteH <= hours {
			t.Errorf("at %g h: %+v, else %+v", hours, o, free)
		}
	}
	if plainly < 3 || not < 3 {
		t.Errorf("%d in the evening, %d not", plainly, not)
	}
}

// What a maker tastes of a watch is believed, or is asked for once more: no first score of 9 is
// "fine", whatever brings it and however slow that is.
func TestScoredWatchIsBelieved(t *testing.T) {
	for _, c := range []struct {
		rates  []float64
		scores []float64 // hours, score, in turn
		least  float64   // points, of the belief at the last of them
		why    NextWhy
	}{
		{[]float64{0.3}, []float64{3, 9}, 5, ""},
		{[]float64{0.05, 0.3, 0.05}, []float64{3, 9}, 5, ""},
		{[]float64{0.01}, []float64{3, 9}, 4, ""},
		{[]float64{0.01}, []float64{3, 9, 3.1, 9}, 8, ""},
		{[]float64{0.3}, []float64{3, 9, 3.1, 0}, 0, ""},
		{[]float64{0.05}, []float64{3, 1, 6, 9}, 0.5, Again},
	} {
		j := Jar{Unwanted: []Unwanted{taint("bitter", 2, c.scores...)}}
		for _, rate := range c.rates {
			j.Flavours = append(j.Flavours, plain("a", rate, 2.5, 5))
		}
		last := c.scores[len(c.scores)-2]
		r := read(t, j, last)
		o := r.Orders[len(c.rates)]
		if got := r.Unwanted[0].Strength(last).Mean; got < c.least || o.TasteWhy != c.why {
			t.Errorf("%v of %v: %.2f, over with %.2f, %q", c.scores, c.rates, got, o.Over, o.TasteWhy)
		}
	}
}

// A taste that is a flavour's own is laid to that one, however slow, and not to what is merely
// quicker; what makers report of one comes before what nobody says.
func TestKnownBringerIsBlamed(t *testing.T) {
	u := taint("bitter", 8, 2.25, 9)
	j := Jar{Flavours: []Flavour{
		plain("anise", 0.2, 2.5, 2), plain("peel", 0.02, 2.5, 5), plain("root", 0.01, 2, 5),
	}}
	blamed := func(ties ...Tie) int {
		u.Ties = ties
		j.Unwanted = []Unwanted{u}
		return read(t, j, 2.25).Unwanted[0].Likeliest()
	}
	if got := [3]int{blamed(), blamed(Unheard, Unheard, Itself), blamed(Unheard, Reported, Unheard)}; got != [3]int{0, 2, 1} {
		t.Errorf("blamed are %v", got)
	}
}

// Nothing is taken out for good by a score that is not believed, its own or that of the watch that
// would end it: a slip of 8 for 0.8, or a first bitter of 6. The second one decides.
func TestSlipTakesNothingOut(t *testing.T) {
	for _, high := range []float64{3.2, 4, 5, 6, 8, 10} {
		f := plain("wormwood", 0.01, 2, 2, 5, high)
		o := read(t, Jar{Flavours: []Flavour{f}}, 5).Orders[0]
		if believed := read(t, Jar{Flavours: []Flavour{f}}, 5).Wanted[0].Mean(5); believed < 2 && (o.Do != Taste || o.TasteWhy != Again) {
			t.Errorf("%g at 5 h, believed to be %.1f: %+v", high, believed, o)
		}
	}
	f, u := plain("gentian", 0.03, 2, 4, 13, 1), taint("bitter", 4, 5, 0.5, 11, 0.5, 13, 6)
	u.Ties = []Tie{Itself}
	at := func(hours float64) (o, w Order) {
		r := read(t, Jar{Flavours: []Flavour{f}, Unwanted: []Unwanted{u}}, hours)
		return r.Orders[0], r.Orders[1]
	}
	if o, w := at(13); w.TasteWhy != Again || o.Do != Taste {
		t.Errorf("bitter of 6: %+v, %+v", o, w)
	}
	u.Scores = append(u.Scores, Score{Hours: 13.1, Value: 6})
	if o, w := at(13.1); w.TasteWhy == Again || o.Do == Taste && o.TasteWhy == Again {
		t.Errorf("asked a second time: %+v, %+v", o, w)
	}
}
