package web

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"io"
	"net/http"
	"regexp"
	"strings"

	"wormyard/internal/app"
)

// Photos keeps pictures under the hash of their content.
type Photos interface {
	// KeepPhoto puts a picture away and gives its name; one that is there keeps it.
	KeepPhoto(ctx context.Context, data []byte, width, height int) (name string, err error)
	// Photo gives a picture; ok is false when there is none of the name.
	Photo(ctx context.Context, name string) (data []byte, width, height int, ok bool, err error)
}

const (
	mostPhoto  = 3 << 20
	mostPixels = 2400 // along a side; devices send 1600
)

var photoName = regexp.MustCompile(`^[0-9a-f]{64}$`)

// photoTake takes a picture that a device has made small. The entry that names
// it comes after it.
func (s *Server) photoTake(w http.ResponseWriter, r *http.Request, p person) error {
	no := func(key string) error {
		return s.json(w, http.StatusUnprocessableEntity, map[string]string{"say": p.Say(key), "try": p.Say("photo.wrongtry")})
	}
	if s.Photos == nil {
		return no("photo.nowhere")
	}
	data, err := io.ReadAll(r.Body)
	if err != nil {
		return no("photo.broken")
	}
	if !strings.HasPrefix(http.DetectContentType(data), "image/jpeg") {
		return no("photo.type")
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return no("photo.broken")
	}
	if size.Width > mostPixels || size.Height > mostPixels {
		return no("photo.size")
	}
	if _, _, err := image.Decode(bytes.NewReader(data)); err != nil { // all of it is there
		return no("photo.broken")
	}
	name, err := s.Photos.KeepPhoto(r.Context(), data, size.Width, size.Height)
	if err != nil {
		return err
	}
	return s.json(w, http.StatusOK, map[string]string{"photo": name})
}

func (s *Server) photoShow(w http.ResponseWriter, r *http.Request, p person) error {
	data, _, _, ok, err := s.photo(r.Context(), r.PathValue("name"))
	if err != nil {
		return err
	}
	if !ok {
		return missing{p.Say("photo.gone")}
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Disposition", "inline")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	if _, err := w.Write(data); err != nil {
		return errGone{err}
	}
	return nil
}

func (s *Server) photo(ctx context.Context, name string) (data []byte, width, height int, ok bool, err error) {
	if s.Photos == nil || !photoName.MatchString(name) {
		return nil, 0, 0, false, nil
	}
	return s.Photos.Photo(ctx, name)
}

// ShownPhoto is the picture of an entry.
type ShownPhoto struct {
	At, Alt       string
	Width, Height int
	Gone          string
}

func (s *Server) showPhoto(p person, name, say string) (*ShownPhoto, error) {
	if name == "" {
		return nil, nil
	}
	_, width, height, ok, err := s.photo(context.Background(), name)
	if err != nil {
		return nil, err
	}
	if !ok {
		return &ShownPhoto{Gone: p.Say("photo.gone")}, nil
	}
	return &ShownPhoto{At: "/photo/" + name, Alt: p.Say("photo.of", say), Width: width, Height: height}, nil
}

// photoOf gives the photo that a form names; it must be here.
func (s *Server) photoOf(r *http.Request, p person) (string, []app.Problem, error) {
	name := r.PostForm.Get("photo")
	if name == "" {
		return "", nil, nil
	}
	_, _, _, ok, err := s.photo(r.Context(), name)
	if err != nil {
		return "", nil, err
	}
	if !ok {
		return "", []app.Problem{{Field: "photo", Say: p.Say("photo.gone"), Try: p.Say("photo.wrongtry")}}, nil
	}
	return name, nil, nil
}
