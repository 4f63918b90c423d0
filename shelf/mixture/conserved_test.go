package mixture

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestNothingComesOrGoes: of ethanol, water, sugar, acid, fat and the rest as much
// leaves as went in, through every path: bases, solids that are pulled early, give a
// share of their sap, join later, stay in or are pressed, additions, and whatever is
// measured. What is not in the bottle is in the marc, in the solids' own sap, or
// missing; only water makes up what a reading says is over.
func TestNothingComesOrGoes(t *testing.T) {
	constituents := map[string]func(Parts) float64{
		"ethanol": func(p Parts) float64 { return p.Ethanol }, "water": func(p Parts) float64 { return p.Water },
		"sugar": Parts.SugarG, "acid": Parts.AcidG, "fat": func(p Parts) float64 { return p.Fat },
		"solids": func(p Parts) float64 { return p.OtherSolids },
	}
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		yes := func(name string) bool { return rapid.Bool().Draw(t, name) }
		r := Recipe{Pressed: rapid.SampledFrom([]Range{Dripped, Pressed, NotSaid}).Draw(t, "pressed")}
		var in Parts
		for range rapid.IntRange(1, 2).Draw(t, "bases") {
			b := Base{Name: "spirit", VolumeML: Quantity{Value: g("base ml", 200, 1500), SD: 5}, ABVPercent: Quantity{Value: g("abv", 0, 80), SD: 0.2}, PerLitre: Parts{Sucrose: g("sweet", 0, 80), Tartaric: g("sour", 0, 5)}}
			p, err := FromVolume(b.VolumeML.Value, b.ABVPercent.Value, b.PerLitre)
			if err != nil {
				t.Skip("no room")
			}
			in, r.Bases = in.Plus(p), append(r.Bases, b)
		}
		var kept Parts // sap that solids take away again
		for range rapid.IntRange(0, 3).Draw(t, "solids") {
			s := Solid{Name: "fruit", MassG: Quantity{Value: g("solid g", 0, 60)}, PerG: Parts{Water: g("juicy", 0, 0.9), Fructose: 0.08, Malic: 0.01}, HeldMLPerG: Quantity{Value: g("held", 0.1, 2), SD: 0.1}, InH: g("in", 0, 20)}
			s.PressedMLPerG = Quantity{Value: s.HeldMLPerG.Value / 2, SD: 0.1}
			switch rapid.IntRange(0, 2).Draw(t, "what becomes of it") {
			case 0:
				s.LeftIn = true
			case 1:
				s.OutH = s.InH + g("for", 0.5, 50)
			}
			share := 1.0
			if yes("in time") && !s.LeftIn {
				s.Given = Range{Value: g("given", 0.1, 1), Low: 0.1, High: 1}
				share = s.Given.Value
			}
			all := s.PerG.Times(s.MassG.Value)
			in, kept, r.Solids = in.Plus(all), kept.Plus(all.Times(1-share)), append(r.Solids, s)
		}
		for _, a := range []Addition{{Name: "syrup", PerG: Parts{Sucrose: 0.6, Water: 0.4}}, {Name: "juice", PerG: Parts{Water: 0.9, Citric: 0.06, Fructose: 0.02, OtherSolids: 0.02, StrongIonsMMol: 0.02}}, {Name: "cream", PerG: Parts{Water: 0.6, Fat: 0.37, OtherSolids: 0.03}}, {Name: "rum", PerG: Parts{Ethanol: 0.5, Water: 0.5}}} {
			a.MassG, a.Late = Quantity{Value: g(a.Name, 0, 300), SD: 1}, yes("late")
			in, r.Additions = in.Plus(a.PerG.Times(a.MassG.Value)), append(r.Additions, a)
		}
		told, err := r.Balance()
		if err != nil {
			t.Skip(err)
		}
		for name, of := range constituents {
			if there, out := of(in), of(told.Parts)+of(told.MarcParts)+of(kept); math.Abs(there-out) > 1e-6*(1+there) {
				t.Fatalf("%s: %.6g g in, %.6g out", name, there, out)
			}
		}
		// What is not said reaches as far as either answer: without readings nearly (the
		// ways are linear), with them exactly, credit included.
		open := r
		open.Pressed = NotSaid
		if yes("read") {
			open.Measured.ABVPercent = &Quantity{Value: g("abv read", 0.7, 1.2) * told.ABVPercent.Value, SD: 0.5}
		}
		if either, err := open.Balance(); err == nil {
			for _, open.Pressed = range []Range{Dripped, Pressed} {
				said, err := open.Balance()
				if err != nil {
					continue
				}
				if said.ABVPercent.Low < either.ABVPercent.Low-0.1-0.1*(either.ABVPercent.High-either.ABVPercent.Low) || said.ABVPercent.High > either.ABVPercent.High+0.1+0.2*(either.ABVPercent.High-either.ABVPercent.Low) || said.VolumeML.Low < either.VolumeML.Low-0.01*said.VolumeML.Value-0.2*(either.VolumeML.High-either.VolumeML.Low) || said.WaterActivity.High > either.WaterActivity.High+0.004 {
					t.Fatalf("%v said is beyond %v", said.ABVPercent, either.ABVPercent)
				}
				if said.Credited != nil && (either.Credited == nil || said.Credited.ABVPercent.Low < either.Credited.ABVPercent.Low-1e-9) {
					t.Fatalf("a reading is believed more where less is said")
				}
			}
		}
		// A reading moves what the recipe leaves open and makes no ethanol, sugar or acid
		// beyond what went in, but where it is itself a reading of that.
		m := r
		scale := g("measured", 0.7, 1.1)
		switch rapid.IntRange(0, 2).Draw(t, "reading") {
		case 0:
			m.Measured.VolumeML = &Quantity{Value: scale * told.VolumeML.Value, SD: 5}
		case 1:
			m.Measured.StrainedML, m.Measured.StrainedH = &Quantity{Value: scale * told.StrainedML, SD: 5}, g("strained at", 0, 25)
		default:
			m.Measured.PH = &Quantity{Value: g("pH", 2.5, 6), SD: 0.05}
		}
		read, err := m.Balance()
		if err != nil {
			t.Skip(err)
		}
		for name, of := range constituents {
			if name != "water" && of(read.Parts) > of(in)*(1+1e-6)+1e-6 {
				t.Fatalf("measured: %s: %.6g g in, %.6g in the bottle", name, of(in), of(read.Parts))
			}
		}
		if k := read.Kept; k.Liquor < 0 || k.Liquor > 1 || k.Added < 0 || k.Added > 1 {
			t.Fatalf("%+v is kept", k)
		}
	})
}
