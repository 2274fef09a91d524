// Package sheet reads entries of the journal from a farmer's own tables (CSV,
// XLSX) and from JSON, and writes them out again.
//
// A table has a header row; lines above it, such as a title, are skipped. One
// row is one entry. Headers may be the keys of docs/entries.md, everyday words
// with or without a unit ("Depth (in)"), or whatever a Map says. Every problem
// is told with its row and column. Nothing is guessed in silence: what can be
// read two ways is refused with both readings.
//
// A file is read as a stream, several times over, so that its size does not
// matter.
package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"wormyard/journal"
)

// Options say how a file is to be read.
type Options struct {
	Zone   *time.Location // of times without a zone; UTC when nil
	Dates  string         // "mdy" or "dmy" for dates such as 3/4/2026, "" to ask
	Kind   string         // kind of every row, when no column says
	Who    string         // who wrote the rows, when no column says
	Device string         // "import" when empty
	Tab    string         // sheet of a workbook; the first with a header row when empty
	Map    Map

	// AnyHeader takes the first row that has several cells for the header row where no
	// row has words that we know, so that a person can say what they mean.
	AnyHeader bool
}

// Map is a file that says what the headers and words of a farm's own sheet mean.
type Map struct {
	Columns map[string]string            `json:"columns"` // header -> key, "-" to leave the column out
	Units   map[string]string            `json:"units"`   // header -> unit of the numbers under it
	Kinds   map[string]string            `json:"kinds"`   // word -> kind
	Values  map[string]map[string]string `json:"values"`  // key -> word -> value
	Kind    string                       `json:"kind"`
	Dates   string                       `json:"dates"`
	Zone    string                       `json:"zone"`
}

// Problem is one thing wrong in a file.
type Problem struct {
	Row    int    `json:"row"` // as a spreadsheet counts; 0 for the file as a whole
	Column string `json:"column,omitempty"`
	journal.Problem
}

// Row is one row of a file: an entry, or what is wrong with it, or a note.
type Row struct {
	Number   int
	Entry    *journal.Entry // nil when it could not be read
	Problems []Problem
	Notes    []Problem // told, but not asked: no Level
}

// Unreadable is a file that is not what its name says, in words.
type Unreadable struct{ Say, Try string }

func (u *Unreadable) Error() string { return u.Say + " " + u.Try }

// File is a file of entries.
type File struct {
	path   string
	format string
	opt    Options
	size   int64
	hold   int64   // a larger file is not held but read again
	read   int64   // bytes of the running pass, for progress
	last   *reader // of the running pass, for the headers of problems
}

// Open looks at a file. The error is an *Unreadable when a person can mend it.
func Open(path string, opt Options) (*File, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &Unreadable{fmt.Sprintf("There is no file %s.", path), "Look at the name and the folder."}
	case errors.Is(err, fs.ErrPermission):
		return nil, &Unreadable{fmt.Sprintf("The file %s may not be read by your user.", path), "Copy it to a folder of your own."}
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, &Unreadable{fmt.Sprintf("%s is a folder.", path), "Name a file in it."}
	}
	f := &File{path: path, opt: opt, size: info.Size(), hold: holdBytes}
	switch ext := strings.ToLower(filepath.Ext(path)); ext {
	case ".csv", ".tsv", ".txt":
		f.format = "csv"
	case ".json":
		f.format = "json"
	case ".jsonl", ".ndjson":
		f.format = "lines"
	case ".xlsx", ".xlsm":
		f.format = "xlsx"
	case ".xls", ".ods", ".numbers":
		return nil, &Unreadable{fmt.Sprintf("%s is a %s file, which is not read here.", path, ext), "Save it as XLSX or CSV."}
	default:
		return nil, &Unreadable{fmt.Sprintf("The name %s does not say what the file is.", path), "Name it .csv, .xlsx or .json."}
	}
	if f.opt.Device == "" {
		f.opt.Device = "import"
	}
	if f.opt.Kind == "" {
		f.opt.Kind = opt.Map.Kind
	}
	if f.opt.Dates == "" {
		f.opt.Dates = opt.Map.Dates
	}
	if f.opt.Zone == nil {
		f.opt.Zone = time.UTC
	}
	return f, nil
}

// Rows reads the file from its beginning. A row number and its problems come
// with every row; the error ends the reading.
func (f *File) Rows() iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		f.read = 0
		var err error
		switch f.format {
		case "json", "lines":
			err = f.objects(yield)
		default:
			err = f.table(yield)
		}
		if err != nil && !errors.Is(err, errStop) {
			yield(Row{}, err)
		}
	}
}

// errStop says that the one who reads has enough.
var errStop = errors.New("stop")

// ReadMap reads a mapping file strictly.
func ReadMap(path string) (Map, []journal.Problem, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Map{}, nil, &Unreadable{fmt.Sprintf("There is no mapping file %s.", path), "Look at the name and the folder."}
	}
	if err != nil {
		return Map{}, nil, err
	}
	var m Map
	dec := json.NewDecoder(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff")))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&m); err != nil {
		return m, nil, &Unreadable{fmt.Sprintf("The mapping file %s cannot be read: %v.", path, err),
			`Write it as {"columns":{"Your header":"depth_m"},"units":{"Your header":"in"},"kinds":{"your word":"feed"}}.`}
	}
	var ps []journal.Problem
	refuse := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Refused})
	}
	for word, kind := range m.Kinds {
		if _, ok := journal.KindNamed(kind); !ok {
			refuse("kinds."+word, fmt.Sprintf("%q is not a kind of entry.", kind), "Use one of "+strings.Join(journal.KindNames(), ", ")+".")
		}
	}
	if m.Kind != "" {
		if _, ok := journal.KindNamed(m.Kind); !ok {
			refuse("kind", fmt.Sprintf("%q is not a kind of entry.", m.Kind), "Use one of "+strings.Join(journal.KindNames(), ", ")+".")
		}
	}
	if m.Dates != "" && m.Dates != "mdy" && m.Dates != "dmy" {
		refuse("dates", fmt.Sprintf("dates is %q.", m.Dates), `Write "mdy" or "dmy".`)
	}
	return m, ps, nil
}
