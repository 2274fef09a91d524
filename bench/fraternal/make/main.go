// Command make lets a farm of another nature live and writes its journal and its
// answers to files of their own in a folder:
//
//	go run ./bench/fraternal/make --seed 7 --kind poor --out farm7
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"wormyard/bench/fraternal"
)

func main() {
	seed := flag.Uint64("seed", 1, "which farm; 100 and up are for scoring only")
	kind := flag.String("kind", "poor", "rich or poor")
	bins := flag.Int("bins", 60, "how many bins")
	days := flag.Int("days", 730, "of journal")
	counts := flag.Int("counts", 0, "worm counts of each bin in a quarter")
	out := flag.String("out", ".", "the folder")
	flag.Parse()
	if err := run(*seed, fraternal.Plan{Bins: *bins, Kind: fraternal.Kind(*kind), Days: *days, Counts: *counts}, *out); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(seed uint64, p fraternal.Plan, dir string) error {
	f, err := fraternal.New(seed, p)
	if err != nil {
		return err
	}
	f.Run()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if err := write(filepath.Join(dir, "journal.jsonl"), f.WriteJournal); err != nil {
		return err
	}
	if err := write(filepath.Join(dir, "castings.csv"), f.WriteCastings); err != nil {
		return err
	}
	return write(filepath.Join(dir, "answers.csv"), f.WriteAnswers)
}

func write(path string, put func(io.Writer) error) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := put(file); err != nil {
		file.Close()
		return err
	}
	return file.Close()
}
