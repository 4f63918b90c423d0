package shelf

import (
	"steepbook/data"
	"steepbook/shelf/growth"
	"steepbook/shelf/spoilage"
)

// Organism is what the published limits say of one microbe in a bottle.
type Organism struct {
	Name, Group string
	CanGrow     bool
	Why         string
}

// Organisms goes through the published record at the worse end of each range of a
// bottle that stands at so many °C.
func Organisms(b Bottle, celsius float64) (out []Organism) {
	c := Conditions(b, celsius)
	for _, o := range growth.Organisms() {
		can, why := growth.CanGrow(o, c)
		out = append(out, Organism{o.Name, o.Group, can, why})
	}
	return out
}

// Coefficients are those of the guild that ends the bottle first, and those that all
// guilds share, with their sources in words; none where no guild decides.
func (v *Verdict) Coefficients() (out []spoilage.Coefficient) {
	if v.Guild == "" {
		return nil
	}
	for _, c := range spoilage.Coefficients() {
		if c.Guild == v.Guild || c.Guild == "all" {
			c.Source = data.Cite(c.Source)
			out = append(out, c)
		}
	}
	return out
}
