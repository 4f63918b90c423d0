package cli

import (
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
)

// page is where an answer goes: without colour when the output is no terminal, and as
// wide as it is.
func page(c *cli.Context, system quantity.System) *pen.Page {
	return view.NewPage(c.App.Writer, pen.Style{Units: system, Colour: colourWanted(c.App.Writer),
		Width: columnsOf(c.App.Writer), JSON: c.Bool("json")})
}

// prompt is a question as it is printed: within the terminal, without what one would obey.
func prompt(w io.Writer, text string) string {
	if width := columnsOf(w); width > 0 {
		body := strings.TrimRight(text, " \n")
		var lines []string
		for line := range strings.SplitSeq(body, "\n") {
			if len([]rune(line)) <= width { // with its columns
				lines = append(lines, line)
				continue
			}
			lines = append(lines, pen.Style{Width: width}.Hang(margin(line), margin(line), line)...)
		}
		text = strings.Join(lines, "\n") + text[len(body):]
	}
	return pen.Clean(text)
}

// margin is what a line begins with.
func margin(line string) string { return line[:len(line)-len(strings.TrimLeft(line, " "))] }

// terminal is the output where that is one, for its file descriptor.
func terminal(w io.Writer) (fd int, ok bool) {
	if m, counted := w.(*meter); counted {
		w = m.Writer
	}
	f, ok := w.(*os.File)
	if !ok {
		return 0, false
	}
	return int(f.Fd()), term.IsTerminal(int(f.Fd()))
}

// colourWanted follows the NO_COLOR convention: colour only on a terminal, and
// never where the environment asks for none.
func colourWanted(w io.Writer) bool {
	_, ok := terminal(w)
	return ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// columnsOf is how wide the output is: what COLUMNS says, else what the terminal does,
// and 0 where neither is there.
func columnsOf(w io.Writer) int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		return n
	}
	if fd, ok := terminal(w); ok {
		if n, _, err := term.GetSize(fd); err == nil {
			return n
		}
	}
	return 0
}

// whyFlag asks for what stands behind an answer.
func whyFlag(what string) cli.Flag { return &cli.BoolFlag{Name: "why", Usage: what} }
