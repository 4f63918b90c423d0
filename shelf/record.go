package shelf

import (
	"steepbook/data"
	"steepbook/shelf/spoilage"
)

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
