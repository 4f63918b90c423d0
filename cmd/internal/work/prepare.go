package work

import (
	"cmp"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// verbs are what is done to a botanical by the word that says it was: common practice,
// no source. What is powdered, flaked or dried is bought so.
var verbs = []struct{ done, verb string }{
	{"crushed", "crush"}, {"smashed", "crush"}, {"pounded", "crush"}, {"cracked", "crack"},
	{"broken", "break up"}, {"bruised", "bruise"}, {"ground", "grind"}, {"chopped", "chop"},
	{"minced", "chop"}, {"sliced", "slice"}, {"slices", "slice"}, {"grated", "grate"}, {"torn", "tear up"},
	{"split", "split"}, {"shredded", "shred"}, {"shaved", "shave"},
}

// ready is what is done to things before they go in at an hour: toast and cool, crack,
// take the zest off, bag; nothing once they are in.
func (m *maker) ready(in float64) (steps []Step) {
	if m.in(in) {
		return nil
	}
	p := m.a.Recipe
	by := map[step][]Thing{}
	juiced := false
	for i := range p.Botanicals {
		h := &p.Botanicals[i]
		if h.Entry.In != in {
			continue
		}
		t := thing(h)
		for _, z := range h.Reads.Hazards() {
			if z.Handling != "" { // before anything is done to it
				s := Step{Kind: MakeSafe, How: z.Handling + "."}
				s.Of = []Thing{{Name: t.Name}}
				steps = append(steps, s)
			}
		}
		if toasted(h) {
			by[step{Toast, ""}] = append(by[step{Toast, ""}], t)
		}
		if zested(h) {
			how := "pare"
			if h.Cut.Dust || slices.Contains(wordsOf(h.Cut.Name), "fine") {
				how = "grate"
			}
			by[step{Zest, how}] = append(by[step{Zest, how}], t)
			juiced = juiced || m.juices(h)
		} else if verb := cutBy(h); verb != "" {
			by[step{Prepare, verb}] = append(by[step{Prepare, verb}], t)
		}
		if h.Entry.Bag || p.WantsBag(i) && !m.a.Batch.Finish.LeaveIn {
			by[step{Bag, ""}] = append(by[step{Bag, ""}], t)
		}
	}
	whys := map[Kind]string{
		Toast:   "in a dry pan until it smells, away from the spirit, whose vapour burns; let it cool first",
		Prepare: "just before it goes in: its oils are gone by tomorrow",
		Zest:    "only the coloured skin: the white is bitter",
		Bag:     "so fine that without a bag it comes out only with all the rest",
	}
	if juiced {
		whys[Zest] += "; before the fruit is juiced"
	}
	order := []step{{Toast, ""}}
	for _, v := range verbs {
		order = append(order, step{Prepare, v.verb})
	}
	for _, s := range append(order, step{Zest, "grate"}, step{Zest, "pare"}, step{Bag, ""}) {
		if of := by[s]; of != nil {
			steps = append(steps, Step{Kind: s.kind, How: s.how, Of: of, Why: whys[s.kind]})
			delete(by, s) // several words have one verb
		}
	}
	return steps
}

// step is a kind of step with its verb.
type step struct {
	kind Kind
	how  string
}

// in reports whether what goes in at an hour is in.
func (m *maker) in(hours float64) bool {
	return hours < m.a.ElapsedH || m.strained && hours <= m.a.ElapsedH
}

// juices reports whether the juice of the fruit of a zest is added too.
func (m *maker) juices(h *recipe.Botanical) bool {
	return slices.ContainsFunc(m.a.Recipe.Additions, func(x recipe.Addition) bool {
		return x.Ingredient != nil && x.Ingredient.Kind == "juice" &&
			fruit(x.Ingredient.Name) == fruit(h.Known.Name)
	})
}

// prepare is all that comes before the first things go in, and these.
func (m *maker) prepare() {
	p, in := m.a.Recipe, m.in(0)
	if !in {
		m.add(Step{Kind: Clean, Why: "what grows in a bottle comes from what touched it"})
		for _, s := range p.Safe() {
			m.add(Step{Kind: MakeSafe, Of: []Thing{{Name: s.Name}}, How: s.How})
		}
	}
	m.steps = append(m.steps, m.ready(0)...)
	var weigh, first []Thing
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; h.Entry.In == 0 {
			first = append(first, thing(h))
		}
	}
	for i := range p.Additions {
		if e := &p.Additions[i].Entry; e.In != nil && *e.In == 0 {
			first = append(first, Thing{e.Name, written(e.Amount)})
		}
	}
	for i := range p.Bases {
		first = append(first, Thing{p.Bases[i].Entry.Name, written(p.Bases[i].Entry.Amount)})
	}
	unweighed := false
	for i := range first {
		weigh = append(weigh, first[i])
		unweighed = unweighed || first[i].Amount == ""
		first[i].Amount = ""
	}
	if len(first) == 0 {
		return
	}
	if !in {
		s := Step{Kind: Weigh, Of: weigh}
		if unweighed {
			s.Why = "write down what has no amount yet: no dose is known without"
		}
		m.add(s)
	}
	s := Step{Kind: PutIn, Of: first, At: m.a.Batch.Started, Done: in}
	if len(p.Botanicals) > 0 && !m.strained {
		s.Why = "turn the jar once a day: the times count on that"
	}
	m.add(s)
}

// thing is a botanical as the maker wrote it.
func thing(h *recipe.Botanical) Thing { return Thing{h.Entry.Name, written(h.Entry.Amount)} }

func written(a *quantity.Amount) string {
	if a == nil {
		return ""
	}
	return cmp.Or(a.Text, a.String())
}

// fruit is what a zest or a juice is of, by the library's name of it.
func fruit(name string) string {
	ws := slices.DeleteFunc(wordsOf(name), func(w string) bool {
		return w == "zest" || w == "peel" || w == "juice"
	})
	return strings.Join(ws, " ")
}

func wordsOf(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s),
		func(r rune) bool { return strings.ContainsRune(" ,;/()", r) })
}

// zested reports whether it comes off a fresh citrus fruit.
func zested(h *recipe.Botanical) bool {
	k := h.Known
	if k == nil || h.Cut == nil || k.Kind != "citrus" || !k.Fresh ||
		library.Dry(h.Entry.Name+" "+h.Entry.Cut) {
		return false
	}
	ws := wordsOf(k.Name)
	return slices.Contains(ws, "zest") || slices.Contains(ws, "peel")
}

// toasted reports whether the maker toasts it: wood, coffee and tea are bought so.
func toasted(h *recipe.Botanical) bool {
	if k := h.Known; k != nil && (k.Kind == "coffee" || k.Kind == "tea" || k.Kind == "wood") || h.Fat() {
		return false
	}
	ws := wordsOf(h.Entry.Name + " " + h.Entry.Cut)
	if k := h.Known; k != nil {
		for _, w := range wordsOf(k.Name) { // roasted barley is called so
			ws = slices.DeleteFunc(ws, func(x string) bool { return x == w })
		}
	}
	return slices.Contains(ws, "toasted") || slices.Contains(ws, "roasted")
}

// cutBy is the verb of what is done to it, empty where nothing is.
func cutBy(h *recipe.Botanical) string {
	ws := wordsOf(h.Entry.Cut)
	if h.Entry.Cut == "" {
		ws = wordsOf(h.Entry.Name)
	}
	for _, v := range verbs {
		if slices.Contains(ws, v.done) {
			return v.verb
		}
	}
	return ""
}
