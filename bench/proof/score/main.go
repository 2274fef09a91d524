// Command score lets the twins live on farms whose truth is known and says how
// good they were: go run ./bench/proof/score -farm same-poor -seeds 1-3.
//
// Farms: same-rich, same-poor, same-poor-counted, other-rich, other-poor,
// other-poor-counted, same-watched-12 (a logger in so many bins, no dial), or -journal and -answers with
// files. Seeds of 100 and more are for scoring when all is settled; whoever tunes
// leaves them alone.
package main

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/bench/fraternal"
	"wormyard/bench/proof"
	"wormyard/climate"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	farms := flag.String("farm", "same-rich,same-poor", "which farms, by comma")
	seeds := flag.String("seeds", "1", "which seeds: 1,2 or 1-4")
	bins := flag.Int("bins", 60, "bins of a farm")
	days := flag.Int("days", 730, "days of its journal")
	every := flag.Int("every", 9, "days from one issue to the next")
	first := flag.Int("first", 60, "days of journal before the first issue")
	keep := flag.String("keep", "", "file of results to put these into")
	journal := flag.String("journal", "", "a journal, one entry a line")
	answers := flag.String("answers", "", "its answers, a table")
	all := flag.String("all", "", "file to write every forecast of the last farm to, as a table")
	out := flag.String("write", "", "folder to write the farms to, instead of scoring them")
	again := flag.Bool("again", false, "run the kept farms again, and end with 1 where one did worse than kept")
	alone := flag.Bool("alone", false, "bins do not learn from each other, as they do in use")
	only := flag.Int("only", 0, "score the last so many bins alone")
	air := flag.String("air", "", "give the twins the true air of their barn: ahead, of the days foretold alone; always")
	once := flag.Bool("once", false, "do not run this again with the kept ones")
	quiet := flag.Bool("quiet", false, "no progress")
	flag.Parse()
	if *again {
		return runAgain(*every, *first)
	}
	if a := proof.TrueAir(*air); a != "" && a != proof.Ahead && a != proof.Always {
		return fmt.Errorf("-air is %s, %s or nothing, not %q", proof.Ahead, proof.Always, *air)
	}
	list, err := numbers(*seeds)
	if err != nil {
		return err
	}
	var results []proof.Result
	for _, name := range strings.Split(*farms, ",") {
		var marks []*proof.Marks
		for _, seed := range list {
			f, err := farm(name, seed, *bins, *days, *journal, *answers)
			if err != nil {
				return err
			}
			if *out != "" {
				if err := write(f, *out, name); err != nil {
					return err
				}
				continue
			}
			began := time.Now()
			o := proof.Options{Every: *every, First: *first, Alone: *alone, Air: proof.TrueAir(*air)}
			o.Only = last(*only, *bins)
			if !*quiet {
				o.Progress = func(done, of int) {
					fmt.Fprintf(os.Stderr, "\r%s %d: day %d of %d, %.0f s ", name, seed, done, of, time.Since(began).Seconds())
				}
			}
			m, err := proof.Run(context.Background(), f, o)
			if err != nil {
				return fmt.Errorf("%s, seed %d: %w", name, seed, err)
			}
			m.Name = name
			marks = append(marks, m)
			if *all != "" {
				if err := writeAll(m, *all); err != nil {
					return err
				}
			}
			if !*quiet {
				fmt.Fprintln(os.Stderr)
			}
		}
		if len(marks) > 0 {
			r := proof.Sum(marks, *days, today())
			r.Every, r.Only, r.Once, r.Alone = *every, *only, *once, *alone
			if r.Only > 0 {
				r.Bins = *bins
			}
			results = append(results, r)
		}
	}
	if *out != "" {
		return nil
	}
	fmt.Print(proof.Page(results))
	if *keep == "" {
		return nil
	}
	return store(*keep, results)
}

func writeAll(m *proof.Marks, path string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(m.WriteAll(f), f.Close())
}

func today() string { return time.Now().UTC().Format(time.DateOnly) }

// Worse than kept by more than this is a failure: the share of the CRPS, and
// points of the 90 % range.
const worseCRPS, worseRange = 0.05, 0.05

// runAgain runs the kept farms again with their seeds and compares.
func runAgain(every, first int) error {
	kept, err := proof.Kept()
	if err != nil {
		return err
	}
	if len(kept) == 0 {
		return fmt.Errorf("no results are kept to run again; keep some with -keep bench/proof/results.json")
	}
	var worse []string
	for _, k := range kept {
		if k.Once {
			continue
		}
		var marks []*proof.Marks
		for _, seed := range k.Seeds {
			f, err := farm(k.Name, seed, k.Bins, k.Days, "", "")
			if err != nil {
				return err
			}
			m, err := proof.Run(context.Background(), f, proof.Options{Every: cmp.Or(k.Every, every), First: first, Only: last(k.Only, k.Bins), Alone: k.Alone})
			if err != nil {
				return err
			}
			m.Name = k.Name
			marks = append(marks, m)
		}
		r := proof.Sum(marks, k.Days, today())
		fmt.Print(proof.Page([]proof.Result{r}))
		for _, c := range r.Cells {
			i := slices.IndexFunc(k.Cells, func(o proof.Cell) bool { return o.Quantity == c.Quantity && o.Days == c.Days })
			if i < 0 {
				continue
			}
			if was := k.Cells[i]; c.Days == 7 && (c.Twin.CRPS > was.Twin.CRPS*(1+worseCRPS) || c.Twin.In90 < was.Twin.In90-worseRange) {
				worse = append(worse, fmt.Sprintf("%s, %s a week ahead: CRPS %.3g, was %.3g; in the 90 %% range %.0f %%, was %.0f %%", r.Farm, c.Quantity, c.Twin.CRPS, was.Twin.CRPS, c.Twin.In90*100, was.Twin.In90*100))
			}
		}
	}
	if len(worse) > 0 {
		return fmt.Errorf("worse than kept:\n%s", strings.Join(worse, "\n"))
	}
	return nil
}

// last names the last bins of a farm; none of them names all.
func last(only, bins int) (names []string) {
	for i := bins - only; only > 0 && i < bins; i++ {
		names = append(names, fmt.Sprintf("B%d", i+1))
	}
	return names
}

func farm(name string, seed uint64, bins, days int, journal, answers string) (*proof.Farm, error) {
	if journal != "" {
		return read(name, journal, answers)
	}
	switch name {
	case "same-rich":
		return proof.Same(seed, proof.Plan{Bins: bins, Days: days, Rich: true})
	case "same-poor":
		return proof.Same(seed, proof.Plan{Bins: bins, Days: days})
	case "same-poor-counted":
		return proof.Same(seed, proof.Plan{Bins: bins, Days: days, Counts: true})
	}
	if k, ok := strings.CutPrefix(name, "same-watched-"); ok {
		n, err := strconv.Atoi(k)
		if err != nil {
			return nil, err
		}
		if n == 0 {
			n = -1
		}
		return proof.Same(seed, proof.Plan{Bins: bins, Days: days, Loggers: n})
	}
	kind, ok := strings.CutPrefix(name, "other-")
	if !ok {
		return nil, fmt.Errorf("there is no farm %q", name)
	}
	p := fraternal.Plan{Bins: bins, Days: days}
	if kind, ok = strings.CutSuffix(kind, "-counted"); ok {
		p.Counts = 1
	}
	if p.Kind = fraternal.Kind(kind); p.Kind != fraternal.Rich && p.Kind != fraternal.Poor {
		return nil, fmt.Errorf("there is no farm %q", name)
	}
	return other(seed, p)
}

// other lets a farm of another nature live.
func other(seed uint64, p fraternal.Plan) (*proof.Farm, error) {
	made, err := fraternal.New(seed, p)
	if err != nil {
		return nil, err
	}
	made.Run()
	f := &proof.Farm{Name: "other, " + string(p.Kind), Seed: seed, Entries: made.Entries(), Answers: map[string]map[int64]proof.Truth{}}
	if p.Counts > 0 {
		f.Name += ", counted"
	}
	first, air := made.Air()
	f.Barn.Start = first
	for _, a := range air {
		f.Barn.Hours = append(f.Barn.Hours, climate.Hour{TempC: a.TempC, RH: a.RH})
	}
	for bin, hours := range made.Answers() {
		f.Answers[bin] = map[int64]proof.Truth{}
		for hour, t := range hours {
			f.Answers[bin][hour] = proof.Truth{MidC: t.MidC, Water: t.WaterOfWet, FeedKg: t.FeedKg, WormKg: t.WormKg}
		}
	}
	return f, nil
}

func read(name, journal, answers string) (*proof.Farm, error) {
	f := &proof.Farm{Name: name}
	in, err := os.Open(journal)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	if f.Entries, err = proof.ReadJournal(in); err != nil {
		return nil, fmt.Errorf("%s: %w", journal, err)
	}
	truth, err := os.Open(answers)
	if err != nil {
		return nil, err
	}
	defer truth.Close()
	if f.Answers, err = proof.ReadAnswers(truth); err != nil {
		return nil, fmt.Errorf("%s: %w", answers, err)
	}
	return f, nil
}

func write(f *proof.Farm, dir, name string) error {
	base := fmt.Sprintf("%s/%s-%d", dir, name, f.Seed)
	j, err := os.Create(base + ".jsonl")
	if err != nil {
		return err
	}
	defer j.Close()
	if err := proof.WriteJournal(j, f.Entries); err != nil {
		return err
	}
	a, err := os.Create(base + ".answers.csv")
	if err != nil {
		return err
	}
	defer a.Close()
	return proof.WriteAnswers(a, f.Answers)
}

// store puts results in place of those of the same farms.
func store(path string, results []proof.Result) error {
	var kept []proof.Result
	if data, err := os.ReadFile(path); err == nil {
		if err := json.Unmarshal(data, &kept); err != nil {
			return err
		}
	}
	for _, r := range results {
		at := len(kept)
		for i := range kept {
			if kept[i].Farm == r.Farm {
				at = i
			}
		}
		if at == len(kept) {
			kept = append(kept, r)
		}
		kept[at] = r
	}
	data, err := json.MarshalIndent(kept, "", " ")
	if err != nil {
		return err
	}
	return os.WriteFile(path, append(data, '\n'), 0o644)
}

func numbers(s string) ([]uint64, error) {
	var out []uint64
	for _, part := range strings.Split(s, ",") {
		low, high, ranged := strings.Cut(part, "-")
		a, err := strconv.ParseUint(low, 10, 32)
		if err != nil {
			return nil, err
		}
		b := a
		if ranged {
			if b, err = strconv.ParseUint(high, 10, 32); err != nil {
				return nil, err
			}
		}
		for ; a <= b; a++ {
			out = append(out, a)
		}
	}
	return out, nil
}
