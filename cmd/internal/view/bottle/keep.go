// Package bottle says what is in the bottle and where it keeps until when: what was
// poured and what it costs, what is dangerous in it, which bottles are open.
package bottle

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// KeepScreen is where the bottle keeps and until when.
func KeepScreen(a *bench.Assessment, style pen.Style) pen.Screen {
	a = a.Speaking()
	k, s := a.Keep, BeginWhole(a, KeepSentence(a, style))
	s.Holds = Allergens(a)
	var seen []string
	for i := range k.Outcomes {
		seen = append(seen, OutcomeWords(a, &k.Outcomes[i]))
	}
	s.Danger = append(s.Danger, lackWords(a, style)...)
	view.Standing(&s, a)
	grave, others := gravest(a)
	for _, g := range grave {
		again := func(said string) bool { return strings.Contains(said, lowered(g)) || said == g }
		if !slices.ContainsFunc(slices.Concat(s.Danger, s.Due), again) {
			s.Danger = append(s.Danger, g)
		}
	}
	if !k.Withheld() && k.Verdict.Verdict != shelf.VerdictShelf { // where it may cost days
		for _, text := range k.AsFresh {
			s.Danger = append(s.Danger, quantity.Capital(text)+".")
		}
	}
	s.Notes = append(others, Undissolved(a)...)
	if !k.EmptiedAt.IsZero() { // there is nothing to keep, and nothing to fear
		s.Danger, s.Due, s.Notes, s.Rows = nil, nil, nil, rows([][]string{{"Seen", strings.Join(seen, " ")},
			{"Your scores", ownScores(a)}})
		return s.Said(style.Units)
	}
	s.Rows = rows([][]string{{"Not logged", untoldWords(a)},
		{"Bottles", quantity.Capital(strings.TrimSuffix(BottlesWords(a), "."))},
		{"Seen", strings.Join(seen, " ")}, {"Waits", waitsWords(a)},
		{"Days run", daysRun(a)}, {"Safe", safeWords(a, style)},
		{"Best", bestWords(a, style)}, {"Opened", openedWords(a)}, {"Your scores", ownScores(a)},
		{"For longer", easiest(a, style)}, {"Sure", sure(a)}, {"Left over", LeftOver(a, style)}})
	return s.Said(style.Units)
}

// Undissolved says what does not stay in solution where it stands, and what holds it; none where all of it does.
func Undissolved(a *bench.Assessment) (said []string) {
	a.Judge()
	for _, m := range a.Blend.Remarks {
		if m.Kind == mixture.Undissolved && !a.Keep.NoPlace() {
			said = append(said, m.Text)
		}
	}
	return said
}

// doubtWords says of liquor that waits when it would be over, had what nobody logged gone in as soon as
// it could, or that it is not over if that went in in time; none where neither is so.
func doubtWords(a *bench.Assessment) []string {
	day := view.DateOf(a.Keep.IfMixedSafe, a.Now)
	switch k := a.Keep; {
	case k.Lacked():
		return []string{fmt.Sprintf("If the %s went in by then, log it with add, --at its hour.", toCome(a))}
	case k.SafePast || k.IfMixedSafe.IsZero() || !a.Now.After(k.IfMixedSafe):
		return nil
	case !k.OverIfMixed: // it waits for the day of its plan
		return []string{quantity.Capital(view.IfIn(k.IfMixedSafe, day, a.Now)) + ": log what goes in."}
	}
	all := "all has"
	if a.Waits() {
		all = "the " + toCome(a) + quantity.Verb(len(a.Recipe.ToCome), " has", " have")
	}
	return []string{fmt.Sprintf("If %s gone in since it was strained, do not serve it: that was good until %s. "+
		"Log what goes in.", all, day)}
}

// waitsWords says of liquor that waits for what it does by the log, and to which day it is expected.
func waitsWords(a *bench.Assessment) string {
	waits, rest := a.Waits() && !a.Keep.Withheld(), "the rest"
	if a.Keep.OverIfMixed || a.Keep.Lacked() || !waits && a.Keep.IfMixed.IsZero() {
		return ""
	}
	if waits {
		rest = "the " + toCome(a)
	}
	day := func(t time.Time) string { return view.DateOf(t, a.Now) }
	return "for " + rest + view.Expected(view.LookAt(a), day) + "; log what goes in"
}

// untoldWords names what nobody logged, and what of that counts: that it is in, or that days, or those of the
// taste, run from straining.
func untoldWords(a *bench.Assessment) string {
	names, counts := a.NotLogged(), "so the days run from straining"
	switch {
	case len(names) == 0:
		return ""
	case len(Untold(a)) > 0 && a.Keep.UntoldTaste:
		counts = "so taste runs from straining"
	case len(Untold(a)) > 0:
	case a.Blend.Result.MayLack: // which is said first of all
		return ""
	default:
		counts = "counted as in"
	}
	return quantity.And(names) + ", " + counts + ": log when that went in"
}

// rows leaves out what has nothing to say.
func rows(list [][]string) [][]string {
	return slices.DeleteFunc(list, func(row []string) bool { return row[len(row)-1] == "" })
}

// Keep prints where the bottle keeps and until when; with why also the rules, the places
// and all cautions.
func Keep(p *pen.Page, a *bench.Assessment, why bool) error {
	if p.JSON {
		return p.WriteJSON(KeepJSON(a))
	}
	s := KeepScreen(a, p.Style)
	if !why {
		p.Screen(s, pen.OfKeep)
		return p.Done()
	}
	a = a.Speaking()
	k := a.Keep
	v := &k.Verdict
	s.Notes = nil // in full below
	if text, well := view.AimSentence(a); well {
		s.Notes = []string{text}
	}
	p.Screen(s, pen.Whole)
	p.Line("")
	p.Pairs([]pen.Pair{
		{"Decided by", decidedBy(v)},
		{"Ends with", v.EndedBy},
		{"Let it rest", restWords(a)},
		{"Measure", strings.Join(needs(a), "; ")},
		{"To move it", strings.Trim(a.StrongerJar()+"\n"+changes(p, a), "\n")},
		{"House rules", strings.Join(k.House, "\n")},
		{"Must not be", strings.Join(k.MustNot, "\n")},
		{"May be", strings.Join(k.MayBe, "\n")},
		{"From memory", a.Recipe.FromMemory()},
	})
	if len(v.Reasons) > 0 {
		p.Line("")
		p.Table([]string{"met", "what was looked at, at the worse end of each range or, if worse, with our margin, half as wide for what was measured"},
			pen.Each(v.Reasons, ReasonRow))
	}
	if places := a.Places(); len(places) > 0 {
		p.Line("")
		p.Table([]string{"place", "sound, sealed", "sound, opened", "taste, sealed"},
			pen.Each(places, func(t *shelf.Verdict) []string {
				taste := t.FlavourText
				if t.Unopened.High <= 0 {
					taste = ""
				}
				return []string{string(t.Place) + ", " + p.Temperature(t.AtC), t.Unopened.Words,
					t.OpenedSound.Words,
					taste}
			}))
	}
	if len(v.Cautions)+len(v.Warnings)+len(Undissolved(a)) > 0 {
		p.Line("")
	}
	for _, c := range v.Cautions {
		if c.Kind != "law" { // said below
			p.Item("%s", ofDrink(k, c.Text, c.Text))
		}
	}
	p.Items(slices.Concat(v.Warnings, Undissolved(a)))
	p.Line("")
	if !k.Advised.Until.IsZero() {
		p.Para("Of so many days the first is that on which they begin.")
	}
	p.Para("Judged from what went in, not measured; not a validated process. For a sale, the paper behind " +
		"the strength that holds microbes here (Acharya and Nummer 2022) tells makers to show pH below 4.2 " +
		"or a cell of the Food Code table that needs no cold, or to keep it cold; local rules and a " +
		"licensed process authority decide. When in doubt, throw it out.")
	return p.Done()
}

// KeepSentence is the answer, as one would say it: the place and the day.
func KeepSentence(a *bench.Assessment, style pen.Style) string {
	a.Judge()
	k, v := a.Keep, &a.Keep.Verdict
	best := view.DateOf(k.Best.Until, a.Now)
	drink := quantity.Capital(first(a) + "drink ")
	switch {
	case !k.EmptiedAt.IsZero():
		return fmt.Sprintf("Nothing is left of it: the last was gone on %s.", view.DateOf(k.EmptiedAt, a.Now))
	case k.Stop != "":
		return stopWords(a)
	case v.Verdict == shelf.VerdictUnknown && len(v.Needs) > 0:
		return "Keep it cold, for where it keeps cannot be said yet: " + v.Needs[0] + "."
	case v.Verdict == shelf.VerdictUnknown:
		return "Keep it cold, for where it keeps cannot be said yet."
	case k.SafePast:
		return goneWords(a)
	case k.Past && k.EndsByAir():
		return fmt.Sprintf("%s%s up or cook with it: opened wine, good until %s (%s ago)%s.", drink, What(a),
			view.DateOf(k.Advised.Until, a.Now), countDays(a.Now, k.Advised.Until), still(a))
	case k.Past && k.Best.Until.Equal(k.TooStrong.OutBy()) && first(a) == "":
		day := func(t time.Time) string { return view.DateOf(t, a.Now) }
		return quantity.Capital(tooStrong(k.TooStrong.Due(a.Now), a.Now, day)) + still(a) + "."
	case k.Past && a.Now.Before(k.BestEnds):
		return fmt.Sprintf("%s%s soon: after %s (%s ago) %s taste goes%s.", drink, What(a), best,
			countDays(a.Now, k.Best.Until), Them(a, "its", "their"), still(a))
	case k.Past:
		return fmt.Sprintf("%s%s up: %s best until %s (%s ago)%s.", drink, What(a),
			Them(a, "it was at its", "they were at their"), best, countDays(a.Now, k.Best.Until), still(a))
	}
	head := quantity.Capital(first(a) + Alone(a) + "keep " + What(a) + " " + InPlace(style, k))
	if v.Verdict == shelf.VerdictDiscard || k.NotThere {
		head += ", nowhere warmer"
	}
	if k.Advised.ForTaste {
		head += " for its taste"
	}
	until, days := k.Advised.Until, k.Days(&k.Advised)
	until2 := view.DateOf(until, a.Now) + left(until, a.Now)
	switch {
	case k.OverIfMixed: // no day is told before that
		return head + " until it is known whether the rest is in."
	case k.ForTheDay():
		return forTheDay(a, style)
	case until.IsZero() && days.Open() && k.OpenEnds():
		return head + ": no date, sealed; opened, " + k.Advised.Opened.Words + "."
	case until.IsZero() && days.Open():
		return head + ": no date, sealed or opened."
	case !until.IsZero():
		return fmt.Sprintf("%s%s%s.", head, By(a), view.GoodBy(k.TasteFirst(), until2))
	case k.TasteFirst():
		return fmt.Sprintf("%s, best for %s from %s.", head, days.Words, view.RunsFrom(a))
	}
	return fmt.Sprintf("%s, good for %s from %s.", head, days.Words, view.RunsFrom(a))
}

// first is what to do before it is kept or drunk at all, the gravest alone; "" where it may just be kept.
func first(a *bench.Assessment) string {
	k, weigh, less := a.Keep, []string{}, []string{}
	for _, c := range k.Verdict.Cautions {
		if c.MayPass && c.Unweighed != "" {
			weigh = append(weigh, c.Unweighed)
		}
		if c.Less != "" {
			less = append(less, c.Less)
		}
	}
	switch {
	case len(k.Lain())+len(k.Unknown) > 0:
		return view.IfDrunk(k)
	case len(weigh) > 0:
		return fmt.Sprintf("weigh the %s; if %s, ", quantity.And(weigh),
			quantity.Verb(len(weigh), "it is within its limit", "they are within their limits"))
	case len(less) > 0:
		return fmt.Sprintf("thin it, for the %s in it; then ", quantity.And(less))
	}
	return view.IfDrunk(k)
}

// Alone is view.Alone of a screen.
func Alone(a *bench.Assessment) string {
	return view.Alone(a, func(t time.Time) string { return view.DateOf(t, a.Now) })
}

// still says how long it stays sound beyond its best.
func still(a *bench.Assessment) string {
	k := a.Keep
	first := k.FirstSafe(a.Now)
	switch {
	case !first.IsZero() || !k.Safe.Until.IsZero():
		return "; " + view.GoodBy(false, view.DateOf(cmp.Or(first, k.Safe.Until), a.Now))
	case k.Safe.Sealed.Open() && view.IfDrunk(k) == "":
		return "; it is still sound"
	}
	return ""
}

// InPlace says where a bottle is advised to stand.
func InPlace(style pen.Style, k *keeping.Keep) string {
	if x := k.WaitsIn(); x.Place != "" {
		return in(x.Place, x.AtC, style) + " until the rest is in"
	}
	if k.Advises() == shelf.VerdictShelf {
		return "on a shelf"
	}
	return in(k.Advised.Place, k.Advised.AtC, style)
}

// in says that something stands at a place.
func in(place shelf.Place, celsius float64, style pen.Style) string {
	switch at := " at " + style.Temperature(celsius); {
	case place == shelf.Cellar, place == shelf.Room, !place.Counts(celsius):
		return view.InPlace(place) + at
	case place == shelf.Fridge, place == shelf.Freezer:
		return view.InPlace(place)
	}
	return "on a shelf"
}

// safeWords says where microbes leave it alone, how long, what decides, and how near it is to
// keeping worse.
func safeWords(a *bench.Assessment, style pen.Style) string {
	if a.Keep.Safe.Place == "" {
		return ""
	}
	return strings.TrimSuffix(soundWords(a, style)+"; "+a.Keep.Verdict.Edge, "; ")
}

// wideABV is how far below the likely strength the one that is judged on is named, % vol.
const wideABV = 5

func soundWords(a *bench.Assessment, style pen.Style) string {
	k, v := a.Keep, &a.Keep.Verdict
	abv, pH, sour := a.JudgedOn()
	at := "at " + pen.Number(a.Blend.Bottle.ABVPercent) + " % vol"
	switch {
	case a.Blend.Ferments():
		at = AtStrength(&a.Blend)
	case abv < 0.05:
		at = "without alcohol"
	case a.WorstABV() < abv-wideABV:
		at = fmt.Sprintf("if it has no less than %.0f %% vol", a.WorstABV())
	}
	if sour {
		at += ", pH " + pen.Fixed(pH, 1)
	}
	place, days := in(k.Safe.Place, k.Safe.AtC, style), k.Days(&k.Safe)
	switch {
	case v.Verdict == shelf.VerdictShelf && k.Safe.Place != shelf.Freezer:
		if place = "on a shelf"; k.Advised.Place != shelf.Room {
			place += " too"
		}
		until := ", no date"
		switch {
		case !days.Open():
			until = ", " + days.Words
		case !k.Safe.Until.IsZero():
			until = ", to " + view.DateOf(k.Safe.Until, a.Now)
			if there := k.WaitsIn(); there.Place != "" {
				until = " once the rest is in, until then " + in(there.Place, there.AtC, style) + until
			}
		}
		return place + until + ": nothing should grow " + at
	case k.Safe.Place == shelf.Freezer && v.Fails:
		return "in the freezer, no date, if it went in on the day it was made: freezing stops what grows and kills nothing"
	case k.Safe.Place == shelf.Freezer:
		return "in the freezer, no date: nothing grows while it is frozen"
	}
	if place += ", " + days.Words; days.None() {
		return place
	}
	closed, rule := " sealed", v.Rule
	if !k.OpenedAt.IsZero() {
		closed, rule = " opened", v.OpenedRule
	}
	if !v.Fails {
		place += closed
	}
	if !k.Safe.Until.IsZero() {
		whole, now := "", ""
		if k.AsItIs() {
			whole, now = " once the rest is in", " as it is"
		}
		place += fmt.Sprintf("%s (to %s%s)", whole, view.DateOf(k.Safe.Until, a.Now), now)
	}
	switch {
	case v.Fails:
		return place + ": " + dangerWords(v)
	case strings.Contains(rule, "milk or egg"):
		return place + ": as such drinks are kept, " + at
	case strings.HasPrefix(rule, "cap ") || v.Guild == "":
		return place + ": no trial ran longer, " + at
	}
	return place + ": then " + guildWords[v.Guild] + ", " + at
}

// dangerWords says in a few words why it is days only.
func dangerWords(v *shelf.Verdict) string {
	o := v.DecidedBy.Organism
	for _, d := range []struct{ organism, words string }{
		{"botulinum", "botulism, which nobody sees or smells"},
		{"Listeria", "milk: Listeria"},
		{"Bacillus", "nut milk spoils like milk"},
		{"Staphylococcus", "neither strong nor sour enough"},
		{"Salmonella", "egg: Salmonella"},
	} {
		if strings.Contains(o, d.organism) {
			return d.words
		}
	}
	return v.DecidedBy.Text
}

// guildWords names what ends a bottle first, for a kitchen.
var guildWords = map[string]string{
	"hardy yeast": "yeast", "wine yeast": "yeast", "osmophilic yeast": "yeast", "cold yeast": "yeast",
	"strong-drink lactics": "souring bacteria", "juice lactics": "souring bacteria", "mould": "mould",
	"acetic bacteria": "vinegar bacteria",
}

// bestWords says how long its taste holds, and which part goes first.
func bestWords(a *bench.Assessment, style pen.Style) string {
	k := a.Keep
	day := func(t time.Time) string { return view.DateOf(t, a.Now) }
	switch out := k.TooStrong.OutBy(); {
	case !out.IsZero() && (k.Advised.Until.IsZero() || k.Advised.Until.Equal(out)):
		return strings.Join(tooLong(k, a.Now, day), "; ")
	case !k.BestKnown && k.Verdict.Fails:
		return ""
	case !k.BestKnown:
		return k.Verdict.FlavourText
	case k.Best.Sealed.Low > k.Safe.Sealed.High:
		return "" // it is gone before that
	}
	f := a.FadesFirst()
	of := quantity.And(f.Of)
	if len(f.Of) > 2 {
		of = f.Of[0] + " and others"
	}
	fades := fmt.Sprintf("then the %s of the %s fades", f.Attribute, of)
	place := in(k.Best.Place, k.Best.AtC, style)
	if f.Beyond {
		return fmt.Sprintf("days, not weeks, %s, %s", place, fades)
	}
	words := fmt.Sprintf("%s %s, %s", f.Time.Words, place, fades)
	if warm := k.Verdict.Fades; k.Best.AtC < k.Verdict.AtC && warm != nil && slices.Equal(warm.Of, f.Of) {
		words += fmt.Sprintf("; %s in a room", warm.Time.Words)
	}
	return words
}

// openedWords says what opening changes, with the day where it was opened.
func openedWords(a *bench.Assessment) string {
	k := a.Keep
	switch {
	case k.Safe.Place == "":
		return ""
	case !k.OpenedAt.IsZero():
		from := "then"
		if k.AiredFrom.After(k.OpenedAt) {
			from = view.DateOf(k.AiredFrom, a.Now) + ", when more went in"
		}
		air := ""
		if k.EndsByAir() {
			air = ", when the air has spoilt its wine"
		}
		return fmt.Sprintf("on %s: %s from %s%s", view.DateOf(k.OpenedAt, a.Now), k.Advised.Opened.Words, from, air)
	case k.Safe.Place == shelf.Freezer:
		full, why := k.Fill()
		return "no different while it is frozen; filled " + full + ": " + why
	case k.Advised.Opened.Open():
		return "no different; keep it full"
	}
	return k.Advised.Opened.Words
}

// sure says how far the answer can be trusted, why, and what would help most.
func sure(a *bench.Assessment) string {
	v := &a.Keep.Verdict
	if a.Keep.Advised.Place == "" {
		return ""
	}
	text := surely[v.Confidence]
	if v.ConfidenceText != "" {
		text += ": " + v.ConfidenceText
	}
	if list := needs(a); len(list) > 0 && v.Verdict != shelf.VerdictUnknown {
		text += "; " + list[0]
	}
	return text
}

// surely is how sure an answer is, in a word.
var surely = map[string]string{"low": "not very", "moderate": "fairly", "high": "very"}

// Allergens names what has to be declared; empty where nothing has.
func Allergens(a *bench.Assessment) string {
	return strings.Join(pen.Each(a.Keep.Allergens, func(al *library.Allergen) string {
		if names := heldBy(a.Keep, al.Name); names != "" {
			return al.Declared() + ", in " + names
		}
		return al.Declared()
	}), "; ")
}
