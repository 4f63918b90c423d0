package remark

// ofAnother reports whether the clause of a sign begins with what is not this drink, "the other jar",
// and nothing says the same of this one, or its contrary; or whether the next denies that it is this.
func (v *vocabulary) ofAnother(note clause, h hit) bool {
	if b := note.next(h.end); note.starts(v.deny, b) && note.has(b, note.ends(b), v.here) &&
		note.made(b, note.ends(b), v.deny, v.here) {
		return true
	}
	for k := note.begins(h.at); k < h.at; k++ {
		switch {
		case note.starts(v.elsewhere, k):
			return !note.has(k, h.at, v.here) && !v.ofThis(note, h.end, v.too) &&
				!v.ofThis(note, h.end, v.yes)
		case !note.starts(v.fill, k) && !note.starts(v.matter, k):
			return false
		}
	}
	return false
}

// ofThis reports whether what stands behind a place says the same of this jar, in one of these ways:
// "and this one too".
func (v *vocabulary) ofThis(note clause, from int, says []term) bool {
	for k := from; k < len(note); k++ {
		if !note.starts(v.here, k) {
			continue
		}
		for _, b := range [...]int{max(from, note.begins(k)), k} {
			if note.has(b, note.ends(k), says) &&
				note.made(b, note.ends(k), v.here, v.fill, v.matter, v.too, v.yes) {
				return true
			}
		}
	}
	return false
}

// besides reports whether a sign is of another thing than the drink and its clause names nothing of the
// drink. That thing is what it begins with, "mouldy old label", "label smells", or a dish in which it is;
// of where else it is, and of what the air of a room has, a clause has to say that the drink is fine.
func (v *vocabulary) besides(note clause, h hit) bool {
	from, to := note.begins(h.at), note.ends(h.at)
	if note.has(from, to, v.within) {
		return false
	}
	for k := from; k < to; k++ {
		dish, own := note.starts(v.dish, k), note.starts(v.apart, k)
		if !dish && !own && !note.starts(v.room, k) {
			continue
		}
		at := k - 1
		for at >= from && note.made(at, at+1, v.fill, v.kind, v.names) {
			at--
		}
		in := at >= from && note.starts(v.place, at)
		heads := note.made(from, k, v.names, v.fill, v.kind) && !note.has(from, k, v.scent) &&
			!note.has(from, k, v.likened) && !note.starts(v.noun, k+1)
		if heads && (dish || own || h.at < k) || in && dish && !note.starts(v.scent, from) ||
			(heads || in) && v.saidFine(note) {
			return true
		}
	}
	return false
}

// saidFine reports whether a clause says that the drink is fine, and no more.
func (v *vocabulary) saidFine(note clause) bool {
	for b := 0; b < len(note); b = note.next(b) {
		to := note.ends(b)
		if note.has(b, to, v.within) && note.has(b, to, v.fine) &&
			note.made(b, to, v.within, v.fine, v.fill, v.very, v.matter) {
			return true
		}
		if to == len(note) {
			break
		}
	}
	return false
}
