package words

// englishLearned is what is said of what moved the twins of a bin.
var englishLearned = whole(map[string]string{
	"learned.title":   "What moved the estimate last",
	"learned.moved":   "%s: %s. The twins had %s and now have %s.",
	"learned.part":    "It lies so far off that it counts only in part until it is read once more.",
	"learned.not":     "%s: %s. The twins have %s, so far from it that something else is the matter: it moved nothing. Look again.",
	"learned.warmer":  "the thermometer at %s was %s warmer than expected",
	"learned.colder":  "the thermometer at %s was %s colder than expected",
	"learned.wet":     "the moisture probe at %s said %s water",
	"learned.height":  "the bed stood %s high",
	"learned.weight":  "the bin weighed %s",
	"learned.count":   "the count of worms comes to %s in the bin",
	"learned.none":    "no worm was in the sample",
	"learned.number":  "the count comes to %s worms in the bin",
	"learned.squeeze": "a squeezed handful was “%s”",
	"learned.left":    "of the last feeding “%s” was left",
	"learned.worms":   "the worms seen were “%s”",
	"learned.booked":  "What was found of this bed has put into it, or taken out where it says minus, %s of dry matter and %s of water that no feeding and no watering brought (equations T5 to T7).",
})
