package cli

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/vary"
	"steepbook/cmd/internal/view/newbatch"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// withFrom are the flags of new that go with --from.
var withFrom = []string{"from", "change", "split", "name", "start"}

// variation writes the next variation of a batch, or of a split jar both halves.
func variation(c *cli.Context, path string) error {
	for _, f := range c.Command.Flags {
		if name := f.Names()[0]; c.IsSet(name) && !slices.Contains(withFrom, name) {
			return usagef(c, "--%s does not go with --from, which takes the recipe as it is; change one thing of "+
				"it with --change \"clove: 6 pieces\"", name)
		}
	}
	from, changes := c.String("from"), c.StringSlice("change")
	switch {
	case from == "":
		return usagef(c, "--change and --split are of a batch: add --from orange.toml")
	case len(changes) == 0:
		return usagef(c, "say what changes, like --change \"clove: 6 pieces\"; to make it again as it is: "+
			"steepbook scale %s --to x1 %s", from, path)
	case len(changes) > 1:
		return usagef(c, "%s", vary.ErrTwoChanges)
	}
	s, err := open(c, from)
	if err != nil {
		return err
	}
	made, went, err := vary.AsMade(s.Batch)
	if err != nil {
		return asInput(err)
	}
	s.Batch = made
	change, err := vary.Read(s.Batch, s.Library, changes[0])
	if err != nil {
		return usagef(c, "--change: %s", err)
	}
	weighed, err := change.Weighed(s.Batch, s.Library)
	if err != nil {
		return asInput(err)
	}
	q := vary.Question{From: filepath.Base(from), To: path, Name: strings.TrimSpace(c.String("name"))}
	was, err := s.Judged(bench.Question{})
	if err != nil {
		return asInput(err)
	}
	q.Keeps = was.Blend.Keeps(was.Batch)
	if q.Start, err = startOf(c, s.Now, s.Units); err != nil {
		return err
	}
	text, err := vary.Text(s.Batch, change, q)
	if err != nil {
		return asInput(err)
	}
	out := newbatch.Varied{Of: s.Batch.Name, Keeps: q.Keeps, Change: change, Files: []string{path}, With: from,
		Went: went, Weighed: weighed}
	next := &book.Jar{Path: path, Library: s.Library, House: s.House, Now: q.Start}
	if next.Batch, err = batch.Parse(path, text, time.Local); err != nil {
		return asInput(err)
	}
	a, err := next.Steeped()
	if err != nil {
		return asInput(err)
	}
	if c.Bool("split") {
		return split(c, s, a, out, q)
	}
	if err := create(path, text); err != nil {
		return asInput(err)
	}
	return actNow(due.MustAct(a), newbatch.Variation(page(c, s.Units), &out, a))
}

// split writes both halves of a split jar: the control and the changed one, each of half
// the size; both or none.
func split(c *cli.Context, s *session, changed *bench.Assessment, out newbatch.Varied,
	q vary.Question,
) error {
	control, err := s.Judged(bench.Question{})
	if err != nil {
		return asInput(err)
	}
	base := strings.TrimSuffix(q.To, filepath.Ext(q.To))
	halves := []*bench.Assessment{control, changed}
	out.Files = []string{base + "-control.toml", base + "-changed.toml"}
	texts, read := make([][]byte, 2), make([]*batch.Batch, 2)
	for i, a := range halves {
		half, err := scale.To(a, s.Library, scale.Question{Size: scale.Size{Factor: 0.5, Text: "x0.5"},
			From: q.From, To: out.Files[i], Start: q.Start})
		if err != nil {
			return asInput(err)
		}
		texts[i], read[i] = half.Text, half.Batch
		for _, x := range half.Amounts {
			if i == 0 && math.Abs(x.Error) > quantity.CloseEnough {
				out.Off = append(out.Off, fmt.Sprintf("%s of %s (%+.0f~%%)", x.New.Text, x.Name, 100*x.Error))
			}
		}
	}
	if err := out.Change.Only(read[0], read[1]); err != nil {
		return asInput(err)
	}
	for _, f := range out.Files {
		if err := roomFor(f); err != nil {
			return err
		}
	}
	for i, f := range out.Files {
		if err := create(f, texts[i]); err != nil {
			return asInput(fmt.Errorf("of the two halves %d were written: %w", i, err))
		}
	}
	out.With, out.Change = "", out.Change.Between(read[0], read[1])
	return actNow(due.MustAct(changed), newbatch.Variation(page(c, s.Units), &out, changed))
}
