package recipe

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"steepbook/data/library"
	"steepbook/shelf"
)

// Allergens is what must be named to those who drink it, each once; last what only a
// slip of the pen may hide.
func (p *Lines) Allergens() (list []library.Allergen) {
	add := func(of library.Kin, perhaps bool) {
		for _, al := range of.AllAllergens() {
			if !slices.ContainsFunc(list, func(x library.Allergen) bool { return x.Name == al.Name }) {
				al.Perhaps = perhaps
				list = append(list, al)
			}
		}
	}
	for n := range p.All {
		add(n.StandsFor(), false)
	}
	for n := range p.All {
		add(n.may, true)
	}
	return list
}

// MustNot names what must not be steeped at all, with reasons.
func (p *Lines) MustNot() (said []string) {
	for n := range p.All {
		for _, b := range n.Botanicals {
			if b.Forbidden != "" {
				said = append(said, b.Name+": "+b.Forbidden)
			}
		}
	}
	return said
}

// neatOil is the hazard of an essential oil by itself; whoever steeps the plant
// does not meet it.
const neatOil = "neat-oil"

// Hazards says what no figure can be given for: hazards of the plant that hang
// on no dose, and those of a plant that nobody weighed.
func (p *Lines) Hazards() (list []shelf.Caution) {
	said := map[string]bool{}
	for n := range p.All {
		if slices.ContainsFunc(n.Botanicals, func(b *library.Botanical) bool { return b.Forbidden != "" }) {
			continue
		}
		for _, h := range n.StandsFor().AllHazards() {
			if h.Key == neatOil || h.MGPerG.Known() && n.Weight != nil || said[h.Text] {
				continue
			}
			c := shelf.Caution{Kind: cmp.Or(h.Kind, "hazard"), Text: shelf.About(n.Name, h.Text),
				Do: shelf.About(n.Name, h.Do), Source: h.Source}
			if h.MGPerG.Known() {
				c.Text = fmt.Sprintf("%s holds %s, and how much of it went in is not known: weigh it. %s",
					n.Name, h.Substance, h.Text)
				c.Do += " Weigh it."
			}
			said[h.Text] = true
			list = append(list, c)
		}
	}
	return list
}

// Drinkers are the words for a label about what is in it, each once: of hazards that
// hang on no dose, and of those whose dose is worth one of the cautions.
func (p *Lines) Drinkers(cautions []shelf.Caution) (said []string) {
	worth := func(text string) bool {
		return slices.ContainsFunc(cautions, func(c shelf.Caution) bool { return strings.Contains(c.Text, text) })
	}
	for n := range p.All {
		for _, h := range n.StandsFor().AllHazards() {
			if h.Drinker != "" && !slices.Contains(said, h.Drinker) && worth(h.Text) {
				said = append(said, h.Drinker)
			}
		}
	}
	return said
}

// Lingering names what burns or numbs, and so spoils the next sip.
func (p *Lines) Lingering() []string {
	var names []string
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; h.Known != nil && (h.Known.Fierce || h.Known.Class == "heat") {
			names = append(names, h.Entry.Name)
		}
	}
	return names
}
