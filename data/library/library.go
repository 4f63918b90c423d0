package library

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/data/strict"
)

// OwnSource is the source key of the maker's own figures.
const OwnSource = "own"

// Library answers by name. It is safe for use by several goroutines.
type Library struct {
	file string // of the maker's own entries; "" for the built-in library

	botanicals  func() *catalog[Botanical]
	ingredients func() *catalog[Ingredient]
	spirits     func() *catalog[Spirit]
	sources     func() map[string]Source

	taught []string // names of botanicals with a cut that batches of the book taught

	tables *tables
	near   sync.Map // by name, what Near and
	kin    sync.Map // Kin said: a book asks for one name often
}

// Builtin is the library that steepbook is built with. All callers share it.
func Builtin() *Library { return builtin() }

var builtin = sync.OnceValue(func() *Library { return open(data.Files) })

// Ahead begins to read what every jar asks for, each part beside the others, and
// returns at once: a whole answer takes little longer than the longest of them.
func (l *Library) Ahead() {
	for _, part := range []func(){
		func() { l.botanicals() }, func() { l.ingredients() }, func() { l.spirits() },
		func() { l.tables.rates.lines() }, func() { _, _ = l.tables.buffers() },
	} {
		go part()
	}
}

// open makes a library from a tree of files like data.Files. Faults in the
// files show when an entry is looked up; the tests look all of them up.
func open(files fs.FS) *Library {
	l := &Library{tables: newTables(files)}
	l.botanicals = sync.OnceValue(func() *catalog[Botanical] {
		return scan(files, "botanicals", "botanical", func(r *reader, f *rawFile) (*Botanical, error) {
			b := &Botanical{Name: f.Botanical[0].Name}
			return b, r.botanical([]any{"botanical", 0}, f.Botanical[0], b)
		}, l)
	})
	l.ingredients = sync.OnceValue(func() *catalog[Ingredient] {
		return scan(files, "ingredients", "ingredient", func(r *reader, f *rawFile) (*Ingredient, error) {
			g := &Ingredient{Name: f.Ingredient[0].Name}
			return g, r.ingredient([]any{"ingredient", 0}, f.Ingredient[0], g)
		}, l)
	})
	l.spirits = sync.OnceValue(func() *catalog[Spirit] {
		return scan(files, "spirits", "spirit", func(r *reader, f *rawFile) (*Spirit, error) {
			s := &Spirit{Name: f.Spirit[0].Name}
			return s, r.spirit([]any{"spirit", 0}, f.Spirit[0], s)
		}, l)
	})
	l.sources = sync.OnceValue(func() map[string]Source {
		m := map[string]Source{OwnSource: {Key: OwnSource, Authors: "you", Title: "your own figure", Where: "your library file"}}
		var f rawFile
		if _, err := decode(files, "sources.toml", &f); err != nil {
			return m
		}
		for _, s := range f.Source {
			m[s.Key] = Source(s)
		}
		return m
	})
	return l
}

func decode(files fs.FS, name string, v any) (*strict.Document, error) {
	src, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, err
	}
	return strict.Decode("data/"+name, src, v)
}

// neverFile holds the botanicals that must not be steeped, and only those.
const neverFile = "never.toml"

// scan lists the entries of a folder by name. An entry is decoded when it is
// first wanted, and by itself: a whole file takes several milliseconds.
func scan[T any](files fs.FS, dir, kind string, build func(*reader, *rawFile) (*T, error), l *Library) *catalog[T] {
	var entries []*entry[T]
	paths, _ := fs.Glob(files, dir+"/*.toml")
	for _, path := range paths {
		for _, h := range headers(files, path, kind) {
			e := &entry[T]{name: h.name, names: h.names, never: strings.HasSuffix(path, "/"+neverFile)}
			e.read = func() (*T, error) {
				var raw rawFile
				doc, err := h.decode(&raw)
				if err != nil {
					return nil, err
				}
				v, err := build(&reader{lib: l, doc: doc}, &raw)
				if err != nil {
					return nil, err
				}
				return v, nil
			}
			entries = append(entries, e)
		}
	}
	return newCatalog(kind, entries)
}

// header is an entry of an embedded file and what it is called: by its key where
// it has one.
type header struct {
	path  string
	name  string
	names []string
	line  int    // 0-based line of [[kind]]
	text  string // up to the next [[kind]]
}

// decode reads the entry alone; the empty lines in front keep the line numbers
// of the file.
func (h *header) decode(v any) (*strict.Document, error) {
	return strict.Decode("data/"+h.path, []byte(strings.Repeat("\n", h.line)+h.text), v)
}

// headers finds every [[kind]] table of a file, in the order written, without
// decoding it: it reads the key, name and names lines below each header.
func headers(files fs.FS, path, kind string) []header {
	text := textOf(files, path)
	wanted := "[[" + kind + "]]"
	out := make([]header, 0, strings.Count(text, wanted))
	start := 0
	in, list := false, false
	offset, n := 0, -1
	for line := range strings.Lines(text) {
		from := offset
		offset += len(line)
		n++
		if line = strings.TrimLeft(line, " \t"); !list && line[0] != '[' && line[0] != 'k' && line[0] != 'n' {
			continue
		}
		line = strings.TrimSpace(line)
		switch {
		case list:
			h := &out[len(out)-1]
			h.names = append(h.names, quotedStrings(line)...)
			list = !strings.HasSuffix(strings.TrimSpace(beforeComment(line)), "]")
		case strings.HasPrefix(line, "[[") || strings.HasPrefix(line, "[") && strings.HasSuffix(line, "]"):
			in = line == wanted
			if in {
				if len(out) > 0 {
					out[len(out)-1].text = text[start:from]
				}
				start = from
				out = append(out, header{path: path, line: n, text: text[from:]})
			}
		case in && (assigns(line, "key") || assigns(line, "name")):
			if h, q := &out[len(out)-1], quotedStrings(line); len(q) > 0 && h.name == "" {
				h.name = q[0]
			}
		case in && assigns(line, "names"):
			h := &out[len(out)-1]
			h.names = quotedStrings(line)
			list = !strings.HasSuffix(strings.TrimSpace(beforeComment(line)), "]")
		}
	}
	return out
}

// textOf is an embedded file, copied once; "" where there is none.
func textOf(files fs.FS, path string) string {
	f, err := files.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	var b strings.Builder
	if info, err := f.Stat(); err == nil {
		b.Grow(int(info.Size()))
	}
	_, _ = io.CopyBuffer(&b, f, make([]byte, 4096))
	return b.String()
}

func assigns(line, key string) bool {
	rest, ok := strings.CutPrefix(line, key)
	return ok && strings.HasPrefix(strings.TrimLeft(rest, " \t"), "=")
}

func beforeComment(line string) string {
	s, _, _ := strings.Cut(line, "#")
	return s
}

func quotedStrings(line string) []string {
	out := make([]string, 0, strings.Count(line, `"`)/2)
	for {
		_, rest, ok := strings.Cut(line, `"`)
		if !ok {
			return out
		}
		s, rest, ok := strings.Cut(rest, `"`)
		if !ok {
			return out
		}
		out = append(out, s)
		line = rest
	}
}

// With returns a library that also knows the entries of the maker's file. An
// entry with a known name changes what it gives and keeps the rest; a cut is
// matched by its name, and its measures come before the known ones. Figures
// without a source become the maker's own. Errors are strict errors with file,
// line and a right example.
func (l *Library) With(file string, src []byte) (*Library, error) {
	var raw rawFile
	doc, err := strict.Decode(file, src, &raw)
	if err != nil {
		return nil, spiritKey(err)
	}
	r := &reader{lib: l, doc: doc, own: true}
	out := &Library{file: file, tables: l.tables, taught: slices.Clone(l.taught)}

	own := make(map[string]Source)
	for i, s := range raw.Source {
		if s.Key == "" || s.Title == "" {
			return nil, r.fault([]any{"source", i}, `key = "scale 2026"`, "a source needs a key and a title")
		}
		own[s.Key] = Source(s)
	}
	out.sources = sync.OnceValue(func() map[string]Source {
		m := make(map[string]Source)
		for k, s := range l.sources() {
			m[k] = s
		}
		for k, s := range own {
			m[k] = s
		}
		return m
	})

	bots, err := overlay(r, l.botanicals(), "botanical", len(raw.Botanical),
		func(i int) string { return raw.Botanical[i].Name },
		func(i int, b *Botanical) error {
			err := r.botanical([]any{"botanical", i}, raw.Botanical[i], b)
			if slices.ContainsFunc(b.Cuts, func(c Cut) bool { return c.Taught != nil }) && !slices.Contains(out.taught, b.Name) {
				out.taught = append(out.taught, b.Name)
			}
			return err
		},
		cloneBotanical, func(b *Botanical) []string { return b.Names },
		func(name string) *Botanical { return &Botanical{Name: name} })
	if err != nil {
		return nil, err
	}
	ings, err := overlay(r, l.ingredients(), "ingredient", len(raw.Ingredient),
		func(i int) string { return raw.Ingredient[i].Name },
		func(i int, g *Ingredient) error { return r.ingredient([]any{"ingredient", i}, raw.Ingredient[i], g) },
		cloneIngredient, func(g *Ingredient) []string { return g.Names },
		func(name string) *Ingredient { return &Ingredient{Name: name} })
	if err != nil {
		return nil, err
	}
	spis, err := overlay(r, l.spirits(), "spirit", len(raw.Spirit),
		func(i int) string { return raw.Spirit[i].Name },
		func(i int, s *Spirit) error { return r.spirit([]any{"spirit", i}, raw.Spirit[i], s) },
		cloneSpirit, func(s *Spirit) []string { return s.Names },
		func(name string) *Spirit { return &Spirit{Name: name} })
	if err != nil {
		return nil, err
	}
	out.botanicals = func() *catalog[Botanical] { return bots }
	out.ingredients = func() *catalog[Ingredient] { return ings }
	out.spirits = func() *catalog[Spirit] { return spis }
	if err := out.checkSources(r, &raw); err != nil {
		return nil, err
	}
	return out, nil
}

// spiritKey points from the keys of a batch file to those of a library file.
func spiritKey(err error) error {
	var e *strict.Error
	if !errors.As(err, &e) {
		return err
	}
	for _, key := range []string{"abv", "proof", "strength"} {
		if strings.HasPrefix(e.Problem, fmt.Sprintf("unknown key %q in [[spirit]]", key)) {
			e.Problem = fmt.Sprintf("unknown key %q in [[spirit]]; a library file has abv_percent, in %% vol from 0 to 97", key)
			e.Right = "abv_percent = 40"
		}
	}
	return err
}

// Untaught is the library without the rates that a batch file had a part in
// teaching; "" takes back every rate that batches taught. A batch must not be
// met with what it said itself, nor teach twice. It is l itself where there is
// nothing to take back.
func (l *Library) Untaught(file string) *Library {
	var bots *catalog[Botanical]
	var left []string
	for _, name := range l.taught {
		cat := l.botanicals()
		if bots != nil {
			cat = bots
		}
		old := cat.asIs[strings.ToLower(name)]
		b, err := cat.now(old).get()
		if err != nil {
			continue // With has read it already
		}
		v, still := cloneBotanical(b), false
		changed := false
		for i := range v.Cuts {
			c := &v.Cuts[i]
			switch {
			case c.Taught == nil:
			case file == "" || c.Taught.Has(file):
				was := c.Taught.before
				c.RatePerH, c.RateGSD, c.FirstTasteH, c.Taught = was.RatePerH, was.RateGSD, was.FirstTasteH, nil
				changed = true
			default:
				still = true
			}
		}
		if still {
			left = append(left, name)
		}
		if !changed {
			continue
		}
		bots = cat.swap(old, &entry[Botanical]{name: name, names: v.Names, never: old.never, as: old, read: func() (*Botanical, error) { return v, nil }})
	}
	if bots == nil {
		return l
	}
	return &Library{
		file: l.file, tables: l.tables, sources: l.sources, ingredients: l.ingredients, spirits: l.spirits,
		botanicals: func() *catalog[Botanical] { return bots }, taught: left,
	}
}

// overlay copies a catalog and lays the maker's entries over it.
func overlay[T any](r *reader, base *catalog[T], kind string, n int, nameOf func(int) string, read func(int, *T) error,
	clone func(*T) *T, namesOf func(*T) []string, blank func(string) *T) (*catalog[T], error) {
	entries := slices.Clone(base.entries)
	seen := make(map[string]bool)
	for i := range n {
		name := strings.TrimSpace(nameOf(i))
		path := []any{kind, i}
		if len(words(name)) == 0 {
			return nil, r.fault(path, `name = "lemon myrtle"`, "a [[%s]] needs a name", kind)
		}
		old, exact := base.find(name)
		var v *T
		never := false
		if old != nil && exact {
			name = old.name
			b, err := old.get()
			if err != nil {
				return nil, err
			}
			v, never = clone(b), old.never
			entries = slices.DeleteFunc(entries, func(e *entry[T]) bool { return e.name == name })
		} else {
			v = blank(name)
		}
		if seen[name] {
			return nil, r.fault(at(path, "name"), "", "%s %q is written twice; put both into one [[%s]]", kind, name, kind)
		}
		seen[name] = true
		if err := read(i, v); err != nil {
			return nil, err
		}
		entries = append(entries, &entry[T]{name: name, names: namesOf(v), never: never, read: func() (*T, error) { return v, nil }})
	}
	return newCatalog(kind, entries), nil
}

func cloneBotanical(b *Botanical) *Botanical {
	c := *b
	c.Names = slices.Clone(b.Names)
	c.Allergens = slices.Clone(b.Allergens)
	c.Hazards = slices.Clone(b.Hazards)
	c.Cuts = slices.Clone(b.Cuts)
	for i := range c.Cuts {
		c.Cuts[i].Names = slices.Clone(c.Cuts[i].Names)
		c.Cuts[i].Measures = slices.Clone(c.Cuts[i].Measures)
	}
	return &c
}

func cloneIngredient(g *Ingredient) *Ingredient {
	c := *g
	c.Names = slices.Clone(g.Names)
	c.Allergens = slices.Clone(g.Allergens)
	c.Hazards = slices.Clone(g.Hazards)
	c.Measures = slices.Clone(g.Measures)
	return &c
}

func cloneSpirit(s *Spirit) *Spirit {
	c := *s
	c.Names = slices.Clone(s.Names)
	c.Allergens = slices.Clone(s.Allergens)
	c.Hazards = slices.Clone(s.Hazards)
	return &c
}

// checkSources refuses source keys in the maker's file that lead nowhere.
func (l *Library) checkSources(r *reader, raw *rawFile) error {
	check := func(path []any, key string) error {
		if _, ok := l.Source(key); key != "" && !ok {
			return r.fault(at(path, "source"), "", "source %q is not listed; add a [[source]] with that key, or leave source out", key)
		}
		return nil
	}
	for i, b := range raw.Botanical {
		for j, c := range b.Cut {
			p := []any{"botanical", i, "cut", j}
			for key, n := range map[string]number{
				"rate_per_h": c.Rate, "early_share": c.Early, "late_off_h": c.LateH, "dose_g_per_l": c.Dose,
				"water_g_per_g": c.Water, "sugar_g_per_g": c.Sugar, "acid_g_per_g": c.Acids,
				"held_ml_per_g": c.Held, "pressed_ml_per_g": c.Pressed,
			} {
				if err := check(at(p, key), n.Source); err != nil {
					return err
				}
			}
			for k, m := range c.Measures {
				if err := check(at(at(p, "measures"), k), m.Source); err != nil {
					return err
				}
			}
		}
	}
	for i, g := range raw.Ingredient {
		p := []any{"ingredient", i}
		if g.Per100G != nil {
			if err := check(at(p, "per_100g"), g.Per100G.Source); err != nil {
				return err
			}
		}
		for k, m := range g.Measures {
			if err := check(at(at(p, "measures"), k), m.Source); err != nil {
				return err
			}
		}
	}
	return nil
}

// get looks a name up and reads the entry.
func get[T any](l *Library, c *catalog[T], name string) (*T, error) {
	e, _ := c.find(name)
	if e == nil {
		return nil, notFound(l, c, name)
	}
	return e.get()
}

// notFound offers the nearest names of the kind asked for, and one of another
// kind where none of this kind is as near.
func notFound[T any](l *Library, c *catalog[T], name string) *NotFoundError {
	err := &NotFoundError{Name: name, Kind: c.kind, Elsewhere: l.elsewhere(c.kind, name)}
	err.near = sync.OnceValue(func() []string {
		own := c.hints(name)
		if all := l.hints(name); err.Elsewhere == "" && len(all) > 0 && (len(own) == 0 || all[0].score > own[0].score+clearlyAhead) {
			own = append([]hint{all[0]}, own...)
		}
		return hintNames(own[:min(len(own), mostHints)])
	})
	return err
}

// hints are those of all kinds.
func (l *Library) hints(name string) []hint {
	hs := append(l.botanicals().hints(name), l.ingredients().hints(name)...)
	return ranked(append(hs, l.spirits().hints(name)...))
}

// Near lists what a name that is not known may have meant, of any kind, the
// likeliest first: at most five names, one where one is clearly nearest, none
// where nothing is near.
func (l *Library) Near(name string) []string {
	return remembered(&l.near, name, func() []string { return hintNames(l.hints(name)) })
}

// remembered is what was found for a name, which it finds the first time.
func remembered[T any](all *sync.Map, name string, find func() T) T {
	if said, ok := all.Load(name); ok {
		return said.(T)
	}
	said := find()
	all.Store(name, said)
	return said
}

// elsewhere says under which other kind a name is known as written.
func (l *Library) elsewhere(not, name string) string {
	k := nameKey(name)
	switch {
	case k == "":
	case not != "botanical" && l.botanicals().index().byKey[k] != nil:
		return "botanical"
	case not != "ingredient" && l.ingredients().index().byKey[k] != nil:
		return "ingredient"
	case not != "spirit" && l.spirits().index().byKey[k] != nil:
		return "spirit"
	}
	return ""
}

// EntriesFor lists the names of the botanicals that a maker's words may come to,
// before anything is read of them: as they stand, and dried or fresh, which the
// cut may say. It is quick, and never leaves out the one that BotanicalAndCut
// finds.
func (l *Library) EntriesFor(name string) []string {
	var out []string
	c := l.botanicals()
	for _, n := range []string{name, "dried " + name, "fresh " + name} {
		e, _ := l.locate(n)
		if e == nil {
			e = c.never(n)
		}
		if e != nil && !slices.Contains(out, e.name) {
			out = append(out, e.name)
		}
	}
	return out
}

// Botanical looks a botanical up by name, synonym or plural, in any word order
// and without regard to case. The error is a *NotFoundError.
func (l *Library) Botanical(name string) (*Botanical, error) {
	b, near, err := l.seek(name)
	switch {
	case b != nil || err != nil:
		return b, err
	case near != nil:
		return nil, &NotFoundError{Name: name, Kind: "botanical", near: these(near.Name), Elsewhere: l.elsewhere("botanical", name)}
	}
	return nil, notFound(l, l.botanicals(), name)
}

// genusWords say of what kind a thing is, and go without saying for those kinds:
// jalapeño peppers are jalapeños.
var genusWords = map[string][]string{"pepper": {"chilli"}, "chilli": {"chilli"}, "nut": {"nut"}, "herb": {"herb"}, "spice": {"spice", "seed"}, "tea": {"tea"}}

// locate finds the botanical of a name, without the word for its kind where it is
// not known with it.
func (l *Library) locate(name string) (e *entry[Botanical], exact bool) {
	c := l.botanicals()
	if e, exact = c.find(name); e != nil || c.never(name) != nil {
		return e, exact
	}
	ws := words(name)
	for i, w := range ws {
		kinds := genusWords[w]
		if len(kinds) == 0 {
			continue
		}
		if e, _ := c.find(strings.Join(without(ws, i, i), " ")); e != nil {
			if b, err := e.get(); err == nil && slices.Contains(kinds, b.Kind) {
				return e, false
			}
		}
	}
	return nil, false
}

// OtherState is what else a plant may be that is named without a word of its state:
// the dried one for fresh ginger, the fresh one for dried figs. ok is false where the
// name or the cut says it, or where it goes without saying; other is nil where the
// library knows the plant in one state only.
func (l *Library) OtherState(b *Botanical, said string) (other *Botanical, ok bool) {
	stated := func(w string) bool {
		return w == "dried" || w == "fresh" || w == "ground" || w == "powder" || moistWords[w] || growing[w]
	}
	if !wetMatters(b) || b.Forbidden != "" || slices.ContainsFunc(words(said), stated) {
		return nil, false
	}
	state := "fresh"
	if b.Fresh {
		state = "dried"
	}
	bare := slices.DeleteFunc(words(b.Name), stated)
	x, err := l.Botanical(state + " " + strings.Join(bare, " "))
	if err != nil || x.Fresh == b.Fresh || x.Forbidden != "" {
		return nil, !b.Fresh && mayBeFresh(b)
	}
	// A fruit is fresh and a zest too, and what only one of the two is cut into says
	// which it is.
	ws := words(said)
	plainly := b.Fresh && (b.Kind == "fruit" || b.Kind == "vegetable" || slices.Contains(ws, "zest"))
	if plainly || slices.ContainsFunc(ws, func(w string) bool { return b.saysCut(w) && !x.says(w) }) {
		return nil, false
	}
	return x, true
}

// IsIngredient reports whether an ingredient goes by that very name: fish gelatine is
// one, and no fish.
func (l *Library) IsIngredient(name string) bool { return l.ingredients().called(name) }

// seek is Botanical without the words for what it does not find: near is what a
// name comes close to and is not.
func (l *Library) seek(name string) (b, near *Botanical, err error) {
	c := l.botanicals()
	e, exact := l.locate(name)
	if e == nil {
		b, err = c.never(name).orNone()
		return b, nil, err
	}
	if b, err = e.get(); err != nil || exact || b.Forbidden != "" {
		return b, nil, err
	}
	ws := words(name)
	// Dried or powdered mango is not mango: a dried and a fresh plant differ in water,
	// strength and speed, so the one is not taken for the other. Nor is one
	// part of a plant taken for another.
	wet := wetMatters(b) && (b.Fresh && dry(ws, "dried", "powder") || !b.Fresh && slices.Contains(ws, "fresh"))
	if wet && b.Fresh { // a powder is of the dried plant, where that is known
		if e, _ := l.locate("dried " + name); e != nil {
			if d, err := e.get(); err != nil || !d.Fresh && !d.otherPart(ws) {
				return d, nil, err
			}
		}
	}
	if wet || b.otherPart(ws) {
		near = b
		b, err = c.never(name).orNone()
	}
	return b, near, err
}

// MustNot is the botanical that a name stands for when it must not be steeped,
// or nil. It reads any name, an ingredient's too: what is left in the jar under
// another heading is no better.
func (l *Library) MustNot(name string) *Botanical {
	if l.file == "" && (l.ingredients().called(name) || l.spirits().called(name)) {
		// The tests look all of these up: the words alone say no.
		b, _ := l.botanicals().never(name).orNone()
		return b
	}
	b, _, err := l.seek(name)
	if b != nil && b.Own && b.Forbidden == "" {
		// An entry of the maker's own makes nothing harmless.
		b, err = l.botanicals().never(name).orNone()
	}
	if err != nil || b == nil || b.Forbidden == "" {
		return nil
	}
	return b
}

func wetMatters(b *Botanical) bool {
	switch b.Kind {
	case "herb", "root", "flower", "fruit", "leaf", "chilli", "vegetable", "citrus":
		return true
	}
	return false
}

// BotanicalAndCut looks up a botanical and one of its cuts. When cut is empty
// the words of the name choose it ("ground cinnamon", "orange peel"), else the
// first cut is taken; chosen says whether the maker's words named the cut.
func (l *Library) BotanicalAndCut(name, cut string) (b *Botanical, c *Cut, chosen bool, err error) {
	b, err = l.Botanical(name)
	if err != nil {
		return nil, nil, false, err
	}
	said := words(name + " " + cut)
	if strings.TrimSpace(cut) == "" {
		if c := b.cutIn(words(name)); c != nil {
			return b, c.measured(said), true, nil
		}
		c, err = b.Cut("")
		return b, c.measured(said), false, err
	}
	if other, rest := l.wetOrDry(b, name, cut); other != nil {
		b, cut = other, rest
	}
	if c, err = b.Cut(cut); err != nil && b.Forbidden == "" && quiet(cut) {
		c, err = b.Cut("")
		return b, c.measured(said), false, err
	}
	return b, c.measured(said), err == nil, err
}

// wetOrDry finds the dried entry for a fresh botanical whose cut says "dried",
// or the other way round, and what is left of the cut.
func (l *Library) wetOrDry(b *Botanical, name, cut string) (*Botanical, string) {
	state := "fresh"
	if b.Fresh {
		state = "dried"
	}
	ws := words(cut)
	if !wetMatters(b) || b.Forbidden != "" || !slices.Contains(ws, state) || b.Fresh && !dry(ws, state) || b.saysCut(state) {
		return nil, ""
	}
	other, err := l.Botanical(state + " " + name)
	if err != nil || other.Fresh == b.Fresh || other.Forbidden != "" {
		return nil, ""
	}
	return other, strings.Join(slices.DeleteFunc(ws, func(w string) bool { return w == state }), " ")
}

// saysCut reports whether a word occurs in the name of a cut.
func (b *Botanical) saysCut(word string) bool {
	return slices.ContainsFunc(b.Cuts, func(c Cut) bool {
		return slices.ContainsFunc(append([]string{c.Name}, c.Names...), func(n string) bool { return slices.Contains(words(n), word) })
	})
}

// Ingredient looks an ingredient up by name. A sugar or honey syrup named by
// its ratio ("3:4 syrup", "demerara syrup 2:1", "syrup 65 %") is worked out, and
// so is what a per cent in its name makes of it ("citric acid 50 %").
// The error is a *NotFoundError.
func (l *Library) Ingredient(name string) (*Ingredient, error) {
	if e, exact := l.ingredients().find(name); e != nil && exact {
		return e.get()
	}
	if g := l.ratioSyrup(name); g != nil {
		return g, nil
	}
	if e, _ := l.ingredients().find(name); e == nil {
		ws := words(name)
		if i := slices.Index(ws, "sugar"); i >= 0 { // dark muscovado sugar is dark muscovado
			if e, exact := l.ingredients().find(strings.Join(without(ws, i, i), " ")); e != nil && exact {
				if g, err := e.get(); err == nil && g.Kind == "sugar" {
					return g, nil
				}
			}
		}
	}
	bare, strength := told(l.ingredients(), name)
	g, err := get(l, l.ingredients(), bare)
	if err == nil && (l.botanicals().never(name) != nil || g.otherPart(words(name)) || l.inOtherState(g, words(name))) {
		// Cherry seeds are no cherries, fresh dates no dried ones, dried mango no mango.
		g, err = nil, &NotFoundError{Name: name, Kind: "ingredient", near: these(g.Name), Elsewhere: l.elsewhere("ingredient", name)}
	}
	if err == nil && (strength.Unclear || strength.Said && !strength.ByVolume) {
		if of := g.assay(strength.Percent); of != nil && !strength.Unclear {
			return of, nil
		}
		return nil, &NotFoundError{Name: name, Kind: "ingredient", near: these(g.Name), Elsewhere: l.elsewhere("ingredient", name)}
	}
	var lost *NotFoundError
	if errors.As(err, &lost) && vagueSyrup(name) {
		lost.near = these("simple syrup 1:1", "rich syrup 2:1", "syrup 2:3")
	}
	return g, err
}

// inOtherState reports whether fresh fruit is asked for and the ingredient is the dried
// one, or the other way round.
func (l *Library) inOtherState(g *Ingredient, asked []string) bool {
	if g.Kind != "fruit" {
		return false
	}
	if dry(asked, "dried", "powder") && g.Per100G.Water > 50 {
		return true
	}
	if !slices.Contains(asked, "fresh") {
		return false
	}
	b, err := l.Botanical(g.Name)
	return err == nil && wetMatters(b) && !b.Fresh
}

// Spirit looks a spirit class up by name, whatever strength stands in it: see
// quantity.StrengthIn. The error is a *NotFoundError.
func (l *Library) Spirit(name string) (*Spirit, error) {
	bare, _ := told(l.spirits(), name)
	return get(l, l.spirits(), bare)
}

// Source looks a source up by its key.
func (l *Library) Source(key string) (Source, bool) {
	s, ok := l.sources()[key]
	return s, ok
}

// Botanicals lists all botanicals by name, the forbidden ones included.
func (l *Library) Botanicals() []*Botanical { return everything(l.botanicals()) }

// Ingredients lists all ingredients by name.
func (l *Library) Ingredients() []*Ingredient { return everything(l.ingredients()) }

// Spirits lists all spirit classes by name.
func (l *Library) Spirits() []*Spirit { return everything(l.spirits()) }

// everything leaves out entries that cannot be read; the tests make sure that
// the built-in files have none.
func everything[T any](c *catalog[T]) []*T {
	out := make([]*T, 0, len(c.entries))
	for _, e := range c.entries {
		if v, err := e.get(); err == nil {
			out = append(out, v)
		}
	}
	return out
}

// Unknown is the cut of a botanical nobody has described: a wide prior, the
// median and spread of the rates of the library, as much ash and protein as the
// plant richest in them, and nothing else. Its grade says that it is a judgement.
func Unknown() *Cut {
	const median, gsd = 0.028, 4.4
	f := math.Pow(gsd, z90)
	return &Cut{
		Name:          "as is",
		RatePerH:      Number{Value: median, Low: median / f, High: median * f, Source: "steepbook", Grade: Judgement, Note: "middle of the rates of the library"},
		RateGSD:       gsd,
		EarlyShare:    Number{Value: 0.1, Low: 0, High: 0.3, Source: "steepbook", Grade: Judgement},
		FirstTasteH:   3,
		HeldMLPerG:    Number{Value: 1.3, Low: 0.5, High: 3.5, Source: "steepbook", Grade: Judgement, Note: "between hard spice and dry leaf"},
		PressedMLPerG: Number{Value: 0.9, Low: 0.4, High: 2, Source: "steepbook", Grade: Judgement},
		// The most of tables/buffers.csv: dried green leaf.
		AshGPer100G:     Number{Value: 16.6, Low: 16.6, High: 16.6, Source: "steepbook", Grade: Judgement, Note: "as dried green leaf"},
		ProteinGPer100G: Number{Value: 23.2, Low: 23.2, High: 23.2, Source: "steepbook", Grade: Judgement, Note: "as dried green leaf"},
		name:            "this botanical",
	}
}

// FatCake is fat that washed a spirit, once it is lifted off: what it keeps of the
// liquor, and otherwise as Unknown.
func (l *Library) FatCake() (*Cut, error) {
	c := Unknown()
	row, err := l.marc("fat")
	c.HeldMLPerG, c.PressedMLPerG = row.held, row.pressed
	return c, err
}

// IsFat reports whether something is mostly fat: butter, lard, oil.
func (i *Ingredient) IsFat() bool { return i.Kind == "oil" || i.Per100G.Fat >= 50 }

// Cut looks a cut up by name or synonym; "" is the first. The error is a
// *NotFoundError with all cuts there are, or a *ForbiddenError.
func (b *Botanical) Cut(name string) (*Cut, error) {
	if b.Forbidden != "" {
		return nil, &ForbiddenError{Name: b.Name, Why: b.Forbidden}
	}
	if len(b.Cuts) == 0 {
		return nil, fmt.Errorf("library: %s has no cuts", b.Name)
	}
	ws := words(name)
	if len(ws) == 0 {
		return &b.Cuts[0], nil
	}
	k := key(ws)
	for i := range b.Cuts {
		c := &b.Cuts[i]
		if nameKey(c.Name) == k || slices.ContainsFunc(c.Names, func(n string) bool { return nameKey(n) == k }) {
			return c, nil
		}
	}
	// A dried strip is no fresh one: it brings no water.
	if c := b.cutIn(ws); c != nil && !(b.Fresh && wetMatters(b) && slices.Contains(ws, "dried") && !b.saysCut("dried")) {
		return c, nil
	}
	near := make([]string, 0, len(b.Cuts))
	var known []string
	owner := make(map[string]string)
	for _, c := range b.Cuts {
		near = append(near, c.Name)
		for _, n := range append([]string{c.Name}, c.Names...) {
			known = append(known, n)
			owner[n] = c.Name
		}
	}
	if n, ok := strict.Nearest(strings.TrimSpace(name), known); ok {
		i := slices.Index(near, owner[n])
		near[0], near[i] = near[i], near[0]
	}
	return nil, &NotFoundError{Name: name, Kind: "cut of " + b.Name, near: these(near...)}
}

// cutIn finds the cut that a maker's words name: the one of whose names the
// most words occur, all of them. No two cuts may tie.
func (b *Botanical) cutIn(ws []string) *Cut {
	var best *Cut
	most, tied := 0, false
	for i := range b.Cuts {
		c := &b.Cuts[i]
		n := 0
		for _, name := range append([]string{c.Name}, c.Names...) {
			cws := words(name)
			all := len(cws) > 0
			for _, w := range cws {
				all = all && slices.Contains(ws, w)
			}
			if all {
				n = max(n, len(cws))
			}
		}
		switch {
		case n > most:
			best, most, tied = c, n, false
		case n == most && n > 0:
			tied = true
		}
	}
	if tied {
		return nil
	}
	return best
}
