package web

import (
	"compress/gzip"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
)

// policy allows our own scripts, style sheet and pictures, a picture that was
// just taken, forms and sending to ourselves, and nothing else: no script and no
// style stands in a page.
const policy = "default-src 'none'; script-src 'self'; worker-src 'self'; connect-src 'self'; manifest-src 'self'; style-src 'self'; img-src 'self' blob:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// protect wraps all pages: headers, refusal of forms from other sites, gzip.
func (s *Server) protect(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p := s.person(r)
		page := FaultPage{Frame: s.frame(r, p, p.Say("fault.cross"), ""), Heading: p.Say("fault.cross"), Say: p.Say("fault.crosssay"), Try: p.Say("fault.crosstry")}
		page.One = true
		if err := s.draw(w, "fault", http.StatusForbidden, page); err != nil {
			s.Log.Error("the fault page failed", "error", err.Error())
		}
	}))
	next = zip(cross.Handler(next))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Permissions-Policy", permissions(r.URL.Path))
		if !strings.HasPrefix(r.URL.Path, "/static/") {
			h.Set("Cache-Control", "no-store")
		}
		if s.Loopback && !thisMachine(r.Host) {
			s.refuseHost(w, r)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// thisMachine says whether a host name can only mean this machine.
func thisMachine(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = strings.Trim(host, "[]")
	}
	if name == "localhost" {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && ip.IsLoopback()
}

func (s *Server) refuseHost(w http.ResponseWriter, r *http.Request) {
	p := s.person(r)
	page := FaultPage{Frame: s.frame(r, p, p.Say("fault.host"), ""), Heading: p.Say("fault.host"), Say: p.Say("fault.hostsay", r.Host), Try: p.Say("fault.hosttry")}
	page.One = true
	if err := s.draw(w, "fault", http.StatusForbidden, page); err != nil {
		s.Log.Error("the fault page failed", "error", err.Error())
	}
}

var zippers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, 4)
	return z
}}

// zip compresses pages for readers that take it.
func zip(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/static/") || strings.HasSuffix(r.URL.Path, "/events") || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			next.ServeHTTP(w, r)
			return
		}
		w.Header().Add("Vary", "Accept-Encoding")
		zw := &zipWriter{ResponseWriter: w}
		defer zw.close()
		next.ServeHTTP(zw, r)
	})
}

type zipWriter struct {
	http.ResponseWriter
	z     *gzip.Writer
	begun bool
}

// Unwrap lets a response controller reach the connection.
func (w *zipWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

func (w *zipWriter) WriteHeader(status int) {
	w.begun = true
	if status == http.StatusOK || status >= http.StatusBadRequest {
		w.Header().Set("Content-Encoding", "gzip")
		w.Header().Del("Content-Length")
		w.z = zippers.Get().(*gzip.Writer)
		w.z.Reset(w.ResponseWriter)
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *zipWriter) Write(b []byte) (int, error) {
	if !w.begun {
		w.WriteHeader(http.StatusOK)
	}
	if w.z == nil {
		return w.ResponseWriter.Write(b)
	}
	return w.z.Write(b)
}

func (w *zipWriter) close() {
	if w.z == nil {
		return
	}
	_ = w.z.Close()
	zippers.Put(w.z)
}
