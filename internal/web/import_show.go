package web

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
)

// Importer takes a farmer's own file. Nothing is kept on a dry run.
type Importer func(ctx context.Context, name string, data []byte, how ImportHow) (ImportReport, error)

// ImportHow says how far to go.
type ImportHow int

// The ways to take a file.
const (
	DryRun   ImportHow = iota // only look
	AllRows                   // all rows or none
	GoodRows                  // the rows with nothing wrong
)

// ImportReport says what is in a file and what is wrong with it.
type ImportReport struct {
	Rows     int
	New      int // entries that would be, or were, kept
	Known    int // rows that are in the journal already
	Saved    bool
	ByKind   map[string]int
	Problems []ImportProblem
	Notes    []string
}

// ImportProblem is one problem with its place.
type ImportProblem struct {
	Row    int
	Column string
	app.Problem
}

// ImportPage takes a file and shows what is in it.
type ImportPage struct {
	Frame
	Fault, Limit string
	Dry          *DryShown
	Kinds        []ImportKind
}

// DryShown is what a file holds.
type DryShown struct {
	Title    string
	Facts    []Fact
	Problems []ImportRow
	Cut      string
	Token    string
	Buttons  []Answer
}

// ImportRow is one problem ready to print.
type ImportRow struct {
	Row, Column, Say, Try string
	Doubt                 bool
}

// ImportKind says which columns a kind takes.
type ImportKind struct {
	Name, Help string
	Fields     []Fact
}

// tries keeps files between the dry run and the yes, for a while and within a
// bound.
type tries struct {
	mutex sync.Mutex
	files map[string]try
}

type try struct {
	name string
	data []byte
	at   time.Time
}

const (
	tryKept   = 20 * time.Minute
	mostTried = 4
)

func (t *tries) put(name string, data []byte) string {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.files == nil {
		t.files = map[string]try{}
	}
	for k, f := range t.files {
		if time.Since(f.at) > tryKept {
			delete(t.files, k)
		}
	}
	for len(t.files) >= mostTried {
		oldest := ""
		for k, f := range t.files {
			if oldest == "" || f.at.Before(t.files[oldest].at) {
				oldest = k
			}
		}
		delete(t.files, oldest)
	}
	var b [12]byte
	_, _ = rand.Read(b[:])
	token := hex.EncodeToString(b[:])
	t.files[token] = try{name, data, time.Now()}
	return token
}

func (t *tries) get(token string) (try, bool) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	f, ok := t.files[token]
	return f, ok && time.Since(f.at) <= tryKept
}

func (t *tries) drop(token string) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	delete(t.files, token)
}

func (s *Server) importPage(r *http.Request, p person) ImportPage {
	page := ImportPage{Frame: s.frame(r, p, p.Say("import.title"), "more"), Limit: p.Say("import.limit", mostFile>>20)}
	page.One = true
	for _, k := range journal.Kinds() {
		x := ImportKind{Name: k.Words, Help: p.Say("import.kind", k.Name, k.Help)}
		for _, f := range k.Fields {
			names := append([]string{f.Key}, f.Also...)
			value := strings.Join(names, p.Say("list.comma"))
			if f.Required {
				value = p.Say("import.needed", value)
			}
			x.Fields = append(x.Fields, Fact{Name: f.Label, Value: value})
		}
		page.Kinds = append(page.Kinds, x)
	}
	return page
}

func (s *Server) importShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.draw(w, "import", http.StatusOK, s.importPage(r, p))
}

// importTry looks through a file and keeps nothing.
func (s *Server) importTry(w http.ResponseWriter, r *http.Request, p person) error {
	page := s.importPage(r, p)
	name, data, err := s.upload(r, p)
	if err != nil {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			s.sweep(w, r)
			return tooLarge{p.Say("fault.large", mostFile>>20), p.Say("fault.largetry")}
		}
		page.Fault = err.Error()
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	report, err := s.take(r.Context(), name, data, DryRun)
	if err != nil {
		return err
	}
	page.Dry = s.dryShown(p, name, report)
	refused := 0
	for _, x := range report.Problems {
		if !x.Doubt {
			refused++
		}
	}
	if report.New > 0 {
		page.Dry.Token = s.tries.put(name, data)
		if refused == 0 {
			label := p.Count("import.save", report.New)
			if len(report.Problems) > 0 {
				label = p.Count("import.saveyes", report.New)
			}
			page.Dry.Buttons = []Answer{{Value: "all", Label: label, Main: true}}
		} else {
			page.Dry.Buttons = []Answer{{Value: "good", Label: p.Count("import.savegood", report.New)}}
		}
	}
	status := http.StatusOK
	if refused > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "import", status, page)
}

// upload reads the file of a form.
func (s *Server) upload(r *http.Request, p person) (string, []byte, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return "", nil, errors.New(p.Say("import.nofile"))
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return "", nil, errors.New(p.Say("import.nofile"))
		}
		if err != nil {
			var large *http.MaxBytesError
			if errors.As(err, &large) {
				return "", nil, err
			}
			return "", nil, errors.New(p.Say("import.broken"))
		}
		if part.FormName() != "file" || part.FileName() == "" {
			continue
		}
		return s.readPart(part, p)
	}
}

func (s *Server) readPart(part *multipart.Part, p person) (string, []byte, error) {
	data, err := io.ReadAll(part)
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return "", nil, err
	case err != nil:
		return "", nil, errors.New(p.Say("import.broken"))
	case len(data) == 0:
		return "", nil, errors.New(p.Say("import.empty", part.FileName()))
	}
	return filepath.Base(part.FileName()), data, nil
}

func (s *Server) take(ctx context.Context, name string, data []byte, how ImportHow) (ImportReport, error) {
	if s.Import == nil {
		return ImportReport{}, errors.New("no importer is set")
	}
	return s.Import(ctx, name, data, how)
}

func (s *Server) dryShown(p person, name string, report ImportReport) *DryShown {
	d := &DryShown{Title: p.Say("import.found", name)}
	d.Facts = []Fact{{Name: p.Say("import.rows"), Value: strconv.Itoa(report.Rows)}, {Name: p.Say("import.new"), Value: strconv.Itoa(report.New)}}
	if report.Known > 0 {
		d.Facts = append(d.Facts, Fact{Name: p.Say("import.known"), Value: strconv.Itoa(report.Known)})
	}
	for _, k := range journal.Kinds() {
		if n := report.ByKind[k.Name]; n > 0 {
			d.Facts = append(d.Facts, Fact{Name: k.Words, Value: strconv.Itoa(n)})
		}
	}
	for _, n := range report.Notes {
		d.Facts = append(d.Facts, Fact{Name: p.Say("import.note"), Value: n})
	}
	d.Facts = append(d.Facts, Fact{Name: p.Say("import.problems"), Value: strconv.Itoa(len(report.Problems))})
	const most = 300
	for i, x := range report.Problems {
		if i == most {
			d.Cut = p.Say("import.cut", len(report.Problems)-most)
			break
		}
		row := ImportRow{Column: x.Column, Say: sentence(x.Say), Try: x.Try, Doubt: x.Doubt}
		if x.Row > 0 {
			row.Row = strconv.Itoa(x.Row)
		}
		d.Problems = append(d.Problems, row)
	}
	return d
}

// importSave keeps the rows of a file that was looked through.
func (s *Server) importSave(w http.ResponseWriter, r *http.Request, p person) error {
	token := r.PostForm.Get("token")
	f, ok := s.tries.get(token)
	page := s.importPage(r, p)
	if !ok {
		page.Fault = p.Say("import.gone")
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	how := AllRows
	if r.PostForm.Get("do") == "good" {
		how = GoodRows
	}
	report, err := s.take(context.WithoutCancel(r.Context()), f.name, f.data, how)
	if err != nil {
		return err
	}
	if !report.Saved {
		page.Dry = s.dryShown(p, f.name, report)
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	s.tries.drop(token)
	seeOther(w, r, "/journal?imported="+strconv.Itoa(report.New))
	return nil
}
