package somejar

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"steepbook/data/library"
)

// Odd writes the files of a book by choices that bytes make, so that a fuzzer that changes
// a byte changes one choice. What it writes is right but for the few oddities that the first
// byte allows. Where the bytes are used up it takes the first of every choice, which ends
// every list.
type Odd struct {
	bytes []byte
	left  int // how many oddities there may still be
}

// NewOdd takes its choices from these bytes.
func NewOdd(bytes []byte) *Odd {
	o := &Odd{bytes: bytes}
	o.left = []int{0, 1, 2, 1, 3, 1, 10}[o.Of(7)]
	return o
}

// Of is a choice among n.
func (o *Odd) Of(n int) int {
	if len(o.bytes) == 0 {
		return 0
	}
	b := o.bytes[0]
	o.bytes = o.bytes[1:]
	return int(b) % n
}

// One is one of these.
func (o *Odd) One(of ...string) string { return of[o.Of(len(of))] }

// odd is true where an oddity is to come.
func (o *Odd) odd() bool {
	yes := o.left > 0 && o.Of(8) == 7
	if yes {
		o.left--
	}
	return yes
}

// some writes up to most of something.
func (o *Odd) some(most int, one func(i int) string) string {
	var b strings.Builder
	for i := range o.Of(most + 1) {
		b.WriteString(one(i))
	}
	return b.String()
}

// wild numbers are at the edge of what may be, or are none.
var wild = []string{"0", "0.01", "-0.0", "-1", "1e-300", "1e300", "nan", "inf", "-inf", "9.999999999", "1e22",
	"0.004999", "99999", "1e6", "1e15", "9007199254740993", "0x10", "1_000", "+3", "007", "1e400", "5e-324",
	"3.3e-5",
	"10", "100", "14"}

// Number is one of these as TOML has it, or any.
func (o *Odd) Number(right ...string) string {
	switch {
	case !o.odd():
		return o.One(right...)
	case o.Of(2) == 0:
		return o.One(wild...)
	}
	return strconv.FormatFloat(float64(o.Of(100))*math.Pow(10, float64(o.Of(16)-8)), 'g', -1, 64)
}

var (
	weights = []string{"g", "kg", "mg", "oz wt", "lb"}
	liquids = []string{"ml", "l", "cl", "fl oz", "cup", "tbsp", "tsp", "US cup", "imp pint"}
	counts  = []string{"pieces", "sticks", "fruit", "cloves", "pods", "dashes"}
	noUnits = []string{"", "furlongs", "%", "g/l", "oz", "bottles", "x 250 ml", "zest", "１", "ｇ", "g\u200b",
		"- 2 g"}
)

// Amount is one in these units as makers write it, or nearly.
func (o *Odd) Amount(units ...string) string {
	figure := func() string {
		return o.Number("10", "2", "100", "0.5", "1 1/2", "½", "40", "25", "0.02",
			"3")
	}
	if o.odd() {
		units = slices.Concat(noUnits, weights, liquids, counts)
	}
	unit := func() string { return " " + o.One(units...) }
	switch o.Of(8) {
	default:
		return figure() + unit()
	case 4:
		return o.One("about ", "scant ", "2 x ", "generous ") + figure() + unit()
	case 5:
		return "3-" + o.Number("4", "10", "250") + unit()
	case 6:
		one := unit()
		return o.Number("10", "2") + one + o.One(" + ", " less ", " plus ") + o.Number("1", "½") + one
	case 7:
		if !o.odd() {
			return o.Number("10", "2") + " " + units[0]
		}
		return o.One("", "some", "zest of 2", "juice of 3", "a pinch", "１０ g", "10 ｇ", "NaN g", "1e400 ml",
			"--", "∞ ml",
			"10 g\u200b", "0x1p4 g", "1,000 ml", "1/0 cup", "9999999999999999999999 kg", "1e9 h",
			"half a "+figure()+unit())
	}
}

// strange are words that a terminal, a page, a sheet or a sentence could take for
// something else.
var strange = []string{"柚子", "\u202eevil\u202c", "a\u200bb", "\x1b[31mred", "\x1b]0;title\a",
	"<script>x</script>",
	"=1+1", "'+x", "a\rb", "a\tb", "a\nb", "&amp;", "%s%d", "{{.}}", "~10~ml", "4~°C", "”", "ا\u200dب",
	"שלום", "(x",
	"\ufeff", "\u0301", "\\", "/", "..", "a;b,c", "-", "--json", "null", strings.Repeat("long ", 40), ""}

// Name is one of these, any of the library, or one that nobody would write.
func (o *Odd) Name(right ...string) string {
	switch {
	case o.odd():
		return o.One(strange...)
	case o.Of(4) == 3:
		all := library.Builtin().Botanicals()
		return all[(o.Of(256)*256+o.Of(256))%len(all)].Name
	}
	return o.One(right...)
}

// another is a name that is not among those, but for an oddity.
func (o *Odd) another(than *[]string, right []string) string {
	name := o.Name(right...)
	for n := 2; slices.Contains(*than, name) && !o.odd(); n++ {
		name += " " + strconv.Itoa(n)
	}
	*than = append(*than, name)
	return name
}

// quoted is a text as TOML has it.
func quoted(s string) string {
	s = strings.NewReplacer(`\a`, `\u0007`, `\v`, `\u000b`).Replace(strconv.QuoteToASCII(s))
	return strings.ReplaceAll(s, `\x`, `\u00`)
}

// key is a line of a table, which is left out more often than not.
func (o *Odd) key(name string, value func() string) string {
	if o.Of(3) < 2 {
		return ""
	}
	return name + " = " + value() + "\n"
}

func (o *Odd) numbers(right ...string) func() string {
	return func() string { return o.Number(right...) }
}

func (o *Odd) amounts(units ...string) func() string {
	return func() string { return quoted(o.Amount(units...)) }
}

func (o *Odd) per(unit string, right ...string) func() string {
	return func() string { return quoted(o.Number(right...) + " " + unit) }
}

func (o *Odd) choice(right ...string) func() string {
	return func() string {
		if o.odd() {
			return quoted(o.One(strange...))
		}
		return quoted(o.One(right...))
	}
}

func (o *Odd) yes() string { return o.One("true", "false") }

// days that no jar started on, or that the clocks changed on.
var days = []string{"2026-11-25", "2026-10-25T02:30:00", "2026-03-29T02:30:00", "2026-10-25T02:30:00+02:00",
	"9999-12-31T23:59:59", "0001-01-01", "1900-01-01T00:00:00", "1969-12-31T23:59:59Z", "0000-01-01",
	"2199-12-31",
	"12:00:00", "\"yesterday\"", "\"1e9 h\"", "\"-1 h\"", "\"25 Dec\"", "\"9 pm\"", "\"1000000 h\"",
	"\"soon\"",
	"\"3 years\""}

// after is a moment so many hours after the start.
func (o *Odd) after(hours float64) string {
	if o.odd() {
		return o.One(days...)
	}
	return quoted(strconv.FormatFloat(hours, 'f', -1, 64) + " h")
}

func (o *Odd) later(from float64) func() string {
	return func() string { return o.after(from + float64(o.Of(200))) }
}

func (o *Odd) day() string {
	if o.odd() {
		return o.One(days...)
	}
	return o.One("2026-10-01", "2025-06-01", "1990-01-01")
}

var (
	bases = []string{"vodka", "grape brandy", "rum", "overproof rum", "white wine", "water", "neutral spirit",
		"red vermouth"}
	plants = []string{"orange zest", "clove", "green cardamom", "lemon verbena", "long pepper", "cinnamon",
		"hibiscus",
		"vanilla", "ginger", "plum", "coffee", "chilli", "oak chips", "my own thing", "apricot kernel"}
	cuts   = []string{"strips", "whole", "crushed", "fine zest", "ground", "sliced", "dried", "fresh leaf"}
	goesIn = []string{"white sugar", "water", "lemon juice", "demerara sugar", "2:1 simple syrup", "honey",
		"egg yolk",
		"cream", "milk", "citric acid", "rum", "orange juice", "salt", "glycerine", "coconut milk",
		"olive oil"}
)

// BatchFile is a batch.
func (o *Odd) BatchFile() string {
	var b strings.Builder
	started := o.One("2026-11-20T18:00:00", "2026-11-20", "2026-10-24T20:00:00", "2026-11-20T18:00:00+05:30")
	if o.odd() {
		started = o.One(days...)
	}
	fmt.Fprintf(&b, "name = %s\nstarted = %s\n", quoted(o.Name("Jar", "A cordial")), started)
	b.WriteString(o.key("room", o.per("C", "20", "4", "35")))
	b.WriteString(o.key("units", func() string { return quoted(o.One("us", "metric")) }))
	b.WriteString(o.spirit(0) + o.some(1, o.spirit))
	var jar, scored, added []string
	b.WriteString(o.some(4, func(int) string { return o.botanical(o.another(&jar, plants)) }))
	scored = slices.Clone(jar)
	b.WriteString(o.some(min(2*len(jar), 2), func(int) string {
		return "[[watch]]\nname = " + quoted(o.another(&scored, []string{"bitter", "harsh", "tannic"})) +
			"\nlimit = " + o.Number("2", "0", "3.5", "10") + "\n" +
			o.key("from", func() string { return "[" + quoted(o.One(jar...)) + "]" })
	}))
	b.WriteString(o.some(4, func(int) string { return o.addition(o.another(&added, goesIn)) }))
	b.WriteString(o.finish() + o.measured() + o.log(jar, scored, added))
	s := b.String()
	if o.odd() { // with something in between
		at := (o.Of(256)*256 + o.Of(256)) % (len(s) + 1)
		s = s[:at] + o.One("\x00", "\"", "[", "\n", "\r", "=", "\xff", "#", "'''", "e9", "\u2028") + s[at:]
	}
	return s
}

func (o *Odd) spirit(int) string {
	return "[[spirit]]\nname = " + quoted(o.Name(bases...)) + "\n" +
		o.One("abv = 40\n", "abv = 57\n", "proof = 80\n", "abv = "+o.Number("63", "96", "12", "0")+"\n") +
		"amount = " + quoted(o.Amount(liquids...)) + "\n" + o.key("price", o.numbers("24.50"))
}

func (o *Odd) botanical(name string) string {
	return "[[botanical]]\nname = " + quoted(name) + "\n" +
		o.key("like", func() string { return quoted(o.Name(plants...)) }) + o.key("cut", o.choice(cuts...)) +
		"amount = " + quoted(o.Amount(slices.Concat(weights, counts)...)) + "\n" +
		o.key("target", o.numbers("6", "4", "2", "0", "10")) +
		o.key("in", func() string { return o.after(float64(o.Of(4))) }) +
		o.key("lot", o.choice("market 1")) + o.key("bought", o.day) + o.key("leave_in", o.yes) +
		o.key("bag", o.yes) +
		o.key("price", o.numbers("2"))
}

func (o *Odd) addition(name string) string {
	return "[[addition]]\nname = " + quoted(name) + "\namount = " +
		quoted(o.Amount(slices.Concat(weights, liquids)...)) + "\n" + o.key("ph", o.numbers("2.5", "7")) +
		o.key("acid", o.per("g/l", "5", "60")) + o.key("brix", o.numbers("10", "65")) +
		o.key("heated", o.yes) +
		o.key("in", o.later(0)) + o.key("pressed", o.day) +
		o.key("kept", o.choice("fridge", "room", "freezer")) +
		o.key("boiled_off", o.amounts("ml")) + o.key("price", o.numbers("1.80"))
}

func (o *Odd) finish() string {
	return "[finish]\n" + o.key("press", o.yes) + o.key("keeps", o.numbers("0.5", "1.2")) + o.key("heated", o.yes) + o.key("filtered", o.yes) +
		o.key("leave_in", o.yes) + o.key("boiled", o.yes) + o.key("bottle", o.amounts("ml", "l", "fl oz")) +
		o.key("serve", o.amounts("ml", "fl oz")) +
		o.key("store", o.choice("fridge", "room", "cellar", "freezer", "12 C")) +
		o.key("strained", o.later(300)) +
		o.key("bottled", o.later(500)) + o.key("opened", o.later(700))
}

func (o *Odd) measured() string {
	return "[measured]\n" + o.key("ph", o.numbers("3.4", "5")) + o.key("abv", o.numbers("18.5", "30")) +
		o.key("volume", o.amounts("ml", "l")) + o.key("sugar", o.per("g/l", "280", "0")) +
		o.key("acid", o.per("g/l", "12", "0")) + o.key("brix", o.numbers("30")) +
		o.key("density", o.numbers("1085", "950")) + o.key("strained", o.amounts("ml"))
}

// log is what was done with it, in the order of time but for an odd moment.
func (o *Odd) log(jar, scored, added []string) string {
	if o.odd() {
		jar, scored, added = append(jar, "x"), append(scored, "x"), append(added, "gum")
	}
	hours, bottles, sort, inside := 0.0, false, 0, slices.Clone(jar)
	return o.some(14, func(int) string {
		hours += []float64{6, 0, 1, 24, 0.1, 100, 1000, 50}[o.Of(8)]
		at := "at = " + o.after(hours) + "\n"
		if sort += o.Of(3) / 2; o.odd() { // tastings, pulls, straining, additions, bottles, what comes after
			sort = o.Of(8)
		}
		switch {
		case sort == 1 && len(inside) > 0:
			name := o.One(inside...)
			inside = slices.DeleteFunc(inside, func(s string) bool { return s == name })
			return "[[pulled]]\nname = " + quoted(name) + "\n" + at
		case sort == 2:
			sort++
			return "[[strained]]\n" + at + o.key("volume", o.amounts("ml"))
		case sort == 3 && len(added) > 0:
			return "[[added]]\nname = " + quoted(o.One(added...)) + "\namount = " +
				quoted(o.Amount("g", "ml")) + "\n" + at
		case sort == 4:
			bottles = true
			return "[[bottled]]\n" + at + o.key("bottles", o.numbers("4", "1")) +
				o.key("of", o.amounts("ml")) +
				o.key("volume", o.amounts("ml", "l"))
		case sort == 5 && bottles:
			return "[[opened]]\n" + at + o.key("bottle", o.numbers("1", "2"))
		case sort == 6 && bottles:
			return "[[emptied]]\n" + at + o.key("bottle", o.numbers("1", "2"))
		case sort >= 4 || len(scored) == 0:
			return "[[noted]]\nwhat = " + quoted(o.Name("fizzed", "ring at the neck", "mould on top")) +
				"\n" + at
		}
		score := func() string { return o.Number("3", "0", "1", "4.5", "6", "8", "10") }
		scores := quoted(scored[0]) + " = " + score()
		if k := o.Of(len(scored)); k > 0 {
			scores += ", " + quoted(scored[k]) + " = " + score()
		}
		return "[[tasting]]\n" + at + "score = { " + scores + " }\n" + o.key("taster", o.choice("A", "B")) +
			o.key("sample", func() string {
				return quoted(o.Number("1", "2") + ":" +
					o.Number("3", "0", "9", "50"))
			}) +
			o.key("words", o.choice("bright, thin"))
	})
}

// HouseFile is the rules of a house.
func (o *Odd) HouseFile() string {
	return o.key("rule", o.choice("county code")) + o.key("max_age_days", o.numbers("90", "1", "36500")) +
		o.key("use_within_days", o.numbers("7", "0.5")) + o.key("fridge_always", o.yes) +
		o.key("fridge_c", o.numbers("5", "-5", "15")) + o.key("country", o.choice("US", "UK", "AU")) +
		o.key("awake", o.choice("07:00-23:00", "9:00-17:00", "22:00-02:00", "0:00-24:00"))
}

// LibraryFile is what a house knows besides the library.
func (o *Odd) LibraryFile() string {
	figure := func(right ...string) func() string {
		return func() string {
			switch o.Of(4) {
			case 2:
				return "[" + o.Number(right...) + ", " + o.Number(right...) + "]"
			case 3:
				return "{ low = " + o.Number(right...) + ", high = " + o.Number(right...) + " }"
			}
			return o.Number(right...)
		}
	}
	var seen []string
	names := func() string { return "[" + quoted(o.Name("grandmother's leaf", "orange zest")) + "]" }
	cut := func(int) string {
		return "[[botanical.cut]]\nname = " + quoted(o.One(cuts...)) + "\n" +
			o.key("rate_per_h", figure("0.1", "0.5")) +
			o.key("rate_gsd", o.numbers("2", "1.5")) + o.key("held_ml_per_g", figure("1", "2")) +
			o.key("dose_g_per_l", figure("5", "10")) + o.key("measures", func() string {
			return "[{ unit = " + quoted(o.One("piece", "tsp", "cup")) + ", g = " + o.Number("2", "5") + " }]"
		})
	}
	botanical := func(int) string {
		return "[[botanical]]\nname = " + quoted(o.another(&seen, plants)) + "\n" + o.key("names", names) +
			o.key("kind", o.choice("leaf", "citrus", "spice", "fruit")) +
			o.key("forbidden", o.choice("it is poison")) +
			o.some(2, cut)
	}
	ingredient := func(int) string {
		return "[[ingredient]]\nname = " + quoted(o.another(&seen, goesIn)) + "\n" + o.key("names", names) +
			o.key("kind", o.choice("sugar", "juice", "syrup", "water")) + o.key("liquid", o.yes) +
			o.key("density_g_per_ml", figure("1", "1.3")) + o.key("ph", figure("3", "7")) +
			o.key("acid_g_per_100ml", figure("5", "6")) + o.key("per_100g", func() string {
			return "{ water = " + o.Number("40", "100") + ", sucrose = " + o.Number("60", "0") +
				", citric = " +
				o.Number("0", "1") + " }"
		})
	}
	return o.some(2, botanical) + o.some(2, ingredient) + o.some(2, func(int) string {
		return "[[spirit]]\nname = " + quoted(o.another(&seen, bases)) + "\n" + o.key("names", names) +
			o.key("abv_percent", figure("40", "60"))
	})
}
