package words

// englishWalk is what is said when the round is walked place by place, and of
// what is left undone.
var englishWalk = map[string]string{
	"outbox.lookat": "Look at what it may be",
	"visit.title":   "Visits with the truck today: %d",
	"walk.title":    "Walk the round", "walk.none": "There is no round to walk yet.", "walk.pile": "Pile %s",
	"walk.over": "Nothing is open", "walk.oversay": "Every stop of this round is done or left with its reason.",
	"walk.progress": "%d of %d stops settled", "walk.minutes": "So far it took %s, pauses left out. That work was reckoned at %s.",
	"walk.pace":     "%s: about %s a bin here, by %d entries. Before they told, it was reckoned at %s.",
	"walk.open.one": "%d stop is open.", "walk.open.many": "%d stops are open.",
	"walk.left": "Left, with its reason", "walk.leftat": "%s was left %s by %s: %s", "walk.settled": "Left. It comes again tomorrow with its reason.",
	"walk.before": "The one before", "walk.next": "The next one", "walk.list": "The whole list",
	"walk.how.skipped": "Skip it", "walk.how.couldnot": "Could not", "walk.how.visit": "Leave this whole visit of the truck: %d bins",
	"walk.truck.one": "It stands under %d bin. The truck takes that one down first and puts it back after.", "walk.truck.many": "It stands under %d bins. The truck takes them down first, from the top, and puts them back after.",
	"walk.own": "Another reason", "walk.leave": "Leave it",
	"walk.nowhy":   "Nothing says why it was left. Tap a reason, or write one.",
	"stop.settled": "It was settled %s by %s.", "stop.settledby": "This was settled %s by %s: %s",
	"stop.settledtry":    "If it is the same work, yours is not needed and may be thrown away. If it was done a second time, say yes.",
	"stop.notwritten":    "%s What you pressed was not written down.",
	"stop.notwrittenwhy": "%s Your reason was not written down: %s",
	"walk.why.notime":    "no time", "walk.why.notneeded": "not needed, I looked", "walk.why.other": "somebody else does it",
	"walk.why.nofeed": "no feed mixed", "walk.why.noreach": "cannot get at it", "walk.why.truck": "the truck is out of service", "walk.why.water": "no water", "walk.why.unsafe": "not safe",
}
