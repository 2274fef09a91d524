package archtest

import (
	"fmt"
	"go/ast"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// equation is one numbered equation of the page.
type equation struct {
	id, file, text string
	by             []string // functions named as computing it
}

var (
	heading  = regexp.MustCompile(`(?m)^### ([A-Z][0-9]+[a-z]?) .+$`)
	computed = regexp.MustCompile(`(?s)\*\*Computed by\.\*\*(.*?)(\n\n|$)`)
	named    = regexp.MustCompile("`([a-z]+(?:\\.[A-Za-z0-9_]+){1,2})`")
	pointed  = regexp.MustCompile(`\b([MCBWYTRDHPGLSQKXFVEJ][0-9]{1,2}[a-z]?)(?:\s+to\s+([MCBWYTRDHPGLSQKXFVEJ][0-9]{1,2}))?\b`)
	toPage   = regexp.MustCompile(`model\.md,?\s+\(?([MCBWYTRDHPGLSQKXFVEJ][0-9]+[a-z]?(?:(?:,\s+|\s+and\s+|\s+to\s+)[MCBWYTRDHPGLSQKXFVEJ][0-9]+[a-z]?)*)`)
	inBraces = regexp.MustCompile(`\(([MCBWYTRDHPGLSQKXFVEJ][0-9]+[a-z]?(?:(?:,\s+|\s+and\s+|\s+to\s+)[MCBWYTRDHPGLSQKXFVEJ][0-9]+[a-z]?)*)\)`)
)

func equations(t *testing.T) []equation {
	t.Helper()
	files, err := filepath.Glob("../../docs/model/*.md")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sections of the model were found: %v", err)
	}
	var out []equation
	seen := map[string]string{}
	for _, f := range files {
		if filepath.Base(f) == "0-intro.md" {
			continue
		}
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		at := heading.FindAllStringSubmatchIndex(text, -1)
		for i, m := range at {
			end := len(text)
			if i+1 < len(at) {
				end = at[i+1][0]
			}
			e := equation{id: text[m[2]:m[3]], file: filepath.Base(f), text: text[m[0]:end]}
			if seen[e.id] != "" {
				t.Errorf("%s stands in %s and in %s", e.id, seen[e.id], e.file)
			}
			seen[e.id] = e.file
			if by := computed.FindStringSubmatch(e.text); by != nil {
				for _, n := range named.FindAllStringSubmatch(strings.Split(by[1], "figure")[0], -1) {
					e.by = append(e.by, n[1])
				}
			}
			out = append(out, e)
		}
	}
	return out
}

// expand gives the ids of "M1", "M1, M3 and M5" and "M14 to M16".
func expand(s string) []string {
	var out []string
	for _, m := range pointed.FindAllStringSubmatch(s, -1) {
		if m[2] == "" {
			out = append(out, m[1])
			continue
		}
		from, err1 := strconv.Atoi(m[1][1:])
		to, err2 := strconv.Atoi(m[2][1:])
		if err1 != nil || err2 != nil || from > to {
			continue
		}
		for i := from; i <= to; i++ {
			out = append(out, fmt.Sprintf("%c%d", m[1][0], i))
		}
	}
	return out
}

// functions gives what the comments in and over each function point at, by
// package.Func and package.Type.Method.
func functions(t *testing.T) map[string]map[string]bool {
	packages, _ := tree(t)
	out := map[string]map[string]bool{}
	for _, p := range packages {
		for _, f := range p.Files {
			if f.Test {
				continue
			}
			pkg := f.Syntax.Name.Name
			for _, d := range f.Syntax.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok {
					continue
				}
				name := pkg + "." + fn.Name.Name
				if fn.Recv != nil {
					name = pkg + "." + receiver(fn) + "." + fn.Name.Name
				}
				points := map[string]bool{}
				for _, c := range f.Syntax.Comments {
					if c == fn.Doc || c.Pos() >= fn.Pos() && c.End() <= fn.End() {
						for _, id := range expand(c.Text()) {
							points[id] = true
						}
					}
				}
				out[name] = points
			}
		}
	}
	return out
}

// Every equation says where it comes from, what it leaves out and which
// function computes it; that function exists and points back.
func TestPageOfEquationsPointsAtCode(t *testing.T) {
	code := functions(t)
	for _, e := range equations(t) {
		for _, part := range []string{"**Source.**", "**Left out.**", "**Computed by.**"} {
			if !strings.Contains(e.text, part) {
				t.Errorf("%s (%s) has no %s", e.id, e.file, part)
			}
		}
		if len(e.by) == 0 {
			t.Errorf("%s (%s) names no function", e.id, e.file)
			continue
		}
		back := false
		for _, name := range e.by {
			points, ok := code[name]
			if !ok {
				t.Errorf("%s (%s) names %s, which is not in the code", e.id, e.file, name)
				continue
			}
			back = back || points[e.id]
		}
		if !back {
			t.Errorf("%s (%s): no comment of %s names model.md (%s)", e.id, e.file, strings.Join(e.by, ", "), e.id)
		}
	}
}

// Every equation that code speaks of is on the page.
func TestCodePointsAtPageOfEquations(t *testing.T) {
	known := map[string]bool{}
	for _, e := range equations(t) {
		known[e.id] = true
	}
	packages, positions := tree(t)
	for _, p := range packages {
		for _, f := range p.Files {
			for _, c := range f.Syntax.Comments {
				text := c.Text()
				spoken := toPage.FindAllStringSubmatch(text, -1)
				if isCore(p.Folder) && !f.Test {
					spoken = append(spoken, inBraces.FindAllStringSubmatch(text, -1)...)
				}
				told := map[string]bool{}
				for _, m := range spoken {
					for _, id := range expand(m[1]) {
						if !known[id] && !told[id] {
							told[id] = true
							t.Errorf("%s speaks of equation %s, which is not in docs/model", positions.Position(c.Pos()), id)
						}
					}
				}
			}
		}
	}
}

func TestExpand(t *testing.T) {
	if got := strings.Join(expand("M1, M3 and M14 to M16"), " "); got != "M1 M3 M14 M15 M16" {
		t.Error(got)
	}
}
