package batch

import (
	"errors"
	"io/fs"
	"math"
	"os"

	"steepbook/data/strict"
)

// HouseFile is the name of a book's own rules, beside its batches.
const HouseFile = "house.toml"

// House holds the rules a place has set for itself or was given, such as a bar
// by its health code: clocks that end a bottle whatever the judgement says.
type House struct {
	Rule          string   // who set them, in the maker's words
	MaxAgeDays    float64  // from straining; 0: no such rule
	UseWithinDays float64  // once opened; 0: no such rule
	FridgeAlways  bool     // everything is kept cold
	FridgeC       *float64 // what the fridge really is [°C]; nil: not measured
}

type houseTable struct {
	Rule    string   `toml:"rule" right:"rule = \"county code, section 12\""`
	MaxAge  *float64 `toml:"max_age_days" right:"max_age_days = 90"`
	Use     *float64 `toml:"use_within_days" right:"use_within_days = 7"`
	Always  bool     `toml:"fridge_always" right:"fridge_always = true"`
	FridgeC *float64 `toml:"fridge_c" right:"fridge_c = 5"`
}

// ReadHouse reads a book's house rules. A file that is not there is no fault:
// then the rules are nil.
func ReadHouse(path string) (*House, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	src, err := load(path)
	if err != nil {
		return nil, err
	}
	var t houseTable
	doc, err := strict.Decode(path, src, &t)
	if err != nil {
		return nil, err
	}
	h := &House{Rule: t.Rule, FridgeAlways: t.Always, FridgeC: t.FridgeC}
	for _, d := range []struct {
		key string
		v   *float64
		to  *float64
	}{{"max_age_days", t.MaxAge, &h.MaxAgeDays}, {"use_within_days", t.Use, &h.UseWithinDays}} {
		if d.v == nil {
			continue
		}
		if !(*d.v > 0) || *d.v > 36500 || math.IsInf(*d.v, 0) {
			return nil, doc.Errorf([]any{d.key}, d.key+" = 7", "%g is no number of days", *d.v)
		}
		*d.to = *d.v
	}
	if c := t.FridgeC; c != nil && !(*c >= -5 && *c <= 15) {
		return nil, doc.Errorf([]any{"fridge_c"}, "fridge_c = 5", "%g °C is no fridge", *c)
	}
	return h, nil
}
