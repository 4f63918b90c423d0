// Package plots draws the pictures of the bench book: how flavours come out of
// their botanicals, where a bottle stands on the map of alcohol against sugar,
// how its qualities fade in store, and what is stuck on it.
//
// A picture is a plain value (Extraction, KeepingMap, Fade, Label, Sheet) that holds nothing
// but numbers and words. Write checks the value and draws the picture; it computes
// nothing of the trade and keeps no state, so it may be called from several
// goroutines at once. Equal values give equal bytes in each of the three formats.
//
// Pictures are laid out for a narrow screen: one column, no legend, every curve
// and line named where it stands. The drawing goes straight to gonum's vector
// canvas, because stacked panels with one exact time axis and reserved rows for
// their labels need every length to be known before the first stroke.
package plots
