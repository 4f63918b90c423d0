package work_test

import "strings"

const advocaat = `
name = "Advocaat"
started = 2026-11-20T18:00:00
[spirit]
name = "rum"
abv = 54
amount = "250 ml"
[[botanical]]
name = "clove"
amount = "1 g"
[[addition]]
name = "sugar"
amount = "200 g"
[[addition]]
name = "egg yolks"
amount = "8"
[[strained]]
at = "1 h"
`

const milkPunch = `
name = "Milk punch"
started = 2026-11-20T18:00:00
[spirit]
name = "rum"
abv = 54
amount = "500 ml"
[[addition]]
name = "whole milk"
amount = "250 ml"
[[addition]]
name = "lemon juice"
amount = "100 ml"
[finish]
filtered = true
`

const fatWash = `
name = "Fat wash"
started = 2026-11-20T18:00:00
[spirit]
name = "bourbon"
abv = 50
amount = "700 ml"
[[botanical]]
name = "brown butter"
amount = "115 g"
`

// What is done with fat, raw egg and curds.
var fatEggMilkCases = []orderCase{
	{"fat comes off before the jar is strained", fatWash, "2026-11-20T20:00", `
x put in: brown butter and bourbon
taste: brown butter
lift: brown butter
strain
bottle
label
keep
rest
taste again`},
	{"it is lifted off a strained jar too", fatWash + "[[strained]]\nat = \"1 h\"\n", "2026-11-20T20:00", `
x put in: brown butter and bourbon
x strain
lift: brown butter
chill (fridge)
bottle
label
keep
taste again`}, // while it is on it keeps for less than a rest
	{"but not twice", fatWash + "[[pulled]]\nname = \"brown butter\"\nat = \"1 h\"\n", "2026-11-20T20:00", `
x put in: brown butter and bourbon
x pull: brown butter
bottle
label
keep
rest
taste again`},
	{"fat that joined the jar", strings.Replace(fatWash, "botanical", "addition", 1) + "in = \"0 h\"\n[[botanical]]\nname = \"clove\"\namount = \"1 g\"\n",
		"2026-11-20T20:00", `
x put in: clove, brown butter and bourbon
taste: clove
pull: clove
lift: brown butter
strain
drip
bottle
label
keep
rest
taste again`},
	{"raw egg lies in the spirit alone", advocaat, "2026-11-20T20:00", `
x put in: clove and rum
x strain
drip
add: 8 egg yolks
stand
sweeten: 200 g sugar
bottle
label
keep
taste again`},
	{"until its days are over", advocaat + "[[added]]\nname = \"egg yolks\"\namount = \"8\"\nat = \"2 h\"\n", "2026-11-20T21:00", `
x put in: clove and rum
x strain
x add: 8 egg yolks
stand
sweeten: 200 g sugar
bottle
label
keep
taste again`},
	{"in spirit of its own where anything else went in first", advocaat + "[[added]]\nname = \"sugar\"\namount = \"200 g\"\nat = \"2 h\"\n", "2026-11-20T21:00", `
x put in: clove and rum
x strain
x sweeten: 200 g sugar
stand: 8 egg yolks
add: 8 egg yolks
bottle
label
keep
taste again`},
	{"what is filtered off a milk punch is the curds", milkPunch, "2026-11-20T20:00", `
x put in: rum
add: 250 ml whole milk
juice: 100 ml lemon juice
sour: 100 ml lemon juice
filter
bottle
label
keep
taste again`},
}
