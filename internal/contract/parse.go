package contract

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"wormyard/figure"
)

// deepest is how far lists and objects may stand in one another.
const deepest = 64

type kind int

const (
	isNull kind = iota
	isBool
	isNumber
	isText
	isList
	isObject
	isBad // already complained about
)

var kindWords = [...]string{"nothing (null)", "true or false", "a number", "a text", "a list [...]", "an object {...}", "not readable"}

// node is one value as it was read.
type node struct {
	kind  kind
	flag  bool
	num   float64
	text  string // of a text; of a number as written
	keys  []string
	items []*node // of a list; of an object beside keys
	raw   []byte
}

// parser reads JSON and goes on after what can be understood, so that all
// problems are told at once; what cannot be understood stops it.
type parser struct {
	data     []byte
	at       int
	problems []figure.Problem
}

type stop struct{ problem figure.Problem }

func parse(data []byte) (root *node, problems []figure.Problem) {
	p := &parser{data: data}
	if strings.HasPrefix(string(data[:min(3, len(data))]), "\ufeff") {
		p.at = 3
	}
	defer func() {
		if r := recover(); r != nil {
			s, ok := r.(stop)
			if !ok {
				panic(r)
			}
			root, problems = nil, append(p.problems, s.problem)
		}
	}()
	if bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data) {
		return nil, []figure.Problem{{Say: "This is not a text in UTF-8.", Try: "Give one JSON object, {...}, saved as text."}}
	}
	p.space()
	if p.at == len(p.data) {
		return nil, []figure.Problem{{Say: "There is nothing to read.", Try: "Give one JSON object, {...}, in the file or on standard input."}}
	}
	root = p.value("", 0)
	p.space()
	if p.at < len(p.data) {
		p.halt("something follows after the end of the value.", "Give one JSON object only.")
	}
	return root, p.problems
}

func (p *parser) halt(say, try string) {
	line, column := 1, 1
	for _, c := range p.data[:min(p.at, len(p.data))] {
		if c == '\n' {
			line, column = line+1, 1
		} else if c&0xc0 != 0x80 {
			column++
		}
	}
	panic(stop{figure.Problem{Say: fmt.Sprintf("In line %d at character %d %s", line, column, say), Try: try}})
}

func (p *parser) note(path, say, try string) {
	p.problems = append(p.problems, figure.Problem{Field: path, Say: say, Try: try})
}

func (p *parser) space() {
	for p.at < len(p.data) {
		switch p.data[p.at] {
		case ' ', '\t', '\n', '\r':
			p.at++
		default:
			return
		}
	}
}

func (p *parser) peek() byte {
	if p.at < len(p.data) {
		return p.data[p.at]
	}
	return 0
}

func (p *parser) value(path string, depth int) *node {
	if depth > deepest {
		p.halt(fmt.Sprintf("lists and objects stand more than %d deep in one another.", deepest), "Give a flatter one.")
	}
	p.space()
	start := p.at
	var n *node
	switch c := p.peek(); {
	case c == '{':
		n = p.object(path, depth)
	case c == '[':
		n = p.list(path, depth)
	case c == '"':
		n = &node{kind: isText, text: p.textual()}
	case p.at >= len(p.data):
		p.halt("the text ends before the value is complete.", "Look for a missing } or ] at the end.")
	default:
		n = p.word(path)
	}
	n.raw = p.data[start:p.at]
	return n
}

func (p *parser) object(path string, depth int) *node {
	n := &node{kind: isObject}
	p.at++
	seen := map[string]bool{}
	for {
		p.space()
		if p.peek() == '}' {
			p.at++
			return n
		}
		if p.peek() != '"' {
			if p.at >= len(p.data) {
				p.halt("the text ends inside an object.", "Look for a missing } at the end.")
			}
			p.halt("a key in quotation marks is wanted.", `Write keys like "depth_m": 0.1 and separate them with commas.`)
		}
		key := p.textual()
		here := join(path, key)
		p.space()
		if p.peek() != ':' {
			p.halt(fmt.Sprintf("a colon is missing after %q.", key), fmt.Sprintf("Write %q: and then its value.", key))
		}
		p.at++
		v := p.value(here, depth+1)
		if seen[key] {
			p.note(here, fmt.Sprintf("%q is given twice.", key), "Keep one of the two.")
		} else {
			seen[key] = true
			n.keys = append(n.keys, key)
			n.items = append(n.items, v)
		}
		if p.after('}', path) {
			return n
		}
	}
}

func (p *parser) list(path string, depth int) *node {
	n := &node{kind: isList}
	p.at++
	for {
		p.space()
		if p.peek() == ']' {
			p.at++
			return n
		}
		n.items = append(n.items, p.value(fmt.Sprintf("%s[%d]", path, len(n.items)), depth+1))
		if p.after(']', path) {
			return n
		}
	}
}

// after reads the comma or the end that follows a member; a comma before the
// end is noted and passed.
func (p *parser) after(end byte, path string) (done bool) {
	p.space()
	switch p.peek() {
	case ',':
		p.at++
		p.space()
		if p.peek() == end {
			p.note(path, fmt.Sprintf("There is a comma before the closing %q.", string(end)), "Take that comma out.")
			p.at++
			return true
		}
		return false
	case end:
		p.at++
		return true
	}
	if p.at >= len(p.data) {
		p.halt(fmt.Sprintf("the text ends before the closing %q.", string(end)), "Look for what is missing at the end.")
	}
	p.halt(fmt.Sprintf("a comma or %q is wanted.", string(end)), "Separate the values with commas.")
	return true
}

// word reads true, false, null or a number, and what people write in place of
// a number.
func (p *parser) word(path string) *node {
	start := p.at
	for p.at < len(p.data) && strings.IndexByte(" \t\r\n,:{}[]\"", p.data[p.at]) < 0 {
		p.at++
	}
	s := string(p.data[start:p.at])
	switch s {
	case "true", "false":
		return &node{kind: isBool, flag: s == "true"}
	case "null":
		return &node{kind: isNull}
	case "":
		p.halt(fmt.Sprintf("%q is not expected.", string(p.data[p.at])), "Put a value there.")
	}
	if plainNumber(s) {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsInf(v, 0) {
			p.note(path, fmt.Sprintf("%s is too large to be a number.", clip(s)), "Type the amount you mean.")
			return &node{kind: isBad}
		}
		return &node{kind: isNumber, num: v, text: s}
	}
	switch strings.ToLower(strings.TrimLeft(s, "+-")) {
	case "nan", "inf", "infinity", "∞", "undefined", "none":
		p.note(path, fmt.Sprintf("%s is not an amount.", clip(s)), "Leave the key out when the value is not known.")
		return &node{kind: isBad}
	}
	if _, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64); err == nil {
		p.note(path, fmt.Sprintf("%s is not written as JSON writes a number.", clip(s)), "Write it plainly, such as 0.5 or 12.")
		return &node{kind: isBad}
	}
	p.at = start
	p.halt(fmt.Sprintf("%s cannot be read.", clip(s)), "Put texts in quotation marks; a number stands without.")
	return nil
}

// plainNumber tells whether s is a number by the grammar of JSON.
func plainNumber(s string) bool {
	s = strings.TrimPrefix(s, "-")
	whole := len(s) - len(strings.TrimLeft(s, "0123456789"))
	if whole == 0 || (whole > 1 && s[0] == '0') {
		return false
	}
	s = s[whole:]
	if strings.HasPrefix(s, ".") {
		rest := strings.TrimLeft(s[1:], "0123456789")
		if len(rest) == len(s)-1 {
			return false
		}
		s = rest
	}
	if s != "" && (s[0] == 'e' || s[0] == 'E') {
		s = s[1:]
		if s != "" && (s[0] == '+' || s[0] == '-') {
			s = s[1:]
		}
		return s != "" && strings.TrimLeft(s, "0123456789") == ""
	}
	return s == ""
}

// textual reads a text in quotation marks.
func (p *parser) textual() string {
	p.at++
	var b []byte
	for {
		if p.at >= len(p.data) {
			p.halt("a text has no closing quotation mark.", `Close it with ".`)
		}
		c := p.data[p.at]
		switch {
		case c == '"':
			p.at++
			return string(b)
		case c == '\\':
			b = p.escape(b)
		case c < 0x20:
			p.halt("a text runs over the end of the line.", `Close it with ", or write \n for a new line.`)
		default:
			b = append(b, c)
			p.at++
		}
	}
}

func (p *parser) escape(b []byte) []byte {
	p.at++
	c := p.peek()
	if i := strings.IndexByte(`"\/bfnrt`, c); c != 0 && i >= 0 {
		p.at++
		return append(b, "\"\\/\b\f\n\r\t"[i])
	}
	if c != 'u' {
		p.halt(`a backslash in a text is followed by something unknown.`, `Write \\ for a backslash.`)
	}
	r := p.hex()
	if utf16.IsSurrogate(r) && strings.HasPrefix(string(p.data[p.at:min(p.at+2, len(p.data))]), `\u`) {
		p.at++
		r = utf16.DecodeRune(r, p.hex())
	}
	return utf8.AppendRune(b, r)
}

// hex reads the four digits after \u, p.at on the u.
func (p *parser) hex() rune {
	p.at++
	if p.at+4 > len(p.data) {
		p.halt(`\u is not followed by four digits.`, `Write the letter itself.`)
	}
	v, err := strconv.ParseUint(string(p.data[p.at:p.at+4]), 16, 32)
	if err != nil {
		p.halt(`\u is not followed by four digits.`, `Write the letter itself.`)
	}
	p.at += 4
	return rune(v)
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func clip(s string) string {
	if utf8.RuneCountInString(s) > 24 {
		return string([]rune(s)[:24]) + "…"
	}
	return s
}
