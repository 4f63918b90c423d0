package bench

import (
	"strings"

	"steepbook/shelf/growth"
)

// OrganismEntry is what is published of one microbe.
type OrganismEntry struct {
	Name, Group, Note string
	Limits            []OrganismLimit
}

// OrganismLimit is one end of the range it grows in; Source says where it was
// read, or that it is from memory.
type OrganismLimit struct {
	What   string
	Value  float64
	Unit   string
	Source string
}

// FindOrganism looks a microbe up by a part of its name.
func FindOrganism(name string) (OrganismEntry, bool) {
	want := strings.ToLower(strings.TrimSpace(name))
	if len(want) < 4 {
		return OrganismEntry{}, false
	}
	for _, o := range growth.Organisms() {
		if !strings.Contains(strings.ToLower(o.Name), want) {
			continue
		}
		e := OrganismEntry{Name: o.Name, Group: string(o.Group), Note: o.Note}
		if o.NeedsAir {
			e.Note = strings.TrimPrefix(e.Note+"; needs air", "; ")
		}
		for _, l := range []struct {
			what, unit string
			limit      growth.Limit
		}{
			{"least water activity", "", o.AwMin}, {"lowest pH", "", o.PHMin}, {"highest pH", "", o.PHMax},
			{"coldest", "°C", o.TMinC}, {"warmest", "°C", o.TMaxC}, {"strongest alcohol", "% vol", o.EthanolMaxABV},
		} {
			if !l.limit.Known {
				continue
			}
			source, _ := growth.Source(l.limit.Source)
			if l.limit.Stops {
				source = "no growth at this value: " + source
			}
			if !l.limit.Seen {
				source += " (shown, never decides)"
			}
			e.Limits = append(e.Limits, OrganismLimit{l.what, l.limit.Value, l.unit, source})
		}
		return e, true
	}
	return OrganismEntry{}, false
}
