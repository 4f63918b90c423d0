package label

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/steeping"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

func (w *writer) jar() {
	b := w.Batch
	in := "In " + b.Started.Format("Mon 2~Jan 2006") + " at" + b.Started.Format("~15:04")
	if b.StartedDateOnly {
		in = "In " + b.Started.Format("Mon 2~Jan 2006")
	}
	w.large(in)
	w.pulls()
	if h := w.JarEnd().H; h > w.ElapsedH {
		w.strong("Strain it by " + pen.Stamp(w.Batch.At(h), 0))
	}
	g, later := view.LookAt(w.Assessment), "After straining: "
	if g.Stage == due.Strained {
		later = "Still to go in: "
		w.waits(g)
	} else {
		w.outBy()
	}
	w.line(mustStand, w.contents())
	if g.Stage == due.Strained {
		w.line(madeOf, w.strainedOff())
	}
	w.allergens()
	if text := w.WeakStart(); text != "" {
		w.strong(clause(text) + ".")
	}
	for _, text := range bottle.Handling(w.Assessment) {
		w.strong(text)
	}
	for _, s := range w.Recipe.Safe() {
		w.strong(clause(quantity.About(quantity.Capital(s.Name), s.How)) + ".")
	}
	if c, ok := w.Blend.FlashC(); ok && g.Stage != due.Strained {
		w.line(mustStand, fmt.Sprintf("Flammable from %.0f~°C: no flame near it.", c))
	}
	var toCome []string
	for i := range w.Recipe.ToCome {
		e := &w.Recipe.ToCome[i].Entry
		toCome = append(toCome, view.Amounted(e.Name, "", e.Amount))
	}
	for i := range w.Recipe.Additions {
		if e := &w.Recipe.Additions[i].Entry; e.In == nil && e.Amount == nil {
			toCome = append(toCome, e.Name)
		}
	}
	if len(toCome) > 0 {
		w.line(madeOf, later+strings.Join(toCome, "; ")+".")
	}
}

// waits is what is done next with what is strained, where it stands until then, and what can hurt.
func (w *writer) waits(g *due.Glance) {
	d, k := g.Due, w.Keep
	d.There = true // whenever it is read
	text := nextact.Words(&d)
	switch e := g.Expected(); {
	case !k.Alone.IsZero():
		text = view.Alone(w.Assessment, date) + "keep it " + place(k)
		if u := k.Advised.Until; !u.IsZero() {
			text += "; " + view.GoodBy(k.TasteFirst(), date(u))
		}
	case !d.At.IsZero():
		text = nextact.OnDay(&d, date(d.At))
	case !e.Safe.IsZero():
		text += view.Expected(g, date)
	}
	w.strong(quantity.Capital(text) + ".")
	w.cautions()
}

// strainedOff names what steeped and is out.
func (w *writer) strainedOff() string {
	var out []string
	for i := range w.Batch.Botanicals {
		if e := &w.Batch.Botanicals[i]; w.out(e.Name) {
			out = append(out, view.Amounted(e.Name, e.Cut, e.Amount))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Out again: " + strings.Join(out, "; ") + "."
}

// out reports whether a botanical is out of the jar again.
func (w *writer) out(name string) bool {
	c := w.Curve(name)
	return c != nil && c.OutH != nil
}

// contents are what is in the jar, with cut and amount, and what it steeps in.
func (w *writer) contents() string {
	var all []string
	goesIn := func(hours float64) string {
		if hours <= math.Max(w.ElapsedH, 0) {
			return ""
		}
		return " (goes in " + pen.Stamp(w.Batch.At(hours), 0) + ")"
	}
	for _, s := range w.Batch.Spirits {
		all = append(all, view.Amounted(cmp.Or(s.Label(), "spirit"), "", s.Amount))
	}
	for i := range w.Batch.Botanicals {
		if e := &w.Batch.Botanicals[i]; !w.out(e.Name) {
			all = append(all, view.Amounted(e.Name, e.Cut, e.Amount)+goesIn(e.In))
		}
	}
	for i := range w.Recipe.Additions {
		if e := &w.Recipe.Additions[i].Entry; e.In != nil {
			all = append(all, view.Amounted(e.Name, "", e.Amount)+goesIn(*e.In))
		}
	}
	for _, x := range w.Batch.AddedBy(w.ElapsedH) {
		if !w.Batch.OfLiquor(&x) {
			all = append(all, view.Amounted(x.Name, "", &x.Amount))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return strings.Join(all, "; ") + "."
}

// pulls words the orders of the jar with their moments: when to taste next, and what
// comes out by when.
func (w *writer) pulls() {
	if s := w.NextSitting(); s != nil {
		doubtH := math.Min(s.DoubtH, 6)
		if s.Now { // which the page says too
			doubtH = 0
		}
		when := pen.Stamp(w.Batch.At(math.Max(s.AtH, w.ElapsedH)), doubtH)
		before, behind := bottle.Mind(w.Assessment)
		what := quantity.And(slices.Concat(s.Flavours, s.Watch))
		w.strong(quantity.Capital(before+"taste next ") + when + ": " + what + behind)
	}
	type group struct {
		verb, when string
		names      []string
	}
	var groups []group
	curves := slices.Clone(w.Curves)
	sort.SliceStable(curves, func(i, j int) bool { return outH(&curves[i]) < outH(&curves[j]) })
	for i := range curves {
		c := &curves[i]
		if math.IsInf(outH(c), 1) {
			continue
		}
		verb, when := "Pull ", w.comesOut(c)
		if c.OnlyStrained() {
			verb = "Strain out "
		}
		k := slices.IndexFunc(groups, func(g group) bool { return g.verb == verb && g.when == when })
		if k < 0 {
			k, groups = len(groups), append(groups, group{verb: verb, when: when})
		}
		groups[k].names = append(groups[k].names, c.Name)
	}
	text, last := "", ""
	for _, g := range groups {
		verb := g.verb
		switch {
		case verb == last:
			verb = ""
		case last != "":
			verb = strings.ToLower(verb)
		}
		text, last = text+"; "+verb+quantity.And(g.names)+" "+g.when, g.verb
	}
	w.strong(strings.TrimPrefix(text, "; "))
}

// comesOut is when a flavour comes out, for paper that is read on another day: about when it is
// best, and the last moment where that is known.
func (w *writer) comesOut(c *steeping.Curve) string {
	o := &c.Order
	doubt := (o.UntilH - o.FromH) / 2
	switch o.Do {
	case jar.Taste:
		if o.BestH <= w.ElapsedH { // which is no day to act on
			return "when a tasting says so"
		}
		return "about " + pen.Stamp(w.Batch.At(due.OutH(w.Assessment, c)), doubt)
	case jar.Leave:
	default:
		return pen.Stamp(w.Now, 0)
	}
	about := pen.Stamp(w.Batch.At(o.ByH), doubt)
	if math.IsInf(o.UntilH, 1) || o.UntilH <= o.ByH {
		return "about " + about
	}
	last := pen.Stamp(w.Batch.At(o.UntilH), doubt)
	if day, clock, ok := strings.Cut(last, " at"); ok && strings.HasPrefix(about, day) {
		last = strings.TrimPrefix(clock, "~") + "~" // the same day
	}
	if last == about {
		return "about " + about
	}
	return "about " + about + ", by " + last
}

// outH is when a flavour comes out by its order, hours since the start; +Inf for what is
// out, stays, or is nobody's to take out.
func outH(c *steeping.Curve) float64 {
	switch o := &c.Order; {
	case c.Watch:
	case o.Do == jar.Pull || o.Do == jar.Strain:
		return math.Inf(-1)
	case o.Do == jar.Leave:
		return o.ByH
	case o.Do == jar.Taste:
		return o.BestH
	}
	return math.Inf(1)
}

// unfinished says of what is no drink yet what it lacks, and makes the label one of what there is by the log;
// of what nobody logged, one of all that is planned, which it says.
func (w *writer) unfinished() bool {
	var names []string
	for i := range w.Recipe.ToCome {
		names = append(names, w.Recipe.ToCome[i].Entry.Name)
	}
	rest := "the " + quantity.And(names)
	switch untold := w.NotLogged(); {
	case w.Waits():
		w.strong("NOT FINISHED: " + rest + " must still go in" + view.Expected(view.LookAt(w.Assessment), date) + ".")
		if so := w.Recipe.BlendSoFar(w.Batch); so != nil {
			own := *w.Assessment
			own.Blend, w.Assessment = *so, &own
		}
		return true
	case len(names) > 0:
		w.strong("Once " + rest + quantity.Verb(len(names), " is", " are") + " in:")
	case len(untold) > 0:
		w.strong("If the " + quantity.And(untold) + quantity.Verb(len(untold), " is", " are") + " in (not logged):")
	}
	if in := w.Keep.IfMixedSafe; !in.IsZero() && w.Now.After(in) {
		w.strong(quantity.Capital(view.IfIn(in, date(in), w.Now)) + ".")
	}
	return false
}
