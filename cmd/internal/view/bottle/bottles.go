package bottle

import (
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
	"steepbook/shelf/remark"
)

// SoFar says what is in by the log, "" where nothing is still to come, or nobody logs what goes in.
func SoFar(a *bench.Assessment, style pen.Style) string {
	b := a.Recipe.BlendSoFar(a.Batch)
	if b == nil || !a.Waits() {
		return ""
	}
	return "In so far: " + Figures(b, style) + "."
}

// WentIn says whether all that was planned is in, and what it is: by the log where some is still to go in,
// else with all of the plan, and which of that nobody logged.
func WentIn(a *bench.Assessment, style pen.Style) []string {
	rest, is := StillToCome(a), SoFar(a, style)
	if is == "" && a.Blend.Have() {
		if rest += Unlogged(a, style); rest != "" {
			is = "With all that was planned it is "
		} else if is = "All that was planned is in"; a.Curds() == keeping.ToCurdle || a.Curds() == keeping.Curdled {
			is += "; filtered through its curds: "
		} else {
			is += ": "
		}
		is += Figures(&a.Blend, style) + "."
	}
	return []string{is, rest}
}

// StillToCome says what is still to go in after straining.
func StillToCome(a *bench.Assessment) string {
	if len(a.Recipe.ToCome) == 0 {
		return ""
	}
	said := "Still to go in: " + toCome(a) + "."
	if e := a.EggAlone(false); e.State != shelf.EggLate {
		said += noMore(a, len(e.ToCome) > 0)
	} else {
		said += fmt.Sprintf(" Add no more %s (%s): correct its amount in the file.", e.ToCome[0].Entry.Name, e.Lacks)
	}
	return said
}

// noMore says what to do where what is in of something is all that goes in, be it less than was planned: what is
// bottled waits for nothing more, raw egg holds up all else until then. "" where nothing is in in part.
func noMore(a *bench.Assessment, egg bool) string {
	var begun []string
	for _, x := range a.Recipe.ToCome {
		for _, in := range a.Batch.AddedBy(a.ElapsedH) {
			if in.Name == x.Entry.Name {
				recipe.Note(&begun, in.Name)
			}
		}
	}
	n, do := len(begun), ""
	if n == 0 {
		return ""
	}
	if n == len(a.Recipe.ToCome) && !egg {
		do = "bottle it as it is, or "
	}
	return fmt.Sprintf(" If no more %s %s in, %scorrect %s in the file.", quantity.And(begun), quantity.Verb(n, "goes", "go"), do,
		quantity.Verb(n, "its amount", "their amounts"))
}

// toCome is that, and how much of it.
func toCome(a *bench.Assessment) string {
	return quantity.And(pen.Each(a.Recipe.ToCome, func(x *recipe.Addition) string {
		return fmt.Sprintf("%s (%s)", x.Entry.Name, x.Entry.Amount.Text)
	}))
}

// NotLogged says of what is bottled what counts as in though nobody logged it, or may not be in for all that
// was measured, as a clause; "" where nothing is.
func NotLogged(a *bench.Assessment) string {
	names, counts := a.NotLogged(), "counted as in"
	switch {
	case names == nil:
		return ""
	case a.Blend.Result.MayLack:
		counts = "by the measured volume maybe not in"
	case len(Untold(a)) > 0:
		counts += " since straining"
	}
	return quantity.And(names) + ": not logged, and " + counts
}

// Unlogged is NotLogged with what to do, and what it is without that where that is known.
func Unlogged(a *bench.Assessment, style pen.Style) string {
	text := quantity.Capital(NotLogged(a))
	if text == "" {
		return ""
	}
	text += ". Log that with the time it went in"
	if b := a.Recipe.BlendLogged(a.Batch); b != nil {
		text += ", or it is " + Figures(b, style)
	}
	return text + "."
}

// Untold names what nobody logged where it makes the days run from straining.
func Untold(a *bench.Assessment) []string {
	if a.Judge(); !a.Keep.Untold || a.Keep.Withheld() {
		return nil
	}
	return a.NotLogged()
}

// OnCurds asks after what was bottled without a word that it was filtered through its curds; nil of other
// drinks.
func OnCurds(a *bench.Assessment) []string {
	if a.Curds() != keeping.InBottle {
		return nil
	}
	return []string{"Nobody logged that it was filtered through its curds, which is counted: log that with strain, --at its hour, " +
		"or else pour it back, undo the bottling, and filter it."}
}

// lackWords is Unlogged where it tells two drinks apart.
func lackWords(a *bench.Assessment, style pen.Style) []string {
	if !a.Blend.Result.MayLack || !a.Keep.EmptiedAt.IsZero() {
		return nil
	}
	return []string{Unlogged(a, style)}
}

// FarOff says that a volume which was just measured, the strained one or the yield, is far from what
// the recipe gives; "" where it is not.
func FarOff(a *bench.Assessment, yield bool, style pen.Style) string {
	of := mixture.Strained
	if yield {
		of = mixture.Volume
	}
	own, over, far := a.Blend.FarOff(of, a.Batch.Readings())
	if !far {
		return ""
	}
	used := "It is used"
	if over {
		used = "What is over counts as water"
	}
	return fmt.Sprintf("By the recipe there is about %s (%s to %s): is the measured volume right? %s; if not, %s.",
		style.Volume(own.Value), style.Volume(own.Low), style.Volume(own.High), used, undoes(style))
}

// Figures are the yield and the figures of a blend in a few words.
func Figures(b *recipe.Blend, style pen.Style) string {
	r := &b.Result
	text := fmt.Sprintf("about %s %s, %s g/L sugar", style.Volume(r.VolumeML.Value), AtStrength(b),
		Told(b, r.SugarGPerL))
	if r.AcidGPerL.Value >= 0.05 {
		text += fmt.Sprintf(", %s g/L acid", Told(b, r.AcidGPerL))
	}
	return text
}

// Joined is what the last of it joined where that is known, and its figures now in a few words; "" elsewhere.
func Joined(b *recipe.Blend, style pen.Style) string {
	if len(b.Result.Open) == 0 {
		return ""
	}
	p, what := b.Result.Open[0].Parts, "what was left over"
	if n := b.Result.Open[0].Number; n > 0 {
		what = view.Vessel(n)
	}
	return fmt.Sprintf("%s is now about %s at %.0f %% vol, %.0f g/L sugar.", quantity.Capital(what),
		style.Volume(p.VolumeML(20)), p.ABVPercent(), p.SugarGPerL())
}

// LeftOver says how much no bottle holds and is there still, "" where nothing is, and that it has the days of an
// opened one where these are fewer, unless it fills one.
func LeftOver(a *bench.Assessment, style pen.Style) string {
	ml, _ := a.Held(bench.LeftOver)
	if ml <= 0 {
		return ""
	}
	text := "about " + style.Volume(ml) + " in no bottle"
	if k := a.Keep; k.OpenEnds() && k.Stop == "" && k.Advised.Opened.Low < k.Advised.Sealed.Low {
		full, _ := k.Fill()
		text += ": fill a small bottle with it, " + full + ", else it keeps as an opened one does, " +
			k.Advised.Opened.Words
	}
	return text
}

// Frozen says how full what is bottled for the freezer is to be, "" of what is kept elsewhere.
func Frozen(a *bench.Assessment) string {
	if a.Keep.Advised.Place != shelf.Freezer {
		return ""
	}
	full, why := a.Keep.Fill()
	return "in the freezer a bottle stands " + full + ": " + why + "."
}

// BottlesWords says which bottles are open and how many are not, each with its day.
func BottlesWords(a *bench.Assessment) string {
	k := a.Keep
	var said []string
	for i := range k.Open {
		o := &k.Open[i]
		text := sized(a, o.Number) + " is open since " + view.DateOf(o.At, a.Now)
		switch {
		case !o.Safe.IsZero() && a.Now.After(o.Safe):
			text += ", past its day"
		case o.Past:
			text += ", past its best"
		case !o.Until.IsZero():
			text += ", " + view.GoodBy(k.Of(o.Number, a.Now).TasteFirst(), view.DateOf(o.Until, a.Now))
		}
		said = append(said, text)
	}
	sealed := k.Sealed()
	for _, x := range k.Rest {
		text, n, days := view.Names(x.Numbers), len(x.Numbers), ""
		switch {
		case x.Until.IsZero():
		case x.Over(a.Now):
			days = "past " + quantity.Verb(n, "its", "their") + " day"
		case x.Past(a.Now):
			days = "past " + quantity.Verb(n, "its", "their") + " best"
		default:
			days = view.GoodBy(!x.Until.Equal(x.Safe), view.DateOf(x.Until, a.Now))
		}
		switch {
		case x.Numbers[0] < 0 && days == "":
			continue
		case x.Numbers[0] < 0:
		case n < sealed:
			text += quantity.Verb(n, " is", " are") + " sealed"
		case len(said) > 0:
			text = quantity.Counted(n, "is", "are") + " sealed"
		default:
			text = quantity.Counted(n, "bottle is", "bottles are") + " left, sealed"
		}
		said = append(said, strings.TrimSuffix(text+", "+days, ", "))
	}
	if len(said) == 0 {
		return ""
	}
	return strings.Join(said, "; ") + "."
}

// sized names a bottle, with its size where others have another.
func sized(a *bench.Assessment, number int) string {
	sizes, own := map[string]bool{}, ""
	for _, x := range a.Bottles().List {
		if x.Of != nil {
			if sizes[x.Of.String()] = true; x.Number == number {
				own = " (" + x.Of.String() + ")"
			}
		}
	}
	if len(sizes) < 2 {
		own = ""
	}
	return view.Vessel(number) + own
}

// What is what the keeping speaks of, where others keep longer: bottles, or what was left over; else all
// of it.
func What(a *bench.Assessment) string {
	k := a.Keep
	those, others := k.Spoken(a.Now)
	if k.AllPast || those == nil || others == nil && !k.SafePast || !k.Past && sealedFirst(k) {
		return "it"
	}
	return view.Names(those)
}

// sealedFirst reports whether the days of the keeping are those of bottles that nobody opened.
func sealedFirst(k *keeping.Keep) bool { return k.OpenedAt.IsZero() && !k.LeftOver() }

// By joins a place to the day to which it is good, with the sealed bottles whose day that is where others have
// another.
func By(a *bench.Assessment) string {
	if those, others := a.Keep.Spoken(a.Now); sealedFirst(a.Keep) && those != nil && others != nil {
		return "; " + view.Names(those) + ": "
	}
	return ", "
}

// Them is the word for what What names, of one or of more.
func Them(a *bench.Assessment, one, more string) string {
	if those, _ := a.Keep.Spoken(a.Now); len(those) > 1 && What(a) != "it" {
		return more
	}
	return one
}

// ofDrink is what is said of a drink, with whose it is where only some of the bottles hold what that is of.
func ofDrink(k *keeping.Keep, of, said string) string {
	if names := heldBy(k, of); names != "" {
		return quantity.Capital(names) + ": " + lowered(said)
	}
	return quantity.Capital(said)
}

// heldBy names the bottles that alone hold something, "" where all do.
func heldBy(k *keeping.Keep, what string) string { return quantity.And(vessels(k, what)) }

// vessels are their names.
func vessels(k *keeping.Keep, what string) []string {
	return pen.Each(k.HeldBy(what), func(number *int) string { return view.Vessel(*number) })
}

// OutcomeWords says of a sign that was seen what it most likely is, and how that goes with
// what keep says.
func OutcomeWords(a *bench.Assessment, o *keeping.Outcome) string {
	seal := "sealed"
	if o.Opened {
		seal = "once opened"
	}
	day, likely := "", "most likely "
	if o.Said.Words != "" {
		day = fmt.Sprintf(", day %.0f", math.Floor(o.Days))
	}
	if o.Cause.Named() {
		likely = ""
	}
	text := fmt.Sprintf("%s%s (%s): %s%s.", quantity.Capital(o.What), day, view.DateOf(o.At, a.Now), likely,
		o.Cause.Name)
	if o.Too != nil {
		text = strings.TrimSuffix(text, ".") + "; it is also " + o.Too.Name + "."
	}
	switch {
	case a.LiftedSince(o):
		text = strings.TrimSuffix(text, ".") + "; it came off since."
	case o.Cause.FatTrace():
		text += " " + quantity.Capital(o.Cause.WhatToDo) + "."
	case !o.Cause.ThrowAway || o.Said.Words == "":
	case o.Said.Open():
		text += fmt.Sprintf(" By what is known of it nothing should have grown, %s; so something in the file or "+
			"in the judgement is not right.", seal)
	case o.Days < o.Said.Low:
		text += fmt.Sprintf(" That is sooner than the %s %s that keep gives it.", o.Said.Words, seal)
	case o.Days <= o.Said.High:
		text += fmt.Sprintf(" Keep gives it %s %s, so it could be looked for.", o.Said.Words, seal)
	default:
		text += fmt.Sprintf(" Keep gives it %s %s, and they were over.", o.Said.Words, seal)
	}
	return text
}

// ReadWords say what was made of a note, or of the words of a tasting, of a moment: what its signs
// most likely are, and of what is none that, so that nobody takes it for judged.
func ReadWords(a *bench.Assessment, note string, when time.Time) (said []string) {
	if fat := a.FatToLift(); len(fat) > 0 && remark.TellsOfLifting(note) {
		said = append(said, fmt.Sprintf("A note does not count what came off: log the %s with pull, at the hour it came off, "+
			"so that every answer knows of it.", quantity.And(fat)))
	}
	quoted := fmt.Sprintf("%q", pen.Clip(note, 60)) // which alone is meant: scores beside it are judged
	switch sign, denied := remark.IsSign(note, a.Batch.Holds()...); {
	case denied && len(said) == 0:
		return []string{quoted + " is read as no sign of spoiling."}
	case denied, !sign && len(said) > 0:
		return said
	case !sign && a.Recipe.Tells(note):
		return nil
	case !sign && remark.TellsOfAdding(note):
		return []string{"A note does not count what goes in: log it with add, so that every answer knows of it."}
	case !sign && remark.IsPlain(note, a.Batch.Holds()...):
		return nil
	case !sign:
		return []string{quoted + " is kept and not judged: no sign of spoiling that is known here is read in it."}
	}
	for _, o := range a.Keep.Outcomes {
		if o.At.Equal(when) && o.What == note {
			said = append(said, OutcomeWords(a, &o))
		}
	}
	return said
}

// Slip is how a note, or the words of a tasting, of a moment that forbids the drink is taken back;
// "" of any other.
func Slip(a *bench.Assessment, note string, when time.Time, style pen.Style) string {
	for _, o := range a.Keep.Outcomes {
		if o.At.Equal(when) && o.What == note && o.Stands() {
			return " If that was a slip, " + undoes(style) + "."
		}
	}
	return ""
}

// undoes says how the last entry is taken back.
func undoes(style pen.Style) string {
	if style.Forms {
		return "undo it"
	}
	return "steepbook undo takes it out"
}

// FadedWords says how a taste held by the maker's own scores, beside what was expected.
func FadedWords(f *keeping.Faded) string {
	text := fmt.Sprintf("%s: %s on day %.0f, %s on day %.0f", f.Of, pen.Trim(f.First.Score),
		math.Floor(f.First.Days), pen.Trim(f.Last.Score), math.Floor(f.Last.Days))
	if math.IsInf(f.NoticedD, 1) {
		return fmt.Sprintf("%s: less than a quarter of it is gone; expected after %s", text, f.Expected.Time.Words)
	}
	return fmt.Sprintf("%s: a quarter of it was gone between day %.0f and day %.0f; expected after %s", text,
		math.Floor(f.HeldD), math.Floor(f.NoticedD), f.Expected.Time.Words)
}

// ownScores says how its tastes held by the maker's own scores.
func ownScores(a *bench.Assessment) string {
	return strings.Join(pen.Each(a.Keep.Faded(a.Batch, a.ElapsedH, a.Fades()), FadedWords), "; ")
}
