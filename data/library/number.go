package library

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Grade says how a figure is known. From the best to the weakest:
// Published, Derived, Own, Practice, Judgement, Page, Memory.
type Grade string

// The grades.
const (
	Published Grade = "published" // read in the named source
	Derived   Grade = "derived"   // arithmetic on figures read in the named source
	Own       Grade = "own"       // the maker's own figure, from a library file
	Practice  Grade = "practice"  // common practice, no source that measured it
	Judgement Grade = "judgement" // our judgement, with the reason in the note
	Page      Grade = "page"      // an unsigned page; warns, decides nothing about keeping or poison
	Memory    Grade = "memory"    // from memory; decides nothing about keeping or poison
)

var gradeWords = map[Grade]string{
	Published: "published",
	Derived:   "worked out from the source's figures",
	Own:       "your own figure",
	Practice:  "common practice, not measured",
	Judgement: "our judgement",
	Page:      "an unsigned page, not decisive",
	Memory:    "from memory, to be checked",
}

// Decides reports whether a figure so known may settle a question of keeping or
// of harm. What nobody signs and what nobody looked up may only warn.
func (g Grade) Decides() bool { return g != Page && g != Memory }

// valid reports whether g is one of the seven grades.
func (g Grade) valid() bool { return gradeWords[g] != "" }

// Words returns the grade as a short phrase for print.
func (g Grade) Words() string {
	if w := gradeWords[g]; w != "" {
		return w
	}
	return string(g)
}

// Number is one figure with its provenance. The unit is in the name of the
// field that holds it.
type Number struct {
	Value     float64 // typical
	Low, High float64 // range seen or judged; both equal Value when there is none
	Source    string  // key of a Source
	Grade     Grade
	Note      string // what it rests on, in a few words; may be empty
}

// Known reports whether the number was given at all. The zero Number is not.
func (n Number) Known() bool { return n.Source != "" }

// Ranged reports whether the number has a range.
func (n Number) Ranged() bool { return n.Known() && (n.Low < n.Value || n.High > n.Value) }

// scaled returns n with its three figures multiplied by f ≥ 0.
func (n Number) scaled(f float64) Number {
	n.Value, n.Low, n.High = n.Value*f, n.Low*f, n.High*f
	return n
}

// judged is a figure of ours, as a judgement.
func judged(value, low, high float64, note string) Number {
	return Number{Value: value, Low: low, High: high, Source: "steepbook", Grade: Judgement, Note: note}
}

// UnmarshalTOML reads a figure as written: 0.4, [low, high], [low, typical,
// high], or a table with value, low, high, source, grade and note. Where it comes
// from, if that is not written, the reader of the table it stands in fills in.
func (n *Number) UnmarshalTOML(v any) error {
	var err error
	switch v := v.(type) {
	case []any:
		err = n.list(v)
	case map[string]any:
		err = n.table(v)
	default:
		n.Value, err = toFloat(v)
		n.Low, n.High = n.Value, n.Value
	}
	if err == nil && !(n.Low <= n.Value && n.Value <= n.High) {
		err = fmt.Errorf("low, typical and high must rise: %g, %g, %g", n.Low, n.Value, n.High)
	}
	return err
}

func (n *Number) list(vs []any) error {
	fs := make([]float64, len(vs))
	for i, v := range vs {
		var err error
		if fs[i], err = toFloat(v); err != nil {
			return err
		}
	}
	switch len(fs) {
	case 2:
		n.Low, n.Value, n.High = fs[0], middle(fs[0], fs[1]), fs[1]
	case 3:
		n.Low, n.Value, n.High = fs[0], fs[1], fs[2]
	default:
		return fmt.Errorf("a range is [low, high] or [low, typical, high]")
	}
	return nil
}

func (n *Number) table(m map[string]any) error {
	figures := map[string]*float64{"value": &n.Value, "low": &n.Low, "high": &n.High}
	texts := map[string]*string{"source": &n.Source, "grade": (*string)(&n.Grade), "note": &n.Note}
	has := map[string]bool{}
	for _, k := range slices.Sorted(maps.Keys(m)) {
		v := m[k]
		var err error
		switch {
		case figures[k] != nil:
			*figures[k], err = toFloat(v)
			has[k] = true
		case texts[k] != nil:
			var ok bool
			if *texts[k], ok = v.(string); !ok {
				err = fmt.Errorf("%s must be text in quotation marks", k)
			}
		default:
			err = fmt.Errorf("unknown key %q: a figure has value, low, high, source, grade and note", k)
		}
		if err != nil {
			return err
		}
	}
	switch {
	case !has["value"] && !(has["low"] && has["high"]):
		return fmt.Errorf("a figure needs a value, or low and high")
	case !has["value"]:
		n.Value = middle(n.Low, n.High)
	}
	if !has["low"] {
		n.Low = n.Value
	}
	if !has["high"] {
		n.High = n.Value
	}
	return nil
}

// middle is the typical value between two ends: geometric where both are
// positive, because most figures here scatter by a factor.
func middle(low, high float64) float64 {
	if low > 0 && high > 0 {
		m := math.Sqrt(low * high)
		// Three figures are plenty for a made-up middle.
		p := math.Pow(10, 2-math.Floor(math.Log10(m)))
		return min(max(math.Round(m*p)/p, low), high)
	}
	return (low + high) / 2
}

func toFloat(v any) (float64, error) {
	var f float64
	switch v := v.(type) {
	case float64:
		f = v
	case int64:
		f = float64(v)
	default:
		return 0, fmt.Errorf("a number is wanted here, not %T", v)
	}
	if !finite(f) {
		return 0, fmt.Errorf("a number is wanted here, not %v", f)
	}
	return f, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
