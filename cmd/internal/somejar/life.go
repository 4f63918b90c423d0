package somejar

import (
	"fmt"
	"math/rand/v2"
)

// Lived is a copy of a jar whose life went on: strained, with what was added, bottled,
// opened and emptied as far as chance has it, and seen after the last of it.
func (j *Jar) Lived(number uint64) *Jar {
	const day = 24 * 60
	m := rand.New(rand.NewPCG(number, 0x11fe))
	c := j.Copy()
	put := func(table, keys string) { c.Life = append(c.Life, Entry{table, keys, c.Now}) }
	later := func(days int) { c.Now += 1 + m.IntN(days*day) }
	for _, b := range c.Botanicals {
		c.Now = max(c.Now, b.In+1)
	}
	for _, p := range c.Pulls {
		c.Now = max(c.Now, p.At)
	}
	if m.IntN(4) > 0 {
		later(1)
		put("strained", [2]string{"", fmt.Sprintf("volume = \"%g ml\"\n", c.SpiritML*0.9)}[m.IntN(2)])
	}
	for _, a := range c.Additions {
		if m.IntN(2) == 0 {
			put("added", fmt.Sprintf("name = %q\namount = %q\n", a.Name, a.Amount))
		}
	}
	if m.IntN(4) == 0 {
		later(3)
		return c
	}
	later(2)
	n := 0
	keys := ""
	if m.IntN(3) > 0 {
		n = 1 + m.IntN(4)
		keys = fmt.Sprintf("bottles = %d\nof = \"250 ml\"\n", n)
	}
	put("bottled", keys)
	opened := 0
	for m.IntN(3) > 0 && (n == 0 || opened < n) {
		later(60)
		opened++
		put("opened", [2]string{"", fmt.Sprintf("bottle = %d\n", opened)}[m.IntN(2)*min(n, 1)])
		if m.IntN(2) == 0 {
			later(20)
			put("noted", fmt.Sprintf("what = %q\n",
				[]string{"fizzed", "ring at the neck", "lovely"}[m.IntN(3)]))
		}
		if n > 0 && m.IntN(2) == 0 {
			later(20)
			put("emptied", fmt.Sprintf("bottle = %d\n", opened))
		}
	}
	if m.IntN(3) == 0 && !c.gone(n) {
		later(100)
		put("emptied", "")
	}
	later(200)
	return c
}

// gone reports whether each of n bottles was emptied.
func (j *Jar) gone(n int) bool {
	for _, e := range j.Life {
		if e.Table == "emptied" {
			n--
		}
	}
	return n == 0
}
