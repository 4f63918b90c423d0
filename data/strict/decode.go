package strict

import (
	"bytes"
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/BurntSushi/toml"
)

// Explainer is an error of a value type that keeps its problem and its right
// example apart. Decode puts them into the Problem and Right of an Error.
type Explainer interface {
	error
	// Explain gives what is wrong, and an example value (without a key) or "".
	Explain() (problem, right string)
}

// Decode reads a TOML text into v, a pointer to a struct or a map, and returns
// the places of its keys. The first fault comes back as an *Error: a slip in
// the syntax, a key that v does not know or that is given twice, a value of the
// wrong kind, a number that is none (nan, inf), or whatever an UnmarshalTOML or
// UnmarshalText method refuses. A byte order mark and Windows line ends are fine.
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
	d := &Document{file: file, src: src, root: &node{kind: table}}
	d.start = len(src) - len(bytes.TrimPrefix(src, []byte("\uFEFF")))
	r := &reader{d: d, root: rv.Elem().Type()}
	d.target = r
	if err := scan(d); err != nil {
		return nil, err
	}
	var tree any = d.tree(d.root)
	if d.odd {
		var err error
		if tree, err = parse(d); err != nil {
			return nil, err
		}
	}
	if err := r.value(d.root, tree, rv.Elem(), field{}); err != nil {
		return nil, err
	}
	return d, nil
}

// parse lets the library read the whole text. What the scanner let through and
// the library does not is put into words here.
func parse(d *Document) (tree map[string]any, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &Error{File: d.file, Problem: "this text cannot be read as TOML"}
		}
	}()
	_, err = toml.Decode(string(d.src[d.start:]), &tree)
	var pe toml.ParseError
	if errors.As(err, &pe) {
		return nil, d.worded(pe)
	}
	if err != nil {
		return nil, &Error{File: d.file, Problem: strings.TrimPrefix(err.Error(), "toml: ")}
	}
	return tree, nil
}

func (d *Document) worded(pe toml.ParseError) *Error {
	from, line := d.start+pe.Position.Start, max(pe.Position.Line, 1)
	right, problem := "", strings.TrimSuffix(pe.Message, ".")
	switch {
	case strings.Contains(problem, "invalid datetime"):
		problem = "there is no such date or time"
		right = "2026-11-20T18:00:00"
		if pe.LastKey != "" {
			right = pe.LastKey + " = " + right
		}
	case strings.Contains(problem, "out of range"):
		problem = "this number is too large"
	case strings.Contains(problem, "escape"), strings.Contains(problem, "hexadecimal"):
		problem = `a backslash inside "…" must be doubled; within single quotation marks it may stand alone`
	case strings.Contains(problem, "already"):
		problem = fmt.Sprintf("%s is given twice", quoted(pe.LastKey))
	case strings.Contains(problem, "integer"), strings.Contains(problem, "float"):
		problem = "this is not a number as it should be written"
	}
	return d.mark(line, from, from+pe.Position.Len, right, problem)
}

// reader moves a parsed tree into Go values, in the order of the file.
type reader struct {
	d    *Document
	root reflect.Type
}

// fieldsOf lists the fields of a struct type that a file can set.
func fieldsOf(t reflect.Type) []field {
	fields, ok := knownFields.Load(t)
	if !ok {
		fields, _ = knownFields.LoadOrStore(t, listFields(t))
	}
	return fields.([]field)
}

// knownFields holds the fields of every struct type decoded so far: a book is
// many files of one shape.
var knownFields sync.Map // reflect.Type to []field

// field is a struct field as the file sees it.
type field struct {
	name   string
	index  []int
	right  string
	also   []string
	single bool
	typ    reflect.Type
}

// listFields is fieldsOf by reflection. Fields of embedded structs without a tag count
// as the struct's own.
func listFields(t reflect.Type) []field {
	var fields []field
	for f := range t.Fields() {
		name, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		switch {
		case name == "-":
			continue
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct:
			for _, sub := range listFields(f.Type) {
				sub.index = append([]int{f.Index[0]}, sub.index...)
				fields = append(fields, sub)
			}
			continue
		case !f.IsExported():
			continue
		case name == "":
			name = strings.ToLower(f.Name)
		}
		var also []string
		if words := f.Tag.Get("also"); words != "" {
			also = strings.Split(words, ",")
		}
		fields = append(fields, field{
			name: name, index: f.Index, right: f.Tag.Get("right"),
			also: also, single: f.Tag.Get("strict") == "single", typ: f.Type,
		})
	}
	return fields
}

// Key is a key that a struct takes from a file, as its tags say.
type Key struct {
	Name  string
	Line  string // the line it is written as where it is a table, "[finish]", "[[tasting]]"
	Right string // an example with a value
	Keys  []Key  // of a table
}

// Keys lists the keys of a struct in the order of its fields.
func Keys(of any) []Key { return keysOf(reflect.TypeOf(of)) }

func keysOf(t reflect.Type) (keys []Key) {
	for _, f := range fieldsOf(plainType(t)) {
		k := Key{Name: f.name, Line: f.form(), Right: f.right}
		if k.Line != "" {
			k.Keys = keysOf(f.typ)
		}
		keys = append(keys, k)
	}
	return keys
}

var (
	unmarshalerType     = reflect.TypeFor[toml.Unmarshaler]()
	textUnmarshalerType = reflect.TypeFor[encoding.TextUnmarshaler]()
	timeType            = reflect.TypeFor[time.Time]()
)

// value puts data, which stands at n, into rv. f is the field that rv belongs to.
func (r *reader) value(n *node, data any, rv reflect.Value, f field) error {
	if rv.Kind() == reflect.Pointer {
		if rv.IsNil() {
			rv.Set(reflect.New(rv.Type().Elem()))
		}
		return r.value(n, data, rv.Elem(), f)
	}
	if rv.Type() == timeType {
		t, ok := data.(time.Time)
		if !ok {
			return r.wrongKind(n, data, "a date", f)
		}
		rv.Set(reflect.ValueOf(t))
		return nil
	}
	if rv.CanAddr() {
		pt := reflect.PointerTo(rv.Type())
		switch {
		case pt.Implements(unmarshalerType):
			return r.own(n, f, rv.Addr().Interface().(toml.Unmarshaler).UnmarshalTOML(data))
		case pt.Implements(textUnmarshalerType):
			text, ok := data.(string)
			if !ok {
				return r.wrongKind(n, data, "a text in quotation marks", f)
			}
			return r.own(n, f, rv.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text)))
		}
	}
	switch rv.Kind() {
	case reflect.Struct:
		return r.structure(n, data, rv, f)
	case reflect.Map:
		return r.mapping(n, data, rv, f)
	case reflect.Slice:
		return r.slice(n, data, rv, f)
	case reflect.Interface:
		if rv.NumMethod() == 0 {
			rv.Set(reflect.ValueOf(data))
			return nil
		}
	case reflect.String:
		s, ok := data.(string)
		if !ok {
			return r.wrongKind(n, data, "a text in quotation marks", f)
		}
		rv.SetString(s)
		return nil
	case reflect.Bool:
		b, ok := data.(bool)
		if !ok {
			return r.wrongKind(n, data, "true or false", f)
		}
		rv.SetBool(b)
		return nil
	case reflect.Float64, reflect.Float32:
		return r.float(n, data, rv, f)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		i, ok := data.(int64)
		if !ok {
			return r.wrongKind(n, data, "a whole number", f)
		}
		if rv.OverflowInt(i) {
			return r.d.at(n, f.right, fmt.Sprintf("%s is too large a number", r.nameOf(n, f)))
		}
		rv.SetInt(i)
		return nil
	}
	return fmt.Errorf("strict: cannot decode into a %s", rv.Type())
}

func (r *reader) float(n *node, data any, rv reflect.Value, f field) error {
	var x float64
	switch v := data.(type) {
	case float64:
		x = v
	case int64:
		x = float64(v)
	default:
		return r.wrongKind(n, data, "a number", f)
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return r.d.at(n, f.right, fmt.Sprintf("%s must be a finite number", r.nameOf(n, f)))
	}
	rv.SetFloat(x)
	return nil
}

// own passes on what a type's own unmarshal method refused.
func (r *reader) own(n *node, f field, err error) error {
	if err == nil {
		return nil
	}
	problem, right := err.Error(), f.right
	var ex Explainer
	if errors.As(err, &ex) {
		if p, example := ex.Explain(); example != "" && n.key != "" {
			problem, right = p, toml.Key{n.key}.String()+" = "+example
		} else {
			problem = p
		}
	}
	return r.d.at(n, right, problem)
}

func (r *reader) structure(n *node, data any, rv reflect.Value, f field) error {
	m, ok := data.(map[string]any)
	if !ok {
		return r.wrongKind(n, data, "a table", f)
	}
	fields := fieldsOf(rv.Type())
	for _, kid := range n.kids {
		i := slices.IndexFunc(fields, func(f field) bool { return f.name == kid.key })
		if i < 0 {
			return r.unknownKey(n, kid, fields)
		}
		if err := r.value(kid, m[kid.key], rv.FieldByIndex(fields[i].index), fields[i]); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) mapping(n *node, data any, rv reflect.Value, f field) error {
	m, ok := data.(map[string]any)
	if !ok {
		return r.wrongKind(n, data, "names and values in braces", f)
	}
	t := rv.Type()
	if t.Key().Kind() != reflect.String {
		return fmt.Errorf("strict: cannot decode into a %s", t)
	}
	if rv.IsNil() {
		rv.Set(reflect.MakeMapWithSize(t, len(m)))
	}
	for _, kid := range n.kids {
		elem := reflect.New(t.Elem()).Elem()
		if err := r.value(kid, m[kid.key], elem, field{right: f.right, typ: t.Elem()}); err != nil {
			return err
		}
		rv.SetMapIndex(reflect.ValueOf(kid.key).Convert(t.Key()), elem)
	}
	return nil
}

func (r *reader) slice(n *node, data any, rv reflect.Value, f field) error {
	var items []any
	nodes := n.items
	isTable := isTableType(rv.Type().Elem())
	switch list := data.(type) {
	case []any:
		items = list
	case []map[string]any:
		for _, m := range list {
			items = append(items, m)
		}
	case map[string]any:
		if !f.single || !isTable {
			return r.wrongKind(n, data, "a list", f)
		}
		items, nodes = []any{list}, []*node{n}
	default:
		return r.wrongKind(n, data, "a list", f)
	}
	if len(items) != len(nodes) {
		return fmt.Errorf("strict: %s has %d entries and %d places", n.key, len(items), len(nodes))
	}
	rv.Set(reflect.MakeSlice(rv.Type(), len(items), len(items)))
	for i := range items {
		if err := r.value(nodes[i], items[i], rv.Index(i), field{right: f.right, name: f.name, typ: rv.Type().Elem()}); err != nil {
			return err
		}
	}
	return nil
}

func isTableType(t reflect.Type) bool {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t.Kind() == reflect.Struct && t != timeType && !reflect.PointerTo(t).Implements(unmarshalerType) &&
		!reflect.PointerTo(t).Implements(textUnmarshalerType)
}

// form tells how a field is written: its name, and as a table line where it is one.
func (f field) form() string {
	if f.typ == nil {
		return ""
	}
	t := f.typ
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t.Kind() == reflect.Slice && isTableType(t.Elem()):
		return "[[" + f.name + "]]"
	case isTableType(t):
		return "[" + f.name + "]"
	}
	return ""
}

func (r *reader) nameOf(n *node, f field) string {
	if n.key != "" {
		return quoted(n.key)
	}
	return "this entry of " + quoted(f.name)
}

// wrongKind words a value of another kind than the field takes.
func (r *reader) wrongKind(n *node, data any, want string, f field) error {
	right := f.right
	name := r.nameOf(n, f)
	form := f.form()
	_, isOne := data.(map[string]any)
	_, isMany := data.([]map[string]any)
	switch {
	case form == "" && (isOne || isMany) && want != "a list":
		if n.inline {
			return r.d.at(n, right, fmt.Sprintf("%s should be %s, not several values in braces", name, want))
		}
		return r.d.atKey(n, right, fmt.Sprintf("%s should be %s, not a table of its own", name, want))
	case strings.HasPrefix(form, "[[") && isOne && !n.inline:
		return r.d.atKey(n, "", fmt.Sprintf("[%s] can be there several times, so it is written with double brackets: %s", f.name, form))
	case form != "" && isMany:
		return r.d.atKey(n, "", fmt.Sprintf("[[%s]] is there only once, so it is written with single brackets: %s", f.name, form))
	case form != "":
		return r.d.at(n, "", fmt.Sprintf("%s is a table: write a line %s and put its keys below", name, form))
	}
	if right == "" {
		right = example(n, data, want)
	}
	return r.d.at(n, right, fmt.Sprintf("%s should be %s, not %s", name, want, kindOf(data)))
}

// example turns the value that was given into one of the kind that is wanted,
// where that is plain.
func example(n *node, data any, want string) string {
	if n.key == "" {
		return ""
	}
	key := toml.Key{n.key}.String()
	switch v := data.(type) {
	case int64, float64:
		if strings.HasPrefix(want, "a text") {
			return fmt.Sprintf(`%s = "%v"`, key, v)
		}
	case string:
		if strings.HasSuffix(want, "number") && isPlain(v) {
			return key + " = " + v
		}
		if want == "true or false" && isYes(v) {
			return key + " = true"
		}
		if want == "true or false" && isNo(v) {
			return key + " = false"
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
	where, here := "at the top of the file", in == r.d.root
	if !here {
		where = "in " + r.titleOf(in)
	}
	report := func(right, format string, args ...any) error {
		return r.d.atKey(kid, right, fmt.Sprintf("unknown key %s %s", quoted(kid.key), where)+fmt.Sprintf(format, args...))
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
		return r.d.atKey(kid, "", fmt.Sprintf("unknown table %s; the tables are %s", headerOf(kid), orNone(forms)))
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
		return strings.TrimSpace(printable(string(r.d.src[n.at:n.end])))
	}
	if n.key == "" {
		return "these braces"
	}
	return quoted(n.key)
}

func nearestField(word string, fields []field) (field, bool) {
	var names []string
	for _, f := range fields {
		if slices.ContainsFunc(f.also, func(a string) bool { return strings.EqualFold(a, word) }) || strings.EqualFold(f.name, word) {
			return f, true
		}
		names = append(names, f.name)
	}
	near, ok := Nearest(word, names)
	if !ok {
		return field{}, false
	}
	return fields[slices.Index(names, near)], true
}

// home is a place where a key is known.
type home struct{ form, right string }

// homesOf finds the places outside a table where a key would be right.
func (r *reader) homesOf(key string, in *node) []home {
	if r.root.Kind() != reflect.Struct {
		return nil
	}
	var homes []home
	for _, f := range fieldsOf(r.root) {
		if f.name == key && in != r.d.root {
			homes = append(homes, home{f.form(), f.right})
		}
		form := f.form()
		if form == "" || f.name == in.key {
			continue
		}
		for _, sub := range fieldsOf(plainType(f.typ)) {
			if sub.name == key {
				homes = append(homes, home{form, sub.right})
			}
		}
	}
	return homes
}

// fieldAt finds the field at a path of keys, and what type stands there.
func (r *reader) fieldAt(path []string) (f field, t reflect.Type, ok bool) {
	t = r.root
	for _, key := range path {
		switch t = plainType(t); t.Kind() {
		case reflect.Map:
			t = t.Elem()
		case reflect.Struct:
			fields := fieldsOf(t)
			i := slices.IndexFunc(fields, func(f field) bool { return f.name == key })
			if i < 0 {
				return field{}, nil, false
			}
			f, t = fields[i], fields[i].typ
		default:
			return field{}, nil, false
		}
	}
	return f, plainType(t), true
}

// plainType takes pointers and lists off a type.
func plainType(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}

// wanted tells which kind of value the field at path takes, when that is one
// that is written without quotation marks, and its example.
func (r *reader) wanted(path []string) (what, right string) {
	f, t, ok := r.fieldAt(path)
	switch {
	case !ok, reflect.PointerTo(t).Implements(unmarshalerType), reflect.PointerTo(t).Implements(textUnmarshalerType):
		return "", ""
	case t.Kind() == reflect.Bool:
		return "true or false", f.right
	case t.Kind() == reflect.Float64, t.Kind() == reflect.Float32:
		return "a number", f.right
	case t.Kind() >= reflect.Int && t.Kind() <= reflect.Int64:
		return "a whole number", f.right
	}
	return "", ""
}

// keyLike finds the key of the table at path that is word but for its spaces.
func (r *reader) keyLike(path []string, word string) (key string, ok bool) {
	_, t, ok := r.fieldAt(path)
	if !ok || t.Kind() != reflect.Struct {
		return "", false
	}
	word = strings.ReplaceAll(word, " ", "")
	for _, f := range fieldsOf(t) {
		if f.name == word {
			return f.name, true
		}
	}
	return "", false
}

// tableForm gives the table line of a name, with the brackets that the target
// takes; "" when it has no such table. fixed is false when it takes single
// brackets as well.
func (r *reader) tableForm(name string) (form string, fixed bool) {
	f, _, ok := r.fieldAt([]string{name})
	if !ok {
		return "", false
	}
	return f.form(), f.form() != "" && !f.single
}
