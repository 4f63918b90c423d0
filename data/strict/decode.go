package strict

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"time"

	"github.com/BurntSushi/toml"
)

// Decode reads a TOML text into v, a pointer to a struct or a map, and returns
// the places of its keys. The first fault comes back as an *Error: a slip in
// the syntax, a key that v does not know or that is given twice, a value of the
// wrong kind, a number that is none (nan, inf), or whatever an UnmarshalTOML method
// refuses. A byte order mark and Windows line ends are fine.
//
// Struct fields take the key in their `toml` tag, or else their own name in
// lower case; keys match exactly. Further tags:
//
//	right:"amount = \"24 g\""   the example that messages about this key show
//	also:"weight,quantity"      words that people write for it, to answer "did you mean"
//	strict:"single"             a list of tables that may be written [x] when there is one
//
// Values go to fields as the TOML library gives them: string, bool, int64,
// float64, time.Time, []any, map[string]any for a field of type any. A local
// date or time is a time.Time whose location is named datetime-local,
// date-local or time-local and whose offset means nothing.
//
// v must be of a type that can be decoded into; that it is not is a fault of
// the program and comes back as an error that is no *Error.
func Decode(file string, src []byte, v any) (*Document, error) {
	rv := reflect.ValueOf(v)
	if rv.Kind() != reflect.Pointer || rv.IsNil() {
		return nil, fmt.Errorf("strict: cannot decode into %T, which is not a pointer", v)
	}
	d := &Document{file: file, text: string(src)}
	d.start = len(src) - len(strings.TrimPrefix(d.text, "\uFEFF"))
	r := &reader{d: d, root: rv.Elem().Type()}
	d.target = r
	read, fault := scan(d)
	if fault != nil {
		return nil, fault
	}
	d.nodes.Store(read)
	if err := r.value(read.root(), rv.Elem(), field{}); err != nil {
		return nil, err
	}
	return d, nil
}

// reader moves a scanned text into Go values, in the order of the file.
type reader struct {
	d    *Document
	root reflect.Type
}

// value puts what stands at n into rv. f is the field that rv belongs to.
func (r *reader) value(n *node, rv reflect.Value, f field) error {
	if rv.Kind() == reflect.Pointer {
		if rv.IsNil() {
			rv.Set(reflect.New(rv.Type().Elem()))
		}
		return r.value(n, rv.Elem(), f)
	}
	own, reads := rv.Addr().Interface().(toml.Unmarshaler)
	if !reads {
		switch rv.Kind() {
		case reflect.Struct:
			return r.structure(n, rv, f)
		case reflect.Map:
			return r.mapping(n, rv, f)
		case reflect.Slice:
			return r.slice(n, rv, f)
		}
	}
	if n.quoted && rv.Kind() == reflect.String && !reads && r.d.fault == nil {
		rv.SetString(n.text)
		return nil
	}
	data := r.d.tree(n)
	if r.d.fault != nil {
		return r.d.fault
	}
	if reads {
		if err := own.UnmarshalTOML(data); err != nil {
			return r.d.at(n, f.right, err.Error())
		}
		return nil
	}
	want, v := wanted(rv.Type()), reflect.ValueOf(data)
	switch {
	case rv.Kind() == reflect.Interface && rv.NumMethod() == 0:
		rv.Set(v)
		return nil
	case want == "":
		return fmt.Errorf("strict: cannot decode into a %s", rv.Type())
	case v.Kind() != rv.Kind() && !(v.Kind() == reflect.Int64 && strings.HasSuffix(want, "number")):
		return r.wrongKind(n, want, f)
	}
	if problem := unmeasured(data); problem != "" {
		return r.d.at(n, f.right, r.nameOf(n, f)+" must be "+problem)
	}
	rv.Set(v.Convert(rv.Type()))
	return nil
}

// leastNumber is smaller than anything that is measured, and still far from where figures
// run out of digits.
const leastNumber = 1e-9

// unmeasured says what a number must be that nobody can have measured; "" for any other
// value.
func unmeasured(data any) string {
	x, ok := data.(float64)
	switch {
	case ok && (math.IsNaN(x) || math.IsInf(x, 0)):
		return "a finite number"
	case ok && x != 0 && math.Abs(x) < leastNumber:
		return "0 or a number that can be measured"
	}
	return ""
}

func (r *reader) structure(n *node, rv reflect.Value, f field) error {
	if n.kind != table {
		return r.wrongKind(n, "a table", f)
	}
	fields := fieldsOf(rv.Type())
	for _, kid := range n.kids {
		of, ok := named(fields, kid.key)
		if !ok {
			return r.unknownKey(n, kid, fields)
		}
		if err := r.value(kid, rv.FieldByIndex(of.index), of); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) mapping(n *node, rv reflect.Value, f field) error {
	t := rv.Type()
	switch {
	case n.kind != table:
		return r.wrongKind(n, "names and values in braces", f)
	case t.Key().Kind() != reflect.String:
		return fmt.Errorf("strict: cannot decode into a %s", t)
	case rv.IsNil():
		rv.Set(reflect.MakeMapWithSize(t, len(n.kids)))
	}
	for _, kid := range n.kids {
		elem := reflect.New(t.Elem()).Elem()
		if err := r.value(kid, elem, field{right: f.right, typ: t.Elem()}); err != nil {
			return err
		}
		rv.SetMapIndex(reflect.ValueOf(kid.key).Convert(t.Key()), elem)
	}
	return nil
}

func (r *reader) slice(n *node, rv reflect.Value, f field) error {
	of := rv.Type().Elem()
	items := n.items
	switch {
	case n.kind == table && f.single && isTableType(of):
		items = []*node{n}
	case n.kind != list && n.kind != tables:
		return r.wrongKind(n, "a list", f)
	}
	rv.Set(reflect.MakeSlice(rv.Type(), len(items), len(items)))
	for i, item := range items {
		if err := r.value(item, rv.Index(i), field{right: f.right, name: f.name, typ: of}); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) nameOf(n *node, f field) string {
	if n.key != "" {
		return quoted(n.key)
	}
	return "this entry of " + quoted(f.name)
}

// wrongKind words a value of another kind than the field takes.
func (r *reader) wrongKind(n *node, want string, f field) error {
	name, form := r.nameOf(n, f), f.form()
	switch {
	case form == "" && n.kind == table && n.inline && want != "a list":
		return r.d.at(n, f.right, fmt.Sprintf("%s should be %s, not several values in braces", name, want))
	case form == "" && (n.kind == table || n.kind == tables) && want != "a list":
		return r.d.atKey(n, f.right, fmt.Sprintf("%s should be %s, not a table of its own", name, want))
	case strings.HasPrefix(form, "[[") && n.kind == table && !n.inline:
		return r.d.atKey(n, "", fmt.Sprintf("[%s] can be there several times, so it is written with double "+
			"brackets: %s", f.name, form))
	case form != "" && n.kind == tables:
		return r.d.atKey(n, "", fmt.Sprintf("[[%s]] is there only once, so it is written with single "+
			"brackets: %s", f.name, form))
	case form != "":
		return r.d.at(n, "", fmt.Sprintf("%s is a table: write a line %s and put its keys below", name, form))
	}
	data := r.d.tree(n)
	if r.d.fault != nil {
		return r.d.fault
	}
	right := f.right
	if right == "" && n.key != "" {
		right = converted(toml.Key{n.key}.String()+" = ", data, want)
	}
	return r.d.at(n, right, fmt.Sprintf("%s should be %s, not %s", name, want, kindOf(data)))
}

// converted turns the value that was given into one of the kind that is wanted,
// where that is plain.
func converted(key string, data any, want string) string {
	switch v := data.(type) {
	case int64, float64:
		if want == wantText {
			return fmt.Sprintf(`%s"%v"`, key, v)
		}
	case string:
		switch {
		case strings.HasSuffix(want, "number") && isPlain(v):
			return key + v
		case want == wantBool && isYes(v):
			return key + "true"
		case want == wantBool && isNo(v):
			return key + "false"
		}
	}
	return ""
}

func kindOf(data any) string {
	switch v := data.(type) {
	case string:
		return "a text"
	case int64:
		return "a number"
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "nan or inf"
		}
		return "a number with a fraction"
	case bool:
		return "true or false"
	case time.Time:
		return "a date or time"
	case map[string]any:
		return "a table"
	}
	return "a list"
}

// unknownKey words a key that its table does not have: the nearest one it has,
// the table it belongs to, or the keys to choose from.
func (r *reader) unknownKey(in, kid *node, fields []field) error {
	where, here := "at the top of the file", in == r.d.top()
	if !here {
		where = "in " + r.titleOf(in)
	}
	report := func(right, format string, args ...any) error {
		problem := fmt.Sprintf("unknown key %s %s", quoted(kid.key), where)
		return r.d.atKey(kid, right, problem+fmt.Sprintf(format, args...))
	}
	if f, ok := nearestField(kid.key, fields); ok {
		shown := f.form()
		if shown == "" {
			shown = `"` + f.name + `"`
		}
		if kid.kind == table && kid.header || kid.kind == tables {
			return r.d.atKey(kid, "", fmt.Sprintf("unknown table %s; did you mean %s?", headerOf(kid), shown))
		}
		return report(f.right, "; did you mean %s?", shown)
	}
	if homes := r.homesOf(kid.key, in); len(homes) == 1 {
		h := homes[0]
		if h.form == "" {
			return report(h.right, "; it belongs at the top, above the first line in brackets")
		}
		return report(h.right, "; it belongs below a line %s", h.form)
	}
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
	}
	if kid.kind == table && kid.header || kid.kind == tables {
		var forms []string
		for _, f := range fields {
			if form := f.form(); form != "" {
				forms = append(forms, form)
			}
		}
		return r.d.atKey(kid, "", fmt.Sprintf("unknown table %s; the tables are %s", headerOf(kid),
			orNone(forms)))
	}
	return report("", "; the keys are %s", orNone(names))
}

func orNone(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

func headerOf(n *node) string {
	if n.kind == tables {
		return "[[" + printable(n.key) + "]]"
	}
	return "[" + printable(n.key) + "]"
}

// titleOf gives the header line of a table as it was written.
func (r *reader) titleOf(n *node) string {
	if n.header {
		return strings.TrimSpace(printable(string(r.d.text[n.at:n.end])))
	}
	if n.key == "" {
		return "these braces"
	}
	return quoted(n.key)
}
