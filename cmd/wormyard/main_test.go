package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"wormyard/figure"
	"wormyard/internal/contract"
)

func play(stdin string, args ...string) (code int, out, said string) {
	var stdout, stderr bytes.Buffer
	c := &Context{Context: context.Background(), Stdin: strings.NewReader(stdin), Stdout: &stdout, Stderr: &stderr, Now: func() time.Time { return time.Date(2026, 3, 31, 7, 0, 0, 0, time.UTC) }}
	return run(c, args), stdout.String(), stderr.String()
}

// Exit codes of the contract: 0 done, 2 refused; and with --json the problems
// stand on standard output in one object, the same in words on the other.
func TestExitCodes(t *testing.T) {
	if code, out, said := play(`{"wet_kg":2,"dry_kg":1}`, "figure", "mix.moisture", "--json"); code != 0 || said != "" || !strings.Contains(out, `"water_frac_wet": 0.5`) {
		t.Errorf("%d %s %s", code, out, said)
	}
	for _, c := range []struct {
		stdin string
		args  []string
		field string
	}{
		{`{"wet_kg":-2}`, []string{"figure", "mix.moisture", "--json"}, "dry_kg"},
		{`{`, []string{"figure", "mix.moisture", "--json"}, ""},
		{``, []string{"figure", "mix.moistre", "--json"}, "figure"},
		{``, []string{"figure", "mix.moisture", "nowhere.json", "--json"}, ""},
		{``, []string{"figure", "mix.moisture", ".", "--json"}, ""},
		{``, []string{"figure", "--jsom", "--json"}, ""},
		{``, []string{"rund", "--json"}, ""},
		{strings.Repeat(" ", contract.MaxBytes+1), []string{"figure", "mix.moisture", "--json"}, ""},
	} {
		code, out, said := play(c.stdin, c.args...)
		var answer struct {
			Problems []figure.Problem `json:"problems"`
		}
		if err := json.Unmarshal([]byte(out), &answer); err != nil || code != 2 || said == "" {
			t.Errorf("%q: exit code %d, %s %s", c.args, code, out, said)
			continue
		}
		found := false
		for _, p := range answer.Problems {
			found = found || p.Field == c.field && p.Say != "" && p.Try != ""
		}
		if !found {
			t.Errorf("%q: no problem at %q in %s", c.args, c.field, out)
		}
	}
}

func TestFinish(t *testing.T) {
	for code, err := range map[int]error{
		0: nil, 1: errors.New("disk on fire"), 2: figure.Refuse("a", "b", "c"), 3: &contract.Partly{Say: "Two of three."},
	} {
		var b bytes.Buffer
		c := &Context{Stdout: &b, Stderr: &b}
		if got := c.finish(err); got != code {
			t.Errorf("%v ends with %d, want %d", err, got, code)
		}
	}
}

func TestHelpAndVersion(t *testing.T) {
	if code, out, _ := play("", "--help"); code != 0 || !strings.Contains(out, "figure") {
		t.Errorf("%d %s", code, out)
	}
	if code, out, _ := play(""); code != 0 || !strings.Contains(out, "Usage") {
		t.Errorf("%d %s", code, out)
	}
	if code, out, _ := play("", "--version"); code != 0 || !strings.Contains(out, "contract 1") {
		t.Errorf("%d %s", code, out)
	}
}
