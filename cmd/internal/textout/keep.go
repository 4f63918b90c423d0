package textout

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Keep prints where the bottle keeps and until when: eight lines, or with why
// the rules, the places and all cautions.
func Keep(p *Page, a *bench.Assessment, why bool) error {
	if p.JSON {
		return p.json(keepJSON(a))
	}
	k := a.Keep
	v := &k.Verdict
	p.Para("%s", p.Strong(keepSentence(p, a)))
	for _, o := range k.Over {
		p.Para("%s", p.Strong("Do not serve it as it is: "+o.Text))
	}
	for _, m := range k.MustNot {
		p.Item("do not drink this: %s", m)
	}
	pairs := []Pair{{"Safe", safeWords(a)}, {"Best", bestWords(p, a)}, {"Opened", openedWords(a)}, {"Holds", contains(a)}}
	if !why {
		move := ""
		if !k.Past {
			move = easiest(p, a)
		}
		pairs = append(pairs, Pair{"Mind", gravest(k)}, Pair{"To move", move}, Pair{"Sure", sure(a)})
		p.Pairs(pairs)
		return p.Err()
	}
	p.Line("")
	p.Pairs(append(pairs, []Pair{
		{"Decided by", decidedBy(v)},
		{"Ends with", v.EndedBy},
		{"Let it rest", a.Rest()},
		{"Sure", sure(a)},
		{"Measure", strings.Join(a.Needs(), "; ")},
		{"To move it", changes(p, a)},
		{"House rules", strings.Join(k.House, "\n")},
	}...))
	if rows := reasonRows(v); len(rows) > 0 {
		p.Line("")
		p.Table([]string{"met", "what was looked at, at the worse end of each range"}, rows)
	}
	if places := a.Places(); len(places) > 0 {
		p.Line("")
		rows := make([][]string, 0, len(places))
		for _, t := range places {
			taste := t.FlavourText
			if t.Unopened.High <= 0 {
				taste = ""
			}
			rows = append(rows, []string{string(t.Place) + ", " + p.temperature(t.AtC), t.Unopened.Words, t.Opened.Words, taste})
		}
		p.Table([]string{"place", "sound, sealed", "sound, opened", "taste, sealed"}, rows)
	}
	if len(v.Cautions)+len(v.Warnings) > 0 {
		p.Line("")
	}
	for _, c := range v.Cautions {
		if c.Kind != "law" && !over(k, c) { // said below, or said above
			p.Item("%s", capital(c.Text))
		}
	}
	for _, w := range v.Warnings {
		p.Item("%s", w)
	}
	p.Line("")
	p.Para("Judged from what went in, not measured; not a validated process. For a sale, the paper behind the strength that holds microbes here (%s) tells makers to show pH below 4.2 or a cell of the Food Code table that needs no cold, or to keep it cold; local rules and a licensed process authority decide. When in doubt, throw it out.", "Acharya and Nummer 2022")
	return p.Err()
}

// over reports whether a caution has been said as over its limit.
func over(k *bench.Keep, c shelf.Caution) bool {
	return slices.ContainsFunc(k.Over, func(o shelf.Caution) bool { return o.Text == c.Text })
}

// keepSentence is the answer, as one would say it: the place and the day.
func keepSentence(p *Page, a *bench.Assessment) string {
	k, v := a.Keep, &a.Keep.Verdict
	switch {
	case v.Verdict == shelf.VerdictUnknown:
		if len(v.Needs) > 0 {
			return "Where it keeps cannot be said yet: " + v.Needs[0] + "."
		}
		return "Where it keeps cannot be said yet."
	case v.TooLate:
		return "Do not drink it: it lay too long in a jar that was neither strong nor sour enough."
	case k.Advised.Place == "":
		return "Do not keep it as it is written."
	case k.SafePast:
		words := "Do not serve it: it was good until %s (%s ago)."
		if !k.OpenedAt.IsZero() && strings.HasPrefix(v.OpenedRule, "air") {
			words = "Drink it up or cook with it: opened wine, good until %s (%s ago)."
		}
		return fmt.Sprintf(words, dayOf(k.Safe.Until, a.Now), countDays(a.Now, k.Safe.Until))
	case k.Past && a.Now.Before(k.BestEnds):
		return fmt.Sprintf("Drink it soon: from %s on (%s ago) its taste goes%s.", dayOf(k.Best.Until, a.Now), countDays(a.Now, k.Best.Until), still(a))
	case k.Past:
		return fmt.Sprintf("Drink it up: it was at its best until %s (%s ago)%s.", dayOf(k.Best.Until, a.Now), countDays(a.Now, k.Best.Until), still(a))
	}
	d := k.Days(&k.Advised)
	where := inPlace(p, v, k.Advised.Keeping)
	if v.Verdict == shelf.VerdictDiscard || k.NotThere {
		where += ", nowhere warmer"
	}
	tasted := k.BestKnown && k.Best.Sealed.Low < k.Safe.Sealed.Low
	head := "Keep it " + where
	if len(k.Unknown) > 0 {
		head = fmt.Sprintf("If the %s may be drunk, keep it %s", quantity.And(k.Unknown), where)
	}
	switch {
	case k.Advised.Until.IsZero() && d.Open():
		return head + ": no date, sealed or opened."
	case !k.Advised.Until.IsZero() && tasted:
		return fmt.Sprintf("%s: best until %s (%s)%s.", head, dayOf(k.Advised.Until, a.Now), left(k.Advised.Until, a.Now), still(a))
	case !k.Advised.Until.IsZero():
		return fmt.Sprintf("%s: good until %s (%s).", head, dayOf(k.Advised.Until, a.Now), left(k.Advised.Until, a.Now))
	case tasted:
		return fmt.Sprintf("%s: best for %s once bottled.", head, d.Words)
	}
	return fmt.Sprintf("%s: good for %s once bottled.", head, d.Words)
}

// still says how long it stays sound beyond its best.
func still(a *bench.Assessment) string {
	k := a.Keep
	switch {
	case k.Safe.Sealed.Open():
		return ", and sound without a date"
	case k.Safe.Until.IsZero():
		return ""
	}
	return ", sound until " + dayOf(k.Safe.Until, a.Now)
}

// countDays is how many midnights lie between two moments.
func countDays(later, sooner time.Time) string {
	day := func(t time.Time) time.Time { return time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, time.UTC) }
	n := int(math.Round(day(later).Sub(day(sooner)).Hours() / 24))
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// left says how many days there are until a date, counted by midnights.
func left(until, now time.Time) string {
	if words := countDays(until, now); words != "0 days" {
		return words + " left"
	}
	return "today is the last day"
}

func inPlace(p *Page, v *shelf.Verdict, k shelf.Keeping) string {
	switch {
	case k.Place == shelf.Fridge || k.Place == shelf.Freezer:
		return "in the " + string(k.Place)
	case k.Place == shelf.Cellar:
		return "in a cellar at " + p.temperature(k.AtC)
	case v.Verdict != shelf.VerdictShelf:
		return "in a room at " + p.temperature(k.AtC)
	}
	return "on a shelf"
}

// safeWords says where microbes leave it alone, how long, and what decides.
func safeWords(a *bench.Assessment) string {
	k, v := a.Keep, &a.Keep.Verdict
	if k.Safe.Place == "" {
		return ""
	}
	place := k.Where()
	until := ""
	if !k.Safe.Until.IsZero() {
		until = fmt.Sprintf(" (to %s)", dayOf(k.Safe.Until, a.Now))
	}
	abv, pH, sour := a.JudgedOn()
	at := fixed(abv, 1) + " % vol"
	if abv < 0.05 {
		at = "no alcohol"
	}
	if sour {
		at += ", pH " + fixed(pH, 1)
	}
	words, days, rule := k.Days(&k.Safe).Words, "sealed", v.Rule
	if !k.OpenedAt.IsZero() {
		days, rule = "opened", v.OpenedRule
	}
	switch {
	case v.Verdict == shelf.VerdictShelf && k.Safe.Place != shelf.Freezer:
		return fmt.Sprintf("%s, %s: nothing is expected to grow at %s", place, words, at)
	case k.Safe.Place == shelf.Freezer && v.Fails:
		return "freezer, no date, if it went in within two days: freezing stops what grows and kills nothing"
	case k.Safe.Place == shelf.Freezer:
		return "freezer, no date: nothing grows while it is frozen"
	case v.Fails:
		return fmt.Sprintf("%s, %s%s: %s", place, words, until, dangerWords(v))
	case strings.HasPrefix(rule, "air"):
		return fmt.Sprintf("%s, %s %s%s: then the air has spoilt its wine", place, words, days, until)
	case strings.Contains(rule, "milk or egg"):
		return fmt.Sprintf("%s, %s %s%s: as such drinks are kept; %s", place, words, days, until, at)
	case strings.HasPrefix(rule, "cap ") || v.Guild == "":
		return fmt.Sprintf("%s, %s %s%s: no trial ran longer; %s", place, words, days, until, at)
	}
	return fmt.Sprintf("%s, %s %s%s: then %s; %s", place, words, days, until, guildWords[v.Guild], at)
}

// dangerWords says in a few words why it is days only.
func dangerWords(v *shelf.Verdict) string {
	o := v.DecidedBy.Organism
	for _, d := range [][2]string{{"botulinum", "botulism, which nobody sees or smells"}, {"Listeria", "milk: Listeria"}, {"Bacillus", "nut milk spoils like milk"}, {"Staphylococcus", "neither strong nor sour enough"}, {"Salmonella", "egg: Salmonella"}} {
		if strings.Contains(o, d[0]) {
			return d[1]
		}
	}
	return v.DecidedBy.Text
}

// guildWords names what ends a bottle first, for a kitchen.
var guildWords = map[string]string{
	"hardy yeast": "yeast", "wine yeast": "yeast", "osmophilic yeast": "yeast", "cold yeast": "yeast",
	"strong-drink lactics": "souring bacteria", "juice lactics": "souring bacteria", "mould": "mould", "acetic bacteria": "vinegar bacteria",
}

// bestWords says how long its taste holds, and which part goes first.
func bestWords(p *Page, a *bench.Assessment) string {
	k := a.Keep
	switch {
	case !k.BestKnown && k.Verdict.Fails:
		return ""
	case !k.BestKnown:
		return k.Verdict.FlavourText
	case k.Best.Sealed.Low > k.Safe.Sealed.High:
		return "" // it is gone before that
	}
	f := fadesFirst(a)
	of := quantity.And(f.Of)
	if len(f.Of) > 2 {
		of = f.Of[0] + " and others"
	}
	what := fmt.Sprintf("%s of the %s", f.Attribute, of)
	if f.Beyond {
		return fmt.Sprintf("%s, days, not weeks: %s", k.Best.Place, what)
	}
	words := fmt.Sprintf("%s, about %s: %s", k.Best.Place, k.Best.Sealed.Words, what)
	if warm := k.Verdict.Fades; k.Best.AtC < k.Verdict.AtC && warm != nil {
		words += fmt.Sprintf("; %s in a room", warm.Time.Words)
	}
	return words
}

// fadesFirst is the change that counts at the place of Best.
func fadesFirst(a *bench.Assessment) shelf.Fade {
	for _, f := range a.Fades() {
		if f.Known && f.Decides {
			return f
		}
	}
	return shelf.Fade{}
}

// openedWords says what opening changes, with the day where it was opened.
func openedWords(a *bench.Assessment) string {
	k := a.Keep
	switch {
	case k.Safe.Place == "":
		return ""
	case !k.OpenedAt.IsZero():
		return fmt.Sprintf("on %s: %s from then", dayOf(k.OpenedAt, a.Now), k.Advised.Opened.Words)
	case k.Safe.Place == shelf.Freezer:
		return "no different while it is frozen; leave room at the top, it swells"
	case k.Advised.Opened.Open():
		return "no different; keep it full"
	}
	return k.Advised.Opened.Words
}

// gravest are the one or two cautions that matter most, in their first words: a
// second one only where both are short.
func gravest(k *bench.Keep) string {
	out := ""
	if len(k.Unknown) > 0 {
		out = fmt.Sprintf("%s: not known here, so whether it may be drunk at all is yours to find out", quantity.And(k.Unknown))
	}
	for _, kind := range []string{"botulism", "raw egg", "hazard", "preservative", "dairy", "pressure"} {
		for _, c := range k.Verdict.Cautions {
			text := firstClause(c.Text)
			switch {
			case c.Kind != kind || over(k, c):
			case out == "":
				out = text
			case len(out)+len(text) < shortCautions && !strings.Contains(out, "; "):
				out += "; " + text
			}
		}
	}
	return out
}

// shortCautions is how many letters two cautions may have to stand side by side.
const shortCautions = 130

// firstClause is a text up to its first semicolon or full stop.
func firstClause(s string) string {
	s, _, _ = strings.Cut(s, ";")
	s, _, _ = strings.Cut(s, ". ")
	return strings.TrimSuffix(s, ".")
}

// sure says how far the answer can be trusted, why, and what would help most.
func sure(a *bench.Assessment) string {
	v, needs := &a.Keep.Verdict, a.Needs()
	if a.Keep.Advised.Place == "" {
		return ""
	}
	text := v.Confidence
	if v.ConfidenceText != "" {
		text += ": " + v.ConfidenceText
	}
	if len(needs) > 0 && v.Verdict != shelf.VerdictUnknown {
		text += "; " + needs[0]
	}
	return text
}

// reasonRows says of each rule whether it is met, and on which figure.
func reasonRows(v *shelf.Verdict) [][]string {
	var rows [][]string
	for _, r := range v.Reasons {
		met := "no"
		if r.Pass {
			met = "yes"
		}
		text := r.Text
		if r.Limit != 0 && r.WorstCase != 0 {
			text += fmt.Sprintf(": %s, %s asked", figureOf(r, r.WorstCase), figureOf(r, r.Limit))
		}
		rows = append(rows, []string{met, text + " (" + r.Rule + ")"})
	}
	return rows
}

// figureOf prints a figure of a rule with its name or unit, whichever is said.
func figureOf(r shelf.Reason, v float64) string {
	switch r.Unit {
	case "pH":
		return "pH " + significant(v, 3)
	case "":
		return r.Figure + " " + significant(v, 3)
	}
	return significant(v, 3) + " " + r.Unit
}

func decidedBy(v *shelf.Verdict) string {
	d := v.DecidedBy
	if d.Text != "" {
		return d.Text
	}
	if d.Organism == "" {
		return ""
	}
	s := d.Organism
	if d.Hurdle != "" {
		s += "; " + d.Hurdle
	}
	if d.MarginUnit != "" && !math.IsNaN(d.Margin) {
		s += fmt.Sprintf(" (margin %s %s)", significant(d.Margin, 2), d.MarginUnit)
	}
	return s
}

// changes says what would move the verdict, one line each.
func changes(p *Page, a *bench.Assessment) string {
	var out []string
	for _, c := range a.Changes() {
		text := c.Text
		if head, _, ok := strings.Cut(text, ": "); ok && c.Kind == shelf.ChangePlace {
			text = head
		}
		if len(c.Add) > 0 {
			text += " (" + portions(p, c.Add) + ")"
		}
		if c.Taste != "" {
			text += fmt.Sprintf(" (%s %% vol, %s g/L sugar; %s)", fixed(c.ABVPercent, 1), fixed(c.SugarGPerL, 0), c.Taste)
		}
		out = append(out, text+": "+thenWords(&c))
	}
	return strings.Join(out, "\n")
}

// unfit says on the screens of the jar what keep would say of it.
func unfit(p *Page, a *bench.Assessment) {
	if a.Unfit() {
		p.Para("%s", p.Strong("Do not taste it. "+keepSentence(p, a)))
	} else if text := a.WeakStart(); text != "" {
		p.Para("%s", p.Strong(text+"."))
	}
}

// easiest are the first two of them in a few words.
func easiest(p *Page, a *bench.Assessment) string {
	var out []string
	for _, c := range a.Changes() {
		if len(out) == 2 {
			break
		}
		text := map[string]string{
			shelf.ChangePlace: "at " + p.temperature(c.To), shelf.ChangeHeat: "heat and close hot", shelf.ChangeNoJuice: "citric acid and peel for the juice",
			shelf.ChangeStrain: "strain clear, boil the bottle", shelf.ChangeBoil: "boil the bottle",
		}[c.Kind]
		if text == "" {
			text = portions(p, c.Add) + " more"
			if c.PH > 0 {
				text += ", pH " + fixed(c.PH, 1)
			}
		}
		out = append(out, text+": "+thenWords(&c))
	}
	return strings.Join(out, "; ")
}

func portions(p *Page, add []mixture.Portion) string {
	parts := make([]string, len(add))
	for i, m := range add {
		parts[i] = portion(p, m)
	}
	return quantity.And(parts)
}

func thenWords(c *bench.Change) string {
	switch {
	case c.Then.Verdict == shelf.VerdictShelf:
		return "a shelf"
	case c.Then.Unopened.Open():
		return "no date"
	}
	return c.Then.Unopened.Words
}

func contains(a *bench.Assessment) string {
	var names []string
	for _, al := range a.Keep.Allergens {
		al.US = strings.TrimPrefix(al.US, "contains ")
		switch {
		case al.US != "" && al.EU != "" && !strings.EqualFold(al.US, al.EU):
			names = append(names, fmt.Sprintf("%s (US), %s (EU)", al.US, al.EU))
		case al.US != "":
			names = append(names, al.US)
		case al.EU != "":
			names = append(names, al.EU)
		default:
			names = append(names, al.Name)
		}
	}
	return strings.Join(names, "; ")
}

// Sign prints what a cloud, ring or fizz most likely is.
func Sign(p *Page, a *bench.Assessment, sign string) error {
	causes := a.Sign(sign)
	if p.JSON {
		return p.json(object{
			{"batch", a.Batch.Name},
			{"sign", sign},
			{"causes", causes},
		})
	}
	p.Para("%s", p.Strong(fmt.Sprintf("%s, %q: most likely %s.", a.Batch.Name, sign, causes[0].Name)))
	if !a.Blend.Whole() {
		p.Para("What is in the bottle is not known, so nothing can be ruled out: %s.", a.Blend.Wanting()[0])
	}
	throw := false
	for i, c := range causes {
		p.Line("")
		p.Line("%d. %s", i+1, c.Name)
		p.Pairs([]Pair{{"   how to tell", c.HowToTell}, {"   what to do", c.WhatToDo}, {"   from", c.Source}})
		throw = throw || c.ThrowAway
	}
	p.Line("")
	if throw {
		p.Para("One of these is life. If you are not sure which it is, throw the bottle away untasted.")
	} else {
		p.Para("If you are not sure, throw it away.")
	}
	return p.Err()
}
