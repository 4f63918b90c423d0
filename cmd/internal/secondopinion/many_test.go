//go:build secondopinion

package secondopinion

// How many random ones are looked at.
const jars, blends, bottles, lives = 1000, 2000, 2000, 1000
