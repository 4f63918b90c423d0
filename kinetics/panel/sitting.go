package panel

// Palate says what a kind of taste does to the mouth.
type Palate string

// The kinds of taste.
const (
	Gentle  Palate = "gentle"
	Cooling Palate = "cooling" // menthol
	Hot     Palate = "hot"     // capsaicin
	Numbing Palate = "numbing" // eugenol
)

// Sitting is how much one sitting can bear.
type Sitting struct {
	Samples    int
	GapMinutes float64
	Words      string
}

// Sitting returns the limits for a kind of taste. They are choices of this
// program built on published findings: a third taste of eugenol at one-minute
// gaps meets a numb mouth for ten minutes or more; capsaicin sensitises at gaps
// under 3.5 minutes and dulls at 5.5 to 14.5; menthol needs 20 to 22 minutes;
// plain crackers keep replicates alike for all kinds of food.
func (p Palate) Sitting() Sitting {
	const between = " A plain cracker and water between; weakest first; the same hour and dilution each time."
	switch p {
	case Cooling:
		return Sitting{2, 20, "Cooling tastes linger: wait before anything else." + between}
	case Hot:
		const hot = "Heat builds up and then dulls: one hot sample, at most two, in a sitting."
		return Sitting{2, 20, hot + between}
	case Numbing:
		return Sitting{2, 10, "It numbs the tongue: taste it last." + between}
	}
	return Sitting{4, 2, "Small sips, not held in the mouth." + between}
}
