package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// moduleRow is a row of the table of modules in the contributor's page: path, where it is
// used, what for, licence.
var moduleRow = regexp.MustCompile(`(?m)^\| ([a-z.]+/\S+) \| (program|tests) \| [^|]+ \| ([^|]+) \|`)

// TestModules: the contributor's page has a row for each module that go.mod names and for
// no other, says whether it is in the program, and under which licence, as the text says
// that comes with it; the README names all that are in the program.
func TestModules(t *testing.T) {
	page, readme := read(t, "DEVELOPERS.md"), read(t, "README.md")
	inProgram := listed(t, "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
	named := listed(t, "list", "-m", "-f", "{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}", "all")
	required := regexp.MustCompile(`(?m)^\t(\S+) v\S+`).FindAllStringSubmatch(read(t, "go.mod"), -1)
	rows := map[string][]string{}
	for _, m := range moduleRow.FindAllStringSubmatch(page, -1) {
		rows[m[1]] = m[2:]
	}
	for _, m := range required {
		path := m[1]
		row := rows[path]
		delete(rows, path)
		if row == nil {
			t.Errorf("DEVELOPERS.md has no row for %s", path)
			continue
		}
		if uses := slices.Contains(inProgram, path); uses != (row[0] == "program") {
			t.Errorf("%s is said to be for the %s, and that it is in the program is %t", path, row[0], uses)
		}
		short := regexp.MustCompile(`^github\.com/|/v\d+$`).ReplaceAllString(path, "")
		if row[0] == "program" && !strings.Contains(readme, short) {
			t.Errorf("README.md does not name %s", short)
		}
		i := slices.IndexFunc(named, func(n string) bool { return strings.HasPrefix(n, path+"\t") })
		if _, dir, _ := strings.Cut(named[max(i, 0)], "\t"); i >= 0 && dir != "" {
			if got := strings.Join(licences(t, dir), ", "); got != row[1] {
				t.Errorf("%s: the licence is said to be %s, its text says %s", path, row[1], got)
			}
		}
	}
	for path := range rows {
		t.Errorf("go.mod does not name %s", path)
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// listed are the lines that the go command prints, each once.
func listed(t *testing.T, args ...string) []string {
	t.Helper()
	out, err := exec.Command("go", args...).Output()
	if err != nil {
		t.Fatalf("go %s: %v", strings.Join(args, " "), err)
	}
	lines := strings.Split(string(out), "\n")
	slices.Sort(lines)
	return slices.Compact(lines)
}

// licences are those of the texts in a module, by their names in the SPDX list.
func licences(t *testing.T, dir string) (out []string) {
	t.Helper()
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !regexp.MustCompile(`(?i)^(licen[cs]e|copying)`).MatchString(f.Name()) {
			continue
		}
		src, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ToLower(strings.Join(strings.Fields(string(src)), " "))
		for _, l := range []struct{ says, without, name string }{
			{"apache license version 2.0", "", "Apache-2.0"},
			{"redistribution and use in source and binary forms", "neither the name", "BSD-2-Clause"},
			{"neither the name", "", "BSD-3-Clause"},
			{"to any person obtaining a copy of this software", "", "MIT"},
			{"mozilla public license version 2.0", "", "MPL-2.0"},
			{"sil open font license version 1.1", "", "OFL-1.1"},
		} {
			if strings.Contains(text, l.says) && (l.without == "" || !strings.Contains(text, l.without)) {
				out = append(out, l.name)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
