package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
)

var policies = []string{"round", twoInches, halfWorms, whenGone}

func main() {
	seeds := flag.String("seeds", "1-3", "which farms: 1,2 or 1-4")
	bins := flag.Int("bins", 21, "bins of a farm")
	days := flag.Int("days", 182, "days under each way of working")
	only := flag.String("only", "", "one way of working")
	tell := flag.Bool("diary", false, "tell what each round asked for and believed")
	flag.Parse()
	var diary io.Writer
	if *tell {
		diary = os.Stderr
	}
	if err := run(context.Background(), *seeds, *bins, *days, *only, diary); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, seeds string, bins, days int, only string, diary io.Writer) error {
	list, err := numbers(seeds)
	if err != nil {
		return err
	}
	all := map[string][]Came{}
	for _, seed := range list {
		for _, p := range policies {
			if only != "" && p != only {
				continue
			}
			c, err := live(ctx, seed, bins, days, p, diary)
			if err != nil {
				return fmt.Errorf("%s, seed %d: %w", p, seed, err)
			}
			fmt.Fprintf(os.Stderr, "%+v\n", c)
			all[p] = append(all[p], c)
		}
	}
	fmt.Print(page(all, bins, days))
	return nil
}

// page is a table of the ways of working, each with its mean and its least and
// most over the farms, and who is worth most at which prices.
func page(all map[string][]Came, bins, days int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "| way of working (%d bins, %d days) | worth, kg of castings a bin | castings, kg dry a bin | work, minutes a bin and week | worms at the end, of those at the start | fed, kg dry a bin | feed wasted, kg dry a bin | heat, bin-days | worms dead of heat, of those at the start |\n|---|---|---|---|---|---|---|---|---|\n", bins, days)
	n := float64(bins)
	for _, p := range policies {
		cs := all[p]
		if len(cs) == 0 {
			continue
		}
		fmt.Fprintf(&b, "| %s |", p)
		for _, of := range []func(Came) float64{
			func(c Came) float64 { return c.worth(prices[0]) / n },
			func(c Came) float64 { return c.CastingsKg / n },
			func(c Came) float64 { return c.Minutes / n / float64(days) * 7 },
			func(c Came) float64 { return c.Worms },
			func(c Came) float64 { return c.FedKg / n },
			func(c Came) float64 { return c.WastedKg / n },
			func(c Came) float64 { return float64(c.HeatDays) },
			func(c Came) float64 { return c.HeatDead },
		} {
			var v []float64
			var sum float64
			for _, c := range cs {
				v = append(v, of(c))
				sum += of(c)
			}
			fmt.Fprintf(&b, " %.3g (%.3g to %.3g) |", sum/float64(len(v)), slices.Min(v), slices.Max(v))
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "\n| what a minute costs, kg of castings | what a kg of feed costs |")
	var lived []string
	for _, p := range policies {
		if len(all[p]) > 0 {
			lived = append(lived, p)
			fmt.Fprintf(&b, " %s |", p)
		}
	}
	b.WriteString("\n|---|---|" + strings.Repeat("---|", len(lived)) + "\n")
	for _, at := range prices {
		fmt.Fprintf(&b, "| %g | %g |", at.minute, at.feed)
		for _, p := range lived {
			var sum float64
			for _, c := range all[p] {
				sum += c.worth(at) / n / float64(len(all[p]))
			}
			fmt.Fprintf(&b, " %.0f |", sum)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func numbers(s string) ([]uint64, error) {
	var out []uint64
	for part := range strings.SplitSeq(s, ",") {
		low, high, ranged := strings.Cut(part, "-")
		a, err := strconv.ParseUint(low, 10, 32)
		if err != nil {
			return nil, err
		}
		z := a
		if ranged {
			if z, err = strconv.ParseUint(high, 10, 32); err != nil {
				return nil, err
			}
		}
		for ; a <= z; a++ {
			out = append(out, a)
		}
	}
	return out, nil
}
