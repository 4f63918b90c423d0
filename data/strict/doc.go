// Package strict reads TOML the way a careful colleague reads a form: a key it
// does not know, a value of the wrong kind or a slip of the pen is reported
// with file, line, the line itself and an example that would be right.
//
// The TOML library does the parsing. What it cannot do is say on which line a
// key stands inside repeated tables, and its syntax messages speak to
// programmers. So a small scanner walks the text first: it finds the common
// slips, words them for the person at the bench, and remembers the place of
// every key for the messages that the packages above make later.
package strict
