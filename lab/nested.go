package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
)

// Nested is what counts of fields on slides of sub-samples say of a lot.
type Nested struct {
	Mean           float64  // of a field: mean of sub-samples, each the mean of its slides
	SubSamples     int      // what stands for the lot
	Slides, Fields int      //
	BetweenSubs    *float64 // variance between sub-samples, beyond what slides and fields make; nil when it cannot be told
	BetweenSlides  *float64
	BetweenFields  *float64
	SE             *float64 // of the mean, for what it speaks for
	DF             float64
	Interval       *Bounds // of the mean, for what it speaks for
	SpeaksFor      string  // "lot", "sub-sample" or "slide"
	MostOf         string  // which of the three makes most of the error: "sub-samples", "slides", "fields", "" when it cannot be told
}

// NestedOf parts the spread of counts (sub-sample, slide, field) into its
// levels and gives the mean with the interval of the highest level that was
// repeated. Every sub-sample has a slide, every slide a field. model.md (L17).
func NestedOf(counts [][][]float64, confidence float64) Nested {
	out := Nested{SubSamples: len(counts), SpeaksFor: "lot"}
	var subMeans, slideMeans, all []float64
	for _, sub := range counts {
		var means []float64
		for _, slide := range sub {
			m, _ := meanVariance(slide)
			means = append(means, m)
			all = append(all, slide...)
		}
		m, _ := meanVariance(means)
		subMeans = append(subMeans, m)
		slideMeans = append(slideMeans, means...)
	}
	out.Slides, out.Fields = len(slideMeans), len(all)
	out.Mean, _ = meanVariance(subMeans)
	out.components(counts, all)
	top := subMeans
	switch {
	case len(subMeans) >= 2:
	case len(slideMeans) >= 2:
		top, out.SpeaksFor = slideMeans, "sub-sample"
	default:
		top, out.SpeaksFor = all, "slide"
	}
	if out.Mean == 0 {
		b := Poisson(0, confidence).times(1 / float64(len(all)))
		out.Interval = &b
		return out
	}
	n := float64(len(top))
	total := 0.0
	for _, x := range all {
		total += x
	}
	exact := Poisson(total, confidence).times(1 / float64(len(all)))
	if n < 2 {
		out.Interval = &exact
		return out
	}
	_, v := meanVariance(top)
	out.DF = n - 1
	out.SE = ptr(math.Sqrt(v / n))
	// On the logarithm, and no narrower than counting alone allows (L6).
	f := stretch(chance.TwoSided(confidence, out.DF) * *out.SE / out.Mean)
	out.Interval = &Bounds{min(out.Mean/f, exact.Low), max(out.Mean*f, exact.High)}
	return out
}

// components are the variances of each level by moments for unequal numbers,
// each cut at 0. model.md (L18).
func (out *Nested) components(counts [][][]float64, all []float64) {
	var within, betweenSlides, betweenSubs float64
	N := float64(len(all))
	var grand float64
	for _, x := range all {
		grand += x / N
	}
	var slides, subs float64
	var sub2, slide2, slideInSub float64 // sums of n^2/N, n_ij^2/N, and n_ij^2/n_i
	for _, sub := range counts {
		var n, sum float64
		for _, slide := range sub {
			n += float64(len(slide))
			for _, x := range slide {
				sum += x
			}
		}
		mean := sum / n
		subs++
		betweenSubs += n * (mean - grand) * (mean - grand)
		sub2 += n * n / N
		for _, slide := range sub {
			k := float64(len(slide))
			m, v := meanVariance(slide)
			slides++
			within += v * (k - 1)
			betweenSlides += k * (m - mean) * (m - mean)
			slide2 += k * k / N
			slideInSub += k * k / n
		}
	}
	if N == slides {
		return
	}
	field := within / (N - slides)
	out.BetweenFields = &field
	slideVar := 0.0
	if slides > subs {
		slideVar = max(0, (betweenSlides-(slides-subs)*field)/(N-slideInSub))
		out.BetweenSlides = &slideVar
	}
	if subs < 2 || slides == subs {
		return
	}
	subVar := max(0, (betweenSubs-(subs-1)*field-(slideInSub-slide2)*slideVar)/(N-sub2))
	out.BetweenSubs = &subVar
	parts := []struct {
		name string
		v    float64
	}{{"sub-samples", subVar / subs}, {"slides", slideVar / slides}, {"fields", field / N}}
	most := 0.0
	for _, p := range parts {
		if p.v > most {
			most, out.MostOf = p.v, p.name
		}
	}
}

type nestedIn struct {
	Counts     [][][]float64 `json:"sub_samples" unit:"1/field" doc:"for each sub-sample its slides, for each slide its fields"`
	Confidence float64       `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type nestedOut struct {
	Mean          float64  `json:"mean" unit:"1/field"`
	Low           float64  `json:"low" unit:"1/field"`
	High          float64  `json:"high" unit:"1/field"`
	SE            *float64 `json:"se" unit:"1/field"`
	DF            float64  `json:"df" unit:"-"`
	SpeaksFor     string   `json:"speaks_for" doc:"lot, sub-sample or slide"`
	BetweenSubs   *float64 `json:"var_sub_samples" unit:"1/field2"`
	BetweenSlides *float64 `json:"var_slides" unit:"1/field2"`
	BetweenFields *float64 `json:"var_fields" unit:"1/field2"`
	MostOf        string   `json:"most_of_error" doc:"which level makes most of it: take more of these"`
}

func nestedFigure(in nestedIn) (out nestedOut, notes []string, err error) {
	var p problems
	p.confidence(in.Confidence)
	if len(in.Counts) == 0 {
		p.Add("sub_samples", "No counts are given.", "Give for each sub-sample its slides, and for each slide the count of every field.")
	}
	fields := 0
	for i, sub := range in.Counts {
		if len(sub) == 0 {
			p.Add(fmt.Sprintf("sub_samples[%d]", i), fmt.Sprintf("Sub-sample %d has no slide.", i+1), "Give its slides, or leave it out.")
		}
		for j, slide := range sub {
			at := fmt.Sprintf("sub_samples[%d][%d]", i, j)
			if len(slide) == 0 {
				p.Add(at, fmt.Sprintf("Slide %d of sub-sample %d has no field.", j+1, i+1), "Give the count of each field, or leave the slide out.")
			}
			p.fields(at, slide)
			fields += len(slide)
		}
	}
	if fields > 100*mostFields {
		p.Add("sub_samples", fmt.Sprintf("%d fields are given, more than anyone counts.", fields), "Give one lot at a time.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	n := NestedOf(in.Counts, in.Confidence)
	out = nestedOut{n.Mean, n.Interval.Low, n.Interval.High, n.SE, n.DF, n.SpeaksFor, n.BetweenSubs, n.BetweenSlides, n.BetweenFields, n.MostOf}
	switch n.SpeaksFor {
	case "slide":
		notes = append(notes, "One slide speaks only for itself. Make a slide from another sub-sample before you say anything of the lot.")
	case "sub-sample":
		notes = append(notes, "All slides come from one sub-sample, so the interval is of that sub-sample and not of the lot.")
	}
	return out, notes, nil
}
