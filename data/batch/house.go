package batch

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"steepbook/data/disk"
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
	// Rule is who set them, in the maker's words.
	Rule string `toml:"rule" right:"rule = \"county code, section 12\""`
	// MaxAgeDays run from straining, UseWithinDays from the opening; 0: no such rule.
	MaxAgeDays    float64 `toml:"max_age_days" right:"max_age_days = 90"`
	UseWithinDays float64 `toml:"use_within_days" right:"use_within_days = 7"`
	// FridgeAlways: everything is kept cold. FridgeC is what the fridge really is [°C]; nil:
	// not measured.
	FridgeAlways bool     `toml:"fridge_always" right:"fridge_always = true"`
	FridgeC      *float64 `toml:"fridge_c" right:"fridge_c = 5"`
	// Country is that whose drinks and measures are meant; "": not said.
	Country Country `toml:"country" right:"country = \"UK\""`
	// Awake is when somebody is up, as it is written; see WakingHours.
	Awake string `toml:"awake" right:"awake = \"07:00-23:00\"" also:"waking,hours"`

	awake [2]time.Duration // of the day; both zero: not written
}

// WakingHours are when somebody is up: from and to since midnight, 7 to 23 h
// unless the house says otherwise; to is more than 24 h where that is past midnight. A
// nil house says nothing.
func (h *House) WakingHours() (from, to time.Duration) {
	if h == nil || h.awake[1] == 0 {
		return 7 * time.Hour, 23 * time.Hour
	}
	return h.awake[0], h.awake[1]
}

// Up is the moment itself where somebody is up then by the wall clock of its zone,
// twice; else the last moment before it and the first after it at which somebody is.
func (h *House) Up(t time.Time) (before, after time.Time) {
	from, to := h.WakingHours()
	hour := func(days int, clock time.Duration) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day()+days, 0, int(clock.Minutes()), 0, 0, t.Location())
	}
	second := t.Round(time.Second)
	for days := -1; ; days++ {
		switch opens, closes := hour(days, from), hour(days, to); {
		case second.Before(opens):
			return hour(days-1, to), opens
		case !second.After(closes):
			return t, t
		}
	}
}

// Evening is the evening hour nearest to a moment, by the wall clock of its zone: the day's work
// is done then, and there is time for a jar. Judgement.
func (h *House) Evening(t time.Time) time.Time {
	const beforeSleep = 4 * time.Hour
	from, to := h.WakingHours()
	clock := max(from, to-beforeSleep)
	var best time.Time
	for days := -2; days <= 1; days++ {
		at := time.Date(t.Year(), t.Month(), t.Day()+days, 0, int(clock.Minutes()), 0, 0, t.Location())
		if best.IsZero() || at.Sub(t).Abs() < best.Sub(t).Abs() {
			best = at
		}
	}
	return best
}

// Where is its country; "" where it has none, or nobody says.
func (h *House) Where() Country {
	if h == nil {
		return ""
	}
	return h.Country
}

// Units are those of the country of the house; said is false where it has none.
func (h *House) Units() (system quantity.System, said bool) {
	switch h.Where() {
	case "":
		return quantity.Metric, false
	case US:
		return quantity.US, true
	}
	return quantity.Metric, true
}

// pastMidnight is the hour to which a waking day may last that ends past midnight, as at
// a bar: one that ends later was rather meant for the hours of sleep. Judgement.
const pastMidnight = 6 * time.Hour

// beside asks the rules of a folder, once, in whose measures its batches are. Rules with a
// fault say nothing: whoever reads them names it.
func beside(dir string) func() quantity.System {
	return sync.OnceValue(func() quantity.System {
		h, err := ReadHouse(filepath.Join(dir, HouseFile))
		if err != nil {
			return quantity.Metric
		}
		system, _ := h.Units()
		return system
	})
}

// ReadHouse reads a book's house rules. A file that is not there is no fault:
// then the rules are nil.
func ReadHouse(path string) (*House, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	src, err := disk.Load(path)
	if err != nil {
		return nil, err
	}
	h := &House{}
	doc, err := strict.Decode(path, src, h)
	if err != nil {
		return nil, err
	}
	for i, key := range []string{"max_age_days", "use_within_days"} {
		if days := [2]float64{h.MaxAgeDays, h.UseWithinDays}[i]; doc.Has(key) &&
			!(days > 0 && days <= 36500) {
			return nil, doc.Errorf([]any{key}, key+" = 7", "%s is no number of days",
				quantity.FormatNumber(days))
		}
	}
	if c := h.FridgeC; c != nil && !(*c >= -5 && *c <= 15) {
		return nil, doc.Errorf([]any{"fridge_c"}, doc.Right("fridge_c"), "%s~°C is no fridge",
			quantity.FormatNumber(*c))
	}
	if written := string(h.Country); doc.Has("country") {
		if h.Country = countries[strings.ToUpper(strings.TrimSpace(written))]; h.Country == "" {
			return nil, doc.Errorf([]any{"country"}, doc.Right("country"),
				"%q is no country whose drinks are known here; they are US, UK and AU", written)
		}
	}
	if h.Awake == "" {
		return h, nil
	}
	from, to, _ := strings.Cut(strings.NewReplacer(" to ", "-", "–", "-").Replace(h.Awake), "-")
	a, okA := clockOfDay(from)
	b, okB := clockOfDay(to)
	if okB && b <= pastMidnight && b < a {
		b += 24 * time.Hour
	}
	if !okA || !okB || a >= b {
		return nil, doc.Errorf([]any{"awake"}, doc.Right("awake"), "%q is no part of a day", h.Awake)
	}
	h.awake = [2]time.Duration{a, b}
	return h, nil
}
