package sqlite

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	driver "modernc.org/sqlite"
	codes "modernc.org/sqlite/lib"
)

// Trouble is something that a person can mend: a full disk, a folder that may
// not be written, a file that is no farm. It says what is wrong, where, and what
// to do. Driver errors are recognised by their code.
type Trouble struct {
	Path string
	Say  string
	Try  string
	err  error

	unwritable bool // the place cannot be written
}

func (t *Trouble) Error() string { return t.Say + " " + t.Try }

// Unwrap gives the error underneath.
func (t *Trouble) Unwrap() error { return t.err }

func (t *Trouble) full() {
	t.Say = fmt.Sprintf("The disk that holds %s is full. What was to be written last is not kept; everything before is.", t.Path)
	t.Try = "Make room on the disk, then do it again."
	t.unwritable = true
}

// wrap turns an error of the driver or of the file system into words.
func wrap(path string, err error) error {
	var done *Trouble
	if err == nil || errors.As(err, &done) {
		return err
	}
	t := &Trouble{Path: path, err: err}
	var e *driver.Error
	switch {
	case errors.As(err, &e):
		switch e.Code() & 0xff {
		case codes.SQLITE_FULL:
			t.full()
		case codes.SQLITE_READONLY:
			t.unwritable = true
			t.Say = fmt.Sprintf("The file %s, or the folder it lies in, may be read but not written.", path)
			t.Try = "Let your user write there, or put the farm in a folder of your own."
		case codes.SQLITE_CANTOPEN:
			t.unwritable = true
			t.Say = fmt.Sprintf("The farm %s cannot be opened or made.", path)
			t.Try = "See that the folder is there and that your user may write in it."
		case codes.SQLITE_IOERR:
			if diskFull(path) { // no room for the shared-memory file comes as an input/output error
				t.full()
				break
			}
			t.Say = fmt.Sprintf("The disk that holds %s does not answer as it should.", path)
			t.Try = "See that the disk or card is plugged in and has room. If this comes again, make a backup to another disk."
		case codes.SQLITE_NOTADB:
			t.Say = fmt.Sprintf("%s is not a farm: it was not written by this program.", path)
			t.Try = "Look at the name of the file."
		case codes.SQLITE_CORRUPT:
			return damaged(path, err)
		case codes.SQLITE_BUSY, codes.SQLITE_LOCKED:
			t.Say = fmt.Sprintf("Someone else is writing to %s and did not finish in time. Nothing was changed.", path)
			t.Try = "Wait until the import or restore is done, then do it again."
		default:
			return err
		}
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		t.full()
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		t.unwritable = true
		t.Say = fmt.Sprintf("The file %s, or the folder it lies in, may not be used by your user.", path)
		t.Try = "Let your user read and write there, or put the farm in a folder of your own."
	case errors.Is(err, fs.ErrNotExist):
		t.Say = fmt.Sprintf("There is no %s.", path)
		t.Try = "Look at the name and the folder."
	default:
		return err
	}
	return t
}

func damaged(path string, err error) *Trouble {
	return &Trouble{Path: path, Say: fmt.Sprintf("The file %s is damaged.", path), err: err,
		Try: "Keep it, restore the last backup under another name, and send us the damaged file."}
}
