package sheet

import (
	"errors"
	"html/template"
	"io"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/picture"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/view/working"
	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/cores"
)

// page is everything of a batch, for the template "page.html".
type page struct {
	Head                Head
	Name, Heading, AsOf string
	Danger              []string
	Steep               *pen.Screen // nil where nothing steeps: then Lead is what is next
	Lead                string
	Work                Work
	Curves              []template.HTML
	Blend, Keep         pen.Screen
	Allergens           string
	Map                 template.HTML
	Cautions            []string
	Recipe, Log         pen.Screen
	Working             []pen.Piece
}

// Page writes all that is known of a batch as one page that needs nothing else: to read on
// the phone, and to print. Its errors are those of the steep and of writing.
func Page(w io.Writer, a *bench.Assessment, lib *library.Library, style pen.Style) error {
	a.Judge()
	lines, err := worksheet.Work(a, style)
	if err != nil {
		return err
	}
	say := func(text string) string { return quantity.Say(text, style.Units) }
	p := page{
		Head: Head{Title: title(a.Batch.Name)}, Name: a.Batch.Name, Heading: say(worksheet.Heading(a, style)),
		AsOf: say(view.Clock(a.Now)), Work: InOrder(lines, style.Units),
		Blend: bottle.BlendScreen(a, nil, style), Keep: bottle.KeepScreen(a, style),
		Allergens: bottle.Allergens(a),
		Recipe:    worksheet.Recipe(a).Said(style.Units), Log: logbook.Entries(a).Said(style.Units),
	}
	for _, c := range bottle.Cautions(a) {
		p.Cautions = append(p.Cautions, say(c))
	}
	if _, out := a.Strained(); len(a.Curves) > 0 && (!out || a.Unfit()) {
		s := steep.Screen(a, style)
		p.Steep = &s
	} else if p.Lead = view.HasRested(a); p.Lead == "" && len(p.Work.Open) > 0 {
		p.Lead = p.Work.Open[0].Sentence()
	}
	for _, s := range []*pen.Screen{p.Steep, &p.Keep, &p.Blend} {
		if s != nil {
			p.Danger = s.Above(p.Danger)
		}
	}
	if err := p.draw(a, style.Units); err != nil {
		return err
	}
	p.Working, err = view.Gathered(style, func(on *pen.Page) error { return working.Print(on, a, lib, true) })
	if err != nil {
		return err
	}
	return Templates().ExecuteTemplate(w, "page.html", p)
}

// title is a name as the title of a window holds it.
func title(name string) string { return pen.Clip(name, 50) }

// mostPanels is how many flavours one picture holds, so that it fits a sheet.
const mostPanels = 5

// draw adds the pictures: what steeps, and where it keeps, drawn side by side.
func (p *page) draw(a *bench.Assessment, units quantity.System) error {
	if a.Unfit() {
		return nil // nothing of it is told but that
	}
	var faults [2]error
	cores.Each(2, func(i int) {
		if i == 0 {
			faults[0] = p.drawCurves(a, units)
		} else {
			faults[1] = p.drawMap(a)
		}
	})
	return errors.Join(faults[:]...)
}

func (p *page) drawCurves(a *bench.Assessment, units quantity.System) error {
	for _, e := range picture.Charts(a, mostPanels) {
		e.Title, e.Subtitle, e.US = "", "", units == quantity.US
		svg, err := Picture(e)
		if err != nil {
			return err
		}
		p.Curves = append(p.Curves, svg)
	}
	return nil
}

func (p *page) drawMap(a *bench.Assessment) error {
	m, ok := picture.KeepingMap(a)
	if !ok {
		return nil
	}
	m.Title = ""
	svg, err := Picture(m)
	p.Map = svg
	return err
}
