package view

import (
	"steepbook/cmd/internal/pen"
)

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
