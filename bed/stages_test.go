package bed_test

import (
	"math"
	"slices"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/worm"
)

// Beds under any cover, fed so deep that air and ammonia stand at the edge of what
// worms bear, in steps as they are and in halves of them: no stage, by mass or by
// number, differs by one in a hundred of the most it was.
func TestHalfTheStepMovesNoStage(t *testing.T) {
	p := parameters(t)
	const days = 60
	for _, cover := range []string{"film", "cloth", "board"} {
		for _, warm := range []float64{18, 24, 28} {
			for _, deep := range []float64{0.05, 0.1, 0.15} {
				air := climate.Series{Start: spring * 24}
				for i := range 24 * (days + 2) {
					air.Hours = append(air.Hours, climate.Hour{TempC: warm + 5*math.Sin(2*math.Pi*float64(i)/24), RH: 0.8})
				}
				acts := append(fed(spring, days, func(v float64) feedstock.Matter { return everyday(t, v) }, deep, 0, 7),
					bed.Act{Hour: spring*24 + 5, Kind: bed.Stock, Worms: worm.Stock{AdultKg: 5, JuvenileKg: 2.5, Cocoons: 3000}})
				slices.SortStableFunc(acts, func(a, b bed.Act) int { return int(a.Hour - b.Hour) })
				run := func(finer int) (out [][5]float64) {
					s := bedded(t, p, spring)
					s.Cover, _ = p.Cover(cover)
					r := bed.NewRunner(p)
					r.Finer = finer
					if _, err := r.Run(bin(), s, air, (spring+days)*24, acts, func(bed.Day) {
						w := &s.Worms
						out = append(out, [5]float64{w.AdultKg, w.JuvenileKg, w.Cocoons, w.Adults, w.Juveniles()})
					}); err != nil {
						t.Fatal(err)
					}
					return out
				}
				whole, half := run(1), run(2)
				var most [5]float64
				worst, day := 0.0, 0
				for i := range half {
					for k := range most {
						most[k] = max(most[k], half[i][k])
						if e := math.Abs(whole[i][k]-half[i][k]) / most[k]; e > worst {
							worst, day = e, i
						}
					}
				}
				if worst > 0.01 {
					t.Errorf("%s, %g C, fed %g m: half the step moves a stage by %.2f %% on day %d", cover, warm, deep, 100*worst, day)
				}
			}
		}
	}
}
