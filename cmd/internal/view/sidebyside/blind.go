package sidebyside

import (
	"fmt"
	"slices"
	"strings"

	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
	"steepbook/kinetics/panel"
)

// Blind prints a sheet for a blind tasting, to write on, and the key on a last
// part to fold away. names are the two drinks, again the line to type when the
// answers are counted.
func Blind(p *pen.Page, s *panel.Sheet, names, holds [2]string, power panel.Forced, again string) error {
	if p.JSON {
		return p.WriteJSON(append(sheetJSON(s, names, power), pen.As("holds", holds[:])))
	}
	p.Answer("Blind tasting, %s: %s and %s.", designWords(s.Design), names[0], names[1])
	p.Para("%s", powerWords(power))
	p.Line("")
	p.Items(sheetRules(s))
	if all := slices.DeleteFunc(holds[:], func(h string) bool { return h == "" }); len(all) > 0 {
		p.Line("")
		p.Para("Ask before anybody tastes, whichever glass it is in: %s.", strings.Join(slices.Compact(all), "; "))
	}
	p.Line("")
	p.Line("Date ________  Taster ________________")
	d := designs[s.Design]
	if d.question != "" {
		p.Para("%s", d.question)
	}
	p.Line("")
	const trial, glasses = "trial", "glasses, left to right"
	var rows [][]string
	for i, t := range s.Trials {
		if s.PerSitting > 0 && i > 0 && i%s.PerSitting == 0 {
			rows = append(rows, []string{"", "", "", ""})
		}
		rows = append(rows, []string{fmt.Sprintf("%5d", i+1), codes(t.Codes, nil), "_________",
			"______________________________"})
	}
	p.Table([]string{trial, glasses, d.ask, "words"}, rows)
	p.Line("")
	p.Para("Done? Open the key, count the %s, and type:", d.counted)
	p.Command(again)
	p.Line("")
	p.Line("")
	p.Para("%s", fold)
	p.Line("")
	p.Para("The key, for whoever pours: A is %s, B is %s.", names[0], names[1])
	p.Line("")
	n := 0
	p.Table([]string{trial, glasses, d.key}, pen.Each(s.Trials, func(t *panel.Trial) []string {
		n++
		key := slices.Index(t.Second, true)
		if t.Odd >= 0 {
			key = t.Odd
		}
		return []string{fmt.Sprintf("%5d", n), codes(t.Codes, t.Second), fmt.Sprint(t.Codes[key])}
	}))
	p.Line("")
	p.Para("Seed %d: the same files and number of trials print the same sheet.", s.Seed)
	return p.Done()
}

// designs are the words of each design.
var designs = map[panel.Design]struct {
	test, standard        string
	one                   string // of its trials
	question              string // on the sheet, of each
	ask, key              string // over a column of the sheet, and of the key
	counted, alike, right string // answers, as they are counted, needed and found
	luck                  string
}{
	panel.Triangle: {
		test: "triangle test", standard: "ISO 4120", one: "triangle", ask: "the odd one", key: "the odd one",
		counted: "right answers", alike: "right answers", right: "right", luck: "that many or more come",
	},
	panel.Pair: {
		test: "paired comparison", standard: "ISO 5495", one: "pair",
		question: "The question for every pair: which has more ____________________ ?", ask: "more in",
		key:     "B is",
		counted: "answers for the one named more often", alike: "like answers", right: "for the same drink",
		luck: "as one-sided a count or more comes",
	},
}

const fold = "- - - - - - - - - - - - - - - - - fold here, key below - - - - - - - - - - - - - - - - -"

func designWords(d panel.Design) string { return designs[d].test + " (" + designs[d].standard + ")" }

func sheetRules(s *panel.Sheet) []string {
	rules := []string{
		"Someone else pours by the key; whoever tastes does not see it. Write the numbers on the glasses.",
		fmt.Sprintf("Like glasses, like amounts (10~ml), like temperature; thin both drinks alike, to about %d %% vol. "+
			"Hide a difference in colour with dark glasses or little light.", panel.GlassABVPercent),
		"Small sips from left to right, no holding in the mouth. Always answer; guess when in doubt.",
		fmt.Sprintf("No more than %s in a sitting (a blank line marks it): 2 minutes and a plain cracker "+
			"between, an hour between sittings.", trialsWords(s.PerSitting, s.Design)),
		"Not for chilli, strong bitters or anything else that lingers: it spoils the next " +
			"sip, and the test with it.",
	}
	if len(s.CarryOver) > 0 {
		rules = append(rules, fmt.Sprintf("Here something numbs or burns (%s): thin them well, one trial a "+
			"sitting, and trust this test less.", quantity.And(s.CarryOver)))
	}
	return rules
}

func trialsWords(n int, d panel.Design) string {
	if n == 1 {
		return "one " + designs[d].one
	}
	return fmt.Sprintf("%d %ss", n, designs[d].one)
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

// powerWords says what so many trials can show at all.
func powerWords(f panel.Forced) string {
	if f.Needed == 0 {
		return fmt.Sprintf("%d trials can show nothing: even all of them alike could be luck more than "+
			"once in 20. Make %d: that many find a difference noticed in half of the "+
			"sips four times in five.", f.Trials, f.Enough)
	}
	s := fmt.Sprintf("%d of %d %s are asked for (5 %% level).", f.Needed, f.Trials, designs[f.Design].alike)
	if f.Shown80 > 0 {
		s += fmt.Sprintf(" That finds a difference noticed in %.0f %% of the sips four times in five; %s.",
			100*f.Shown80, gross(f.Shown80))
	} else {
		s += fmt.Sprintf(" Even a difference noticed in every sip may be missed; %d trials would find one "+
			"noticed in half of them four times in five.", f.Enough)
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
func Judged(p *pen.Page, f panel.Forced) error {
	if p.JSON {
		return p.WriteJSON(forcedJSON(f, true))
	}
	p.Answer("%s", verdictWords(f))
	p.Para("%s", powerWords(f))
	p.Line("")
	p.Para("Exact binomial of the %s. It speaks for who tasted, not for guests, and says nothing of how "+
		"large a difference is or which drink is better.", designWords(f.Design))
	return p.Done()
}

func verdictWords(f panel.Forced) string {
	d := designs[f.Design]
	luck := fmt.Sprintf("by luck alone %s %s", d.luck, percentOfTries(f.Luck))
	what := fmt.Sprintf("%d of %d %s", f.Agreeing(), f.Trials, d.right)
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
		return fmt.Sprintf("in %s of 100 tries", pen.Significant(100*p, 2))
	case p > 0.995:
		return "nearly always"
	}
	return fmt.Sprintf("in %.0f of 100 tries", 100*p)
}

func sheetJSON(s *panel.Sheet, names [2]string, power panel.Forced) pen.Object {
	trial := 0
	return append(forcedJSON(power, false), pen.Object{
		pen.As("seed", fmt.Sprint(s.Seed)),
		pen.As("a", names[0]),
		pen.As("b", names[1]),
		pen.As("sheet", pen.Each(s.Trials, func(t *panel.Trial) pen.Object {
			trial++
			drinks := make([]string, len(t.Second))
			for i, second := range t.Second {
				drinks[i] = letter(btoi(second))
			}
			var odd any
			if t.Odd >= 0 {
				odd = t.Codes[t.Odd]
			}
			return pen.Object{pen.As("trial", trial), pen.As("codes", t.Codes), pen.As("drinks", drinks),
				pen.As("odd_code", odd)}
		})),
		pen.As("rules", sheetRules(s)),
	}...)
}

func forcedJSON(f panel.Forced, counted bool) pen.Object {
	text := ""
	if counted {
		text = verdictWords(f)
	}
	return pen.Object{
		pen.As("design", f.Design),
		pen.As("standard", designs[f.Design].standard),
		pen.As("trials", f.Trials),
		pen.As("count", pen.Where(counted, f.Count)),
		pen.As("needed_5_percent", pen.Some(f.Needed)),
		pen.As("chance_by_luck", pen.Where(counted, f.Luck)),
		pen.As("different", pen.Where(counted, f.Differs())),
		pen.As("noticed_share_found_at_80_percent", pen.Some(f.Shown80)),
		pen.As("text", text),
		pen.As("explanation", powerWords(f)),
	}
}
