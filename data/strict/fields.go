package strict

import (
	"reflect"
	"slices"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
)

// This file knows the fields of the structs that are decoded into: their tags, and where
// a key is known.

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

var unmarshalerType = reflect.TypeFor[toml.Unmarshaler]()

func isTableType(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && !reflect.PointerTo(t).Implements(unmarshalerType)
}

// The kinds of values as a message names them.
const (
	wantText   = "a text in quotation marks"
	wantBool   = "true or false"
	wantNumber = "a number"
	wantWhole  = "a whole number"
)

// wanted names the kind of value that a Go type is written as; "" for those that are no
// single value, or read themselves.
func wanted(t reflect.Type) string {
	switch {
	case reflect.PointerTo(t).Implements(unmarshalerType):
		return ""
	case t.Kind() == reflect.String:
		return wantText
	case t.Kind() == reflect.Bool:
		return wantBool
	case t.Kind() == reflect.Float64:
		return wantNumber
	case t.Kind() == reflect.Int:
		return wantWhole
	}
	return ""
}

// named finds a field by its key.
func named(fields []field, key string) (field, bool) {
	i := slices.IndexFunc(fields, func(f field) bool { return f.name == key })
	if i < 0 {
		return field{}, false
	}
	return fields[i], true
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

func nearestField(word string, fields []field) (field, bool) {
	var names []string
	for _, f := range fields {
		if slices.ContainsFunc(f.also, func(a string) bool { return strings.EqualFold(a, word) }) ||
			strings.EqualFold(f.name, word) {
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
		if f.name == key && in != r.d.top() {
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
			if f, ok = named(fieldsOf(t), key); !ok {
				return f, nil, false
			}
			t = f.typ
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

// keyLike finds the key of the table at path that is word but for its spaces.
func (r *reader) keyLike(path []string, word string) (key string, ok bool) {
	_, t, ok := r.fieldAt(path)
	if !ok || t.Kind() != reflect.Struct {
		return "", false
	}
	f, ok := named(fieldsOf(t), strings.ReplaceAll(word, " ", ""))
	return f.name, ok
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
