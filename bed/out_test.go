package bed_test

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/worm"
)

// Worms taken out are out, no more than there are, and with them their water,
// carbon and nitrogen; the cocoons stay. By algebra: at the hour of the act the
// live mass falls by what was asked for.
func TestWormsOut(t *testing.T) {
	p := parameters(t)
	const day = 20000
	for _, kg := range []float64{2, 100} {
		s := bedded(t, p, day)
		acts := []bed.Act{stocked(day), {Hour: day*24 + 30, Kind: bed.Out, Worms: worm.Stock{AdultKg: kg}}}
		var worms, cocoons []float64
		r := bed.NewRunner(p)
		r.Each = 6
		money, err := r.Run(bin(), s, barnAir(day-2, 10), day*24+36, acts, func(bed.Day) {
			worms, cocoons = append(worms, s.Worms.LiveKg()), append(cocoons, s.Worms.Cocoons)
		})
		if err != nil {
			t.Fatal(err)
		}
		balanced(t, "worms out", money)
		n := len(worms)
		before, after := worms[n-2], worms[n-1] // half a day apart, in which a stock moves by a hundredth
		if want := max(0, before-kg); math.Abs(after-want) > 0.02*before {
			t.Errorf("%.0f kg out of %.2f leave %.2f", kg, before, after)
		}
		taken := r.Taken()
		if got := taken.LiveKg(); math.Abs(got-min(kg, before)) > 0.02*before {
			t.Errorf("%.2f kg were taken, asked for were %.0f", got, kg)
		}
		if cocoons[n-1] < 0.98*cocoons[n-2] {
			t.Errorf("cocoons went from %.0f to %.0f", cocoons[n-2], cocoons[n-1])
		}
	}
}
