// Command generate writes the scripts and icons of the pages into
// internal/web/static; `go generate ./internal/web` runs it.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"wormyard/internal/islands"
)

func main() {
	if err := write("."); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// write makes the files of a folder internal/web; scripts of before are deleted.
func write(web string) error {
	scripts, err := islands.Scripts(web)
	if err != nil {
		return err
	}
	icons, err := islands.Icons()
	if err != nil {
		return err
	}
	built := filepath.Join(web, "static", "built")
	if err := os.RemoveAll(built); err != nil {
		return err
	}
	if err := os.MkdirAll(built, 0o755); err != nil {
		return err
	}
	for name, data := range scripts {
		if err := os.WriteFile(filepath.Join(built, name), data, 0o644); err != nil {
			return err
		}
	}
	for name, data := range icons {
		if err := os.WriteFile(filepath.Join(web, "static", name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
