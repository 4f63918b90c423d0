package batch

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"steepbook/data/quantity"
)

// TestHouseSaysWhoseMeasures: a batch that does not say its units is read by the house
// rules beside it, wherever it is read; what it says itself beats them, and where nobody
// says a fluid ounce may be of either country.
func TestHouseSaysWhoseMeasures(t *testing.T) {
	for _, c := range []struct {
		house, units string
		low, high    float64
	}{
		// 1 US fl oz = 29.5735 ml (NIST Handbook 44, appendix C), 1 imperial = 28.4131 ml (UK
		// Units of Measurement Regulations 1995).
		{`country = "US"`, "", 8 * 29.5735, 8 * 29.5735},
		{`country = "US"`, "units = \"metric\"\n", 8 * 28.4131, 8 * 29.5735},
		{"", "units = \"us\"\n", 8 * 29.5735, 8 * 29.5735},
		{`country = "UK"`, "", 8 * 28.4131, 8 * 29.5735},
		{"", "", 8 * 28.4131, 8 * 29.5735},
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, "x.toml")
		write := func(name, text string) {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		src := "name = \"x\"\nstarted = 2026-11-20T18:00:00\n" + c.units + "[finish]\nbottle = \"8 fl oz\"\n"
		write("x.toml", src)
		if c.house != "" {
			write(HouseFile, c.house)
		}
		check := func(what string, a *quantity.Amount) {
			t.Helper()
			if low, _, high, _ := a.Millilitres(); math.Abs(low-c.low) > 0.01 || math.Abs(high-c.high) > 0.01 {
				t.Errorf("house %q, %q, %s: %.2f to %.2f ml, want %.2f to %.2f", c.house, c.units, what, low, high, c.low, c.high)
			}
		}
		b, err := Read(path, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		check("read", b.Finish.Bottle)
		root, err := os.OpenRoot(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer root.Close()
		if b, err = ReadIn(root, "x.toml", time.UTC); err != nil {
			t.Fatal(err)
		}
		check("read in its folder", b.Finish.Bottle)
		err = Append(path, NewEach[NewBottling]{{Bottles: 3, Of: "8 fl oz", At: "2 d"},
			{Bottles: 1, Of: "4 fl oz", Volume: "28 fl oz", At: "2 d"}}, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if b, err = Read(path, time.UTC); err != nil {
			t.Fatal(err)
		}
		check("logged", b.Bottlings[0].Of)
		if v := b.Readings().VolumeML; v == nil || *v < 28*28.4 || *v > 28*29.58 {
			t.Errorf("the yield of what was filled at once into two sizes: %v", v)
		}
		if _, err := Undo(path, "", time.UTC); err != nil {
			t.Fatal(err)
		}
		if now, err := os.ReadFile(path); err != nil || string(now) != src {
			t.Errorf("after undo: %q, %v", now, err)
		}
	}
}

// TestNoTasteIsATemperature: what is only a measure is no name.
func TestNoTasteIsATemperature(t *testing.T) {
	for _, text := range []string{"70 F", "70F", "20 C", "2 g", "57 %", "114 proof"} {
		if _, err := ParseDraftWatch(text + "=2"); err == nil {
			t.Errorf("%q is taken for a taste", text)
		}
		if _, err := ParseDraftBotanical(text); err == nil {
			t.Errorf("%q is taken for a botanical", text)
		}
	}
	for _, text := range []string{"bitter", "hay", "fizz 2nd", "5-spice burn"} {
		if _, err := ParseDraftWatch(text + "=2"); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}
