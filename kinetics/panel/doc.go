// Package panel is how to taste so that a score means something: how much one
// sitting bears, a sample that tastes as the bottle will, and blind tests of two
// drinks, triangle and pair, with their power and their verdict.
//
// It knows nothing of files, clocks or names of botanicals.
package panel
