package textout

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/together"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// The JSON answers. Field names carry their units and never change meaning: they
// are a promise to scripts. Numbers are printed to ten figures, which leaves off
// what adding and multiplying added: 40 and not 40.00000000000004; rounding is for
// people. null stands for what cannot be reached or is not known: a number that is
// infinite or undefined, a moment that is not set. A list is never null, and the
// figures of a sentence are metric.
//
// encoding/json refuses an infinite number and writes a nil list as null, and no tag
// tells it otherwise; that is why the values are written here.

// object is a JSON object: each field with what stands under it, in the order in
// which they are printed.
type object []field

type field struct {
	name  string
	value any
}

// json writes an answer.
func (p *Page) json(answer object) error {
	var plain, indented bytes.Buffer
	writeJSON(&plain, reflect.ValueOf(answer), "[]")
	if err := json.Indent(&indented, plain.Bytes(), "", "  "); err != nil {
		return err
	}
	indented.WriteByte('\n')
	_, err := p.w.Write(indented.Bytes())
	return err
}

// written says what of a type is an answer: its fields by their names for programs.
// "sugar_g_per_l" is the field SugarGPerL, "cause=Name" calls Name a cause, a name
// with a question mark is null where the figure is zero, for not known, and one with a
// tilde is an estimate. A type that is not here, as those of the library, is written by
// all its fields as they are called.
var written = map[reflect.Type]string{
	reflect.TypeFor[estimate]():          "median=Value low high",
	reflect.TypeFor[kinetics.Interval](): "median low=P05 high=P95",
	reflect.TypeFor[kinetics.Wait]():     "median low=P05 high=P95",
	reflect.TypeFor[mixture.Range]():     "value low high",
	reflect.TypeFor[shelf.Days]():        "low high",
	reflect.TypeFor[shelf.Caution]():     "kind text source",
	reflect.TypeFor[mixture.Remark]():    "kind text source",
	reflect.TypeFor[mixture.Portion]():   "name amount_ml=VolumeML amount_g=MassG",
	reflect.TypeFor[mixture.Share]():     "cause cure share_of_variance=Fraction",
	reflect.TypeFor[mixture.Step]():      "step=Name what volume_ml abv_percent sugar_g_per_l",
	reflect.TypeFor[shelf.Cause]():       "cause=Name weight how_to_tell what_to_do throw_away source",
	reflect.TypeFor[shelf.Reason]():      "rule figure worst_case limit unit met=Pass text source",
	reflect.TypeFor[shelf.Decision]():    "organism hurdle margin margin_unit",
	reflect.TypeFor[together.Stay]():     "botanical=Name in_h out_h",
	reflect.TypeFor[compare.Mixed]():     "flavours changes",
	reflect.TypeFor[scale.Purchase](): "item abv_percent? amounts volume_ml? mass_g? fruit " +
		"spare fruit_g? bottles",
	reflect.TypeFor[scale.Bottles](): "size_ml count left_ml",
	reflect.TypeFor[prior.Lesson]():  "botanical cut " + lessonFields,
	reflect.TypeFor[prior.Taught](): "botanical=Name cut=CutName " + lessonFields +
		" files next_jar_rate_per_h~=NextPerH library_plateau~ state why paste teachers_not_in_book=Gone",
	reflect.TypeFor[batch.Key](): "table name example takes",
	reflect.TypeFor[bench.Change](): "kind text amount unit add abv_percent sugar_g_per_l taste " +
		"verdict=Then.Verdict unopened_days=Then.Unopened",
	reflect.TypeFor[Wrong]():   "file problem",
	reflect.TypeFor[Checked](): "file batch=Name problem hints",
}

const lessonFields = "batches tastings rate_per_h~ library_rate_per_h~=Library plateau~ " +
	"four_fifths_h~=ReadyH dose_g_per_l? own_share_of_rate=OwnRate own_share_of_plateau=OwnPlateau warnings"

// estimate is a range whose middle is called the median.
type estimate mixture.Range

// pick is the fields of a struct by their names for programs.
func pick(of any, names string) object {
	v := reflect.ValueOf(of)
	var out object
	for name := range strings.FieldsSeq(names) {
		name, unknown := strings.CutSuffix(name, "?")
		name, path, renamed := strings.Cut(name, "=")
		name, estimated := strings.CutSuffix(name, "~")
		if !renamed {
			path = strings.ReplaceAll(name, "_", "")
		}
		f := v
		for part := range strings.SplitSeq(path, ".") {
			f = f.FieldByNameFunc(func(s string) bool { return strings.EqualFold(s, part) })
			if !f.IsValid() {
				panic(fmt.Sprintf("%s has no field for %q", v.Type(), name))
			}
		}
		if estimated {
			f = f.Convert(reflect.TypeFor[estimate]())
		}
		out = append(out, field{name, where(!unknown || !f.IsZero(), f.Interface())})
	}
	return out
}

// writeJSON writes a value; none is what stands for a list that was never begun.
func writeJSON(b *bytes.Buffer, v reflect.Value, none string) {
	if !v.IsValid() {
		b.WriteString("null")
		return
	}
	switch x := v.Interface().(type) {
	case object:
		writeEach(b, "{}", len(x), func(i int) {
			writeText(b, x[i].name)
			b.WriteByte(':')
			writeJSON(b, reflect.ValueOf(x[i].value), "[]")
		})
		return
	case time.Time:
		if x.IsZero() {
			b.WriteString("null")
		} else {
			writeText(b, x.Format(time.RFC3339))
		}
		return
	case quantity.Amount:
		writeText(b, x.String())
		return
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		writeJSON(b, v.Elem(), none)
	case reflect.Bool, reflect.Int:
		fmt.Fprint(b, v.Interface())
	case reflect.Float64:
		writeNumber(b, v.Float())
	case reflect.String:
		writeText(b, v.String())
	case reflect.Slice:
		if v.IsNil() {
			b.WriteString(none)
			return
		}
		writeEach(b, "[]", v.Len(), func(i int) { writeJSON(b, v.Index(i), none) })
	case reflect.Map:
		keys := v.MapKeys()
		slices.SortFunc(keys,
			func(x, y reflect.Value) int { return bytes.Compare([]byte(x.String()), []byte(y.String())) })
		writeEach(b, "{}", len(keys), func(i int) {
			writeText(b, keys[i].String())
			b.WriteByte(':')
			writeJSON(b, v.MapIndex(keys[i]), none)
		})
	case reflect.Struct:
		if names, ok := written[v.Type()]; ok {
			writeJSON(b, reflect.ValueOf(pick(v.Interface(), names)), none)
			return
		}
		fields := slices.DeleteFunc(reflect.VisibleFields(v.Type()), func(f reflect.StructField) bool {
			return f.Anonymous || !f.IsExported()
		})
		writeEach(b, "{}", len(fields), func(i int) {
			writeText(b, fields[i].Name)
			b.WriteByte(':')
			writeJSON(b, v.FieldByIndex(fields[i].Index), "null")
		})
	default:
		panic("no JSON is known for a " + v.Kind().String())
	}
}

func writeEach(b *bytes.Buffer, brackets string, n int, one func(i int)) {
	b.WriteByte(brackets[0])
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		one(i)
	}
	b.WriteByte(brackets[1])
}

func writeText(b *bytes.Buffer, s string) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	_ = e.Encode(quantity.Say(s, quantity.Metric)) // a string always encodes
	b.Truncate(b.Len() - 1)                        // the line's end
}

func writeNumber(b *bytes.Buffer, v float64) {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		b.WriteString("null")
		return
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	text, _ := json.Marshal(v) // a finite number always encodes
	b.Write(text)
}

// some is v, or null where its zero stands for not known or none.
func some[T comparable](v T) any {
	var none T
	if v == none {
		return nil
	}
	return v
}

// where is v, or null where it does not hold.
func where(holds bool, v any) any {
	if holds {
		return v
	}
	return nil
}

// Files lists the files that were written.
func Files(p *Page, batch string, files []string) error {
	if p.JSON {
		return p.json(object{{"batch", batch}, {"files", files}})
	}
	for _, f := range files {
		p.line("wrote %s", f)
	}
	return p.done()
}
