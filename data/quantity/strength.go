package quantity

import (
	"math"
	"strings"
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
	unit := strings.ToLower(strings.Join(strings.Fields(strings.NewReplacer("%", " % ", ".", " ", "°", " ", "/", " ").Replace(rest)), " "))
	switch unit {
	case "", "%", "% vol", "vol %", "% abv", "abv", "abv %", "vol", "% alc", "% alc vol", "% by volume", "percent", "per cent":
		return checkABV(v, s)
	case "proof", "us proof", "pr", "% proof":
		return checkProof(v, s)
	case "% mas", "% mass", "% wt", "% w w", "% by weight", "% by mass":
		return 0, fail(s, abvExample, "the strength %s is by mass; write it by volume", shown(s))
	}
	return 0, fail(s, abvExample, "%s in %s is no unit of strength; write %% vol or proof", shown(strings.TrimSpace(rest)), shown(s))
}

// CheckABV checks a strength that was given as a number in per cent by volume.
// The error is an *Error.
func CheckABV(percent float64) error {
	_, err := checkABV(percent, FormatNumber(percent))
	return err
}

// ABVFromProof turns US proof, 0 to 200, into per cent by volume. The error is
// an *Error.
func ABVFromProof(proof float64) (percent float64, err error) {
	return checkProof(proof, FormatNumber(proof))
}

func checkABV(v float64, s string) (float64, error) {
	switch {
	case math.IsNaN(v):
		return 0, fail(s, abvExample, "the strength is not a number")
	case v >= 0 && v <= 100:
		return v, nil
	case v > 100 && v <= 200:
		return 0, fail(s, abvExample, "a strength of %s %% vol is more than pure alcohol; did you mean proof = %s (%s %% vol)?",
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
		return 0, 0, fail(s, ratioExample, "the sample %s is not of the form jar:other, nor \"neat\"", shown(s))
	}
	jar, errJar := parts(left, s)
	other, errOther := parts(right, s)
	switch {
	case errJar != nil:
		return 0, 0, errJar
	case errOther != nil:
		return 0, 0, errOther
	case jar == 0:
		return 0, 0, fail(s, ratioExample, "the sample %s has nothing from the jar in it; the jar's part comes first", shown(s))
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
