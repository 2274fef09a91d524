package main

// commands lists what the program can be asked, one line a command.
type commands struct {
	Mix    mixCommand    `cmd:"" help:"Blend feedstocks: what a mix is, which parts make one, how sure it is, and what to test next."`
	Figure figureCommand `cmd:"" help:"Compute one equation: a number checked by hand, by a script or by an inspector."`
}
