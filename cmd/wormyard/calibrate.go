package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"wormyard/internal/calibrate"
)

type calibrateCommand struct {
	Series  string `help:"Set the worms' numbers against the series of this file instead of fitting." placeholder:"FILE"`
	Scale   string `help:"With --series: free fits one scale a series, none leaves it at 1." enum:"free,none" default:"free"`
	Species string `help:"Fit the growth of another species, named by its last word, to its own curves." placeholder:"NAME"`
	Write   string `help:"Write the fit to this file." placeholder:"FILE"`
}

// seriesAnswer is one series against the model.
type seriesAnswer struct {
	Met       calibrate.Met `json:"met"`
	Species   string        `json:"species"`
	Scale     float64       `json:"scale"`
	X         []float64     `json:"x"`
	Y         []float64     `json:"y"`
	Predicted []float64     `json:"predicted"`
}

// Run fits the worms' numbers to the series that are kept, or sets them against
// other series.
func (q *calibrateCommand) Run(c *Context) error {
	if q.Series != "" {
		return q.against(c)
	}
	book, err := calibrate.Book()
	if err != nil {
		return err
	}
	var r *calibrate.Result
	if q.Species != "" {
		r, err = calibrate.RunOther(book, q.Species)
	} else {
		r, err = calibrate.Run(book, true)
	}
	if err != nil {
		return err
	}
	if q.Write != "" {
		data, err := json.MarshalIndent(r, "", " ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(q.Write, append(data, '\n'), 0o644); err != nil {
			return err
		}
	}
	return c.Print(r, func(w io.Writer) error {
		list := func(title string, rows []calibrate.Fitted) {
			fmt.Fprintf(w, "%s\n", title)
			for _, f := range rows {
				fmt.Fprintf(w, "  %-24s %9.4g   %.4g to %.4g   before %.4g to %.4g\n", f.Name, f.Value, f.Low, f.High, f.PriorLow, f.PriorHigh)
			}
		}
		list("Fitted", r.Fitted)
		if len(r.Pulled) > 0 {
			list("All fitted together, the held ones too", r.Pulled)
		}
		if len(r.Scales) > 0 {
			list("Scales of the studies", r.Scales)
		}
		fmt.Fprintln(w, "Series, errors in the logarithm")
		for _, m := range r.Series {
			fmt.Fprintf(w, "  %-44s %3d points   mean %+.2f   root mean square %.2f\n", m.Study+", "+m.Name, m.Points, m.Mean, m.RMS)
		}
		return nil
	})
}

func (q *calibrateCommand) against(c *Context) error {
	data, err := os.ReadFile(q.Series)
	if err != nil {
		return err
	}
	list, err := calibrate.Read(data)
	if err != nil {
		return err
	}
	var out []seriesAnswer
	for i := range list {
		s := &list[i]
		predicted, scale, how, err := calibrate.Against(s, q.Scale == "free")
		if err != nil {
			return err
		}
		out = append(out, seriesAnswer{how, s.Species, scale, s.X, s.Y, predicted})
	}
	return c.Print(map[string]any{"series": out}, func(w io.Writer) error {
		for _, a := range out {
			fmt.Fprintf(w, "%s, %s: scale %.2f, mean %+.2f, root mean square %.2f in the logarithm\n", a.Met.Study, a.Met.Name, a.Scale, a.Met.Mean, a.Met.RMS)
			for i := range a.X {
				fmt.Fprintf(w, "  %9.4g   printed %9.4g   ours %9.4g\n", a.X[i], a.Y[i], a.Predicted[i])
			}
		}
		return nil
	})
}
