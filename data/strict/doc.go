// Package strict reads TOML the way a careful colleague reads a form: a key it
// does not know, a value of the wrong kind or a slip of the pen is reported
// with file, line, the line itself and an example that would be right.
//
// The TOML library says neither on which line a key stands inside repeated tables
// nor what a slip was meant to be: its syntax messages speak to programmers. So a
// small scanner walks the text: it finds the common slips, words them for the
// person at the bench, and remembers the place of every key and value, for the
// messages that the packages above make later and for whoever exchanges a value in
// the text. Every value that is not written as most are is read by the library.
package strict
