package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// root is the module's folder as seen from this package's tests.
const root = "../.."

// layers says which packages of ours each package may import, tests aside.
// A package that is missing here has no place in the house yet: give it one.
var layers = map[string][]string{
	"data":                         {},
	"data/pattern":                 {},
	"data/visible":                 {},
	"data/strict":                  {"data/pattern", "data/visible"},
	"data/disk":                    {"data/strict"},
	"data/quantity":                {"data/pattern", "data/strict"},
	"data/names":                   {"data", "data/pattern", "data/strict", "data/quantity"},
	"data/library":                 {"kinetics/cores", "data", "data/names", "data/pattern", "data/strict", "data/quantity"},
	"data/batch":                   {"data/names", "data/disk", "data/pattern", "data/visible", "data/strict", "data/quantity"},
	"kinetics/leastsq":             {"kinetics/internal/golden"},
	"kinetics/internal/golden":     {},
	"kinetics/internal/printed":    {},
	"kinetics/cores":               {},
	"kinetics":                     {"kinetics/cores"},
	"kinetics/panel":               {},
	"kinetics/jar":                 {"kinetics/internal/golden", "kinetics/cores", "kinetics"},
	"shelf/alcohol":                {},
	"shelf/activity":               {},
	"shelf/acidity":                {},
	"shelf/growth":                 {"data"},
	"shelf/spoilage":               {"data", "shelf/activity", "shelf/growth"},
	"shelf/mixture":                {"data", "data/quantity", "shelf/alcohol", "shelf/activity", "shelf/acidity", "shelf/growth"},
	"shelf/harm":                   {"data/quantity", "shelf/mixture"},
	"shelf":                        {"data", "data/quantity", "shelf/alcohol", "shelf/growth", "shelf/spoilage", "shelf/mixture", "shelf/harm"},
	"shelf/remark":                 {"data", "data/quantity", "shelf"},
	"plots":                        {"kinetics/cores", "data/visible", "data/quantity"},
	"cmd/internal/recipe":          {"kinetics/cores", "data/quantity", "data/library", "data/batch", "shelf/alcohol", "shelf/acidity", "shelf/spoilage", "shelf/mixture", "shelf", "shelf/harm"},
	"cmd/internal/keeping":         {"data/quantity", "data/library", "data/batch", "shelf", "shelf/harm", "shelf/remark", "shelf/alcohol"},
	"cmd/internal/prior":           {"kinetics/cores", "data/quantity", "data/library", "data/batch", "kinetics", "shelf/mixture", "cmd/internal/recipe"},
	"cmd/internal/steeping":        {"data/quantity", "data/library", "data/batch", "kinetics", "kinetics/leastsq", "kinetics/panel", "kinetics/jar", "shelf/mixture", "cmd/internal/recipe"},
	"cmd/internal/bench":           {"kinetics/cores", "data/quantity", "data/library", "data/batch", "kinetics", "kinetics/jar", "shelf/mixture", "shelf", "shelf/harm", "shelf/remark", "cmd/internal/recipe", "cmd/internal/keeping", "cmd/internal/prior", "cmd/internal/steeping"},
	"cmd/internal/solve":           {"data/strict", "data/quantity", "data/library", "data/batch", "shelf/mixture", "shelf", "cmd/internal/recipe", "cmd/internal/bench"},
	"cmd/internal/together":        {"kinetics/jar", "cmd/internal/steeping", "cmd/internal/bench"},
	"cmd/internal/due":             {"data/quantity", "data/batch", "shelf", "kinetics", "kinetics/jar", "cmd/internal/steeping", "cmd/internal/keeping", "cmd/internal/bench"},
	"cmd/internal/book":            {"kinetics/cores", "data/pattern", "data/strict", "data/disk", "data/quantity", "data/library", "data/batch", "cmd/internal/recipe", "cmd/internal/prior", "cmd/internal/bench", "cmd/internal/due"},
	"cmd/internal/compare":         {"data/quantity", "data/library", "data/batch", "kinetics/jar", "shelf/mixture", "shelf", "cmd/internal/recipe", "cmd/internal/keeping", "cmd/internal/prior", "cmd/internal/steeping", "cmd/internal/bench"},
	"cmd/internal/scale":           {"data/names", "data/pattern", "data/quantity", "data/library", "data/batch", "shelf/mixture", "cmd/internal/recipe", "cmd/internal/bench"},
	"cmd/internal/work":            {"data/names", "data/quantity", "data/library", "data/batch", "kinetics/jar", "shelf", "cmd/internal/recipe", "cmd/internal/keeping", "cmd/internal/steeping", "cmd/internal/bench", "cmd/internal/due"},
	"cmd/internal/picture":         {"kinetics/cores", "data/quantity", "kinetics", "kinetics/jar", "shelf", "plots", "cmd/internal/recipe", "cmd/internal/steeping", "cmd/internal/bench"},
	"cmd/internal/pen":             {"data/visible", "data/quantity", "shelf/mixture"},
	"cmd/internal/ical":            {"data/visible"},
	"cmd/internal/view/calendar":   {"data/quantity", "shelf", "cmd/internal/bench", "cmd/internal/due", "cmd/internal/book", "cmd/internal/pen", "cmd/internal/ical", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact"},
	"cmd/internal/view/label":      {"data", "data/quantity", "data/batch", "kinetics/jar", "shelf", "shelf/remark", "plots", "cmd/internal/keeping", "cmd/internal/steeping", "cmd/internal/bench", "cmd/internal/due", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact"},
	"cmd/internal/view/manual":     {"data/batch", "cmd/internal/pen"},
	"cmd/internal/view":            {"data/names", "data/pattern", "data/quantity", "data/batch", "kinetics", "shelf/mixture", "shelf", "shelf/remark", "cmd/internal/keeping", "cmd/internal/prior", "cmd/internal/due", "cmd/internal/bench", "cmd/internal/together", "cmd/internal/book", "cmd/internal/compare", "cmd/internal/scale", "cmd/internal/pen"},
	"cmd/internal/view/lookup":     {"data", "data/quantity", "data/library", "shelf/growth", "cmd/internal/pen"},
	"cmd/internal/view/bottle":     {"data/quantity", "data/library", "shelf/mixture", "shelf", "shelf/harm", "shelf/remark", "cmd/internal/recipe", "cmd/internal/keeping", "cmd/internal/bench", "cmd/internal/solve", "cmd/internal/pen", "cmd/internal/view"},
	"cmd/internal/view/sidebyside": {"data/quantity", "kinetics/panel", "shelf", "cmd/internal/bench", "cmd/internal/compare", "cmd/internal/pen", "cmd/internal/view/bottle"},
	"cmd/internal/view/nextact":    {"data/quantity", "shelf", "cmd/internal/keeping", "cmd/internal/due", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle"},
	"cmd/internal/view/steep":      {"data/quantity", "data/batch", "kinetics", "kinetics/jar", "cmd/internal/steeping", "cmd/internal/bench", "cmd/internal/together", "cmd/internal/due", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact"},
	"cmd/internal/view/logbook":    {"data/quantity", "data/batch", "cmd/internal/bench", "cmd/internal/due", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact", "cmd/internal/view/steep"},
	"cmd/internal/view/bookshelf":  {"data/quantity", "data/library", "data/batch", "shelf/mixture", "cmd/internal/prior", "cmd/internal/keeping", "cmd/internal/bench", "cmd/internal/due", "cmd/internal/book", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact"},
	"cmd/internal/view/working":    {"data/quantity", "data/library", "kinetics/leastsq", "kinetics/jar", "shelf/growth", "shelf/spoilage", "shelf/mixture", "shelf", "cmd/internal/recipe", "cmd/internal/steeping", "cmd/internal/bench", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/lookup", "cmd/internal/view/bottle", "cmd/internal/view/steep"},
	"cmd/internal/view/worksheet":  {"data/quantity", "cmd/internal/keeping", "cmd/internal/bench", "cmd/internal/work", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/nextact", "cmd/internal/view/steep"},
	"cmd/internal/view/newbatch":   {"data/quantity", "cmd/internal/bench", "cmd/internal/scale", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/vary", "cmd/internal/view/bottle", "cmd/internal/view/steep", "cmd/internal/view/worksheet"},
	"cmd/internal/sheet":           {"kinetics/cores", "data/quantity", "data/library", "plots", "cmd/internal/bench", "cmd/internal/picture", "cmd/internal/pen", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/steep", "cmd/internal/view/logbook", "cmd/internal/view/working", "cmd/internal/view/worksheet"},
	"cmd/internal/web":             {"data/pattern", "data/strict", "data/disk", "data/quantity", "data/batch", "plots", "cmd/internal/steeping", "cmd/internal/bench", "cmd/internal/due", "cmd/internal/book", "cmd/internal/picture", "cmd/internal/pen", "cmd/internal/ical", "cmd/internal/view/calendar", "cmd/internal/view/label", "cmd/internal/view", "cmd/internal/view/bottle", "cmd/internal/view/steep", "cmd/internal/view/logbook", "cmd/internal/view/nextact", "cmd/internal/view/bookshelf", "cmd/internal/view/worksheet", "cmd/internal/sheet"},
	"cmd/internal/argv":            {},
	"cmd/internal/pages":           {},
	"cmd/internal/demo":            {"data/disk", "cmd/internal/view"},
	"cmd/internal/cli":             {"kinetics/cores", "data/pattern", "data/strict", "data/disk", "data/quantity", "data/library", "data/batch", "kinetics/panel", "shelf", "plots", "cmd/internal/prior", "cmd/internal/bench", "cmd/internal/solve", "cmd/internal/due", "cmd/internal/book", "cmd/internal/compare", "cmd/internal/scale", "cmd/internal/picture", "cmd/internal/pen", "cmd/internal/ical", "cmd/internal/view/calendar", "cmd/internal/view/label", "cmd/internal/view/manual", "cmd/internal/view/sidebyside", "cmd/internal/view", "cmd/internal/view/lookup", "cmd/internal/view/bottle", "cmd/internal/view/steep", "cmd/internal/view/logbook", "cmd/internal/view/bookshelf", "cmd/internal/view/working", "cmd/internal/view/newbatch", "cmd/internal/sheet", "cmd/internal/web", "cmd/internal/records", "cmd/internal/completion", "cmd/internal/asking", "cmd/internal/vary", "cmd/internal/argv", "cmd/internal/demo"},
	"cmd/internal/records":         {"data/pattern", "data/strict", "data/quantity", "data/batch", "shelf", "shelf/mixture", "cmd/internal/keeping", "cmd/internal/bench", "cmd/internal/view/bottle"},
	"cmd/internal/completion":      {"data/batch", "shelf", "cmd/internal/book", "cmd/internal/view/manual"},
	"cmd/internal/asking":          {"data/names", "data/strict", "data/quantity", "data/batch"},
	"cmd/internal/vary":            {"data/names", "data/pattern", "data/strict", "data/quantity", "data/library", "data/batch", "cmd/internal/recipe"},
	"cmd/internal/somejar":         {"data/library", "data/batch"}, // batches for tests
	"cmd/steepbook":                {"cmd/internal/cli", "cmd/internal/pages"},
}

// onlyIn names the outside packages that have one home each.
var onlyIn = map[string][]string{
	"golang.org/x/image":          {"plots"},
	"codeberg.org/go-fonts":       {"plots"},
	"github.com/urfave/cli":       {"cmd/internal/cli", "cmd/internal/argv"},
	"github.com/rivo/uniseg":      {"cmd/internal/pen"},
	"golang.org/x/term":           {"cmd/internal/cli"},
	"github.com/BurntSushi/toml":  {"data/strict", "data/batch"},
	"github.com/toml-lang":        {}, // the suite of the format, for a test
	"github.com/emersion/go-ical": {}, // reads calendars back, for tests
}

func TestImportsRunDownwardsOnly(t *testing.T) {
	seen, used := 0, map[string]bool{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name := d.Name(); name == "testdata" || strings.HasPrefix(name, ".") && name != ".." {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		pkg := path.Dir(filepath.ToSlash(rel))
		allowed, known := layers[pkg]
		if !known {
			t.Errorf("%s: package %q is not in the table of layers", rel, pkg)
			return nil
		}
		seen++
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, imp := range f.Imports {
			name, _ := strconv.Unquote(imp.Path.Value)
			if ours, ok := strings.CutPrefix(name, "steepbook/"); ok {
				used[pkg+" "+ours] = true
				if !slices.Contains(allowed, ours) {
					t.Errorf("%s imports steepbook/%s, which its layer may not", rel, ours)
				}
			}
			for prefix, homes := range onlyIn {
				if strings.HasPrefix(name, prefix) && !slices.Contains(homes, pkg) {
					t.Errorf("%s imports %s, whose home is %s", rel, name, strings.Join(homes, " and "))
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen == 0 {
		t.Fatal("no Go files found below the module's folder")
	}
	for pkg, allowed := range layers {
		for _, ours := range allowed {
			if !used[pkg+" "+ours] {
				t.Errorf("%s may import %s and does not: take it out of the table", pkg, ours)
			}
		}
	}
}

// TestTopLevel holds the layout that the house was given.
func TestTopLevel(t *testing.T) {
	want := []string{"DEVELOPERS.md", "README.md", "cmd", "data", "go.mod", "go.sum", "kinetics", "plots", "shelf", "testdata"}
	entries, err := filepath.Glob(filepath.Join(root, "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if name := filepath.Base(e); !strings.HasPrefix(name, ".") && !slices.Contains(want, name) && name != "steepbook" && name != "demo-book" {
			t.Errorf("%s at the top level is outside the layout", name)
		}
	}
}
