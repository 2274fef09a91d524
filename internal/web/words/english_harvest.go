package words

// englishHarvest is what is said of ripe bins and of decks.
var englishHarvest = map[string]string{
	"ripe.title": "Ripe, or soon", "ripe.unknown": "Which bins are ripe is known once the round of today is made.", "ripe.none": "No bin is likely to be ripe within the days that were looked ahead.", "ripe.more.one": "%d more bin is ripe or soon is.", "ripe.more.many": "%d more bins are ripe or soon are.",
	"ripe.bins": "%s; castings %s, worms %s", "ripe.bin": "Taking it", "ripe.is": "%s", "ripe.now": "Now",
	"ripe.shares":   "Worked of what worms can work, in a hundred: %s. Feed still in it: %s. Ripe from the bottom up: %s.",
	"ripe.chance":   "That it is ripe today: %s.",
	"ripe.sidestep": "If you take it by side feeding, feed one half only from here on: after about %s days most worms have moved. Some always stay.",
	"ripe.stopstep": "Stop feeding and let it dry: about %s days before it is taken.", "ripe.takestep": "Take it. Good castings are cocoa-coloured rather than black, and crumble; write down with a look what they are like.",
	"ripe.way": "How", "ripe.castings": "castings", "ripe.worms": "worms got back", "ripe.cocoons": "cocoons got back",
	"ripe.way.side_feeding": "Side feeding", "ripe.way.table": "Table and light", "ripe.way.screening": "Screen of 1/4 in",
	"ripe.waysnote": "How many are got back is common practice with no source; castings are as they lie. What is not got back leaves with them. Screened castings are without chips counted; chips go back.",
	"deck.title":    "Before the crew starts", "deck.see": "See what it does", "deck.opening": "Opening", "deck.openinghelp": "Such as 1/4 in or 6 mm. Measure it: cloth sold as an eighth has smaller holes.",
	"deck.water": "Moisture of the heap", "deck.waterhelp": "In a hundred of its weight.", "deck.deck": "Screen", "deck.flat": "Flat deck", "deck.drum": "Drum", "deck.rate": "How fast it is fed", "deck.ratehelp": "100 is as usual.",
	"deck.chips": "Chips in the heap", "deck.chipshelp": "Of its weight. Leave it empty if nobody knows.",
	"deck.bad": "%s cannot be used here. It must be a number from %s to %s.", "deck.badopening": "%s is no opening of a deck. Give it as 1/4 in or 6 mm, from 0.5 to 50 mm.",
	"deck.balls":  "At %s moisture it makes balls and will not go through. Let it dry to %s or less first.",
	"deck.sticks": "At %s moisture it sticks: the cut is poor and the deck blinds. Better %s or less.",
	"deck.dusty":  "At %s moisture it is dusty, and the life in it is drying out. Wear a mask, and wet it after.",
	"deck.mm":     "%s in (%s mm)", "deck.through": "goes through", "deck.ofheap": "(%s of the heap)", "deck.over": "goes back", "deck.efficiency": "efficiency", "deck.parts": "(of the fine %s through, of the coarse %s kept back)",
	"deck.cocoons": "cocoons kept back", "deck.worms": "grown worms kept back", "deck.threads": "fungal threads left whole", "deck.goes": "goes through, in a hundred",
	"deck.unsure":  "Not everything that went into this lot or out of it was weighed, so the amounts are of what is known.",
	"deck.stock":   "About %s of the cocoons leave with the castings. If you want them for the stock, hold the fines %s days at %s and bait them; if worms in the product do no harm, leave them in: that is a choice of product.",
	"deck.fine":    "So fine a deck breaks fungal threads: count fungi after it, not before. A coarser one leaves them whole.",
	"deck.assumed": "The cut is assumed from the opening: nobody is known to have measured one with castings. Write down moisture, what passed and what was kept back, and your own counts.",
	"deck.own.one": "The cut leans on %d screening of this farm.", "deck.own.many": "The cut leans on %d screenings of this farm.",
	"deck.beside": "Other openings", "deck.besidenote": "Cocoons by their width alone, those stuck in crumbs with the crumb. Grown worms as sellers tell; low trust.",
}
