package records

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

var (
	vienna = mustLoad("Europe/Vienna")
	later  = time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC)
)

func mustLoad(name string) *time.Location {
	loc, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return loc
}

func csvOf(t testing.TB, batches ...*batch.Batch) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, Tastings(batches, vienna)); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// quoted is a text as TOML has it.
func quoted(s string) string {
	b, _ := json.Marshal(s) // a string always encodes; TOML shares these escapes
	return string(b)
}

// hostileBatch is a batch whose names, tasters and words are what CSV and spreadsheets
// trip over; ok is false where the file may not hold them.
func hostileBatch(t *rapid.T) (head, log string) {
	names := rapid.SliceOfNDistinct(rapid.OneOf(
		rapid.SampledFrom([]string{"=1+1", "'=1+1", "-mint", "@clove", "a, b", "a;b", `a "b"`, "苦味"}),
		rapid.StringMatching(`[a-z'=+;,"-]{1,8}`)), 1, 3, strings.ToLower).Draw(t, "names")
	head = "name = \"Hostile\"\nstarted = 2026-03-28T18:00:00\n"
	for _, n := range names {
		head += "[[botanical]]\nname = " + quoted(n) + "\n"
	}
	for range rapid.IntRange(0, 6).Draw(t, "tastings") {
		at := rapid.OneOf(
			rapid.Map(rapid.Float64Range(0, 1e4), func(h float64) string { return quoted(fmt.Sprintf("%.9f h", h)) }),
			rapid.SampledFrom([]string{`"6 h"`, `"6 h"`, "2026-03-29T03:30:00", "2026-10-25T02:30:00",
				"2026-10-25T02:30:00+01:00", "2026-10-25T02:30:00.25Z", `"29 Mar 2026 8 pm"`}),
		).Draw(t, "at")
		log += "[[tasting]]\nat = " + at + "\nscore = { "
		for i, n := range names {
			if i == 0 || rapid.Bool().Draw(t, "scored") {
				log += fmt.Sprintf("%s = %v, ", quoted(n), rapid.SampledFrom([]float64{0, 1, 3.5, 3.3333, 10}).Draw(t, "score"))
			}
		}
		log = strings.TrimSuffix(log, ", ") + " }\n"
		for _, key := range []string{"taster", "words"} {
			if text := strings.ToValidUTF8(hostile().Draw(t, key), ""); rapid.Bool().Draw(t, "has "+key) {
				log += key + " = " + quoted(text) + "\n"
			}
		}
		if rapid.Bool().Draw(t, "thinned") {
			log += "sample = " + rapid.SampledFrom([]string{`"1:3"`, `"25:22.5"`, `"neat"`, `"1 : 0"`}).Draw(t, "sample") + "\n"
		}
	}
	return head, log
}

// TestRoundTripOfTastings: what is exported, imported into the batch without its
// tastings and exported again is the same, byte for byte; and importing it once more
// adds nothing.
func TestRoundTripOfTastings(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		var head, log string
		if rapid.Bool().Draw(t, "a usual jar") {
			j := somejar.New(rapid.Uint64().Draw(t, "jar"))
			for _, table := range j.Tables() {
				if strings.HasPrefix(table, "[[tasting]]") {
					log += table
				} else {
					head += table
				}
			}
			head = j.Head() + head
		} else {
			head, log = hostileBatch(t)
		}
		whole, err := batch.Parse("b.toml", []byte(head+log), vienna)
		if err != nil {
			t.Skip(err) // the file may not hold it
		}
		want := csvFor(t, whole)
		file := filepath.Join(dir, "b.toml")
		if err := os.WriteFile(file, []byte(head), 0o644); err != nil {
			t.Fatal(err)
		}
		for again := range 2 {
			sheet, err := ReadTastings("t.csv", []byte(want))
			if err != nil {
				t.Fatalf("%v\n%q", err, want)
			}
			added := 0
			err = batch.AppendAgain(file, batch.NewTastings(func(b *batch.Batch) ([]batch.NewTasting, error) {
				add, err := sheet.Into(b, vienna, later)
				if err != nil {
					return nil, err
				}
				added = len(add.Tastings)
				return add.Tastings, nil
			}), vienna)
			if err != nil {
				t.Fatalf("%v\n%s", err, want)
			}
			if again == 1 && added > 0 {
				t.Fatalf("imported again it adds %d tastings", added)
			}
		}
		after, err := batch.Read(file, vienna)
		if err != nil {
			t.Fatal(err)
		}
		if got := csvFor(t, after); got != want {
			t.Fatalf("exported\n%s\nimported and exported\n%s", want, got)
		}
	})
}

func csvFor(t *rapid.T, b *batch.Batch) string {
	var out bytes.Buffer
	if err := Write(&out, Tastings([]*batch.Batch{b}, vienna)); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

const plain = `name = "Orange"
started = 2026-11-20T18:00:00
[[botanical]]
name = "orange zest"
[[botanical]]
name = "green cardamom"
[[watch]]
name = "bitter"
limit = 2
[[tasting]]
at = "6 h"
taster = "B"
score = { "orange zest" = 3.5, bitter = 0 }
`

func plainBatch(t testing.TB) *batch.Batch {
	t.Helper()
	b, err := batch.Parse("orange.toml", []byte(plain), vienna)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestWhatIsExported(t *testing.T) {
	want := "batch,at,hours,taster,sample,flavour,score,words\r\n" +
		"orange.toml,2026-11-21T00:00:00+01:00,6,B,,orange zest,3.5,\r\n" +
		"orange.toml,2026-11-21T00:00:00+01:00,6,B,,bitter,0,\r\n"
	if got := csvOf(t, plainBatch(t)); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}

// TestWhatSpreadsheetsMakeOfIt: other columns, other marks, a decimal comma, hours alone,
// a sample taken for a time of the day.
func TestWhatSpreadsheetsMakeOfIt(t *testing.T) {
	b := plainBatch(t)
	for _, c := range []struct{ name, src, want string }{
		{"semicolons and commas", "\uFEFFat;flavour;score\r\n21.11.2026 08:00;zest;4,5\r\n",
			"[{2026-11-21T08:00:00    [{orange zest 4.5}]}] 1 0 0"},
		{"hours", "hours,flavor,score,who\n7.5,bitter,1,A\n7.5,cardamom,2,A\n",
			"[{7.5 h  A  [{bitter 1} {green cardamom 2}]}] 2 0 0"},
		{"a sample as a clock", "at,sample,taste,score\n8 h,01:03:00,zest,4\n9 h,1:0,zest,4\n",
			"[{8 h 1:3   [{orange zest 4}]} {9 h    [{orange zest 4}]}] 2 0 0"},
		{"there already", "at,taster,flavour,score\n2026-11-21T00:00,B,zest,3.5\n2026-11-21T00:00,B,bitter,1\n",
			"[{2026-11-21T00:00:00  B  [{bitter 1}]}] 1 1 0"},
		{"scattered rows of one tasting", "at,flavour,score\n8 h,zest,4\n9 h,zest,5\n8 h,bitter,1\n8 h,zest,4.5\n",
			"[{8 h    [{orange zest 4} {bitter 1}]} {9 h    [{orange zest 5}]} {8 h    [{orange zest 4.5}]}] 4 0 0"},
		{"of several batches", "batch,at,flavour,score\norange.toml,8 h,zest,4\nlime.toml,8 h,mint,4\n",
			"[{8 h    [{orange zest 4}]}] 1 0 1"},
		{"of one batch of another name", "batch,at,flavour,score\ncopy.toml,8 h,zest,4\n",
			"[{8 h    [{orange zest 4}]}] 1 0 0"},
		{"dates and a clock that others beside them explain", "at,flavour,score\n11/21/2026 8:00,zest,4\n11/20/2026 20:30,zest,3\n12/1/2026 9:15,zest,5\n",
			"[{2026-11-21T08:00:00    [{orange zest 4}]} {2026-11-20T20:30:00    [{orange zest 3}]} {2026-12-01T09:15:00    [{orange zest 5}]}] 3 0 0"},
		{"a day and a time in columns of their own", "Date,Time,Flavor,Score\n11/21/2026,8:00 AM,zest,4\n11/20/2026,8:30 PM,zest,3\n",
			"[{2026-11-21T08:00:00    [{orange zest 4}]} {2026-11-20T20:30:00    [{orange zest 3}]}] 2 0 0"},
		{"no rows", "at,flavour,score\n", "[] 0 0 0"},
	} {
		sheet, err := ReadTastings("t.csv", []byte(c.src))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		add, err := sheet.Into(b, vienna, later)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := fmt.Sprint(add.Tastings, add.Scores, add.There, add.Others); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestBadRows are named by their line, with what is right.
func TestBadRows(t *testing.T) {
	b := plainBatch(t)
	now := b.Started.Add(48 * time.Hour)
	for _, c := range []struct{ src, want string }{
		{"", "t.csv: the file is empty"},
		{"at,flavour\n", `t.csv:1: the first line names no column "score"`},
		{"at,flavour,scroe\n8 h,zest,4\n", `is "scroe" meant?`},
		{"at,at,flavour,score\n", "\"at\" and \"at\" say the same; keep one"},
		{"Date,when,flavour,score\n", "\"Date\" and \"when\" say the same; keep one"},
		{"date,flavour,score\n2026-11-21,zest,4\n", "write the hour too"},
		{"time,flavour,score\n9:00 PM,zest,4\n", "date"},
		{"at,flavour,score\n8 h,zest,4\n8 h,zets,4\n", `t.csv:3: "zets" is no botanical or watch of this batch`},
		{"at,flavour,score\n8 h,zest,11\n", "t.csv:2: \"11\" is no score from 0 (absent) to 10"},
		{"at,flavour,score\n8 h,zest,NaN\n", "is no score"},
		{"at,flavour,score\n8 h,zest,\n", "is no score"},
		{"at,flavour,score\nsoon,zest,4\n", `t.csv:2: "soon" is no moment`},
		{"at,flavour,score\nyesterday,zest,4\n", "t.csv:2"},
		{"at,flavour,score\n2026-11-21,zest,4\n", "write the hour too"},
		{"at,flavour,score\n2026-11-20T17:00,zest,4\n", "before the batch started"},
		{"at,flavour,score\n49 h,zest,4\n", "has not been tasted yet"},
		{"hours,flavour,score\n,zest,4\n", "does not say when"},
		{"at,flavour,score,sample\n8 h,zest,4,half\n", "t.csv:2"},
		{"batch,at,flavour,score\na.toml,8 h,zest,4\nc.toml,8 h,zest,4\n", "a.toml and c.toml and none of orange.toml"},
	} {
		sheet, err := ReadTastings("t.csv", []byte(c.src))
		if err == nil {
			_, err = sheet.Into(b, vienna, now)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.src, err, c.want)
		}
	}
}
