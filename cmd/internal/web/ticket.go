package web

import (
	"container/list"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"sync"
	"time"
)

// tickets make one entry of a form that is sent twice: by a double tap, by a reload, by
// a phone that lost its network before it heard the answer. Each page carries a ticket
// that only this server could have made, good for one entry.
type tickets struct {
	key []byte

	mu   sync.Mutex
	used map[string]*list.Element
	line *list.List // of *ticket, the latest first
}

// mostTickets is how many used ones are remembered.
const mostTickets = 4096

// ticket is a form that was sent.
type ticket struct {
	id   string
	what [sha256.Size]byte // what was sent with it
	done chan struct{}     // closed when the entry is made
	said logged
}

func newTickets() tickets {
	key := make([]byte, 32)
	_, _ = rand.Read(key) // never fails
	return tickets{key: key, used: map[string]*list.Element{}, line: list.New()}
}

func (t *tickets) mark(nonce []byte) []byte {
	m := hmac.New(sha256.New, t.key)
	m.Write(nonce)
	return m.Sum(nil)[:16]
}

// issue makes a new ticket.
func (t *tickets) issue() string {
	nonce := make([]byte, 16)
	_, _ = rand.Read(nonce)
	return base64.RawURLEncoding.EncodeToString(append(nonce, t.mark(nonce)...))
}

func (t *tickets) ours(id string) bool {
	raw, err := base64.RawURLEncoding.DecodeString(id)
	return err == nil && len(raw) == 32 && hmac.Equal(raw[16:], t.mark(raw[:16]))
}

// standing of a ticket that is handed in.
type standing int

const (
	fresh    standing = iota // the entry may be made; then settle or giveBack
	foreign                  // not of this server, or too old to be remembered
	repeated                 // the same form was sent before: its answer is there
	other                    // another form was sent with it before
)

// claim hands in a ticket with what is sent.
func (t *tickets) claim(id, act string, form url.Values) (*ticket, standing) {
	if !t.ours(id) {
		return nil, foreign
	}
	sent := url.Values{}
	for k, v := range form {
		if k != "ticket" {
			sent[k] = v
		}
	}
	what := sha256.Sum256([]byte(act + "\n" + sent.Encode()))
	t.mu.Lock()
	e, before := t.used[id]
	if !before {
		n := &ticket{id: id, what: what, done: make(chan struct{})}
		t.used[id] = t.line.PushFront(n)
		if t.line.Len() > mostTickets {
			oldest := t.line.Remove(t.line.Back()).(*ticket)
			delete(t.used, oldest.id)
		}
		t.mu.Unlock()
		return n, fresh
	}
	t.mu.Unlock()
	n := e.Value.(*ticket)
	if n.what != what {
		return nil, other
	}
	<-n.done
	if len(n.said.Screen.Say) == 0 { // the first did not get through
		return t.claim(id, act, form)
	}
	return n, repeated
}

// settle keeps what was answered.
func (t *tickets) settle(n *ticket, said logged) {
	n.said = said
	close(n.done)
}

// sayAgain has what was answered said once more, as of now.
func (t *tickets) sayAgain(n *ticket, now time.Time) {
	t.mu.Lock()
	defer t.mu.Unlock()
	n.said.at = now
}

// giveBack lets a form be sent again, whose entry was not made.
func (t *tickets) giveBack(n *ticket) {
	t.mu.Lock()
	if e, ok := t.used[n.id]; ok && e.Value == n {
		t.line.Remove(e)
		delete(t.used, n.id)
	}
	t.mu.Unlock()
	close(n.done)
}

// said is what was answered to a form, by its ticket.
func (t *tickets) said(id string) (logged, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	e, ok := t.used[id]
	if !ok {
		return logged{}, false
	}
	n := e.Value.(*ticket)
	select {
	case <-n.done:
		return n.said, len(n.said.Screen.Say) > 0
	default:
		return logged{}, false
	}
}
