package recipe

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/harm"
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

// Poured are the lines without what went in once bottles were filled, but for those of the log, by their
// index, that are asked for.
func (p *Lines) Poured(in func(index int) bool) *Lines {
	q := *p
	has := func(x *Addition) bool { return x.Entry.AwayML <= 0 || in(x.Entry.Index) }
	q.Additions, q.in = quantity.Those(p.Additions, has), quantity.Those(p.in, has)
	return &q
}

// MustNot names what must not be steeped at all, with reasons.
func (p *Lines) MustNot() (said []string) {
	for n := range p.All {
		for _, b := range n.Botanicals {
			if b.Forbidden != "" {
				text := b.Name + ": " + b.Forbidden
				if slices.ContainsFunc(p.Additions,
					func(x Addition) bool { return x.Reads.Name == n.Name && x.Entry.AwayML > 0 }) {
					text += "; it went in after bottles were sealed, so until what it joined is empty, nothing of the batch is to be drunk"
				}
				said = append(said, text)
			}
		}
	}
	return said
}

// MayBe says of each line what it may be that must not be steeped, and what remarks say of it.
func (p *Lines) MayBe() (said []string) {
	for _, t := range p.told {
		Note(&said, t[1])
	}
	for n := range p.All {
		if text := n.MayBe(); text != "" {
			Note(&said, text)
		}
	}
	return said
}

// Tells reports whether a remark says that it holds what must not be steeped.
func (p *Lines) Tells(remark string) bool {
	return slices.ContainsFunc(p.told, func(t [2]string) bool { return t[0] == remark })
}

// FromMemory says of which of them the reason was not looked up, empty where all were.
func (p *Lines) FromMemory() string {
	var names []string
	for n := range p.All {
		for _, b := range n.Botanicals {
			if b.Forbidden != "" && b.ForbiddenGrade == library.Memory && !slices.Contains(names, b.Name) {
				names = append(names, b.Name)
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "why nobody may steep " + quantity.And(names) + "; it was not looked up, and forbids all the same"
}

// neatOil is the hazard of an essential oil by itself; whoever steeps the plant
// does not meet it.
const neatOil = "neat-oil"

// Hazards says what the law of a country forbids, and what no figure can be given for: hazards of the plant
// that hang on no dose, and those of a plant that nobody weighed.
func (p *Lines) Hazards(of batch.Country) (list []harm.Caution) {
	said := map[string]bool{}
	for n := range p.All {
		if slices.ContainsFunc(n.Botanicals, func(b *library.Botanical) bool { return b.Forbidden != "" }) {
			continue
		}
		for _, h := range n.Hazards() {
			if h.USLaw != "" && of == batch.US {
				list = append(list, harm.Caution{Kind: "banned", Text: quantity.About(n.Name, h.USLaw),
					Source: "us-21cfr189"})
			}
			raw := h.Prepare != "" && !n.MadeSafe() // as far as is known
			if _, dosed := p.dosed(n, 0); h.Key == neatOil || h.MGPerG.Known() && dosed || said[h.Text] ||
				h.Raw && n.MadeSafe() || h.Substance == cyanide && p.CyanideMgPerL != nil && !p.more {
				continue
			}
			said[h.Text] = true
			list = append(list, p.undosed(n, &h, raw))
		}
	}
	return list
}

// undosed is the caution of a hazard of what nobody gave a figure for: its dose, or its content.
// raw: it was not made safe before it went in, as far as is known.
func (p *Lines) undosed(n *reading, h *library.Hazard, raw bool) harm.Caution {
	c := harm.Caution{Kind: cmp.Or(h.Kind, "hazard"), Of: h.Key, Text: quantity.About(n.Name, h.Text),
		Do: quantity.About(n.Name, h.Do), Source: h.Source, Share: 1, Ill: raw}
	if len(h.Limits) > 0 && (h.ByDose || h.MGPerG.Known()) && n.Weight == nil {
		c.Share, c.Unweighed, c.MayPass = math.Inf(1), n.Name, true
		c.Ill = c.Ill || slices.ContainsFunc(h.Limits, func(l library.Limit) bool { return l.Harm })
	}
	if h.MGPerG.Known() || c.Unweighed != "" {
		c.Text = fmt.Sprintf("%s holds %s, and how much of it went in is not known. %s", n.Name, h.Substance, h.Text)
		c.Do = strings.TrimSpace(c.Do + " How much of it went in is not known: weigh it.")
	}
	if dose, times := p.aboveUsual(n); h.ByDose && times > farAboveUsual {
		c.Text = fmt.Sprintf("%s~g/L of %s is far above the usual, and how much %s it holds is not known here. %s",
			quantity.InFigures(dose, 2), n.Name, h.Substance, h.Text)
		c.Share, c.Over = math.Inf(1), times > farAboveUsual*harm.Doubted
		if !c.Over {
			c.MayPass, c.Less = true, n.Name
		}
	}
	return c
}

// farAboveUsual is how many times the high end of the usual dose is far above it. Judgement.
const farAboveUsual = 3

// aboveUsual is the dose [g/L] of what goes in, and how many times the high end of its usual
// one it is, 0 where that is not known.
func (p *Lines) aboveUsual(n *reading) (dose, times float64) {
	for i := range p.Botanicals {
		h := &p.Botanicals[i]
		if usual := h.Cut.DoseGPerL; &h.Reads == n && usual.Known() && usual.High > 0 {
			dose = h.DoseGPerL(p.BaseML())
			return dose, dose / usual.High
		}
	}
	return 0, 0
}

// Drinkers are the words for a label about what is in it, each once: of hazards that
// hang on no dose, and of those whose dose is worth one of the cautions, in their order.
func (p *Lines) Drinkers(cautions []harm.Caution) (said []string) {
	for _, c := range cautions {
		for n := range p.All {
			for _, h := range n.Hazards() {
				text := h.Drinker
				if quantity.About(n.label(), text) != text { // it does not say of what
					text = quantity.Capital(quantity.About(n.Name, text))
				}
				// which may stand behind a name
				of := strings.Contains(strings.ToLower(c.Text), strings.ToLower(h.Text))
				if text != "" && !slices.Contains(said, text) && of {
					said = append(said, text)
				}
			}
		}
	}
	return said
}

// Safe is what has to be done to a thing before it goes in, so that it harms nobody.
type Safe struct{ Name, How string }

// Safe lists what has to be made safe before it goes in, in the order of the file.
func (p *Lines) Safe() (list []Safe) {
	for n := range p.All {
		for _, h := range n.Hazards() {
			if h.Prepare != "" && !n.MadeSafe() {
				list = append(list, Safe{n.Name, h.Prepare})
			}
		}
	}
	return list
}

// Lingering names what burns or numbs, and so spoils the next sip.
func (p *Lines) Lingering() []string {
	var names []string
	for h := range p.Steeped {
		if h.Known != nil && (h.Known.Fierce || h.Known.Class == "heat") {
			names = append(names, h.Entry.Name)
		}
	}
	return names
}
