package cli

import (
	"os"
	"slices"
	"testing"

	"steepbook/cmd/internal/somejar"
)

// TestCommandsSayTheSameOrder: steep, pull and compare read one jar the same, in
// a book that has taught something of it.
func TestCommandsSayTheSameOrder(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, j *somejar.Jar) string {
		file := dir + "/" + name + ".toml"
		j.Name = name
		if err := os.WriteFile(file, []byte(j.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	jar := &somejar.Jar{
		SpiritML: 500,
		Botanicals: []somejar.Botanical{{Name: "orange zest", Cut: "strips", Grams: 24, Target: 6},
			{Name: "clove", Cut: "whole", Grams: 1, Target: 3}},
		Additions: []somejar.Addition{{Name: "water", Amount: "200 ml"}},
	}
	taste := func(j *somejar.Jar, hours int, zest, clove float64) {
		j.Tastings = append(j.Tastings, somejar.Tasting{At: 60 * hours,
			Scores: []somejar.Score{{Name: "orange zest", Value: zest}, {Name: "clove", Value: clove}}})
	}
	first, second := jar.Copy(), jar.Copy()
	for _, h := range []int{6, 12, 24, 48, 96} {
		taste(first, h, 1+float64(h)/24, 1+float64(h)/48)
	}
	taste(second, 20, 2, 1)
	taste(second, 40, 4, 1.5)
	write("taught", first)
	file := write("steeping", second)
	now := "--now=" + somejar.Time(41*60).Format("2006-01-02T15:04")

	steep := answer(t, "steep", file, now)
	alone := answer(t, "steep", func() string {
		f := t.TempDir() + "/steeping.toml"
		src, _ := os.ReadFile(file)
		if err := os.WriteFile(f, src, 0o644); err != nil {
			t.Fatal(err)
		}
		return f
	}(), now)
	curve := func(v map[string]any, i int) map[string]any { return v["curves"].([]any)[i].(map[string]any) }
	bottle := func(v map[string]any, i int) float64 {
		return curve(v, i)["bottle_now"].(map[string]any)["median"].(float64)
	}
	if bottle(steep, 0) == bottle(alone, 0) {
		t.Error("the book teaches nothing, so this tests nothing")
	}
	rows := answer(t, "compare", dir+"/taught.toml", file, now)["differences"].([]any)
	for i, name := range []string{"orange zest", "clove"} {
		k := slices.IndexFunc(rows, func(r any) bool {
			d := r.(map[string]any)
			return d["about"] == name &&
				d["what"] == "in the bottle"
		})
		if k < 0 {
			t.Fatalf("compare says nothing of the %s: %v", name, rows)
		}
		cells := rows[k].(map[string]any)["values"].([]any)
		if got := cells[1].(map[string]any)["value"]; got != bottle(steep, i) {
			t.Errorf("%s: %v by compare, %v by steep", name, got, bottle(steep, i))
		}
	}
	// A pull leaves the order of the other.
	pulled := answer(t, "pull", file, "clove", now)
	for _, field := range []string{"do", "by_h", "why", "taste_from_h", "until_h"} {
		if a, b := curve(steep, 0)[field], curve(pulled, 0)[field]; a != b &&
			!(field == "do" && a == "pull" && b == "strain") {
			t.Errorf("orange zest: %s is %v after the clove came out, %v before", field, b, a)
		}
	}
	if curve(pulled, 1)["do"] != "out" {
		t.Errorf("clove: %v", curve(pulled, 1))
	}
}
