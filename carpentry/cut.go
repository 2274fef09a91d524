package carpentry

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"wormyard/figure"
	"wormyard/program"
)

// A Piece is what is to be cut: how many of a length [in] from a stick.
type Piece struct {
	Name   string  `json:"name"`
	Stick  string  `json:"stick"` // as sold, "2x6"
	Length float64 `json:"length_in"`
	Count  int     `json:"count"`
}

// Stock is a length of a stick that can be bought [in], at a price each.
type Stock struct {
	Stick  string  `json:"stick"`
	Length float64 `json:"length_in"`
	Price  float64 `json:"price"`
}

// A Cut is one way a stock length is sawn, and how often.
type Cut struct {
	Stick  string    `json:"stick"`
	Stock  float64   `json:"stock_in"`
	Times  int       `json:"times"`
	Pieces []float64 `json:"pieces_in"` // lengths, the longest first
	Waste  float64   `json:"waste_in"`  // of each, saw cuts not counted
}

// Cutting is a cut list.
type Cutting struct {
	Cuts   []Cut
	Bought float64 // [in] of all sticks
	Waste  float64 // [in] that is neither piece nor saw cut
	Price  float64
	Proved bool // no list costs less (waste less, where nothing has a price)
}

// mostPatterns is how many ways of cutting one stick are tried. A bin has some
// hundred; past it the list may not be the best and says so.
const mostPatterns = 20000

// CutList finds how to saw the pieces from stock at least cost, or with least
// length bought where nothing has a price. Each cut takes kerf [in]. The whole
// number of times that each way of sawing is used is a programme for solve. The
// error is a *figure.Refusal, or that of the solver. model.md (K8).
func CutList(ctx context.Context, solve program.Solver, pieces []Piece, stock []Stock, kerf float64) (Cutting, error) {
	if err := cuttable(pieces, stock, kerf); err != nil {
		return Cutting{}, err
	}
	out := Cutting{Proved: true}
	for _, stick := range sticksOf(pieces) {
		lengths, wanted := wantedOf(pieces, stick)
		ways, all := waysOf(lengths, wanted, stock, stick, kerf)
		p := program.Problem{Gap: 1e-9}
		for _, w := range ways {
			p.Add(program.Column{Cost: w.cost, High: math.Inf(1), Whole: true})
		}
		for i := range lengths {
			row := program.Row{Low: float64(wanted[i]), High: math.Inf(1)}
			for k, w := range ways {
				if w.of[i] > 0 {
					row.Terms = append(row.Terms, program.Term{Column: k, Coefficient: float64(w.of[i])})
				}
			}
			p.Hold(row)
		}
		got, err := solve(ctx, p)
		if err != nil {
			return Cutting{}, err
		}
		if got.Values == nil {
			return Cutting{}, fmt.Errorf("cut list of %s: %s", stick, got.Status)
		}
		out.Proved = out.Proved && all && got.Status == program.Optimal
		out.take(stick, lengths, wanted, ways, got.Values, kerf)
	}
	return out, nil
}

// cuttable refuses what cannot be sawn, all of it at once.
func cuttable(pieces []Piece, stock []Stock, kerf float64) error {
	var bad figure.Problems
	if !(kerf >= 0 && kerf < 1) {
		bad.Add("kerf_in", fmt.Sprintf("The saw cut is %g in.", kerf), "An eighth of an inch is usual.")
	}
	for i, s := range stock {
		if !(s.Length > 0) || math.IsInf(s.Length, 0) || !(s.Price >= 0) || math.IsInf(s.Price, 0) {
			bad.Add(fmt.Sprintf("stock[%d]", i), fmt.Sprintf("A stock length of %g in at %g cannot be.", s.Length, s.Price), "Give a length over 0 and a price, or 0.")
		}
	}
	for i, p := range pieces {
		at := fmt.Sprintf("pieces[%d]", i)
		if !(p.Length > 0) || p.Count < 0 || p.Count > 10000 {
			bad.Add(at, fmt.Sprintf("%d of %g in cannot be cut.", p.Count, p.Length), "Give a length over 0 and how many, to 10,000.")
			continue
		}
		longest, free, priced := 0.0, 0.0, false
		for _, s := range stock {
			if s.Stick == p.Stick {
				longest = math.Max(longest, s.Length)
				if priced = priced || s.Price > 0; s.Price == 0 {
					free = s.Length
				}
			}
		}
		first := !slices.ContainsFunc(pieces[:i], func(q Piece) bool { return q.Stick == p.Stick })
		if priced && free > 0 && first { // else all would be cut from what costs nothing
			bad.Add(at, fmt.Sprintf("A %s of %s in has no price, and other lengths of it have one.", p.Stick, Inches(free)), "Give each length of it a price, or none.")
		}
		if longest < p.Length {
			say := fmt.Sprintf("%s is %s in long, and the longest %s on the list is %s in.", p.Name, Inches(math.Ceil(p.Length*16)/16), p.Stick, Inches(longest))
			if longest == 0 {
				say = fmt.Sprintf("No %s is on the list of what can be bought, and %s is cut from it.", p.Stick, p.Name)
			}
			bad.Add(at, say, "Add a longer length to the stock, or make the bin smaller.")
		}
	}
	return bad.Refuse()
}

func sticksOf(pieces []Piece) (out []string) {
	for _, p := range pieces {
		if p.Count > 0 {
			out = withNew(out, p.Stick)
		}
	}
	return out
}

// wantedOf gives the lengths of a stick, the longest first, and how many of each.
func wantedOf(pieces []Piece, stick string) (lengths []float64, count []int) {
	sum := map[float64]int{}
	for _, p := range pieces {
		if p.Stick == stick && p.Count > 0 {
			sum[p.Length] += p.Count
		}
	}
	for l := range sum {
		lengths = append(lengths, l)
	}
	slices.SortFunc(lengths, func(a, b float64) int { return cmp.Compare(b, a) })
	for _, l := range lengths {
		count = append(count, sum[l])
	}
	return lengths, count
}

// way is one way of sawing a stock length.
type way struct {
	of    []int // of each length
	stock float64
	price float64
	cost  float64 // what the list is made least in
}

// waysOf gives every way of sawing to which no piece can be added, and whether
// these are all.
func waysOf(lengths []float64, wanted []int, stock []Stock, stick string, kerf float64) (out []way, all bool) {
	priced := false
	for _, s := range stock {
		priced = priced || s.Stick == stick && s.Price > 0
	}
	all = true
	for _, s := range stock {
		if s.Stick != stick {
			continue
		}
		cost := s.Price
		if !priced {
			cost = s.Length
		}
		of := make([]int, len(lengths))
		var saw func(i int, left float64)
		saw = func(i int, left float64) {
			if i == len(lengths) {
				for k, l := range lengths {
					if of[k] < wanted[k] && l <= left {
						return // one more would fit: another way has it
					}
				}
				if len(out) >= mostPatterns {
					all = false
					return
				}
				out = append(out, way{of: slices.Clone(of), stock: s.Length, price: s.Price, cost: cost})
				return
			}
			most := 0
			for l := left; most < wanted[i] && l >= lengths[i]-1e-9; most++ {
				l -= lengths[i] + kerf
			}
			for n := most; n >= 0 && all; n-- {
				of[i] = n
				saw(i+1, left-float64(n)*(lengths[i]+kerf))
			}
			of[i] = 0
		}
		saw(0, s.Length)
	}
	return out, all
}

// take adds what was solved. Where the ways give a piece more than is wanted, it
// stays on its stick as waste.
func (c *Cutting) take(stick string, lengths []float64, wanted []int, ways []way, times []float64, kerf float64) {
	left := slices.Clone(wanted)
	for k, w := range ways {
		for range int(math.Round(times[k])) {
			cut := Cut{Stick: stick, Stock: w.stock, Times: 1}
			room := w.stock
			for i, n := range w.of {
				for range min(n, left[i]) {
					cut.Pieces = append(cut.Pieces, lengths[i])
					room -= lengths[i] + kerf
					left[i]--
				}
			}
			cut.Waste = math.Max(0, room)
			c.Bought += w.stock
			c.Waste += cut.Waste
			c.Price += w.price
			if n := len(c.Cuts); n > 0 && c.Cuts[n-1].Stick == stick && c.Cuts[n-1].Stock == cut.Stock && slices.Equal(c.Cuts[n-1].Pieces, cut.Pieces) {
				c.Cuts[n-1].Times++
				continue
			}
			c.Cuts = append(c.Cuts, cut)
		}
	}
}
