package bench

import (
	"fmt"
	"math"
	"time"

	"steepbook/shelf"
)

// Hints says what is missing that would sharpen the answers, most telling
// first. None of it is wrong.
func (a *Assessment) Hints() []string {
	var h, dry []string
	b := a.Batch
	for _, m := range a.Keep.MustNot {
		h = append(h, "do not drink this: "+m)
	}
	h = append(h, a.tastingsAhead()...)
	h = append(h, a.Blend.Missing...)
	for i := range a.Curves {
		c := &a.Curves[i]
		if c.Watch {
			continue
		}
		for _, w := range c.Warnings {
			h = append(h, c.Name+": "+w)
		}
		if c.Target == nil && c.OutH == nil {
			h = append(h, c.Name+": no target, so it is pulled when it is as strong as it gets; write target = 6 for the strength wanted in the bottle")
		}
		if (&herb{entry: *c.Botanical, known: c.Known, cut: c.LibCut}).wantsLot() {
			dry = append(dry, c.Name)
		}
		if c.Tasted == 0 && c.JarH > 0 {
			h = append(h, c.Name+": not tasted yet, so its times are the usual range")
		}
	}
	if len(dry) > 0 {
		h = append(h, fmt.Sprintf("%s: neither age nor packet is written, and old spice is weak; write when it was bought, like bought = %s, or lot = \"market\" so that jars of one packet teach each other",
			list(dry), b.Started.Format(time.DateOnly)))
	}
	if len(b.Botanicals) > 0 && b.RoomC == nil {
		h = append(h, `no room temperature, so 20 C is taken; write room = "20 C"`)
	}
	if a.Blend.Have() {
		switch {
		case b.Measured.PH == nil && len(a.Blend.bottle.FreshJuice) > 0:
			h = append(h, "a pH reading under [measured] would settle the keeping judgement: ph = 3.4")
		case !a.Blend.Result.PHKnown && a.Keep.Verdict.Verdict != shelf.VerdictShelf:
			h = append(h, "its pH is not known; a reading under [measured] may help: ph = 3.4")
		}
		if b.Measured.VolumeML == nil {
			h = append(h, fmt.Sprintf("the yield is computed; measure it when you bottle: volume = \"%.0f ml\" under [measured]", 10*math.Round(a.Blend.Result.VolumeML.Value/10)))
		}
	}
	return h
}
