package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"html/template"
	"steepbook/cmd/internal/sheet"
	"sync"
)

//go:embed pages/*.html
var templates embed.FS

//go:embed pages/forms.css
var formStyle string

// styleSheet is that of every page of the program, with what forms need.
var styleSheet = []byte(string(sheet.Head{}.Style()) + formStyle)

// stylePath changes with the style sheet, so that a browser may keep it for good.
var stylePath = func() string {
	sum := sha256.Sum256(styleSheet)
	return "/style-" + hex.EncodeToString(sum[:6]) + ".css"
}()

var pages = sync.OnceValue(func() *template.Template {
	return template.Must(sheet.Templates().Funcs(template.FuncMap{
		"style": func() string { return stylePath },
		"next":  func(n int) int { return n + 1 },
	}).ParseFS(templates, "pages/*.html"))
})

// frame is what every page has.
type frame struct {
	Title string
	Home  bool // it is the first page itself
}
