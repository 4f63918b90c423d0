package recipe

import (
	"math"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/mixture"
)

// Portions are the yield as it is poured: bottles, serves, drinks and what each
// costs.
type Portions struct {
	// Bottling is nil when no size of bottle is known.
	Bottling *Bottling
	// Filled is what was bottled by the log, nil where that was not counted by size.
	Filled *Filled
	// EthanolG is the alcohol in all of it, PerBottleG in a full bottle, PerServeG in
	// a serve of ServeML; each zero where there is none.
	EthanolG, PerBottleG float64
	ServeML, PerServeG   float64
	Serve                string // as the maker wrote it
	perMLG               float64
	// Cost is of all that goes in, glass left out; PerLitre, PerBottle and PerServe are of
	// the liquid, by its volume. In the maker's currency, nil without prices.
	Cost, PerLitre, PerBottle, PerServe *float64
}

// Bottling is how the yield fills bottles: Full of SizeML, and RestML over; Low and
// High are the bottles begun for the 90 % range of the yield.
type Bottling struct {
	SizeML    float64
	Size      string // as the maker wrote it
	Full      int
	RestML    float64
	Low, High int
}

// Filled is the bottles that were filled, the first size first: HoldML in all, LastML those that were logged
// last, of YieldML, to which counts what joined what was left over in between; LeftML is over, Joined says
// that something did, and TooMuch that they hold more than there can have been.
type Filled struct {
	Sizes                           []Sized
	HoldML, LastML, YieldML, LeftML float64
	TooMuch, Joined                 bool
}

// Sized is so many bottles of a size.
type Sized struct {
	Count  int
	SizeML float64
}

// EthanolIn is the alcohol in so much of it [g].
func (out *Portions) EthanolIn(ml float64) float64 { return out.perMLG * ml }

// CostOf is what so much of it costs, nil without prices.
func (out *Portions) CostOf(ml float64) *float64 {
	if out.PerLitre == nil {
		return nil
	}
	cost := *out.PerLitre * ml / 1000
	return &cost
}

// fillIn counts the bottles of the log against the yield.
func (out *Blend) fillIn(b *batch.Batch) {
	f, volume := &Filled{Joined: out.Result.Rest.AwayML > 0}, out.Result.VolumeML
	all, at := b.Bottles(math.Inf(1)), 0.0
	for _, x := range all.List {
		ml := millilitres(x.Of)
		switch {
		case x.From > 0: // that is in the bottle that it came out of
			continue
		case x.Bottled == nil || ml == 0:
			return
		}
		if x.Bottled.Hours != at {
			f.LastML, at = 0, x.Bottled.Hours
		}
		f.HoldML, f.LastML = f.HoldML+ml, f.LastML+ml
		i := slices.IndexFunc(f.Sizes, func(s Sized) bool { return s.SizeML == ml })
		if i < 0 {
			i, f.Sizes = len(f.Sizes), append(f.Sizes, Sized{SizeML: ml})
		}
		f.Sizes[i].Count++
	}
	if !all.Counted || len(f.Sizes) == 0 || volume.Value <= 0 {
		return
	}
	// A bottle within 2 % of its label is full, and what wets the neck is not over: see fills.
	slack, left := batch.FullSlack*f.HoldML, out.Result.Rest.LeftML(f.HoldML)
	f.YieldML, f.TooMuch = f.HoldML+left, left+slack+out.moreML() < 0
	if left > slack && (f.Joined || left >= aSip*f.Sizes[0].SizeML) {
		f.LeftML = left
	}
	out.Filled = f
}

// Begun counts the bottles needed, one for the rest included.
func (b *Bottling) Begun() int {
	if b.RestML > 0 {
		return b.Full + 1
	}
	return b.Full
}

// LastShare is how full the last one is, above 0 to 1.
func (b *Bottling) LastShare() float64 {
	if b.RestML > 0 {
		return b.RestML / b.SizeML
	}
	return 1
}

// aSip is the share of the first bottle below which what was left over of the same drink counts as gone.
// Judgement.
const aSip = 0.1

// fills is how many bottles of a size a volume fills, and what is over. What wets
// the neck of one more bottle is no bottle: it goes to the others, half a per cent
// each; and a bottle within 2 % of its label is full. Judgement.
func fills(ml, size float64) Bottling {
	n := ml / size
	slack := min(max(batch.FullSlack, 0.005*n), 0.3)
	whole := math.Floor(n + slack)
	b := Bottling{SizeML: size, Full: int(whole)}
	if n-whole > slack {
		b.RestML = ml - whole*size
	}
	return b
}

// Pour is so much of the blend as it is poured, into bottles and serves of a size; nil
// where none is known.
func (b *Blend) Pour(volume mixture.Range, size, serve *quantity.Amount) Portions {
	out := Portions{Cost: b.Cost}
	if !b.Have() || volume.Value <= 0 {
		return out
	}
	out.perMLG = b.Result.ABVPercent.Value / 100 * alcohol.EthanolDensity20 / 1000
	out.EthanolG = out.EthanolIn(volume.Value)
	if b.Cost != nil {
		each := b.Result.Parts.Cost / volume.Value * 1000
		out.PerLitre = &each
	}
	if ml := millilitres(size); ml > 0 {
		x, least, most := fills(volume.Value, ml), fills(volume.Low, ml), fills(volume.High, ml)
		x.Size, x.Low, x.High = size.String(), least.Begun(), most.Begun()
		out.Bottling, out.PerBottleG, out.PerBottle = &x, out.EthanolIn(ml), out.CostOf(ml)
	}
	if ml := millilitres(serve); ml > 0 {
		out.Serve, out.ServeML, out.PerServeG, out.PerServe = serve.String(), ml, out.EthanolIn(ml), out.CostOf(ml)
	}
	return out
}

func millilitres(a *quantity.Amount) float64 {
	if a == nil {
		return 0
	}
	_, ml, _, _ := a.Millilitres()
	return ml
}
