package library

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"steepbook/data"
	"steepbook/data/strict"
)

// How what a file says becomes an entry. The same reading serves the embedded
// files and the maker's own, in which an entry that names something known changes
// only what it gives. The types with In on their names are those of the library
// and, beside them, the keys that stand for something else there.

type warningsIn struct {
	Allergens []string `toml:"allergens"` // keys of hazards/allergens.toml
	Hazards   []string `toml:"hazards"`   // keys of hazards/hazards.toml
}

type botanicalIn struct {
	Botanical
	warningsIn
	Cut []cutIn `toml:"cut"`
}

type ingredientIn struct {
	Ingredient
	warningsIn
	Measures []measureIn `toml:"measures"`
	// Read and of no use any more: makers' files may have it.
	ActiveShare Number `toml:"active_share"`
}

type spiritIn struct {
	Spirit
	warningsIn
}

// reader turns what one file says into library values.
type reader struct {
	lib *Library
	doc *strict.Document
	own bool // the maker's file: figures without a source are the maker's own

	sources map[string]data.Source // of the maker's file
}

// fault is an error at a path of the file.
//
//go:noinline
func (r *reader) fault(path []any, right, format string, args ...any) error {
	return r.doc.Errorf(path, right, format, args...)
}

// first returns the first error of several steps.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// at is a path with one more key. Inlined at its calls it made the program larger.
//
//go:noinline
func at(path []any, key any) []any { return append(slices.Clone(path), key) }

// given reports whether a key stands in the table at path.
func (r *reader) given(path []any, key string) bool { return r.doc.Has(at(path, key)...) }

// lay puts what stands in the table at path, read into in, over what is known:
// every key that is given there, but for name, which only says what it is about.
// A list of names is added to. What is careful and was true before may not be
// taken away by a maker's file, else a batch would keep longer for a line in
// another file.
// All three are pointers to one type of table.
func lay(r *reader, path []any, known, in, was any) error {
	l := layer{r, path, r.doc.Keys(path...), ""}
	to := reflect.ValueOf(known).Elem()
	if name := to.FieldByName("Name"); name.IsValid() {
		l.name = name.String()
	}
	return l.lay(to, reflect.ValueOf(in).Elem(), reflect.ValueOf(was).Elem())
}

// layer is a table of a file that is laid over something of that name.
type layer struct {
	*reader
	path []any
	keys []string
	name string
}

func (l *layer) lay(known, in, was reflect.Value) error {
	for i := range in.NumField() {
		f := in.Type().Field(i)
		if f.Anonymous {
			if err := l.lay(known.Field(i), in.Field(i), was.Field(i)); err != nil {
				return err
			}
			continue
		}
		key := f.Tag.Get("toml")
		if key == "name" || !slices.Contains(l.keys, key) {
			continue
		}
		var err error
		p := at(l.path, key)
		switch v := in.Field(i).Addr().Interface().(type) {
		case *Number:
			err = l.figure(p, v, f.Tag)
		case *SugarSplit:
			*v = v.shares()
		case *[]string:
			*v = addNew(known.Field(i).Interface().([]string), *v, func(a, b string) bool { return a == b })
		case *string:
			if _, unsaid := f.Tag.Lookup("unsaid"); unsaid && *v == "" {
				continue // as if it were not written
			}
			err = l.oneOf(p, *v, f.Tag.Get("of"))
		case *bool:
			if _, careful := f.Tag.Lookup("careful"); careful && l.own && was.Field(i).Bool() && !*v {
				err = l.fault(p, key+" = true", "%s is %s, and a library file cannot lift that",
					l.name, strings.ReplaceAll(key, "_", " "))
			}
		}
		if err != nil {
			return err
		}
		known.Field(i).Set(in.Field(i))
	}
	return nil
}

// figure fills in where a figure is from that names no source, and checks it.
func (r *reader) figure(path []any, n *Number, tag reflect.StructTag) error {
	switch source, grade, _ := strings.Cut(tag.Get("from"), " "); {
	case n.Source == "" && r.own:
		n.Source, n.Grade = OwnSource, Own
	case n.Source == "":
		n.Source, n.Grade = source, Grade(grade)
	case n.Grade == "" && r.own:
		n.Grade = Own
	}
	if n.Source == "" {
		return r.fault(path, "", "the figure names no source")
	}
	if !n.Grade.valid() {
		return r.fault(path, `grade = "practice"`, "unknown grade %q", string(n.Grade))
	}
	if low, high, ok := strings.Cut(tag.Get("range"), " "); ok {
		lowest, err1 := strconv.ParseFloat(low, 64)
		highest, err2 := strconv.ParseFloat(high, 64)
		if err := first(err1, err2); err != nil {
			return err
		}
		if n.Low < lowest || n.High > highest {
			return r.fault(path, "", "%s must lie between %s and %s", path[len(path)-1],
				strconv.FormatFloat(lowest, 'f', -1, 64), strconv.FormatFloat(highest, 'f', -1, 64))
		}
	}
	return r.listed(path, n.Source)
}

// listed refuses a source key of the maker's file that leads nowhere.
func (r *reader) listed(path []any, key string) error {
	if _, ok := r.sources[key]; ok || !r.own {
		return nil // a test looks all built-in ones up
	}
	if _, ok := r.lib.Source(key); ok {
		return nil
	}
	return r.fault(at(path, "source"), "",
		"source %q is not listed; add a [[source]] with that key, or leave source out", key)
}

// lists are what the tags named of speak of.
var lists = map[string]func() []string{
	"kinds": kinds, "classes": classes, "ingredient kinds": ingredientKinds, "clocks": clocks,
	"wines": func() []string { return wineKinds },
}

// oneOf checks a word against a list; "" is no list.
func (r *reader) oneOf(path []any, word, list string) error {
	if list == "" {
		return nil
	}
	known := lists[list]()
	if slices.Contains(known, word) {
		return nil
	}
	hint := ""
	if n, ok := strict.Nearest(word, known); ok {
		hint = fmt.Sprintf("; did you mean %q?", n)
	}
	return r.fault(path, "", "%q is none of %s%s", word, strings.Join(known, ", "), hint)
}

// addNew is a list with those of another that it does not hold yet.
func addNew[T any](have, more []T, same func(a, b T) bool) []T {
	have = slices.Clip(have)
	for _, x := range more {
		if !slices.ContainsFunc(have, func(h T) bool { return same(h, x) }) {
			have = append(have, x)
		}
	}
	return have
}

// warnings resolves the keys of allergens and hazards.
func (r *reader) warnings(path []any, in warningsIn, e *Entry) error {
	allergens, err := find(r, at(path, "allergens"), in.Allergens, r.lib.allergen)
	if err != nil {
		return err
	}
	hazards, err := find(r, at(path, "hazards"), in.Hazards, r.lib.hazard)
	e.Allergens = addNew(e.Allergens, allergens, sameAllergen)
	e.Hazards = addNew(e.Hazards, hazards, sameHazard)
	return err
}

func find[T any](r *reader, path []any, keys []string, get func(string) (*T, error)) (out []T, err error) {
	for i, k := range keys {
		x, err := get(k)
		if err != nil {
			return nil, r.fault(at(path, i), "", "%v", err)
		}
		out = append(out, *x)
	}
	return out, nil
}

func (r *reader) botanical(path []any, in *botanicalIn, b *Botanical) error {
	if r.own && b.Forbidden != "" && !b.Own && r.given(path, "forbidden") {
		// The maker may add a reason, and take none away.
		if strings.TrimSpace(in.Forbidden) == "" {
			return r.fault(at(path, "forbidden"), `note = "for the garden only"`,
				"%s must not be steeped (%s); a library file cannot lift that, it can only add a note",
				b.Name, b.Forbidden)
		}
		in.Forbidden = b.Forbidden + "; " + in.Forbidden
	}
	isNew, was := r.own && b.Kind == "", *b
	r.owned(&b.Entry, in.Names, isNew, Kin{Botanicals: []*Botanical{&was}})
	held := was
	if isNew {
		held.LowAcidFresh = r.likeBotanical(path, in, b)
		held.Nut = b.Nut
	}
	err := first(lay(r, path, b, &in.Botanical, &held), r.warnings(path, in.warningsIn, &b.Entry))
	if err != nil {
		return err
	}
	unkind := r.own && b.Kind == ""
	if unkind {
		b.Kind = "spice"
	}
	if r.own && b.Class == "" {
		b.Class = "aroma"
	}
	if b.Forbidden != "" {
		if len(in.Cut) > 0 {
			return r.fault(at(path, "cut"), "",
				"%s must not be steeped and has no cuts: %s", b.Name, b.Forbidden)
		}
		b.Cuts = nil
		return nil
	}
	if err := r.cuts(path, in.Cut, b); err != nil {
		return err
	}
	for i := range b.Cuts {
		if isNew && b.LowAcidFresh && !b.Cuts[i].WaterGPerG.Known() {
			b.Cuts[i].WaterGPerG = Stranger().WaterGPerG
		}
		b.Cuts[i].Botanical = b.Name
		b.Cuts[i].name = b.Name + ", " + b.Cuts[i].Name
	}
	if w := b.Cuts[0].WaterGPerG; b.Fresh && !b.FreshOrDry && w.Known() {
		b.Hazards = slices.Clone(b.Hazards)
		for i := range b.Hazards {
			b.Hazards[i].asWeighed(w)
		}
	}
	return r.buffers(path, b, unkind)
}

func (r *reader) ingredient(path []any, in *ingredientIn, g *Ingredient) error {
	isNew, was := r.own && g.Kind == "", *g
	r.owned(&g.Entry, in.Names, isNew, Kin{Ingredients: []*Ingredient{&was}})
	held := was
	if isNew {
		held = g.likeKin(in)
	}
	if err := lay(r, path, g, &in.Ingredient, &held); err != nil {
		return err
	}
	if r.own && g.Kind == "" {
		g.Kind = "other"
	}
	if err := r.composition(path, g); err != nil {
		return err
	}
	if g.Liquid && !g.DensityGPerML.Known() {
		return r.fault(at(path, "density_g_per_ml"), "density_g_per_ml = 1.33",
			"%s is a liquid and needs its density", g.Name)
	}
	ms, err := r.measures(path, in.Measures)
	g.Measures = append(ms, g.Measures...)
	return first(err, r.warnings(path, in.warningsIn, &g.Entry))
}

// composition completes and checks the make-up.
func (r *reader) composition(path []any, g *Ingredient) error {
	p := at(path, "per_100g")
	const right = "per_100g = { water = 34, sucrose = 66 }"
	c := &g.Per100G
	if r.own && r.doc.Has(p...) {
		if c.Source == "" {
			c.Source, c.Grade = OwnSource, Own
		}
		if err := r.listed(p, c.Source); err != nil {
			return err
		}
		if c.Ash+c.Protein+c.PotassiumMG == 0 && c.OtherSolids+c.Acids() > 0 && c.Acids() < pureAcid {
			most, _ := bufferOf("(" + g.Kind + ")")
			c.UntoldAsh, c.UntoldProtein = most.ash.Value, most.protein.Value
		}
	}
	if c.Source == "" {
		return r.fault(p, right, "%s needs its make-up per 100 g", g.Name)
	}
	if !c.Grade.valid() {
		return r.fault(at(p, "grade"), "", "unknown grade %q", string(c.Grade))
	}
	if c.AcidGrade == "" {
		c.AcidGrade = c.Grade
	}
	if !c.AcidGrade.valid() {
		return r.fault(at(p, "acid_grade"), "", "unknown grade %q", string(c.AcidGrade))
	}
	for i, v := range c.parts() {
		most := 100.0
		if i == 15 { // potassium, mg
			most *= 1000
		}
		if !(*v >= 0) || *v > most {
			return r.fault(p, right, "the make-up of %s has a part outside 0 to 100 g", g.Name)
		}
	}
	if sum := c.Sum(); !(math.Abs(sum-100) <= 1.5) {
		return r.fault(p, right, "the make-up of %s adds to %.4g g per 100 g; "+
			"put what is not named under other_solids or water", g.Name, sum)
	}
	return nil
}

// pureAcid is the acid, g per 100 g, from which an ingredient is an acid as such,
// in a bottle or a bag, and nothing beside it is asked for. Judgement.
const pureAcid = 50.0

func (r *reader) spirit(path []any, in *spiritIn, s *Spirit) error {
	isNew, was := r.own && !s.ABVPercent.Known(), *s
	r.owned(&s.Entry, in.Names, isNew, Kin{Spirits: []*Spirit{&was}})
	held := was
	if isNew {
		held = s.likeKin()
	}
	if err := lay(r, path, s, &in.Spirit, &held); err != nil {
		return err
	}
	if r.own && stricterWine(held.Wine, s.Wine) {
		return r.fault(at(path, "wine"), `wine = "`+held.Wine+`"`,
			"%s is %s wine, and a library file cannot lift that", s.Name, held.Wine)
	}
	if !s.ABVPercent.Known() {
		return r.fault(at(path, "abv_percent"), "abv_percent = 40", "%s needs a strength", s.Name)
	}
	if s.SugarGPer100G.Value > 0 && s.Sugars == (SugarSplit{}) {
		s.Sugars = SugarSplit{Sucrose: 1}
	}
	if s.Nourishing {
		kind := "(spirit)"
		if s.Dairy || s.Egg {
			kind = "(cream spirit)"
		}
		most, _ := bufferOf(kind)
		s.UntoldAsh, s.UntoldProtein = most.ash.Value, most.protein.Value
	}
	return r.warnings(path, in.warningsIn, &s.Entry)
}
