package keeping

import (
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
)

// Drink is what a country counts as one drink.
type Drink struct {
	Plural   string
	EthanolG float64
	Source   string
}

// EthanolML is the pure alcohol of it at 20 °C [ml].
func (d Drink) EthanolML() float64 { return 1000 * d.EthanolG / alcohol.EthanolDensity20 }

// The drinks of the countries that a house can be in.
var drinks = map[batch.Country]Drink{
	batch.US: {"US standard drinks", 14, `NIAAA, "What is a standard drink?": 14 g`},
	batch.UK: {"UK units", 10 * alcohol.EthanolDensity20 / 1000,
		"UK Chief Medical Officers' Low Risk Drinking Guidelines 2016: 10 ml, 8 g"},
	batch.AU: {"Australian standard drinks", 10,
		"NHMRC Australian Guidelines 2020; Food Standards Code, standard 2.7.1: 10 g"},
}

// DrinksIn are the units that drinks are counted in: those of the country of the
// house, of the US where a batch is in its units, else all.
func DrinksIn(house *batch.House, units quantity.System) []Drink {
	switch {
	case house != nil && house.Country != "":
		return []Drink{drinks[house.Country]}
	case units == quantity.US:
		return []Drink{drinks[batch.US]}
	}
	return []Drink{drinks[batch.UK], drinks[batch.US], drinks[batch.AU]}
}
