package main

// commands lists what the program can be asked, one line a command.
type commands struct {
	Figure figureCommand `cmd:"" help:"Compute one equation: a number checked by hand, by a script or by an inspector."`
}
