package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"steepbook/cmd/internal/somejar"
)

// unitBatches is the same batch in the words of a maker who counts in ounces, and in those of
// one who counts in grams; %…% is filled in.
var unitBatches = map[string]string{
	"zest": `name = "Zest"
started = 2026-11-20T18:00:00
room = "%room%"
%units%
[spirit]
name = "grape brandy"
abv = 57
amount = "%spirit%"
price = 20
[[botanical]]
name = "orange zest"
cut = "strips"
amount = "%zest%"
target = 6
[[botanical]]
name = "green cardamom"
cut = "crushed"
amount = "%spice%"
target = 3
bag = true
[[watch]]
name = "bitter"
limit = 2
[[addition]]
name = "white sugar"
amount = "%sugar%"
[[addition]]
name = "water"
amount = "%water%"
[[addition]]
name = "orange juice"
amount = "%juice%"
[finish]
bottle = "%bottle%"
serve = "%serve%"
store = "fridge"
[[tasting]]
at = "6 h"
score = { "orange zest" = 3, "green cardamom" = 1, bitter = 0 }
[[tasting]]
at = "1 d"
score = { "orange zest" = 4.5, "green cardamom" = 2, bitter = 1 }
`,
	"finished": `name = "Finished"
started = 2026-10-01T09:00:00
room = "%warm%"
%units%
[spirit]
name = "vodka"
abv = 40
amount = "%spirit%"
[[botanical]]
name = "orange zest"
cut = "strips"
amount = "%zest%"
target = 6
[[botanical]]
name = "cassia cinnamon"
amount = "%spice%"
target = 2
[[botanical]]
name = "ginger"
cut = "fresh, sliced"
amount = "%zest%"
target = 4
[[addition]]
name = "honey"
amount = "%sugar%"
[[addition]]
name = "lemon juice"
amount = "%juice%"
[finish]
bottle = "%bottle%"
store = "%cellar%"
filtered = true
strained = "5 d"
bottled = "7 d"
[measured]
volume = "%yield%"
strained = "%strained%"
ph = 3.6
[[tasting]]
at = "1 d"
score = { "orange zest" = 4, "cassia cinnamon" = 2, ginger = 3 }
[[tasting]]
at = "4 d"
score = { "orange zest" = 6, "cassia cinnamon" = 3, ginger = 5 }
[[pulled]]
name = "orange zest"
at = "4 d"
[[pulled]]
name = "ginger"
at = "4 d"
[[pulled]]
name = "cassia cinnamon"
at = "4 d"
`,
	"fruit": `name = "Fruit"
started = 2026-11-25T09:00:00
room = "%warm%"
%units%
[spirit]
name = "white wine"
amount = "%spirit%"
[[botanical]]
name = "garlic"
cut = "fresh"
amount = "%spice%"
target = 2
[[botanical]]
name = "plum"
cut = "halved"
amount = "%zest%"
target = 5
[[addition]]
name = "cream"
amount = "%juice%"
[[addition]]
name = "egg yolk"
amount = "3 egg yolks"
[[addition]]
name = "white sugar"
amount = "%sugar%"
[finish]
store = "freezer"
leave_in = true
`,
	"syrup": `name = "Syrup"
started = 2026-11-25T09:00:00
%units%
[spirit]
name = "water"
amount = "%spirit%"
[[botanical]]
name = "hibiscus"
cut = "dried"
amount = "%spice%"
target = 5
[[addition]]
name = "simple syrup"
amount = "%juice%"
boiled_off = "%spoon%"
[[addition]]
name = "citric acid"
amount = "%spoon%"
[finish]
boiled = true
bottle = "%bottle%"
`,
	"strong": `name = "Strong"
started = 2026-11-25T09:00:00
room = "%hot%"
%units%
[[spirit]]
name = "neutral spirit"
abv = 95
amount = "%spirit%"
[[spirit]]
name = "dark rum"
abv = 54
amount = "%water%"
[[botanical]]
name = "saffron"
amount = "%pinch%"
target = 3
[[botanical]]
name = "vanilla"
amount = "2 pods"
target = 5
[[botanical]]
name = "nutmeg"
amount = "%spice%"
target = 2
[finish]
store = "room"
`,
}

var unitWords = map[bool]*strings.Replacer{
	true: strings.NewReplacer("%units%", `units = "us"`, "%room%", "68 F", "%warm%", "75 F", "%hot%",
		"140 F", "%cellar%", "55 F", "%spirit%", "25 fl oz", "%zest%", "1 oz wt", "%spice%", "0.3 oz wt",
		"%pinch%", "0.02 oz wt", "%sugar%", "11 oz wt", "%water%", "1 cup", "%juice%", "5 fl oz", "%bottle%",
		"8 fl oz", "%serve%", "1 1/2 fl oz", "%yield%", "40 fl oz", "%strained%", "23 fl oz", "%spoon%",
		"2 tbsp"),
	false: strings.NewReplacer("%units%", `units = "metric"`, "%room%", "20 C", "%warm%", "24 C", "%hot%",
		"60 C", "%cellar%", "13 C", "%spirit%", "740 ml", "%zest%", "28 g", "%spice%", "9 g",
		"%pinch%", "0.5 g", "%sugar%", "310 g", "%water%", "240 ml", "%juice%", "150 ml", "%bottle%",
		"240 ml", "%serve%", "45 ml", "%yield%", "1.2 l", "%strained%", "680 ml", "%spoon%", "30 ml"),
}

// foreign finds what a maker of the one system would have to look up. A
// concentration (g/L, g per 100 g) is written alike in both; what a law or a paper
// says in mg stays as it is there.
func foreign(us bool, line string) string {
	for _, found := range foreignTo[us].FindAllString(cited.ReplaceAllString(line, ""), -1) {
		if !us || !strings.HasSuffix(found, "m") { // 6:30 pm is not foreign
			return found
		}
	}
	return ""
}

// cited is what lookup and working print of their sources and of kitchen measures, what the
// label of a bottle says by law, and what a spice scale shows, which are said as they are.
var cited = regexp.MustCompile(`tbsp of 6 g|\(\d[\d.]* g\)|\b[0-4]\.\d+ g\b|\b\d+ x [\d.]+ m?l\b|at 20 °C(?:\)?(?: \[|$))|\b1 (?:tsp|tbsp|cup)(?: +[0-9]| = )`)

var foreignTo = map[bool]*regexp.Regexp{
	true:  regexp.MustCompile(`°C|~|(?:^|[^/0-9.])[0-9.½¼¾]+ (?:ml|g|kg|l)(?:$|[^/\w])|(?:^|[^\w:.])(?:[01]?\d|2[0-3]):[0-5]\d(?: [ap]m|$|[^\w:.])`),
	false: regexp.MustCompile(`°F|~|[0-9½¼¾⅓⅔⅛] ?(?:oz|lb|fl oz|tsp|tbsp|cups?|gallons?)(?:$|[^/\w])|[0-9] ?[ap]m\b`),
}

// TestOneSystemOnTheScreen: every screen of a batch is in the units of its maker.
func TestOneSystemOnTheScreen(t *testing.T) {
	t.Setenv("COLUMNS", "100") // a figure and its unit are parted by fewer line ends
	for _, us := range []bool{true, false} {
		dir := t.TempDir()
		files := []string{}
		for name, text := range unitBatches {
			file := filepath.Join(dir, name+".toml")
			if err := os.WriteFile(file, []byte(unitWords[us].Replace(text)), 0o644); err != nil {
				t.Fatal(err)
			}
			files = append(files, file)
		}
		house := "country = \"AU\"\n"
		if us {
			house = "country = \"US\"\n"
		}
		if err := os.WriteFile(filepath.Join(dir, "house.toml"), []byte(house), 0o644); err != nil {
			t.Fatal(err)
		}
		slices.Sort(files)
		now := "--now=2026-11-27T21:30"
		read := func(text string, typed ...string) {
			for line := range strings.SplitSeq(text, "\n") {
				if found := foreign(us, strings.TrimSpace(line)); found != "" {
					t.Errorf("us %v, %q: %q in %s", us, typed, found, line)
				}
			}
		}
		look := func(typed ...string) {
			_, out, errs := run(t, append(typed, now)...)
			read(out+"\n"+errs, typed...)
		}
		asked := files
		if !us && !somejar.Long() {
			asked = files[3:] // a figure that lacks its tie is found in ounces too
		}
		for _, f := range asked {
			for _, c := range [][]string{
				{"steep", f}, {"steep", f, "--together"}, {"blend", f}, {"blend", f, "--abv", "25",
					"--sugar", "200"}, {"keep", f}, {"keep", f, "--why"}, {"keep", f, "--opened"}, {"keep",
					f, "--at", "freezer"},
				{"keep", f, "--at", "room"}, {"keep", f, "--sign", "cloud"},
				{"keep", f, "--sign", "crystals"}, {"working", f}, {"check", f},
				{"scale", f, "--to", "x2"}, {"scale", f, "--to", "x0.1"}, {"scale", f, "--to", "12 bottles"},
				{"compare", files[0], f}, {"keep", f, "--sign", "ring at the neck"},
				{"blend", f, "--volume", "0.1 fl oz"}, {"calendar", f}, {"calendar", f, "-o", "-"},
				{"calendar", f, "--ready", "2027-02-01"}, {"label", f},
				{"taste", f, "zzz=3"},
			} {
				look(c...)
			}
			for _, c := range [][]string{{"page", f}, {"page", f, "--bench"}} {
				html := filepath.Join(dir, "page.html")
				look(append(c, "-o", html)...)
				text, err := os.ReadFile(html)
				if err != nil {
					t.Fatal(err)
				}
				_, body, _ := strings.Cut(string(text), "</style>")
				read(regexp.MustCompile("<[^>]*>").ReplaceAllString(body, " "), c...)
			}
		}
		for _, f := range somejar.Either(files[4:], files) {
			look("chart", f, "--format", "svg")
			look("label", f, "--sheet", "A4")
			look("label", f, "--size", "3x2in")
		}
		look("taste", files[4], "orange zest=5", "--at", "yesterday 9 pm")
		look("taste", files[4], "orange zest=5", "--at", "tomorrow 9 pm")
		look("pull", files[4], "orange zest")
		look("book", dir)
		look("check", dir)
		look("compare", files[0], files[4], "--blind", "triangle")
		look("lookup", "--learned", dir)
		look("lookup", "orange zest", "--book", dir)
		look("lookup", "white sugar", "--book", dir)
		look("scale", files[4], "--to", "x2", filepath.Join(dir, "scaled.toml"))
		look("lookup", "--learned", "--write", dir)
		look("new", filepath.Join(dir, "made.toml"), "--name", "Made", "--spirit", "vodka", "--abv", "40",
			"--botanical", "clove @ 2")
		written, err := filepath.Glob(filepath.Join(dir, "*.toml"))
		if err != nil || len(written) < len(files)+3 {
			t.Errorf("only %v written, %v", written, err)
		}
		for _, f := range written {
			if src, err := os.ReadFile(f); err != nil || strings.Contains(string(src), "~") {
				t.Errorf("%s, %v: a tie in\n%s", f, err, src)
			}
		}
	}
}
