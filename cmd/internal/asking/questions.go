package asking

import (
	"fmt"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/names"
	"steepbook/data/quantity"
)

// text asks for what stands in the file as it is typed.
func text(asked string, of func(d *batch.Draft) *string, next state) *question {
	return &question{text: asked, next: next, skip: next, take: func(d *batch.Draft, text string) error {
		*of(d) = text
		return nil
	}}
}

// missing is text, unless it stands there already.
func missing(d *batch.Draft, asked string, of func(d *batch.Draft) *string, next state) *question {
	if *of(d) != "" {
		return next(d)
	}
	return text(asked, of, next)
}

// last is the last of a list.
func last[T any](list []T) *T { return &list[len(list)-1] }

func (t *Talk) name(d *batch.Draft) *question {
	return text(fmt.Sprintf("What is it called? (Enter: %s)", d.Name),
		func(d *batch.Draft) *string { return &d.Name }, t.spirit)
}

func (t *Talk) spirit(*batch.Draft) *question {
	return &question{text: "Which spirit does it steep in? (grape brandy; Enter: none)", next: t.strength,
		skip: t.botanical, take: func(d *batch.Draft, text string) error {
			if err := batch.MeasureOnly(text, "say which spirit first, like grape brandy"); err != nil {
				return err
			}
			d.Spirits = []batch.DraftSpirit{batch.ParseDraftSpirit(text)}
			return nil
		}}
}

func (t *Talk) strength(d *batch.Draft) *question {
	if s := last(d.Spirits); s.ABV != "" || s.Said {
		return t.poured(d)
	}
	return &question{text: "How strong is it? (57, or 114 proof; it is on the label)", next: t.poured, skip: t.poured,
		take: func(d *batch.Draft, text string) error { return last(d.Spirits).Strong(text) }}
}

func (t *Talk) poured(d *batch.Draft) *question {
	return missing(d, "How much of it? (700~ml)",
		func(d *batch.Draft) *string { return &last(d.Spirits).Amount }, t.botanical)
}

func (t *Talk) botanical(d *batch.Draft) *question {
	asked := "What steeps in it? (orange zest; Enter: nothing)"
	if len(d.Botanicals) > 0 {
		asked = "What else steeps in it? (Enter: nothing)"
	}
	skip := t.watch
	if len(d.Botanicals) == 0 {
		skip = t.addition
	}
	return &question{text: asked, next: t.cut, skip: skip, take: func(d *batch.Draft, text string) error {
		b, err := batch.ParseDraftBotanical(text)
		d.Botanicals = append(d.Botanicals, b)
		return err
	}}
}

func (t *Talk) cut(d *batch.Draft) *question {
	if last(d.Botanicals).Cut != "" {
		return t.weight(d)
	}
	return &question{text: fmt.Sprintf("What cut of the %s? (whole, crushed, fine zest; Enter: not known)",
		last(d.Botanicals).Name), next: t.weight, skip: t.weight,
		take: func(d *batch.Draft, text string) error {
			last(d.Botanicals).Cut = text
			return batch.NameOnly(text, "say how it is cut, like crushed; how much is asked next")
		}}
}

func (t *Talk) weight(d *batch.Draft) *question {
	return missing(d, fmt.Sprintf("How much of the %s? (24~g, 8 pieces, zest of 3; weigh it if you can)",
		last(d.Botanicals).Name),
		func(d *batch.Draft) *string { return &last(d.Botanicals).Amount }, t.wanted)
}

func (t *Talk) wanted(d *batch.Draft) *question {
	if last(d.Botanicals).Target != "" {
		return t.botanical(d)
	}
	return &question{text: fmt.Sprintf("How strong should the %s taste in the bottle, 0 to 10? (6 leads, 3 stays behind; "+
		"Enter: all it gives)", last(d.Botanicals).Name),
		next: t.botanical, skip: t.botanical, take: func(d *batch.Draft, text string) error {
			b, err := batch.ParseDraftBotanical("x @ " + strings.Replace(text, ",", ".", 1))
			last(d.Botanicals).Target = b.Target
			return err
		}}
}

func (t *Talk) watch(d *batch.Draft) *question {
	asked := "Is there a taste you do not want? (bitter; Enter: no)"
	if len(d.Watches) > 0 {
		asked = "Another taste you do not want? (Enter: no)"
	}
	q := &question{text: asked, skip: t.addition}
	q.take = func(d *batch.Draft, text string) error {
		if q.next = t.limit; strings.Contains(text, "=") {
			q.next = t.brings
		} else {
			text += "=2"
		}
		w, err := batch.ParseDraftWatch(text)
		d.Watches = append(d.Watches, w)
		return err
	}
	return q
}

func (t *Talk) limit(*batch.Draft) *question {
	return &question{text: "How much of it is still fine, 0 to 10? (Enter: 2)", next: t.brings,
		skip: t.brings,
		take: func(d *batch.Draft, text string) error {
			w, err := batch.ParseDraftWatch(last(d.Watches).Name + "=" + strings.Replace(text, ",", ".", 1))
			last(d.Watches).Limit = w.Limit
			return err
		}}
}

func (t *Talk) brings(d *batch.Draft) *question {
	if len(d.Botanicals) < 2 {
		return t.watch(d)
	}
	var steep []string
	for _, b := range d.Botanicals {
		steep = append(steep, b.Name)
	}
	return &question{text: fmt.Sprintf("What brings it? (%s; Enter: any of them)", strings.Join(steep, ", ")),
		next: t.watch,
		skip: t.watch, take: func(d *batch.Draft, text string) error {
			from := last(d.Watches)
			from.From = nil
			for part := range strings.SplitSeq(text, ",") {
				for one := range strings.SplitSeq(part, " and ") {
					name, err := meant(steep, strings.TrimSpace(one))
					if err != nil {
						return err
					}
					from.From = append(from.From, name)
				}
			}
			return nil
		}}
}

// meant is the one of the known names that was typed.
func meant(known []string, typed string) (string, error) {
	switch found := names.Pick(typed, names.Begun, known); len(found) {
	case 0:
		return "", fmt.Errorf("%q is not one thing that steeps; write %s", typed, quantity.Or(known))
	case 1:
		return found[0], nil
	default:
		return "", names.Between(typed, found)
	}
}

func (t *Talk) addition(d *batch.Draft) *question {
	asked := "What goes in after straining? (demerara sugar; Enter: nothing)"
	if len(d.Additions) > 0 {
		asked = "What else goes in? (Enter: nothing)"
	}
	skip := t.press
	if len(d.Botanicals) == 0 {
		skip = t.bottle
	}
	return &question{text: asked, next: t.added, skip: skip, take: func(d *batch.Draft, text string) error {
		a, err := batch.ParseDraftAddition(text)
		if _, amount := quantity.ParseAmount(text); err != nil && amount == nil {
			return fmt.Errorf("%q is how much; say what it is first", text)
		} else if err != nil {
			a = batch.DraftAddition{Name: text}
		}
		d.Additions = append(d.Additions, a)
		return nil
	}}
}

func (t *Talk) added(d *batch.Draft) *question {
	return missing(d, fmt.Sprintf("How much of the %s? (320~g, 150~ml)", last(d.Additions).Name),
		func(d *batch.Draft) *string { return &last(d.Additions).Amount }, t.addition)
}

func (t *Talk) press(*batch.Draft) *question {
	return &question{text: "Will you press what is strained, or let it drip? (press, drip; Enter: not known)", next: t.room,
		skip: t.room, take: func(d *batch.Draft, text string) error {
			switch word := strings.ToLower(text); {
			case strings.HasPrefix(word, "press") || strings.HasPrefix(word, "squeez"):
				d.Press = "true"
			case strings.HasPrefix(word, "drip"):
				d.Press = "false"
			default:
				return fmt.Errorf("%q is neither; write press or drip", text)
			}
			return nil
		}}
}

func (t *Talk) room(*batch.Draft) *question {
	return text("How warm is it where the jar stands? (20~C; Enter: not known)",
		func(d *batch.Draft) *string { return &d.Room }, t.bottle)
}

func (t *Talk) bottle(*batch.Draft) *question {
	return text("How large are the bottles? (250~ml)", func(d *batch.Draft) *string { return &d.Bottle },
		t.store)
}

func (t *Talk) store(*batch.Draft) *question {
	return text("Where will they stand? (fridge, cellar, room, freezer)", func(d *batch.Draft) *string { return &d.Store },
		t.ready)
}

func (t *Talk) ready(*batch.Draft) *question {
	return &question{text: "Is it a gift, or for a day? By when must it be ready? (20 Dec; Enter: no day)", next: nothing,
		skip: nothing, take: func(d *batch.Draft, text string) (err error) {
			d.Ready, err = t.Moment(text)
			return err
		}}
}

func nothing(*batch.Draft) *question { return nil }

// summary is the batch as it was understood.
func (t *Talk) summary(d *batch.Draft) string {
	lines := []string{"", d.Name}
	put := func(head string, parts ...string) {
		var said []string
		for _, p := range parts {
			if p != "" {
				said = append(said, p)
			}
		}
		if len(said) > 0 {
			lines = append(lines, fmt.Sprintf("  %-12s %s", head, strings.Join(said, ", ")))
		}
	}
	with := func(word, text string) string {
		if text == "" {
			return ""
		}
		return word + text
	}
	for _, s := range d.Spirits {
		strong := with("", s.ABV)
		if strong != "" {
			strong += " %"
		}
		put("in", s.Name, strong, s.Amount)
	}
	for _, b := range d.Botanicals {
		put("steeps", b.Name, b.Cut, b.Amount, with("wanted at ", b.Target))
	}
	for _, w := range d.Watches {
		put("not wanted", w.Name, "at most "+w.Limit, with("from ", quantity.And(w.From)))
	}
	for _, a := range d.Additions {
		put("goes in", a.Name, a.Amount)
	}
	put("strained", map[string]string{"true": "pressed", "false": "left to drip"}[d.Press])
	put("steeps at", d.Room)
	put("bottles", d.Bottle)
	put("stands", d.Store)
	put("ready by", d.Ready)
	put("measures", map[string]string{"us": "US", "metric": "metric"}[d.Units])
	return strings.Join(lines, "\n")
}
