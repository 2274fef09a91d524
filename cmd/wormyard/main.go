// Command wormyard keeps the journal of a castings farm, computes what nobody
// can see in its beds, and says what to do today, why, and how sure it is.
//
// Every command reads and prints what docs/contracts describes: one JSON object
// with --json, the same in words without. Exit codes: 0 done, 1 our fault,
// 2 refused input, 3 done in part.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/alecthomas/kong"

	"wormyard/figure"
	"wormyard/internal/contract"
)

type program struct {
	common
	Version versionFlag `help:"Print the version and end."`
	commands
}

type versionFlag bool

// BeforeReset prints the version and ends the program before anything is run.
func (versionFlag) BeforeReset(k *kong.Kong) error {
	fmt.Fprintln(k.Stdout, "wormyard", version())
	k.Exit(exitDone)
	return nil
}

func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "built without a record"
	}
	v := info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && v == "(devel)" {
			v = s.Value[:min(12, len(s.Value))]
		}
	}
	return strings.Trim(v, "()") + ", contract " + fmt.Sprint(contract.Version)
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	c := &Context{Context: ctx, Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now}
	code := run(c, os.Args[1:])
	stop()
	os.Exit(code)
}

// ended is thrown when the command line library wants the program to end.
type ended int

// run does what args ask for and gives the exit code.
func run(c *Context, args []string) (code int) {
	defer func() {
		if r := recover(); r != nil {
			e, ok := r.(ended)
			if !ok {
				panic(r)
			}
			code = int(e)
		}
	}()
	var p program
	parser, err := kong.New(&p,
		kong.Name("wormyard"),
		kong.Description("Keeps the journal of a castings farm, computes what nobody can see in its beds, and says what to do today, why, and how sure it is."),
		kong.Writers(c.Stdout, c.Stderr),
		kong.Exit(func(code int) { panic(ended(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
	)
	if err != nil {
		return c.finish(err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	c.common = p.common
	if err != nil {
		c.JSON = wantsJSON(args)
		return c.finish(misread(err))
	}
	return c.finish(k.Run(c))
}

func wantsJSON(args []string) bool {
	for _, a := range args {
		if a == "--json" {
			return true
		}
	}
	return false
}

// misread turns what the command line library says into our words.
func misread(err error) error {
	var parse *kong.ParseError
	if !errors.As(err, &parse) {
		return err
	}
	say := strings.TrimSuffix(parse.Error(), ".")
	if say == "" {
		return err
	}
	try := "Type wormyard --help, or the command and --help."
	if before, near, ok := strings.Cut(say, ", did you mean "); ok {
		say, try = before, "Did you mean "+strings.TrimSuffix(near, "?")+"?"
	}
	return figure.Refuse("", strings.ToUpper(say[:1])+say[1:]+".", try)
}
