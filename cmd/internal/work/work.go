// Package work is the order of work of a batch, from where it stands: one list of steps
// made of what is in it, of the orders of its assessment and of what the library knows.
// It decides nothing that the assessment decided, and words nothing: views do. A step is done
// where the log says so; what came before that and no log tells of, the washing and the pressing, is
// then no step any more.
//
// What the kitchen does and no paper prescribes (toast before cracking, zest before
// juicing, juice last) is common practice, no source.
package work

import (
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
)

// Kind is what is done in a step.
type Kind string

// The kinds of step, in the order in which a batch meets them.
const (
	Stop       Kind = "stop" // it must not be drunk, or kept: nothing else is worth doing
	Ask        Kind = "ask"  // whether it is in: if so, it is over, and else all that follows is to be done
	Clean      Kind = "clean"
	MakeSafe   Kind = "make safe" // by the sentence of How
	Toast      Kind = "toast"
	Prepare    Kind = "prepare" // by the verb of How: crush, chop, grate
	Zest       Kind = "zest"
	Bag        Kind = "bag"
	Weigh      Kind = "weigh"
	PutIn      Kind = "put in"
	Taste      Kind = "taste"
	Pull       Kind = "pull"
	Lift       Kind = "lift" // fat, as a lid, off the cold jar
	Strain     Kind = "strain"
	Press      Kind = "press"
	Drip       Kind = "drip"
	Filter     Kind = "filter"
	Settle     Kind = "settle"
	Chill      Kind = "chill" // until it is bottled, in the place of How
	Stand      Kind = "stand" // raw egg in spirit alone
	Syrup      Kind = "syrup"
	Strengthen Kind = "strengthen"
	Sweeten    Kind = "sweeten"
	Dilute     Kind = "dilute"
	Rescue     Kind = "rescue" // of what is too strong, as the steep has it: thinned, or scored once more
	Add        Kind = "add"
	Juice      Kind = "juice" // pressed, and cold until it goes in
	Sour       Kind = "sour"
	Heat       Kind = "heat"
	Boil       Kind = "boil"    // the bottles
	Measure    Kind = "measure" // a poison in it, by a laboratory
	Bottle     Kind = "bottle"
	Label      Kind = "label"
	Keep       Kind = "keep"
	Rest       Kind = "rest"
	TasteAgain Kind = "taste again"
)

// Thing is what a step is done to: its name and amount as the maker wrote them, the
// amount empty where none is written.
type Thing struct{ Name, Amount string }

// Step is one thing to do.
type Step struct {
	Kind Kind
	// Of is what it is done to, in the order of the file; empty for the whole jar.
	Of []Thing
	// How is the verb where a kind has several: "crush"; for Zest "grate" or "pare".
	How string
	// At is when it is done, or was; zero where nobody knows an hour. DoubtH is half the
	// width of its range in hours. After is the kind of step that it waits for, which
	// may stand beside an hour: pulled once a tasting says so, at about four.
	At     time.Time
	DoubtH float64
	After  Kind
	// Why is the reason in a few words, its figures tied to their units (quantity.Say);
	// empty where there is nothing to say.
	Why  string
	Done bool
	// Bottle is the one bottle that it was done to, bench.LeftOver: what was left over, 0: all of it.
	Bottle int
}

// Names are the names of what a step is done to.
func (s *Step) Names() []string {
	names := make([]string, len(s.Of))
	for i, t := range s.Of {
		names[i] = t.Name
	}
	return names
}

// Ready reports whether an open step without an hour waits for nothing any more: all
// steps of the kind that it waits for are done.
func Ready(steps []Step, s *Step) bool {
	for i := range steps {
		if steps[i].Kind == s.After && !steps[i].Done {
			return false
		}
	}
	return !s.Done
}

// Of is the order of work of a batch, what is done first and every step once; among the
// open ones no hour comes before an earlier one's. There is none where nothing goes in.
// Its error is that of the steep.
func Of(a *bench.Assessment) ([]Step, error) {
	if err := a.Steep(); err != nil {
		return nil, err
	}
	if b := a.Batch; len(b.Spirits)+len(b.Botanicals)+len(b.Additions) == 0 {
		return nil, nil
	}
	a.Judge()
	if s := a.Keep.Stop; s != "" && s != keeping.TooMuch {
		return []Step{{Kind: Stop}}, nil
	}
	m := maker{a: a, fats: a.Recipe.Washes()}
	m.bottled = a.Batch.Finished(a.ElapsedH)
	_, out := a.Strained()
	m.strained = (out || m.bottled) && a.ElapsedH >= 0
	m.prepare()
	m.steep()
	m.strain()
	m.holdTo = due.HoldTo(a)
	m.make()
	m.bottle()
	return m.inOrder(), nil
}

// maker gathers the steps.
type maker struct {
	a     *bench.Assessment
	steps []Step
	// fats are what is lifted off as a lid.
	fats []string
	// How far it has come: everything is out, it is bottled.
	strained, bottled bool
	// holdTo is the day to which what is strained waits, zero where it does not.
	holdTo time.Time
}

func (m *maker) add(s Step) {
	if !m.holdTo.IsZero() && !s.Done && s.At.IsZero() && s.After != Bottle && s.After != Rest {
		s.At, s.DoubtH = m.holdTo, aDay
	}
	m.steps = append(m.steps, s)
}

// inOrder puts what is done before what is open; both stand as they were added.
func (m *maker) inOrder() []Step {
	out := make([]Step, 0, len(m.steps))
	for _, done := range []bool{true, false} {
		for _, s := range m.steps {
			if s.Done == done {
				out = append(out, s)
			}
		}
	}
	return out
}
