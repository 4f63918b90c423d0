package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"steepbook/cmd/internal/somejar"
)

// perPart is a dose, which is in units of its own, and what a spice scale shows.
var perPart = regexp.MustCompile(`\S+ (?:g/L|ml/L|fl oz/qt)|\(\S+ g\)`)

var unitOfFigure = regexp.MustCompile(`\d (oz wt|lb|g|kg|fl oz|cups?|tbsp|tsp|ml|l|pints?|quarts?|gallons?)\b`)

// family: pounds are told with their ounces, and a litre is a thousand of its millilitres.
var family = strings.NewReplacer("lb", "oz wt", "kg", "g", "ml", "l")

// TestOneUnitARow: however two batches write an amount, a row that holds one against the other has them
// in one unit.
func TestOneUnitARow(t *testing.T) {
	t.Setenv("COLUMNS", "200")
	liquid := []string{"60 ml", "1/4 cup", "3 tbsp", "2 fl oz", "1 tsp", "5 fl oz"}
	solid := []string{"300 g", "12 oz wt", "1 lb", "5 oz wt", "10 g"}
	for _, units := range []string{"us", "metric"} {
		for _, spirit := range []string{"25 fl oz", "1.5 l"} {
			for i := 0; i < len(liquid)*len(solid); i += somejar.Either(4, 2) {
				dir := t.TempDir()
				var files []string
				for b, at := range [][2]int{{i % len(liquid), i % len(solid)}, {(i + 1 + i/len(liquid)) % len(liquid), (i + 1 + i/len(solid)) % len(solid)}} {
					text := fmt.Sprintf("name = \"N%d\"\nstarted = 2026-11-20\nunits = %q\n[spirit]\nname = \"vodka\"\nabv = 40\namount = %q\n"+
						"[[botanical]]\nname = \"rhubarb\"\namount = %q\n[[addition]]\nname = \"lime juice\"\namount = %q\n",
						b, units, []string{"25 fl oz", spirit}[b], solid[at[1]], liquid[at[0]])
					files = append(files, filepath.Join(dir, fmt.Sprint(b, ".toml")))
					if err := os.WriteFile(files[b], []byte(text), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				_, out, errs := run(t, "compare", files[0], files[1], "--why", "--now=2026-11-21")
				if errs != "" {
					t.Fatal(errs)
				}
				for line := range strings.SplitSeq(out, "\n") {
					seen := map[string]bool{}
					for _, m := range unitOfFigure.FindAllStringSubmatch(perPart.ReplaceAllString(line, ""), -1) {
						seen[family.Replace(m[1])] = true
					}
					if len(seen) > 1 {
						t.Errorf("%s, %v: %v in %q", units, files, seen, line)
					}
				}
			}
		}
	}
}
