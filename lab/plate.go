package lab

import (
	"fmt"

	"wormyard/chance"
	"wormyard/qty"
)

// A Plate is one plate of a dilution; Count is nil when there were too many to
// count.
type Plate struct {
	Dilution float64  `json:"dilution" unit:"mL" low:"1e-15" high:"1000" doc:"of the sample on the plate: 1e-4 for 1 mL of 1:10000"`
	Count    *float64 `json:"count" unit:"-" low:"0" high:"1e5" doc:"colonies; absent when there were too many to count"`
}

// PlateCount is what plates say of a unit of the sample.
type PlateCount struct {
	PerUnit *float64
	Low     float64
	High    *float64
	Used    []int // plates within the countable range
	Shown   string
}

// PlatesOf adds the colonies of all countable plates over what of the sample
// was on them. With none countable it says less than, or more than. model.md
// (L28).
func PlatesOf(plates []Plate, lowest, highest, confidence float64) PlateCount {
	var sum, on, allSum, allOn float64
	first, last := 0.0, 0.0 // of the sample on the least and the most diluted plates
	var out PlateCount
	over := false
	for i, p := range plates {
		if first == 0 || p.Dilution > first {
			first = p.Dilution
		}
		if last == 0 || p.Dilution < last {
			last = p.Dilution
		}
		if p.Count == nil {
			over = true
			continue
		}
		allSum += *p.Count
		allOn += p.Dilution
		if *p.Count > highest {
			over = true
		}
		if *p.Count >= lowest && *p.Count <= highest {
			out.Used = append(out.Used, i)
			sum += *p.Count
			on += p.Dilution
		}
	}
	switch {
	case len(out.Used) > 0:
		b := Poisson(sum, confidence).times(1 / on)
		out.PerUnit, out.Low, out.High = ptr(sum/on), b.Low, &b.High
		out.Shown = twoFigures(sum / on)
	case !over:
		b := Poisson(allSum, confidence).times(1 / allOn)
		out.PerUnit, out.Low, out.High = ptr(allSum/allOn), b.Low, &b.High
		out.Shown = "<" + twoFigures(lowest/first)
	default:
		// Some plate is over and none countable: more than the range allows on
		// the most diluted plate that is over.
		most := 0.0
		for _, p := range plates {
			if (p.Count == nil || *p.Count > highest) && (most == 0 || p.Dilution < most) {
				most = p.Dilution
			}
		}
		out.Low = Poisson(highest, confidence).Low / most
		out.Shown = ">" + twoFigures(highest/most)
	}
	return out
}

type plateIn struct {
	Plates     []Plate  `json:"plates"`
	Lowest     *float64 `json:"lowest" unit:"1/plate" low:"0" high:"10000" doc:"fewest that count; absent, 25"`
	Highest    *float64 `json:"highest" unit:"1/plate" low:"1" high:"10000" doc:"most that count; absent, 250"`
	Confidence float64  `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type plateOut struct {
	PerUnit *float64 `json:"per_unit" unit:"1/mL or 1/g" doc:"null when there were too many to count"`
	Low     float64  `json:"low" unit:"1/mL or 1/g"`
	High    *float64 `json:"high" unit:"1/mL or 1/g"`
	Used    int      `json:"used" unit:"plates"`
	Which   []int    `json:"used_plates" doc:"from 0"`
	Shown   string   `json:"shown"`
}

func (par Parameters) plateFigure(in plateIn) (out plateOut, notes []string, err error) {
	var p problems
	p.confidence(in.Confidence)
	lowest, highest := par.PlateLowest, par.PlateHighest
	if in.Lowest != nil {
		lowest = *in.Lowest
	}
	if in.Highest != nil {
		highest = *in.Highest
	}
	if lowest > highest {
		p.Add("lowest", fmt.Sprintf("The countable range runs from %g to %g.", lowest, highest), "Give the smaller number first.")
	}
	if len(in.Plates) == 0 || len(in.Plates) > 1000 {
		p.Add("plates", fmt.Sprintf("%d plates are given.", len(in.Plates)), "Give one line for each plate, with dilution and count.")
	}
	for i, x := range in.Plates {
		at := fmt.Sprintf("plates[%d].", i)
		p.Between(at+"dilution", "The dilution", x.Dilution, 1e-15, 1000)
		if x.Count != nil {
			p.count(at+"count", "The count", *x.Count)
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := PlatesOf(in.Plates, lowest, highest, in.Confidence)
	out = plateOut{c.PerUnit, c.Low, c.High, len(c.Used), c.Used, c.Shown}
	if out.Which == nil {
		out.Which = []int{}
	}
	switch {
	case c.PerUnit == nil:
		notes = append(notes, "No plate can be counted and some hold too many. Plate further dilutions.")
	case len(c.Used) == 0:
		notes = append(notes, fmt.Sprintf("No plate holds %s or more colonies, so it is reported as less than; the estimate rests on all plates and its interval is wide.", qty.Figures(lowest)))
	case len(c.Used) >= 2:
		d := 0.0
		for _, i := range c.Used {
			e := *c.PerUnit * in.Plates[i].Dilution
			d += (*in.Plates[i].Count - e) * (*in.Plates[i].Count - e) / e
		}
		if chance.GammaUpper(float64(len(c.Used)-1)/2, d/2) < par.Doubt {
			notes = append(notes, "The plates differ by more than chance makes them: the interval is too narrow. Look at the dilutions and repeat.")
		}
	}
	return out, notes, nil
}
