package alcohol

// flashPoints is °C by % vol of ethanol in water, from a table posted to the
// DCHAS-L chemical safety list on 28 January 2015.
var flashPoints = [][2]float64{{10, 49}, {20, 36}, {30, 29}, {40, 26}, {50, 24}, {60, 22}, {70, 21}, {80, 20},
	{90, 17}, {96, 17}, {100, 16.6}}

// FlashPointC is the temperature in °C from which the vapour over ethanol and
// water of abvPercent % vol can catch fire from a flame or spark, along the
// straight lines between the printed points: the printed value and the cautious
// one, 4 °C lower, since the table's top end lies that far above the closed-cup
// value of pure ethanol (12.7 °C). ok is false below 10 % vol, where no figure
// was read, and above 100. Sugar and acid are taken to make no difference.
func FlashPointC(abvPercent float64) (printed, cautious float64, ok bool) {
	f := flashPoints
	if !(abvPercent >= f[0][0] && abvPercent <= 100) {
		return 0, 0, false
	}
	i := 1
	for abvPercent > f[i][0] {
		i++
	}
	t := (abvPercent - f[i-1][0]) / (f[i][0] - f[i-1][0])
	printed = f[i-1][1] + t*(f[i][1]-f[i-1][1])
	return printed, printed - 4, true
}
