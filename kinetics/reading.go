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

// readingChance is the probability of a score of a liquid that is found to be below the
// half step about it with the one chance, and no higher than it with the other. Strength
// has no ceiling; the scale has: a 10 is "10 or more", a 0 is "0 or less". Within a step of
// an end a score is partly the one and partly the other, so that nothing jumps.
func readingChance(score, below, upTo float64) float64 {
	p := upTo - below
	p += max(1-(topScore-score)/readingStep, 0) * (1 - upTo)
	p += max(1-score/readingStep, 0) * below
	return (1-slip)*p + slip*readingStep/(topScore+readingStep)
}

// chancesUpTo are the chances that no more than so much is found, at n latent strengths. What is found
// too high by one strength is so by the same chance as what is a step higher by the next.
func chancesUpTo(most, sigma float64, n int) []float64 {
	t, phi := make([]float64, n), phiTable()
	for i := range t {
		if t[i] = fastCDF(phi, (most-latentStep*float64(i))/sigma); t[i] == 0 {
			break // nor at any more
		}
	}
	return t
}

// perPoint is how many latent steps make a point.
const perPoint = int(1 / latentStep)

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
		const step = int(readingStep / latentStep) // from one half step to the next
		upTo := chancesUpTo(score+readingStep/2, sigma, latentN+step)
		t := make([]float64, latentN)
		for i := range t {
			t[i] = readingChance(score, upTo[i+step], upTo[i])
		}
		return t
	})
}
