package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"steepbook/cmd/internal/demo"
)

// shape says what stands under a JSON field: s text, b boolean, n number,
// n? number or null, o object, o? object or null, []x list of x; a/b/c for one of
// these words.
type shape map[string]string

// holds checks one object against a shape.
func holds(t *testing.T, where string, got any, want shape) {
	t.Helper()
	obj, ok := got.(map[string]any)
	if !ok {
		t.Errorf("%s is %T, want an object", where, got)
		return
	}
	for field, kind := range want {
		v, ok := obj[field]
		if !ok {
			t.Errorf("%s has no field %q", where, field)
			continue
		}
		if strings.HasSuffix(kind, "?") {
			if v == nil {
				continue
			}
			kind = strings.TrimSuffix(kind, "?")
		}
		one := func(v any, kind string) bool {
			switch kind {
			case "s":
				_, ok = v.(string)
			case "b":
				_, ok = v.(bool)
			case "n":
				_, ok = v.(float64)
			case "o":
				_, ok = v.(map[string]any)
			default:
				s, text := v.(string)
				ok = text && strings.Contains("/"+kind+"/", "/"+s+"/")
			}
			return ok
		}
		if inner, list := strings.CutPrefix(kind, "[]"); list {
			l, ok := v.([]any)
			if !ok {
				t.Errorf("%s: %q is %T, want a list", where, field, v)
				continue
			}
			for _, e := range l {
				if !one(e, inner) {
					t.Errorf("%s: %q holds %v, want %s", where, field, e, inner)
				}
			}
			continue
		}
		if !one(v, kind) {
			t.Errorf("%s: %q is %v, want %s", where, field, v, kind)
		}
	}
}

func answer(t *testing.T, typed ...string) map[string]any {
	t.Helper()
	status, out, errs := run(t, append(typed, "--json")...)
	if status != statusAnswered && status != statusAct {
		t.Fatalf("%q: status %d: %s", typed, status, errs)
	}
	var v map[string]any
	if err := json.Unmarshal([]byte(out), &v); err != nil {
		t.Fatalf("%q: %v\n%.500s", typed, err, out)
	}
	return v
}

var (
	triple = shape{"median": "n?", "low": "n?", "high": "n?"}
	length = shape{"low": "n?", "high": "n?"}
)

// TestFixedFieldsOfJSON: what programs were promised, under the name and of the
// kind that was promised, null where it is not known. More may stand there.
func TestFixedFieldsOfJSON(t *testing.T) {
	dir := t.TempDir()
	for name, src := range oddBatches() {
		if name == "fifty" || name == "all is ten" {
			continue
		}
		file := filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".toml")
		if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
			t.Fatal(err)
		}
		jsonOf(t, name, file)
	}
	if _, _, err := demo.Write(dir+"/demo", createNew); err != nil {
		t.Fatal(err)
	}
	jsonOf(t, "the demo", dir+"/demo/winter-orange-2.toml")
}

func jsonOf(t *testing.T, name, file string) {
	t.Helper()
	const now = "--now=2026-11-23T08:00"
	v := answer(t, "steep", file, now)
	holds(t, name+": steep", v,
		shape{"batch": "s", "elapsed_h": "n", "curves": "[]o", "rescue": "o?", "warnings": "[]s"})
	for _, c := range v["curves"].([]any) {
		holds(t, name+": a curve", c, shape{"botanical": "s", "cut": "s", "tastings": "n", "rate_per_h": "o",
			"plateau": "o", "half_time_h": "o",
			"pull_h": "o?", "overdue": "b", "limited_by": "target/watch/plateau/none",
			"next_tasting_h": "n?", "own_tasting_h": "n?", "warnings": "[]s"})
		c := c.(map[string]any)
		for _, f := range []string{"rate_per_h", "plateau", "half_time_h"} {
			holds(t, name+": "+f, c[f], triple)
		}
		if c["pull_h"] != nil {
			holds(t, name+": pull_h", c["pull_h"], triple)
		} else if len(c["warnings"].([]any)) == 0 && c["watch"] != true {
			t.Errorf("%s: %s has no time to pull and no warning that says why", name, c["botanical"])
		}
	}
	if v["rescue"] != nil {
		holds(t, name+": rescue", v["rescue"], shape{"spirit_ml": "n?", "volume_ml": "n?"})
	}

	v = answer(t, "blend", file, now)
	figures := []string{"volume_ml", "abv_percent", "sugar_g_per_l", "acid_g_per_l", "brix", "ph",
		"water_activity", "density_kg_per_m3", "loss_ml"}
	want := shape{"drinks_us_14g": "n?", "cost": "n?", "warnings": "[]s", "steps": "[]o", "ranges": "o"}
	for _, f := range figures {
		want[f] = "n?"
	}
	holds(t, name+": blend", v, want)
	ranges := v["ranges"].(map[string]any)
	for _, f := range figures {
		if (v[f] == nil) != (ranges[f] == nil) {
			t.Errorf("%s: %s is %v with the range %v", name, f, v[f], ranges[f])
		}
		if ranges[f] == nil {
			continue
		}
		holds(t, name+": range of "+f, ranges[f], shape{"value": "n", "low": "n", "high": "n"})
		r := ranges[f].(map[string]any)
		if low, high := r["low"].(float64), r["high"].(float64); r["value"] != v[f] || low > high {
			t.Errorf("%s: %s is %v with the range %v", name, f, v[f], r)
		}
	}
	if _, ok := v["add"]; ok {
		t.Errorf("%s: something is added without a target", name)
	}
	if ml, ok := v["volume_ml"].(float64); ok && ml > 0 {
		v = answer(t, "blend", file, now, "--abv=20", "--have=water")
		holds(t, name+": blend with a target", v, shape{"add": "[]o", "reached": "b", "why": "s"})
		for _, m := range v["add"].([]any) {
			holds(t, name+": an addition", m, shape{"name": "s", "amount_ml": "n", "amount_g": "n"})
		}
	}

	v = answer(t, "keep", file, now)
	holds(t, name+": keep", v, shape{"verdict": "shelf/fridge/freezer/discard/unknown",
		"unopened_days": "o?", "opened_days": "o?", "at_c": "n",
		"decided_by": "o", "ph": "n?", "water_activity": "n?", "abv_percent": "n?", "delle_units": "n?",
		"flavour_days": "o?",
		"changes":      "[]o", "cautions": "[]o", "confidence": "low/moderate/high"})
	holds(t, name+": decided_by", v["decided_by"], shape{"organism": "s", "hurdle": "s", "margin": "n?"})
	for _, f := range []string{"unopened_days", "opened_days", "flavour_days"} {
		if v[f] != nil {
			holds(t, name+": "+f, v[f], length)
		}
	}
	for _, c := range v["cautions"].([]any) {
		holds(t, name+": a caution", c, shape{"kind": "s", "text": "s", "source": "s", "in": "[]s"})
	}
}
