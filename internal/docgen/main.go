// Command docgen writes the generated pages: docs/model.md from its sections,
// docs/parameters.md from the parameter files, docs/validation.md by computing
// every published check again, and docs/contracts/*.schema.json from the
// structs that the commands read and print.
//
// With -check it writes nothing and ends with 1 when a page is stale.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// pages are files by path relative to docs.
type pages map[string][]byte

func main() {
	check := flag.Bool("check", false, "compare only, and end with 1 when something is stale")
	docs := flag.String("docs", "docs", "folder of the pages")
	flag.Parse()
	if err := generate(*docs, *check); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func generate(docs string, check bool) error {
	out := pages{}
	var amiss error // a page that cannot be made does not keep the others from it
	for _, write := range []func(docs string, out pages) error{model, parameters, entries, validation, contracts, calibration} {
		amiss = errors.Join(amiss, write(docs, out))
	}
	left, err := leftOver(docs, out)
	if err != nil {
		return err
	}
	names := make([]string, 0, len(out))
	for name := range out {
		names = append(names, name)
	}
	sort.Strings(names)
	var stale []string
	for _, name := range names {
		path := filepath.Join(docs, filepath.FromSlash(name))
		old, err := os.ReadFile(path)
		if err == nil && bytes.Equal(old, out[name]) {
			continue
		}
		stale = append(stale, name)
		if check {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, out[name], 0o644); err != nil {
			return err
		}
		fmt.Println("wrote", path)
	}
	for _, name := range left {
		stale = append(stale, name+" (no longer made)")
		if !check {
			if err := os.Remove(filepath.Join(docs, filepath.FromSlash(name))); err != nil {
				return err
			}
			fmt.Println("removed", name)
		}
	}
	if check && len(stale) > 0 {
		amiss = errors.Join(amiss, fmt.Errorf("stale: %s\n  try: go run ./internal/docgen", strings.Join(stale, ", ")))
	}
	return amiss
}

// leftOver finds schemas and pictures of an earlier run that are made no longer.
func leftOver(docs string, out pages) ([]string, error) {
	var left []string
	for _, pattern := range []string{"contracts/*.schema.json", "contracts/*/*.schema.json", "calibration/*.svg", "proof/*.svg"} {
		found, err := filepath.Glob(filepath.Join(docs, filepath.FromSlash(pattern)))
		if err != nil {
			return nil, err
		}
		for _, f := range found {
			name, err := filepath.Rel(docs, f)
			if err != nil {
				return nil, err
			}
			name = filepath.ToSlash(name)
			if _, ok := out[name]; !ok {
				left = append(left, name)
			}
		}
	}
	return left, nil
}
