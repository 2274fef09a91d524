//go:build !linux && !darwin

package sqlite

import "os"

// lockFile marks a farm as in use. Where files cannot be replaced while they
// are open, the system itself does the same.
func lockFile(path string, alone bool) (*os.File, error) {
	return os.OpenFile(path+"-lock", os.O_RDWR|os.O_CREATE, 0o644)
}

// diskFull cannot be asked here; the disk's own error is told.
func diskFull(string) bool { return false }
