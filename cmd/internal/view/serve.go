package view

import (
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
)

// Sample is the mix to taste, in the units of the maker, and the same as a tasting has it,
// jar first; both are empty where the jar is tasted neat.
func Sample(a *bench.Assessment, style pen.Style) (recipe, ratio string) { return sample(a, style) }

// Serving says where a book can be opened, and with a code how a phone is paired.
func Serving(p *pen.Page, folder, address, code string) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("folder", folder), pen.As("address", address), pen.As("code", pen.Some(code)),
		})
	}
	p.Line("The book in %s is open. Ctrl-C stops it.", folder)
	p.Line("")
	if code == "" {
		p.Line("  %s", address)
		return p.Done()
	}
	p.Para("Pair a phone in the same network: let its camera read this code, or type the address. " +
		"Whoever has it may read and write, until the server stops; nothing is encrypted on the way.")
	p.Line("")
	p.Line("  %s", address)
	p.Line("")
	return p.Done()
}
