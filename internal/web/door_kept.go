package web

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"net/http"
	"net/url"
	"sync"
	"time"

	"wormyard/internal/app"
)

// heldForms holds what was typed by people whose session had ended, from their
// signing in until the form is drawn again. It is bounded; the oldest goes first.
type heldForms struct {
	mutex sync.Mutex
	list  []heldForm
	bytes int
}

type heldForm struct {
	id, account, to, form string
	at                    time.Time
}

const (
	mostKept  = 8 << 20 // bytes of all that is held
	keptWhile = time.Hour
)

// put holds a form for a person and gives its id.
func (k *heldForms) put(account, to, form string, now time.Time) string {
	var b [16]byte
	_, _ = rand.Read(b[:])
	f := heldForm{base64.RawURLEncoding.EncodeToString(b[:]), account, to, form, now}
	k.mutex.Lock()
	defer k.mutex.Unlock()
	k.list = append(k.list, f)
	k.bytes += len(form)
	for len(k.list) > 1 && (k.bytes > mostKept || now.Sub(k.list[0].at) > keptWhile) {
		k.bytes -= len(k.list[0].form)
		k.list = k.list[1:]
	}
	return f.id
}

// get gives a form that is held for a person.
func (k *heldForms) get(account, id string, now time.Time) (heldForm, bool) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	for _, f := range k.list {
		if f.id == id && f.account == account && now.Sub(f.at) <= keptWhile {
			return f, true
		}
	}
	return heldForm{}, false
}

type againKey struct{}

// again marks a form that is only to be drawn, with what it says at its top.
type again struct{ problem app.Problem }

// againShow draws a form as it was typed before the session ended. Nothing is
// written: whoever writes finds the mark and says that the form is to be sent
// once more (door_farm.go).
func (s *Server) againShow(w http.ResponseWriter, r *http.Request, p person) error {
	f, ok := s.kept.get(p.In.Account.ID, r.PathValue("id"), s.doorNow())
	if !ok {
		return missing{p.Say("door.keptgone")}
	}
	typed, err := url.ParseQuery(f.form)
	if err != nil {
		return err
	}
	to, err := url.ParseRequestURI(f.to)
	if err != nil {
		return err
	}
	mark := again{app.Problem{Say: p.Say("door.again"), Try: p.Say("door.againtry")}}
	as := r.Clone(context.WithValue(r.Context(), againKey{}, mark))
	as.Method, as.URL, as.RequestURI, as.Body, as.ContentLength = http.MethodPost, to, f.to, http.NoBody, 0
	as.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	as.PostForm = typed
	as.Form = url.Values{}
	for _, from := range []url.Values{typed, to.Query()} {
		for key, values := range from {
			as.Form[key] = append(as.Form[key], values...)
		}
	}
	s.mux.ServeHTTP(w, as)
	return nil
}

func (s *Server) doorNow() time.Time { return s.Door.Now() }
