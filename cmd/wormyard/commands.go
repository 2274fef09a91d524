package main

// commands lists what the program can be asked, one line a command.
type commands struct {
	Round  roundCommand  `cmd:"" help:"What to do today, bin by bin, why, and how sure."`
	Bin    binCommand    `cmd:"" help:"What is likely in a bin now and in the coming days."`
	Mix    mixCommand    `cmd:"" help:"Blend feedstocks: what a mix is, which parts make one, how sure it is, and what to test next."`
	Figure figureCommand `cmd:"" help:"Compute one equation: a number checked by hand, by a script or by an inspector."`
}
