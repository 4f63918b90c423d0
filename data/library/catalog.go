package library

import (
	"slices"
	"sort"
	"sync"
)

// catalog is all entries of one kind, by name.
type catalog[T any] struct {
	kind    string
	entries []*entry[T]
	index   func() *index
}

func newCatalog[T any](kind string, entries []*entry[T]) *catalog[T] {
	sort.Slice(entries, func(i, j int) bool { return entries[i].name < entries[j].name })
	return &catalog[T]{kind, entries, sync.OnceValue(func() *index {
		hs := make([]*header, len(entries))
		for i, e := range entries {
			hs[i] = e.header
		}
		return newIndex(kind, hs)
	})}
}

// swap is the catalog with a value in the place of that of an entry.
func (c *catalog[T]) swap(old *entry[T], v *T) *catalog[T] {
	entries := slices.Clone(c.entries)
	entries[slices.Index(entries, old)] = &entry[T]{header: old.header, value: v}
	return &catalog[T]{c.kind, entries, c.index}
}

// at is the entry with a number of the index, nil for -1.
func (c *catalog[T]) at(i int) *entry[T] {
	if i < 0 {
		return nil
	}
	return c.entries[i]
}

// find, written and never are those of the index.
func (c *catalog[T]) find(name string) (e *entry[T], exact bool) {
	i, exact := c.index().find(name)
	return c.at(i), exact
}
func (c *catalog[T]) written(name string) *entry[T] { return c.at(c.index().written(name)) }
func (c *catalog[T]) called(name string) bool       { return c.index().written(name) >= 0 }
func (c *catalog[T]) never(name string) *entry[T]   { return c.at(c.index().never(name)) }
