package batch

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// HouseFile is the name of a book's own rules, beside its batches.
const HouseFile = "house.toml"

// Country is one whose drinks and measures are known.
type Country string

// The countries.
const (
	US Country = "US"
	UK Country = "UK"
	AU Country = "AU" // New Zealand counts alike
)

var countries = map[string]Country{"US": US, "USA": US, "UK": UK, "GB": UK, "AU": AU, "NZ": AU}

// House holds the rules a place has set for itself or was given, such as a bar
// by its health code: clocks that end a bottle whatever the judgement says.
type House struct {
	Rule          string   // who set them, in the maker's words
	MaxAgeDays    float64  // from straining; 0: no such rule
	UseWithinDays float64  // once opened; 0: no such rule
	FridgeAlways  bool     // everything is kept cold
	FridgeC       *float64 // what the fridge really is [°C]; nil: not measured
	Country       Country  // whose drinks and measures are meant; "": not said

	awake [2]time.Duration // of the day; both zero: not written
}

// WakingHours are when somebody is up: from and to since midnight, 7 to 23 h
// unless the house says otherwise. A nil house says nothing.
func (h *House) WakingHours() (from, to time.Duration) {
	if h == nil || h.awake[1] == 0 {
		return 7 * time.Hour, 23 * time.Hour
	}
	return h.awake[0], h.awake[1]
}

// Units are those of the country of the house; said is false where it has none.
func (h *House) Units() (system quantity.System, said bool) {
	switch {
	case h == nil || h.Country == "":
		return quantity.Metric, false
	case h.Country == US:
		return quantity.US, true
	}
	return quantity.Metric, true
}

type houseTable struct {
	Rule    string   `toml:"rule" right:"rule = \"county code, section 12\""`
	MaxAge  *float64 `toml:"max_age_days" right:"max_age_days = 90"`
	Use     *float64 `toml:"use_within_days" right:"use_within_days = 7"`
	Always  bool     `toml:"fridge_always" right:"fridge_always = true"`
	FridgeC *float64 `toml:"fridge_c" right:"fridge_c = 5"`
	Country *string  `toml:"country" right:"country = \"UK\""`
	Awake   string   `toml:"awake" right:"awake = \"07:00-23:00\"" also:"waking,hours"`
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
		return nil, doc.Errorf([]any{"fridge_c"}, "fridge_c = 5", "%g~°C is no fridge", *c)
	}
	if t.Country != nil {
		h.Country = countries[strings.ToUpper(strings.TrimSpace(*t.Country))]
		if h.Country == "" {
			return nil, doc.Errorf([]any{"country"}, `country = "UK"`,
				"%q is no country whose drinks are known here; they are US, UK and AU", *t.Country)
		}
	}
	if t.Awake != "" {
		from, to, _ := strings.Cut(strings.NewReplacer(" to ", "-", "–", "-").Replace(t.Awake), "-")
		a, okA := clockOfDay(from)
		b, okB := clockOfDay(to)
		if b == 0 {
			b = 24 * time.Hour
		}
		if !okA || !okB || a >= b {
			return nil, doc.Errorf([]any{"awake"}, `awake = "07:00-23:00"`, "%q is no part of a day", t.Awake)
		}
		h.awake = [2]time.Duration{a, b}
	}
	return h, nil
}
