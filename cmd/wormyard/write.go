package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"wormyard/figure"
)

// writeNew writes a file that was asked for by a flag, over one that is there
// only when that was said. The error is a *figure.Refusal.
func writeNew(flag, name string, replace bool, data []byte) error {
	how := os.O_CREATE | os.O_WRONLY | os.O_EXCL
	if replace {
		how = os.O_CREATE | os.O_WRONLY | os.O_TRUNC
	}
	f, err := os.OpenFile(name, how, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return figure.Refuse(flag, fmt.Sprintf("A file %s is there already.", name), "Give another name with --"+flag+", or write over it with --replace.")
	}
	if err != nil {
		return figure.Refuse(flag, fmt.Sprintf("The file %s cannot be written: %v.", name, err), "Give another place with --"+flag+".")
	}
	if _, err := f.Write(data); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}
