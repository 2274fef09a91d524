package archtest

import (
	"go/ast"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"wormyard/internal/published"
)

// Every file of printed values is held by a test named TestPublished_Source
// that names the file.
func TestEveryPublishedFileHasItsTest(t *testing.T) {
	held := map[string]string{}
	packages, _ := tree(t)
	for _, p := range packages {
		for _, f := range p.Files {
			if !f.Test {
				continue
			}
			for _, d := range f.Syntax.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || !strings.HasPrefix(fn.Name.Name, "TestPublished_") {
					continue
				}
				ast.Inspect(fn, func(n ast.Node) bool {
					if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
						if s, err := strconv.Unquote(lit.Value); err == nil {
							held[s] = fn.Name.Name
						}
					}
					return true
				})
			}
		}
	}
	names := published.Names()
	if len(names) == 0 {
		t.Fatal("no published values were found")
	}
	for _, name := range names {
		if held[name] == "" {
			t.Errorf("internal/published/data/%s.json is named by no TestPublished_ test", name)
		}
		if _, err := published.Read(name); err != nil {
			t.Error(err)
		}
	}
}
