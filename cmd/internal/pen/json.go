package pen

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// The JSON answers. Field names carry their units and never change meaning: they
// are a promise to scripts. Numbers are written out to ten figures, which leaves off
// what adding and multiplying added: 40 and not 40.00000000000004; rounding is for
// people. null stands for what cannot be reached or is not known: a number that is
// infinite or undefined, a moment that is not set. A list is never null, and the
// figures of a sentence are metric.
//
// encoding/json refuses an infinite number and writes a nil list as null, and no tag
// tells it otherwise; that is why the values are written here.

// Object is a JSON object: each field with what stands under it, in the order in
// which they are printed.
type Object []Field

// Field is one value of an answer with its name.
type Field struct {
	name  string
	value any
}

// As names a value of an answer.
func As(name string, value any) Field { return Field{name, value} }

// WriteJSON writes an answer.
func (p *Page) WriteJSON(answer Object) error {
	var plain, indented bytes.Buffer
	p.names.write(&plain, reflect.ValueOf(answer), "[]")
	if err := json.Indent(&indented, plain.Bytes(), "", "  "); err != nil {
		return err
	}
	indented.WriteByte('\n')
	_, err := p.w.Write(indented.Bytes())
	return err
}

// Verbatim is the maker's own words: nothing in them is taken for a figure of ours.
type Verbatim string

// Estimate is a range whose middle is called the median.
type Estimate mixture.Range

// Pick is the fields of a struct by their names for programs.
func Pick(of any, names string) Object {
	v := reflect.ValueOf(of)
	var out Object
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
			f = f.Convert(reflect.TypeFor[Estimate]())
		}
		out = append(out, As(name, Where(!unknown || !f.IsZero(), f.Interface())))
	}
	return out
}

// Names says what of a type is an answer: its fields by their names for programs.
// "sugar_g_per_l" is the field SugarGPerL, "cause=Name" calls Name a cause, a name
// with a question mark is null where the figure is zero, for not known, and one with a
// tilde is an estimate. A type that is not here, as those of the library, is written by
// all its fields as they are called.
type Names map[reflect.Type]string

// write writes a value; none is what stands for a list that was never begun.
func (n Names) write(b *bytes.Buffer, v reflect.Value, none string) {
	if !v.IsValid() {
		b.WriteString("null")
		return
	}
	switch x := v.Interface().(type) {
	case Object:
		writeEach(b, "{}", len(x), func(i int) {
			writeText(b, x[i].name)
			b.WriteByte(':')
			n.write(b, reflect.ValueOf(x[i].value), "[]")
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
	case Verbatim:
		writeString(b, string(x))
		return
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		n.write(b, v.Elem(), none)
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
		writeEach(b, "[]", v.Len(), func(i int) { n.write(b, v.Index(i), none) })
	case reflect.Map:
		keys := v.MapKeys()
		sort.Slice(keys, func(i, j int) bool { return keys[i].String() < keys[j].String() })
		writeEach(b, "{}", len(keys), func(i int) {
			writeText(b, keys[i].String())
			b.WriteByte(':')
			n.write(b, v.MapIndex(keys[i]), none)
		})
	case reflect.Struct:
		if names, ok := n[v.Type()]; ok {
			n.write(b, reflect.ValueOf(Pick(v.Interface(), names)), none)
			return
		}
		fields := slices.DeleteFunc(reflect.VisibleFields(v.Type()), func(f reflect.StructField) bool {
			return f.Anonymous || !f.IsExported()
		})
		writeEach(b, "{}", len(fields), func(i int) {
			writeText(b, fields[i].Name)
			b.WriteByte(':')
			n.write(b, v.FieldByIndex(fields[i].Index), "null")
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

func writeText(b *bytes.Buffer, s string) { writeString(b, quantity.Say(s, quantity.Metric)) }

func writeString(b *bytes.Buffer, s string) {
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string always encodes
	b.WriteString(escaped(bytes.TrimSuffix(text.Bytes(), []byte("\n"))))
}

// leastNumber that is written: what is smaller is none for whoever reads it, a chance too.
const leastNumber = 1e-15

// writeNumber writes a number out, without an exponent.
func writeNumber(b *bytes.Buffer, v float64) {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		b.WriteString("null")
		return
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if math.Abs(v) < leastNumber {
		v = 0
	}
	b.WriteString(strconv.FormatFloat(v, 'f', -1, 64))
}

// Some is v, or null where its zero stands for not known or none.
func Some[T comparable](v T) any {
	var none T
	if v == none {
		return nil
	}
	return v
}

// Where is v, or null where it does not hold.
func Where(holds bool, v any) any {
	if holds {
		return v
	}
	return nil
}
