package recipe

import (
	"slices"

	"steepbook/data/batch"
	"steepbook/shelf/mixture"
)

// Remark fills the remarks: what the liquid may do where it will stand [°C].
func (b *Blend) Remark(from *batch.Batch, p *Lines, storeC float64) {
	b.Remarks = nil
	if !b.Have() {
		return
	}
	s := mixture.Setting{StoreC: storeC, OilRich: b.Bottle.OilRich, Feeds: b.Bottle.Nourishing, Sealed: true}
	if b.Result.JarVolumeML > 0 {
		s.SteepABV = b.Result.JarParts.ABVPercent()
	}
	if from.RoomC != nil && *from.RoomC > 30 {
		s.WarmedC = *from.RoomC
	}
	for h := range p.Steeped {
		if k := h.Known; k != nil && k.Pectin {
			s.PectinRich = append(s.PectinRich, h.Entry.Name)
		}
	}
	for _, x := range p.Additions {
		if x.Ingredient == nil {
			continue
		}
		if x.Ingredient.Pectin {
			s.PectinRich = append(s.PectinRich, x.Entry.Name)
			s.Boiled = s.Boiled || x.Entry.Heated
		}
		if x.Ingredient.NutMilk {
			s.NutMilk = append(s.NutMilk, x.Entry.Name)
		}
	}
	b.Remarks = b.Result.Parts.Remarks(s)
}

// FlashC is from which temperature [°C] the vapour of the jar, and of the bottle once it
// is strained, can catch fire; ok is false where nobody need be warned.
func (b *Blend) FlashC() (celsius float64, ok bool) {
	if !b.Have() {
		return 0, false
	}
	return b.Bottle.FlashC()
}

// Settles names what leaves a sediment or a ring in the bottle that does no harm: juice,
// nut milk and the oils of peel, where it was not filtered, nor cleared by its own curds.
func (out *Blend) Settles(p *Lines) []string {
	b := &out.Bottle
	if clots := p.Clotting(); b.Filtered || !out.Have() || clots.Any() {
		return nil
	}
	names := slices.Concat(b.FreshJuice, b.CitrusPeel, b.OtherPeel)
	if b.NutMilk {
		names = append(names, b.Nuts...)
	}
	return names
}
