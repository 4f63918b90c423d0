// Package library holds what the world knows about the things that go into a
// jar: botanicals and how fast each cut gives up its taste, ingredients and
// what they are made of, spirits and their strength, kitchen measures,
// allergens and hazards. Every figure carries a source and a grade.
//
// Builtin reads the embedded files lazily: a look-up costs a scan of the names
// and the decoding of one entry, a few milliseconds for a whole batch. Values
// handed out are shared and must not be changed.
//
// # The files, and the maker's own
//
// The embedded files and the maker's library.toml have one format. An entry
// with a known name changes only what it gives; a new one needs no more than a
// name (an ingredient also its make-up, a spirit its strength):
//
//	[[botanical]]
//	name = "clove"
//	[[botanical.cut]]
//	name         = "whole"
//	rate_per_h   = { low = 0.05, high = 0.3 }   # 90 % range, or one figure and rate_gsd
//	dose_g_per_l = [1, 2, 5]                    # low, typical, high
//	measures     = [{ unit = "piece", noun = "clove", g = 0.09 }]
//
//	[[ingredient]]
//	name    = "quince syrup"
//	kind    = "syrup"
//	liquid  = true
//	density_g_per_ml = 1.31
//	per_100g = { water = 36, sucrose = 60, malic = 1, other_solids = 3 }
//
//	[[spirit]]
//	name = "house rum"
//	abv_percent = 62
//
// The rates of the embedded cuts stand in tables/rates.csv, fitted to the times
// of tables/maker-times.csv; rate_per_h, rate_gsd, early_share and first_taste_h
// are for the maker's file.
//
// A rate that batches of the book taught names them; it then holds for the room
// and strength given beside it, and Untaught takes it back:
//
//	taught_by     = ["orange.toml"]
//	taught_room_c = 20
//	taught_abv    = 57
//
// A figure is a number, [low, high], [low, typical, high], or a table with
// value, low, high, source, grade and note.
package library
