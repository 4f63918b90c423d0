package jar

import (
	"math"
)

// ordered is the adviser of this package.
type ordered struct{}

func newAdviser() adviser { return ordered{} }

// asJar is what a simulated maker would have written down.
func asJar(j *simJar, scores []simScore) Jar {
	var out Jar
	given := func(unwanted bool, i int) (found []Score) {
		for _, s := range scoresOf(scores, unwanted, i) {
			found = append(found, Score{Hours: s.hours, Value: s.value})
		}
		return found
	}
	for i, f := range j.flavours {
		fl := plain("", f.rate, math.Exp(f.logSD), f.target)
		fl.InH, fl.OutH, fl.Scores = f.in, f.out, given(false, i)
		out.Flavours = append(out.Flavours, fl)
	}
	for i, u := range j.unwanted {
		w := taint("", u.limit)
		w.From, w.Scores = u.from, given(true, i)
		out.Unwanted = append(out.Unwanted, w)
	}
	return out
}

func (ordered) advise(j *simJar, scores []simScore, now float64) (pullAt []float64, taste float64) {
	r, err := asJar(j, scores).At(now)
	if err != nil {
		panic(err)
	}
	for i := range j.flavours {
		o := r.Orders[i]
		at := math.Inf(1)
		switch o.Do {
		case Pull, Strain:
			at = now
		case Leave:
			at = o.ByH
		case Nothing: // it is left to the end
		}
		pullAt = append(pullAt, at)
	}
	return pullAt, r.NextH
}

func (ordered) crossing(j *simJar, scores []simScore, now float64, i int) (p05, p95, never float64) {
	jar := asJar(j, scores)
	b, err := jar.believe(&jar.Flavours[i], now)
	if err != nil {
		panic(err)
	}
	w := later(b.TimeToScore(jar.Flavours[i].Target/b.Factor), jar.Flavours[i].InH)
	return w.P05, w.P95, w.Never
}
