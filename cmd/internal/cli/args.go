package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// reorder puts flags before arguments, because the flag parser stops at the
// first argument and people write `steep orange.toml --json`. Global flags are
// hoisted to the front; the words of a command keep their order; everything
// after -- is left alone. A word that looks like a negative number is an
// argument. Help that is asked for anywhere, also as the only word behind a
// command, becomes the command help, and --version the command version. With an
// error it returns the global flags before it.
func reorder(app *cli.App, args []string) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	var global, local, words []string
	var cmd *cli.Command
	instead := "" // what is asked for, whatever else is typed
	rest := args[1:]
	wrong := func(format string, of ...any) ([]string, error) {
		owner := ""
		if cmd != nil {
			owner = cmd.Name
		}
		return append([]string{args[0]}, global...), &usageError{problem: fmt.Sprintf(format, of...), command: owner}
	}
	for i := 0; i < len(rest); i++ {
		arg := rest[i]
		if arg == "--" {
			words = append(words, rest[i+1:]...)
			break
		}
		if !isFlag(arg) {
			if cmd == nil && len(words) == 0 {
				if cmd = app.Command(arg); cmd != nil {
					continue
				}
			}
			if words = append(words, arg); arg == "" {
				return wrong("a word of the line is empty; leave it out, or write what it is")
			}
			continue
		}
		name, value, joined := strings.Cut(strings.TrimLeft(arg, "-"), "=")
		switch {
		case name == "help" || name == "h":
			instead = "help"
			continue
		case name == "version" && cmd == nil:
			instead = "version"
			continue
		}
		target := &local
		flag := find(app.Flags, name)
		if flag != nil {
			target = &global
		} else if cmd != nil {
			flag = find(cmd.Flags, name)
		}
		if flag != nil && name != flag.Names()[0] {
			// The flag parser refuses two forms of one flag in a line.
			arg = "--" + flag.Names()[0] + strings.TrimPrefix(strings.TrimLeft(arg, "-"), name)
		}
		twice := once(flag) && slices.ContainsFunc(*target, func(s string) bool {
			return s == "--"+flag.Names()[0] ||
				strings.HasPrefix(s, "--"+flag.Names()[0]+"=")
		})
		*target = append(*target, arg)
		_, isBool := flag.(*cli.BoolFlag)
		if takes := flag != nil && !isBool; takes && !joined {
			if i++; i == len(rest) {
				if instead != "" {
					continue
				}
				return wrong("--%s wants a value after it", name)
			}
			value = rest[i]
			*target = append(*target, value)
		}
		switch {
		case twice:
			return wrong("--%s is there twice; keep one", name)
		case value == "" && (joined || flag != nil && !isBool):
			return wrong("--%s is empty; leave it out, or write what it is", name)
		}
	}
	if instead == "" && cmd != nil && cmd.Name != "help" && slices.Equal(words, []string{"help"}) {
		instead = "help"
	}
	out := append([]string{args[0]}, global...)
	switch {
	case instead == "version":
		return append(out, instead), nil
	case instead != "" && cmd == nil:
		return append(append(out, instead), guard(words)...), nil
	case instead != "" && cmd.Name != instead:
		return append(out, instead, cmd.Name), nil
	case cmd == nil:
		return append(append(out, local...), guard(words)...), nil
	}
	out = append(out, cmd.Name)
	return append(append(out, local...), guard(words)...), nil
}

// once reports whether a flag may be there only once.
func once(f cli.Flag) bool {
	switch f.(type) {
	case *cli.StringFlag, *cli.IntFlag:
		return true
	}
	return false
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
