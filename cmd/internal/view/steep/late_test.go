package steep

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/library"
)

// TestOneRuleForLate: what is said to be late is overdue, in the row of a flavour, in JSON, in the book and by the
// status of the answer; the row of the book is late where one of its flavours is, and by the longest.
func TestOneRuleForLate(t *testing.T) {
	late, pulls := 0, 0
	for number := range somejar.Either[uint64](20, 40) {
		j := somejar.New(number)
		for _, hours := range somejar.Either([]time.Duration{0, 5, 240}, []time.Duration{0, 2, 5, 24, 240}) {
			now := somejar.Time(j.Now).Add(hours * time.Hour)
			a, err := bench.Read(somejar.Parse(t, j.String()), library.Builtin(), bench.Question{Now: now})
			if err != nil {
				t.Fatal(err)
			}
			g, err := due.Look(a)
			if err != nil {
				t.Fatal(err)
			}
			if a.Unfit() || g.Stage != due.Steeping || len(g.Acts) == 0 {
				continue
			}
			any := false
			for _, row := range Screen(a, pen.Style{}).Rows {
				c := a.Curve(row[0])
				said, over := strings.Contains(row[len(row)-1], " late"), due.Overdue(g.Acts, c)
				if any = any || over; said && !over {
					t.Errorf("jar %d at %v: %v is not overdue", number, now, row)
				}
			}
			if any != g.Due.Overdue || any != g.MustAct() || any != due.MustAct(a) {
				t.Errorf("jar %d at %v: overdue %v, the book %v, the status %v", number, now, any, g.Due.Overdue, due.MustAct(a))
			}
			for i := range g.Acts {
				d, most := &g.Acts[i], time.Duration(0)
				for _, name := range d.What {
					own := d.Of(name)
					most = max(most, own.Late(now))
				}
				if said := nextact.Late(d, now); d.Late(now) != most || (said != "") != (most > 0) || most > 0 && !d.Overdue {
					t.Errorf("jar %d at %v: %v%s, %v, overdue %v", number, now, d.What, said, most, d.Overdue)
				}
				if most > 0 {
					if late++; d.Kind != due.Taste {
						pulls++
					}
				}
			}
		}
	}
	if late < 20 || pulls < 5 {
		t.Errorf("only %d were late, %d to pull", late, pulls)
	}
}
