package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// TestOrdersAreMadeInOnePlace: outside kinetics/jar nothing makes an Order of its
// own and nothing sets a field of one. What is decided once is not decided again.
func TestOrdersAreMadeInOnePlace(t *testing.T) {
	const home = "kinetics/jar"
	seen := 0
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name := d.Name(); filepath.ToSlash(rel) == home || name == "testdata" || strings.HasPrefix(name, ".") && name != ".." {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(file, ".go") {
			return nil
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		seen++
		for _, n := range ordersMade(f) {
			t.Errorf("%s:%d sets what %s alone decides", rel, set.Position(n.Pos()).Line, home)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen == 0 {
		t.Fatal("no Go files found below the module's folder")
	}
}

// ordersMade finds where a file makes an order or sets a part of one: a literal of
// jar.Order with elements, an assignment to something behind .Order or .Orders,
// or behind a variable that holds one. A whole order may be taken over from a
// reading, and nowhere else.
func ordersMade(f *ast.File) []ast.Node {
	var found []ast.Node
	for _, d := range f.Decls {
		held := map[string]bool{} // variables of the declaration that hold an order
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Field:
				for _, name := range n.Names {
					held[name.Name] = held[name.Name] || isOrderType(n.Type)
				}
			case *ast.ValueSpec:
				for i, name := range n.Names {
					held[name.Name] = isOrderType(n.Type) || i < len(n.Values) && isOrder(n.Values[i], held)
				}
			case *ast.CompositeLit:
				if isOrderType(n.Type) && len(n.Elts) > 0 {
					found = append(found, n)
				}
			case *ast.IncDecStmt:
				if insideOrder(n.X, held) {
					found = append(found, n)
				}
			case *ast.AssignStmt:
				for i, l := range n.Lhs {
					whole := len(n.Rhs) == len(n.Lhs) && isOrder(n.Rhs[i], held)
					if insideOrder(l, held) || isOrder(l, nil) && !whole {
						found = append(found, n)
					}
					if name, ok := l.(*ast.Ident); ok && n.Tok == token.DEFINE {
						held[name.Name] = whole
					}
				}
			}
			return true
		})
	}
	return found
}

// insideOrder reports whether an expression is a part of an order.
func insideOrder(e ast.Expr, held map[string]bool) bool {
	for {
		switch x := e.(type) {
		case *ast.SelectorExpr:
			if isOrder(x.X, held) {
				return true
			}
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		default:
			return false
		}
	}
}

// isOrder reports whether an expression is an order, or points to one: x.Order,
// x.Orders[i], or a variable that holds one.
func isOrder(e ast.Expr, held map[string]bool) bool {
	switch x := e.(type) {
	case *ast.Ident:
		return held[x.Name]
	case *ast.SelectorExpr:
		return x.Sel.Name == "Order"
	case *ast.IndexExpr:
		s, ok := x.X.(*ast.SelectorExpr)
		return ok && s.Sel.Name == "Orders"
	case *ast.ParenExpr:
		return isOrder(x.X, held)
	case *ast.StarExpr:
		return isOrder(x.X, held)
	case *ast.UnaryExpr:
		return x.Op == token.AND && isOrder(x.X, held)
	case *ast.CompositeLit:
		return isOrderType(x.Type)
	}
	return false
}

// isOrderType reports whether a type is jar.Order or a pointer to it.
func isOrderType(e ast.Expr) bool {
	if p, ok := e.(*ast.StarExpr); ok {
		e = p.X
	}
	s, ok := e.(*ast.SelectorExpr)
	if !ok || s.Sel.Name != "Order" {
		return false
	}
	in, ok := s.X.(*ast.Ident)
	return ok && in.Name == "jar"
}

// What the search finds and what it leaves alone.
func TestOrdersMadeAreFound(t *testing.T) {
	for src, want := range map[string]bool{
		"o := &c.Order; o.Do = jar.Pull":    true,
		"c.Order.ByH = 3":                   true,
		"c.Order.Crossing.P05 = 3":          true,
		"c.Order.ByH++":                     true,
		"r.Orders[0].Do = jar.Pull":         true,
		"c.Order = jar.Order{Do: jar.Pull}": true,
		"return jar.Order{Do: jar.Pull}":    true,
		"c.Order = best(c)":                 true,
		"var o jar.Order; o.Do = jar.Pull":  true,
		"for i := range n { o := x[i].Order; o.Overdue = true; x[i].Order = o }": true,
		"p.Do = jar.Pull":                                true, // p is a parameter
		"c.Order = r.Orders[i]":                          false,
		"o := c.Order; use(o.Do); do := o.Do; s.Do = do": false,
		"s.Order, s.Watch = names, nil":                  true, // the name Order is taken
		"s.Names = append(s.Names, c.Name)":              false,
	} {
		f, err := parser.ParseFile(token.NewFileSet(), "x.go", "package x\nfunc f(p *jar.Order) any {\n"+src+"\n}", parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(ordersMade(f)) > 0; got != want {
			t.Errorf("%s: found %v", src, got)
		}
	}
}
