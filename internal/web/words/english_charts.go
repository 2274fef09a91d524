package words

// englishCharts is what pictures over time say, and what stands on paper.
var englishCharts = map[string]string{
	"times.title": "Three weeks back, two ahead", "times.warm": "warmest place, %s", "times.wet": "wetness at the middle, %",
	"times.alt":     "Warmth and wetness of the bed over time with their ranges, readings as circles, and what was done below. The table under it says the same in words.",
	"times.caption": "Line: most likely. Dark band: half of what may be; light band: 9 in 10. Circles were read, at their own depth; their stroke is how far the probe may be off. The days ahead are as if nobody touches the bed.",
	"times.pick":    "Day that is read off", "times.said": "%s: warmest place %s, wetness %s.", "times.saiddone": "%s Then: %s.",
	"times.fed": "fed", "times.watered": "watered", "times.looked": "looked at", "times.turned": "turned", "times.other": "other work",
	"times.act.cover": "cover changed", "times.act.heat": "heat switched", "times.act.stock": "worms put in or taken", "times.act.take": "castings taken", "times.act.move": "moved",
	"times.read": "read %s, give or take %s", "times.table": "The same in a table", "times.day": "day", "times.warmhead": "warmest, %s", "times.wethead": "wetness, %", "times.done": "done and read",
	"draw.done": "%s, %s", "paper.head": "%s, printed %s at %s",
	"past.title":    "How the farm has been",
	"past.say":      "Made with the round, from the journal and the models of all beds. Beds that ended are not in it, save for days that were kept while they lived.",
	"past.alt":      "%s over time, last %s",
	"past.last":     "Last: %s.",
	"past.worms":    "Worms in all beds, %s",
	"past.wormssay": "Band: the ranges of all beds added up, as if all were off to the same side; the true one is narrower.",
	"past.eaten":    "Feed eaten a day, %s",
	"past.eatensay": "What the worms of all beds ate, as it lay, most likely.",
	"past.made":     "Castings made a day, dry, %s",
	"past.madesay":  "Dry matter that became castings in all beds, most likely. What is harvested does not count against it.",
	"past.air":      "Air of %s",
	"past.airsay":   "Lowest, mean and highest of each day on the floor: as read where somebody reads it, else as reckoned from the weather.",
	"past.work":     "Hours of work a week",
	"past.worksay":  "What was written down, each at the minutes that the round reckons with; the last week may not be over.",
}
