package words

// englishDoubt is what is said of readings of probes that are not believed.
var englishDoubt = whole(map[string]string{
	"doubt.title":      "Readings to check",
	"doubt.dial":       "A dial thermometer",
	"doubt.logger":     "A logger",
	"doubt.probe":      "A probe",
	"doubt.named":      "%s (%s)",
	"doubt.at":         "%s at %s",
	"doubt.since":      "So it was with %d readings since %s.",
	"doubt.out":        "The forecast does not go by it.",
	"doubt.impossible": "%s said %s (%s), and no bed is like that. Look at its plug and its battery.",
	"doubt.air":        "%s said %s (%s), and the air of no barn is like that. Look at its plug and its battery.",
	"doubt.clock":      "%s has a reading of %s, whole years off the day on which it was written down with what was read then. Its clock may have the wrong year.",
	"doubt.stuck":      "%s says %s and nothing else, from %s to %s. It may be stuck: put another thermometer beside it.",
	"doubt.spike":      "%s jumped to %s (%s) and was back within hours, as no bed does. It may have been pulled out, or its plug is loose.",
	"doubt.unit":       "%s said %s (%s), and no bed that lives is so cold. Was %s meant?",
	"doubt.unitof":     "%s said %s (%s), in a bed that was about %s then. Was %s meant?",
	"doubt.unittry":    "If so, strike it and write %s; if %s is right, write it once more and say yes.",
	"doubt.apart":      "%s said %s (%s), and %s said %s at about the same depth and hour. Neither is gone by until a third thermometer was put beside them.",
	"doubt.nearer":     "What else was read here lies nearer to %s.",
	"doubt.checked":    "%s said %s (%s), and %s said %s at about the same depth and hour, which was checked.",
})
