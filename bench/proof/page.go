package proof

import (
	"fmt"
	"strings"
)

// About says what the tables show.
const About = `bench/proof lets the twins live through journals of farms whose truth is known and holds what they say of the days ahead against it. The twins know what was recorded by the time of issue and the air as it was known then; of what was done afterwards they are told what was written. Every ninth day is an issue, from the sixtieth day on. *Persistence* is the last reading of the bin, believed by so much and drawn towards the course of the year as past readings show to be best, dressed with the past errors of such forecasts, less what the reading itself is off; *the season* is that course alone. Both see the same readings and looks as the twins, words as the middle of what they stand for. CRPS is the mean distance of a forecast from the truth, less what its range deserves; less is better. Aims: of the temperature a week ahead 35 % less than persistence on a rich farm and 20 % on a poor one, the truth in the 90 % range in 85 to 95 %, worms within a factor of 2 without a count and 1.5 with one a quarter.

A *same* farm is our own bed with other numbers of nature for the farm and each bin, other materials, another barn, and people who spread unevenly, forget (one feeding in five on the poor farm), come late and misread: the best case, since the equations are right. An *other* farm (bench/fraternal) follows other laws of rot, heat, water and worms, written for this alone, and its people err alike: the case that counts. Run again: ` + "`go run ./bench/proof/score -again`" + `.
`

// Misses says what the kept results miss, with the next idea beside each.
const Misses = `
What misses, and the next idea:

- The kept runs are small: a few bins, two seeds and about a year of each farm, so a number may move by several points with the seed, and the aim of two years for worms is not measured. Next: sixty bins, two years and more seeds of each.
- Temperature a week ahead misses the aims on all four farms, and on the same poor one persistence is a little better. From the third day on the weather rules, which nobody on the poor farms reads or foretells: what is left of the gain there lies in the first days. Next: the outlook of the weather read in each day.
- The same farms are believed 1 to 2 C too cold a week ahead: their materials are fed within the week, where the twins take lots for older than the library's. Next: how fresh lots come, learned for the farm.
- What a watched bin learns of its heat (T19) does not reach the others, so on farms whose beds are all warmer or colder than the equations have it, bins that nobody reads do worse than persistence, which borrows from the watched ones. Next: the heat of the watched bins as the middle from which the others begin, learned week by week like the numbers of nature.
- On farms with loggers the bed of the hour itself is told worse than by the last logged value: the twins take one reading of a logger a day, and trust it to a degree for its one place. Next: the place of a logger as an error of its own that is learned.
- On the other farms more feed is left than the twins say, and beds are wetter. Heat is now corrected by itself, so that the pace of rot stays too quick. Next: looks that find feed left should move the pace of rot of a bin.
- The same farms are wetter in the twins by two to four points of a hundred. Not understood.
`

// Page writes results as tables.
func Page(results []Result) string {
	var b strings.Builder
	for _, r := range results {
		fmt.Fprintf(&b, "\n**%s**, seeds %s, %d bins, %d days, run on %s.\n\n", r.Farm, joined(r.Seeds), r.Bins, r.Days, r.Made)
		b.WriteString("| what | days ahead | forecasts | CRPS | of persistence | of the season | less than persistence (least and most over seeds; watched bins, others) | mean error | bias | in 50 % | in 90 % |\n|---|---|---|---|---|---|---|---|---|---|---|\n")
		for _, c := range r.Cells {
			fmt.Fprintf(&b, "| %s | %d | %d | %.3g | %.3g | %.3g | %s (%s to %s; %s, %s) | %.3g | %+.2g | %s | %s |\n", c.Quantity, c.Days, c.N, c.Twin.CRPS, c.Keeps.CRPS, c.Season.CRPS,
				percent(c.Gain), percent(c.GainLow), percent(c.GainHigh), percent(c.Watched[0]), percent(c.Watched[1]), c.Twin.MAE, c.Twin.Bias, percent(c.Twin.In50), percent(c.Twin.In90))
		}
		w := r.Worms
		fmt.Fprintf(&b, "\nWorm mass of the median bin at the end: a factor %.2f from the truth (9 in 10 bins within %.2f; twin over truth %.2f; truth %.1f kg; %s in the 90 %% range).\n", w.Median, w.Ninth, w.Bias, w.Truth, percent(w.In90))
		b.WriteString("\nWhere the truth lay among the members a week ahead, in tenths from below all to above all (even is right):\n\n")
		for _, k := range r.Rank {
			fmt.Fprintf(&b, "- %s:", k.Quantity)
			for _, p := range k.Parts {
				fmt.Fprintf(&b, " %.0f", p*100)
			}
			b.WriteString("\n")
		}
	}
	return b.String()
}

func percent(v float64) string { return fmt.Sprintf("%.0f %%", v*100) }

func joined(seeds []uint64) string {
	var s []string
	for _, x := range seeds {
		s = append(s, fmt.Sprint(x))
	}
	return strings.Join(s, ", ")
}
