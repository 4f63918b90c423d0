//go:build !secondopinion

package secondopinion

// How many random ones the ordinary tests look at.
const jars, blends, bottles, lives = 2, 100, 8, 20
