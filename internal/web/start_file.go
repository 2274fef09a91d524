package web

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"wormyard/internal/app"
)

// startFile reads a first morning from a file into the boxes of the form, where
// it is looked at, mended and saved as if it had been typed.
func (s *Server) startFile(w http.ResponseWriter, r *http.Request, p person) error {
	form, problems, err := s.uploadedFirst(r, p)
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		s.sweep(w, r)
		return tooLarge{p.Say("fault.large", mostFile>>20), p.Say("fault.largetry")}
	}
	var told badFile
	if errors.As(err, &told) {
		problems, err = append(problems, app.Problem{Field: "file", Say: told.say}), nil
	}
	if err != nil {
		return err
	}
	f := startOf(p, form)
	page := s.startPage(r, p, f)
	status := http.StatusOK
	switch {
	case len(problems) > 0:
		for i := range problems {
			if problems[i].Row > 0 {
				problems[i].Say = p.Say("start.line", problems[i].Row, p.Told(problems[i].Say))
			}
		}
		s.markStart(&page, problems)
		status = http.StatusUnprocessableEntity
	case s.Start != nil:
		entries, problems := s.Start.FirstMorning(f.read())
		s.markStart(&page, problems)
		if entries != nil {
			page.Sum = startSum(p, entries)
		}
	}
	return s.draw(w, "start", status, page)
}

// uploadedFirst reads the file that came with the form.
func (s *Server) uploadedFirst(r *http.Request, p person) (app.FirstForm, []app.Problem, error) {
	_, path, err := s.upload(r, p)
	if err != nil {
		return app.FirstForm{}, nil, err
	}
	defer os.RemoveAll(filepath.Dir(path))
	file, err := os.Open(path)
	if err != nil {
		return app.FirstForm{}, nil, err
	}
	defer file.Close()
	return app.ReadFirst(file)
}

// startOf puts a first morning into the boxes of the form.
func startOf(p person, x app.FirstForm) startForm {
	f := emptyStart(p)
	put := func(name, value string) {
		if value != "" {
			f.v[name] = value
		}
	}
	for name, value := range map[string]string{
		"farm": x.Farm, "zone": x.Zone, "units": x.Units, "place": x.Place, "weather": x.Weather, "altitude": x.Altitude,
		"low_today": x.LowToday, "high_today": x.HighToday, "month_low": months(x.MonthLow), "month_high": months(x.MonthHigh),
		"names": x.Names, "length": x.Length, "width": x.Width, "deep": x.Deep, "wall": x.Wall, "liner": x.Liner, "holes": x.Holes, "cover": x.Cover,
		"depth": x.Depth, "material": x.Material, "age": x.Age, "last_fed": x.LastFed, "fed_depth": x.LastFedDepth, "stock": x.Stock,
		"feed_every": x.FeedEvery, "visit": x.Visit, "except": strings.Join(x.Except, "\n"), "people": strings.Join(x.People, "\n"),
	} {
		put(name, value)
	}
	for i, b := range x.Barns {
		at := fmt.Sprintf("barns[%d].", i)
		for name, value := range map[string]string{"name": b.Name, "rows": b.Rows, "stacks": b.Stacks, "high": b.High, "length": b.Length, "width": b.Width, "height": b.Height} {
			put(at+name, value)
		}
	}
	for i, b := range x.Piles {
		at := fmt.Sprintf("piles[%d].", i)
		for name, value := range map[string]string{"name": b.Name, "material": b.Material, "amount": b.Amount, "age": b.Age, "declared": b.Declared} {
			put(at+name, value)
		}
	}
	for i, b := range x.Mixes {
		at := fmt.Sprintf("mixes[%d].", i)
		for name, value := range map[string]string{"name": b.Name, "purpose": b.Purpose, "parts": b.Parts} {
			put(at+name, value)
		}
	}
	f.barns, f.piles, f.mixes = max(f.barns, len(x.Barns)), max(f.piles, len(x.Piles)), max(f.mixes, len(x.Mixes))
	return f
}

// months gives temperatures as one box takes them: "35F 36F".
func months(list []string) string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = strings.Join(strings.Fields(t), "")
	}
	return strings.Join(out, " ")
}
