package web

import (
	"html/template"
	"slices"
	"strings"
	"text/template/parse"

	"wormyard/internal/web/words"
)

// What people typed may run from right to left or hold marks that turn what
// follows. Every value that a template prints as text goes through isolated, which
// keeps such text apart from what stands beside it; sentences do the same with
// their values (words.Say). It is put into the templates when they are read, so
// that none can do without it.

const isolatedName = "isolated"

// isolated keeps typed text apart; anything else stays as it is.
func isolated(v any) any {
	if s, ok := v.(string); ok {
		return words.Isolated(s)
	}
	return v
}

// isolateTyped puts isolated behind each value that stands between tags. Values in
// tags and in boxes of forms are left, since they go back to the farm as they are.
func isolateTyped(t *template.Template) {
	for _, x := range t.Templates() {
		if x.Tree != nil && x.Tree.Root != nil {
			(&reading{}).list(x.Tree.Root)
		}
	}
}

// reading is where in a page a template is.
type reading struct {
	tag   bool // between < and >
	quote byte // in the value of an attribute
	plain bool // in an element whose text is not the page's
	name  strings.Builder
}

func (r *reading) list(l *parse.ListNode) {
	if l == nil {
		return
	}
	for _, n := range l.Nodes {
		switch n := n.(type) {
		case *parse.TextNode:
			r.text(n.Text)
		case *parse.ActionNode:
			r.action(n.Pipe)
		case *parse.IfNode:
			r.list(n.List)
			r.list(n.ElseList)
		case *parse.RangeNode:
			r.list(n.List)
			r.list(n.ElseList)
		case *parse.WithNode:
			r.list(n.List)
			r.list(n.ElseList)
		}
	}
}

func (r *reading) action(p *parse.PipeNode) {
	if r.tag || r.plain || len(p.Decl) > 0 {
		return
	}
	last := p.Cmds[len(p.Cmds)-1]
	if id, ok := last.Args[0].(*parse.IdentifierNode); ok && id.Ident == isolatedName {
		return // of a template that several pages share
	}
	p.Cmds = append(p.Cmds, &parse.CommandNode{NodeType: parse.NodeCommand, Pos: p.Pos, Args: []parse.Node{parse.NewIdentifier(isolatedName).SetPos(p.Pos)}})
}

// asWritten are the elements whose text is no text of the page.
var asWritten = []string{"textarea", "script", "style"}

func (r *reading) text(text []byte) {
	for i, c := range text {
		switch {
		case !r.tag && c == '<':
			r.tag = true
			r.name.Reset()
		case !r.tag:
		case r.quote != 0:
			if c == r.quote {
				r.quote = 0
			}
		case c == '"' || c == '\'':
			r.quote = c
		case c == '>':
			r.tag = false
			name, _, _ := strings.Cut(strings.ToLower(r.name.String()), " ")
			r.plain = slices.Contains(asWritten, strings.Trim(name, "\n\t")) && text[max(0, i-1)] != '/'
		default:
			r.name.WriteByte(c)
		}
	}
}
