package bottle

import (
	"fmt"
	"math"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// needs are what is to be measured; nothing of what is past, which that makes no better.
func needs(a *bench.Assessment) []string {
	if a.Keep.AllPast {
		return nil
	}
	return a.Needs()
}

// restWords says how long it is left before it is judged, with the day where it is bottled; as above of what is past.
func restWords(a *bench.Assessment) string {
	if a.Keep.AllPast {
		return ""
	}
	words, _, _ := a.Rest()
	if at, _ := a.Rested(); !at.IsZero() {
		return "to " + view.DateOf(at, a.Now) + ": " + words
	}
	return words
}

// ReasonRow says of a rule whether it is met, and on which figure.
func ReasonRow(r *shelf.Reason) []string {
	met := "no"
	if r.Pass {
		met = "yes"
	}
	text := r.Text
	if r.Limit != 0 && r.WorstCase != 0 {
		text += fmt.Sprintf(": %s; needs %s", figureOf(r, r.WorstCase), figureOf(r, r.Limit))
	}
	return []string{met, text + " (" + r.Rule + ")"}
}

// figureOf prints a figure of a rule with its name or unit, whichever is said.
func figureOf(r *shelf.Reason, v float64) string {
	switch r.Unit {
	case "pH":
		return "pH " + pen.Significant(v, 3)
	case "":
		return r.Figure + " " + pen.Significant(v, 3)
	}
	return pen.Significant(v, 3) + " " + r.Unit
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
		s += fmt.Sprintf(" (margin %s %s)", pen.Significant(d.Margin, 2), d.MarginUnit)
	}
	return s
}

// changes says what would move the verdict, one line each; of what is past that is another jar.
func changes(p *pen.Page, a *bench.Assessment) string {
	var out []string
	list := a.Changes()
	if a.Keep.AllPast {
		list = nil
	}
	for _, c := range list {
		text := c.Text
		if head, _, ok := strings.Cut(text, ": "); ok && c.Kind == shelf.ChangePlace {
			text = head
		}
		if len(c.Add) > 0 {
			text += " (" + portions(p.Style, c.Add) + toIt(a, p.Style, &c, "") + ")"
		}
		if c.Taste != "" {
			text += fmt.Sprintf(" (%s %% vol, %s g/L sugar; %s)", pen.Fixed(c.ABVPercent, 1),
				pen.Fixed(c.SugarGPerL, 0), c.Taste)
		}
		out = append(out, text+": "+thenWords(&c))
	}
	return strings.Join(out, "\n")
}

// easiest are the first two of them in a few words.
func easiest(a *bench.Assessment, style pen.Style) string {
	if a.Keep.Past {
		return ""
	}
	var out []string
	list := a.Changes()
	for _, c := range list[:min(len(list), 2)] {
		text := map[string]string{
			shelf.ChangePlace:   "at " + style.Temperature(c.To),
			shelf.ChangeHeat:    "heat and close hot" + c.But,
			shelf.ChangeNoJuice: "citric acid and peel for the juice",
			shelf.ChangeStrain:  "strain clear, boil the bottle",
			shelf.ChangeBoil:    "boil the bottle",
		}[c.Kind]
		if text == "" {
			text = portions(style, c.Add) + toIt(a, style, &c, " more")
			if c.PH > 0 {
				text += ", pH " + pen.Fixed(c.PH, 1)
			}
		}
		out = append(out, text+": "+thenWords(&c))
	}
	return strings.Join(out, "; ")
}

// toIt says to how much of the drink something goes, once that is in bottles, each of which holds a part of
// it; before that what goes without saying.
func toIt(a *bench.Assessment, style pen.Style, c *bench.Change, before string) string {
	if a.Keep.BottledAt.IsZero() {
		return before
	}
	return " to " + style.Volume(quantity.Rounded(c.OfML, 3))
}

func portions(p pen.Style, add []mixture.Portion) string {
	return quantity.And(pen.Each(add, func(m *mixture.Portion) string { return portion(p, m) }))
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

// Sign prints what a cloud, ring or fizz most likely is.
func Sign(p *pen.Page, a *bench.Assessment, sign string) error {
	causes := a.Sign(sign)
	if causes[0].Fat() { // which is no sign of life, and has days of its own
		a = a.Noted(sign)
	}
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", a.Batch.Name),
			pen.As("danger", CanHurt(a)),
			pen.As("sign", sign),
			pen.As("causes", causes),
		})
	}
	likely := "most likely "
	if causes[0].Named() {
		likely = ""
	}
	s := Begin(a, fmt.Sprintf("%s, %q: %s%s.", a.Batch.Name, sign, likely, causes[0].Name))
	if causes[0].Fat() && len(a.Blend.Bottle.FatIn) > 0 {
		s.Say = append(s.Say, "Note it, and this holds: "+lowered(KeepSentence(a, p.Style)))
	}
	p.Screen(s, pen.Whole)
	if !a.Blend.Whole() {
		p.Para("What is in the bottle is not known, so nothing can be ruled out: %s.", a.Blend.Wanting()[0])
	}
	throw := false
	for i, c := range causes {
		p.Line("")
		p.Line("%d. %s", i+1, c.Name)
		p.Pairs([]pen.Pair{{"   how to tell", c.HowToTell}, {"   what to do", c.WhatToDo},
			{"   from", c.Source}})
		throw = throw || c.ThrowAway
	}
	p.Line("")
	switch {
	case causes[0].Asks:
		p.Para("Taste nothing until that is known: that word stands for itself in any drink, whatever else is named here.")
	case causes[0].Named():
		p.Para("Throw it away untasted: that word stands for itself in any drink, whatever else is named here.")
	case throw:
		p.Para("One of these is life. If you are not sure which it is, throw the bottle away untasted.")
	default:
		p.Para("If you are not sure, throw it away.")
	}
	return p.Done()
}
