package archtest

import (
	"bytes"
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestEveryPackageSaysWhatItIs(t *testing.T) {
	packages, _ := tree(t)
	for _, p := range packages {
		said, code := false, false
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			code = true
			if d := f.Syntax.Doc.Text(); strings.HasPrefix(d, "Package "+f.Syntax.Name.Name+" ") || f.Syntax.Name.Name == "main" && d != "" {
				said = true
			}
		}
		if code && !said {
			t.Errorf("%s has no package comment", p.Folder)
		}
	}
}

// An exported function, method or type of the core is explained by a sentence
// that starts with its name.
func TestExportedNamesAreExplained(t *testing.T) {
	packages, positions := tree(t)
	for _, p := range packages {
		if !isCore(p.Folder) {
			continue
		}
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			for _, d := range f.Syntax.Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					if d.Name.IsExported() && !plainMethod(d.Name.Name) && (d.Recv == nil || ast.IsExported(receiver(d))) && !starts(d.Doc.Text(), d.Name.Name) {
						t.Errorf("%s: %s is not explained", positions.Position(d.Pos()), d.Name.Name)
					}
				case *ast.GenDecl:
					if d.Tok != token.TYPE {
						continue
					}
					for _, s := range d.Specs {
						s := s.(*ast.TypeSpec)
						if s.Name.IsExported() && len(d.Specs) == 1 && !starts(d.Doc.Text()+s.Doc.Text(), s.Name.Name) {
							t.Errorf("%s: %s is not explained", positions.Position(s.Pos()), s.Name.Name)
						}
					}
				}
			}
		}
	}
}

// plainMethod names methods whose meaning is fixed by the language's own library.
func plainMethod(name string) bool {
	switch name {
	case "String", "Error", "Len", "Less", "Swap", "Unwrap", "MarshalJSON", "UnmarshalJSON", "MarshalText", "UnmarshalText":
		return true
	}
	return false
}

func receiver(d *ast.FuncDecl) string {
	return root(d.Recv.List[0].Type)
}

func starts(doc, name string) bool {
	for _, article := range []string{"", "A ", "An ", "The "} {
		if strings.HasPrefix(doc, article+name+" ") || strings.HasPrefix(doc, article+name+"'") || strings.HasPrefix(doc, article+name+",") {
			return true
		}
	}
	return false
}

// harsh is what no message to a farmer says.
var harsh = regexp.MustCompile(`(?i)\b(invalid|illegal|fatal|forbidden)\b|[a-z]!(\s|$)`)

func TestNoHarshWords(t *testing.T) {
	packages, positions := tree(t)
	for _, p := range packages {
		if p.Folder == "internal/archtest" {
			continue
		}
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			ast.Inspect(f.Syntax, func(n ast.Node) bool {
				lit, ok := n.(*ast.BasicLit)
				if !ok || lit.Kind != token.STRING {
					return true
				}
				if s, err := strconv.Unquote(lit.Value); err == nil && harsh.MatchString(s) && strings.Contains(s, " ") {
					t.Errorf("%s: %q", positions.Position(lit.Pos()), s)
				}
				return true
			})
		}
	}
}

// elsewhere is what no file of the project speaks of: folders of one machine,
// and work that was left for later.
var elsewhere = regexp.MustCompile(`(^|[\s"'(=])(/work/|/tmp/[a-z]|/home/[a-z]+/|/root/)|\b(TODO|FIXME|XXX)\b`)

func TestFilesSpeakOfTheProjectAlone(t *testing.T) {
	err := filepath.WalkDir("../..", func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			if path != "../.." && (strings.HasPrefix(name, ".") && name != ".ci" || name == "node_modules" || name == "archtest" || name == "third_party" || name == "rapid") {
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(name) {
		case ".go", ".md", ".txt", ".json", ".html", ".css", ".js", ".sh", ".c", "":
		default:
			return nil
		}
		info, err := d.Info()
		if err != nil || info.Size() > 4<<20 || !info.Mode().IsRegular() {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil || bytes.IndexByte(text, 0) >= 0 {
			return err
		}
		for i, line := range strings.Split(string(text), "\n") {
			if m := elsewhere.FindString(line); m != "" {
				t.Errorf("%s:%d speaks of %q", path, i+1, strings.TrimSpace(m))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
