package web

import (
	"encoding/json"
	"net/http"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/label"
)

// quickRoutes are the ways that make writing down quick: the camera, and a sheet
// of paper typed back.
func (s *Server) quickRoutes() []route {
	return []route{
		{"GET /scan", s.scanShow},
		{"GET /round/sheet", s.sheetBack},
		{"POST /round/sheet", s.sheetBack},
		{"GET /s/{code}", s.sheetOpen},
		{"GET /S/{code}", s.sheetOpen},
	}
}

// ScanPage reads labels by the camera. The box for the painted number stands
// below it whether or not there is one.
type ScanPage struct {
	Frame
	Heading, Mark, Bins, Keys string
	Form                      Form
}

// scanned is what a device must know of a bin to tell its label.
type scanned struct {
	Check   string `json:"check"`
	Retired bool   `json:"retired,omitempty"`
}

var scanWords = []string{"scan.nocamera", "scan.notallowed", "scan.hold", "scan.nolabel", "scan.garbled", "scan.other", "scan.gone", "scan.retired", "scan.unknown"}

// permissions says which pages may use the camera: the scan page alone.
func permissions(path string) string {
	if path == "/scan" {
		return "camera=(self), microphone=(), geolocation=()"
	}
	return "camera=(), microphone=(), geolocation=()"
}

func (s *Server) scanShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := ScanPage{Frame: s.frame(r, p, p.Say("scan.title"), "barn"), Heading: p.Say("scan.title"), Mark: app.FarmMark(state)}
	page.One, page.BarWords = true, wordsFor(p, barWords, scanWords)
	bins := map[string]scanned{}
	for _, b := range state.Bins() {
		x := scanned{Check: label.Tail(b.Name, page.Mark)[len(page.Mark):], Retired: b.State == farm.Retired}
		bins[b.Name] = x
	}
	raw, err := json.Marshal(bins)
	if err != nil {
		return err
	}
	page.Bins = string(raw)
	if raw, err = json.Marshal(state.Places().Keys()); err != nil {
		return err
	}
	page.Keys = string(raw)
	box := textField("bin", p.Say("which.box"), "")
	box.Help = p.Say("which.help")
	page.Form = Form{Action: "/b", Back: "/barn", Submit: p.Say("which.open"), Cancel: "/barn", Fields: []Field{box}}
	return s.draw(w, "scan", http.StatusOK, page)
}
