package quantity

// Heaviest is the density, g/mL, above which nothing that goes into a bottle lies: rich syrup (ICUMSA SPS-4).
const Heaviest = 1.4

// HeaviestG is the most that an amount may weigh whose weight is not known: what is
// spooned is no denser than rich syrup, what is counted no larger than the largest
// thing of that name. Judgement.
func (a *Amount) HeaviestG() (g float64, ok bool) {
	if a == nil {
		return 0, false
	}
	if _, _, ml, poured := a.Millilitres(); poured {
		return Heaviest * ml, true
	}
	if a.Unit == "handful" {
		return 150 * a.High, true
	}
	if a.Kind != Count {
		if a.Unit == "pinch" || a.Unit == "dash" || a.Unit == "drop" || a.Unit == "splash" {
			return 20 * a.High, true
		}
		return 0, false
	}
	each, ok := heaviestPieceG[a.Noun]
	switch {
	case a.Of == "zest":
		each, ok = 15, true
	case a.Of == "peel":
		each, ok = 60, true
	}
	return each * a.High, ok
}

// heaviestPieceG is the largest of a kind of piece, g; a kind that is not here may be
// a pumpkin.
var heaviestPieceG = map[string]float64{
	"leaf": 50, "sprig": 30, "stem": 60, "strip": 30, "twist": 15, "slice": 150, "wedge": 400, "pod": 60,
	"bean": 10, "stick": 80, "quill": 25, "star": 5, "clove": 12, "berry": 15, "seed": 50, "bud": 10,
	"flower": 100, "blossom": 30, "petal": 2, "thread": 0.1, "corn": 1, "bag": 10, "inch": 60, "cm": 25,
	"bunch": 300, "head": 300, "knob": 100, "cube": 15, "chip": 10,
}
