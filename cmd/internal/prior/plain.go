// Package prior is what to expect of a botanical in a jar before its own tastings count:
// what the library says, carried to this jar by its dose, room and strength (Asker.plain),
// its age, and what the other batches of the book say (Asker.Believe); and what a book can
// teach its library (Lessons, Teach).
package prior

import (
	"fmt"
	"math"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
)

// Asker is a jar that asks what to expect of its botanicals.
type Asker struct {
	Batch   *batch.Batch
	Recipe  *recipe.Lines
	Library *library.Library // without what this batch itself taught
	// Book holds the batches of its book; nil: the library alone.
	Book *Book
}

// plain is what the library says of a flavour, moved to this jar: its rate by
// taste, its early share, and the end of the usual dose moved by the dose through
// the power law; its age and the other batches of the book are left out. moved
// says in words how it was moved.
func (a *Asker) plain(h *recipe.Botanical) (p kinetics.Prior, moved []string) {
	doseGPerL := h.DoseGPerL(a.Recipe.BaseML())
	p = kinetics.Usual(h.Cut.SlowRatePerH(), h.Cut.RateGSD)
	p.Early = h.Cut.EarlyShare.Value
	if usual := h.Cut.DoseGPerL.Value; doseGPerL > 0 && usual > 0 {
		n := Exponent(h.Known, a.Library).Value
		p = p.Stronger(doseGPerL/usual, n)
		if by := math.Pow(doseGPerL/usual, n); by < 0.8 || by > 1.25 {
			moved = append(moved, fmt.Sprintf("%s g/L where %s is usual: the end x %s",
				quantity.InFigures(doseGPerL, 2), quantity.InFigures(usual, 2), quantity.InFigures(by, 2)))
		}
	} else {
		p.Plateau.SD = math.Hypot(p.Plateau.SD, unweighedSD)
	}
	if h.Cut.RatePerH.Grade == library.Own {
		if t := h.Cut.Taught; t != nil {
			s, said := a.fromLesson(t)
			return p.Shifted(s), append(moved, said...)
		}
		// The maker's own figure is for this kitchen: nothing is moved.
		return p, append(moved, "your own figure, taken as it is")
	}
	var shifts []kinetics.Shift
	add := func(what string, s kinetics.Shift, err error) {
		if err != nil || s.LogMean == 0 && s.LogSD == 0 {
			return
		}
		shifts = append(shifts, s)
		moved = append(moved, fmt.Sprintf("%s: rate x %.2g (%s)", what, s.Factor(), s.Source))
	}
	if c := a.Batch.RoomC; c != nil {
		s, err := kinetics.TemperatureShift(*c)
		add(fmt.Sprintf("steeped at %.0f~°C", *c), s, err)
	}
	if h.RoughCut {
		add("its form is not in the library",
			kinetics.Shift{LogSD: roughCutSD, Source: "another form stands in: judgement"}, nil)
	}
	if abv := recipe.BaseStrength(a.Recipe.Bases); abv > 0 {
		s, err := kinetics.StrengthShift(abv)
		add(fmt.Sprintf("in %.0f %% vol", abv), s, err)
	}
	return p.Shifted(shifts...), moved
}

// unweighedSD is the doubt of the end, in points, where nobody knows the dose:
// twice or half the usual one. Judgement.
const unweighedSD = 2.0

// roughCutSD is the doubt, in the log of the rate, of taking one form's figures
// for another's: rates of whole and crushed spice differ by a factor of 2 to 4.
const roughCutSD = 0.9

// Exponent is how a score follows an amount, by what the flavour is.
func Exponent(known *library.Botanical, lib *library.Library) library.Number {
	class := "aroma"
	if known != nil && known.Class != "" {
		class = known.Class
	}
	switch class {
	case "taste":
		return lib.Constant(library.TasteExponent)
	case "heat":
		return lib.Constant(library.HeatExponent)
	}
	return lib.Constant(library.AromaExponent)
}

// Normal is a library figure with its 90 % range as a distribution.
func Normal(n library.Number) kinetics.Normal {
	return kinetics.Normal{Mean: n.Value, SD: (n.High - n.Low) / recipe.Ninety}
}
