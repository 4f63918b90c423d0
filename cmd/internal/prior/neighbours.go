package prior

import (
	"cmp"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/kinetics"
	"steepbook/kinetics/cores"
)

// Book is what the batches of one folder say to each other: every tasted
// botanical of a batch as one small summary, read when it is first wanted and
// shared by all who ask. It is safe for several goroutines.
type Book struct {
	batches []*batch.Batch   // the one started last first, of equals by file
	bare    *library.Library // without what batches taught
	now     time.Time
	where   map[string][]place // of an entry: who steeps it

	mu     sync.Mutex
	voices map[place]*voice
	taught map[askedFor]*Expected
}

// place is one botanical of one batch.
type place struct{ batch, botanical int }

// NewBook gathers the batches of a folder, in any order. A batch that cannot be
// read for its own faults teaches nothing.
func NewBook(lib *library.Library, now time.Time, batches []*batch.Batch) *Book {
	k := &Book{batches: slices.Clone(batches), bare: lib.Untaught(""), now: now,
		where: map[string][]place{}, voices: map[place]*voice{}, taught: map[askedFor]*Expected{}}
	slices.SortStableFunc(k.batches, func(x, y *batch.Batch) int {
		return laterFirst(x.Started, fileOf(x),
			y.Started, fileOf(y))
	})
	known := entries{lib: k.bare}
	for i, b := range k.batches {
		for j := range b.Botanicals {
			for _, name := range known.of(b.Botanicals[j].Words()...) {
				k.where[name] = append(k.where[name], place{i, j})
			}
		}
	}
	return k
}

func fileOf(b *batch.Batch) string { return filepath.Base(b.File) }

func laterFirst(x time.Time, xFile string, y time.Time, yFile string) int {
	return cmp.Or(y.Compare(x), strings.Compare(xFile, yFile))
}

// entries finds under which names of the library, in small letters, a maker's
// words may be found, those words among them. It remembers: a book has few words.
type entries struct {
	lib   *library.Library
	known map[string][]string
}

func (n *entries) of(words ...string) []string {
	var out []string
	for _, w := range words {
		if w == "" {
			continue
		}
		found, ok := n.known[w]
		if !ok {
			found = []string{strings.ToLower(w)}
			for _, name := range n.lib.EntriesFor(w) {
				found = append(found, strings.ToLower(name))
			}
			if n.known == nil {
				n.known = map[string][]string{}
			}
			n.known[w] = found
		}
		for _, name := range found {
			if !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return out
}

// mostLookedAt is how many batches that list a botanical are looked at for each
// jar that asks, those started last: mostTeachers of them teach. Judgement: three
// times as many as are wanted leave likeness a choice, and the files of a large
// book need not all be parsed.
const mostLookedAt = 48

// Candidate is a file of the book at a glance.
type Candidate struct {
	File string
	batch.Outline
}

// Teachers chooses which of the other files of its book b can learn from: of each of its botanicals the
// mostLookedAt started last that list it, in the order in which a Book looks at
// them. read tells whether a file can be read; one that cannot does not count.
func Teachers(b *batch.Batch, lib *library.Library, files []Candidate, read func(files []int) []bool) {
	lib = lib.Untaught("")
	wanted := make([]string, len(b.Botanicals)) // "" where it cannot be read
	cores.Each(len(wanted), func(i int) {
		if h, err := recipe.ReadBotanical(b, lib, b.Botanicals[i]); err == nil {
			wanted[i] = keyOf(&h).name
		}
	})
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		x, y := &files[order[a]], &files[order[b]]
		return laterFirst(x.Started, filepath.Base(x.File), y.Started, filepath.Base(y.File)) < 0
	})
	known, where := entries{lib: lib}, map[string][]int{}
	for _, i := range order {
		for _, name := range known.of(files[i].Words...) {
			where[name] = append(where[name], i)
		}
	}
	for _, entry := range wanted {
		list := where[entry]
		for good := 0; good < mostLookedAt && len(list) > 0; {
			n := min(mostLookedAt-good, len(list))
			for _, ok := range read(list[:n]) {
				if ok {
					good++
				}
			}
			list = list[n:]
		}
	}
}

// voice is what one batch says of one botanical: all that learning needs of it.
type voice struct {
	file    string
	started time.Time
	key     lessonKey
	herb    *recipe.Botanical
	batch   *batch.Batch
	state   state
	// doseGPerL is per litre of spirit, 0 when not known; left is the ln of the
	// flavour that its age has left.
	doseGPerL, left float64
	lot             string
	tastings        []kinetics.Tasting
}

// state is the conditions a jar steeps under; what is not written is the usual:
// 20 °C and 40 % vol.
type state struct{ roomC, abv float64 }

func stateOf(roomC *float64, abv float64) state {
	s := state{20, 40}
	if roomC != nil {
		s.roomC = *roomC
	}
	if abv > 0 {
		s.abv = abv
	}
	return s
}

// about is what the batches started last say of an entry, at most mostLookedAt
// of those that list it, the asker's own file left out; copies are left out, too.
func (k *Book) about(entry, asker string) []*voice {
	var places []place
	for _, p := range k.where[entry] {
		if len(places) < mostLookedAt && fileOf(k.batches[p.batch]) != asker {
			places = append(places, p)
		}
	}
	list := k.listen(entry, places)
	copies := copiesAmong(list)
	return slices.DeleteFunc(list, func(v *voice) bool { return copies[v] != nil })
}

func (k *Book) listen(entry string, places []place) []*voice {
	k.mu.Lock()
	defer k.mu.Unlock()
	var list []*voice
	for _, p := range places {
		v, ok := k.voices[p]
		if !ok {
			v = k.voice(p)
			k.voices[p] = v
		}
		if v != nil && v.key.name == entry {
			list = append(list, v)
		}
	}
	return list
}

// voice reads one botanical of one batch; nil where it teaches nothing.
func (k *Book) voice(p place) *voice {
	b := k.batches[p.batch]
	h, err := recipe.ReadBotanical(b, k.bare, b.Botanicals[p.botanical])
	if err != nil || h.Known != nil && h.Known.Forbidden != "" { // nothing to be learned for a next time
		return nil
	}
	jar := k.bases(b)
	if jar == nil {
		return nil
	}
	if v := newVoice(b, &h, jar, k); len(v.tastings) > 0 {
		return v
	}
	return nil
}

// bases are those lines of a batch, nil where one cannot be read.
func (k *Book) bases(b *batch.Batch) *recipe.Lines {
	var jar recipe.Lines
	for _, s := range b.Spirits {
		r, err := recipe.ReadBase(b, k.bare, s)
		if err != nil {
			return nil
		}
		jar.Bases = append(jar.Bases, r)
	}
	return &jar
}

// newVoice sums up a botanical; of p only the bases are read.
func newVoice(b *batch.Batch, h *recipe.Botanical, p *recipe.Lines, k *Book) *voice {
	v := &voice{
		file: fileOf(b), started: b.Started, key: keyOf(h), herb: h, batch: b, lot: sameLot(h.Entry.Lot),
		state: stateOf(b.RoomC, recipe.BaseStrength(p.Bases)), doseGPerL: h.DoseGPerL(p.BaseML()),
		tastings: jarTastings(b, &h.Entry, Exponent(h.Known, k.bare), k.now),
	}
	v.left, _ = ageOf(h, b).left()
	return v
}

// jarTastings are the scores of a botanical by now, by its own clock. What was
// taken out gives nothing more: a later score speaks of the strength at that
// moment.
func jarTastings(b *batch.Batch, e *batch.Botanical, n library.Number, now time.Time) []kinetics.Tasting {
	out := math.Inf(1)
	elapsed := now.Sub(b.Started).Hours()
	if h, isOut := b.OutBy(e, elapsed); isOut {
		out = h
	}
	var list []kinetics.Tasting
	for i := range b.Tastings {
		t := &b.Tastings[i]
		for _, s := range t.Scores {
			if s.Name != e.Name || !t.By(elapsed) || t.Hours < e.In || !b.OfJar(t) {
				continue
			}
			part := 1.0
			if t.SampleOther > 0 {
				part = kinetics.Diluted(1, t.SampleJar/(t.SampleJar+t.SampleOther), n.Value)
			}
			list = append(list, kinetics.Tasting{Hours: math.Min(t.Hours, out) - e.In, Score: s.Value,
				Part: part, Taster: t.Taster})
		}
	}
	return list
}

// copiesAmong finds backups, and what each is a copy of: the same start,
// botanical, cut and dose, and no tasting that the other has not. Of equal ones
// the first by byName counts.
func copiesAmong(list []*voice) map[*voice]*voice {
	out := map[*voice]*voice{}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(x, y *voice) int { return byName(x.file, y.file) })
	byStart := map[int64][]*voice{}
	for _, v := range list {
		at := v.started.UnixNano()
		for _, w := range byStart[at] {
			switch {
			case out[w] != nil:
			case w.holds(v):
				out[v] = w
			case v.holds(w):
				out[w] = v
			}
		}
		byStart[at] = append(byStart[at], v)
	}
	return out
}

// byName orders files by which is the batch itself and which a backup of it: one
// that calls itself a copy comes last, then the names without their endings count.
func byName(x, y string) int {
	backup := func(file string) int {
		file = strings.ToLower(file)
		if strings.Contains(file, "backup") || strings.Contains(file, "copy") {
			return 1
		}
		return 0
	}
	stem := func(file string) string { return strings.TrimSuffix(file, filepath.Ext(file)) }
	return cmp.Or(backup(x)-backup(y), strings.Compare(stem(x), stem(y)), strings.Compare(x, y))
}

// holds reports whether v says all that w says of the same jar.
func (v *voice) holds(w *voice) bool {
	return v.file != w.file && len(w.tastings) > 0 && v.started.Equal(w.started) && v.key == w.key &&
		v.doseGPerL == w.doseGPerL && startsWith(v.tastings, w.tastings)
}

func startsWith(long, short []kinetics.Tasting) bool {
	for _, t := range short {
		same := func(o kinetics.Tasting) bool {
			return o.Hours == t.Hours && o.Score == t.Score &&
				o.Taster == t.Taster
		}
		if !slices.ContainsFunc(long, same) {
			return false
		}
	}
	return true
}

// Copies names, for each file of the book that is a backup of another, that
// other; by the first of its botanicals, where several say so.
func (k *Book) Copies() map[string]string {
	out := map[string]string{}
	starts := map[int64]int{}
	for _, b := range k.batches {
		starts[b.Started.UnixNano()]++
	}
	for _, entry := range slices.Sorted(maps.Keys(k.where)) {
		var places []place // that may be copies: of those that started together
		for _, p := range k.where[entry] {
			if starts[k.batches[p.batch].Started.UnixNano()] > 1 {
				places = append(places, p)
			}
		}
		for v, of := range copiesAmong(k.listen(entry, places)) {
			if out[v.file] == "" {
				out[v.file] = of.file
			}
		}
	}
	return out
}

// mostTeachers is how many batches teach at most, of one botanical and cut:
// the mean of sixteen is known to a quarter of the spread between batches, which the next
// one has whatever more would say, and the sum must not grow with the book. Judgement.
const mostTeachers = 16

// Steps in likeness, each one unit of distance. Judgement: what moves a rate by
// about a tenth to a fifth, or is as long as a supply lasts.
const (
	likeABV   = 10.0     // % vol
	likeC     = 10.0     // °C
	likeYears = 1.0      // between the starts
	likeDose  = math.Ln2 // ln: a doubling
)

// distance is how unlike two jars of one botanical are: units of strength,
// temperature, dose and time between the starts, added up. A dose that is not
// known is one unit away.
func (v *voice) distance(w *voice) float64 {
	dose := 1.0
	if v.doseGPerL > 0 && w.doseGPerL > 0 {
		dose = math.Abs(math.Log(v.doseGPerL/w.doseGPerL)) / likeDose
	}
	const year = 365.25 * 24
	return math.Abs(v.state.abv-w.state.abv)/likeABV + math.Abs(v.state.roomC-w.state.roomC)/likeC +
		dose + math.Abs(v.started.Sub(w.started).Hours())/year/likeYears
}

// nearest chooses whose tastings teach about v: the same cut first, then the same
// lot, then the least distance, then the file name; mostTeachers at most. The
// chosen come in the order of their starts.
func (v *voice) nearest(list []*voice) []*voice {
	type ranked struct {
		*voice
		cut, lot int
		distance float64
	}
	order := make([]ranked, len(list))
	for i, w := range list {
		order[i] = ranked{voice: w, distance: v.distance(w)}
		if w.key != v.key {
			order[i].cut = 1
		}
		if w.lot == "" || w.lot != v.lot {
			order[i].lot = 1
		}
	}
	compare := func(x, y ranked) int {
		return cmp.Or(x.cut-y.cut, x.lot-y.lot, cmp.Compare(x.distance, y.distance),
			strings.Compare(x.file, y.file))
	}
	sort.Slice(order, func(i, j int) bool { return compare(order[i], order[j]) < 0 })
	out := make([]*voice, 0, mostTeachers)
	for _, r := range order[:min(len(order), mostTeachers)] {
		out = append(out, r.voice)
	}
	slices.SortFunc(out, func(x, y *voice) int {
		return cmp.Or(x.started.Compare(y.started), strings.Compare(x.file, y.file))
	})
	return out
}

// sameLot is a lot's text as it is compared: "" is no lot, and no other is the
// same as that.
func sameLot(text string) string { return recipe.PlainWords(text) }
