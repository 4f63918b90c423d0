package growth

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data"
)

// Organisms are the entries of data/tables/organisms.csv with their limits, yeasts
// first. A fault in the tables is ours and panics.
var Organisms = sync.OnceValue(func() []Organism {
	var out []Organism
	for _, r := range data.Rows("organisms.csv") {
		out = append(out, Organism{
			Name: r.Text("name"), Group: r.Text("group"), Note: r.Text("note"),
			NeedsAir: r.Text("needs_air") == "yes",
		})
	}
	of := func(r data.Row) *Organism {
		return &out[slices.IndexFunc(out, func(o Organism) bool { return o.Name == r.Text("organism") })]
	}
	for _, r := range data.Rows("organism-limits.csv") {
		of(r).limits[boundOf(r.Text("limit"))] = limit{
			value: stated(r, "value", r.Text("unit")).Value, known: true,
			stops: r.Text("seen") == "none", seen: r.Text("seen") != "memory", source: r.Text("source"),
		}
	}
	for _, r := range data.Rows("organism-together.csv") {
		o := of(r)
		o.together = append(o.together, joint{
			awMax: stated(r, "aw_max", ""), pHMax: stated(r, "ph_max", ""),
			celsiusMin: stated(r, "celsius_min", ""), celsiusMax: stated(r, "celsius_max", ""),
			abvMin:   stated(r, "ethanol_min", r.Text("ethanol_unit")),
			sugarMin: stated(r, "sugar_min_g_per_l", ""), days: stated(r, "days", ""),
			source: r.Text("source"),
		})
	}
	return out
})

func boundOf(key string) bound {
	for b, is := range bounding {
		if is.key == key {
			return bound(b)
		}
	}
	panic("organism-limits.csv: no limit is called " + key)
}

// stated is a cell that may be empty, an amount of ethanol turned into % vol.
func stated(r data.Row, column, unit string) Optional {
	if r.Text(column) == "" {
		return Optional{}
	}
	switch v := r.Number(column); unit {
	case "mass %":
		return At(ABVFromMassPercent(v))
	case "g/L":
		return At(v / ethanolGPerLPerABV)
	default:
		return At(v)
	}
}

// ethanolGPerLPerABV is the ethanol of a litre at 1 % vol and 20 °C, g.
const ethanolGPerLPerABV = 7.893

// Entry is what is published of one organism, in words for people to read.
type Entry struct {
	Name, Group, Note string
	Limits            []EntryLimit
}

// EntryLimit is one end of the range that it grows in; Source says where it was
// read, or that it is from memory.
type EntryLimit struct {
	What   string
	Value  float64
	Unit   string
	Source string
}

// Lookup finds the first organism with a part of its name, of four letters at least.
func Lookup(name string) (Entry, bool) {
	want := strings.ToLower(strings.TrimSpace(name))
	i := slices.IndexFunc(Organisms(),
		func(o Organism) bool { return strings.Contains(strings.ToLower(o.Name), want) })
	if len(want) < 4 || i < 0 {
		return Entry{}, false
	}
	o := Organisms()[i]
	e := Entry{Name: o.Name, Group: o.Group, Note: o.Note}
	if o.NeedsAir {
		e.Note = strings.TrimPrefix(e.Note+"; needs air", "; ")
	}
	for b, l := range o.limits {
		if !l.known {
			continue
		}
		source := data.Cite(l.source)
		if l.stops {
			source = "no growth at this value: " + source
		}
		if !l.seen {
			source += " (shown, never decides)"
		}
		e.Limits = append(e.Limits, EntryLimit{bounding[b].name, l.value, bounding[b].unit, source})
	}
	return e, true
}

// densityKgPerM3 is ethanol-water at 20 °C by mass per cent, from the CRC
// Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative
// properties of aqueous solutions; 0 % from Council Directive 76/766/EEC.
var densityKgPerM3 = []struct{ massPercent, value float64 }{
	{0, 998.2}, {2, 994.5}, {5, 989.3}, {8, 984.7}, {10, 981.9}, {12, 979.2}, {15, 975.2},
	{20, 968.7}, {24, 963.2}, {30, 953.9}, {40, 935.2}, {50, 913.9}, {60, 891.1}, {100, 789.3},
}

// ABVFromMassPercent turns mass per cent of ethanol in water into % vol at
// 20 °C, within 0.03 % vol up to 30 mass per cent. Publications state limits
// either way; outside 0-100 the argument is moved to the nearer end.
func ABVFromMassPercent(massPercent float64) float64 {
	w := min(max(massPercent, 0), 100)
	d := densityKgPerM3
	i := 1
	for i < len(d)-1 && w > d[i].massPercent {
		i++
	}
	t := (w - d[i-1].massPercent) / (d[i].massPercent - d[i-1].massPercent)
	rho := d[i-1].value + t*(d[i].value-d[i-1].value)
	return w * rho / d[len(d)-1].value
}
