package textout

import (
	"fmt"
	"strings"

	"steepbook/data/quantity"
	"steepbook/kinetics/panel"
)

// Blind prints a sheet for a blind tasting, to write on, and the key on a last
// part to fold away. names are the two drinks, again the line to type when the
// answers are counted.
func Blind(p *Page, s *panel.Sheet, names [2]string, power panel.Forced, again string) error {
	if p.JSON {
		return p.json(sheetJSON(s, names, power))
	}
	p.Para("%s", p.Strong(fmt.Sprintf("Blind tasting, %s: %s and %s.", designWords(s.Design), names[0], names[1])))
	p.Para("%s", powerWords(power))
	p.Line("")
	for _, l := range sheetRules(s) {
		p.Item("%s", l)
	}
	p.Line("")
	p.Line("Date __________  Taster ____________________")
	if s.Design == panel.Pair {
		p.Line("The question for every pair: which has more ____________________ ?")
	}
	p.Line("")
	ask := "the odd one"
	if s.Design == panel.Pair {
		ask = "more in"
	}
	var rows [][]string
	for i, t := range s.Trials {
		if s.PerSitting > 0 && i > 0 && i%s.PerSitting == 0 {
			rows = append(rows, []string{"", "", "", ""})
		}
		rows = append(rows, []string{fmt.Sprintf("%5d", i+1), codes(t.Codes, nil), "_________", "______________________________"})
	}
	p.Table([]string{"trial", "glasses, left to right", ask, "words"}, rows)
	p.Line("")
	counted := "right answers"
	if s.Design == panel.Pair {
		counted = "answers for the one named more often"
	}
	p.Para("Done? Open the key, count the %s, and type:", counted)
	p.Line("  %s", again)
	p.Line("")
	p.Line("")
	p.Line("%s", fold)
	p.Line("")
	p.Line("The key, for whoever pours: A is %s, B is %s.", names[0], names[1])
	p.Line("")
	rows = nil
	for i, t := range s.Trials {
		row := []string{fmt.Sprintf("%5d", i+1), codes(t.Codes, t.Second)}
		if t.Odd >= 0 {
			row = append(row, fmt.Sprint(t.Codes[t.Odd]))
		} else {
			row = append(row, fmt.Sprint(codeOf(t, true)))
		}
		rows = append(rows, row)
	}
	last := "the odd one"
	if s.Design == panel.Pair {
		last = "B is"
	}
	p.Table([]string{"trial", "glasses, left to right", last}, rows)
	p.Line("")
	p.Line("Seed %d: the same files and number of trials print the same sheet.", s.Seed)
	return p.Err()
}

const fold = "- - - - - - - - - - - - - - - - - fold here, key below - - - - - - - - - - - - - - - - -"

func designWords(d panel.Design) string {
	if d == panel.Pair {
		return "paired comparison (ISO 5495)"
	}
	return "triangle test (ISO 4120)"
}

func sheetRules(s *panel.Sheet) []string {
	rules := []string{
		"Someone else pours by the key; whoever tastes does not see it. Write the numbers on the glasses.",
		"Like glasses, like amounts (10~ml), like temperature; thin both drinks alike, to about 20 % vol. Hide a difference in colour with dark glasses or little light.",
		"Small sips from left to right, no holding in the mouth. Always answer; guess when in doubt.",
		fmt.Sprintf("No more than %s in a sitting (a blank line marks it): 2 minutes and a plain cracker between, an hour between sittings.", trialsWords(s.PerSitting, s.Design)),
		"Not for chilli, strong bitters or anything else that lingers: it spoils the next sip, and the test with it.",
	}
	if len(s.CarryOver) > 0 {
		rules = append(rules, fmt.Sprintf("Here something numbs or burns (%s): thin them well, one trial a sitting, and trust this test less.", quantity.And(s.CarryOver)))
	}
	return rules
}

func trialsWords(n int, d panel.Design) string {
	what := "triangle"
	if d == panel.Pair {
		what = "pair"
	}
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// codes lists the numbers on the glasses, with the key's letters when second is
// given.
func codes(numbers []int, second []bool) string {
	parts := make([]string, len(numbers))
	for i, n := range numbers {
		parts[i] = fmt.Sprint(n)
		if second != nil {
			parts[i] += " " + letter(btoi(second[i]))
		}
	}
	return strings.Join(parts, "   ")
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func codeOf(t panel.Trial, second bool) int {
	for i, s := range t.Second {
		if s == second {
			return t.Codes[i]
		}
	}
	return 0
}

// powerWords says what so many trials can show at all.
func powerWords(f panel.Forced) string {
	name := "right answers"
	if f.Design == panel.Pair {
		name = "like answers"
	}
	if f.Needed == 0 {
		return fmt.Sprintf("%d trials can show nothing: even all of them alike could be luck more than once in 20. Make %d: that many find a difference noticed in half of the sips four times in five.", f.Trials, f.Enough)
	}
	s := fmt.Sprintf("%d of %d %s are asked for (5 %% level).", f.Needed, f.Trials, name)
	if f.Shown80 > 0 {
		s += fmt.Sprintf(" That finds a difference noticed in %.0f %% of the sips four times in five; %s.", 100*f.Shown80, gross(f.Shown80))
	} else {
		s += fmt.Sprintf(" Even a difference noticed in every sip may be missed; %d trials would find one noticed in half of them four times in five.", f.Enough)
	}
	return s
}

func gross(share float64) string {
	switch {
	case share >= 0.6:
		return "only a gross difference shows with so few"
	case share >= 0.4:
		return "a clear difference shows, a fine one is missed"
	}
	return "a fine difference shows too"
}

// Judged says what the count of a blind tasting is worth.
func Judged(p *Page, f panel.Forced) error {
	if p.JSON {
		return p.json(forcedJSON(f, true))
	}
	p.Para("%s", p.Strong(verdictWords(f)))
	p.Para("%s", powerWords(f))
	p.Line("")
	p.Para("Exact binomial of the %s. It speaks for who tasted, not for guests, and says nothing of how large a difference is or which drink is better.", designWords(f.Design))
	return p.Err()
}

func verdictWords(f panel.Forced) string {
	luck := fmt.Sprintf("by luck alone that many or more come %s", percentOfTries(f.Luck))
	if f.Design == panel.Pair {
		luck = fmt.Sprintf("by luck alone as one-sided a count or more comes %s", percentOfTries(f.Luck))
	}
	what := fmt.Sprintf("%d of %d right", f.Count, f.Trials)
	if f.Design == panel.Pair {
		what = fmt.Sprintf("%d of %d for the same drink", f.Agreeing(), f.Trials)
	}
	if f.Differs() {
		return fmt.Sprintf("They can be told apart: %s; %s.", what, luck)
	}
	return fmt.Sprintf("No difference shown: %s; %s. That is not a proof that there is none.", what, luck)
}

func percentOfTries(p float64) string {
	switch {
	case p < 0.001:
		return "less than once in 1000 tries"
	case p < 0.01:
		return fmt.Sprintf("in %.0f of 1000 tries", 1000*p)
	case p < 0.095:
		return fmt.Sprintf("in %s of 100 tries", significant(100*p, 2))
	case p > 0.995:
		return "nearly always"
	}
	return fmt.Sprintf("in %.0f of 100 tries", 100*p)
}

func sheetJSON(s *panel.Sheet, names [2]string, power panel.Forced) object {
	trial := 0
	return append(forcedJSON(power, false), object{
		{"seed", fmt.Sprint(s.Seed)},
		{"a", names[0]},
		{"b", names[1]},
		{"sheet", each(s.Trials, func(t *panel.Trial) object {
			trial++
			drinks := make([]string, len(t.Second))
			for i, second := range t.Second {
				drinks[i] = letter(btoi(second))
			}
			var odd any
			if t.Odd >= 0 {
				odd = t.Codes[t.Odd]
			}
			return object{{"trial", trial}, {"codes", t.Codes}, {"drinks", drinks}, {"odd_code", odd}}
		})},
		{"rules", sheetRules(s)},
	}...)
}

func forcedJSON(f panel.Forced, counted bool) object {
	standard, text := "ISO 4120", ""
	if f.Design == panel.Pair {
		standard = "ISO 5495"
	}
	if counted {
		text = verdictWords(f)
	}
	return object{
		{"design", f.Design},
		{"standard", standard},
		{"trials", f.Trials},
		{"count", where(counted, f.Count)},
		{"needed_5_percent", some(f.Needed)},
		{"chance_by_luck", where(counted, f.Luck)},
		{"different", where(counted, f.Differs())},
		{"noticed_share_found_at_80_percent", some(f.Shown80)},
		{"text", text},
		{"explanation", powerWords(f)},
	}
}
