package web

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/sheet"
	"wormyard/journal"
)

// Importer takes a farmer's own file.
type Importer interface {
	Import(ctx context.Context, path string, how app.ImportHow) (sheet.Report, error)
	ImportOrders(ctx context.Context, path string, how app.OrderHow) (app.OrderSheet, error)
	DemandFile(path string, ask app.DemandAsk) (app.DemandFile, error)
	LabSheet(path string, ask app.LabAsk) (app.LabSheet, error)
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
	Notes    []string
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

// tries keeps files between the dry run and the yes, for a while and a few only.
type tries struct {
	mutex sync.Mutex
	files map[string]try
}

type try struct {
	name, path string
	at         time.Time
}

const (
	tryKept   = 20 * time.Minute
	mostTried = 4
)

func (t *tries) put(name, path string) string {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.files == nil {
		t.files = map[string]try{}
	}
	for k, f := range t.files {
		if time.Since(f.at) > tryKept {
			t.forget(k)
		}
	}
	for len(t.files) >= mostTried {
		oldest := ""
		for k, f := range t.files {
			if oldest == "" || f.at.Before(t.files[oldest].at) {
				oldest = k
			}
		}
		t.forget(oldest)
	}
	var b [12]byte
	_, _ = rand.Read(b[:])
	token := hex.EncodeToString(b[:])
	t.files[token] = try{name, path, time.Now()}
	return token
}

// forget deletes a file; the lock is held.
func (t *tries) forget(token string) {
	_ = os.RemoveAll(filepath.Dir(t.files[token].path))
	delete(t.files, token)
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
	if _, ok := t.files[token]; ok {
		t.forget(token)
	}
}

// close deletes what is left.
func (t *tries) close() {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	for k := range t.files {
		t.forget(k)
	}
}

// begun remembers the first mornings that were saved, so that a button pressed
// twice is no fault.
type begun struct {
	mutex sync.Mutex
	ids   map[string]bool
}

func (b *begun) put(id string) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.ids == nil {
		b.ids = map[string]bool{}
	}
	b.ids[id] = true
}

func (b *begun) has(id string) bool {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return b.ids[id]
}

func (s *Server) importPage(r *http.Request, p person) ImportPage {
	page := ImportPage{Frame: s.frame(r, p, p.Say("import.title"), "more"), Limit: p.Say("import.limit", mostFile>>20)}
	page.One = true
	for _, k := range p.kinds() {
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
	name, path, fault, err := s.received(w, r, p)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	if tellsFirst(path) {
		_ = os.RemoveAll(filepath.Dir(path))
		page.Fault, page.Ways = p.Say("import.first", name), p.begin()
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	token := s.tries.put(name, path)
	return s.importWith(w, r, p, page, token, app.ImportHow{DryRun: true})
}

// received takes the file that came with a form, or tells in words what is wrong
// with it.
func (s *Server) received(w http.ResponseWriter, r *http.Request, p person) (name, path, fault string, err error) {
	name, path, err = s.upload(r, p)
	var large *http.MaxBytesError
	var told badFile
	switch {
	case errors.As(err, &large):
		s.sweep(w, r)
		return "", "", "", tooLarge{p.Say("fault.large", mostFile>>20), p.Say("fault.largetry")}
	case errors.As(err, &told):
		return "", "", told.say, nil
	}
	return name, path, "", err
}

// tellsFirst says whether a file is a first morning and no list of entries.
func tellsFirst(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 64)
	n, _ := io.ReadFull(f, head)
	line := strings.ToLower(strings.TrimPrefix(string(head[:n]), "\ufeff"))
	return strings.HasPrefix(strings.NewReplacer(" ", "", ";", ",", `"`, "").Replace(line), "what,of,value")
}

// badFile is a file that did not come as it should, in words.
type badFile struct{ say string }

func (b badFile) Error() string { return b.say }

// upload keeps the file of a form on disk for a while.
func (s *Server) upload(r *http.Request, p person) (name, path string, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return "", "", badFile{p.Say("import.nofile")}
	}
	for {
		part, err := parts.NextPart()
		var large *http.MaxBytesError
		switch {
		case errors.Is(err, io.EOF):
			return "", "", badFile{p.Say("import.nofile")}
		case errors.As(err, &large):
			return "", "", err
		case err != nil:
			return "", "", badFile{p.Say("import.broken")}
		}
		if part.FormName() == "file" && part.FileName() != "" {
			return s.keepPart(part, p)
		}
	}
}

func (s *Server) keepPart(part *multipart.Part, p person) (name, path string, err error) {
	name = filepath.Base(strings.ReplaceAll(part.FileName(), "\\", "/"))
	ext := strings.ToLower(filepath.Ext(name))
	if !slices.Contains([]string{".csv", ".xlsx", ".json", ".txt", ".tsv", ".ics"}, ext) {
		return "", "", badFile{p.Say("import.format", name)}
	}
	dir, err := os.MkdirTemp("", "wormyard-import-")
	if err != nil {
		return "", "", err
	}
	path = filepath.Join(dir, "file"+ext)
	f, err := os.Create(path)
	if err != nil {
		return "", "", errors.Join(err, os.RemoveAll(dir))
	}
	n, err := io.Copy(f, part)
	err = errors.Join(err, f.Close())
	if err == nil && n == 0 {
		err = badFile{p.Say("import.empty", name)}
	}
	if err != nil {
		_ = os.RemoveAll(dir)
		return "", "", err
	}
	return name, path, nil
}

// unreadable tells why nothing of a file can be read, and calls it as the person does.
func (p person) unreadable(name, path string, u *sheet.Unreadable) string {
	say, try := p.Told(strings.ReplaceAll(u.Say, path, name)), p.Told(u.Try)
	if strings.Contains(say, name) {
		return say + " " + try
	}
	return p.Say("import.unreadable", name, say, try)
}

// atHand gives a file that was sent before and is looked at again; a fault where it is
// no longer kept.
func (s *Server) atHand(p person, token string) (f try, fault string, err error) {
	f, ok := s.tries.get(token)
	switch {
	case !ok:
		return f, p.Say("import.gone"), nil
	case s.Import == nil:
		return f, "", errors.New("no importer is set")
	}
	return f, "", nil
}

// unread lets a file go of which nothing can be read, and tells why; nothing where the
// error is another one, or none.
func (s *Server) unread(p person, token string, f try, err error) string {
	var u *sheet.Unreadable
	if !errors.As(err, &u) {
		return ""
	}
	s.tries.drop(token)
	return p.unreadable(f.name, f.path, u)
}

// importWith takes a file, or only looks, and draws what came of it.
func (s *Server) importWith(w http.ResponseWriter, r *http.Request, p person, page ImportPage, token string, how app.ImportHow) error {
	f, fault, err := s.atHand(p, token)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	how.Sheet.Who = p.Who
	report, err := s.Import.Import(context.WithoutCancel(r.Context()), f.path, how)
	if fault := s.unread(p, token, f, err); fault != "" {
		page.Fault = fault
		return s.draw(w, "import", http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	if !how.DryRun && (report.Written > 0 || report.Refused+report.Doubtful == 0) {
		s.tries.drop(token)
		seeOther(w, r, "/journal?imported="+strconv.Itoa(report.Written))
		return nil
	}
	page.Dry = s.dryShown(p, f.name, token, report)
	status := http.StatusOK
	if report.Refused > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "import", status, page)
}

func (s *Server) dryShown(p person, name, token string, report sheet.Report) *DryShown {
	d := &DryShown{Title: p.Say("import.found", name)}
	add := func(key string, n int) {
		if n > 0 {
			d.Facts = append(d.Facts, Fact{Name: p.Say(key), Value: strconv.Itoa(n)})
		}
	}
	add("import.rows", report.Rows)
	for _, k := range p.kinds() {
		if n := report.Kinds[k.Name]; n > 0 {
			d.Facts = append(d.Facts, Fact{Name: k.Words, Value: strconv.Itoa(n)})
		}
	}
	add("import.known", report.Already)
	add("import.good", report.Good)
	add("import.doubtful", report.Doubtful)
	add("import.refused", report.Refused)
	row := func(x sheet.Problem) ImportRow {
		out := ImportRow{Column: x.Column, Say: p.Told(sentence(x.Say)), Try: p.Told(x.Try), Doubt: x.Level == journal.Doubtful}
		if x.Row > 0 {
			out.Row = strconv.Itoa(x.Row)
		}
		return out
	}
	const most = 300
	for i, x := range report.Problems {
		if i == most {
			break
		}
		d.Problems = append(d.Problems, row(x))
	}
	if rest := len(report.Problems) + report.More - len(d.Problems); rest > 0 {
		d.Cut = p.Say("import.cut", rest)
	}
	for _, x := range report.Notes {
		if len(d.Notes) < 20 {
			d.Notes = append(d.Notes, strings.TrimSpace(p.Told(sentence(x.Say))+" "+p.Told(x.Try)))
		}
	}
	d.Token = token
	switch {
	case report.Refused == 0 && report.Doubtful == 0 && report.Rows > report.Already:
		d.Buttons = []Answer{{Value: "all", Label: p.Count("import.save", report.Good), Main: true}}
	case report.Refused == 0 && report.Doubtful > 0:
		d.Buttons = []Answer{{Value: "yes", Label: p.Count("import.saveyes", report.Rows), Main: true}}
		if report.Good > 0 {
			d.Buttons = append(d.Buttons, Answer{Value: "good", Label: p.Count("import.savegood", report.Good)})
		}
	case report.Good > 0:
		d.Buttons = []Answer{{Value: "good", Label: p.Count("import.savegood", report.Good)}}
	default:
		d.Token = ""
	}
	return d
}

// importSave keeps the rows of a file that was looked through.
func (s *Server) importSave(w http.ResponseWriter, r *http.Request, p person) error {
	do := r.PostForm.Get("do")
	return s.importWith(w, r, p, s.importPage(r, p), r.PostForm.Get("token"), app.ImportHow{Yes: do == "yes", KeepGood: do == "good"})
}
