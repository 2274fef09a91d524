package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

// common are the flags that every command takes.
type common struct {
	Farm      string `help:"The farm's file." default:"./farm.wormyard" placeholder:"FILE" env:"WORMYARD_FARM"`
	Demo      bool   `help:"Use the demo farm, which is made when there is none."`
	JSON      bool   `name:"json" help:"Read and print JSON (docs/contracts)."`
	NoWorking bool   `help:"Leave the working out."`
	Metric    bool   `help:"Print kilograms, litres, centimetres and degrees Celsius."`
}

// Context is what a command gets besides its own flags.
type Context struct {
	context.Context
	common
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Now            func() time.Time
}

// Units gives the units in which to print for a person.
func (c *Context) Units() qty.System {
	if c.Metric {
		return qty.Metric
	}
	return qty.US
}

// Input reads one JSON object from file, or from standard input when file is ""
// or "-", strictly into what into points at. The error is a *figure.Refusal
// with every problem.
func (c *Context) Input(file string, into any) error {
	data, err := c.bytes(file)
	if err != nil {
		return err
	}
	return contract.Refuse(contract.Decode(data, into))
}

func (c *Context) bytes(file string) ([]byte, error) {
	if file == "" || file == "-" {
		return contract.Read(c.Stdin)
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, cannotOpen(file, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, figure.Refuse("", fmt.Sprintf("%s is a folder.", file), "Name a file in it.")
	}
	return contract.Read(f)
}

func cannotOpen(file string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return figure.Refuse("", fmt.Sprintf("There is no file %s.", file), "Check the name and the folder.")
	case errors.Is(err, fs.ErrPermission):
		return figure.Refuse("", fmt.Sprintf("The file %s may not be read by you.", file), "Ask its owner, or copy it to your own folder.")
	}
	return err
}

// Print prints the answer: as a JSON object with --json, else by inWords.
func (c *Context) Print(answer any, inWords func(w io.Writer) error) error {
	if c.JSON {
		return contract.Write(c.Stdout, answer)
	}
	return inWords(c.Stdout)
}

// Exit codes of a command.
const (
	exitDone    = 0
	exitOurs    = 1
	exitRefused = 2
	exitPartly  = 3
	exitStopped = 130 // as shells have it for Ctrl-C
)

// errTold ends a command whose input was refused and that has said so itself.
var errTold = errors.New("the input was refused, as told")

// finish says what became of a command and gives its exit code.
func (c *Context) finish(err error) int {
	var refusal *figure.Refusal
	var partly *contract.Partly
	err = inWords(err)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errTold):
		return exitRefused
	case c.Context != nil && c.Err() != nil:
		fmt.Fprintln(c.Stderr, "Stopped. What was written before stays; the rest was left undone.")
		return exitStopped
	case errors.As(err, &refusal):
		fmt.Fprint(c.Stderr, contract.InWords(refusal.Problems))
		if c.JSON {
			if err := contract.Write(c.Stdout, struct {
				Problems []figure.Problem `json:"problems"`
			}{refusal.Problems}); err != nil {
				fmt.Fprintln(c.Stderr, err)
				return exitOurs
			}
		}
		return exitRefused
	case errors.As(err, &partly):
		fmt.Fprintln(c.Stderr, partly.Say)
		return exitPartly
	}
	fmt.Fprintf(c.Stderr, "This did not work, and it is not your doing: %s\n  try: run it again; if it stays, send us this line and the version (wormyard --version).\n", strings.TrimSpace(err.Error()))
	return exitOurs
}
