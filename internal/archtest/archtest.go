// Package archtest holds the order of the house as tests: which package may
// import which, what the core may take from outside, that the core touches
// neither clock nor files nor global randomness, that every package says what it
// is, and that equations on the page and in the code point at each other.
//
// The files are read with go/parser inside the tests, so that a change in any of
// them makes the tests run again.
package archtest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// File is one parsed Go file.
type File struct {
	Path   string // relative to the root, with slashes
	Test   bool
	Syntax *ast.File
}

// Package is the Go files of one folder.
type Package struct {
	Folder string // relative to the root, with slashes
	Files  []File
}

// Tree parses every Go file below root, by folder in order.
func Tree(root string) ([]Package, *token.FileSet, error) {
	positions := token.NewFileSet()
	folders := map[string]*Package{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			if path != root && (strings.HasPrefix(name, ".") || name == "testdata" || name == "node_modules") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		syntax, err := parser.ParseFile(positions, path, text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		relative, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		relative = filepath.ToSlash(relative)
		folder := filepath.ToSlash(filepath.Dir(relative))
		if folders[folder] == nil {
			folders[folder] = &Package{Folder: folder}
		}
		folders[folder].Files = append(folders[folder].Files, File{relative, strings.HasSuffix(name, "_test.go"), syntax})
		return nil
	})
	out := make([]Package, 0, len(folders))
	for _, p := range folders {
		out = append(out, *p)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Folder < out[j].Folder })
	return out, positions, err
}

// Imports gives the import paths of a file.
func (f File) Imports() []string {
	var out []string
	for _, i := range f.Syntax.Imports {
		out = append(out, strings.Trim(i.Path.Value, `"`))
	}
	return out
}
