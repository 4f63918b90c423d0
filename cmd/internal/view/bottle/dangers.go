package bottle

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/harm"
	"steepbook/shelf/remark"
)

// gravest are the cautions that matter, in their first words, the gravest first: those that must
// be said, and the first of what the plants do and of what bursts, or else the first one, with a
// second where both are short; and the others. What nobody knows stands before them.
func gravest(a *bench.Assessment) (first, others []string) {
	k := a.Keep
	first = unknownWords(k)
	room, kinds, alone := shortCautions, map[string]bool{}, len(first) == 0
	for _, c := range cautionsIn(k, "botulism", "raw egg", "raw milk", "stale", "fat", "hazard", "neat", "pressure",
		"preservative", "dairy", "cold") {
		said := cautionWords(k, c) + "."
		must := c.Must() || !kinds[c.Kind] && (c.Kind == "hazard" || c.Kind == "neat" || c.Kind == "pressure" ||
			c.Kind == "cold")
		switch kinds[c.Kind] = true; {
		case slices.Contains(first, said) || slices.Contains(others, said):
			continue
		case must, alone && len(first) == 0, alone && len(first) == 1 && len(said) < room && len(others) == 0:
			first = append(first, said)
		default:
			others = append(others, said)
		}
		room -= len(said)
	}
	return first, others
}

// unknownWords ask of what nobody knows here what was meant, and say who has to find out,
// wherever something is to be tasted or drunk.
func unknownWords(k *keeping.Keep) (said []string) {
	if len(k.Meant) > 0 {
		said = append(said, strings.Join(pen.Each(k.Meant,
			func(m *string) string { return quantity.Capital(*m) }), " "))
	}
	if len(k.Unknown) > 0 && k.Stop != keeping.Ask {
		said = append(said, fmt.Sprintf("%s: not known here, so whether it may be drunk at all is yours to find out.",
			quantity.Capital(quantity.And(k.Unknown))))
	}
	return said
}

// OfNames is what is said of a thing for its name alone, however much of it there is: that it must not be
// steeped, or that nobody knows it here.
func OfNames(a *bench.Assessment) []string {
	stop := stopWords(a)
	said := unknownWords(a.Keep)
	if a.Keep.Stop == keeping.Never || a.Keep.Stop == keeping.Ask {
		said = append(said, stop)
	}
	return said
}

// cautionsIn are the cautions of these kinds in their order, what is or may be over a limit
// left out: that is said by itself.
func cautionsIn(k *keeping.Keep, kinds ...string) (list []*harm.Caution) {
	for i := range k.Verdict.Cautions {
		if c := &k.Verdict.Cautions[i]; slices.Contains(kinds, c.Kind) && !c.Over && !c.MayPass {
			list = append(list, c)
		}
	}
	return list
}

// cautionWords are a caution in a few words: what to do, or else how it begins.
func cautionWords(k *keeping.Keep, c *harm.Caution) string {
	return ofDrink(k, c.Text, cmp.Or(strings.TrimSuffix(c.Do, "."), firstClause(c.Text)))
}

// Begin begins the screen of an answer about a batch: what must not be drunk stands above
// whatever is said, and what can hurt right below: in short what hurts by habit, or is told to whoever drinks it.
func Begin(a *bench.Assessment, say ...string) pen.Screen { return begin(a, false, say) }

// BeginWhole is Begin with all of that, where it is new, or about to be drunk or given away.
func BeginWhole(a *bench.Assessment, say ...string) pen.Screen { return begin(a, true, say) }

func begin(a *bench.Assessment, whole bool, say []string) pen.Screen {
	s := pen.Screen{Say: say, Danger: canHurt(a, whole)}
	if stop := stopWords(a); stop != "" {
		s.Danger = s.Danger[1:]
		if len(say) == 0 || say[0] != stop {
			s.Say, s.Due = []string{stop}, say
		}
	}
	return s
}

// stopWords say that nobody may drink it, in the same words wherever it is said; empty
// where it may be served.
func stopWords(a *bench.Assessment) string {
	a.Judge()
	k := a.Keep
	if !k.EmptiedAt.IsZero() {
		return "" // there is nothing to fear
	}
	switch k.Stop {
	case keeping.Never:
		return "Do not drink or keep this: " + strings.Join(pen.Each(k.MustNot,
			func(m *string) string { return firstSentence(*m) }), " ")
	case keeping.Ask:
		return "Ask first, and taste nothing: " + strings.Join(k.MayBe, "; ") + "."
	case keeping.Sick:
		switch {
		case k.Verdict.TooLate:
			return "Do not drink it: it lay too long in a jar that was neither strong nor sour enough."
		case k.StoodWarm:
			return "Do not drink it: by the file it stands warmer than a fridge, and nothing in it holds back what makes people ill."
		case !k.Withheld():
			return goneWords(a)
		case len(k.Over) > 0:
			return "Do not drink it: its days are over, and more of a substance is in it than its limit."
		}
		return "Do not keep it as it is written."
	case keeping.Untold:
		return "Do not taste it: whether it may be drunk cannot be said, for " + k.Unjudged + "."
	case keeping.Living:
		o := k.Alive()
		return fmt.Sprintf("Do not serve it: %q was noted on %s.", o.What, view.DateOf(o.At, a.Now))
	case keeping.Closed:
		return fmt.Sprintf("Open every closed bottle of it now: %s in it %s gas, and they can burst.", quantity.And(k.Gas),
			quantity.Verb(len(k.Gas), "makes", "make"))
	case keeping.TooMuch:
		return "Do not serve it as it is: " + lowered(TastingWords(a))
	case keeping.Gone:
		return goneWords(a)
	}
	if k.SafePast { // of one bottle, and others are not
		return goneWords(a)
	}
	return ""
}

// WasStopped says why nothing was to be drunk of a bottle that is empty, or of a batch of which nothing is
// left; "" where some is, or it was to be drunk.
func WasStopped(a *bench.Assessment, number int) string {
	k, seen := a.Keep, a.Keep.Condemned(number)
	why := cmp.Or(string(k.Stop), k.Verdict.DecidedBy.Text)
	switch stopped := !k.EmptiedAt.IsZero() && k.Where() == shelf.VerdictDiscard; {
	case stopped && len(k.MustNot) > 0:
		why = strings.TrimSuffix(firstSentence(k.MustNot[0]), ".")
	case seen != nil:
		why = fmt.Sprintf("%q was noted on %s", seen.What, view.DateOf(seen.At, a.Now))
	case !stopped:
		return ""
	}
	return "None of it was to be drunk, and none is left: " + why + "."
}

// Forbids says in a few words what not to do with what must not be drunk as it is.
func Forbids(a *bench.Assessment) string {
	if OverLimit(a) {
		return "do not serve it as it is"
	}
	return "do not drink or keep it"
}

// OverLimit reports whether nothing forbids it but a limit that it is over.
func OverLimit(a *bench.Assessment) bool {
	a.Judge()
	return a.Keep.Stop == keeping.TooMuch
}

// NotForGuests says why it may not be tasted by who does not know what is in the glass, ""
// where it may.
func NotForGuests(a *bench.Assessment) string {
	unweighed := func(c harm.Caution) bool { return c.MayPass && c.Unweighed != "" }
	if a.Tasting() == keeping.Freely && !slices.ContainsFunc(a.Keep.Verdict.Cautions, unweighed) {
		return ""
	}
	return lowered(CanHurt(a)[0])
}

// TastingWords say how it may be tasted, in the same words wherever a taste is offered; empty
// where it may be freely.
func TastingWords(a *bench.Assessment) string {
	return map[keeping.Tasting]string{
		keeping.NotAtAll: "Do not taste it.",
		keeping.FindOut:  "Find out first whether it may be drunk at all.",
		keeping.ByDrop:   "Taste it by the drop, and spit it out.",
	}[a.Tasting()]
}

// TastingAside is the same in brackets behind what is to be tasted.
func TastingAside(a *bench.Assessment) string {
	text := strings.TrimSuffix(lowered(TastingWords(a)), ".")
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

// Mind is how what is to be tasted may be, wherever a taste is asked for: what stands before it where nobody
// knows, else in brackets behind it; "" where freely.
func Mind(a *bench.Assessment) (before, behind string) {
	if len(a.Keep.Unknown) > 0 {
		return view.IfDrunk(a.Keep), ""
	}
	return "", TastingAside(a)
}

// lowered is a sentence that goes on behind a colon.
func lowered(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// goneWords say to which day it was good.
func goneWords(a *bench.Assessment) string {
	k, what, it, until := a.Keep, What(a), Them(a, "it was", "they were"), a.Keep.Safe.Until
	if those, _ := k.Spoken(a.Now); len(those) > 1 {
		if k.AllPast {
			what = "any of it"
		}
		if last := k.LastOver(a.Now); last.After(until) {
			it, until = "the last of "+Them(a, "it", "them")+" was", last
		}
	}
	return fmt.Sprintf("Do not serve %s: %s good until %s (%s ago).", what, it, view.DateOf(until, a.Now),
		countDays(a.Now, until))
}

// overWords say of what is over its limit how much it is, what that means and what to do.
func overWords(k *keeping.Keep, o *harm.Caution) string {
	return strings.TrimSpace(ofDrink(k, o.Text, firstSentence(o.Text)) + " " + quantity.Capital(o.Do))
}

// mayPassWords say of what may be over its limit how much it is and what to do: lasting, too, of a limit
// for every day for years, and what the law forbids; in short of those, and of what is only named to who drinks
// it, unless whole.
func mayPassWords(a *bench.Assessment, lasting, whole bool) (said []string) {
	k, law, less := a.Keep, "", " Take less of it."
	if _, out := a.Strained(); out {
		less = " Pour less of it."
	}
	if k.Stop == keeping.Never || k.Stop == keeping.Ask || !k.EmptiedAt.IsZero() {
		return nil
	}
	for i := range k.Verdict.Cautions {
		switch c := &k.Verdict.Cautions[i]; {
		case c.Kind == "banned" && lasting:
			law += ofDrink(k, c.Text, c.Text) + " "
		case c.MayPass && (lasting || !c.Lasting) && c.Unweighed == "":
			words := overWords(k, c) + less
			switch {
			case whole:
			case c.Lasting && c.Do != "":
				words = ofDrink(k, c.Text, c.Do) + less
			case c.Named:
				words = ofDrink(k, c.Text, quantity.Capital(c.Reached)) + "."
			}
			said, law = append(said, law+words), ""
		}
	}
	if law != "" {
		said = append(said, strings.TrimSpace(law))
	}
	return said
}

// CanHurt is what every answer about a batch says of a drink that can make people ill, and what its row in
// a book knows: that it must not be drunk, what is or may be over its limit, and what can grow in it. Begin
// says less of how much it is where a limit is for every day.
func CanHurt(a *bench.Assessment) []string { return canHurt(a, true) }

func canHurt(a *bench.Assessment, whole bool) []string {
	return append(dangers(a, true), mayPassWords(a, true, whole)...)
}

// Hurting is what of CanHurt hurts as it stands, and the same day: by that a row of a book is marked.
func Hurting(a *bench.Assessment) []string {
	return append(dangers(a, false), mayPassWords(a, false, false)...)
}

// dangers are what of CanHurt is so for certain, all of it, or without what fat does to a strong jar and a
// doubt that does not press.
func dangers(a *bench.Assessment, all bool) (said []string) {
	stop := stopWords(a)
	if stop != "" {
		said = append(said, stop)
	}
	k := a.Keep
	if k.Stop == keeping.Never || k.Stop == keeping.Ask || !k.EmptiedAt.IsZero() {
		return said
	}
	if all || k.OverIfMixed || k.Lacked() {
		said = append(said, doubtWords(a)...)
	}
	said = append(said, inDrink(k)...)
	if first := k.Stay.Due(a.Now); all && !first.By.IsZero() {
		said = append(said, fmt.Sprintf("Take out the %s, or drink it up, by %s: it may lie in it no longer%s.",
			quantity.And(first.Names), view.DateOf(first.By, a.Now), k.Stay.Before))
	}
	for _, c := range cautionsIn(k, "in fat") {
		if all && !k.Withheld() {
			said = append(said, cautionWords(k, c)+".")
		}
	}
	said = append(said, a.JarDangers()...)
	for _, c := range cautionsIn(k, "gas", "stale") {
		said = append(said, cautionWords(k, c)+".")
	}
	return append(said, grows(k)...)
}

// Handling is how hands that cut or reach for what is in the jar, or will be, stay unhurt: no matter of who
// drinks it.
func Handling(a *bench.Assessment) (said []string) {
	for h := range a.Recipe.Steeped {
		if c := a.Curve(h.Entry.Name); c != nil && c.OutH != nil {
			continue
		}
		for _, z := range h.Reads.Hazards() {
			if z.Handling != "" {
				said = append(said, quantity.About(quantity.Capital(h.Entry.Name), z.Handling)+".")
			}
		}
	}
	return said
}

// inDrink says what lives in it, is not known, is over its limit, or lay in it for too long.
func inDrink(k *keeping.Keep) []string {
	return slices.Concat(aliveWords(k), unknownWords(k),
		pen.Each(k.Over, func(c *harm.Caution) string { return overWords(k, c) }), unweighedWords(k),
		lainWords(k))
}

// lainWords say what lay in it for longer than it may.
func lainWords(k *keeping.Keep) (said []string) {
	for i := range k.Verdict.Cautions {
		if c := &k.Verdict.Cautions[i]; c.Lain != "" {
			said = append(said, ofDrink(k, c.Text, c.Do))
		}
	}
	return said
}

// grows says what can grow in it and make ill.
func grows(k *keeping.Keep) (said []string) {
	switch {
	case k.InJar != "" && !k.Verdict.Fails:
		return []string{quantity.Capital(k.InJar) + "; what grew there is not undone by what came later."}
	case !k.Verdict.Fails || k.Stop == keeping.Gone:
		for _, c := range cautionsIn(k, "raw egg") {
			if c.Ill && k.Stop == "" {
				said = append(said, cautionWords(k, c)+".")
			}
		}
		return said
	}
	var others []string
	for _, c := range cautionsIn(k, "botulism", "raw egg", "raw milk", "dairy") {
		to := &said
		if of := k.HeldBy(c.Text); len(of) > 0 && !slices.Contains(of, k.Vessel) {
			to = &others
		}
		*to = append(*to, cautionWords(k, c)+".")
	}
	if len(said) == 0 {
		said = []string{quantity.Capital(firstClause(k.Verdict.DecidedBy.Text)) + "."}
	}
	return append(said, others...)
}

// aliveWords say of each sign of life that stands what to do, in whose bottle, and how to
// touch it unhurt.
func aliveWords(k *keeping.Keep) (said []string) {
	add := func(text string) {
		if !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	if k.Stop == keeping.Closed {
		add(quantity.Capital(remark.UnderPressure()) + ".")
	}
	for i := range k.Outcomes {
		o := &k.Outcomes[i]
		if !o.Stands() {
			continue
		}
		if o.Cause.Handling != "" { // before anybody reads on
			add(quantity.Capital(o.Cause.Handling) + ".")
		}
		it, others := "it", ""
		switch {
		case o.Gone:
			continue
		case k.Sealed()+len(k.Open) < 2:
		case o.Bottle == 0:
			it = "every bottle of it"
		default:
			it = fmt.Sprintf("bottle %d", o.Bottle)
			others = " The others hold the same liquid: log that it is gone, and look at each against the light before it is opened."
			if o.Alone {
				others = " The others hold another drink; look at each against the light before it is opened."
			}
		}
		if !o.Cause.Named() {
			add(fmt.Sprintf("It may be alive (%s): if you are not sure, throw %s away untasted.%s", o.What, it, others))
			continue
		}
		text := fmt.Sprintf("Do not taste it, throw %s away: %q was noted, and no strength makes that good.", it, o.What)
		if o.Cause.Asks {
			text = fmt.Sprintf("Taste nothing: %q was noted.", o.What)
		}
		if o.Cause.Handling == "" {
			text += " " + quantity.Capital(firstClause(o.Cause.WhatToDo)) + "."
		}
		add(text + others)
	}
	return said
}

// newDangers are the dangers and cautions of a batch as it would be that are none of it as it
// is; that there is more or less of the same is nothing new.
func newDangers(a, then *bench.Assessment) (said []string) {
	cautions := func(a *bench.Assessment) []string {
		first, others := gravest(a)
		return append(first, others...)
	}
	for _, list := range [][2][]string{{dangers(a, true), dangers(then, true)},
		{cautions(a), cautions(then)}} {
		for _, text := range list[1] {
			same := func(s string) bool { // of which bottle it is does not matter here
				return Alike(s, text) || strings.HasSuffix(what(s), ": "+lowered(what(text)))
			}
			if !slices.ContainsFunc(list[0], same) && !slices.ContainsFunc(said, same) {
				said = append(said, text)
			}
		}
	}
	return said
}

// what is a danger up to how much of it there is.
func what(danger string) string {
	for _, amount := range []string{": about ", ": up to "} {
		danger, _, _ = strings.Cut(danger, amount)
	}
	return danger
}

// Alike reports whether two dangers are the same, of however much.
func Alike(x, y string) bool { return what(x) == what(y) }

// unweighedWords say of what is limited and was not weighed what it does: nobody can say how
// much of it is in a glass; and how much that may be, where it may be over its limit.
func unweighedWords(k *keeping.Keep) (said []string) {
	for i := range k.Verdict.Cautions {
		switch c := &k.Verdict.Cautions[i]; {
		case c.Unweighed == "":
		case c.MayPass:
			said = append(said, overWords(k, c))
		case !c.Over:
			said = append(said, ofDrink(k, c.Text, cmp.Or(c.Do, firstSentence(c.Text))))
		}
	}
	return said
}

// Cautions are all that is to be minded of a bottle beside MustNot, what is over a limit
// first.
func Cautions(a *bench.Assessment) []string {
	a.Judge()
	k := a.Keep
	var said []string
	for _, list := range [][]harm.Caution{k.Over, k.Verdict.Cautions} {
		for _, c := range list {
			if text := ofDrink(k, c.Text, c.Text); c.Kind != "law" && !slices.Contains(said, text) {
				said = append(said, text)
			}
		}
	}
	for _, w := range k.Verdict.Warnings {
		said = append(said, quantity.Capital(w))
	}
	return said
}
