package quantity

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseTemperature(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"20 C", 20}, {"20C", 20}, {"20 °C", 20}, {"20 degrees Celsius", 20}, {"20 deg. C", 20}, {"20,5 c", 20.5},
		// 68 F = 20 C, -40 F = -40 C, 212 F = 100 C exactly: NIST SP 811, Appendix B.8, t/C = (t/F - 32)/1.8.
		{"68 F", 20}, {"68 °F", 20}, {"-40 F", -40}, {"212 fahrenheit", 100},
		{"-18 C", -18}, {"−18 °C", -18}, {"- 18 C", -18}, {"+4 C", 4}, {"0 C", 0}, {"150 C", 150}, {"-273.15 C", -273.15}, {"20 ℃", 20},
	} {
		got, err := ParseTemperature(c.text)
		if err != nil || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%q: %g, %v; want %g", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"", `the temperature is empty; e.g. "20 C"`},
		{"warm", `"warm" is not a temperature; e.g. "20 C"`},
		{"20", `the temperature "20" has no scale; write 20 C or 20 F; e.g. "20 C"`},
		{"68", `the temperature "68" has no scale; write 68 C or 68 F; e.g. "68 F"`},
		{"20 degrees", `the temperature "20 degrees" has no scale; write 20 C or 20 F; e.g. "20 C"`},
		{"293 K", `the temperature "293 K" is in kelvin; write C or F; e.g. "20 C"`},
		{"20 X", `"X" in "20 X" is no temperature scale; write C or F; e.g. "20 C"`},
		{"18-20 C", `"18-20 C" is a range; write one temperature; e.g. "20 C"`},
		{"-300 C", `the temperature "-300 C" is below absolute zero; e.g. "20 C"`},
		{"-460 F", `the temperature "-460 F" is below absolute zero; e.g. "20 C"`},
		{"180 C", `the temperature "180 C" is above 150 C (302 F); is the scale right? e.g. "20 C"`},
	} {
		_, err := ParseTemperature(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestFormatTemperature(t *testing.T) {
	for _, c := range []struct {
		c          float64
		metric, us string
	}{
		{20, "20 °C", "68 °F"}, {-18, "-18 °C", "0 °F"}, {-0.3, "0 °C", "31 °F"}, {37.8, "38 °C", "100 °F"},
		{math.NaN(), "unknown", "unknown"}, {math.Inf(1), "unknown", "unknown"},
	} {
		if got := FormatTemperature(c.c, Metric); got != c.metric {
			t.Errorf("%g: %q, want %q", c.c, got, c.metric)
		}
		if got := FormatTemperature(c.c, US); got != c.us {
			t.Errorf("%g: %q, want %q", c.c, got, c.us)
		}
	}
}

func TestParseDuration(t *testing.T) {
	const h, d = time.Hour, 24 * time.Hour
	for _, c := range []struct {
		text string
		want time.Duration
	}{
		{"36 h", 36 * h}, {"36h", 36 * h}, {"2 d 4 h", 52 * h}, {"2d4h", 52 * h}, {"90 min", 90 * time.Minute}, {"1 wk", 7 * d},
		{"1 week 2 days", 9 * d}, {"1 week and 2 days", 9 * d}, {"2 days, 4 hours", 52 * h}, {"10 minutes", 10 * time.Minute},
		{"1.5 h", 90 * time.Minute}, {"1 1/2 h", 90 * time.Minute}, {"1½ hours", 90 * time.Minute}, {"half an hour", 30 * time.Minute},
		{"a week", 7 * d}, {"0 h", 0}, {"30 s", 30 * time.Second}, {"2 wks.", 14 * d}, {"1,5 h", 90 * time.Minute}, {"2 hrs. 10 mins.", 130 * time.Minute},
	} {
		got, err := ParseDuration(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"", `the duration is empty; e.g. "2 d 4 h"`},
		{"36", `"36" has no unit; write h for hours, d for days, min for minutes; e.g. "2 d 4 h"`},
		{"2 d 4", `"2 d 4" has no unit; write h for hours, d for days, min for minutes; e.g. "2 d 4 h"`},
		{"1 month", `a month has no fixed length; write days or weeks; e.g. "2 d 4 h"`},
		{"2 yrs", `a year has no fixed length; write days or weeks; e.g. "2 d 4 h"`},
		{"3 m", `"m" can be minutes or months; write min, or days for months; e.g. "2 d 4 h"`},
		{"overnight", `a night has no fixed length; write hours; e.g. "2 d 4 h"`},
		{"-3 h", `the duration "-3 h" is negative; e.g. "2 d 4 h"`},
		{"1:30", `"1:30" can be a time of day or a duration; write a duration with its units; e.g. "2 d 4 h"`},
		{"2-3 d", `"2-3 d" is a range; write one duration; e.g. "2 d 4 h"`},
		{"3 h 3 h", `the duration "3 h 3 h" has the same unit twice; e.g. "2 d 4 h"`},
		{"6 hous", `unknown unit of time "hous" in "6 hous"; write wk, d, h or min; e.g. "2 d 4 h"`},
		{"soon", `"soon" in "soon" is not a length of time; e.g. "2 d 4 h"`},
		{"99999 wk", `the duration "99999 wk" is longer than 50 years; is the unit right? e.g. "2 d 4 h"`},
	} {
		_, err := ParseDuration(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestFormatDuration(t *testing.T) {
	const m, h, d = time.Minute, time.Hour, 24 * time.Hour
	for _, c := range []struct {
		d    time.Duration
		want string
	}{
		{0, "0 h"}, {20 * time.Second, "20 s"}, {59*time.Second + 600*time.Millisecond, "1 min"}, {90 * time.Second, "1 min 30 s"}, {20 * m, "20 min"},
		{59*m + 50*time.Second, "1 h"}, {90 * m, "1 h 30 min"}, {11*h + 59*m, "11 h 59 min"}, {14 * h, "14 h"}, {14*h + 20*m, "14 h"}, {36 * h, "36 h"},
		{47*h + 40*m, "2 d"}, {52 * h, "2 d 4 h"}, {7 * d, "7 d"}, {16*d + 3*h, "16 d"}, {28 * d, "4 wk"}, {37 * d, "5 wk 2 d"}, {-90 * m, "-1 h 30 min"},
		{math.MaxInt64, "15250 wk 1 d"}, {math.MinInt64, "-15250 wk 1 d"},
	} {
		if got := FormatDuration(c.d); got != c.want {
			t.Errorf("%v: %q, want %q", c.d, got, c.want)
		}
	}
}

// TestPrintedDurationsReadBack: to within half of the smaller unit printed.
func TestPrintedDurationsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := time.Duration(rapid.Int64Range(0, int64(longestSpan)-int64(day)).Draw(t, "duration"))
		text := FormatDuration(want)
		got, err := ParseDuration(text)
		if err != nil {
			t.Fatalf("%v prints as %q: %v", want, text, err)
		}
		unit := day
		switch {
		case want < 10*time.Minute:
			unit = time.Second
		case want < 12*time.Hour:
			unit = time.Minute
		case want < 2*week:
			unit = time.Hour
		}
		if off := (got - want).Abs(); off > unit/2+time.Millisecond {
			t.Fatalf("%v prints as %q, %v off", want, text, off)
		}
	})
}

func FuzzParseDuration(f *testing.F) {
	for _, s := range []string{"2 d 4 h", "1½ h", "a week", "1,5h,", "half an hour and 3 s"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := ParseDuration(s)
		if err == nil && (d < 0 || d > longestSpan) {
			t.Fatalf("%q is %v", s, d)
		}
		if err != nil && strings.ContainsAny(err.Error(), "\n\x00") {
			t.Fatalf("%q: %q", s, err)
		}
	})
}

func TestParseABV(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"57", 57}, {"57 %", 57}, {"57%", 57}, {"57% vol", 57}, {"57 % ABV", 57}, {"40 % alc./vol.", 40}, {"57,5 %", 57.5}, {"0", 0}, {"100", 100},
		{"114 proof", 57}, {"151 Proof", 75.5}, {"200 proof", 100},
	} {
		got, err := ParseABV(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q: %g, %v; want %g", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"140", `a strength of 140 % vol is more than pure alcohol; did you mean proof = 140 (70 % vol)? e.g. "57 % vol"`},
		{"-3", `the strength "-3" is negative; e.g. "57 % vol"`},
		{"250", `a strength runs from 0 to 100 % vol, not "250"; e.g. "57 % vol"`},
		{"210 proof", `proof runs from 0 to 200, twice the % vol, not "210 proof"; e.g. "114 proof"`},
		{"strong", `"strong" is not a strength in % vol; e.g. "57 % vol"`},
		{"nan", `"nan" is not a strength in % vol; e.g. "57 % vol"`},
		{"57 foo", `"foo" in "57 foo" is no unit of strength; write % vol or proof; e.g. "57 % vol"`},
		{"50 % by weight", `the strength "50 % by weight" is by mass; write it by volume; e.g. "57 % vol"`},
	} {
		_, err := ParseABV(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), -1, 101, 1000} {
		if CheckABV(v) == nil {
			t.Errorf("%g passes as a strength", v)
		}
		if v != 101 {
			if _, err := ParseABV(fmt.Sprint(v, " proof")); err == nil {
				t.Errorf("%g passes as proof", v)
			}
		}
	}
	if err := CheckABV(57); err != nil {
		t.Error(err)
	}
}

func TestParseRatio(t *testing.T) {
	for _, c := range []struct {
		text       string
		jar, other float64
	}{
		{"1:3", 1, 3}, {"1 : 3", 1, 3}, {"2:1", 2, 1}, {"1:0", 1, 0}, {"neat", 1, 0}, {"Undiluted", 1, 0}, {"1:2.5", 1, 2.5}, {"1:1/2", 1, 0.5},
	} {
		jar, other, err := ParseRatio(c.text)
		if err != nil || jar != c.jar || other != c.other {
			t.Errorf("%q: %g:%g, %v", c.text, jar, other, err)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"", `the sample is empty; leave it out when it was tasted neat; e.g. "1:3"`},
		{"1/3", `the sample "1/3" is not of the form jar:other, nor "neat"; e.g. "1:3"`},
		{"0:3", `the sample "0:3" has nothing from the jar in it; the jar's part comes first; e.g. "1:3"`},
		{"1:", `the sample "1:" has a number on one side of its colon only; e.g. "1:3"`},
		{"1:2:3", `"2:3" in the sample "1:2:3" is not a number of parts; e.g. "1:3"`},
		{"1:-3", `"-3" in the sample "1:-3" is not a number of parts; e.g. "1:3"`},
		{"1:9999", `the sample "1:9999" has more than 1000 parts; e.g. "1:3"`},
	} {
		_, _, err := ParseRatio(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestFormatMassAndVolume(t *testing.T) {
	for _, c := range []struct {
		v                          float64
		mass, massUS, volume, volU string
	}{
		{0, "0 g", "0 oz wt", "0 ml", "0 fl oz"},
		{0.003, "less than 0.01 g", "less than 0.01 g", "less than 0.01 ml", "less than 1/32 tsp"},
		{0.077, "0.08 g", "0.0027 oz wt (0.08 g)", "0.08 ml", "less than 1/32 tsp"},
		{0.3, "0.3 g", "0.011 oz wt (0.3 g)", "0.3 ml", "1/16 tsp"},
		{0.996, "1 g", "0.035 oz wt (1 g)", "1 ml", "1/4 tsp"},
		{3.54, "3.5 g", "0.12 oz wt (3.5 g)", "3.5 ml", "3/4 tsp"},
		{4.93, "4.9 g", "0.17 oz wt (4.9 g)", "4.9 ml", "1 tsp"},
		{9.97, "10 g", "0.35 oz wt (10 g)", "10 ml", "2 tsp"},
		{24, "24 g", "0.85 oz wt", "24 ml", "1 1/2 tbsp"},
		{250, "250 g", "8.8 oz wt", "250 ml", "8 1/2 fl oz"},
		{999.7, "1 kg", "2 lb 3 oz wt", "1 l", "34 fl oz"},
		{1054, "1.05 kg", "2 lb 5 oz wt", "1.05 l", "36 fl oz"},
		{3785.411784, "3.79 kg", "8 lb 6 oz wt", "3.79 l", "1 gallon"},
		{123456, "123 kg", "272 lb 3 oz wt", "123 l", "32.61 gallons"},
		{-24, "-24 g", "-0.85 oz wt", "-24 ml", "-1 1/2 tbsp"},
		{math.NaN(), "unknown", "unknown", "unknown", "unknown"},
		{math.Inf(1), "unknown", "unknown", "unknown", "unknown"},
	} {
		for _, p := range [][2]string{
			{FormatMass(c.v, Metric), c.mass}, {FormatMass(c.v, US), c.massUS},
			{FormatVolume(c.v, Metric), c.volume}, {FormatVolume(c.v, US), c.volU},
		} {
			if p[0] != p[1] {
				t.Errorf("%g: %q, want %q", c.v, p[0], p[1])
			}
		}
	}
}

// TestUSFiguresAgree: the US figure lies within its own rounding of the metric
// one, so that whoever measures with cups makes the same thing.
func TestUSFiguresAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := math.Exp(rapid.Float64Range(math.Log(1), math.Log(1e5)).Draw(t, "log amount"))
		for _, text := range []string{FormatMass(v, US), FormatVolume(v, US)} {
			us := text
			total := 0.0
			for _, part := range strings.SplitAfter(us, " lb") {
				a, err := ParseAmount(part)
				if strings.TrimSpace(part) == "" {
					continue
				}
				if err != nil {
					t.Fatalf("%q: %v", text, err)
				}
				total += a.Mid() * a.size()
			}
			tolerance := 0.125 // half of a quarter of 1
			if total < mlPerTsp && strings.Contains(us, "tsp") {
				tolerance = 0.25 // half of an eighth of 1/4
			}
			if math.Abs(total-v) > tolerance*v {
				t.Fatalf("%g prints as %q, which is %g", v, text, total)
			}
		}
	})
}

// TestSay: one sentence in the units of either maker. 1 fl oz is 29.57 ml and 1 oz
// 28.35 g (NIST Handbook 44, Appendix C); °F = 1.8 °C + 32.
func TestSay(t *testing.T) {
	for _, c := range []struct{ text, metric, us string }{
		{"keep it at 4~°C or colder", "keep it at 4 °C or colder", "keep it at 39 °F or colder"},
		{"first ice at -9~°C (-11 to -7~°C)", "first ice at -9 °C (-11 to -7 °C)", "first ice at 16 °F (12 to 19 °F)"},
		{"room = \"20~C\"", "room = \"20 C\"", "room = \"68 F\""},
		{"3~K warmer", "3 °C warmer", "5 °F warmer"},
		{"volume = \"1240~ml\"", "volume = \"1240 ml\"", "volume = \"42 fl oz\""},
		{"10 to 15~ml", "10 to 15 ml", "2 tsp to 1 tbsp"},
		{"1.2~l and 0.5~g", "1.2 l and 0.5 g", "41 fl oz and 0.02 oz wt (0.5 g)"},
		{"0.18 to 0.23~g", "0.18 to 0.23 g", "0.0063 to 0.0081 oz wt (0.18 to 0.23 g)"},
		{"10 to 14~g", "10 to 14 g", "0.35 to 0.49 oz wt (10 to 14 g)"},
		{"shows 0.1~g", "shows 0.1 g", "shows 0.004 oz wt (0.1 g)"},
		{"1.4~kg", "1.4 kg", "3 lb 1 oz wt"},
		{"today~23:00, Tue 24~Nov", "today 23:00, Tue 24 Nov", "today 11 pm, Tue Nov 24"},
		{"today~12:00", "today 12:00", "today noon"},
		{"it is 2~Jan 2026~08:05", "it is 2 Jan 2026 08:05", "it is Jan 2, 2026, 8:05 am"},
		{"(2026-11-20~18:00)", "(2026-11-20 18:00)", "(2026-11-20 6 pm)"},
		{"at 13:00~, 00:00~ on 5~December, 9~May 2027", "at 13:00, 00:00 on 5 December, 9 May 2027",
			"at 1 pm, midnight on December 5, May 9, 2027"},
		{"my own 4 °C at 18:00, ~ 5 g/L", "my own 4 °C at 18:00, ~ 5 g/L", "my own 4 °C at 18:00, ~ 5 g/L"},
	} {
		if got := Say(c.text, Metric); got != c.metric {
			t.Errorf("%q: %q, want %q", c.text, got, c.metric)
		}
		if got := Say(c.text, US); got != c.us {
			t.Errorf("%q: %q, want %q", c.text, got, c.us)
		}
	}
}

func TestErrorParts(t *testing.T) {
	_, err := ParseAmount("24 gx")
	var e *Error
	if !errors.As(err, &e) {
		t.Fatal(err)
	}
	if e.Problem != `unknown unit "gx" in "24 gx"; did you mean "g"?` || e.Example != "24 g" || e.Input != "24 gx" {
		t.Errorf("%+v", e)
	}
	if s := (&Error{Problem: "bare"}).Error(); s != "bare" {
		t.Error(s)
	}
}

func TestFormatNumber(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{57, "57"}, {57.25, "57.25"}, {0.1 + 0.2, "0.3"}, {1234.5, "1235"}, {math.Copysign(0, -1), "0"}, {0.00012345678, "0.0001235"}, {math.NaN(), "unknown"}} {
		if got := FormatNumber(c.v); got != c.want {
			t.Errorf("%g: %q, want %q", c.v, got, c.want)
		}
	}
}

func BenchmarkParseAmount(b *testing.B) {
	for b.Loop() {
		if _, err := ParseAmount("1 1/2 tbsp"); err != nil {
			b.Fatal(err)
		}
	}
}
