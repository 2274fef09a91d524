package words

// englishRelease is the words of the page on which a lot is released.
var englishRelease = map[string]string{
	"release.onrecord": "%s: %s", "release.heatlog.one": "Heat of pile %[2]s, %[1]d reading, %[3]s to %[4]s", "release.heatlog.many": "Heat of pile %[2]s, %[1]d readings, %[3]s to %[4]s", "release.hold": "Hold this lot", "release.other": "Something else", "release.norecord": "Nothing of this kind is on record. Say what shows it, or leave it empty.", "release.shownhelp": "Whoever signs says what shows each point that the journal does not settle by itself.", "release.told": "Lot %s released under: %s.", "release.would": "%s under: %s", "release.allowed": "Allowed", "release.recalled": "Would be allowed if the text is as recalled", "release.missing": "Evidence is missing", "release.blocked": "Blocked",
	"release.known.found": "%s, text read; to be read again by %s.", "release.known.memory": "%s, text only as recalled; to be read again by %s.", "release.known.assumed": "%s, the farm's own; to be looked at again by %s.",
	"release.where.found": "%s; this text was read.", "release.where.memory": "%s; this text is as recalled.", "release.where.assumed": "%s; the farm's own.",
	"release.either": "One of several is enough here.", "release.entry": "The entry it rests on", "release.pileheat": "Pile %s after the load of %s: %s", "release.pointed": "What it was released on", "release.pointedmore.one": "and %d more like it", "release.pointedmore.many": "and %d more like it", "release.rest.one": "%d more, of a pile of which less went in", "release.rest.many": "%d more, of piles of which less went in", "release.rules": "Hold it against another rule", "release.refuses": "Words that it keeps off a label", "fault.norule": "There is no rule %s.",
}
