package words

// englishHabits is what is said of a farm's habits, and when the round asks
// whether something was fed.
var englishHabits = map[string]string{
	"farm.feeddays": "You feed on", "farm.feeddayshelp": "The round keeps to these days, and what it advises lasts from one to the next. None ticked: any day.",
	"farm.feedmost": "You never feed deeper at once than", "farm.feedmosthelp": "Leave it empty where you have no such rule.",
	"farm.pace": "how long work takes",
	"farm.cost": "what that costs", "farm.costlater": "The next round works it out.", "farm.costof": "Tried on the models of %d bins, %s.",
	"farm.badday": "%q is no day of the week.", "farm.baddaytry": "Tick the days on which you feed.",

	"farm.worms": "Worms", "farm.wormssay": "The models of the beds grow, lay and stand heat and cold as these worms do. Of the last four kinds less is known, and the ranges are wide.",
	"farm.wormskind": "The worms you keep", "farm.wormshelp": "Where kinds are mixed, take the one of which there are most: all are reckoned as that one.",
	"worms.fetida": "Red wigglers (Eisenia fetida)", "worms.andrei": "Red tiger worms (Eisenia andrei)", "worms.veneta": "European nightcrawlers (Dendrobaena veneta)",
	"worms.eugeniae": "African nightcrawlers (Eudrilus eugeniae)", "worms.excavatus": "Indian blues (Perionyx excavatus)", "worms.rubellus": "Leaf worms (Lumbricus rubellus)",
	"fact.worms": "kind of worms",

	"act.ask": "ask", "ask.fed": "Yes, fed on %s", "ask.other": "Fed, but otherwise", "ask.not": "No, it was not", "ask.nobody": "Don't know",
	"ask.blank": "Fed: yes / no / nobody knows",
}
