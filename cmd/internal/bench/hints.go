package bench

import (
	"fmt"
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/steeping"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// hint is what is missing, and what to write in the file of the batch about it; where there
// is no text, the file alone can help.
type hint struct{ text, write string }

// Hints says what is missing that would sharpen the answers, most telling
// first. None of it is wrong.
func (a *Assessment) Hints() (said []string) {
	for _, h := range a.hints() {
		said = append(said, recipe.Join(h.text, h.write))
	}
	return said
}

// HintsInWords are Hints for who does not write in the file.
func (a *Assessment) HintsInWords() (said []string) {
	for _, h := range a.hints() {
		if h.text != "" {
			said = append(said, h.text)
		}
	}
	return said
}

func (a *Assessment) hints() []hint {
	var h []hint
	var dry, dust, bagged []string
	tell := func(texts ...string) {
		for _, text := range texts {
			h = append(h, hint{text: text})
		}
	}
	b := a.Batch
	if b.CutOff != "" {
		tell("the last entry was cut off while it was written, and is left out; log it again")
	}
	if text := a.Blend.Dry; text != "" {
		tell(text)
	}
	tell(slices.Concat(a.Blend.Beyond, a.Blend.Result.AtOdds, a.tastingsAhead(), b.Contradictions(),
		a.Blend.Wanting(), a.toLog(), a.decided())...)
	baseML, fats := a.Recipe.BaseML(), a.FatToLift()
	for i := range a.Recipe.Botanicals {
		x := &a.Recipe.Botanicals[i]
		name := x.Entry.Name
		if x.Known != nil && x.Known.Forbidden != "" {
			continue // nothing makes it right, and that it is wrong is said as a danger
		}
		for _, w := range oddities(x, baseML, fats) {
			tell(name + ": " + w)
		}
		out, isOut := a.Batch.OutBy(&x.Entry, a.ElapsedH)
		if x.Entry.Target == nil && !isOut {
			h = append(h, hint{name + ": no target, so it is pulled when it is as strong as it gets",
				"write target = 6 for the strength wanted in the bottle"})
		}
		if prior.WantsLot(x) {
			dry = append(dry, name)
		}
		if !isOut && x.Fine() {
			dust = append(dust, name)
		}
		if !isOut && x.Bagged() {
			bagged = append(bagged, name)
		}
		if in := x.Entry.In; !a.tasted(name, in) && (isOut && out > in || !isOut && a.ElapsedH > in) {
			tell(name + ": not tasted yet, so its times are the usual range")
		}
	}
	if len(dust) > 0 && len(b.Botanicals) > 1 {
		h = append(h, hint{quantity.And(dust) +
			": so fine that only straining takes it out, with all that is in",
			"put it in a bag and write bag = true, or strain everything at one moment: steep --together says when each goes in"})
	}
	if len(bagged) > 0 {
		h = append(h, hint{quantity.And(bagged) + ": taken to be tied up in a bag, which alone can be pulled",
			"bag = false where it went in loose"})
	}
	if len(dry) > 0 {
		h = append(h, hint{write: fmt.Sprintf("%s: neither age nor packet is written, and old spice is weak; write when it was bought, like bought = %s, or lot = \"market\" so that jars of one packet teach each other",
			quantity.And(dry), b.Started.Format(time.DateOnly))})
	}
	if len(b.Botanicals) > 0 && b.RoomC == nil {
		h = append(h, hint{"no room temperature, so 20~C is taken", `write room = "20~C"`})
	}
	if a.Blend.Whole() {
		a.Judge()
		if a.Keep.Verdict.Verdict != shelf.VerdictUnknown && a.Keep.EmptiedAt.IsZero() {
			for _, need := range a.Needs() {
				h = append(h, hint{need, "write it under [measured], like ph = 3.4"})
			}
		}
		if b.Readings().VolumeML == nil && !b.Finished(a.ElapsedH) {
			h = append(h, hint{"the yield is computed", fmt.Sprintf(
				"measure it when you bottle: volume = \"%.0f~ml\" under [measured]",
				10*math.Round(a.Blend.Result.VolumeML.Value/10))})
		}
	}
	return h
}

// NotLogged names what was planned for after straining and nobody logged, once it is bottled; none of those
// who log nothing that is done, nor of what is all gone.
func (a *Assessment) NotLogged() (names []string) {
	if a.slim != nil {
		return a.slim.untold
	}
	a.Judge()
	logs := a.Keep.Untold || a.Blend.Result.MayLack || a.Batch.Worked()
	if !logs || !a.Keep.EmptiedAt.IsZero() {
		return nil
	}
	for i := range a.Recipe.Unlogged {
		names = append(names, a.Recipe.Unlogged[i].Entry.Name)
	}
	return names
}

// toLog asks for that.
func (a *Assessment) toLog() []string {
	names := a.NotLogged()
	if len(names) == 0 {
		return nil
	}
	return []string{quantity.And(names) + ": not logged; log that with the time it went in"}
}

// decided says what was decided in reading the amounts: what words like "scant" and
// measures without an official size are taken for, and which measure may be that of
// another country.
func (a *Assessment) decided() (said []string) {
	var either []string // each once, in the order met
	open := map[string][]string{}
	read := func(name string, amount *quantity.Amount, w *library.Weight) {
		if amount == nil {
			return
		}
		if taken := amount.Taken(); taken != "" {
			said = append(said, name+": "+taken)
		}
		if w != nil && w.Taken != "" {
			said = append(said, name+": "+w.Taken)
		}
		if e := amount.Either(); e != "" {
			recipe.Note(&either, e)
			open[e] = append(open[e], name)
		}
	}
	spirit := func(name string, known *library.Spirit, abv *float64) {
		switch from := library.From(name); {
		case known == nil || known.Own:
		case abv == nil && known.ABVPercent.Value > 0 && !library.Unlabelled(name):
			said = append(said, fmt.Sprintf(
				"%s: its strength is not written, so the usual %g %% vol is taken (%g to %g are sold); write the strength from its label",
				name, known.ABVPercent.Value, known.ABVPercent.Low, known.ABVPercent.High))
		case library.Narrows(name, known.Name), len(from) > 0 && len(library.From(known.Name)) == 0:
			said = append(said, name+": it is taken as "+known.Name)
		}
	}
	for i := range a.Recipe.Bases {
		spirit(a.Recipe.Bases[i].Entry.Name, a.Recipe.Bases[i].Known, a.Recipe.Bases[i].Entry.ABVPercent)
		read(a.Recipe.Bases[i].Base.Name, a.Recipe.Bases[i].Entry.Amount, a.Recipe.Bases[i].Reads.Weight)
	}
	for i := range a.Recipe.Botanicals {
		h := &a.Recipe.Botanicals[i]
		if h.Known != nil && !h.Known.Own && !h.RoughCut && h.Entry.Cut != "" &&
			library.Renames(h.Entry.Cut, h.Cut.Name) {
			said = append(said, fmt.Sprintf("%s: %s has the figures of %q", h.Entry.Name, h.Entry.Cut,
				h.Cut.Name))
		}
		read(h.Entry.Name, h.Entry.Amount, h.Weight)
	}
	for i := range a.Recipe.Additions {
		spirit(a.Recipe.Additions[i].Entry.Name, a.Recipe.Additions[i].Spirit,
			a.Recipe.Additions[i].ABVPercent)
		if x := &a.Recipe.Additions[i]; x.Ingredient != nil && !x.Ingredient.Own &&
			library.Renames(x.Entry.Name, x.Ingredient.Name) {
			said = append(said, x.Entry.Name+": it is taken as "+x.Ingredient.Name)
		}
		read(a.Recipe.Additions[i].Entry.Name, a.Recipe.Additions[i].Entry.Amount,
			a.Recipe.Additions[i].Reads.Weight)
	}
	read("the bottle", a.Batch.Finish.Bottle, nil)
	for _, e := range either {
		said = append(said, quantity.And(open[e])+": "+e)
	}
	return said
}

// warnings are what is odd about how a botanical is written; baseML is the
// volume of all bases, 0 when it is not known, fats are those that are to come off.
func oddities(h *recipe.Botanical, baseML float64, fats []string) (said []string) {
	note := h.Note
	if recipe.Named(fats, h.Entry.Name) {
		note = recipe.Join(note, washNote)
	}
	if h.Lost != nil {
		note = recipe.Join(h.Lost.Asked(), note)
	}
	if note != "" {
		said = append(said, note)
	}
	if w := unusualDose(h.Cut, h.DoseGPerL(baseML)); w != "" {
		said = append(said, w)
	}
	return said
}

// tasted reports whether a botanical that went in at that hour has a score by
// now.
func (a *Assessment) tasted(name string, in float64) bool {
	for _, t := range a.Batch.Tastings {
		if !t.By(a.ElapsedH) || t.Hours < in {
			continue
		}
		for _, s := range t.Scores {
			if s.Name == name {
				return true
			}
		}
	}
	return false
}

// toldTasted is from which share of the base it is told what the tastings took of it: less is within
// what a jug shows.
const toldTasted = 0.02

// TastedML is how much the tastings of the jar took of it at the least, and how many they were: 0 where
// that is not worth a word, or what was left was measured.
func (a *Assessment) TastedML() (ml float64, times int) {
	if m := a.Batch.Readings(); m.StrainedML != nil || m.VolumeML != nil {
		return 0, 0
	}
	for i := range a.Batch.Tastings {
		if t := &a.Batch.Tastings[i]; t.By(a.ElapsedH) && a.Batch.OfJar(t) {
			ml, times = ml+steeping.LeastSampleML*t.SampleJar/(t.SampleJar+t.SampleOther), times+1
		}
	}
	if base := a.Recipe.BaseML(); base == 0 || ml < toldTasted*base {
		return 0, 0
	}
	return ml, times
}
