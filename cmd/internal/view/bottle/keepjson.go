package bottle

import (
	"cmp"
	"math"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/shelf"
)

// KeepJSON is the keeping judgement. The high end of a length of time is null when
// microbes set no limit.
func KeepJSON(a *bench.Assessment) pen.Object {
	a = a.Speaking()
	k, v, r := a.Keep, &a.Keep.Verdict, &a.Blend.Result
	known, have := toKeep(k), a.Blend.Have()
	var best any
	if k.BestKnown {
		best = KeptJSON(k, string(k.Best.Place), &k.Best)
	}
	decided := v.DecidedBy
	if decided.Organism == "" && decided.Hurdle == "" {
		decided.Margin = math.NaN()
	}
	out := append(pen.Object{pen.As("batch", a.Batch.Name), pen.As("danger", CanHurt(a))}, JudgedJSON(k)...)
	return append(out, pen.Object{
		pen.As("opened_days", pen.Where(known, v.Opened)),
		pen.As("at_c", v.AtC),
		pen.As("decided_by", decided),
		pen.As("ph", pen.Where(have && r.PHKnown, r.PH.Value)),
		pen.As("water_activity", pen.Where(have, r.WaterActivity.Value)),
		pen.As("abv_percent", pen.Where(have, r.ABVPercent.Value)),
		pen.As("delle_units", pen.Where(have, v.DelleUnits)),
		pen.As("flavour_days", pen.Where(k.BestKnown, k.Best.Sealed)),
		pen.As("safe", KeptJSON(k, k.Where(), &k.Safe)),
		pen.As("best", best),
		pen.As("advised", KeptJSON(k, k.Advises(), &k.Advised)),
		pen.As("since", k.Since),
		pen.As("since_at", k.SinceAt),
		pen.As("not_logged", a.NotLogged()),
		pen.As("expected", view.ExpectedJSON(view.LookAt(a))),
		pen.As("bottled_at", k.BottledAt),
		pen.As("opened_at", k.OpenedAt),
		pen.As("bottles", BottlesJSON(a)),
		pen.As("outcomes", pen.Each(a.Keep.Outcomes, OutcomeJSON)),
		pen.As("own_scores", pen.Each(a.Keep.Faded(a.Batch, a.ElapsedH, a.Fades()), fadedJSON)),
		pen.As("changes", a.Changes()),
		pen.As("fades", pen.Each(a.Fades(), fadeJSON)),
		pen.As("house", k.House),
		pen.As("cautions", cautionsOf(k)),
		pen.As("confidence", v.Confidence),
		pen.As("edge", v.Edge),
		pen.As("measure", a.Needs()),
		pen.As("warnings", v.Warnings),
	}...)
}

// JudgedJSON is the judgement in short, in the same words wherever it stands.
func JudgedJSON(k *keeping.Keep) pen.Object {
	v := &k.Verdict
	verdict := v.Verdict
	if k.Stopped() {
		verdict = shelf.VerdictDiscard
	}
	return pen.Object{
		pen.As("not_known", k.Unknown),
		pen.As("verdict", verdict),
		pen.As("place", v.Place),
		pen.As("unopened_days", pen.Where(toKeep(k), v.Unopened)),
		pen.As("now", pen.Where(toKeep(k), nowJSON(k))),
	}
}

// nowJSON is where it is to stand now, until when that is not where its days are counted, and for how many days
// egg and spirit stand alone in a room from when the rest of the egg is in, none where none is to come.
func nowJSON(k *keeping.Keep) pen.Object {
	place, until := k.Stands()
	return pen.Object{pen.As("place", place), pen.As("until", until),
		pen.As("alone_days_of_rest", pen.Where(k.RestAlone, keeping.EggDays))}
}

// toKeep reports whether there is something left to keep, and it is known for how long.
func toKeep(k *keeping.Keep) bool {
	return k.Verdict.Verdict != shelf.VerdictUnknown && k.EmptiedAt.IsZero()
}

// KeptJSON is a place, from when on it stands there where that is not now, the early day to which it keeps, and
// the days.
func KeptJSON(k *keeping.Keep, place string, x *keeping.Kept) any {
	if x.Place == "" && x.Until.IsZero() {
		return nil
	}
	_, from := k.Stands()
	return pen.Object{
		pen.As("place", place),
		pen.As("from", from),
		pen.As("at_c", x.AtC),
		pen.As("until", x.Until),
		pen.As("days", k.Days(x)),
		pen.As("opened_days", x.Opened),
	}
}

func fadeJSON(f *shelf.Fade) pen.Object {
	return pen.Object{
		pen.As("attribute", f.Attribute),
		pen.As("of", f.Of),
		pen.As("published_rate", f.Grade == "published" || f.Grade == "derived"),
		pen.As("days", pen.Where(f.Known, f.Time)),
		pen.As("what", "until it is noticed"),
		pen.As("text", f.Text),
		pen.As("source", f.Source),
	}
}

// cautionsOf are the cautions, then what must not be drunk, then what to declare.
func cautionsOf(k *keeping.Keep) (out []pen.Object) {
	for i := range k.Verdict.Cautions {
		c := &k.Verdict.Cautions[i]
		out = append(out, cautionOf(k, c.Kind, c.Text, c.Source, c.Text))
	}
	for _, m := range k.MustNot {
		out = append(out, cautionOf(k, "hazard", "do not drink this: "+m, "", m))
	}
	for _, m := range k.MayBe {
		out = append(out, cautionOf(k, "hazard", "ask first, and taste nothing: "+m, "", m))
	}
	for i := range k.Allergens {
		al := &k.Allergens[i]
		name := strings.TrimPrefix(cmp.Or(al.US, al.EU, al.Name), "contains ")
		out = append(out, cautionOf(k, "allergen", "contains "+name, al.Source, al.Name))
	}
	return out
}

// cautionOf is one of them, with the bottles that alone hold what it is of.
func cautionOf(k *keeping.Keep, kind, text, source, of string) pen.Object {
	return pen.Object{pen.As("kind", kind), pen.As("text", text), pen.As("source", source),
		pen.As("in", vessels(k, of))}
}
