package quantity

import (
	"math"
	"strconv"
	"strings"

	"steepbook/data/pattern"
)

const abvExample = "57 % vol"

// ParseABV reads an alcoholic strength and gives it in per cent by volume, 0
// to 100: "57", "57 %", "57% vol", "57 % ABV", or in US proof, which is twice
// the percentage: "114 proof". The error is an *Error.
func ParseABV(s string) (percent float64, err error) {
	text := tidy(s)
	if strings.HasPrefix(text, "-") {
		return 0, fail(s, abvExample, "the strength %s is negative", shown(s))
	}
	v, rest, found, perr := number(text, s, abvExample)
	if perr != nil {
		return 0, perr
	}
	if !found {
		return 0, fail(s, abvExample, "%s is not a strength in %% vol", shown(s))
	}
	unit := strings.ToLower(strings.Join(strings.Fields(strings.NewReplacer("%", " % ", ".", " ", "°", " ",
		"/", " ").Replace(rest)), " "))
	switch unit {
	case "", "%", "% vol", "vol %", "% abv", "abv", "abv %", "vol", "% alc", "% alc vol", "% by volume",
		"percent", "per cent":
		return checkABV(v, s)
	case "proof", "us proof", "pr", "% proof":
		return checkProof(v, s)
	case "% mas", "% mass", "% wt", "% w w", "% by weight", "% by mass":
		return 0, fail(s, abvExample, "the strength %s is by mass; write it by volume", shown(s))
	}
	return 0, fail(s, abvExample, "%s in %s is no unit of strength; write %% vol or proof",
		shown(strings.TrimSpace(rest)), shown(s))
}

// CheckABV checks a strength that was given as a number in per cent by volume.
// The error is an *Error.
func CheckABV(percent float64) error {
	_, err := checkABV(percent, FormatNumber(percent))
	return err
}

func checkABV(v float64, s string) (float64, error) {
	switch {
	case math.IsNaN(v):
		return 0, fail(s, abvExample, "the strength is not a number")
	case v >= 0 && v <= 100:
		return v, nil
	case v > 100 && v <= 200:
		return 0, fail(s, abvExample, "a strength of %s %% vol is more than pure alcohol; did you mean "+
			"proof = %s (%s %% vol)?",
			FormatNumber(v), FormatNumber(v), FormatNumber(v/2))
	}
	return 0, fail(s, abvExample, "a strength runs from 0 to 100 %% vol, not %s", shown(s))
}

func checkProof(v float64, s string) (float64, error) {
	if !(v >= 0 && v <= 200) {
		return 0, fail(s, "114 proof", "proof runs from 0 to 200, twice the %% vol, not %s", shown(s))
	}
	return v / 2, nil
}

const (
	ratioExample = "1:3"
	mostParts    = 1000
)

// ParseRatio reads how a sample was mixed, parts from the jar to parts of
// everything else: "1:3" is one part jar in three parts syrup or water, "neat"
// is 1, 0. The error is an *Error.
func ParseRatio(s string) (jar, other float64, err error) {
	text := tidy(s)
	switch strings.ToLower(text) {
	case "neat", "undiluted", "pure":
		return 1, 0, nil
	case "":
		return 0, 0, fail(s, ratioExample, "the sample is empty; leave it out when it was tasted neat")
	}
	left, right, ok := strings.Cut(text, ":")
	if !ok {
		return 0, 0, fail(s, ratioExample, "the sample %s is not of the form jar:other, nor \"neat\"",
			shown(s))
	}
	jar, errJar := parts(left, s)
	other, errOther := parts(right, s)
	switch {
	case errJar != nil:
		return 0, 0, errJar
	case errOther != nil:
		return 0, 0, errOther
	case jar == 0:
		return 0, 0, fail(s, ratioExample, "the sample %s has nothing from the jar in it; the jar's part "+
			"comes first", shown(s))
	}
	return jar, other, nil
}

func parts(text, s string) (float64, error) {
	text = strings.TrimSpace(text)
	v, rest, found, err := number(text, s, ratioExample)
	switch {
	case text == "":
		return 0, fail(s, ratioExample, "the sample %s has a number on one side of its colon only", shown(s))
	case err != nil:
		return 0, err
	case !found || strings.TrimSpace(rest) != "":
		return 0, fail(s, ratioExample, "%s in the sample %s is not a number of parts", shown(text), shown(s))
	case v > mostParts || math.IsNaN(v):
		return 0, fail(s, ratioExample, "the sample %s has more than %d parts", shown(s), mostParts)
	}
	return v, nil
}

// NamedStrength is a strength that stands in a name. ByVolume: it says that it is alcohol ("63 % vol",
// "126 proof", "35度", as the degrees of East Asian labels are % vol by common practice); a bare per cent
// is one of whatever the thing is bought for. Unclear: there is one, or more, that cannot be read.
type NamedStrength struct {
	Percent                 float64
	Said, ByVolume, Unclear bool
}

// namedStrength finds "63 % vol", "57%", "126 proof", "(40 % abv)" in a name, with
// what stands before the number.
var namedStrength = pattern.New(`(?i)[(\[,]*\s*((?:\d\s*)?[-−–—/+]\s*|\d\s*to\s+)?(\d+(?:[.,]\d+)?)[\s-]*(%\s*(?:vol|abv|alc)?\.?(?:\s*(?:vol|abv|alc)\b\.?)?|(?:per\s*cent|pct|pc)\b(?:\s+(?:vol|abv|alc)\b)?|(?:us[\s-]+)?proof\b|abv\b|度|°(?:\s*gl\b)?(?:[^cfbCFB]|$))\s*[)\]]*`)

// StrengthIn reads the strength in a name and gives the name without it:
// "vodka 60 %", "rum 63 % vol", "126 proof rum".
func StrengthIn(name string) (bare string, s NamedStrength) {
	all := namedStrength().FindAllStringSubmatchIndex(name, 2)
	if len(all) == 0 {
		return name, s
	}
	m := all[0]
	bare = strings.Join(strings.Fields(name[:m[0]]+" "+name[m[1]:]), " ")
	v, err := strconv.ParseFloat(strings.Replace(name[m[4]:m[5]], ",", ".", 1), 64)
	unit := strings.ToLower(name[m[6]:m[7]])
	if strings.Contains(unit, "proof") {
		v /= 2
	}
	switch {
	case bare == "":
		return name, s
	case len(all) > 1 || m[2] >= 0 || err != nil || v > 100:
		return name, NamedStrength{Unclear: true}
	}
	// abv, alc, vol, proof, degrees
	return bare, NamedStrength{Percent: v, Said: true, ByVolume: strings.ContainsAny(unit, "avf°度")}
}

// CutAmount parts "lime juice: 200 ml" into its name and its amount; a colon
// between two numbers is a syrup's ratio and parts nothing, and a weight or a volume
// at the end needs none: "lime juice 200 ml". found is false, and all of it the name,
// where there is no amount.
func CutAmount(text string) (name, amount string, found bool) {
	digit := func(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }
	for i := len(text) - 1; i >= 0; i-- {
		if text[i] != ':' {
			continue
		}
		left, right := strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
		if !(digit(left, len(left)-1) && digit(right, 0) && plainRatio(right)) {
			return left, right, true
		}
	}
	text = strings.TrimSpace(text)
	for i := range len(text) {
		if text[i] != ' ' || !digit(text, i+1) {
			continue
		}
		if a, err := ParseAmount(text[i+1:]); err == nil && a.Kind != Count {
			return strings.TrimRight(text[:i], ", "), text[i+1:], true
		}
	}
	return text, "", false
}

// plainRatio reports whether what follows a number and a colon goes on as a ratio
// does: "1", "1 syrup", but not "200 ml".
func plainRatio(right string) bool {
	a, err := ParseAmount(right)
	return err != nil || a.Kind == Count && a.Noun == ""
}
