// Package spoilage estimates when a bottle of sweet, sour, weak to strong drink
// shows that something grew in it.
//
// Eight guilds of microbes grow side by side, each with the water activity of
// the sugar, the alcohol of the water phase, the acid and the cold at once:
//
//	rate = optimum rate × temperature × pH × water × alcohol × interaction   [1/h]
//	time = (lag work + ln(visible / start)) / rate
//
// every factor between 0 and 1 and one-sided: nothing beyond an optimum ever
// slows. The strains of a guild, and the cells that a bottle starts with, are a
// fixed table of draws; a draw ends with its fastest guild. Each draw, and so
// each quantile, is monotone in alcohol, sugar, acid and cold. Around it stand
// published times that no answer passes: of raw juice, of heated juice, of
// trials that saw growth, and of opened wine.
//
// Nothing here is about what makes people ill, and nothing grants a shelf: the
// limits of package shelf come first. The coefficients, with grade and source,
// are data/tables/spoilage.csv, spoilage-loads.csv and keeping-times.csv. No
// published rate was found for any organism at 10 to 20 % vol with sugar and
// citric acid.
package spoilage
