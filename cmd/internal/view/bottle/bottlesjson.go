package bottle

import (
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
)

// BottlesJSON is which bottles are open, how many are not, and what no bottle holds.
func BottlesJSON(a *bench.Assessment) pen.Object {
	ml, _ := a.Held(bench.LeftOver)
	k := a.Keep
	first, _ := keeping.First(k.SealedLots())
	var sealed []pen.Object
	var left time.Time
	for _, x := range k.Rest {
		if x.Numbers[0] < 0 {
			left = x.Until
			continue
		}
		sealed = append(sealed, pen.Object{pen.As("bottles", x.Numbers), pen.As("until", x.Until),
			pen.As("safe_until", x.Safe), pen.As("past", x.Past(a.Now))})
	}
	return pen.Object{
		pen.As("open", pen.Each(k.Open, func(o *keeping.OpenBottle) pen.Object {
			return pen.Object{pen.As("bottle", o.Number), pen.As("opened_at", o.At), pen.As("until", o.Until),
				pen.As("safe_until", o.Safe), pen.As("past", o.Past)}
		})),
		pen.As("sealed", pen.Where(k.Counted, k.Sealed())),
		pen.As("sealed_until", first),
		pen.As("sealed_bottles", sealed),
		pen.As("filled", FilledJSON(Filled(a))),
		pen.As("left_over_ml", pen.Some(ml)),
		pen.As("left_over_until", left),
		pen.As("emptied_at", k.EmptiedAt),
	}
}

// ToComeJSON is an addition that is still to go in.
func ToComeJSON(x *recipe.Addition) pen.Object {
	return pen.Object{pen.As("name", x.Entry.Name), pen.As("amount", pen.Verbatim(x.Entry.Amount.Text)),
		pen.As("amount_g", pen.Some(x.MassG()))}
}

// SoFarJSON is what is in by the log, null where nothing is still to come.
func SoFarJSON(a *bench.Assessment) any {
	b := a.Recipe.BlendSoFar(a.Batch)
	if b == nil || !a.Waits() {
		return nil
	}
	r := &b.Result
	return pen.Object{
		pen.As("volume_ml", r.VolumeML.Value),
		pen.As("abv_percent", r.ABVPercent.Value),
		pen.As("sugar_g_per_l", r.SugarGPerL.Value),
		pen.As("acid_g_per_l", r.AcidGPerL.Value),
		pen.As("ph", pen.Where(r.PHKnown, r.PH.Value)),
	}
}

// OutcomeJSON is a sign that was seen, and what keep says of its day.
func OutcomeJSON(o *keeping.Outcome) pen.Object {
	return pen.Object{
		pen.As("what", pen.Verbatim(o.What)),
		pen.As("at", o.At),
		pen.As("days", o.Days),
		pen.As("opened", o.Opened),
		pen.As("bottle", pen.Where(o.Bottle > 0, o.Bottle)),
		pen.As("keep_days", o.Said),
		pen.As("sooner", o.Sooner()),
		pen.As("cause", o.Cause.Name),
		pen.As("throw_away", o.Cause.ThrowAway),
	}
}

// fadedJSON is how a taste held by the maker's own scores.
func fadedJSON(f *keeping.Faded) pen.Object {
	return pen.Object{
		pen.As("of", f.Of),
		pen.As("first", f.First.Score),
		pen.As("first_day", f.First.Days),
		pen.As("last", f.Last.Score),
		pen.As("last_day", f.Last.Days),
		pen.As("held_to_day", f.HeldD),
		pen.As("noticed_by_day", f.NoticedD),
		pen.As("expected_days", f.Expected.Time),
	}
}
