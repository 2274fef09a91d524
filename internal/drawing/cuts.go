package drawing

import (
	"fmt"
	"strings"

	"wormyard/carpentry"
)

// cuts is the cut list: every stick that is bought as a bar with its pieces, and
// what is left over.
func (b Bin) cuts() View {
	v := View{Title: b.Words.Cuts}
	longest := 0.0
	for _, c := range b.Cuts {
		longest = max(longest, c.Stock)
	}
	y := 4.0
	const bar = 20.0
	for _, c := range b.Cuts {
		s := (Wide - 4) / longest
		v.text(2, y+Letters, Start, fmt.Sprintf(b.Words.OneBin, c.Times, c.Stick, b.Words.Sold(c.Stock)))
		y += Letters + 6
		v.rect(Dashed, Clear, 2, y, c.Stock*s, bar)
		x := 2.0
		kerf := 0.0
		if n := len(c.Pieces); n > 0 {
			sum := c.Waste
			for _, p := range c.Pieces {
				sum += p
			}
			kerf = max(0, (c.Stock-sum)/float64(n))
		}
		var said []string
		for i, p := range c.Pieces {
			v.rect(Edge, Wood, x, y, p*s, bar)
			if in := carpentry.Inches(p); float64(len(in))*6.3 < p*s {
				v.small(x+p*s/2, y+bar/2+Small*0.35, Middle, in)
			}
			x += (p + kerf) * s
			if i == 0 || c.Pieces[i-1] != p {
				n := 0
				for _, q := range c.Pieces {
					if q == p {
						n++
					}
				}
				said = append(said, fmt.Sprintf("%d × %s", n, b.Words.Both(p)))
			}
		}
		if c.Waste > 0.03 {
			said = append(said, fmt.Sprintf(b.Words.Left, b.Words.Both(c.Waste)))
		}
		y += bar + 3
		for _, line := range wrapped(said, 62) {
			v.small(2, y+Small, Start, line)
			y += Small + 2
		}
		y += 10
	}
	v.High = y
	return v
}

// wrapped puts words on lines of so many letters at most.
func wrapped(words []string, most int) (out []string) {
	line := ""
	for _, w := range words {
		if line != "" && len([]rune(line))+len([]rune(w))+2 > most {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += "; "
		}
		line += w
	}
	if strings.TrimSpace(line) != "" {
		out = append(out, line)
	}
	return out
}
