package web

import (
	"crypto/subtle"
	"io"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"
)

// cookies that a browser keeps for us; scripts cannot read them, and no other site can
// have them sent.
const (
	codeCookie   = "steepbook-code"
	tasterCookie = "steepbook-taster"
)

// atOnce is how many requests are worked on or wait; beyond it they are put off.
const atOnce = 64

// policy lets a page use our style sheet, our pictures and our forms, and nothing else.
const policy = "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; " +
	"frame-ancestors 'none'; base-uri 'none'"

// guarded asks, before anything else does: is it us who are called, may this browser
// ask, does a write come from our own page, is there room.
func (s *server) guarded(next http.Handler) http.Handler {
	origin := http.NewCrossOriginProtection()
	origin.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.WriteHeader(http.StatusForbidden)
	}))
	room := make(chan struct{}, atOnce)
	inner := origin.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		// Not no-referrer: then a browser hides from us, too, where a form comes from, and
		// over the network (no secure context) nothing else tells that it is ours.
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !s.calledByName(r.Host): // a foreign name that was made to point here
			refuse(w, http.StatusMisdirectedRequest, "")
			return
		case s.Code != "" && r.URL.Path == "/pair":
			s.pair(w, r)
			return
		case s.Code != "" && !s.paired(r):
			refuse(w, http.StatusForbidden, unpaired)
			return
		}
		select {
		case room <- struct{}{}:
			defer func() { <-room }()
		case <-r.Context().Done():
			return
		case <-time.After(5 * time.Second):
			h.Set("Retry-After", "5")
			http.Error(w, "Too much at once; try again in a moment.", http.StatusServiceUnavailable)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostSent)
		inner.ServeHTTP(w, r)
	})
}

// unpaired is all that a browser without the code is told, whatever it asks for: a phone of the
// house learns that the code is another one by now, and nobody what is here.
const unpaired = `<!DOCTYPE html><html lang="en"><meta charset="utf-8">` +
	`<meta name="viewport" content="width=device-width, initial-scale=1"><title>Not paired</title>` +
	`<h1>Not paired</h1><p>This browser is not paired, or no longer: read the new code on the terminal.</p></html>`

// refuse says no more than it is given, and hangs up: who may not come in holds no line of the
// house.
func refuse(w http.ResponseWriter, status int, page string) {
	w.Header().Set("Connection", "close")
	if page != "" {
		w.Header().Set("Content-Type", htmlMIME)
	}
	w.WriteHeader(status)
	_, _ = io.WriteString(w, page)
}

// calledByName reports whether the Host of a request is one of ours.
func (s *server) calledByName(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.Trim(strings.ToLower(strings.TrimSuffix(name, ".")), "[]")
	return name != "" && slices.Contains(s.Hosts, name)
}

// isCode compares in constant time.
func (s *server) isCode(code string) bool {
	return subtle.ConstantTimeCompare([]byte(code), []byte(s.Code)) == 1
}

func (s *server) paired(r *http.Request) bool {
	c, err := r.Cookie(codeCookie)
	return err == nil && s.isCode(c.Value)
}

// pair gives the cookie to a browser that knows the code. It answers with a page and
// not with a redirect: a phone that came by its camera would not send the cookie along.
func (s *server) pair(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet || !s.isCode(r.URL.Query().Get("code")) {
		refuse(w, http.StatusForbidden, unpaired)
		return
	}
	http.SetCookie(w, keptCookie(codeCookie, s.Code))
	w.Header().Set("Referrer-Policy", "no-referrer") // the address holds the code
	s.page(w, http.StatusOK, "paired", frame{Title: "Paired"})
}

func keptCookie(name, value string) *http.Cookie {
	return &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: 180 * 24 * 3600, HttpOnly: true,
		SameSite: http.SameSiteStrictMode}
}
