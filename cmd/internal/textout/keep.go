package textout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/shelf"
)

// Keep prints where the bottle keeps and until when, and why.
func Keep(p *Page, a *bench.Assessment, opened bool) error {
	k := a.Keep
	v := &k.Verdict
	p.Para("%s", p.Strong(keepSentence(p, a, opened)))
	for _, o := range k.Over {
		p.Para("%s", p.Strong("Do not serve it as it is: "+o.Text))
	}
	p.Line("")
	pairs := []Pair{
		{"Decided by", decidedBy(v)},
		{"Ends with", v.EndedBy},
		{placeWords(p, v) + ", sealed", v.Unopened.Words},
		{placeWords(p, v) + ", opened", v.Opened.Words},
		{"Flavour", v.FlavourText},
		{"Let it rest", a.Rest()},
		{"Confidence", v.Confidence},
		{"Measure", strings.Join(v.Needs, "; ")},
		{"To move it", changes(p, a)},
		{"House rules", strings.Join(k.House, "\n")},
		{"Contains", contains(a)},
	}
	p.Pairs(pairs)
	for _, m := range k.MustNot {
		p.Item("do not drink this: %s", m)
	}
	if rows := reasonRows(v); len(rows) > 0 {
		p.Line("")
		p.Table([]string{"met", "what was looked at, at the worse end of each range"}, rows)
	}
	if len(k.Table) > 0 {
		p.Line("")
		rows := make([][]string, 0, len(k.Table))
		for _, t := range k.Table {
			rows = append(rows, []string{string(t.Place) + ", " + p.temperature(t.AtC), t.Unopened.Words, t.Opened.Words})
		}
		p.Table([]string{"place", "sealed and full", "opened"}, rows)
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
	p.Para("Judged from what went in, not measured; not a validated process. Local rules and a licensed process authority decide for anything sold. When in doubt, throw it out.")
	return p.Err()
}

// over reports whether a caution has been said as over its limit.
func over(k *bench.Keep, c shelf.Caution) bool {
	return slices.ContainsFunc(k.Over, func(o shelf.Caution) bool { return o.Text == c.Text })
}

// keepSentence is the answer: the place, and for how long there.
func keepSentence(p *Page, a *bench.Assessment, opened bool) string {
	v := &a.Keep.Verdict
	name := a.Batch.Name
	// The days of the verdict hold for the place asked; those of the place
	// that is advised stand in the table.
	at := *v
	for _, t := range a.Keep.Table {
		if string(t.Place) == v.Verdict && string(v.Place) != v.Verdict {
			at = t
		}
	}
	if a.Keep.NotThere && len(a.Keep.MustNot) == 0 && v.Verdict != shelf.VerdictDiscard {
		return fmt.Sprintf("%s does not keep at %s: keep it in the %s, %s sealed, %s once opened.", name, p.temperature(v.AtC), v.Verdict, at.Unopened.Words, at.Opened.Words)
	}
	switch v.Verdict {
	case shelf.VerdictShelf:
		switch {
		case v.Unopened.Open() && v.Opened.Open():
			return fmt.Sprintf("%s keeps on the shelf, sealed or opened: microbes set no limit, flavour does.", name)
		case opened:
			return fmt.Sprintf("%s keeps on the shelf while sealed; opened: %s.", name, v.Opened.Words)
		case v.Unopened.Open():
			return fmt.Sprintf("%s keeps on the shelf while sealed: microbes set no limit; opened: %s.", name, v.Opened.Words)
		}
		return fmt.Sprintf("%s keeps on the shelf while sealed: %s; opened: %s.", name, v.Unopened.Words, v.Opened.Words)
	case shelf.VerdictFridge:
		if opened {
			return fmt.Sprintf("Keep %s in the fridge: %s once opened, %s sealed.", name, at.Opened.Words, at.Unopened.Words)
		}
		return fmt.Sprintf("Keep %s in the fridge: %s sealed, %s once opened.", name, at.Unopened.Words, at.Opened.Words)
	case shelf.VerdictFreezer:
		return fmt.Sprintf("Keep %s in the freezer; thawed, treat it as fresh.", name)
	case shelf.VerdictDiscard:
		return fmt.Sprintf("Do not keep %s as it is written.", name)
	}
	return fmt.Sprintf("Where %s keeps cannot be said yet.", name)
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

func placeWords(p *Page, v *shelf.Verdict) string {
	if v.Place == "" {
		return "There"
	}
	return capital(string(v.Place)) + ", " + p.temperature(v.AtC)
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

// changes says what would move the verdict, one clause each.
func changes(p *Page, a *bench.Assessment) string {
	var out []string
	for _, c := range a.Changes() {
		text := c.Text
		if head, _, ok := strings.Cut(text, ": "); ok && c.Kind == shelf.ChangePlace && c.Then.Unopened.Words != "" {
			text = head + ": " + c.Then.Unopened.Words // house rules included
		}
		if len(c.Add) > 0 {
			parts := make([]string, len(c.Add))
			for i, m := range c.Add {
				parts[i] = portion(p, m)
			}
			text += ": " + list(parts) + " more"
		}
		if c.Taste != "" {
			text += fmt.Sprintf(" (%s %% vol, %s g/L sugar; %s)", fixed(c.ABVPercent, 1), fixed(c.SugarGPerL, 0), c.Taste)
		}
		if c.Kind != shelf.ChangePlace {
			text += "; then " + c.Then.Verdict
			if c.Then.Unopened.Words != "" {
				text += ", " + c.Then.Unopened.Words
			}
		}
		out = append(out, text)
	}
	return strings.Join(out, "\n")
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
	p.Para("%s", p.Strong(fmt.Sprintf("%s, %q: most likely %s.", a.Batch.Name, sign, causes[0].Name)))
	if !a.Blend.Have() {
		p.Para("What is in the bottle is not known, so nothing can be ruled out: %s.", a.Blend.Missing[0])
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
