package library

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Allergen is a substance that has to be named.
type Allergen struct {
	Name   string `toml:"name"` // for the maker: "almond (tree nut)"
	US     string `toml:"us"`   // name to declare under the US rule; "" when it is not a major allergen
	EU     string `toml:"eu"`   // name to emphasise under the EU rule; "" when it is not listed
	Source string `toml:"source"`
	Grade  Grade  `toml:"grade"`
	Note   string `toml:"note"`
	// Perhaps: only what a name may have meant holds it.
	Perhaps bool `toml:"-"`
}

// Declared is the name under which it is declared, of both countries where they differ.
func (a *Allergen) Declared() string {
	us := strings.TrimPrefix(a.US, "contains ")
	if us != "" && a.EU != "" && !strings.EqualFold(us, a.EU) {
		return a.Named(fmt.Sprintf("%s (US), %s (EU)", us, a.EU))
	}
	return a.Named(cmp.Or(us, a.EU, a.Name))
}

// Named is it by one of its names, as far as it is known to be there.
func (a *Allergen) Named(name string) string {
	if a.Perhaps {
		return "perhaps " + name
	}
	return name
}

func sameAllergen(a, b Allergen) bool { return a.Name == b.Name }

// Hazard is a substance or a way to come to harm. Figures that are not known
// are zero Numbers.
type Hazard struct {
	Key       string `toml:"key"`
	Substance string `toml:"substance"`
	Kind      string `toml:"kind"`     // of the caution: "" for "hazard", else "gas", "raw milk" or "hands"
	Text      string `toml:"text"`     // one or two sentences for the maker
	Drinker   string `toml:"drinker"`  // what of it a label says to whoever drinks it; "": nothing
	Do        string `toml:"do"`       // what it means and what to do, in a few words: one of these unless given
	Prepare   string `toml:"prepare"`  // what must be done to it before it goes in; "": nothing
	Handling  string `toml:"handling"` // how it is bought, picked and touched unhurt, told as it goes in; "": as it is
	USLaw     string `toml:"us_law"`   // what US law says of food with it; "": nothing that was read
	Source    string `toml:"source"`
	Grade     Grade  `toml:"grade"`

	// MGPerG is the content of what holds it as weighed, mg per g; OfDry says that it is of
	// the dry plant: a fresh one holds it in what is not water.
	MGPerG Number `toml:"mg_per_g" range:"0 1000"`
	OfDry  bool   `toml:"of_dry"`
	// Raw: it is of the raw thing alone, and heat takes it away.
	Raw bool `toml:"raw"`
	// ByDose: no content is known, and how much of the plant there is decides all the same.
	ByDose bool `toml:"by_dose"`
	// Of is the kind of source, where a level hangs on it: "Artemisia"; may be empty.
	Of     string  `toml:"of"`
	Limits []Limit `toml:"-"` // the levels of the substance that hold for this source
	// LimitGPerDay is g of the botanical itself per adult and day, where only that is published.
	LimitGPerDay Number `toml:"limit_g_per_day" range:"0 1000"`
	// SteepDays is for how long, d, it may lie in a jar. SparesCut are the words for what lacks that
	// which is harmful, SparesTaken those for what is taken to lack it, as Taken says.
	SteepDays   Number   `toml:"steep_days" range:"0 1000"`
	SparesCut   []string `toml:"spares_cut"`
	SparesTaken []string `toml:"spares_taken"`
	Taken       string   `toml:"taken"`
}

// Left is what is left of it in what is so called and cut: none where what is harmful is said to be out, what was
// taken for granted where it is only taken to be; all of it of "not pitted" and "halved, unpitted".
func (h *Hazard) Left(said string) (left Hazard, any bool) {
	ws := words(said)
	has := func(list []string) bool {
		return slices.ContainsFunc(list, func(s string) bool { return covered(words(s), ws) >= 0 })
	}
	switch {
	case slices.ContainsFunc(ws, func(w string) bool {
		return w == "not" || w == "unpitted" || w == "unstoned" || stoneWords(w)
	}):
		return *h, true
	case has(h.SparesCut):
		return left, false
	case has(h.SparesTaken):
		return Hazard{Key: h.Key, Substance: h.Substance, Text: h.Taken, Do: h.Taken, Taken: h.Taken,
			Source: h.Source, Grade: h.Grade}, true
	}
	return *h, true
}

func sameHazard(a, b Hazard) bool { return a.Key == b.Key }

// Limit is a published level of a substance, and the drinks it holds for.
type Limit struct {
	Substance string `toml:"substance"`
	// Of and Except are the kind of source it is for, or not for; "" any.
	Of     string `toml:"of"`
	Except string `toml:"except"`
	// It holds above OverABV and up to ToABV, % vol; ToABV 0: no upper end.
	OverABV float64 `toml:"over_abv"`
	ToABV   float64 `toml:"to_abv"`
	// MGPerL is mg per litre of the drink (legal mg/kg taken as mg/L: a drink weighs 0.95 to 1.1 kg/L).
	MGPerL   Number `toml:"mg_per_l" range:"0 1e4"`
	MGPerDay Number `toml:"mg_per_day" range:"0 1e4"` // mg per adult (60 kg) and day
	Harm     bool   `toml:"harm"`                     // no limit, but what made people ill
	Lasting  bool   `toml:"lasting"`                  // for every day for years
	// Exempt is what the law does not hold to it; then it is said and decides nothing.
	Exempt string `toml:"exempt"`
}

// fits reports whether a level is for that source.
func (l Limit) fits(h *Hazard) bool {
	return (l.Of == "" || l.Of == h.Of) && (l.Except == "" || l.Except != h.Of)
}

// asWeighed turns a content of the dry plant into that of the fresh one, which
// holds it in what is not water.
func (h *Hazard) asWeighed(water Number) {
	if !h.OfDry || !h.MGPerG.Known() {
		return
	}
	n := h.MGPerG
	n.Value, n.Low, n.High = n.Value*(1-water.Value), n.Low*(1-water.High), n.High*(1-water.Low)
	n.Note = strings.TrimPrefix(n.Note+"; less the water of the fresh plant", "; ")
	h.MGPerG, h.OfDry = n, false
}

// Decides reports whether the figures may settle a question of harm: content
// and at least one limit are known and none of the figures used is from memory
// or an unsigned page.
func (h Hazard) Decides() bool {
	ok := func(n Number) bool { return n.Known() && n.Grade.Decides() }
	return ok(h.LimitGPerDay) || ok(h.MGPerG) && slices.ContainsFunc(h.Limits, func(l Limit) bool {
		return l.Exempt == "" && (ok(l.MGPerL) || ok(l.MGPerDay))
	})
}

// Hazards lists every hazard of the library by key, also those no botanical
// refers to.
func (l *Library) Hazards() map[string]Hazard {
	all := map[string]Hazard{}
	for key, e := range l.tables.hazards() {
		if h, err := e.get(); err == nil { // the tests read them all
			all[key] = *h
		}
	}
	return all
}

func (r *reader) allergen(path []any, in *allergenIn, a *Allergen) error {
	*a = in.Allergen
	if in.Key == "" || a.Name == "" || a.Source == "" || !a.Grade.valid() {
		return r.fault(path, "", "an allergen needs key, name, source and grade")
	}
	return nil
}

type allergenIn struct {
	Key string `toml:"key"`
	Allergen
}

func (r *reader) hazard(path []any, in, h *Hazard) error {
	if in.Key == "" || in.Substance == "" || in.Text == "" || in.Source == "" || !in.Grade.valid() {
		return r.fault(path, "", "a hazard needs key, substance, text, source and grade")
	}
	if err := lay(r, path, h, in, h); err != nil {
		return err
	}
	if h.Do = cmp.Or(h.Do, h.Prepare); h.Do == "" && h.Handling != "" {
		h.Do = h.Handling + "."
	}
	h.Do = cmp.Or(h.Do, h.Drinker)
	if h.Do == "" {
		return r.fault(path, "", "a hazard needs do, prepare, handling or drinker: what it means to whoever drinks it, and what to do")
	}
	for _, e := range r.lib.tables.limits() {
		if e.name != h.Substance {
			continue
		}
		l, err := e.get()
		if err != nil {
			return err
		}
		if l.fits(h) {
			h.Limits = append(h.Limits, *l)
		}
	}
	return nil
}

func (r *reader) limit(path []any, in, l *Limit) error {
	if err := lay(r, path, l, in, l); err != nil {
		return err
	}
	if l.Substance == "" || l.MGPerL.Known() == l.MGPerDay.Known() {
		return r.fault(path, "", "a limit needs its substance, and one of mg_per_l and mg_per_day")
	}
	return nil
}

// AsTaken says what of some hazards is taken to be out of it though nothing says so, part of a sentence; "" where
// nothing is.
func AsTaken(hazards []Hazard) string {
	var said []string
	for i := range hazards {
		if do := hazards[i].Do; do != "" && do == hazards[i].Taken {
			said = append(said, strings.ToLower(do[:1])+strings.TrimSuffix(do[1:], "."))
		}
	}
	return strings.Join(said, "; ")
}
