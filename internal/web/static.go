package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"path"
	"strings"
)

//go:embed static/*.* static/built/*
var staticFiles embed.FS

// static is the style sheet, the icons and the scripts under names that carry their content,
// so that a device may keep them for ever.
type static struct {
	names map[string]string // look.css -> /static/look.4f2a9c10.css
	files map[string]staticFile
}

type staticFile struct {
	kind          string
	plain, zipped []byte
}

func readStatic() (static, error) {
	out := static{names: map[string]string{}, files: map[string]staticFile{}}
	list, err := staticFiles.ReadDir("static")
	if err != nil {
		return out, err
	}
	built, err := staticFiles.ReadDir("static/built")
	if err != nil {
		return out, err
	}
	kinds := map[string]string{".css": "text/css; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png", ".js": "text/javascript; charset=utf-8"}
	for _, f := range append(list, built...) {
		if f.IsDir() || path.Ext(f.Name()) == ".json" {
			continue
		}
		data, err := staticFiles.ReadFile("static/" + f.Name())
		isBuilt := err != nil
		if isBuilt {
			data, err = staticFiles.ReadFile("static/built/" + f.Name())
		}
		if err != nil {
			return out, err
		}
		sum := sha256.Sum256(data)
		ext := path.Ext(f.Name())
		to := "/static/" + strings.TrimSuffix(f.Name(), ext) + "." + hex.EncodeToString(sum[:4]) + ext
		if isBuilt { // the name carries the content already
			to = "/static/" + f.Name()
		}
		var z bytes.Buffer
		g, _ := gzip.NewWriterLevel(&z, gzip.BestCompression)
		if _, err := g.Write(data); err != nil {
			return out, err
		}
		if err := g.Close(); err != nil {
			return out, err
		}
		out.names[f.Name()] = to
		out.files[to] = staticFile{kinds[ext], data, z.Bytes()}
	}
	raw, err := staticFiles.ReadFile("static/built/built.json")
	if err != nil {
		return out, err
	}
	entries := map[string]string{}
	if err := json.Unmarshal(raw, &entries); err != nil {
		return out, err
	}
	for entry, name := range entries {
		out.names[entry] = "/static/" + name
		delete(out.names, name)
	}
	return out, nil
}

func (s static) to(name string) string { return s.names[name] }

func (s *Server) staticFile(w http.ResponseWriter, r *http.Request, p person) error {
	f, ok := s.static.files[r.URL.Path]
	if !ok {
		return missing{p.Say("fault.nopage")}
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	body := f.plain
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		body = f.zipped
	}
	h.Add("Vary", "Accept-Encoding")
	if _, err := w.Write(body); err != nil {
		return errGone{err}
	}
	return nil
}
