package barn

// An Aisle is the rows that face one way of the truck, so that one truck at a time
// works on them: two where they look at each other, else one.
type Aisle struct{ Rows []int } // indexes

// Aisles groups rows in the order in which they stand. against says of each that it
// stands against the one before it, back to back, with no aisle between. Rows are
// paired from the first on, as each needs one aisle only. model.md (F8).
func Aisles(against []bool) (out []Aisle) {
	for i := range against {
		if n := len(out); i > 0 && !against[i] && len(out[n-1].Rows) == 1 {
			out[n-1].Rows = append(out[n-1].Rows, i)
			continue
		}
		out = append(out, Aisle{Rows: []int{i}})
	}
	return out
}

// Trucks gives each aisle to one of so many trucks, so that the longest day is as
// short as can be found: the longest aisle first to the truck that is done soonest.
// No aisle has two trucks. It gives the truck of each aisle, from 0, and the longest
// day. At most 7/6 of the best way there is for two trucks (Graham 1969).
// model.md (F8).
func Trucks(minutes []float64, trucks int) (of []int, longest float64) {
	of = make([]int, len(minutes))
	done := make([]float64, max(1, trucks))
	left := map[int]bool{}
	for i := range minutes {
		left[i] = true
	}
	for len(left) > 0 {
		next := -1
		for i := range minutes {
			if left[i] && (next < 0 || minutes[i] > minutes[next]) {
				next = i
			}
		}
		delete(left, next)
		to := 0
		for k := range done {
			if done[k] < done[to] {
				to = k
			}
		}
		of[next] = to
		done[to] += minutes[next]
		longest = max(longest, done[to])
	}
	return of, longest
}
