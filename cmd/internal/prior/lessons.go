package prior

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/cores"
	"steepbook/shelf/mixture"
)

// Lesson is what the batches of a book have taught of one botanical in one cut.
type Lesson struct {
	Botanical, Cut string
	// Forms are the cuts as the makers wrote them, one library cut for all.
	Forms []string
	// Batches and Tastings that speak of it.
	Batches, Tastings int
	// RatePerH is the rate of such a jar, under the conditions of the batch
	// started last; Library is what the library alone says of it. Plateau is
	// the score it ends at in the jar, at DoseGPerL (0: no dose is known).
	// Ranges are 90 %.
	RatePerH, Library, Plateau mixture.Range
	DoseGPerL                  float64
	// ReadyH is when a jar nobody has tasted has four fifths of its plateau,
	// hours after the botanical went in.
	ReadyH mixture.Range
	// OwnRate and OwnPlateau are the shares of the library's doubt that the
	// maker's own tastings have removed, 0 to 1; the rest is the library's.
	OwnRate, OwnPlateau float64
	Warnings            []string
	// NextPerH is the rate of a jar nobody has tasted yet, 90 %: wider than
	// RatePerH by what jars differ, and comparable with Library.
	NextPerH mixture.Range
	// LibraryPlateau is the score such a jar ends at before anyone has tasted.
	LibraryPlateau mixture.Range
	// Files are the batches that speak of it, without folders.
	Files []string

	next    kinetics.Normal    // of ln NextPerH
	written string             // the name as the maker writes it
	whole   bool               // an ingredient that is steeped, no botanical
	known   *library.Botanical // nil: the maker's own word
	form    *library.Cut       // nil: the library has no such cut
	room    *float64           // °C, of the batch started last
	abv     float64            // % vol, likewise; 0: not known
}

// Lessons gathers the tastings of every botanical and cut over the batches of a
// book, at most mostTeachers of each: those nearest to the batch started last,
// to whose room and strength the others are carried. Rates that batches have
// taught the library already are taken back first: the same tastings must not
// speak twice. Other cuts do not count here, since what is written into a library
// is written for one cut.
func Lessons(k *Book) []Lesson {
	var groups [][]*voice
	for entry := range k.where {
		byKey := map[lessonKey]int{}
		for _, v := range k.about(entry, "") {
			i, ok := byKey[v.key]
			if !ok {
				i = len(groups)
				byKey[v.key], groups = i, append(groups, nil)
			}
			groups[i] = append(groups[i], v)
		}
	}
	sort.Slice(groups, func(i, j int) bool {
		x, y := groups[i][0].key, groups[j][0].key
		return cmp.Or(strings.Compare(x.name, y.name), strings.Compare(x.cut, y.cut)) < 0
	})
	lessons := make([]Lesson, len(groups))
	cores.Each(len(groups), func(i int) { lessons[i] = k.lesson(groups[i]) })
	// Tastings at the moment it went in, say, teach nothing.
	lessons = quantity.Those(lessons, func(l *Lesson) bool { return l.Batches > 0 })
	return lessons
}

// lessonKey is what tastings are gathered by: a botanical in one cut.
type lessonKey struct{ name, cut string }

func keyOf(h *recipe.Botanical) lessonKey {
	name := h.Entry.Name
	if h.Known != nil {
		name = h.Known.Name
	}
	return lessonKey{strings.ToLower(name), strings.ToLower(h.Form().Name())}
}

// lesson learns what the voices of one botanical and cut say of a jar like the
// one started last; it has no batches where they say nothing.
func (k *Book) lesson(list []*voice) Lesson {
	last := slices.MaxFunc(list, func(x, y *voice) int {
		return cmp.Or(x.started.Compare(y.started), strings.Compare(y.file, x.file))
	})
	a := Asker{Batch: last.batch, Recipe: k.bases(last.batch), Library: k.bare}
	prior, _ := a.plain(last.herb)
	got := last.learn(list, prior)
	if got == nil {
		return Lesson{}
	}
	// What is said of a rate is said of a plain rise, as the library's is.
	out, slower := &got.learned, last.slower()
	rate := func(mean, low, high float64) mixture.Range {
		return mixture.Range{Value: math.Exp(mean - slower), Low: math.Exp(low - slower),
			High: math.Exp(high - slower)}
	}
	of := func(n kinetics.Normal) mixture.Range {
		half := n.SD * recipe.Ninety / 2
		return mixture.Range{Value: math.Exp(n.Mean), Low: math.Exp(n.Mean - half),
			High: math.Exp(n.Mean + half)}
	}
	muK, muC := out.Intervals()
	ready := out.TimeToShare(0.8)
	l := Lesson{
		Botanical: last.key.name, Cut: last.key.cut, Batches: out.Batches, Tastings: out.Tastings,
		RatePerH:  rate(muK.Median, muK.P05, muK.P95),
		Plateau:   mixture.Range{Value: max(0, muC.Median), Low: max(0, muC.P05), High: max(0, muC.P95)},
		ReadyH:    mixture.Range{Value: ready.Median, Low: ready.P05, High: ready.P95},
		DoseGPerL: out.ReferenceDose, OwnRate: out.OwnRate, OwnPlateau: out.OwnPlateau,
		Warnings: out.Warnings,
		Library: of(kinetics.Normal{Mean: prior.LogRate.Mean - slower,
			SD: prior.LogRate.SD}), next: out.Prior(0).LogRate,
		known: last.herb.Known, form: last.herb.Form().Lib, written: last.herb.Entry.Name,
		whole: last.herb.Ingredient != nil,
		room:  a.Batch.RoomC, abv: recipe.BaseStrength(a.Recipe.Bases),
	}
	l.next.Mean -= slower
	l.NextPerH = of(l.next)
	end, half := prior.Plateau, prior.Plateau.SD*recipe.Ninety/2
	l.LibraryPlateau = mixture.Range{Value: end.Mean, Low: max(0, end.Mean-half), High: end.Mean + half}
	for _, v := range got.teachers {
		l.Files = append(l.Files, v.file)
		if form := v.herb.Entry.Cut; form != "" && !slices.Contains(l.Forms, form) {
			l.Forms = append(l.Forms, form)
		}
	}
	slices.Sort(l.Forms)
	slices.Sort(l.Files)
	return l
}
