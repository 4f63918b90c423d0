package batch

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

func place(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Skipf("this machine does not know %s: %v", name, err)
	}
	return loc
}

const whole = `# The second try, with a finer zest.
name    = "Winter orange cordial"
started = 2026-11-20T18:00:00
room    = "68 F"
units   = "us"

[spirit]
name   = "grape brandy"
abv    = 57
amount = "700 ml"
price  = 24.50

[[botanical]]
name   = "blood orange zest"
cut    = "fine zest"
amount = "24 g"
target = 6
lot    = "bought Nov 2026, bright"

[[botanical]]
name   = "Green cardamom"
amount = "8-10 pieces"
target = 3
in     = "2 h"
leave_in = true

[[botanical]]
name   = "ginger, late"
like   = "ginger"
amount = "1 1/2 tbsp"
in     = 2026-11-21T06:00:00

[[watch]]
name   = "bitter"
limit  = 2
from   = ["blood orange zest"]

[[addition]]
name   = "demerara sugar"
amount = "320 g"
[[addition]]
name   = "blood orange juice"
amount = "juice of 2"
ph     = 3.6
acid   = "1.2 g/100 ml"
brix   = 11.5
heated = true
[[addition]]
name   = "white rum"
amount = "2 oz"
proof  = 126

[finish]
press    = true
filtered = true
bottle   = "250 ml"
store    = "38 F"
at       = "5 d"

[measured]
ph     = 3.4
volume = "1.05 l"
sugar  = "280 g/l"
acid   = "9 g/l"

[[tasting]]
at     = "6 h"
sample = "1:3"
taster = "B"
score  = { "blood orange zest" = 3.5, "green cardamom" = 2, bitter = 0 }
words  = "bright, thin"

[[tasting]]
at     = 2026-11-21T14:00
score  = { BITTER = 1 }

[[pulled]]
name   = "green cardamom"
at     = "20 h"
`

func float(v float64) *float64 { return &v }

func amount(t testing.TB, s string) *quantity.Amount {
	t.Helper()
	a, err := quantity.ParseAmount(s)
	if err != nil {
		t.Fatal(err)
	}
	return &a
}

func TestParse(t *testing.T) {
	loc := place(t, "Europe/Berlin")
	got, err := Parse("winter.toml", []byte(whole), loc)
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2026, 11, 20, 18, 0, 0, 0, loc)
	fahrenheit := 38.0
	fridge := (fahrenheit - 32) / 1.8
	yes := true
	want := &Batch{
		File: "winter.toml", Doc: got.Doc, Name: "Winter orange cordial", Started: start, RoomC: float(20), Units: quantity.US,
		Spirits: []Spirit{{Name: "grape brandy", ABVPercent: float(57), Amount: amount(t, "700 ml"), Price: float(24.5)}},
		Botanicals: []Botanical{
			{Name: "blood orange zest", Cut: "fine zest", Amount: amount(t, "24 g"), Target: float(6), Lot: "bought Nov 2026, bright"},
			{Name: "Green cardamom", Amount: amount(t, "8-10 pieces"), Target: float(3), In: 2, LeaveIn: true, Index: 1},
			{Name: "ginger, late", Like: "ginger", Amount: amount(t, "1 1/2 tbsp"), In: 12, Index: 2},
		},
		Watches: []Watch{{Name: "bitter", Limit: 2, From: []string{"blood orange zest"}}},
		Additions: []Addition{
			{Name: "demerara sugar", Amount: amount(t, "320 g")},
			{Name: "blood orange juice", Amount: amount(t, "juice of 2"), PH: float(3.6), AcidGPer100ML: float(1.2), Brix: float(11.5), Heated: true, Index: 1},
			{Name: "white rum", Amount: amount(t, "2 oz"), ABVPercent: float(63), Index: 2},
		},
		Finish:   Finish{Press: &yes, Filtered: true, Bottle: amount(t, "250 ml"), StoreC: &fridge, Strained: &Stage{120, start.Add(120 * time.Hour), "at"}},
		Measured: Measured{PH: float(3.4), VolumeML: float(1050), SugarGPerL: float(280), AcidGPerL: float(9)},
		Logged: Logged{Tastings: []Tasting{
			{Hours: 6, When: start.Add(6 * time.Hour), SampleJar: 1, SampleOther: 3, Taster: "B", Words: "bright, thin",
				Scores: []Score{{"blood orange zest", 3.5}, {"Green cardamom", 2}, {"bitter", 0}}},
			{Hours: 20, When: start.Add(20 * time.Hour), SampleJar: 1, Scores: []Score{{"bitter", 1}}, Index: 1},
		},
			Pulls: []Pull{{Name: "Green cardamom", Hours: 20, When: start.Add(20 * time.Hour)}}},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if p := got.OutAt(&got.Botanicals[1]); p == nil || p.Hours != 20 {
		t.Errorf("OutAt gives %+v", p)
	}
	if h := got.Hours(got.At(33.5)); h != 33.5 {
		t.Errorf("33.5 h after the start is %g h after the start", h)
	}
	if tastes := got.tastes(); !reflect.DeepEqual(tastes, []string{"blood orange zest", "Green cardamom", "ginger, late", "bitter"}) {
		t.Errorf("Tastes gives %q", tastes)
	}
	e := got.Errorf([]any{"tasting", 0, "score", "bitter"}, "", "a remark")
	if e.Error() != "winter.toml:70: a remark" {
		t.Error(e)
	}
}

// TestLittle: only name and started are required.
func TestLittle(t *testing.T) {
	b, err := Parse("w.toml", []byte("name = \"x\"\nstarted = 2026-11-20"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if !b.StartedDateOnly || !b.Started.Equal(time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("started %v, date only %v", b.Started, b.StartedDateOnly)
	}
	b.Doc = nil
	want := &Batch{File: "w.toml", Name: "x", Started: b.Started, StartedDateOnly: true}
	if !reflect.DeepEqual(b, want) {
		t.Errorf("got  %+v\nwant %+v", b, want)
	}
}

// TestSpirits: one spirit as a table, two as a list, and their order.
func TestSpirits(t *testing.T) {
	b, err := Parse("w.toml", []byte("name = \"x\"\nunits = \"us\"\nstarted = 2026-11-20\n[[spirit]]\nname = \"white rum\"\namount = \"8 fl oz\"\nabv = \"40 %\"\n"+
		"[[spirit]]\nname = \"overproof rum\"\namount = \"60 g\"\nabv = \"151 proof\"\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	want := []Spirit{
		{Name: "white rum", ABVPercent: float(40), Amount: amount(t, "8 fl oz")},
		{Name: "overproof rum", ABVPercent: float(75.5), Amount: amount(t, "60 g"), Index: 1},
	}
	if !reflect.DeepEqual(b.Spirits, want) {
		t.Errorf("got  %+v\nwant %+v", b.Spirits, want)
	}
}

// TestInline: the short forms of TOML mean the same, and faults in them have
// their line.
func TestInline(t *testing.T) {
	const src = "name = \"x\"\nstarted = 2026-11-20\nspirit = { name = \"rum\", abv = 40 }\nbotanical = [\n  { name = \"a\", amount = \"3 g\" },\n  { name = \"b\" },\n]\n"
	b, err := Parse("w.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Spirits) != 1 || *b.Spirits[0].ABVPercent != 40 || len(b.Botanicals) != 2 || b.Botanicals[1].Name != "b" {
		t.Errorf("%+v", b)
	}
	for _, c := range []struct{ old, new, want string }{
		{"abv = 40", "abv = 140", "w.toml:3: "}, {"3 g", "3 gx", "w.toml:5: "}, {`"b"`, `"A"`, "w.toml:6: "}, {`name = "b"`, `nmae = "b"`, `w.toml:6: unknown key "nmae" in these braces; did you mean "name"?`},
	} {
		if _, err := Parse("w.toml", []byte(strings.Replace(src, c.old, c.new, 1)), time.UTC); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.new, err, c.want)
		}
	}
}

// What a faulty batch begins with.
const (
	head      = "name = \"x\"\nstarted = 2026-11-20T18:00:00\n" // two lines
	headOfTwo = head + "[[botanical]]\nname = \"green cardamom\"\n[[botanical]]\nname = \"blood orange zest\"\nin = \"10 h\"\n[[watch]]\nname = \"bitter\"\nlimit = 2\n"
)

var faultCases = []struct{ name, src, want string }{
	{"empty", "", `w.toml: the file is empty; a batch has at least a name and the time it started; e.g. name = "Winter orange cordial"`},
	{"only remarks", "# to do\n\n", `w.toml: the file is empty; a batch has at least a name and the time it started; e.g. name = "Winter orange cordial"`},
	{"a letter", "Dear reader,\nI made this", `w.toml:1: "Dear reader," is not a line of the form name = value; put # before a remark; e.g. name = "Winter cordial"`},
	{"a picture", "\xff\xd8\xff\xe0\x00\x10JFIF", `w.toml: the file holds binary data, not text; is it the right file?`},
	{"a long line", head + "[[botanical]]\nname = \"" + strings.Repeat("x", 100000) + "\"\n", `w.toml:4: a name has at most 120 letters; put the rest into a remark after #`},
	{"a name of two lines", "name = \"\"\"a\nb\"\"\"\nstarted = 2026-11-20", `w.toml:1: a name cannot hold a line break or another control character`},

	{"no name", "started = 2026-11-20", `w.toml: the batch has no name; e.g. name = "Winter orange cordial"`},
	{"blank name", "name = \" \"\nstarted = 2026-11-20", `w.toml:1: the batch has no name; e.g. name = "Winter orange cordial"`},
	{"no start", "name = \"x\"", `w.toml: the file does not say when the batch started; e.g. started = 2026-11-20T18:00:00`},
	{"start without a date", "name = \"x\"\nstarted = 18:00:00", `w.toml:2: the time 18:00 has no date; e.g. started = 2026-11-20T18:00:00`},
	{"start in words", "name = \"x\"\nstarted = \"Friday\"", `w.toml:2: "Friday" is another day whenever the file is read; write the date; e.g. started = 2026-11-20T18:00:00`},
	{"start as a number", "name = \"x\"\nstarted = 2026", `w.toml:2: "started" should be a date and time; e.g. started = 2026-11-20T18:00:00`},
	{"start in another age", "name = \"x\"\nstarted = 0206-11-20", `w.toml:2: the year in "0206-11-20" is not between 1900 and 2200; e.g. started = 2026-11-20T18:00:00`},

	{"room without scale", head + "room = 20", `w.toml:3: the temperature "20" has no scale; write 20 C or 20 F; e.g. room = "20 C"`},
	{"room as text without scale", head + "room = \"68\"", `w.toml:3: the temperature "68" has no scale; write 68 C or 68 F; e.g. room = "68 F"`},
	{"room in kelvin", head + "room = \"293 K\"", `w.toml:3: the temperature "293 K" is in kelvin; write C or F; e.g. room = "20 C"`},
	{"room too hot", head + "room = \"120 C\"", `w.toml:3: nothing steeps at 120 °C; e.g. room = "20 C"`},
	{"room as a list", head + "room = [20]", `w.toml:3: "room" should be a temperature in quotation marks; e.g. room = "20 C"`},
	{"units", head + "units = \"imperial\"", `w.toml:3: units is "imperial", but it can only be metric or us; e.g. units = "us"`},
	{"units empty", head + "units = \"\"", `w.toml:3: units is empty; it is metric or us; e.g. units = "metric"`},

	{"unknown key", head + "[[botanical]]\nname = \"a\"\namuont = \"24 g\"", `w.toml:5: unknown key "amuont" in [[botanical]]; did you mean "amount"? e.g. amount = "24 g"`},
	{"key after a block", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitter = 1 }\nroom = \"20 C\"", `w.toml:14: unknown key "room" in [[tasting]]; it belongs at the top, above the first line in brackets; e.g. room = "20 C"`},
	{"duplicate key", head + "name = \"y\"", `w.toml:3: "name" is given twice, first on line 1; keep one`},
	{"single brackets", head + "[botanical]\nname = \"a\"\n", `w.toml:3: [botanical] can be there several times, so it is written with double brackets: [[botanical]]`},
	{"two spirits in single brackets", head + "[spirit]\nabv = 40\n[spirit]\nabv = 50", `w.toml:5: the table [spirit] is written twice, first on line 3; for several write [[spirit]] before each`},

	{"unknown unit", head + "[[botanical]]\nname = \"a\"\namount = \"24 gx\"", `w.toml:5: unknown unit "gx" in "24 gx"; did you mean "g"? e.g. amount = "24 g"`},
	{"amount without quotation marks", head + "[[botanical]]\nname = \"a\"\namount = 24 g", `w.toml:5: "24 g" is text and needs quotation marks; e.g. amount = "24 g"`},
	{"amount as a number", head + "[[botanical]]\nname = \"a\"\namount = 24", `w.toml:5: "amount" should be a text in quotation marks, not a number; e.g. amount = "24 g"`},
	{"negative amount", head + "[[addition]]\nname = \"a\"\namount = \"-3 g\"", `w.toml:5: the amount "-3 g" is negative; e.g. amount = "320 g"`},
	{"absurd amount", head + "[[addition]]\nname = \"a\"\namount = \"5000 kg\"", `w.toml:5: the amount "5000 kg" is more than 1000 kg or 1000 l; is the unit right? e.g. amount = "320 g"`},

	{"oz of spirit", head + "[spirit]\namount = \"8 oz\"", `w.toml:4: "8 oz" can be weight or volume; for a spirit write "8 fl oz", or "8 oz wt" if it was weighed; e.g. amount = "8 fl oz"`},
	{"fruit of spirit", head + "[spirit]\namount = \"2 limes\"", `w.toml:4: "2 limes" is a count; a spirit is measured by volume; e.g. amount = "700 ml"`},
	{"pints of spirit", head + "[spirit]\namount = \"2 pints\"", `w.toml:4: "2 pints" can be US or imperial: write "2 US pints" (473 ml each) or "2 imp pints" (568 ml each); e.g. amount = "2 US pints"`},
	{"dashes of spirit", head + "[spirit]\namount = \"3 dashes\"", `w.toml:4: "3 dashes" has no fixed size; a spirit is measured in ml, l, cups or fl oz; e.g. amount = "700 ml"`},
	{"abv above 100", head + "[spirit]\nabv = 140", `w.toml:4: a strength of 140 % vol is more than pure alcohol; did you mean proof = 140 (70 % vol)? e.g. proof = 140`},
	{"abv far above 100", head + "[spirit]\nabv = 1400", `w.toml:4: a strength runs from 0 to 100 % vol, not "1400"; e.g. abv = 57`},
	{"abv negative", head + "[spirit]\nabv = -5", `w.toml:4: a strength runs from 0 to 100 % vol, not "-5"; e.g. abv = 57`},
	{"abv nan", head + "[spirit]\nabv = nan", `w.toml:4: the strength is not a number; e.g. abv = 57`},
	{"abv as a fraction", head + "[spirit]\nabv = 0.57", `w.toml:4: abv is in per cent, so 0.57 is all but no alcohol; did you mean 57? e.g. abv = 57`},
	{"abv in words", head + "[spirit]\nabv = \"strong\"", `w.toml:4: "strong" is not a strength in % vol; e.g. abv = 57`},
	{"abv true", head + "[spirit]\nabv = true", `w.toml:4: abv should be a number, the % vol; e.g. abv = 57`},
	{"abv and proof", head + "[spirit]\nabv = 57\nproof = 114", `w.toml:5: both abv and proof are given; keep one, proof is twice abv`},
	{"proof above 200", head + "[spirit]\nproof = 214", `w.toml:4: proof runs from 0 to 200, twice the % vol, not 214; e.g. proof = 114`},
	{"strength by another word", head + "[spirit]\nalcohol = 57", `w.toml:4: unknown key "alcohol" in [spirit]; did you mean "abv"? e.g. abv = 57`},
	{"price", head + "[spirit]\nprice = -1", `w.toml:4: a price is a number from 0 up to a million, not -1; e.g. price = 24.50`},

	{"botanical without name", head + "[[botanical]]\namount = \"24 g\"", `w.toml:3: this [[botanical]] has no name; e.g. name = "green cardamom"`},
	{"target", head + "[[botanical]]\nname = \"a\"\ntarget = 60", `w.toml:5: a target runs from 0 to 10, not 60; e.g. target = 6`},
	{"in before the start", head + "[[botanical]]\nname = \"a\"\nin = 2026-11-20T17:59:00", `w.toml:5: the time it went in is before the batch started (2026-11-20 18:00); e.g. in = "20 h"`},
	{"in months", head + "[[botanical]]\nname = \"a\"\nin = \"1 month\"", `w.toml:5: a month has no fixed length; write days or weeks; e.g. in = "20 h"`},
	{"in as a number", head + "[[botanical]]\nname = \"a\"\nin = 20", `w.toml:5: "in" should be a time since the start, in quotation marks, or a date and time; e.g. in = "20 h"`},
	{"two of a name", head + "[[botanical]]\nname = \"ginger\"\n[[botanical]]\nname = \"Ginger\"", `w.toml:6: two botanicals are called "Ginger" (first on line 4), so tastings could not tell them apart; give this one a name of its own and add like = "Ginger"; e.g. name = "Ginger, second charge"`},
	{"two cuts of a name", head + "[[botanical]]\nname = \"ginger\"\n[[botanical]]\nname = \"ginger\"\ncut = \"grated\"", `w.toml:6: two botanicals are called "ginger" (first on line 4), so tastings could not tell them apart; give this one a name of its own and add like = "ginger"; e.g. name = "ginger, grated"`},
	{"watch of a botanical's name", headOfTwo + "[[watch]]\nname = \"Green Cardamom\"\nlimit = 3", `w.toml:12: the watch "Green Cardamom" has the name of a botanical (line 4), so a score could be either; name the unwanted taste; e.g. name = "bitter Green Cardamom"`},
	{"two watches", headOfTwo + "[[watch]]\nname = \"bitter\"\nlimit = 3", `w.toml:12: two watches are called "bitter" (first on line 9); keep one`},
	{"watch without limit", head + "[[watch]]\nname = \"bitter\"", `w.toml:3: the watch "bitter" has no limit, the most of it that is tolerable; e.g. limit = 2`},
	{"watch limit", head + "[[watch]]\nname = \"bitter\"\nlimit = 12", `w.toml:5: a limit runs from 0 to 10, not 12; e.g. limit = 2`},
	{"watch from nowhere", headOfTwo + "[[watch]]\nname = \"grassy\"\nlimit = 1\nfrom = [\"green cardamim\"]", `w.toml:14: "green cardamim" is no botanical of this batch; did you mean "green cardamom" (line 4)?`},
	{"watch from a number", headOfTwo + "[[watch]]\nname = \"grassy\"\nlimit = 1\nfrom = 3", `w.toml:14: from should be names of botanicals; e.g. from = ["grapefruit peel"]`},

	{"addition without name", head + "[[addition]]\namount = \"24 g\"", `w.toml:3: this [[addition]] has no name; e.g. name = "demerara sugar"`},
	{"ph", head + "[[addition]]\nname = \"a\"\nph = 29", `w.toml:5: pH runs from 0 to 14, not 29; e.g. ph = 2.9`},
	{"acid without unit", head + "[[addition]]\nname = \"a\"\nacid = 6", `w.toml:5: acid needs its unit, g/l, g/100 ml or %, in quotation marks; e.g. acid = "6 g/100 ml"`},
	{"acid in another unit", head + "[[addition]]\nname = \"a\"\nacid = \"6 oz\"", `w.toml:5: "6 oz" is not a concentration in g/l, g/100 ml or %; e.g. acid = "6 g/100 ml"`},
	{"acid too much", head + "[[addition]]\nname = \"a\"\nacid = \"60 g/100 ml\"", `w.toml:5: acid goes up to 250 g/l, not 600 g/l; is the unit right? e.g. acid = "6 g/100 ml"`},
	{"brix", head + "[[addition]]\nname = \"a\"\nbrix = 166", `w.toml:5: Brix runs from 0 to 100, not 166; e.g. brix = 50`},

	{"bottle by weight", head + "[finish]\nbottle = \"250 g\"", `w.toml:4: "250 g" is a weight; a bottle is measured by volume; e.g. bottle = "250 ml"`},
	{"store misspelt", head + "[finish]\nstore = \"frige\"", `w.toml:4: store is "frige"; did you mean "fridge"? e.g. store = "fridge"`},
	{"store unknown", head + "[finish]\nstore = \"attic\"", `w.toml:4: store is "attic"; it is fridge, freezer, cellar, room or a temperature; e.g. store = "fridge"`},
	{"store empty", head + "[finish]\nstore = \"\"", `w.toml:4: store is empty; it is fridge, freezer, cellar, room or a temperature; e.g. store = "fridge"`},
	{"store without scale", head + "[finish]\nstore = \"4\"", `w.toml:4: the temperature "4" has no scale; write 4 C or 4 F; e.g. store = "4 C"`},
	{"store too hot", head + "[finish]\nstore = \"70 C\"", `w.toml:4: nothing is kept at 70 °C; e.g. store = "4 C"`},
	{"yes for true", head + "[finish]\npress = yes", `w.toml:4: "yes" is neither true nor false; write true for yes; e.g. press = true`},
	{"density in g/ml", head + "[measured]\ndensity = 1.085", `w.toml:4: density is in kg/m3, which is 1000 times g/ml; did you mean 1085? e.g. density = 1085`},
	{"density", head + "[measured]\ndensity = 3", `w.toml:4: density in kg/m3 runs from 780 to 1500, not 3; e.g. density = 1085`},
	{"yield by weight", head + "[measured]\nvolume = \"1 kg\"", `w.toml:4: "1 kg" is a weight; the yield is measured by volume; e.g. volume = "1.05 l"`},

	{"tasting without time", headOfTwo + "[[tasting]]\nscore = { bitter = 1 }", `w.toml:11: this [[tasting]] does not say when it was; e.g. at = "6 h"`},
	{"tasting before the start", headOfTwo + "[[tasting]]\nat = 2026-11-19T08:00:00\nscore = { bitter = 1 }", `w.toml:12: this tasting is before the batch started (2026-11-20 18:00); e.g. at = "6 h"`},
	{"tasting on the first day", headOfTwo + "[[tasting]]\nat = 2026-11-20\nscore = { bitter = 1 }", `w.toml:12: this tasting is given as a date alone, on the day the batch started; write the time too; e.g. at = 2026-11-21T00:00:00`},
	{"ph of no drink", head + "[measured]\nph = 0", `w.toml:4: the pH of a drink runs from 1 to 12, not 0; e.g. ph = 3.4`},
	{"tasting with a negative time", headOfTwo + "[[tasting]]\nat = \"-6 h\"\nscore = { bitter = 1 }", `w.toml:12: the duration "-6 h" is negative; e.g. at = "6 h"`},
	{"tasting without score", headOfTwo + "[[tasting]]\nat = \"6 h\"\nwords = \"nice\"", `w.toml:11: this tasting has no score; e.g. score = { bitter = 1, "green cardamom" = 3 }`},
	{"tasting with an empty score", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = {}", `w.toml:13: this tasting has no score; e.g. score = { bitter = 1, "green cardamom" = 3 }`},
	{"score above 10", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitter = 14 }\n[[tasting]]\nat = \"7 h\"\nscore = { bitter = 4 }", `w.toml:13: the score of "bitter" is 14; scores run from 0 (absent) to 10 (nothing else); e.g. "bitter" = 4`},
	{"score negative", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitter = -1 }", `w.toml:13: the score of "bitter" is -1; scores run from 0 (absent) to 10 (nothing else); e.g. "bitter" = 4`},
	{"score nan", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitter = nan }", `w.toml:13: "bitter" must be a finite number; e.g. score = { bitter = 1, "green cardamom" = 3 }`},
	{"score of a stranger", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitetr = 1 }", `w.toml:13: "bitetr" is no botanical or watch of this batch; did you mean "bitter" (line 9)?`},
	{"score of a part", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { zest = 1 }", `w.toml:13: "zest" is no botanical or watch of this batch; did you mean "blood orange zest" (line 6)?`},
	{"score of nothing near", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { vanilla = 1 }", `w.toml:13: "vanilla" is no botanical or watch of this batch; there are "green cardamom", "blood orange zest" and "bitter"`},
	{"score without names", head + "[[tasting]]\nat = \"6 h\"\nscore = { vanilla = 1 }", `w.toml:5: "vanilla" is no botanical or watch of this batch, which has none yet; declare it in [[botanical]] or [[watch]]`},
	{"score twice", headOfTwo + "[[tasting]]\nat = \"6 h\"\nscore = { bitter = 1, Bitter = 2 }", `w.toml:13: "bitter" has two scores in one tasting; keep one`},
	{"sample", headOfTwo + "[[tasting]]\nat = \"6 h\"\nsample = \"1/3\"\nscore = { bitter = 1 }", `w.toml:13: the sample "1/3" is not of the form jar:other, nor "neat"; e.g. sample = "1:3"`},

	{"pull of a stranger", headOfTwo + "[[pulled]]\nname = \"green cardomom\"\nat = \"3 h\"", `w.toml:12: "green cardomom" is no botanical of this batch; did you mean "green cardamom" (line 4)?`},
	{"pull of a watch", headOfTwo + "[[pulled]]\nname = \"Bitter\"\nat = \"3 h\"", `w.toml:12: "bitter" is a watch, a taste; only a botanical can be pulled`},
	{"pull without name", headOfTwo + "[[pulled]]\nat = \"3 h\"", `w.toml:11: this [[pulled]] does not name what came out; e.g. name = "green cardamom"`},
	{"pull without time", headOfTwo + "[[pulled]]\nname = \"green cardamom\"", `w.toml:11: this [[pulled]] does not say when it was; e.g. at = "20 h"`},
	{"pull before it went in", headOfTwo + "[[pulled]]\nname = \"blood orange zest\"\nat = \"3 h\"", `w.toml:13: "blood orange zest" is pulled 3 h after the start, before it went in at 10 h`},
}

// TestFaults is the list of things a batch file can have wrong, each with the
// whole sentence that the maker gets.
func TestFaults(t *testing.T) {
	for _, c := range faultCases {
		b, err := Parse("w.toml", []byte(c.src), time.UTC)
		var e *strict.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: %v, want a *strict.Error", c.name, err)
			continue
		}
		if b != nil {
			t.Errorf("%s: a batch beside an error", c.name)
		}
		if got := e.Error(); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// FuzzParse: nothing that a file can say panics or becomes NaN or infinite.
func FuzzParse(f *testing.F) {
	f.Add(whole)
	f.Add("name = \"x\"\nstarted = 2026-11-20\n[[tasting]]\nat = 2026-11-21\nscore = {}\n")
	f.Add("name=\"\\u0000\"\nstarted=\"2026-03-29 02:30\"\nroom='-0 F'\n[spirit]\nproof=1e-300\n")
	loc := place(f, "Europe/Berlin")
	f.Fuzz(func(t *testing.T, src string) {
		b, err := Parse("f", []byte(src), loc)
		if err != nil {
			var e *strict.Error
			if !errors.As(err, &e) || strings.ContainsAny(e.Error(), "\n\x00\x1b") {
				t.Fatalf("%q", err)
			}
			return
		}
		if b.Name == "" || b.Started.IsZero() {
			t.Fatalf("%+v", b)
		}
		if s := fmt.Sprintf("%+v", b.Tastings) + fmt.Sprintf("%+v", b.Pulls); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Fatal(s)
		}
		for _, x := range b.Tastings {
			if !(x.Hours >= 0) || math.IsInf(x.Hours, 0) || !(x.SampleJar > 0) || len(x.Scores) == 0 {
				t.Fatalf("%+v", x)
			}
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("w.toml", []byte(whole), time.UTC); err != nil {
			b.Fatal(err)
		}
	}
}

// TestTypos makes slips of one letter all over a whole file: letters left out,
// struck twice, swapped with their neighbours. Whatever is refused
// is refused in one sentence of ours that points at the line of the slip, or at
// the line that no longer agrees with it.
func TestTypos(t *testing.T) {
	refused, elsewhere := 0, 0
	slip := func(how string, at int, text string) {
		_, err := Parse("w.toml", []byte(text), time.UTC)
		if err == nil {
			return
		}
		refused++
		var e *strict.Error
		if !errors.As(err, &e) {
			t.Fatalf("%s at byte %d: %v is no *strict.Error", how, at, err)
		}
		line := 1 + strings.Count(whole[:at], "\n")
		sentence := e.Error()
		for _, foreign := range []string{"toml: line", "but got", "expected value", "expected a ", "type mismatch", "incompatible", "NaN", "%!"} {
			if strings.Contains(sentence, foreign) {
				t.Errorf("%s at byte %d (line %d): %s", how, at, line, sentence)
			}
		}
		if e.Line == line || strings.Contains(sentence, fmt.Sprintf("line %d)", line)) {
			return
		}
		elsewhere++
		if e.Line > 0 && e.Line < line {
			t.Errorf("%s at byte %d: line %d for a slip on line %d: %s", how, at, e.Line, line, sentence)
		}
	}
	for i := range len(whole) - 1 {
		switch i % 3 { // each kind at every third letter: all of them take too long with -race
		case 0:
			slip("a letter left out", i, whole[:i]+whole[i+1:])
		case 1:
			slip("a letter struck twice", i, whole[:i+1]+whole[i:])
		case 2:
			slip("neighbours swapped", i, whole[:i]+whole[i+1:i+2]+whole[i:i+1]+whole[i+2:])
		}
	}
	if refused < 600 || elsewhere*100 > refused {
		t.Errorf("%d slips were refused, %d of them on another line", refused, elsewhere)
	}
}

// TestLinesOfRecipes: the amount may stand in the name, and may say again what it is of
// and how it is prepared; what it counts must be what the line is of.
func TestLinesOfRecipes(t *testing.T) {
	for _, c := range []struct{ src, name, cut, amount string }{
		{"name = \"zest of 10 key limes\"", "key lime zest", "", "zest of 10"},
		{"name = \"1 vanilla bean, split\"", "vanilla bean", "split", "1 bean"},
		{"name = \"cinnamon\"\namount = \"2 sticks of cinnamon\"", "cinnamon", "", "2 sticks"},
		{"name = \"cinnamon\"\namount = \"2 sticks of cinnamon, broken\"", "cinnamon", "broken", "2 sticks"},
		{"name = \"ginger\"\namount = \"a 2-inch piece, peeled\"", "ginger", "peeled", "2 inches"},
		{"name = \"key lime zest\"\namount = \"zest of 10 key limes\"", "key lime zest", "", "zest of 10"},
		{"name = \"clove\"", "clove", "", ""},
		{"name = \"151 rum\"", "151 rum", "", ""},
	} {
		b, err := Parse("w.toml", []byte(head+"[[botanical]]\n"+c.src), time.UTC)
		if err != nil {
			t.Errorf("%q: %v", c.src, err)
			continue
		}
		got := b.Botanicals[0]
		amount := ""
		if got.Amount != nil {
			amount = got.Amount.String()
		}
		if got.Name != c.name || got.Cut != c.cut || amount != c.amount {
			t.Errorf("%q: %q, %q, %q; want %q, %q, %q", c.src, got.Name, got.Cut, amount, c.name, c.cut, c.amount)
		}
	}
	for src, want := range map[string]string{
		"[[botanical]]\nname = \"lemon zest\"\namount = \"3 limes\"":       `"3 limes" counts lime, and this is lemon zest`,
		"[[addition]]\nname = \"sugar\"\namount = \"1 cup of honey\"":      "more than an amount",
		"[[botanical]]\nname = \"ginger\"\namount = \"2 quarts\"":          `write "2 US quarts" (946 ml each) or "2 imp quarts" (1.14 l each)`,
		"[[addition]]\nname = \"water\"\namount = \"2 pints\"":             `write "2 US pints" (473 ml each) or "2 imp pints" (568 ml each)`,
		"[[addition]]\nname = \"water\"\namount = \"zest and juice of 1\"": "a line of its own",
	} {
		if _, err := Parse("w.toml", []byte(head+src), time.UTC); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", src, err, want)
		}
	}
	b, err := Parse("w.toml", []byte(head+"units = \"us\"\n[[addition]]\nname = \"water\"\namount = \"2 pints\"\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if _, ml, _, _ := b.Additions[0].Amount.Millilitres(); math.Abs(ml-946.353) > 0.001 {
		t.Errorf("two US pints are %g ml", ml)
	}
}
