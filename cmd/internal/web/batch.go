package web

import (
	"bytes"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"steepbook/cmd/internal/steeping"
	"strconv"
	"sync"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/picture"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/plots"
)

// answers are all that the page of a batch says that costs time, as it was when it was
// last asked. What the templates see never changes.
type answers struct {
	version [3]book.Stamp
	now     time.Time // of the answer
	made    time.Time // by the clock of the machine
	units   quantity.System
	chart   func() ([]byte, error) // drawn when it is first looked at

	mu     sync.Mutex // of the assessment, which is for one goroutine
	a      *bench.Assessment
	glance *due.Glance

	name             string
	flavours         []flavour
	last             string // how the last sample was mixed, as button.Value
	Care             string // how it may be tasted
	InJar, Additions []string
	Sealed, Left     []button // bottles
	MayOpen, MayEnd  bool     // a bottle may be opened, or be gone
	MayJoin          bool     // what goes in joins an open bottle or what was left over
	Undo, UndoMark   string   // the entry that can be taken out again
	Out              bool     // nothing steeps any more
	MayStrain        bool     // everything may be logged as strained
	Bottled, Chart   bool
	Mix              mix
	Heading, AsOf    string
	Steep, Keep      pen.Screen
	Blend, Log       pen.Screen
	Work             sheet.Work
	Danger, Cautions []string
	Allergens        string
	Next             string // what is to be done with what is strained
}

// Eg is an example of what a field takes, in the units of the batch.
func (n *answers) Eg(text string) string { return say(text, n.units) }

// answersLast is how long answers are shown before what the hour and the other batches
// have changed is looked for.
const answersLast = time.Minute

// flavour is what can be scored, and how much of it is wanted.
type flavour struct{ Name, Wanted string }

// mix is the sample to taste, Of what it is, Ratio as a tasting has it; where there is none
// both are empty and How says how to take it.
type mix struct{ Of, Ratio, How string }

// shown is a batch whose answers are kept; who asks while they are made waits for them.
type shown struct {
	sync.Mutex
	last *answers
}

// answered is the answers to a batch, made now or a moment ago.
func (s *server) answered(st *book.Standing, j *book.Jar) (*answers, error) {
	name := filepath.Base(j.Path)
	kept, _ := s.answers.LoadOrStore(name, &shown{})
	k := kept.(*shown)
	k.Lock()
	defer k.Unlock()
	version := st.Version(name)
	if a := k.last; a != nil && a.version == version && a.units == j.Units &&
		time.Since(a.made) < answersLast && st.Now.Sub(a.now).Abs() < answersLast {
		return a, nil
	}
	n := &answers{version: version, now: st.Now, made: time.Now(), units: j.Units}
	a, err := j.Steeped()
	if err != nil {
		return nil, err
	}
	if n.glance, err = st.Seen(name, a); err != nil {
		return nil, err
	}
	if err := n.fill(a); err != nil {
		return nil, err
	}
	if last, err := batch.LastLogged(j.Path, time.Local); err == nil { // else it is the maker's own
		n.Undo = say(logbook.EndedWords(&last, st.Now), n.units)
		n.UndoMark = last.Mark()
	}
	k.last = n
	return n, nil
}

// fill words what is assessed. The error is of the view.
func (n *answers) fill(a *bench.Assessment) (err error) {
	style := pen.Style{Units: n.units, Forms: true}
	n.a, n.name = a, a.Batch.Name
	n.Heading, n.AsOf = style.Say("%s", worksheet.Heading(a, style)), style.Say("%s", view.Clock(a.Now))
	n.Steep, n.Keep = steep.Screen(a, style), bottle.KeepScreen(a, style)
	n.Log = logbook.Entries(a).Said(n.units)
	slices.Reverse(n.Log.Rows) // the latest is looked for
	n.Blend = bottle.BlendScreen(a, nil, style)
	for _, screen := range []*pen.Screen{&n.Steep, &n.Keep, &n.Blend} { // what can hurt stands on top
		*screen = asForms(*screen)
		n.Danger = screen.Above(n.Danger)
	}
	lines, err := workOf(a, style)
	if err != nil {
		return err
	}
	n.Work, n.Allergens = sheet.InOrder(lines, n.units), bottle.Allergens(a)
	for _, c := range inForms(bottle.Cautions(a)) {
		if c = style.Say("%s", c); !slices.Contains(n.Blend.Notes, c) {
			n.Cautions = append(n.Cautions, c)
		}
	}
	_, out := a.Strained()
	n.Out, n.MayStrain = out && a.ElapsedH >= 0, a.Batch.MayStrain(a.ElapsedH)
	b := a.Batch.BottledAt()
	if n.Bottled = b != nil && b.Hours <= a.ElapsedH; n.Out && !n.Bottled {
		n.Next = say(nextact.Sentence(n.glance), n.units)
	}
	n.toTaste(a, style)
	for i := range a.Curves {
		if c := &a.Curves[i]; c.InJar() {
			n.InJar = append(n.InJar, c.Name)
		}
	}
	for _, x := range a.Recipe.Lying(a.Batch, a.ElapsedH) { // in bottles too
		if !x.Out && x.SteepDays.Known() && !slices.Contains(n.InJar, x.Name) {
			n.InJar = append(n.InJar, x.Name)
		}
	}
	for i := range a.Recipe.ToCome {
		n.Additions = append(n.Additions, a.Recipe.ToCome[i].Entry.Name)
	}
	all := a.Batch.Bottles(a.ElapsedH)
	n.bottles(all)
	n.MayJoin = n.Bottled && all.Emptied == nil && a.Blend.MayJoin(all.Joins(0))
	n.Chart = !a.Unfit() && slices.ContainsFunc(a.Curves,
		func(c steeping.Curve) bool { return !c.Watch || c.Tasted > 0 })
	n.chart = sync.OnceValues(func() ([]byte, error) {
		n.mu.Lock()
		defer n.mu.Unlock()
		chart := picture.Chart(a)
		chart.Title, chart.Subtitle, chart.US = "", "", n.units == quantity.US
		var out bytes.Buffer
		err := plots.Write(&out, chart, "svg")
		return out.Bytes(), err
	})
	return nil
}

// workOf is the order of work as inForms has it.
func workOf(a *bench.Assessment, style pen.Style) ([]worksheet.Line, error) {
	lines, err := worksheet.Work(a, style)
	for i := range lines {
		both := inForms([]string{lines[i].Do, lines[i].Why})
		lines[i].Do, lines[i].Why = both[0], both[1]
	}
	return lines, err
}

// toTaste lists what can be scored, in the order of tasting, and how it is mixed; nothing
// of a jar that nobody may taste.
func (n *answers) toTaste(a *bench.Assessment, style pen.Style) {
	if !a.Tasting().Offered() {
		return
	}
	n.Care = bottle.TastingWords(a)
	add := func(c *steeping.Curve) {
		f := flavour{Name: c.Name}
		switch {
		case slices.ContainsFunc(n.flavours, func(o flavour) bool { return o.Name == c.Name }):
			return
		case c.Watch:
			f.Wanted = "at most " + pen.Trim(c.Limit)
		case c.Target != nil:
			f.Wanted = pen.Trim(*c.Target) + " wanted"
		}
		n.flavours = append(n.flavours, f)
	}
	now, _ := a.ToScore() // in the order that was given
	for _, name := range now {
		add(a.Curve(name))
	}
	first, watch := a.TastingOrder()
	for _, c := range append(first, watch...) {
		add(c)
	}
	for i := range a.Curves {
		add(&a.Curves[i])
	}
	if !n.Bottled { // else what is in the glass is the drink
		n.Mix.Of, n.Mix.Ratio = steep.Sample(a, style)
	}
	if n.Mix.Ratio == "" {
		n.Mix.How = worksheet.Thinning(a)
	}
	k := len(a.Batch.Tastings) - 1
	switch jar, other, err := quantity.ParseRatio(n.Mix.Ratio); {
	case n.Mix.Ratio == "" && !a.TooStrong(), k >= 0 && a.Batch.Tastings[k].SampleOther == 0:
		n.last = neat
	case k >= 0 && err == nil:
		if t := &a.Batch.Tastings[k]; math.Abs(t.SampleOther*jar-other*t.SampleJar) < 0.01*t.SampleJar*other {
			n.last = n.Mix.Ratio
		}
	}
}

// bottles are the choices of the forms that open and empty one.
func (n *answers) bottles(all batch.Bottles) {
	for i := range all.List {
		x := &all.List[i]
		name := fmt.Sprintf("bottle %d", x.Number)
		if x.Of != nil {
			name += ", " + x.Of.String()
		}
		switch {
		case x.Sealed():
			n.Sealed = append(n.Sealed, button{Value: strconv.Itoa(x.Number), Label: name})
		case x.Emptied == nil:
			name += ", which is open"
		}
		if x.Emptied == nil {
			n.Left = append(n.Left, button{Value: strconv.Itoa(x.Number), Label: name, On: x.Opened != nil})
		}
	}
	n.MayEnd = all.Emptied == nil && (!all.Counted || len(n.Left) > 0)
	n.MayOpen = n.MayEnd && (!all.Counted || len(n.Sealed) > 0)
	n.Left = append(n.Left, button{Value: allOfIt, Label: "all of it", On: len(n.Left) == 0})
}

// batchPage is the page of a batch.
type batchPage struct {
	frame
	*answers
	Address string
	Taster  string
	Ticket  string
	Form    form // what was typed, where it is shown again
	Done    *logged
	Problem string
	Faults  faults // by act and field: "taste-at"
	Paste   string // what could not be written
	Again   bool   // it is asked whether it is to be logged all the same
}

// In is a field of an act.
func (p *batchPage) In(act, field string) input {
	name := act + "-" + field
	return input{fieldID(name), field, p.Form.Of(act, field), p.Faults.of(name)}
}

// part is what the form of one act needs.
type part struct {
	Ticket string
	When   input
	Again  bool
}

// Of is the part of an act.
func (p *batchPage) Of(act string) part {
	return part{p.Ticket, p.In(act, "at"), p.Again && p.Form.Act == act}
}

// Open reports whether the form of an act was sent and is shown again.
func (p *batchPage) Open(act string) bool {
	return p.Form.Act == act || p.Form.Act == "" && p.Next != "" && act == string(p.glance.Due.Kind)
}

// scoreRow is the buttons of one flavour.
type scoreRow struct {
	flavour
	Buttons []button
	Half    bool
	In      input
}

// button is one choice of several.
type button struct {
	Value, Label string
	On           bool
}

// mostScore is the end of the scale.
const mostScore = 10

// Scores are the rows of buttons as they were left, "" for what was not tasted; what was sent of a
// flavour that the batch does not call so any more is among them.
func (p *batchPage) Scores() []scoreRow {
	flavours := slices.Clone(p.flavours)
	for _, name := range p.Form.under("taste", "score:", "half:") {
		known := slices.ContainsFunc(flavours, func(f flavour) bool { return f.Name == name })
		if !known && name == pen.Clean(name) { // else no page has sent it
			flavours = append(flavours, flavour{name, "by another name now, or none"})
		}
	}
	rows := make([]scoreRow, len(flavours))
	for i, f := range flavours {
		sent := p.Form.Of("taste", "score:"+f.Name)
		rows[i] = scoreRow{flavour: f, In: p.In("taste", "score:"+f.Name),
			Half:    p.Form.Of("taste", "half:"+f.Name) != "",
			Buttons: []button{{On: sent == ""}}}
		for n := range mostScore + 1 {
			v := strconv.Itoa(n)
			rows[i].Buttons = append(rows[i].Buttons, button{Value: v, On: v == sent})
		}
	}
	return rows
}

// Samples are the ways to mix what is tasted. Where it is not tasted neat as it is, nothing is
// chosen before somebody has: a wrong guess would spoil every score.
func (p *batchPage) Samples() []button {
	sent := p.Form.Of("taste", "sample")
	if p.Form.Act != "taste" {
		sent = p.last
	}
	from := "neat from the jar"
	if p.Bottled {
		from = "neat from the bottle"
	}
	all := []button{{neat, from, sent == neat}, {otherMix, anotherMix, sent == otherMix}}
	if p.Mix.Ratio == "" {
		return all
	}
	return append([]button{{p.Mix.Ratio, p.Mix.Of, sent == p.Mix.Ratio}}, all...)
}

// The values of a sample that is not written as a ratio.
const (
	neat     = "neat"
	otherMix = "other"
)

// anotherMix is what otherMix is called on the page.
const anotherMix = "another mix"

// form is what was typed into a form, as its page shows it again.
type form struct {
	Act string
	url.Values
}

// Is reports whether a field of an act was sent with that value.
func (f form) Is(act, field, value string) bool {
	return f.Act == act && slices.Contains(f.Values[field], value)
}

// Of is what was sent in a field of an act.
func (f form) Of(act, field string) string {
	if f.Act != act {
		return ""
	}
	return f.Get(field)
}

// under is fields.under of an act.
func (f form) under(act string, prefixes ...string) []string {
	if f.Act != act {
		return nil
	}
	return fieldsOf(f.Values).under(prefixes...)
}

func (s *server) batch(w http.ResponseWriter, r *http.Request) {
	st, j, bad := s.jar(r)
	p := batchPage{}
	name := r.PathValue("name") + ".toml"
	p.Taster = taster(r)
	if id := r.URL.Query().Get("typed"); id != "" {
		if what, ok := s.typed.get(id, address(name)); ok {
			p = what.(batchPage)
		} else {
			p.Problem = forgotten
		}
	}
	if bad != nil {
		s.keep(w, bad, address(name)+"/"+p.Form.Act, p.Form.Values)
		return
	}
	if said, ok := s.tickets.said(r.URL.Query().Get("done")); ok {
		p.Done = said.asOf(j.Batch, st.Version(name)[0], st.Now)
	}
	s.showBatch(w, st, j, &p)
}

// showBatch writes the page of a batch with what p has already.
func (s *server) showBatch(w http.ResponseWriter, st *book.Standing, j *book.Jar, p *batchPage) {
	a, err := s.answered(st, j)
	if err != nil {
		name := filepath.Base(j.Path)
		s.keep(w, &trouble{http.StatusUnprocessableEntity,
			"This batch cannot be answered: " + s.sentence(name, err)},
			address(name)+"/"+p.Form.Act, p.Form.Values)
		return
	}
	p.answers = a
	p.Title, p.Address, p.Ticket = a.name, address(filepath.Base(j.Path)), s.tickets.issue()
	s.page(w, http.StatusOK, "batch", p)
}

// taster is who tasted from this browser last.
func taster(r *http.Request) string {
	c, err := r.Cookie(tasterCookie)
	if err != nil {
		return ""
	}
	name, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return name
}
