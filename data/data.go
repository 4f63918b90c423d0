// Package data carries the reference files that steepbook is built with:
// botanicals, ingredients, spirits, hazards, tables of constants and rates, and
// the list of publications they come from. The files are plain TOML, and CSV
// where a table is long, meant to be read and corrected by hand; package
// library turns them into Go values.
//
// Every figure names a source key, and every source key is an entry of
// sources.toml.
package data

import "embed"

// Files holds the reference files under their path in this folder, for
// instance "botanicals/citrus.toml". It is read only.
//
//go:embed sources.toml botanicals/*.toml ingredients/*.toml spirits/*.toml hazards/*.toml tables/*.toml tables/*.csv
var Files embed.FS
