package scale

import (
	"math"
	"strings"
	"testing"

	"steepbook/data/quantity"
)

func TestParseSize(t *testing.T) {
	for _, c := range []struct {
		text string
		want Size
	}{
		{"3l", Size{VolumeML: 3000}},
		{" 1.5 l ", Size{VolumeML: 1500}},
		{"2 cups", Size{VolumeML: 473.176473}}, // NIST SP 811, appendix B.8
		{"x2", Size{Factor: 2}},
		{"X 1.5", Size{Factor: 1.5}},
		{"×3", Size{Factor: 3}},
		{"2x", Size{Factor: 2}},
		{"x1/2", Size{Factor: 0.5}},
		{"x 1 1/2", Size{Factor: 1.5}},
		{"12 bottles", Size{Bottles: 12}},
		{"1 bottle", Size{Bottles: 1}},
	} {
		got, err := ParseSize(c.text, quantity.US)
		c.want.Text = strings.TrimSpace(c.text)
		got.VolumeML = math.Round(got.VolumeML*1e6) / 1e6
		if err != nil || got != c.want {
			t.Errorf("%q: %+v, %v; want %+v", c.text, got, err, c.want)
		}
	}
	each, err := ParseSize("12 bottles of 250 ml", quantity.Metric)
	if err != nil || each.Bottles != 12 || each.Each == nil || each.Each.Text != "250 ml" {
		t.Errorf("12 bottles of 250 ml: %+v, %v", each, err)
	}
	item, err := ParseSize("plum = 1.4 kg", quantity.Metric)
	if err != nil || item.Item != "plum" || item.Amount == nil || item.Amount.Unit != "kg" {
		t.Errorf("plum = 1.4 kg: %+v, %v", item, err)
	}
}

func TestParseSizeRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                     `"3~l"`,
		"1.5":                  `write "x1.5" for 1.5 times the batch, or "1.5 l"`,
		"3 kg":                 "a weight",
		"2-3 l":                "a range",
		"x0":                   "no factor",
		"x2000":                "thousand times",
		"x 2-3":                "no factor",
		"many":                 "no number",
		"3 quinces":            "no size of a batch",
		"12 bottles of 3 fl":   "fl",
		"2-3 bottles":          "no number of bottles",
		"=2 kg":                "names nothing",
		"plum=lots":            "lots",
		"12 bottles of 20 g":   "no size of a bottle",
		"12 bottles of 3-4 cl": "no size of a bottle",
	} {
		if got, err := ParseSize(text, quantity.US); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %+v, %v; want a sentence with %s", text, got, err, says)
		}
	}
}
