package library

import (
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// rateRow is a line of tables/rates.csv.
type rateRow struct {
	cell   string // its rows of tables/maker-times.csv
	own    bool   // those are about this plant, not about its like
	rate   Number
	gsd    float64
	makers int
	early  Number
	firstH float64
}

// habits is the source of what makers do and nobody measured.
const habits = "steeping-habits"

// MakerTime is one time that a maker or a publication gives for a cut.
type MakerTime struct {
	Kind                TimeKind
	LowH, HighH         float64 // as told, h
	ABVPercent, Celsius float64
	DoseRatio           float64 // times the usual dose
	Weight              float64 // 1 for a practitioner, less for weaker witnesses
	Source              string  // key of a Source
	Grade               Grade   // Practice, or Derived for a publication
	Note                string
}

// TimeKind says what happened at the time.
type TimeKind string

// The kinds of times.
const (
	Tasted   TimeKind = "tasted"    // tasted and found right
	Strained TimeKind = "strained"  // strained; tasting is not mentioned
	Habit    TimeKind = "habit"     // a round week, month or forty days
	TooLong  TimeKind = "too long"  // too long by then
	Noticed  TimeKind = "noticed"   // only just noticed
	Printed  TimeKind = "published" // 80 % of the strength by taste, worked out from a publication
)

// TimeKinds lists the kinds of times.
func TimeKinds() []TimeKind { return []TimeKind{Tasted, Strained, Habit, TooLong, Noticed, Printed} }

// MakerTimes are the times known for a cut.
type MakerTimes struct {
	Own   bool     // about the botanical of the cut, not about its like
	Of    []string // the botanicals they are about where that is not the one of the cut alone
	Times []MakerTime
}

// MakerTimes returns what makers did with a cut and what is published of it;
// there are no times for a cut that is not in the built-in library.
func (l *Library) MakerTimes(c *Cut) (MakerTimes, error) {
	row, ok, err := l.tables.rates.of(c)
	if err != nil || !ok {
		return MakerTimes{}, err
	}
	times, err := l.tables.times()
	if err != nil {
		return MakerTimes{}, err
	}
	m := MakerTimes{Own: row.own, Times: times[row.cell]}
	for b := range l.tables.rates.lines().of {
		rows, err := l.tables.rates.rows(b)
		if err != nil {
			return MakerTimes{}, err
		}
		for _, r := range rows {
			if r.cell == row.cell && r.own && !slices.Contains(m.Of, b) {
				m.Of = append(m.Of, b)
			}
		}
	}
	slices.Sort(m.Of)
	if row.own && len(m.Of) == 1 {
		m.Of = nil
	}
	return m, nil
}

// rated gives a built-in cut its line of tables/rates.csv.
func (l *Library) rated(c *Cut) error {
	row, ok, err := l.tables.rates.of(c)
	if err != nil {
		return err
	}
	if !ok {
		return fmt.Errorf("data/tables/rates.csv has no line for %s, %s", c.Botanical, c.Name)
	}
	c.RatePerH, c.RateGSD, c.Makers, c.EarlyShare, c.FirstTasteH = row.rate, row.gsd, row.makers, row.early, row.firstH
	return nil
}

// rateTable is tables/rates.csv, of which the lines of a botanical are read when it
// is first wanted.
type rateTable struct {
	lines func() byFirst
	read  sync.Map // botanical -> func() (map[string]rateRow, error)
}

// byFirst is a table as written: the line that names the columns, and the lines
// that begin with each first cell.
type byFirst struct {
	head string
	of   map[string]string
}

func newRateTable(files fs.FS) *rateTable {
	return &rateTable{lines: sync.OnceValue(func() byFirst {
		out := byFirst{of: map[string]string{}}
		for line := range strings.Lines(textOf(files, rateFile)) {
			switch first, _, _ := strings.Cut(line, ","); {
			case line[0] == '#':
			case out.head == "":
				out.head = line
			default:
				out.of[first] += line
			}
		}
		return out
	})}
}

const rateFile = "tables/rates.csv"

// of is the row of a cut.
func (t *rateTable) of(c *Cut) (row rateRow, ok bool, err error) {
	rows, err := t.rows(c.Botanical)
	row, ok = rows[c.Name]
	return row, ok, err
}

// rows are those of a botanical, by cut.
func (t *rateTable) rows(botanical string) (map[string]rateRow, error) {
	read, ok := t.read.Load(botanical)
	if !ok {
		read, _ = t.read.LoadOrStore(botanical, sync.OnceValues(func() (map[string]rateRow, error) {
			text := t.lines()
			return readRates(text.head + text.of[botanical])
		}))
	}
	return read.(func() (map[string]rateRow, error))()
}

func readRates(text string) (map[string]rateRow, error) {
	m := map[string]rateRow{}
	err := eachRowOf(rateFile, strings.NewReader(text), func(r *csvRow) {
		row := rateRow{
			cell: r.text("cell"), own: r.text("times_of") == "own",
			gsd: r.number("gsd"), makers: int(r.number("makers")), firstH: r.number("first_tasting_h"),
			rate:  Number{Value: r.number("rate_per_h"), Source: r.text("source"), Grade: Grade(r.text("grade")), Note: r.text("note")},
			early: Number{Value: r.number("early_share"), Source: r.text("early_source"), Grade: Grade(r.text("early_grade"))},
		}
		// Half to 1.7 times the share: a judgement, as the shares are.
		row.early.Low, row.early.High = row.early.Value/2, min(row.early.Value*1.7, 1)
		if _, twice := m[r.text("cut")]; twice {
			r.fail("%s, %s is written twice", r.text("botanical"), r.text("cut"))
		}
		if !(row.rate.Value > 0) || !(row.gsd > 1) || !(row.firstH > 0) || !row.rate.Grade.valid() || !row.early.Grade.valid() {
			r.fail("a line needs a rate, a spread above 1, a first tasting and known grades")
		}
		m[r.text("cut")] = row
	})
	return m, err
}

func readTimes(files fs.FS) (map[string][]MakerTime, error) {
	m := map[string][]MakerTime{}
	err := eachRow(files, "tables/maker-times.csv", func(r *csvRow) {
		t := MakerTime{
			Kind: TimeKind(r.text("kind")), LowH: r.number("low_h"), HighH: r.number("high_h"), ABVPercent: r.number("abv"), Celsius: r.number("celsius"),
			DoseRatio: r.number("dose_ratio"), Weight: r.number("weight"), Source: r.text("source"), Grade: Practice, Note: r.text("note"),
		}
		if t.Source != habits {
			t.Grade = Derived
		}
		if !slices.Contains(TimeKinds(), t.Kind) || !(t.LowH > 0) || t.HighH < t.LowH || !(t.DoseRatio > 0) || !(t.Weight > 0) {
			r.fail("a line needs a known kind, rising times, a dose and a weight above 0")
		}
		m[r.text("cell")] = append(m[r.text("cell")], t)
	})
	return m, err
}

// csvRow is one line of a table; its first fault is kept.
type csvRow struct {
	columns map[string]int
	fields  []string
	err     error
}

func (r *csvRow) text(column string) string {
	i, ok := r.columns[column]
	if !ok {
		r.fail("there is no column %q", column)
		return ""
	}
	return r.fields[i]
}

func (r *csvRow) number(column string) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil || !finite(v) {
		r.fail("%s wants a number, not %q", column, r.text(column))
	}
	return v
}

func (r *csvRow) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}

// eachRow reads an embedded table: lines that begin with # say what it is, the
// first other line names the columns.
func eachRow(files fs.FS, name string, read func(*csvRow)) error {
	f, err := files.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	return eachRowOf(name, f, read)
}

func eachRowOf(name string, f io.Reader, read func(*csvRow)) error {
	c := csv.NewReader(f)
	c.Comment = '#'
	head, err := c.Read()
	if err != nil {
		return fmt.Errorf("data/%s: %w", name, err)
	}
	columns := map[string]int{}
	for i, h := range head {
		columns[h] = i
	}
	rows, err := c.ReadAll()
	if err != nil {
		return fmt.Errorf("data/%s: %w", name, err)
	}
	for _, fields := range rows {
		r := &csvRow{columns: columns, fields: fields}
		read(r)
		if r.err != nil {
			return fmt.Errorf("data/%s: %s: %w", name, strings.Join(fields[:2], ", "), r.err)
		}
	}
	return nil
}

// dustWords are the words of a cut's name that say it cannot be picked out of a
// jar by hand.
var dustWords = []string{"ground", "powder", "powdered", "grated", "fine zest"}

// isDust reports whether a cut is one that only straining through a cloth or
// filter takes out again.
func isDust(cut string) bool {
	have := words(cut)
	return slices.ContainsFunc(dustWords, func(d string) bool {
		for _, w := range words(d) {
			if !slices.Contains(have, w) {
				return false
			}
		}
		return true
	})
}
