package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestDevelopersNamesWhatIs: every file and every package.Name that the contributor's
// page puts in backticks is there.
func TestDevelopersNamesWhatIs(t *testing.T) {
	page, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	names, files := map[string]map[string]bool{}, map[string]bool{}
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		files[filepath.ToSlash(rel)] = true
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		if names[f.Name.Name] == nil {
			names[f.Name.Name] = map[string]bool{}
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				names[f.Name.Name][id.Name] = true
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range regexp.MustCompile("`([^`\\s]+)`").FindAllStringSubmatch(string(page), -1) {
		word := m[1]
		if regexp.MustCompile(`^[\w/.-]+\.(go|csv|toml|txtar|md)$`).MatchString(word) && strings.Contains(word, "/") {
			found := false
			for f := range files {
				found = found || f == word || strings.HasSuffix(f, "/"+word)
			}
			if !found {
				t.Errorf("there is no file %s", word)
			}
			continue
		}
		pkg, name, ok := strings.Cut(strings.TrimSuffix(word, "()"), ".")
		if !ok || names[pkg] == nil || !regexp.MustCompile(`^\w+(\.\w+)?$`).MatchString(name) {
			continue
		}
		for part := range strings.SplitSeq(name, ".") {
			if !names[pkg][part] {
				t.Errorf("%s has no %s", pkg, part)
			}
		}
	}
}
