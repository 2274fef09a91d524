//go:build linux || darwin

package sqlite

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
)

// diskFull says whether the disk that holds a file has no room left.
func diskFull(path string) bool {
	var s syscall.Statfs_t
	return syscall.Statfs(filepath.Dir(path), &s) == nil && s.Bavail < 16
}

// lockFile marks a farm as in use: shared by everybody who has it open, alone
// for a restore that replaces the file. SQLite's own locks do not tell that a
// process has the farm open and idle. The mark ends with the process.
func lockFile(path string, alone bool) (*os.File, error) {
	f, err := os.OpenFile(path+"-lock", os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	how := syscall.LOCK_SH
	if alone {
		how = syscall.LOCK_EX
	}
	err = syscall.Flock(int(f.Fd()), how|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		f.Close()
		if alone {
			return nil, &Trouble{Path: path, Say: "The farm " + path + " is open in another wormyard.", Try: "Close the server and other commands first.", err: err}
		}
		return nil, &Trouble{Path: path, Say: "The farm " + path + " is being restored.", Try: "Wait until that is done.", err: err}
	}
	if err != nil && !errors.Is(err, syscall.ENOTSUP) && !errors.Is(err, syscall.ENOLCK) {
		f.Close()
		return nil, err
	}
	return f, nil
}
