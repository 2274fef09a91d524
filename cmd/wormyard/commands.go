package main

// commands lists what the program can be asked, one line a command.
type commands struct {
	Serve     serveCommand     `cmd:"" help:"Open the farm in a browser: the round, the barn, the yard, the journal."`
	Begin     beginCommand     `cmd:"" help:"Set up a new farm from one file that tells it: barns, rows, beds and yard."`
	Round     roundCommand     `cmd:"" help:"What to do today, bin by bin, why, and how sure."`
	Bin       binCommand       `cmd:"" help:"What is likely in a bin now and in the coming days."`
	Lot       lotCommand       `cmd:"" help:"Castings by the lot: how far they are, what they were made of, where they went."`
	Count     countCommand     `cmd:"" help:"What a count says, of worms in a bin or of a slide under the microscope, and writes it down when asked to."`
	Harvest   harvestCommand   `cmd:"" help:"Which bins are ripe, how to take them and what they give; or what the entry of a harvest would do, and writes it down when asked to."`
	Screen    screenCommand    `cmd:"" help:"What a deck is likely to do with a lot or a heap; or what the entry of a screening would do, and writes it down when asked to."`
	Trial     trialCommand     `cmd:"" help:"What trials with matched bins say so far: the difference between their sides, with its range."`
	Season    seasonCommand    `cmd:"" help:"The year: what to start, collect, harvest and sell, what holds it back and what one more is worth."`
	Costs     costsCommand     `cmd:"" help:"What a cubic yard of castings costs: by lot, by month, by product, and what if."`
	Orders    ordersCommand    `cmd:"" help:"Who wants what and by when: the order book, what is still to be delivered by week, and orders out of a sheet."`
	Duties    dutiesCommand    `cmd:"" help:"Registrations, permits, checks and stocktakes by the day that they are due."`
	Score     scoreCommand     `cmd:"" help:"How far to trust the forecasts: held against what was read, and what would help most."`
	Mix       mixCommand       `cmd:"" help:"Blend feedstocks: what a mix is, which parts make one, how sure it is, and what to test next."`
	Bed       bedCommand       `cmd:"" help:"Run one bed from a stated start: heat, water, air, decay and worms, day by day."`
	Moves     movesCommand     `cmd:"" help:"Truck moves: the fewest lifts that reach the bins wanted, with a bound."`
	Carpentry carpentryCommand `cmd:"" help:"A wooden bin: whether it holds, what to cut from what, holes, weight, how long it lasts."`
	Figure    figureCommand    `cmd:"" help:"Compute one equation: a number checked by hand, by a script or by an inspector."`
	Journal   journalCommand   `cmd:"" help:"Take in, write out, show and strike entries of the journal."`
	People    peopleCommand    `cmd:"" help:"Who may come in, and as what."`
	Verify    verifyCommand    `cmd:"" help:"Recheck the whole journal, link by link, and fold it again."`
	Backup    backupCommand    `cmd:"" help:"Write a checked copy of the farm, while it is in use."`
	Calibrate calibrateCommand `cmd:"" hidden:"" help:"Fit the numbers of the worms to published series, or set them against other series."`
	Restore   restoreCommand   `cmd:"" help:"Make the farm from a backup, never over a farm without --replace."`
}
