package recipe

import (
	"fmt"
	"math"
	"slices"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// RunsOver asks after what went into an open bottle, where by the log that is then fuller than full.
func (b *Blend) RunsOver(of *batch.Batch, x *batch.Added) string {
	j := of.Joined(x, x.Hours)
	for _, v := range joins(&j).Vessels {
		for i := range b.Result.Open {
			o := &b.Result.Open[i]
			ml := o.Parts.VolumeML(20)
			if o.Number == v.Number && j.To != batch.LeftOver && ml > (1+batch.FullSlack)*v.ML {
				return fmt.Sprintf("bottle %d holds %s, and with the %s there would be about %s in it", v.Number,
					Litres(v.ML), x.Name, Litres(ml))
			}
		}
	}
	return ""
}

// JoinsLate says of what went in after some of the drink was bottled what it joined. It is a sentence without its
// full stop, "" of what went in before.
func (b *Blend) JoinsLate(of *batch.Batch, x *batch.Added) string {
	j := of.Joined(x, x.Hours)
	was, apart := b.Result.Levels[j.Pour]
	joins := fmt.Sprintf("the bottles took all of the %s that there was by then", Litres(j.AwayML+was.LeftML))
	switch {
	case !apart, j.AwayML == 0, x.Into != nil:
		return ""
	case j.To != batch.LeftOver:
		joins = fmt.Sprintf("a bottle is open, and how much was left in it nobody knows, so the %s counts as nearly "+
			"all that is in there: say how much it went into (--into \"300~ml\"), or give it a batch of its own", x.Name)
	case was.LeftML > batch.FullSlack*j.AwayML:
		joins = "it joins only the " + Litres(was.LeftML) + " that was left over, which is then another drink: give it a batch of its own"
	}
	return ifInBy(of, x) + joins
}

// ifInBy begins a question by asking whether something was in when the bottles were filled; "" where the maker
// said what it went into.
func ifInBy(b *batch.Batch, x *batch.Added) string {
	s := b.BottledAt()
	if s == nil || x.Into != nil || x.Bottle > 0 {
		return ""
	}
	return fmt.Sprintf("by the log the bottles were filled on %s: if the %s was in by then, log it with its time (--at %s); if they were poured back, undo the bottling first; else ",
		s.When.Format("2~Jan 2006~15:04"), x.Name, s.When.Add(-time.Minute).Format("2006-01-02T15:04"))
}

// beyondInto says of what went in that less than the maker wrote can have been there for it to join: no
// bottle that was open holds so much, nor was so much left over. It is a sentence without its full stop,
// "" where it may be so, or where what there was is not known.
func (b *Blend) beyondInto(x *batch.Added, j batch.Joins) string {
	if x.Into == nil || !b.Have() || j.IntoML <= (1+batch.FullSlack)*b.levelML(j) {
		return ""
	}
	var held []string
	was, left := b.Result.Levels[j.Pour], "nothing was left over"
	for i, ml := range was.OpenML {
		held = append(held, fmt.Sprintf("bottle %d held no more than %s", j.Bottles[i].Number, Litres(ml)))
	}
	if held == nil {
		held = []string{"no bottle was open"}
	}
	if most := was.LeftML + b.moreML(); most >= 1 {
		left = "no more than " + Litres(math.Floor(most)) + " was left over"
	}
	if x.Bottle == 0 {
		held = append(held, left)
	}
	return fmt.Sprintf("%q is more than the %s can have gone into: %s", x.Into.Text, x.Name, quantity.And(held))
}

// blended is the batch as its log has it by an hour; nil where nobody knows.
func blended(b *batch.Batch, lib *library.Library, hours float64) *Blend {
	p, err := Read(b, lib, hours)
	if err != nil {
		return nil
	}
	blend, err := NewBlend(b, p)
	if err != nil {
		return nil
	}
	return &blend
}

// Levels tells the most that each of the bottles that were open held when something went in, the last of the
// log, and that was left over; none where nobody knows.
func Levels(lib *library.Library) func(*batch.Batch, *batch.Added) (openML []float64, leftML float64) {
	return func(b *batch.Batch, x *batch.Added) ([]float64, float64) {
		blend := blended(b, lib, x.Hours)
		if blend == nil {
			return nil, 0
		}
		j := b.Joined(x, x.Hours)
		was := blend.Result.Levels[j.Pour]
		return was.OpenML, was.LeftML + blend.moreML()
	}
}

// Overfull tells of a batch as it was whether its bottles hold more than there can have been.
func Overfull(lib *library.Library) func(*batch.Batch) bool {
	return func(b *batch.Batch) bool {
		blend := blended(b, lib, math.Inf(1))
		return blend != nil && blend.Filled != nil && blend.Filled.TooMuch
	}
}

// CheckInto refuses a line of the log by which something went into more than there was, or into one of
// several open bottles without a word which, or into one that was not open.
func (b *Blend) CheckInto(of *batch.Batch, l *batch.Line) error {
	if l.Kind != batch.KindAdded {
		return nil
	}
	x := &of.Additives[l.Index]
	j, right, bottled := of.Joined(x, x.Hours), "", of.BottledAt()
	open := len(j.Bottles) > 0 && j.Bottles[0].Opened != nil
	switch {
	case (x.Into != nil || x.Bottle > 0) && !open && (bottled == nil || bottled.Hours > x.Hours):
		return of.Errorf([]any{batch.KindAdded, l.Index}, "", "nothing is bottled yet, so the %s goes into all that there is: "+
			"leave out what it went into, or log the bottling first", x.Name)
	case j.To == 0:
		return of.Errorf([]any{batch.KindAdded, l.Index}, fmt.Sprintf("bottle = %d", j.Bottles[0].Number),
			"%s%s are open, so say which the %s went into", ifInBy(of, x), quantity.And(numbers(j.Bottles, 0)), x.Name)
	case x.Bottle > 0 && (j.Bottles[0].Opened == nil || j.Bottles[0].Emptied != nil):
		return of.Errorf([]any{batch.KindAdded, l.Index, "bottle"}, "", "bottle %d was not open when the %s went in: log the opening first",
			x.Bottle, x.Name)
	}
	beyond := b.beyondInto(x, j)
	if beyond == "" {
		return nil
	}
	if most := b.levelML(j); most >= 1 {
		right = fmt.Sprintf(`into = "%.0f~ml"`, math.Floor(most))
	}
	return of.Errorf([]any{batch.KindAdded, l.Index, "into"}, right, "%s", beyond)
}

// numbers names bottles, of these one alone where that is not 0.
func numbers(list []batch.Bottle, one int) (names []string) {
	for i := range list {
		if n := list[i].Number; one == 0 || one == n {
			names = append(names, fmt.Sprintf("bottle %d", n))
		}
	}
	return names
}

// MayJoin reports whether there is anything for what goes in to join, once it was bottled.
func (b *Blend) MayJoin(j batch.Joins) bool {
	return !b.Have() || len(j.Bottles) > 0 || b.Result.Rest.LeftML(j.AwayML)+b.moreML() > 0
}

// levelML is the most that something may have gone into, by what there was by then; all that there may be
// where nothing was apart.
func (b *Blend) levelML(j batch.Joins) float64 {
	if was, apart := b.Result.Levels[j.Pour]; apart {
		most := was.LeftML + b.moreML()
		for _, ml := range was.OpenML {
			most = max(most, ml)
		}
		return most
	}
	return b.Result.VolumeML.High
}

// moreML is by how much there may be more of it than is likely.
func (b *Blend) moreML() float64 { return max(b.Result.VolumeML.High-b.Result.VolumeML.Value, 0) }

// OddVolume says of a line of the log by which a volume was measured that it is more than had gone
// in, if it all were liquid: a sentence without its full stop, "" where it may be so, or where what
// went in is not known.
func OddVolume(p *Lines, b *batch.Batch, l *batch.Line) string {
	got, ml := 0.0, 0.0
	switch m := b.Readings(); {
	case l.Kind == batch.KindStrained && b.Strainings[l.Index].Volume != nil:
		s := &b.Strainings[l.Index]
		got = millilitres(s.Volume)
		switch mixed := b.OfMix(s); {
		case mixed && p.Logged():
			if p = p.SoFar(); m.StrainedML != nil { // of the jar so much is left
				ml = *m.StrainedML
				p = p.Some(func(*Botanical) bool { return false },
					func(x *Addition) bool { return x.Entry.In == nil })
				p.Bases = nil
			}
		case !mixed && len(p.Bases) > 0:
			p = p.JarAt(l.Hours)
		}
	case l.Kind == batch.KindBottled && m.VolumeML != nil && b.Bottlings[l.Index].Volume != nil:
		got = *m.VolumeML
	}
	for i := range p.Bases {
		if p.Bases[i].Entry.Amount == nil {
			return ""
		}
		ml += millilitres(p.Bases[i].Entry.Amount)
	}
	for i := range p.Botanicals {
		if p.Botanicals[i].Weight == nil {
			return ""
		}
		ml += p.Botanicals[i].Weight.High // water is the lightest of what juice and syrup hold
	}
	for i := range p.Additions {
		x := &p.Additions[i]
		ml += x.Addition.PerG.Times(x.MassG()).VolumeML(20)
	}
	if got > 1.05*ml && ml > 0 { // how well a kitchen measures; judgement
		return fmt.Sprintf("%s came out, and about %s went in", Litres(got), Litres(ml))
	}
	return ""
}

// FarOff is what the recipe gives of a volume that was measured, the strained one or the yield, and
// whether so much is over that some counts as water, or lacks that it is more than the doubt and what cloth and
// jug take: a tenth. Judgement.
func (b *Blend) FarOff(of mixture.Property, m batch.Measured) (own mixture.Range, over, far bool) {
	read := m.VolumeML
	if of == mixture.Strained {
		read = m.StrainedML
	}
	own, far = b.Result.Doubted[of]
	over = slices.Contains(b.Result.Held, of)
	return own, over, over || far && read != nil && *read < own.Low-0.1*own.Value
}

// Litres is a volume as one speaks of it.
func Litres(ml float64) string {
	if ml < 1000 {
		return fmt.Sprintf("%.0f~ml", ml)
	}
	return quantity.InFigures(ml/1000, 3) + "~l"
}
