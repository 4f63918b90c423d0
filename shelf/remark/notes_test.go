package remark

import "testing"

// TestNotesOfMakers: a hundred ordinary remarks do not end a weak drink, and as many that warn do. They were
// written down before the words were; what was missed then is why the words are as they are.
func TestNotesOfMakers(t *testing.T) {
	holds := []string{"peach", "raspberry", "vanilla pod", "clove"}
	for _, text := range []string{
		"smells rounder than at first", "the smell has mellowed", "smells gorgeous this morning",
		"smells a lot better now", "sniffed the jar, heaven", "guests liked the smell",
		"my daughter adores the smell", "smelled it again today", "opened it to sniff, lovely",
		"the basement smells damp, bottles are fine", "fresh varnish on the shelf, jar is fine",
		"the musty box went to the attic", "stained label replaced",
		"the label got mouldy, wrote a new one", "spilled some on the cookbook, mouldy pages now",
		"fuzzy socks kept me warm while stirring", "rubbed the fuzz off the quinces before slicing",
		"freckled bananas, perfectly ripe", "bruised apples, cut the bad bits out first",
		"dark spots on the pear skin, trimmed before it went in", "brown freckles on the apricots",
		"a brown freckle on one apricot", "tiny black specks of vanilla everywhere",
		"specks from the peppercorns", "raspberry seeds floating about", "cinnamon sticks floating on top",
		"peels floating like little boats", "sour cherries this year are superb",
		"tart and sour, just as I like it", "made three amaretto sours with it",
		"great with stilton and crackers", "served it with goat cheese on toast",
		"pickles with a hint of vinegar next to it, great pairing",
		"splash of it in the vinegar dressing for the salad", "gas bottle ran out while making the syrup",
		"made the syrup on a low gas", "the dog slept next to the jar",
		"the cat sniffed at it and walked off", "neighbour came by, we drank two glasses",
		"clove smell from the clove", "smells strongly of dentist, it is the clove",
		"took it off the shelf behind the vinegar", "no mould today either", "nothing fizzing so far",
		"still no bubbles this week", "gave Iris's dad a bottle", "bottled at Holly's wedding",
		"poured two for Rosemary's birthday", "kept in a dry spot under the stairs",
		"moved it to a cooler spot", "smells more like itself each day", "the smell got softer",
		"smells deeper, a bit of smoke", "everyone loved the smell at dinner",
		"lifted the lid to sniff, all good", "mildewed label, stuck on a fresh one",
		"the larder smells of onions, jar is fine", "drains smell in the kitchen, the drink is fine",
		"wife painted the hall, bottle smells fine", "orange slices floating at the top",
		"star anise floats", "berries float, as expected", "speckled pears, very ripe",
		"blemishes on the lemon peel, cut off before it went in", "a russet spot on the apple skin",
		"birthmarks on the plums", "peach fuzz washed off first", "hairy gooseberries, rubbed them",
		"velvety mouthfeel", "dry and furry on the tongue from the tea", "nice on a cheese platter",
		"paired with brie", "dressing with vinegar on the side salad", "cooked the syrup on the gas",
		"turned the gas down", "pressure washer next door, noisy", "bubble wrap around the bottles",
		"bubbly hostess, great party", "champagne flutes came out for the party",
		"popped over to a friend with a bottle", "jelly beans as a snack",
		"cloudless day, picked the flowers", "smoky, like the campfire we sat at",
		"heather from the moor, lovely honey nose", "Daphne's birthday, opened bottle 2",
		"gave Poppy a taste", "Basil's flat, brought a bottle", "no foxglove, only comfrey-free borage",
		"mouldy cheese on the board, delicious with it", "musty old books beside it on the shelf",
		"neighbour's beer exploded, mine is fine", "lost the cap, found it under the fridge",
		"moths in the wardrobe", "wasp trap out on the terrace", "snow all night, cellar at 4 C",
		"mother's day gift",
	} {
		if sign, _ := IsSign(text, holds...); sign && Causes(text, weakDrink, holds...)[0].ThrowAway {
			t.Errorf("%q ends it: %s", text, Causes(text, weakDrink, holds...)[0].Name)
		}
	}
	for _, text := range []string{
		"lid has gone convex", "the cap is bowed outwards", "top of the tin bulges", "crown cap curved up",
		"smells of the drains", "niffs a bit", "smells like a wet dishcloth", "like mouldy bread",
		"like sick", "whiff of silage", "cat wee", "ammonia", "old cheese rind", "smells of glue stick",
		"felt tip pens", "dead spider at the bottom", "earwig in the neck", "found an ant in my glass",
		"mouse poo next to the cork and in the jar", "fuzzy dot on the peach", "dotted all over",
		"grey speckles on the surface", "black dot on the floating slice", "something white floating",
		"floaters around the raspberries", "peaches poking out have turned grey",
		"pink growth around the rim", "a white bloom on the liquid", "greenish velvet on top",
		"beard on the fruit", "it spits when I open it", "the bag is tight as a drum",
		"jar is sizzling quietly", "it has started working", "hissed when I cracked the lid", "gushed out",
		"lid left loose since Christmas", "found the cork out this morning",
		"stood uncovered for ten days", "rusty lid dripped in it", "enamel peeling inside the pot",
		"steeped in a zinc bucket", "stored in an old paint tin", "made in a styrofoam cooler",
		"kept in a pewter flagon", "runs off the spoon in strings", "texture of raw egg white",
		"slippery mouthfeel, thick like glue", "milk went lumpy and sour", "tasted like yoghurt",
		"tastes of wet cardboard", "the whole larder smells of vinegar since I opened it",
		"wife smelled mould", "smells nothing like before, sour milk", "smell changed overnight",
		"there is a smell", "reeks of old trainers", "smelled it, nearly threw up",
		"smells of wet plaster", "smells of gym bag", "musty", "tastes of mouse cage", "like baby sick",
		"like a brewery", "pear drops and glue", "smells of antifreeze", "dry erase pens",
		"lid domes when warm", "lid is humped", "lid ticks when pressed", "cork creeping up",
		"swelling pouch", "keeps burping", "foams up when stirred, even days later",
		"fizzes on the tongue", "tiny bubbles rising at night", "champagne-like now",
		"brown slime on the zest", "stringy bits", "snotty strands at the bottom", "scum line",
		"a skin on the top", "pale discs on the surface", "coin-sized patches, white",
		"speckled with green", "fluff on the stalk", "orange spots on the floating slice",
		"the peach has whiskers", "cream-coloured dots at the waterline", "raspberries on top went grey",
		"spots on the fruit", "a spot on the fruit", "fruit not submerged, now blotchy and green",
		"drowned wasp", "little white worms", "something wriggled", "hair in it", "glass chip at the rim",
		"grit of rust from the cap", "jar stood with the lid ajar for two weeks",
		"forgot to close it, two weeks open", "left on the windowsill without a lid",
		"fridge broke down on Sunday", "was sick after the second glass", "my eyes went funny after it",
		"kept in dad's old petrol can", "steeped in an aluminium pan",
	} {
		if sign, _ := IsSign(text, holds...); !sign || !Causes(text, weakDrink, holds...)[0].ThrowAway {
			t.Errorf("%q: sign %v, %s", text, sign, Causes(text, weakDrink, holds...)[0].Name)
		}
	}
}
