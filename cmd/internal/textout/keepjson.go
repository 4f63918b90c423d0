package textout

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/shelf"
)

// keepJSON is the keeping judgement. The high end of a length of time is null when
// microbes set no limit.
func keepJSON(a *bench.Assessment) object {
	k, v, r := a.Keep, &a.Keep.Verdict, &a.Blend.Result
	known, have := v.Verdict != shelf.VerdictUnknown, a.Blend.Have()
	var best any
	if k.BestKnown {
		best = keptJSON(k, string(k.Best.Place), &k.Best)
	}
	decided := v.DecidedBy
	if decided.Organism == "" && decided.Hurdle == "" {
		decided.Margin = math.NaN()
	}
	return object{
		{"batch", a.Batch.Name},
		{"verdict", v.Verdict},
		{"place", v.Place},
		{"unopened_days", where(known, v.Unopened)},
		{"opened_days", where(known, v.Opened)},
		{"at_c", v.AtC},
		{"decided_by", decided},
		{"ph", where(have && r.PHKnown, r.PH.Value)},
		{"water_activity", where(have, r.WaterActivity.Value)},
		{"abv_percent", where(have, r.ABVPercent.Value)},
		{"delle_units", where(have, v.DelleUnits)},
		{"flavour_days", where(k.BestKnown, k.Best.Sealed)},
		{"safe", keptJSON(k, k.Where(), &k.Safe)},
		{"best", best},
		{"advised", keptJSON(k, k.Advises(), &k.Advised)},
		{"since", k.Since},
		{"since_at", k.SinceAt},
		{"opened_at", k.OpenedAt},
		{"changes", a.Changes()},
		{"fades", each(a.Fades(), fadeJSON)},
		{"house", k.House},
		{"cautions", cautionsOf(k)},
		{"confidence", v.Confidence},
		{"measure", a.Needs()},
		{"warnings", v.Warnings},
	}
}

// keptJSON is a place, the early day to which it keeps there, and the days.
func keptJSON(k *bench.Keep, place string, x *bench.Kept) any {
	if x.Place == "" {
		return nil
	}
	return object{
		{"place", place},
		{"at_c", x.AtC},
		{"until", x.Until},
		{"days", k.Days(x)},
		{"opened_days", x.Opened},
	}
}

func fadeJSON(f *shelf.Fade) object {
	return object{
		{"attribute", f.Attribute},
		{"of", f.Of},
		{"published_rate", f.Grade == "published" || f.Grade == "derived"},
		{"days", where(f.Known, f.Time)},
		{"what", "until it is noticed"},
		{"text", f.Text},
		{"source", f.Source},
	}
}

// cautionsOf are the cautions, then what must not be drunk, then what to declare.
func cautionsOf(k *bench.Keep) []shelf.Caution {
	out := slices.Clone(k.Verdict.Cautions)
	for _, m := range k.MustNot {
		out = append(out, shelf.Caution{Kind: "hazard", Text: "do not drink this: " + m})
	}
	for _, al := range k.Allergens {
		name := strings.TrimPrefix(cmp.Or(al.US, al.EU, al.Name), "contains ")
		out = append(out, shelf.Caution{Kind: "allergen", Text: "contains " + name, Source: al.Source})
	}
	return out
}
