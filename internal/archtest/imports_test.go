package archtest

import (
	"go/ast"
	"go/token"
	"slices"
	"strings"
	"testing"
)

const module = "wormyard"

// order is the written order of the core; a package imports lower lines only.
var order = [][]string{
	{"qty", "chance"},
	{"figure", "program"},
	{"climate"},
	{"feedstock"},
	{"mix", "worm", "lab", "carpentry", "work"},
	{"bed", "yard"},
	{"barn", "harvest", "trouble", "lot", "trace", "cost", "slide"},
	{"twin"},
	{"round", "season"},
}

// foreign is what the core may take from outside the module.
var foreign = strings.Fields("cmp context errors fmt iter maps math math/bits math/rand/v2 slices sort strings strconv sync time")

// foreignTo is what one package may take besides.
var foreignTo = map[string][]string{
	"journal": {"crypto/sha256", "encoding/json"},
	"barn":    {"unicode"},                       // what is painted on a bin may be in any alphabet
	"cost":    {"github.com/shopspring/decimal"}, // sums of money are exact
	"farm":    {"github.com/shopspring/decimal"}, // prices as they were written
}

func rank(folder string) int {
	for i, line := range order {
		if slices.Contains(line, folder) {
			return i
		}
	}
	return -1
}

func isCore(folder string) bool {
	return rank(folder) >= 0 || folder == "journal" || folder == "farm"
}

// mayImport tells whether the core package from may import the package to of
// this module.
func mayImport(from, to string) bool {
	switch {
	case from == to:
		return true
	case from == "journal":
		return to == "qty"
	case from == "farm":
		return to == "journal" || rank(to) >= 0
	case rank(to) < 0:
		return false
	}
	return rank(to) < rank(from)
}

func tree(t *testing.T) ([]Package, *token.FileSet) {
	t.Helper()
	packages, positions, err := Tree("../..")
	if err != nil {
		t.Fatal(err)
	}
	if len(packages) < 5 {
		t.Fatalf("only %d packages were found; the walk goes wrong", len(packages))
	}
	return packages, positions
}

func TestImportsGoOneWay(t *testing.T) {
	packages, _ := tree(t)
	for _, p := range packages {
		if !isCore(p.Folder) {
			if !strings.HasPrefix(p.Folder, "internal/") && !strings.HasPrefix(p.Folder, "cmd/") && !strings.HasPrefix(p.Folder, "bench") {
				t.Errorf("%s has no place in the order of the house", p.Folder)
			}
			continue
		}
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			for _, path := range f.Imports() {
				to, ours := strings.CutPrefix(path, module+"/")
				switch {
				case ours && !mayImport(p.Folder, to):
					t.Errorf("%s imports %s, which does not stand below it", f.Path, to)
				case !ours && !slices.Contains(foreign, path) && !slices.Contains(foreignTo[p.Folder], path):
					t.Errorf("%s imports %s, which the core does not use", f.Path, path)
				}
			}
		}
	}
}

// The rule itself is held against the written order, so that a slip in the
// table above does not pass unseen.
func TestOrderItself(t *testing.T) {
	for _, c := range []struct {
		from, to string
		may      bool
	}{
		{"mix", "feedstock", true}, {"feedstock", "mix", false}, {"bed", "worm", true}, {"worm", "bed", false}, {"bed", "yard", false},
		{"round", "twin", true}, {"twin", "round", false}, {"journal", "qty", true}, {"journal", "bed", false}, {"farm", "journal", true},
		{"round", "journal", false}, {"bed", "farm", false}, {"farm", "round", true}, {"bed", "internal/source", false}, {"figure", "program", false},
	} {
		if mayImport(c.from, c.to) != c.may {
			t.Errorf("%s importing %s: %v, want %v", c.from, c.to, !c.may, c.may)
		}
	}
}

// Clock, standard output and the global random source are reached through
// packages that the core may import; these names are not.
var reached = map[string][]string{
	"time": {"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Local", "LoadLocation"},
	"fmt":  {"Print", "Println", "Printf", "Scan", "Scanln", "Scanf"},
}

// seeded are the names of math/rand/v2 that take their seed from the caller.
var seeded = []string{"New", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "PCG", "ChaCha8", "Source", "Zipf"}

func TestCoreIsPure(t *testing.T) {
	packages, positions := tree(t)
	for _, p := range packages {
		if !isCore(p.Folder) {
			continue
		}
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			ast.Inspect(f.Syntax, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				x, ok := s.X.(*ast.Ident)
				if !ok {
					return true
				}
				if slices.Contains(reached[x.Name], s.Sel.Name) && slices.Contains(f.Imports(), x.Name) {
					t.Errorf("%s: %s.%s reaches outside; take it as an argument", positions.Position(s.Pos()), x.Name, s.Sel.Name)
				}
				if x.Name == "rand" && slices.Contains(f.Imports(), "math/rand/v2") && !slices.Contains(seeded, s.Sel.Name) {
					t.Errorf("%s: rand.%s draws from the global source; take a *rand.Rand", positions.Position(s.Pos()), s.Sel.Name)
				}
				return true
			})
		}
		for _, w := range changed(p, positions) {
			t.Error(w)
		}
	}
}

// changed finds assignments to variables of the package inside its functions.
func changed(p Package, positions *token.FileSet) []string {
	vars := map[string]bool{}
	for _, f := range p.Files {
		if f.Test {
			continue
		}
		for _, d := range f.Syntax.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.VAR {
				continue
			}
			for _, s := range g.Specs {
				for _, n := range s.(*ast.ValueSpec).Names {
					vars[n.Name] = n.Name != "_"
				}
			}
		}
	}
	var out []string
	for _, f := range p.Files {
		if f.Test {
			continue
		}
		for _, d := range f.Syntax.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Body == nil {
				continue
			}
			local := namesIn(fn)
			target := func(e ast.Expr) {
				if name := root(e); vars[name] && !local[name] {
					out = append(out, positions.Position(e.Pos()).String()+": the package's variable "+name+" is changed; pass it as a value")
				}
			}
			ast.Inspect(fn.Body, func(n ast.Node) bool {
				switch s := n.(type) {
				case *ast.AssignStmt:
					if s.Tok != token.DEFINE {
						for _, e := range s.Lhs {
							target(e)
						}
					}
				case *ast.IncDecStmt:
					target(s.X)
				}
				return true
			})
		}
	}
	return out
}

// namesIn gives the parameters and local names of a function.
func namesIn(fn *ast.FuncDecl) map[string]bool {
	local := map[string]bool{}
	ast.Inspect(fn, func(n ast.Node) bool {
		switch s := n.(type) {
		case *ast.Field:
			for _, i := range s.Names {
				local[i.Name] = true
			}
		case *ast.AssignStmt:
			if s.Tok == token.DEFINE {
				for _, e := range s.Lhs {
					if i, ok := e.(*ast.Ident); ok {
						local[i.Name] = true
					}
				}
			}
		case *ast.RangeStmt:
			for _, e := range []ast.Expr{s.Key, s.Value} {
				if i, ok := e.(*ast.Ident); ok && s.Tok == token.DEFINE {
					local[i.Name] = true
				}
			}
		case *ast.ValueSpec:
			for _, i := range s.Names {
				local[i.Name] = true
			}
		}
		return true
	})
	return local
}

func root(e ast.Expr) string {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x.Name
		case *ast.IndexExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return ""
		}
	}
}
