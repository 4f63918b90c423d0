package secondopinion

import (
	"math"
	"math/rand/v2"
	"slices"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// someJar is a random jar as the decision is told of it: scores, pulls and tastes of
// a random batch, with beliefs that reach over all that a library, a book or a dose
// may make of them.
func someJar(number uint64) (j jar.Jar, now float64) {
	s := somejar.New(number)
	r := rand.New(rand.NewPCG(number, 0x2d))
	chance := func(p float64) bool { return r.Float64() < p }
	share := 1.0
	if len(s.Additions) > 0 {
		share = 0.4 + 0.5*r.Float64()
	}
	exponent := kinetics.Normal{Mean: 0.4 + 0.6*r.Float64(), SD: 0.15}
	scores := func(name string) (out []jar.Score) {
		for _, t := range s.Tastings {
			sample := 0.0
			if t.Sample != "" {
				sample = 0.3 + 0.6*r.Float64()
			}
			for _, sc := range t.Scores {
				if sc.Name == name {
					out = append(out, jar.Score{Hours: float64(t.At) / 60, Value: sc.Value, Share: sample,
						Taster: t.Taster})
				}
			}
		}
		return out
	}
	for _, b := range s.Botanicals {
		_, cut, _, err := library.Builtin().BotanicalAndCut(b.Name, b.Cut)
		if err != nil {
			panic(err)
		}
		p := kinetics.Usual(cut.SlowRatePerH(), max(cut.RateGSD, 1.2))
		if chance(0.3) {
			p = p.Stronger(math.Exp(0.6*r.NormFloat64()), exponent.Mean)
		}
		if chance(0.3) { // as a book teaches
			p.Doubt *= r.Float64()
			p.Lean = -r.Float64()
			p.LogNoise.SD *= 0.4 + 0.6*r.Float64()
		}
		if e := cut.EarlyShare.Value; e > 0 && e < 0.8 {
			p.Early = e
		} else if chance(0.1) {
			p.Early = 0.4 * r.Float64()
		}
		f := jar.Flavour{
			Name: b.Name, Prior: p, InH: float64(b.In) / 60, OutH: math.Inf(1), Target: max(b.Target, 0),
			Bottle: jar.Dilution{Share: share, Exponent: exponent}, Scores: scores(b.Name),
			Stays: b.LeaveIn, Dust: b.Dust,
		}
		if l := cut.LateOffH; cut.LateOff != "" && l.Value > 0 {
			f.Fault = &jar.Fault{What: cut.LateOff, Low: l.Low, Usual: l.Value, Highest: l.High}
			f.FirstH = cut.FirstTasteH
		}
		for _, p := range s.Pulls {
			if p.Name == b.Name {
				f.OutH = float64(p.At) / 60
			}
		}
		j.Flavours = append(j.Flavours, f)
	}
	for _, w := range s.Watches {
		u := jar.Unwanted{
			Name: w.Name, Limit: w.Limit, Bottle: jar.Dilution{Share: share, Exponent: exponent},
			Scores: scores(w.Name), Lag: kinetics.Normal{Mean: math.Log(3), SD: 0.7},
		}
		for i, f := range j.Flavours {
			if slices.Contains(w.From, f.Name) {
				u.From = append(u.From, i)
			}
		}
		if chance(0.5) {
			for range j.Flavours {
				u.Ties = append(u.Ties, jar.Tie(r.IntN(3)))
			}
		}
		j.Unwanted = append(j.Unwanted, u)
	}
	if chance(0.3) {
		j.Awake = night
	}
	return j, s.Hours()
}

// night is from 11 to 19 hours after the start of a jar, and so each day.
func night(hours float64) (before, after float64) {
	day := 24 * math.Floor(hours/24)
	if of := hours - day; of > 11 && of < 19 {
		return day + 11, day + 19
	}
	return hours, hours
}
