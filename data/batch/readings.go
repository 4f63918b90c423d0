package batch

import (
	"math"
	"slices"
	"time"
)

// This file says what was measured, and of what. A volume that is logged has a moment. [measured] has none, but
// it has a place in a file that only ever gets longer: it is of all that is logged above it, and what is logged
// below it went in later, planned or not.

// Readings is what was measured: [measured], with the volumes that were logged in the
// place of those written there. The liquor is that of the last straining of everything;
// the yield is what was logged of it, in bottling or in straining what was mixed.
func (b *Batch) Readings() Measured {
	m := b.Measured
	for _, s := range reached(b.Strainings, math.Inf(1), func(s *Straining) float64 { return s.Hours }) {
		switch ml := s.Volume; {
		case ml == nil:
		case b.OfMix(&s):
			m.VolumeML = millilitres(ml)
		default:
			m.StrainedML, m.StrainedH = millilitres(ml), s.Hours
		}
	}
	if ml := b.yieldML(); ml > 0 {
		m.VolumeML = &ml
	}
	return m
}

// yieldML is the yield as it was measured in bottling, 0 where it is not known.
func (b *Batch) yieldML() float64 { return b.measuredML(nil) }

// MixRead reports whether by an hour what was mixed was measured as it was strained, and is not bottled: what
// goes in after that is not in what was measured.
func (b *Batch) MixRead(nowH float64) bool {
	return b.mixRead(func(s *Straining) bool { return by(s.Hours, nowH) })
}

func (b *Batch) mixRead(those func(*Straining) bool) bool {
	return b.yieldML() == 0 && slices.ContainsFunc(b.Strainings, func(s Straining) bool {
		return s.Volume != nil && those(&s) && b.OfMix(&s)
	})
}

// ofDrink reports whether anything was measured of the drink, and not of the liquor that was strained.
func (m Measured) ofDrink() bool {
	m.StrainedML, m.CyanideMgPerL = nil, nil
	return m != Measured{}
}

// readAbove reports whether an entry stands above [measured].
func (b *Batch) readAbove(x Line) bool { return b.Doc.Line(x.Kind, x.Index) < b.Doc.Line("measured") }

// readH is the latest hour of the log above [measured], without end where nothing is logged there.
func (b *Batch) readH() float64 {
	last := math.Inf(-1)
	for _, x := range b.lines(nil) {
		if b.readAbove(x) {
			last = max(last, x.Hours)
		}
	}
	if math.IsInf(last, -1) {
		return math.Inf(1)
	}
	return last
}

// VolumeLogged reports whether how much there is of it was logged, in bottling or in straining what was mixed.
func (b *Batch) VolumeLogged() bool { return b.Readings().VolumeML != b.Measured.VolumeML }

// ReadWhole reports whether what was measured is the finished drink, by all that the log says: some was bottled
// by then, or all that was planned is logged above it and nothing that went in below, or nothing is logged but
// what was tasted and seen.
func (b *Batch) ReadWhole() bool {
	if !b.Measured.ofDrink() {
		return false
	}
	in, lacks := map[string]bool{}, false
	for _, x := range b.lines(nil) {
		if (x.Kind == KindBottled || x.Kind == KindOpened || x.Kind == KindEmptied) && b.readAbove(x) {
			return true
		}
	}
	for i := range b.Additives {
		x := &b.Additives[i]
		above := b.readAbove(x.line())
		in[x.Name], lacks = above, lacks || !above
	}
	return !b.logsWork() || !lacks && !slices.ContainsFunc(b.Additions,
		func(e Addition) bool { return e.In == nil && e.Amount != nil && !in[e.Name] })
}

// logsWork reports whether anything is logged but what was tasted and seen.
func (b *Batch) logsWork() bool {
	return slices.ContainsFunc(b.lines(nil), func(x Line) bool { return x.Kind != KindTasting && x.Kind != KindNoted })
}

// Worked reports whether anything is told of what was done with it, but that it was bottled by a word in
// [finish], as those write it who log nothing.
func (b *Batch) Worked() bool { return b.Finish.Strained != nil || b.logsWork() }

// Since says of what is in a drink how it stands to what was measured of that. Late: it went in after all of it.
// After: after [measured], and before the volume was logged. Moot: nobody knows whether it was in when [measured]
// was read, as it is taken for.
type Since struct{ Late, After, Moot bool }

// Since is that of what went in by the log.
func (b *Batch) Since(x *Added) Since {
	switch {
	case b.bottledBefore(x):
		return Since{Late: true}
	case !b.Measured.ofDrink() || b.readAbove(x.line()):
		return Since{}
	case x.Hours < b.readH():
		return Since{Moot: !b.OfLiquor(x)}
	case b.OfLiquor(x) || b.VolumeLogged():
		return Since{After: true}
	}
	return Since{Late: true}
}

// SinceUnlogged is that of what is planned for the drink, and is not logged by an hour.
func (b *Batch) SinceUnlogged(nowH float64) Since {
	switch open := !b.Finished(nowH); {
	case open && b.MixRead(nowH):
		return Since{Late: true}
	case !b.Measured.ofDrink() || b.ReadWhole():
		return Since{}
	case open && !math.IsInf(b.readH(), 1):
		return Since{Late: true}
	}
	return Since{Moot: true}
}

// bottledBefore reports whether something went in after the drink was bottled, or measured as it was strained.
// Of a day on which it was bottled nobody knows which came first.
func (b *Batch) bottledBefore(x *Added) bool {
	if b.mixRead(func(s *Straining) bool { return b.inOrder(s.line(), x.line()) < 0 }) {
		return true
	}
	if f := b.Finish.Bottled; len(b.Bottlings) == 0 {
		midnight := f != nil && f.When.Equal(time.Date(f.When.Year(), f.When.Month(), f.When.Day(), 0, 0, 0,
			0, f.When.Location()))
		return f != nil && x.Hours > f.Hours && !(midnight && sameDay(x.When, f.When))
	}
	return b.Apart(x) || !slices.ContainsFunc(b.Bottlings,
		func(y Bottling) bool { return b.inOrder(x.line(), y.line()) < 0 })
}

// OfLiquor reports whether what went in is of the strained liquor: it joined what steeped, or went
// in before that liquor was measured.
func (b *Batch) OfLiquor(x *Added) bool {
	return b.InJar(x.Hours) || slices.ContainsFunc(b.Strainings, func(s Straining) bool {
		return s.Volume != nil && b.inOrder(x.line(), s.line()) < 0 && !b.OfMix(&s)
	})
}
