// Package pattern holds regular expressions that are compiled when they are
// first used: a command that answers in milliseconds uses few of them.
package pattern

import (
	"regexp"
	"sync"
)

// New returns the expression as a function that compiles it at its first call. It is called some
// eighty times: inlined there it made the program larger.
//
//go:noinline
func New(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
