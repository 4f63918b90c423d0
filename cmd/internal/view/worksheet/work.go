// Package worksheet words what a maker has in hand at the bench: the order of work, the
// sheet to taste by, and what goes in.
package worksheet

import (
	"fmt"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/work"
	"steepbook/data/quantity"
)

// Line is one step of the work in words, its figures tied to their units: when it is
// done, empty where that is plain from its place; what is done; and why.
type Line struct {
	When, Do, Why string
	Done          bool
}

// Sentence is when and what in one: "At 22:00: Taste the clove."; what is done now is said
// alone.
func (l *Line) Sentence() string {
	if l.When == "" || l.When == "now" {
		return l.Do
	}
	return quantity.Capital(l.When) + ": " + l.Do
}

// Work is the order of work of a batch in words; its error is that of the steep.
func Work(a *bench.Assessment, style pen.Style) ([]Line, error) {
	steps, err := work.Of(a)
	if err != nil {
		return nil, err
	}
	lines := make([]Line, len(steps))
	for i := range steps {
		s := &steps[i]
		lines[i] = Line{workWhen(a, steps, s), workWords(a, s, style), s.Why, s.Done}
		if s.Kind == work.Rest && !s.Done && !s.At.IsZero() {
			lines[i] = Line{Do: restingWords(a, s)}
		}
		if s.Kind == work.Stand && s.After == "" {
			lines[i].When, lines[i].Do = "", fmt.Sprintf("Leave it at room temperature until %s.",
				view.DateOf(s.At, a.Now))
		}
	}
	return lines, nil
}

// restingWords is a rest with its first day and its longest time.
func restingWords(a *bench.Assessment, s *work.Step) string {
	text := "Let it rest until about " + view.DateOf(s.At, a.Now)
	if _, most, ok := strings.Cut(s.Why, " to "); ok {
		text += ", up to " + most
	}
	return text + "."
}

// workWhen says when a step is done.
func workWhen(a *bench.Assessment, steps []work.Step, s *work.Step) string {
	switch {
	case s.Done && s.At.IsZero():
		return ""
	case s.Done:
		return view.Logged(s.At, a.Now).At()
	case s.After == work.Taste && s.At.IsZero():
		return "when a tasting says so"
	case s.After == work.Taste:
		return "when a tasting says so, " + view.About(a, a.Batch.Hours(s.At), s.DoubtH)
	case !s.At.IsZero() && !s.At.After(a.Now):
		return "now"
	case !s.At.IsZero():
		return view.About(a, a.Batch.Hours(s.At), s.DoubtH)
	case s.After == "" || s.After == work.PutIn:
		return ""
	case work.Ready(steps, s):
		return "now"
	}
	return map[work.Kind]string{work.Pull: "when the last is out", work.Strain: "once strained",
		work.Bottle: "once bottled", work.Rest: "after that"}[s.After]
}

// plainSteps are the words of the steps that are done to the whole jar.
var plainSteps = map[work.Kind]string{
	work.Clean:      "Wash the jar and all that will touch it, and scald it.",
	work.Drip:       "Let the solids drip off.",
	work.Press:      "Squeeze the solids.",
	work.Filter:     "Filter it.",
	work.Settle:     "Let it settle.",
	work.Stand:      fmt.Sprintf("Leave it %d days at room temperature.", keeping.EggDays),
	work.Heat:       "Heat it.",
	work.Boil:       "Boil the bottles.",
	work.Label:      "Label it.",
	work.Rest:       "Let it rest.",
	work.TasteAgain: "Taste a bottle, and write it down.",
}

// namedSteps are the words before and behind what a step is done to.
var namedSteps = map[work.Kind][2]string{
	work.Toast: {"Toast the ", "."}, work.Weigh: {"Measure out ", "."},
	work.PutIn: {"Put in the ", "."}, work.Pull: {"Pull the ", "."},
	work.Lift: {"Chill it hard, take off what sets or floats, and filter off cold the ", ", through cloth and then paper."}, work.Syrup: {"Make a syrup of ", "."},
	work.Strengthen: {"Add ", "."}, work.Sweeten: {"Sweeten it: ", "."}, work.Dilute: {"Thin it with ", "."},
	work.Measure: {"Have its ", " measured."}, work.Add: {"Add ", "."}, work.Juice: {"Press ", "."}, work.Sour: {"Add ", "."},
}

// workWords says what is done in a step.
func workWords(a *bench.Assessment, s *work.Step, style pen.Style) string {
	of := work.Said(s.Of)
	switch s.Kind {
	case work.Stop:
		return "Do not drink it, and do not go on with it."
	case work.Ask:
		return quantity.Capital(nextact.Ask(s.Names())) + "."
	case work.Keep:
		own, k := *a, *a.Keep
		k.Alone, own.Keep = time.Time{}, &k // that was before it is bottled, a step of its own
		return bottle.KeepSentence(&own, style)
	case work.Chill:
		return "Until it is bottled keep it " + view.InPlace(a.Keep.Chill()) + "."
	case work.Rescue:
		return steep.Rescue(a, style)
	case work.Bag:
		if len(s.Of) > 1 { // each has a clock of its own
			return "Tie the " + of + " in a bag each."
		}
		return "Tie the " + of + " in a bag."
	case work.MakeSafe:
		return quantity.About(quantity.Capital(of), s.How)
	case work.Prepare:
		return quantity.Capital(s.How) + " the " + of + "."
	case work.Zest:
		return quantity.Capital(s.How) + " the " + of + " off the fruit."
	case work.Taste:
		var first, look []string
		for _, name := range s.Names() {
			if c := a.Curve(name); c != nil && c.Watch {
				look = append(look, name)
			} else {
				first = append(first, name)
			}
		}
		text := quantity.Capital(view.IfIt(a.Keep) + sittingWords(first, look))
		if mix, ratio := steep.Sample(a, style); ratio != "" {
			text += ", " + mix
		}
		return text + bottle.TastingAside(a) + "."
	case work.Stand:
		if of != "" {
			return fmt.Sprintf("Leave %s %d days %s in strong spirit of its own.", of, keeping.EggDays, keeping.EggWarm())
		}
	case work.Strain:
		if of == "" {
			return "Strain the jar."
		}
		return "Strain out the " + of + "."
	case work.Bottle:
		bottles := bottle.Bottled(a, s.At, style)
		if !s.Done {
			bottles = bottle.Bottling(style, a.Blend.Bottling)
		}
		return strings.TrimSuffix("Bottle it: "+bottles, ": ") + "."
	}
	switch {
	case s.Kind == work.Syrup && s.How != "":
		return quantity.Capital(s.How) + " the " + of + "."
	case s.Kind == work.Sweeten && s.How != "":
		return "Stir in the " + s.How + "."
	}
	if words, ok := namedSteps[s.Kind]; ok {
		if s.Bottle != 0 {
			of += " (into " + view.Vessel(s.Bottle) + ")"
		}
		return words[0] + of + words[1]
	}
	return plainSteps[s.Kind]
}

// sittingWords is a sitting in words: what is tasted in turn, and what is looked for.
func sittingWords(flavours, watch []string) string {
	text := "taste the " + strings.Join(flavours, ", then the ")
	if len(flavours) == 0 {
		text = "taste the jar"
	}
	if len(watch) > 0 {
		text += "; look for " + quantity.And(watch) + " too"
	}
	return text
}
