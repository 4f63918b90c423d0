package web

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"steepbook/cmd/internal/book"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// act is one kind of entry that a page can make: what it is called where its time is
// refused, and how its form is read; at is that time as the file has it. The error is faults
// or a *strict.Error.
type act struct {
	what string
	read func(f *fields, j *book.Jar, at string) (batch.Entry, error)
}

var acts = map[string]act{
	"taste": {"tasting", readTasting},
	"pull": {"pull", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		names := f.all("name")
		if len(names) == 0 {
			return nil, wrong("name", "Tick what came out of the jar.")
		}
		return batch.NewPull{Names: names, At: at}, nil
	}},
	"strain": {"straining", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		return batch.NewStraining{At: at, Volume: f.get("volume")}, nil
	}},
	"bottle": {"bottling", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		if strings.TrimSpace(f.sent.Get("bottles")+f.sent.Get("of")+f.sent.Get("volume")) == "" {
			return nil, wrong("bottles", "Say how many bottles were filled and of which size, such as 5 x 250~ml.")
		}
		all, err := batch.ParseBottlings(f.get("bottles"), f.get("volume"), at)
		if err != nil { // whatever its size
			f.get("of")
			return nil, wrong("bottles", quantity.Sentence(err.Error()))
		}
		all[0].Of = f.either(all[0].Of, "of")
		return all, nil
	}},
	"open": {"opening", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		n, err := count(f, "bottle", "number of a bottle")
		return batch.NewOpening{Bottle: n, At: at}, err
	}},
	"empty": {"emptying", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		if f.choice("bottle", allOfIt) != "" {
			return batch.NewEmptying{At: at}, nil
		}
		n, err := count(f, "bottle", "number of a bottle")
		if err == nil && n == 0 {
			err = wrong("bottle", "Say which bottle is empty, or that all of it is gone.")
		}
		return batch.NewEmptying{Bottle: n, At: at}, err
	}},
	"add": {"addition", readAdded},
	"note": {"note", func(f *fields, _ *book.Jar, at string) (batch.Entry, error) {
		what := f.get("what")
		if what == "" {
			return nil, wrong("what", "The note is empty.")
		}
		return batch.NewNote{What: what, At: at}, nil
	}},
}

// allOfIt is the choice of a form for every bottle that is left.
const allOfIt = "all"

// readAdded reads what went in; without an amount it is all that was planned of it.
func readAdded(f *fields, j *book.Jar, at string) (batch.Entry, error) {
	number, err := count(f, "bottle", "number of a bottle")
	if err != nil {
		return nil, err
	}
	x := batch.NewAdded{Name: f.get("name"), At: at, Into: f.get("into"), Bottle: number}
	planned := slices.ContainsFunc(j.Batch.Additions, func(a batch.Addition) bool { return a.Name == x.Name })
	if d, err := batch.ParseDraftAddition(x.Name); err == nil && !planned {
		x.Name, x.Amount = d.Name, d.Amount
	}
	x.Amount = f.either(x.Amount, "amount")
	if x.Name == "" {
		return nil, wrong("name", "Say what went in.")
	}
	if x.Amount == "" {
		name, err := j.Batch.Adding(x.Name)
		if err != nil {
			return nil, err
		}
		if x.Amount, err = j.Rest(name); err != nil {
			return nil, err
		}
		if x.Amount == "" {
			return nil, wrong("amount", fmt.Sprintf("Say how much of the %s went in, such as 100~g.", name))
		}
	}
	return x, nil
}

// count reads a whole number of a field; "" is 0.
func count(f *fields, field, what string) (int, error) {
	text := f.get(field)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 100000 {
		return 0, wrong(field, fmt.Sprintf("%q is no %s.", text, what))
	}
	return n, nil
}

// readTasting reads the rows of buttons: score:NAME is a whole number, half:NAME adds half
// a point.
func readTasting(f *fields, j *book.Jar, at string) (batch.Entry, error) {
	var bad faults
	t := batch.NewTasting{At: at, Sample: f.get("sample"), Taster: f.get("taster"), Words: f.text("words")}
	switch t.Sample {
	case otherMix:
		if t.Sample = f.get("other"); t.Sample == "" {
			bad = append(bad, fault{"other", "Say how the sample was mixed, jar first, such as 1:3."})
		}
	default:
		f.unless("other", "other", "Tick %q too if it was mixed %q, else empty this.", anotherMix,
			f.sent.Get("other"))
		if t.Sample == neat {
			t.Sample = ""
		}
	}
	for _, name := range scored(f, j.Batch) {
		x, err := readScore(f, j.Batch, name)
		if err != nil {
			bad = append(bad, fault{"score:" + name, quantity.Sentence(onForm(err.Error()))})
		}
		t.Scores = append(t.Scores, x)
	}
	if len(t.Scores) == 0 && len(bad) == 0 {
		bad = append(bad, fault{"", "Nothing is scored yet: tap a number for what you tasted."})
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return t, nil
}

// scored are the names that a form gives a number or half a point, in the order of the batch;
// what it does not know of those comes last.
func scored(f *fields, b *batch.Batch) []string {
	var known []string
	for _, x := range b.Botanicals {
		known = append(known, x.Name)
	}
	for _, x := range b.Watches {
		known = append(known, x.Name)
	}
	sent := f.under("score:", "half:")
	place := func(name string) int { return slices.Index(append(known, name), name) }
	sort.SliceStable(sent, func(i, j int) bool { return place(sent[i]) < place(sent[j]) })
	return sent
}

// readScore reads the row of buttons of a flavour, which may be called otherwise by now. The error
// is a clause.
func readScore(f *fields, b *batch.Batch, name string) (x batch.Score, err error) {
	text, half := f.get("score:"+name), f.get("half:"+name) != ""
	if x.Name, err = b.Taste(name); err != nil {
		return x, err
	}
	x.Value, err = strconv.ParseFloat(text, 64)
	switch {
	case text == "":
		return x, fmt.Errorf("tap a number for the %s too: half a point alone is no score", x.Name)
	case err != nil || x.Value != x.Value:
		return x, fmt.Errorf("%q is no score of the %s", text, x.Name)
	case half && x.Value+0.5 > mostScore:
		return x, fmt.Errorf("10 is the most that the %s can score; take the half point off", x.Name)
	case half:
		x.Value += 0.5
	}
	return x, nil
}
