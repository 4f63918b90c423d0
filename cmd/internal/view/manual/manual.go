// Package manual prints help: on the program, on a command, on the keys of a batch file.
package manual

import (
	"strings"

	"steepbook/cmd/internal/pen"
	"steepbook/data/batch"
)

// Command is what the help on a command says.
type Command struct {
	Name, Takes string   // "taste", `BATCH.toml "orange zest=4"`
	Short       string   // for the list of commands
	Answers     string   // one or two sentences
	Examples    []string // lines to type
	Flags       []Flag
}

// Flag is one flag of a command.
type Flag struct {
	Name, Short, Takes string // "botanical", "b", "BOTANICAL"
	Says               string
}

// Stage is the commands of one part of the work.
type Stage struct {
	Name     string
	Commands []Command
}

// OfCommand prints what a command answers, lines to type, and its flags; every is
// the flags that every command takes.
func OfCommand(p *pen.Page, m Command, every []Flag) error {
	if p.JSON {
		return p.WriteJSON(append(commandJSON(&m), pen.As("global_flags", pen.Each(every, flagJSON))))
	}
	p.Answer("steepbook %s %s", m.Name, m.Takes)
	p.Para("%s", m.Answers)
	p.Line("")
	p.Para("Examples, in the folder where steepbook demo was run:")
	for _, e := range m.Examples {
		p.Command(e)
	}
	if len(m.Flags) > 0 {
		p.Line("")
		p.Line("Flags:")
		flags(p, m.Flags)
	}
	p.Line("")
	p.Line("Flags of every command:")
	flags(p, every)
	return p.Done()
}

// wideFlag is the longest flag that has its text beside it.
const wideFlag = 26

// flags prints each flag with what it takes, and its text beside it or, where that is
// long, below.
func flags(p *pen.Page, list []Flag) {
	room := 0
	heads := pen.Each(list, func(f *Flag) string {
		head := "  --" + f.Name
		if len(f.Name) == 1 {
			head = "  -" + f.Name
		}
		if f.Short != "" {
			head += ", -" + f.Short
		}
		if f.Takes != "" {
			head += " " + f.Takes
		}
		if n := len([]rune(head)); n <= wideFlag {
			room = max(room, n)
		}
		return head
	})
	blank := strings.Repeat(" ", room+2)
	for i, head := range heads {
		if n := len([]rune(head)); n <= room {
			head += blank[:room+2-n]
		} else {
			p.Line("%s", head)
			head = blank
		}
		p.Lines(p.Hang(head, blank, p.Say("%s", list[i].Says)))
	}
}

// OfProgram prints all commands in the order of the work.
func OfProgram(p *pen.Page, what string, stages []Stage, every []Flag, last string) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("about", what),
			pen.As("stages", pen.Each(stages, func(s *Stage) pen.Object {
				return pen.Object{pen.As("stage", s.Name),
					pen.As("commands", pen.Each(s.Commands, commandJSON))}
			})),
			pen.As("global_flags", pen.Each(every, flagJSON)),
		})
	}
	p.Para("%s", what)
	room := 0
	for _, s := range stages {
		for _, m := range s.Commands {
			room = max(room, len(m.Name))
		}
	}
	for _, s := range stages {
		p.Line("")
		p.Line("%s", s.Name)
		for _, m := range s.Commands {
			head := "  " + m.Name + strings.Repeat(" ", room+2-len(m.Name))
			p.Lines(p.Hang(head, strings.Repeat(" ", len(head)), p.Say("%s", m.Short)))
		}
	}
	p.Line("")
	p.Line("Flags of every command:")
	flags(p, every)
	p.Line("")
	p.Para("%s", last)
	return p.Done()
}

func commandJSON(m *Command) pen.Object {
	return pen.Object{
		pen.As("command", m.Name),
		pen.As("takes", m.Takes),
		pen.As("short", m.Short),
		pen.As("answers", m.Answers),
		pen.As("examples", m.Examples),
		pen.As("flags", pen.Each(m.Flags, flagJSON)),
	}
}

func flagJSON(f *Flag) pen.Object {
	return pen.Object{
		pen.As("flag", f.Name),
		pen.As("short", pen.Some(f.Short)),
		pen.As("takes", pen.Some(f.Takes)),
		pen.As("says", f.Says),
	}
}

// Version prints which program this is.
func Version(p *pen.Page, version, revision, toolchain string) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("version", version),
			pen.As("revision", pen.Some(revision)),
			pen.As("go", toolchain),
		})
	}
	if revision != "" {
		revision = ", revision " + revision
	}
	p.Para("steepbook %s%s, built with %s", version, revision, toolchain)
	return p.Done()
}

// OfBatchFile prints the reference of the batch file.
func OfBatchFile(p *pen.Page, keys []batch.Key) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("keys", keys)})
	}
	p.Para("A batch is one file of TOML: a line gives a name, \"=\" and a value, a line in brackets begins " +
		"a table, and what stands behind # is yours. At the top only name and started must be there; each answer says " +
		"what it still needs.")
	for len(keys) > 0 {
		var lines []pen.Pair
		table := keys[0].Table
		head := pen.Pair{"At the top", "above the first line in brackets"}
		for ; len(keys) > 0 && keys[0].Table == table; keys = keys[1:] {
			if k := keys[0]; k.Name == "" {
				head = pen.Pair{table, k.Takes}
			} else {
				lines = append(lines, pen.Pair{"  " + p.Say("%s", k.Example), k.Takes})
			}
		}
		p.Line("")
		p.Pairs([]pen.Pair{head})
		p.Pairs(lines)
	}
	p.Line("")
	p.Pairs([]pen.Pair{
		{"Amounts",
			`as recipes have them: "a scant 1/4 cup", "1 lb 4 oz", "2 (750 ml) bottles", ` +
				`"juice of half a lemon". Words that qualify become ranges. Without units = "us" ` +
				`a bare pint, quart, gallon or gill is asked about, ` +
				`and a bare cup is carried as the range of a US and a metric one, ` +
				`a bare fluid ounce as that of a US and an imperial one.`},
		{"Times",
			`since the start ("20 h", "2 d 4 h"), or of the clock: 2026-11-20T18:00:00, "24 Nov 20:00". ` +
				`What would be another day whenever the file is read, such as "yesterday", is refused.`},
		{"Unknown", "what the library does not know is judged on the careful side; what is written beside " +
			"a thing (abv, like) gives figures and takes no care away."},
	})
	return p.Done()
}
