package batch

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/visible"
)

// log reads what was logged, then holds it against what could have happened.
func (p *parser) log(raw *fileTable) {
	b := p.b
	each(&b.Additives, raw.Added, p.added) // before the tastings, which may score it
	each(&b.Tastings, raw.Tasting, p.tasting)
	each(&b.Pulls, raw.Pulled, p.pull)
	each(&b.Strainings, raw.Strained, p.straining)
	each(&b.Bottlings, raw.Bottled, p.bottling)
	each(&b.Openings, raw.Opened, p.opening)
	each(&b.Emptyings, raw.Emptied, p.emptying)
	each(&b.Notes, raw.Noted, p.note)
	if p.err == nil {
		p.strainings()
		for _, x := range b.Openings {
			p.bottleThere(nth(KindOpened, x.Index), x.Bottle, x.Hours)
		}
		for _, x := range b.Emptyings {
			p.bottleThere(nth(KindEmptied, x.Index), x.Bottle, x.Hours)
		}
		for _, x := range b.Additives {
			p.bottleThere(nth(KindAdded, x.Index), x.Bottle, x.Hours)
		}
		p.bottlings()
		p.emptyings()
	}
}

// thinnest is how many parts a tasting sample may be thinned with to one of jar.
const thinnest = 50

func (p *parser) tasting(i int, t *tastingTable) Tasting {
	at := nth("tasting", i)
	out := Tasting{SampleJar: 1, Taster: strings.TrimSpace(t.Taster), Words: t.Words, Index: i}
	p.fitText(at.of("taster"), out.Taster, longestName)
	p.fitText(at.of("words"), out.Words, longestText)
	if !p.doc.Has(at.of("at").path()...) {
		p.wrong(at.of("at"), "this [[tasting]] does not say when it was")
	}
	out.Hours, out.When = p.since(at.of("at"), t.At, "this tasting")
	if t.Sample != nil {
		var err error
		if out.SampleJar, out.SampleOther, err = quantity.ParseRatio(*t.Sample); err != nil {
			p.refuse(at.of("sample"), err)
		} else if out.SampleOther > thinnest*out.SampleJar {
			p.fail(at.of("sample"), `sample = "1:10"`,
				"a sample of %q is thinner than 1:%d, too thin for a score to say anything of the jar",
				*t.Sample, thinnest)
		}
	}
	if len(t.Score) == 0 {
		p.wrong(at.of("score"), "this tasting has no score")
	}
	known, further := p.b.tastes(), p.b.further()
	for _, written := range p.doc.Keys(at.of("score").path()...) {
		where := at.of("score").of(written)
		name, ok := declared(written, known, further)
		if !ok {
			p.fail(where, "", "%s", p.unknownName(written, known, "botanical or watch"))
			return out
		}
		for _, s := range out.Scores {
			if s.Name == name {
				p.fail(where, "", "%q has two scores in one tasting; keep one", name)
			}
		}
		v := t.Score[written]
		p.score(where, name, v)
		out.Scores = append(out.Scores, Score{name, v})
	}
	return out
}

func (p *parser) score(at spot, name string, v float64) {
	if math.IsNaN(v) || v < 0 || v > 10 {
		p.fail(at, fmt.Sprintf("%q = 4", name),
			"the score of %q is %s; scores run from 0 (absent) to 10 (nothing else)", name,
			quantity.FormatNumber(v))
	}
}

func (p *parser) pull(i int, t *pulledTable) Pull {
	at := nth("pulled", i)
	out := Pull{Index: i}
	written := p.name(at.of("name"), t.Name, "this [[pulled]] does not name what came out")
	for _, w := range p.b.Watches {
		if strings.EqualFold(w.Name, written) {
			p.fail(at.of("name"), "", "%q is a watch, a taste; only a botanical can be pulled", w.Name)
		}
	}
	name, ok := declared(written, p.b.jarNames(), p.b.addedNames())
	if !ok {
		p.fail(at.of("name"), "", "%s", p.unknownName(written, p.b.botanicalNames(), "botanical"))
		return out
	}
	out.Name = name
	if !p.doc.Has(at.of("at").path()...) {
		p.wrong(at.of("at"), "this [[pulled]] does not say when it was")
	}
	out.Hours, out.When = p.since(at.of("at"), t.At, "this pull")
	for _, h := range p.b.Botanicals {
		if h.Name == name && out.Hours < h.In {
			p.fail(at.of("at"), "", "%q is pulled %s after the start, before it went in at %s", name,
				hours(out.Hours), hours(h.In))
		}
	}
	for _, other := range p.b.Pulls {
		if other.Name == name && !p.b.wentBack(name, other.Hours, out.Hours) {
			out.Again = fmt.Sprintf("%q came out already, %s after the start (line %d)", name,
				hours(other.Hours), p.doc.Line("pulled", other.Index, "name"))
		}
	}
	return out
}

// when reads the moment of an entry, which must be there.
func (p *parser) when(at spot, v any, what string) (hours float64, when time.Time) {
	if !p.doc.Has(at.of("at").path()...) {
		p.wrong(at.of("at"), "this [[%s]] does not say when it was", at.in.table)
	}
	return p.stage(at.of("at"), v, what)
}

func (p *parser) straining(i int, t *strainedTable) Straining {
	at := nth(KindStrained, i)
	out := Straining{Index: i}
	known := p.b.botanicalNames()
	for _, written := range t.Names {
		name, ok := declared(written, known)
		if !ok {
			p.fail(at.of("names"), "", "%s", p.unknownName(written, known, "botanical"))
			return out
		}
		if slices.Contains(out.Names, name) {
			p.fail(at.of("names"), "", "%q stands there twice", name)
		}
		out.Names = append(out.Names, name)
	}
	if t.Names != nil && len(out.Names) == 0 {
		p.wrong(at.of("names"), "names is empty; leave it out where everything was strained")
	}
	out.Hours, out.When = p.when(at, t.At, "this straining")
	if out.Volume = p.liquid(at.of("volume"), t.Volume, "the strained liquor", false); out.Volume != nil &&
		len(out.Names) > 0 {
		p.fail(at.of("volume"), "", "the liquor is measured when everything is out; leave volume out "+
			"here, or names")
	}
	return out
}

func (p *parser) added(i int, t *addedTable) Added {
	at := nth(KindAdded, i)
	out := Added{Index: i, Name: p.name(at.of("name"), t.Name, "this [[added]] does not name what went in")}
	if name, ok := declared(out.Name, p.b.additionNames()); ok {
		out.Name = name
	}
	if t.Amount == nil {
		p.wrong(at.of("amount"), "this [[added]] does not say how much went in")
	} else if _, a := p.line(at, out.Name, nil, t.Amount); a != nil {
		out.Amount = *a
	}
	out.Into = p.liquid(at.of("into"), t.Into, "what it went into", false)
	out.Bottle = p.counted(at.of("bottle"), t.Bottle, "number of a bottle")
	out.Hours, out.When = p.when(at, t.At, "this addition")
	return out
}

// mostBottles is more than a home or a bar fills at a time.
const mostBottles = 10_000

// counted reads a number of bottles, or that of one.
func (p *parser) counted(at spot, n *int, what string) int {
	switch {
	case n == nil:
		return 0
	case *n < 1 || *n > mostBottles:
		p.wrong(at, "%d is no %s", *n, what)
	}
	return *n
}

func (p *parser) bottling(i int, t *bottledTable) Bottling {
	at := nth(KindBottled, i)
	out := Bottling{Index: i, Bottles: p.counted(at.of("bottles"), t.Bottles, "number of bottles")}
	out.Of = p.liquid(at.of("of"), t.Of, "a bottle", false)
	out.Volume = p.liquid(at.of("volume"), t.Volume, "the yield", false)
	out.From = p.counted(at.of("from"), t.From, "number of a bottle")
	out.Hours, out.When = p.when(at, t.At, "this bottling")
	return out
}

func (p *parser) opening(i int, t *openedTable) Opening {
	at := nth(KindOpened, i)
	out := Opening{Index: i, Bottle: p.counted(at.of("bottle"), t.Bottle, "number of a bottle")}
	out.Hours, out.When = p.when(at, t.At, "this opening")
	return out
}

func (p *parser) emptying(i int, t *emptiedTable) Emptying {
	at := nth(KindEmptied, i)
	out := Emptying{Index: i, Bottle: p.counted(at.of("bottle"), t.Bottle, "number of a bottle")}
	out.Hours, out.When = p.when(at, t.At, "this emptying")
	return out
}

func (p *parser) note(i int, t *notedTable) Note {
	at := nth(KindNoted, i)
	out := Note{Index: i, What: strings.TrimSpace(t.What)}
	if strings.TrimSpace(visible.Text(out.What)) == "" {
		p.wrong(at.of("what"), "this [[noted]] does not say what was seen")
	}
	p.fitText(at.of("what"), out.What, longestText)
	out.Hours, out.When = p.when(at, t.At, "this note")
	return out
}

// strainings refuses what would have come out twice, or before it went in.
func (p *parser) strainings() {
	b := p.b
	for i := range b.Strainings {
		s := &b.Strainings[i]
		line := func(x *Straining) int { return p.doc.Line(KindStrained, x.Index) }
		for j := range b.Botanicals {
			h := &b.Botanicals[j]
			if !slices.Contains(s.Names, h.Name) {
				continue
			}
			at := nth(KindStrained, i).of("names")
			if s.Hours < h.In {
				p.fail(at, "", "%q is strained out %s after the start, before it went in at %s", h.Name,
					hours(s.Hours), hours(h.In))
			}
			for _, o := range b.Pulls {
				if o.Name == h.Name && o.Hours <= s.Hours {
					p.fail(at, "", "%q came out already, %s after the start (line %d)", h.Name,
						hours(o.Hours), p.doc.Line(KindPulled, o.Index))
				}
			}
			for k := range i {
				if slices.Contains(b.Strainings[k].Names, h.Name) {
					p.fail(at, "", "%q came out already, %s after the start (line %d)", h.Name,
						hours(b.Strainings[k].Hours), line(&b.Strainings[k]))
				}
			}
		}
		if len(s.Names) > 0 {
			continue
		}
		for j := range b.Strainings {
			first := &b.Strainings[j]
			if len(first.Names) > 0 || first.Hours > s.Hours || j == i || first.Hours == s.Hours && j > i {
				continue
			}
			if !b.wentInSince(first.Hours, s.Hours) {
				measured := ""
				if s.Volume != nil {
					measured = "; a volume measured later belongs into that entry"
				}
				p.fail(nth(KindStrained, i).of("at"), "", "everything was strained already, %s after the "+
					"start (line %d), and nothing went in since%s", hours(first.Hours), line(first), measured)
			}
		}
	}
	for k := range b.Pulls {
		o := &b.Pulls[k]
		for i := range b.Strainings {
			s := &b.Strainings[i]
			with := func(h Botanical) bool { return h.Name == o.Name && !h.LeaveIn && s.Hours >= h.In }
			if len(s.Names) == 0 && s.Hours < o.Hours && slices.ContainsFunc(b.Botanicals, with) &&
				!b.wentBack(o.Name, s.Hours, o.Hours) {
				o.Again = fmt.Sprintf("%q is pulled %s after the start, and "+
					"everything was strained out before that, at %s (line %d)", o.Name, hours(o.Hours),
					hours(s.Hours), p.doc.Line(KindStrained, s.Index))
			}
		}
	}
}

// bottlings refuses bottles that were filled before there was anything to fill them with,
// and a bottle that was opened or emptied before it was filled, or twice, or that is not
// there.
func (p *parser) bottlings() {
	b := p.b
	strained := b.StrainedAt()
	for _, x := range b.Bottlings {
		if strained != nil && x.Hours < strained.Hours {
			bottled, out := apart(x.Hours, strained.Hours)
			p.fail(nth(KindBottled, x.Index).of("at"), "", "it was bottled %s after the start, before it was "+
				"strained at %s", bottled, out)
		}
	}
	first := b.BottledAt()
	seen := map[int]int{}
	for _, x := range b.Openings {
		at := nth(KindOpened, x.Index)
		switch line, twice := seen[x.Bottle]; {
		case first != nil && x.Hours < first.Hours:
			opened, bottled := apart(x.Hours, first.Hours)
			p.fail(at.of("at"), "", "it was opened %s after the start, before it was bottled at %s", opened, bottled)
		case twice:
			p.fail(at.of("bottle"), "", "bottle %d was opened already (line %d)", x.Bottle, line)
		case x.Bottle > 0:
			seen[x.Bottle] = p.doc.Line(at.path()...)
		}
	}
	for _, x := range b.Bottlings {
		before := b.asOf(x.line()).Bottles(x.Hours)
		if x.From > 0 && (x.From > len(before.List) || !before.List[x.From-1].poursOut()) {
			p.fail(nth(KindBottled, x.Index).of("from"), "", "bottle %d was not open when this was poured out of it: log the "+
				"opening first", x.From)
		}
	}
	all := b.Bottles(math.Inf(1))
	if n := countBottles(b.Bottlings); n > 0 && len(all.List) > n && all.Counted && len(b.Openings) > 0 {
		p.fail(nth(KindOpened, len(b.Openings)-1), "", "there is no sealed bottle left to open: %s",
			thereAre(n))
	}
}

// countBottles counts the bottles, 0 where somebody did not.
func countBottles(list []Bottling) (n int) {
	for _, x := range list {
		if x.Bottles == 0 {
			return 0
		}
		n += x.Bottles
	}
	return n
}

func thereAre(n int) string {
	if n == 1 {
		return "there is 1"
	}
	return fmt.Sprintf("there are %d", n)
}

// bottleThere refuses the number of a bottle that is not there, or not yet.
func (p *parser) bottleThere(at spot, number int, atH float64) {
	n := countBottles(p.b.Bottlings)
	switch {
	case number == 0 || n == 0:
	case number > n:
		p.fail(at.of("bottle"), fmt.Sprintf("bottle = %d", n), "there is no bottle %d: %s", number,
			thereAre(n))
	default:
		for _, x := range p.b.Bottles(math.Inf(1)).List[:n] {
			if x.Number == number && atH < x.Bottled.Hours {
				filled, this := apart(x.Bottled.Hours, atH)
				p.fail(at.of("at"), "", "bottle %d was filled %s after the start, later than this at %s",
					number, filled, this)
			}
		}
	}
}

// emptyings refuses what is emptied twice, and what happened to a batch that was gone.
func (p *parser) emptyings() {
	b := p.b
	seen := map[int]int{}
	var gone *Emptying
	for i := range b.Emptyings {
		x := &b.Emptyings[i]
		at := nth(KindEmptied, x.Index)
		if line, twice := seen[x.Bottle]; twice && x.Bottle > 0 {
			p.fail(at.of("bottle"), "", "bottle %d was emptied already (line %d)", x.Bottle, line)
		} else if twice {
			p.fail(at.of("at"), "", "everything was emptied already (line %d)", line)
		}
		seen[x.Bottle] = p.doc.Line(at.path()...)
		if x.Bottle == 0 {
			gone = x
		}
		for _, o := range b.Openings {
			if o.Bottle == x.Bottle && o.Bottle > 0 && x.Hours < o.Hours {
				emptied, opened := apart(x.Hours, o.Hours)
				p.fail(at.of("at"), "", "bottle %d was emptied %s after the start, before it was opened at "+
					"%s", x.Bottle, emptied, opened)
			}
		}
	}
	if gone == nil {
		return
	}
	for _, l := range b.Log() {
		if l.Hours > gone.Hours && l.Kind != KindNoted {
			p.fail(nth(l.Kind, l.Index).of("at"), "", "this was %s after the start, and everything was empty "+
				"at %s (line %d)", hours(l.Hours), hours(gone.Hours), p.doc.Line(KindEmptied, gone.Index))
		}
	}
}
