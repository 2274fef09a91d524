package web

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"sync"

	"wormyard/internal/web/words"
)

//go:embed templates/*.html
var templateFiles embed.FS

// pages holds one checked template a page.
type pages map[string]*template.Template

// shared are the templates that every page may use.
var shared = []string{"templates/layout.html", "templates/pieces.html", "templates/line.html", "templates/door_pieces.html"}

// readPages reads every template with the words of one language.
func readPages(c *words.Catalogue) (pages, error) {
	base, err := template.New("").Funcs(template.FuncMap{"say": c.Say, "told": c.Told, isolatedName: isolated}).Option("missingkey=error").ParseFS(templateFiles, shared...)
	if err != nil {
		return nil, fmt.Errorf("reading the shared templates: %w", err)
	}
	names, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		return nil, err
	}
	out := pages{}
	for _, n := range names {
		if strings.Contains(strings.Join(shared, " "), n) {
			continue
		}
		t, err := base.Clone()
		if err == nil {
			t, err = t.ParseFS(templateFiles, n)
		}
		if err != nil {
			return nil, fmt.Errorf("reading the template %s: %w", n, err)
		}
		isolateTyped(t)
		out[strings.TrimSuffix(path.Base(n), ".html")] = t
	}
	return out, nil
}

// templateText gives all templates as they stand.
func templateText() ([]byte, error) {
	names, err := fs.Glob(templateFiles, "templates/*.html")
	var out []byte
	for _, n := range names {
		data, readErr := fs.ReadFile(templateFiles, n)
		out, err = append(out, data...), errors.Join(err, readErr)
	}
	return out, err
}

var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// draw writes a page. It is drawn whole before the first byte leaves, so that a
// fault never gives half a page.
func (s *Server) draw(w http.ResponseWriter, name string, status int, page any) error {
	b := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(b)
	b.Reset()
	in, ok := page.(spoken)
	if !ok {
		return fmt.Errorf("the page %q has no language", name)
	}
	t, ok := s.pages[in.language()][name]
	if !ok {
		return fmt.Errorf("there is no template %q", name)
	}
	if err := t.ExecuteTemplate(b, "layout", page); err != nil {
		return fmt.Errorf("drawing %s: %w", name, err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := w.Write(b.Bytes())
	if err != nil {
		return errGone{err}
	}
	return nil
}

// spoken is a page that knows its language, as all do by their frame.
type spoken interface{ language() string }

func (f Frame) language() string { return f.Lang }

// errGone says that the reader went away; nobody is left to tell.
type errGone struct{ error }
