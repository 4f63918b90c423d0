package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// clove is a batch of one botanical, which ends in a table where more may follow.
const clove = `name = "T"
started = 2026-11-20T18:00:00
[spirit]
name = "rum"
abv = 40
amount = "700 ml"
[[botanical]]
name = "clove"
amount = "2 g"
target = 4
[[addition]]
name = "white sugar"
amount = "100 g"
`

// TestHostileFiles: what cannot be meant is refused in one sentence that says why and names
// the line. A row is what is written in the place of what, the word of the sentence, and
// the line.
func TestHostileFiles(t *testing.T) {
	amount, target, started, name, end := `"2 g"`, "target = 4", "2026-11-20T18:00:00", `"clove"`, "\"100 g\"\n"
	log := func(text string) string { return end + text + "\n" }
	for _, c := range []struct{ instead, typed, want string }{
		{amount, `"-2 g"`, `9: the amount "-2 g" is negative`},
		{amount, `"0 g"`, `9: the amount "0 g" is zero`},
		{amount, `"1e400 g"`, `9: unknown unit "e400 g"`},
		{amount, `"NaN g"`, `9: the amount "NaN g" does not begin with a number`},
		{amount, `"∞ g"`, `9: the amount "∞ g" does not begin with a number`},
		{amount, `"2 furlongs"`, `9: unknown unit "furlongs"`},
		{amount, `"0x10 g"`, `9: unknown unit "x10 g"`},
		{amount, `"9999999999999999999999 kg"`, `9: the amount "9999999999999999999999 kg" is more than 1000 kg`},
		{amount, `"0.0000000000001 g"`, `less than any scale shows`},
		{amount, `"1/0 g"`, `9: the fraction 1/0 divides by zero`},
		{amount, `"2 g 3 g"`, `9: "2 g 3 g" holds two amounts`},
		{amount, `"2..5 g"`, `9: "2..5 g" has two numbers`},
		{amount, `"5 – 2 g"`, `9: the range in "5 – 2 g" runs downwards`},
		{amount, `"2 g\u001b[31m"`, `9: unknown unit "g\x1b[31m"`},
		{amount, `"\u202e2 g"`, `9: the amount "\u202e2 g" does not begin with a number`},
		{amount, `"` + strings.Repeat("9", 5000) + ` g"`, "too long for an amount"},
		{amount, `2`, `9: "amount" should be a text in quotation marks, not a number`},

		{target, "target = -1", "10: a target runs from 0 to 10, not -1"},
		{target, "target = 11", "10: a target runs from 0 to 10, not 11"},
		{target, "target = nan", `10: "target" must be a finite number`},
		{target, "target = -inf", `10: "target" must be a finite number`},
		{target, "target = 1e400", "10: this number is too large"},
		{target, "target = 1e-300", `10: "target" must be 0 or a number that can be measured`},
		{target, "target = ６", `10: "target" should be a number, not "６"`},
		{target, "target = 06", `10: "06" begins with a needless zero`},
		{target, "target = true", `10: "target" should be a number, not true or false`},
		{target, "target = [4]", `10: "target" should be a number, not a list`},
		{target, "target ＝ 4", "10: \"target ＝ 4\" is not a line of the form name = value"},
		{target, "price = 1e22", "10: a price is a number from 0 up to a million"},
		{target, "lot = \"" + strings.Repeat("x", 1<<20) + "\"", "10: lot has at most 20000 letters, and here are 1048576"},

		{started, "0000-01-01", `2: the year in "0000-01-01" is not between 1900 and 2200`},
		{started, "9999-12-31", `2: the year in "9999-12-31" is not between 1900 and 2200`},
		{started, "2026-02-30", "2: there is no such date or time"},
		{started, "2026-11-20T25:00:00", "2: there is no such date or time"},
		{started, "2026-11-20T18:00:00+99:00", "2: there is no such date or time"},
		{started, `"yesterday"`, `2: "yesterday" is another day whenever the file is read`},
		{started, `"1e9 h"`, `2: "1e9 h" is not a date and time`},
		{started, "12:00:00", "2: the time 12:00 has no date"},
		{started, "20261120", `2: "started" should be a date and time`},

		{name, `""`, "8: this [[botanical]] has no name"},
		{name, `"a\u001b[31mred"`, "8: a name cannot hold a line break or another control character"},
		{name, `"\u001b]0;title\u0007"`, "8: a name cannot hold a line break or another control character"},
		{name, `"a\rb"`, "8: a name cannot hold a line break or another control character"},
		{name, `"a\u202eb"`, "8: a name cannot hold characters that are not seen"},
		{name, `"a\u200bb"`, "8: a name cannot hold characters that are not seen"},
		{name, `"a\u200d"`, "8: a name cannot hold characters that are not seen"},
		{name, `"\ud800"`, "8: this escape is no character"},
		{name, `"` + strings.Repeat("x", 500) + `"`, "8: a name has at most 120 letters"},
		{name, `“clove”`, "8: a curly quotation mark"},
		{`"T"`, `"\u2066T"`, "1: a name cannot hold characters that are not seen"},

		{end, log("[[tasting]]\nat = \"-1 h\"\nscore = { clove = 3 }"), `15: the duration "-1 h" is negative`},
		{end, log("[[tasting]]\nat = \"1e9 h\"\nscore = { clove = 3 }"), `15: unknown unit of time "e" in "1e9 h"`},
		{end, log("[[tasting]]\nat = \"999999999 h\"\nscore = { clove = 3 }"), "is longer than 50 years"},
		{end, log("[[tasting]]\nat = 2026-11-19\nscore = { clove = 3 }"), "15: this tasting is before the batch started"},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = { clove = 11 }"), `16: the score of "clove" is 11; scores run from 0`},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = { clove = -1 }"), `16: the score of "clove" is -1; scores run from 0`},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = { clove = nan }"), `16: "clove" must be a finite number`},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = { clove = \"inf\" }"), `16: "clove" should be a number, not a text`},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = { clove = 1, Clove = 2 }"), `16: "clove" has two scores in one tasting`},
		{end, log("[[tasting]]\nat = \"6 h\"\nscore = {}"), "16: this tasting has no score"},
		{end, log("[[tasting]]\nat = \"6 h\"\nsample = \"0:0\"\nscore = { clove = 1 }"), `has nothing from the jar in it`},
		{end, log("[[tasting]]\nat = \"6 h\"\nsample = \"1:1e9\"\nscore = { clove = 1 }"), `is not a number of parts`},
		{end, log("[[tasting]]\nat = \"6 h\"\ntaster = \"" + strings.Repeat("B", 200) + "\"\nscore = { clove = 1 }"),
			"16: taster has at most 120 letters, and here are 200"},
		{end, log("[[noted]]\nat = \"5 d\"\nwhat = \"\\u200b\""), "16: this [[noted]] does not say what was seen"},
		{end, log("[[noted]]\nat = \"5 d\"\nwhat = \"" + strings.Repeat("x", 1<<20) + "\""), "16: what has at most 20000 letters"},
		{end, log("[[pulled]]\nname = \"clove\"\nat = \"3 h\"\n[[pulled]]\nname = \"clove\"\nat = \"2 h\""),
			`18: "clove" came out already, `},
		{end, log("[[bottled]]\nat = \"5 d\"\nbottles = 0"), "16: 0 is no number of bottles"},
		{end, log("[[bottled]]\nat = \"5 d\"\nbottles = 99999999999"), "16: 99999999999 is no number of bottles"},
		{end, log("[[bottled]]\nat = \"5 d\"\nbottles = 1.5"), `16: "bottles" should be a whole number`},
		{end, log("[measured]\nph = 0"), "15: the pH of a drink runs from 1 to 12, not 0"},
		{end, log("[measured]\nabv = 101"), "15: a strength of 101 % vol is more than pure alcohol"},
		{end, log("[measured]\ndensity = 1e22"), "15: density in kg/m3 runs from 780 to 1500"},
		{end, log("[measured]\nsugar = \"5000 g/l\""), "15: sugar goes up to 1000 g/l"},
		{end, log("[finish]\nstore = \"-300 C\""), `15: the temperature "-300 C" is below absolute zero`},
		{end, log("[finish]\nbottle = \"250 g\""), "15: \"250 g\" is a weight"},
		{end, log("[[botanical]]\nname = \"CLOVE\""), `15: two botanicals are called "CLOVE"`},
		{end, log("[[watch]]\nname = \"clove\"\nlimit = 1"), `15: the watch "clove" has the name of a botanical`},
		{end, log("[finish]\n[finish]"), "15: the table [finish] is written twice"},
		{end, log("name = \"x\"\nname = \"y\""), `14: "name" is given twice, first on line 12`},
		{end, log(strings.Repeat("[[noted]]\nwhat = \"x\"\nat = \"1 h\"\n", 5000) + "=1"), "15014: there is no name before \"=\""},
		{end, log("x = \"never closed"), "14: the quotation mark before \"never closed\" is never closed"},
		{end, log("x = '''never closed"), "14: the long text that begins here has no closing '''"},
		{end, log("{\"json\": 1}"), "14: one brace { too many"},
		{end, log("name : x"), "14: between a name and its value stands \"=\", not \":\""},
		{end, end + "caf\xe9 = 1\n", "14: a character here is not UTF-8 text"},
		{end, end + "a = \x00\n", "the file holds binary data"},
		{clove, "", "the file is empty"},
		{clove, "\xff\xfen\x00a\x00", "the file is saved as UTF-16"},
	} {
		file := filepath.Join(t.TempDir(), "a.toml")
		write(t, file, strings.Replace(clove, c.instead, c.typed, 1))
		status, out, errs := run(t, "steep", file, "--now", "2026-11-23T08:00")
		if status != statusInput || out != "" || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") > 3 {
			t.Errorf("%.60q: status %d, %.300q, want %q", c.typed, status, out+errs, c.want)
		}
	}
}

// TestHostileLines: the same of what is typed, and the file stays as it was.
func TestHostileLines(t *testing.T) {
	t.Chdir(t.TempDir())
	long := strings.Repeat("x", 1<<20)
	for _, c := range []struct{ typed, want string }{ // words parted by |
		{"taste|a.toml|clove=11", "a score runs from 0 (absent) to 10"},
		{"taste|a.toml|clove=-1", "a score runs from 0 (absent) to 10"},
		{"taste|a.toml|clove=NaN", `"NaN" is no score from 0 to 10`},
		{"taste|a.toml|clove=inf", "a score runs from 0 (absent) to 10"},
		{"taste|a.toml|clove=1e400", `"1e400" is no score from 0 to 10`},
		{"taste|a.toml|clove=1e-300", `"clove" must be 0 or a number that can be measured`},
		{"taste|a.toml|clove=", `"" is no score from 0 to 10`},
		{"taste|a.toml|clove＝１１", "so clove=11 cannot be"},
		{"taste|a.toml|clove=3|clove=4", `"clove" has two scores in one tasting`},
		{"taste|a.toml|\u202enettle=3", `"\u202enettle" is no botanical or watch of this batch`},
		{"taste|a.toml|clove=3|--sample|0:1", "has nothing from the jar in it"},
		{"taste|a.toml|clove=3|--at|99999999999 h", "is no time that can be read"},
		{"taste|a.toml|clove=3|--at|2026-12-01T10:00", "has not happened yet"},
		{"taste|a.toml|clove=3|--at|1900-01-01T10:00", "before the batch started"},
		{"taste|a.toml|clove=3|--at|", "--at is empty; leave it out"},
		{"taste|a.toml|clove=3|--words|" + long, "words has at most 20000 letters"},
		{"note|a.toml|" + long, "what has at most 20000 letters, and here are 1048576"},
		{"note|a.toml|\u200b", "does not say what was seen"},
		{"note|a.toml|", "a word of the line is empty"},
		{"bottle|a.toml|0 x 250 ml|--again", `"0 x 250 ml" is no number of bottles of a size`},
		{"bottle|a.toml|3 x 500 ml|0 x 250 ml|--again", `"0 x 250 ml" is no number of bottles of a size`},
		{"bottle|a.toml|1e9 x 250 ml|--again", "is no number of bottles of a size"},
		{"bottle|a.toml|100001 x 250 ml|--again", "100001 is no number of bottles"},
		{"bottle|a.toml|5 x 0 ml|--again", "is no number of bottles of a size"},
		{"open|a.toml|-1", `"-1" is no number of a bottle`},
		{"open|a.toml|99999999999999999999", "is no number of a bottle"},
		{"add|a.toml|white sugar: -1 g", `the amount "-1 g" is negative`},
		{"add|a.toml|\x1b[31m: 1 g", "a name cannot hold a line break or another control character"},
		{"add|a.toml|\u202ex: 1 g", "a name cannot hold characters that are not seen"},
		{"strain|a.toml|--volume|0", `the amount "0" is zero`},
		{"pull|a.toml|\u202e", `"\u202e" is no botanical of this batch`},
		{"steep|a.toml|--units|furlongs", "--units is metric or us, not"},
		{"steep|a.toml|--units|us|--units|metric", "--units is there twice; keep one"},
		{"keep|a.toml|--why=maybe", `--why is true or false, not "maybe"`},
		{"calendar|a.toml|--ready=", "--ready is empty; leave it out"},
		{"calendar|a.toml|--ready|1900-01-01", "is past"},
		{"keep|a.toml|--at|1e9 C", "is no place"},
		{"blend|a.toml|--abv|NaN", `"NaN" is not a strength in % vol`},
		{"blend|a.toml|--sugar|inf", "is no amount in g per litre from 0 to 1000"},
		{"scale|a.toml|--to|x1e9|n.toml", `"x1e9" is no factor`},
		{"label|a.toml|--size|NaNxNaN", "is no size of a label"},
		{"serve|--port|99999999", "--port is a number from 1 to 65535"},
		{"new||--name|x", "a word of the line is empty"},
		{"new|n.toml|--name|a\u202eb|--spirit|rum", "a name cannot hold characters that are not seen"},
		{"new|n.toml|--name|x|--botanical|clove @ NaN", `"NaN" is no wanted strength from 0 to 10`},
		{"book|a.toml", "a.toml is a file: a book is a folder of batches"},
		{"lookup|" + long, "the library does not know"},
		{"steep|.", "this is a folder, not a batch file"},
		{"steep|/dev/zero", "this is not an ordinary file"},
		{"\x1b[2J", `there is no command "\x1b[2J"`},
	} {
		write(t, "a.toml", clove)
		status, out, errs := run(t, append(words(c.typed), "--now", "2026-11-23T08:00")...)
		if status != statusInput || out != "" || !strings.Contains(errs, c.want) {
			t.Errorf("%.60q: status %d, %.300q, want %q", c.typed, status, out+errs, c.want)
		}
		if now, err := os.ReadFile("a.toml"); err != nil || string(now) != clove {
			t.Errorf("%.60q changed the file: %v\n%s", c.typed, err, now)
		}
	}
}

// TestHostileNeighbours: the same of the rules, the library and the tastings beside a batch.
func TestHostileNeighbours(t *testing.T) {
	const head = "hours,flavour,score,taster\n"
	for _, c := range []struct{ file, text, want string }{
		{"house.toml", "max_age_days = -1", "house.toml:1: -1 is no number of days"},
		{"house.toml", "max_age_days = 1e22", "house.toml:1: 10000000000000000000000 is no number of days"},
		{"house.toml", "max_age_days = nan", `house.toml:1: "max_age_days" must be a finite number`},
		{"house.toml", "use_within_days = 0", "house.toml:1: 0 is no number of days"},
		{"house.toml", "fridge_c = 400", "house.toml:1: 400 °C is no fridge"},
		{"house.toml", "country = \"\\u202eKU\"", "is no country whose drinks are known here"},
		{"house.toml", "awake = \"25:00-26:00\"", "is no part of a day"},
		{"house.toml", "rule = \"x", "house.toml:1: the quotation mark"},
		{"house.toml", "\x00", "the file holds binary data"},
		{"library.toml", "[[botanical]]\nname = \"\\u200b\"", `library.toml:1: a [[botanical]] needs a name`},
		{"library.toml", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"y\"\nrate_per_h = -1", "library.toml:5: "},
		{"library.toml", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"y\"\nrate_per_h = [2, 1]", "library.toml:5: "},
		{"library.toml", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"y\"\nrate_per_h = 1e-300", "library.toml:5: "},
		{"library.toml", "[[spirit]]\nname = \"x\"\nabv_percent = 140", "library.toml:3: "},
		{"library.toml", "[[ingredient]]\nname = \"x\"\nper_100g = { water = 300 }", "library.toml:"},
		{"library.toml", "[[botanical]]\nname = \"x\"\n[[botanical]]\nname = \"x\"", `botanical "x" is written twice`},
		{"t.csv", head + "6,clove,=1+1,\n", `t.csv:2: `},
		{"t.csv", head + "6,clove,NaN,\n", `t.csv:2: `},
		{"t.csv", head + "6,clove,1e400,\n", `t.csv:2: `},
		{"t.csv", head + "-6,clove,3,\n", `t.csv:2: `},
		{"t.csv", head + "1e9,clove,3,\n", `t.csv:2: `},
		{"t.csv", head + "6,=cmd|' /C calc'!A0,3,\n", `t.csv:2: `},
		{"t.csv", head + "6,clove,3,\"never closed\n", "a quotation mark is opened on this line and never closed"},
		{"t.csv", "hours,hours,flavour,score\n", `t.csv:1: `},
		{"t.csv", "\xff\xfeh\x00", "not UTF-8"},
		{"t.csv", "", "the file is empty"},
		{"t.csv", strings.Repeat("hours,flavour,score\n", 300_000), "has more than 4 MB"},
	} {
		dir := t.TempDir()
		write(t, filepath.Join(dir, "a.toml"), clove)
		write(t, filepath.Join(dir, c.file), c.text)
		typed := []string{"keep", filepath.Join(dir, "a.toml"), "--now", "2026-11-23T08:00"}
		if c.file == "t.csv" {
			typed = append([]string{"import", typed[1], filepath.Join(dir, c.file)}, typed[2:]...)
		}
		status, out, errs := run(t, typed...)
		if status != statusInput || out != "" || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") > 3 {
			t.Errorf("%.60q: status %d, %.400q, want %q", c.text, status, out+errs, c.want)
		}
	}
}
