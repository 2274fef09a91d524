package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/job"
	"wormyard/internal/web"
	webwords "wormyard/internal/web/words"
)

type scoreCommand struct {
	All bool `help:"Hold every reading that was not looked at yet against its forecasts first, however long it takes; without it as many as in a night."`
}

// Run holds forecasts against what was read since and prints how far to trust them.
func (s *scoreCommand) Run(c *Context) error {
	a, store, t, err := c.openTwins()
	if err != nil {
		return err
	}
	defer store.Close()
	most := app.NightScores
	if s.All {
		most = math.MaxInt
	}
	var meter job.Meter
	if _, err := t.Score(c, most, func(step string, done, of int) {
		left, known := meter.Left(time.Now(), done, of)
		if !c.JSON && of > 0 {
			fmt.Fprintf(c.Stderr, "\r%-78s", progressBar(step, done, of, left, known))
		}
	}); err != nil {
		return err
	}
	if !c.JSON {
		fmt.Fprintf(c.Stderr, "\r%78s\r", "")
	}
	trust, err := t.Trust(c)
	if err != nil {
		return err
	}
	return c.Print(struct {
		Contract int `json:"contract"`
		*app.Trust
	}{1, trust}, func(w io.Writer) error {
		return trustInWords(w, web.Scored(trust, webwords.English(), c.Units(), a.State().Zone(), a.Now()))
	})
}

func trustInWords(w io.Writer, t web.Trusted) error {
	say := func(head string, lines ...string) {
		fmt.Fprintln(w, head)
		for _, l := range lines {
			if l != "" {
				fmt.Fprintln(w, "  "+l)
			}
		}
	}
	if t.Empty != "" {
		say(t.Empty)
	} else {
		say(t.Under)
	}
	if t.Left != "" {
		say(t.Left)
	}
	for _, k := range t.Kinds {
		fmt.Fprintln(w)
		say(k.Title, k.Say...)
	}
	en := webwords.English()
	if t.Limit != "" {
		fmt.Fprintln(w)
		say(en.Say("score.limits"), t.Limit)
	}
	fmt.Fprintln(w)
	if len(t.Helps) == 0 {
		say(en.Say("score.helps"), en.Say("score.helpsnone"))
		return nil
	}
	say(en.Say("score.helps"))
	for _, h := range t.Helps {
		fmt.Fprintf(w, "  %s: %s\n", h.Name, h.Note)
	}
	return nil
}
