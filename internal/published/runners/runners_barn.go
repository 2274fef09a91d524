package runners

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"

	"wormyard/barn"
	"wormyard/internal/published"
)

func yards() []Runner {
	return []Runner{
		{"galle_2018", "lifts beyond one for each bin in the way", published.Numbers(func(in map[string]float64) map[string]float64 {
			more, err := drawnBays(int(in["high"]), int(in["stacks"]), int(in["drawn"]))
			if err != nil {
				return nil
			}
			return map[string]float64{"more": more}
		})},
		{"zhu_2012", "first of the instances", bay},
	}
}

// drawnBays is the mean of lifts beyond one for each bin in the way, of as many
// yards as are drawn: stacks all of one height with bins in an order by chance,
// two more levels allowed, every bin taken out in its order by a driver who moves
// only what stands on the next.
func drawnBays(high, stacks, drawn int) (float64, error) {
	r := rand.New(rand.NewPCG(uint64(high), uint64(stacks)))
	sum := 0
	for range drawn {
		y := barn.Yard{Most: high + 2, Fixed: true, Near: true, Effort: 3_000_000}
		order := r.Perm(high * stacks)
		inWay := 0
		for i := range stacks {
			var s []string
			least := len(order)
			for _, bin := range order[i*high : (i+1)*high] {
				s = append(s, fmt.Sprint(bin))
				if least < bin {
					inWay++
				}
				least = min(least, bin)
			}
			y.Stacks = append(y.Stacks, s)
		}
		for i := range order {
			y.Want = append(y.Want, fmt.Sprint(i))
		}
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil {
			return 0, err
		}
		if !m.Proved {
			return 0, fmt.Errorf("%d lifts are not proved", m.Lifts)
		}
		sum += m.Lifts - len(order) - inWay
	}
	return float64(sum) / float64(drawn), nil
}

// bay reads stacks such as "15 14, 4 9 12" and takes every bin out in order.
func bay(in map[string]any) (map[string]any, error) {
	y := barn.Yard{Most: int(in["most"].(float64)), Fixed: true}
	bins := 0
	for _, s := range strings.Split(in["stacks"].(string), ",") {
		y.Stacks = append(y.Stacks, strings.Fields(s))
		bins += len(strings.Fields(s))
	}
	for i := range bins {
		y.Want = append(y.Want, fmt.Sprint(i+1))
	}
	out := map[string]any{}
	for name, near := range map[string]bool{"restricted": true, "unrestricted": false} {
		y.Near = near
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil {
			return nil, err
		}
		out[name] = float64(m.Lifts - bins)
		out[name+"_proved"] = m.Proved
	}
	return out, nil
}
