// Package argv puts a command line into the order that the flag parser wants.
package argv

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
)

// Fault is what is wrong with what was typed on the command line.
type Fault struct {
	Problem string
	Command string // whose help to point at; empty for the program's
}

func (f *Fault) Error() string { return f.Problem }

// Order puts flags before arguments, because the flag parser stops at the
// first argument and people write `steep orange.toml --json`. Global flags are
// hoisted to the front; the words of a command keep their order; everything
// after -- is left alone. A word that looks like a negative number is an
// argument. Help that is asked for anywhere, also as the only word behind a
// command, becomes the command help, and --version the command version. With an
// error it returns the global flags before it.
func Order(app *cli.App, args []string) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	l := line{app: app}
	if err := l.read(args[1:]); err != nil {
		return append(args[:1:1], l.global...), err
	}
	return append(args[:1:1], l.ordered()...), nil
}

// line is what was typed, by what it is for.
type line struct {
	app                  *cli.App
	cmd                  *cli.Command // nil while there is none
	global, local, words []string
	instead              string // what is asked for, whatever else is typed
}

func (l *line) wrong(format string, of ...any) error {
	f := &Fault{Problem: fmt.Sprintf(format, of...)}
	if l.cmd != nil {
		f.Command = l.cmd.Name
	}
	return f
}

func (l *line) read(typed []string) error {
	for len(typed) > 0 {
		arg, rest := typed[0], typed[1:]
		switch {
		case arg == "--":
			l.words = append(l.words, rest...)
			return nil
		case isFlag(arg):
			taken, err := l.flag(arg, rest)
			if err != nil {
				return err
			}
			rest = rest[taken:]
		case l.cmd == nil && len(l.words) == 0 && l.app.Command(arg) != nil:
			l.cmd = l.app.Command(arg)
		case arg == "":
			return l.wrong("a word of the line is empty; leave it out, or write what it is")
		default:
			l.words = append(l.words, arg)
		}
		typed = rest
	}
	return nil
}

// flag reads a flag and returns how many of the words behind it are its value.
func (l *line) flag(arg string, rest []string) (taken int, err error) {
	name, value, joined := strings.Cut(strings.TrimLeft(arg, "-"), "=")
	switch {
	case name == "help" || name == "h":
		l.instead = "help"
		return 0, nil
	case name == "version" && l.cmd == nil:
		l.instead = "version"
		return 0, nil
	}
	target := &l.local
	flag := find(l.app.Flags, name)
	if flag != nil {
		target = &l.global
	} else if l.cmd != nil {
		flag = find(l.cmd.Flags, name)
	}
	if flag != nil && name != flag.Names()[0] {
		// The flag parser refuses two forms of one flag in a line.
		arg = "--" + flag.Names()[0] + strings.TrimPrefix(strings.TrimLeft(arg, "-"), name)
	}
	twice := once(flag) && slices.ContainsFunc(*target, func(s string) bool {
		return s == "--"+flag.Names()[0] || strings.HasPrefix(s, "--"+flag.Names()[0]+"=")
	})
	*target = append(*target, arg)
	_, isBool := flag.(*cli.BoolFlag)
	takes := flag != nil && !isBool
	if takes && !joined {
		switch {
		case len(rest) > 0:
			value, taken = rest[0], 1
			*target = append(*target, value)
		case l.instead != "":
			return 0, nil
		default:
			return 0, l.wrong("--%s wants a value after it", name)
		}
	}
	switch {
	case twice:
		return taken, l.wrong("--%s is there twice; keep one", name)
	case value == "" && (joined || takes):
		return taken, l.wrong("--%s is empty; leave it out, or write what it is", name)
	}
	return taken, nil
}

// ordered is the line as the flag parser wants it.
func (l *line) ordered() []string {
	instead, cmd := l.instead, l.cmd
	if instead == "" && cmd != nil && cmd.Name != "help" && slices.Equal(l.words, []string{"help"}) {
		instead = "help"
	}
	out := l.global
	switch {
	case instead == "version":
		return append(out, instead)
	case instead != "" && cmd == nil:
		return append(append(out, instead), guard(l.words)...)
	case instead != "" && cmd.Name != instead:
		return append(out, instead, cmd.Name)
	case cmd != nil:
		out = append(out, cmd.Name)
	}
	return append(append(out, l.local...), guard(l.words)...)
}

// once reports whether a flag may be there only once.
func once(f cli.Flag) bool {
	switch f.(type) {
	case *cli.StringFlag, *cli.IntFlag:
		return true
	}
	return false
}

// On reports whether a line as Order leaves it switches a global flag on: it is looked at
// by itself, because the line may be what is wrong.
func On(global []cli.Flag, ordered []string, flag string) bool {
	on := false
	for i := 1; i < len(ordered) && isFlag(ordered[i]); i++ {
		name, value, joined := strings.Cut(strings.TrimLeft(ordered[i], "-"), "=")
		switch {
		case name == flag:
			is, err := strconv.ParseBool(value)
			on = !joined || err != nil || is
		case !joined && find(global, name) != nil:
			i++
		}
	}
	return on
}

// guard keeps words that begin with a dash from being read as flags.
func guard(words []string) []string {
	if slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, "-") }) {
		return append([]string{"--"}, words...)
	}
	return words
}

func isFlag(arg string) bool {
	if len(arg) < 2 || arg[0] != '-' {
		return false
	}
	digit := func(b byte) bool { return b >= '0' && b <= '9' }
	return !digit(arg[1]) && (arg[1] != '.' || len(arg) < 3 || !digit(arg[2]))
}

func find(flags []cli.Flag, name string) cli.Flag {
	for _, f := range flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}
