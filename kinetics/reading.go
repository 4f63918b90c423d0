package kinetics

const (
	// readingStep is how finely people give scores, in points.
	readingStep = 0.5
	topScore    = 10.0
	// slip is the chance that a score says nothing of the jar: another sample,
	// another flavour, a slip of the pen. Judgement.
	slip = 0.01

	latentStep = 0.05
	latentTop  = 30.0 // far above the scale: every reading is a 10
	latentN    = int(latentTop/latentStep) + 2
	lastLatent = float64(latentN) - 1.001 // that has one after it
)

// readingChance is the probability of a score of a liquid whose strength is v,
// tasted with noise of the standard deviation sigma. Strength has no ceiling;
// the scale has: a 10 is "10 or more", a 0 is "0 or less", and a score between
// stands for the half step about it. Within a step of an end it is partly the one
// and partly the other, so that nothing jumps.
func readingChance(score, v, sigma float64) float64 {
	const half = readingStep / 2
	below, upTo := fastCDF(phiTable(), (score-half-v)/sigma), fastCDF(phiTable(), (score+half-v)/sigma)
	p := upTo - below
	p += max(1-(topScore-score)/readingStep, 0) * (1 - upTo)
	p += max(1-score/readingStep, 0) * below
	return (1-slip)*p + slip*readingStep/(topScore+readingStep)
}

// ChanceAbsent is the probability of a score of what cannot be there: nothing, but
// for a slip.
func ChanceAbsent(score float64) float64 {
	p := slip * readingStep / (topScore + readingStep)
	if score < readingStep/2 {
		p += 1 - slip
	}
	return p
}

// readingKey is one column of chances that many grids share.
type readingKey struct{ score, sigma float64 }

// readings keeps the chances of a score over the latent strength, latentN of them:
// they are the same for every jar with the default noise.
var readings = memo[readingKey, []float64]{most: 1000}

func readingTable(score, sigma float64) []float64 {
	return readings.of(readingKey{score, sigma}, func() []float64 {
		t := make([]float64, latentN)
		for i := range t {
			t[i] = readingChance(score, latentStep*float64(i), sigma)
		}
		return t
	})
}
