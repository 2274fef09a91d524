package contract

import (
	"sort"
	"strings"
)

// Nearest gives up to three of the known names that word was most likely meant
// to be, the likeliest first; none when nothing is near.
func Nearest(word string, known []string) []string {
	type scored struct {
		name string
		cost float64
	}
	w := plain(word)
	var near []scored
	for _, k := range known {
		n := plain(k)
		longest := max(len(w), len(n))
		if longest == 0 {
			continue
		}
		cost := float64(distance(w, n)) / float64(longest)
		if len(w) >= 3 && (strings.Contains(n, w) || strings.Contains(w, n) && len(n) >= 3) {
			cost = min(cost, 0.3)
		}
		if s := shared(word, k); s > 0 {
			cost = min(cost, 0.6-0.4*s)
		}
		if cost <= 0.45 {
			near = append(near, scored{k, cost})
		}
	}
	sort.SliceStable(near, func(i, j int) bool {
		if near[i].cost != near[j].cost {
			return near[i].cost < near[j].cost
		}
		return near[i].name < near[j].name
	})
	var out []string
	for _, s := range near[:min(3, len(near))] {
		out = append(out, s.name)
	}
	return out
}

func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '_' || r == ' ' || r == '-' || r == ',' || r == '.' {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// shared tells how much of what was typed stands in the known name, word by
// word with a letter or two amiss, 0 to 1; words that were not typed count
// little against it.
func shared(typed, known string) float64 {
	cut := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == '_' || r == ' ' || r == '-' || r == ',' || r == '.' })
	}
	a, b := cut(typed), cut(known)
	hits := 0
	for _, x := range a {
		for _, y := range b {
			if len(x) > 2 && 3*distance(x, y) <= max(len(x), len(y)) {
				hits++
				break
			}
		}
	}
	if hits == 0 {
		return 0
	}
	return float64(hits)/float64(len(a)) - 0.05*float64(max(0, len(b)-hits))
}

// distance is the number of letters to add, drop, change or swap with a
// neighbour to turn a into b (Damerau 1964, restricted form).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := last[j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			row[j] = min(last[j]+1, row[j-1]+1, change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
