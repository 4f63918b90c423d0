package recipe

import (
	"fmt"
	"slices"
	"strings"

	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// reading is what one line of a batch stands for, whichever table it is written
// in and whatever figures stand beside it. Where the library does not know the
// name, it holds what the words of the name say, read on the careful side.
type reading struct {
	Name        string
	text        string // all that was written of it, its name and how it is cut: dangers are read of this
	Botanicals  []*library.Botanical
	Ingredients []*library.Ingredient
	spirits     []*library.Spirit

	named []library.Allergen // named outright in the words of the name
	holds []library.Hazard   // the same of hazards

	Lost   bool   // the library does not know the name
	like   string // what the maker says it is like; "" nothing
	kin    []string
	may    library.Kin // what its name may be a slip of
	never  []string    // what must not be steeped, and may have been meant: see MayBe
	near   []string    // what else its name is spelt nearly like
	steeps bool        // it is a [[botanical]], of which like can be written
	filled bool        // the jar is filled with it: its maker wrote it as a spirit
	Plant  bool        // it is steeped, or known as a plant: it may be fresh
	dry    bool        // said to be dried, ground or powdered
	wet    bool        // said to be fresh
	// the cut asks for what the entry does not speak of, or what it is like is fresh and low in acid
	odd    bool
	heated bool
	cooked bool // its name says that it was; it takes nothing but that order back
	stays  bool // solids that stay in the bottle
	washed bool // a fat that is taken off again
	hint   bool // it is read from words alone
	Weight *library.Weight
}

// read begins the reading of a line by what the maker wrote of it.
func read(name, cut string) reading {
	text := name
	if cut != "" {
		text += ", " + cut
	}
	return reading{Name: name, text: text,
		dry: library.Dry(text), wet: library.Wet(text), cooked: library.Cooked(text)}
}

// fat reports whether it is mostly fat, or brings the oil that it lies in.
func (n *reading) fat() bool {
	return library.InOil(n.text) ||
		slices.ContainsFunc(slices.Concat(n.Ingredients, n.may.Ingredients), (*library.Ingredient).IsFat)
}

// Fat reports whether it is mostly fat, which is bought as it is said to be.
func (h *Botanical) Fat() bool { return h.Reads.fat() }

// said is what the names say of the maker's own entries, whose files speak of
// figures and take no care away; nil where there are none.
func (n *reading) said() *reading {
	var k library.Kin
	add := func(own bool, x library.Kin) {
		if own {
			k.Botanicals, k.Ingredients, k.Spirits = append(k.Botanicals,
				x.Botanicals...), append(k.Ingredients, x.Ingredients...), append(k.Spirits, x.Spirits...)
		}
	}
	for _, b := range n.Botanicals {
		add(b.Own, b.Said())
	}
	for _, g := range n.Ingredients {
		add(g.Own, g.Said())
	}
	for _, s := range n.spirits {
		add(s.Own, s.Said())
	}
	if len(k.Botanicals)+len(k.Ingredients)+len(k.Spirits) == 0 {
		return nil
	}
	return &reading{Name: n.Name, text: n.text,
		Botanicals: k.Botanicals, Ingredients: k.Ingredients, spirits: k.Spirits,
		dry: n.dry, heated: n.heated, stays: n.stays, washed: n.washed, hint: true}
}

// stranger reads the words of a name that the library does not know. A name that
// holds the name of what it is like is that very thing: "apple, second charge".
func (n *reading) stranger(lib *library.Library, like *library.Botanical) {
	k := lib.Kin(n.text)
	n.Lost = like == nil || !slices.Contains(k.Botanicals, like)
	n.kin = k.Words
	n.Botanicals = append(n.Botanicals, k.Botanicals...)
	n.Ingredients = append(n.Ingredients, k.Ingredients...)
	n.spirits = append(n.spirits, k.Spirits...)
	n.named, n.holds = k.Allergens, k.Hazards
	n.never = lib.Suspected(n.text, false)
	n.dry = n.dry || k.DryKin(n.Name)
	if !n.Lost {
		return
	}
	n.may = lib.Spelt(n.Name)
	for _, near := range lib.Near(n.Name) {
		// known, but as another kind of thing
		if lib.MustNot(near) == nil && !strings.EqualFold(near, n.Name) &&
			!strings.EqualFold(near, n.like) {
			n.near = append(n.near, near)
		}
	}
}

// beside reads what the cut names besides the thing itself, on the careful side: it may hold that too.
func (n *reading) beside(lib *library.Library, of *library.Botanical, cut string) {
	if n.Lost {
		return // then all its words were read
	}
	k := lib.Beside(of, n.Name, cut)
	n.Botanicals = append(n.Botanicals, k.Botanicals...)
	n.Ingredients, n.spirits = append(n.Ingredients, k.Ingredients...), append(n.spirits, k.Spirits...)
	n.named, n.holds = append(n.named, k.Allergens...), append(n.holds, k.Hazards...)
}

// answered reports whether the maker says what it is, by more than its name said already: cow parsley
// that is like parsley may still be hemlock.
func (n *reading) answered() bool { return n.like != "" && library.SaysMore(n.like, n.text) }

// spelt is what its name may be a slip of, nil where it is none.
func (n *reading) spelt() *reading {
	if len(n.may.Botanicals)+len(n.may.Ingredients)+len(n.may.Spirits) == 0 {
		return nil
	}
	return &reading{Name: n.Name, text: n.text,
		Botanicals: n.may.Botanicals, Ingredients: n.may.Ingredients, spirits: n.may.Spirits,
		dry: n.dry, heated: n.heated, stays: n.stays, washed: n.washed, hint: true}
}

// untold reports whether nobody knows how soon it spoils: what is unknown is the most
// perishable food there is, until it is said to be dry, or alive: a yeast or a culture by its name.
func (n *reading) untold() bool { return n.food() && !(n.Plant && n.dry) && !n.alive() }

// alive reports whether it is a yeast or a culture that makes gas of sugar.
func (n *reading) alive() bool { return !n.MadeSafe() && n.warnsOf(gasLive) }

// MadeSafe reports whether it was heated through before it went in, by what is written or by its name.
func (n *reading) MadeSafe() bool { return n.heated || n.cooked }

// warnsOf reports whether it has a hazard.
func (n *reading) warnsOf(key string) bool {
	return slices.ContainsFunc(n.Hazards(), func(h library.Hazard) bool { return h.Key == key })
}

// Water reports whether it is plain water, whatever it is called.
func (n *reading) Water() bool { return len(n.Ingredients) == 1 && n.Ingredients[0].Kind == "water" }

// food reports whether an unknown thing is to be taken for one: what is no
// spirit of a known class.
func (n *reading) food() bool { return n.Lost && (n.Plant || len(n.spirits) == 0) }

// unsure reports whether it may bring acid, or what blunts it, that nobody knows.
func (n *reading) unsure() bool {
	return n.food() || n.Lost && slices.ContainsFunc(n.spirits,
		func(k *library.Spirit) bool { return k.Nourishing })
}

// leastSpirit is the strength, % vol, from which what the jar is filled with is dry, where its name says nothing:
// gin, rum and vodka have it, a liqueur may have less (Regulation (EU) 2019/787, Annex I). Of what is called a dry
// spirit leastCalled is enough, in which the trade has the weakest; cherry brandy of 24 is a liqueur. Judgement.
const leastSpirit, leastCalled = 37.5, 35.0

// undescribed is what a gram or a litre of what is poured by its strength may be as well, and that nobody knows; none
// where its name or the maker says that it is a spirit in which nothing is dissolved, and its strength goes with that.
func (n *reading) undescribed(is mixture.Parts, sour bool) (may []mixture.Parts, unread string) {
	abv := is.ABVPercent()
	wet := func(k *library.Spirit) bool {
		return k.SugarGPer100G.Value >= 1 || abv < min(k.ABVPercent.Low, leastCalled)
	}
	dry := len(n.spirits) > 0 && !slices.ContainsFunc(n.spirits, wet)
	if !n.Lost || dry || n.filled && len(n.kin) == 0 && abv >= leastSpirit {
		return nil, ""
	}
	return is.Undescribed(sour), fmt.Sprintf("%q is not in the library, so nobody knows how sweet and sour it is; describe it in library.toml beside the batch", n.Name)
}

// lowAcidFresh: a plant nobody knows is fresh and low in acid until it is said
// to be dry, or a culture.
func (n *reading) lowAcidFresh() bool {
	return !(n.hint && n.dry) && slices.ContainsFunc(n.Botanicals,
		func(b *library.Botanical) bool { return b.LowAcidFresh }) ||
		n.Plant && (n.Lost || n.odd) && !n.dry && !n.alive()
}

// label is what it is called where a substance is traced to it.
func (n *reading) label() string {
	if len(n.Botanicals) == 1 && !n.Lost && n.like == "" {
		return n.Name
	}
	return n.text
}

// thing is what it is, whatever it is called: what lines of one thing have in common.
func (n *reading) thing() string {
	k := n.StandsFor()
	switch {
	case n.Lost || len(k.Botanicals)+len(k.Ingredients)+len(k.Spirits) != 1:
		return n.Name
	case len(k.Botanicals) == 1:
		return k.Botanicals[0].Name
	case len(k.Ingredients) == 1:
		return k.Ingredients[0].Name
	}
	return k.Spirits[0].Name
}

// AsFresh says that it may as well be dry and is counted as fresh, empty where it is not.
func (n *reading) AsFresh() string {
	for _, b := range n.Botanicals {
		if n.odd && !n.Lost && !n.wet && b.EitherWay(n.Name) {
			return fmt.Sprintf("%s may be fresh or dried and counts as fresh; if it is dry, write \"dried\" before its name", n.Name)
		}
	}
	return ""
}

// StandsFor gathers what a line stands for.
func (n *reading) StandsFor() library.Kin {
	return library.Kin{Botanicals: n.Botanicals, Ingredients: n.Ingredients, Spirits: n.spirits,
		Allergens: n.named, Hazards: n.holds}
}

// Hazards are those of all that it stands for, without those of parts that its name or its cut says are out.
func (n *reading) Hazards() (list []library.Hazard) {
	for _, h := range n.StandsFor().AllHazards() {
		if h, any := h.Left(n.text); any {
			list = append(list, h)
		}
	}
	return list
}

// MayBe says what it may be that must not be steeped, empty where nothing of the kind goes
// by its name or by one that is spelt nearly so.
func (n *reading) MayBe() string {
	if len(n.never) == 0 || n.answered() {
		return ""
	}
	how := "find out what it is, and describe it in library.toml beside the batch"
	switch {
	case !n.steeps || n.like != "":
	case n.Lost || len(n.Botanicals) == 0:
		how = "find out what it is, and write like = \"…\" below its name, with a name that the library has"
	case library.SaysMore(n.Botanicals[0].Name, n.text):
		how = fmt.Sprintf("if it is %s, write like = %[1]q below its name", n.Botanicals[0].Name)
	}
	return library.SaidToBe(n.text, n.never) + "; " + how
}

// strongestDrunk is the strength, % vol, to which a still brings spirit: 95.6 % by mass, where
// ethanol and water boil as one (handbook value, from memory). What is stronger was dried with
// something, and nobody sells it to drink.
const strongestDrunk = 97.2

// drunkAt takes it for what must not be drunk where it is stronger than any spirit.
func (n *reading) drunkAt(abvPercent float64) {
	if abvPercent > strongestDrunk && len(n.never) == 0 {
		n.never = []string{"poisonous alcohol"}
	}
}

// Meant asks whether a name that nobody knows is a slip of one that is known; empty where it
// is none. Of what may be a poison it says so instead, unless MayBe does.
func (n *reading) Meant() string {
	switch {
	case n.MayBe() != "":
		return ""
	case n.Lost && len(n.never) > 0:
		return fmt.Sprintf("%s; you write that it is like %s.", library.SaidToBe(n.text, n.never), n.like)
	case len(n.near) == 0:
		return ""
	}
	return fmt.Sprintf("%s: did you mean %s?", n.Name, quantity.Or(n.near))
}

// NotKnown says what the library cannot say of it, empty where it can.
func (n *reading) NotKnown() string {
	if !n.Lost {
		return ""
	}
	text := n.Name + " is not in the library: what it brings besides its alcohol is not known here"
	if n.Plant {
		text = n.Name + " is not in the library: whether it may be steeped at all, and what it brings, is not known here"
	}
	if len(n.kin) > 0 {
		text += fmt.Sprintf("; by its name it is taken to hold %s", quantity.And(n.kin))
	}
	return text
}
