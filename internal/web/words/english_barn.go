package words

// englishBarn is what is said of entries that wait on a device, of steppers, of
// photos and of undoing.
var englishBarn = map[string]string{
	"install.name": "%s, wormyard", "language.name": "English", "more.language": "Language", "entry.line": "%s: %s.", "entry.plain": "%s.", "entry.field": "%s %s",

	"outbox.title": "What waits on this phone", "outbox.under": "Entries made without signal wait here and go to the farm by themselves, in their order.",
	"outbox.noscript": "Scripts are off in this browser, so nothing can wait here: entries go to the farm at once or not at all.",
	"outbox.wait.one": "%d entry waiting since %s.", "outbox.wait.many": "%d entries waiting since %s.",
	"outbox.backone": "Came back: %s", "outbox.backmany": "%d entries came back with questions.",
	"form.must": "%s is missing.", "form.musttry": "Fill it in.",
	"enter.group.beds": "At the beds", "enter.group.bins": "Bins and worms", "enter.group.yard": "Yard and weather", "enter.group.castings": "Castings and sale", "enter.group.rest": "The rest",
	"outbox.see": "See", "outbox.renew": "Show it anew", "outbox.heard": "The farm is heard again. This page is an older one.", "outbox.came.one": "The farm is heard again: %d entry arrived.", "outbox.came.many": "The farm is heard again: %d entries arrived.",
	"keep.ready": "Ready without signal.", "keep.fetching": "Fetching pages for work without signal.", "outbox.open": "Look at it",
	"outbox.kept": "No signal, page of %s.", "outbox.nostore": "This browser keeps nothing, so entries go to the farm at once or not at all.",
	"outbox.signedout": "You are signed out. The entries stay here until you sign in again.", "outbox.notallowed": "The farm takes no entries from the person who is signed in. They stay here until somebody of the crew signs in.",
	"outbox.otherperson": "Some were made by another person. They stay here until that person signs in on this phone.",
	"outbox.trouble":     "The farm cannot take them at the moment. They stay here and are tried again.",
	"outbox.nearlyfull":  "This phone is nearly full. Entries still fit; photos may not. Delete something you do not need.",
	"outbox.full":        "This phone has no room left, so the entry could not be put away. Nothing was saved.", "outbox.fulltry": "Leave this page open, free some room on the phone, and press the button again. Or write it on paper.",
	"outbox.photolost.one": "%d photo did not fit or could not be taken; its entry is safe.", "outbox.photolost.many": "%d photos did not fit or could not be taken; their entries are safe.",
	"outbox.newer":  "The farm's program is newer. This page will refresh when nothing waits.",
	"outbox.just":   "Put away: %s",
	"outbox.undone": "Undone: %s", "outbox.boxsay": "%s: %s",
	"outbox.mark.waiting": "Answered at %s, waiting for signal", "outbox.mark.sent": "Answered at %s, with the farm", "outbox.mark.doubtful": "Answered at %s, the farm asks whether that is right", "outbox.mark.refused": "Answered at %s, not taken: look at the reason",
	"outbox.list.back": "Came back", "outbox.list.waiting": "Waiting", "outbox.list.sent": "With the farm, of the last day", "outbox.none": "Nothing waits. All that was made on this phone is with the farm.",
	"outbox.sendnow": "Try now", "outbox.made": "Typed %s", "outbox.madeby": "Typed %s by %s", "outbox.nottaken": "Not taken, because:", "outbox.asks": "The farm asks:", "outbox.typed": "All that was typed", "outbox.mend": "Open its form", "outbox.again": "Send again", "outbox.drop": "Throw away", "outbox.dropsure": "Yes, throw it away for good", "outbox.journal": "In the journal",
	"outbox.missing": "There is no signal, and that page is not kept on this phone.", "outbox.forbin": "Write down for %s",
	"outbox.unread": "What this phone sent could not be read.", "outbox.unreadtry": "Open the round again and send once more.",
	"outbox.newformat": "This phone runs a newer program than the farm.", "outbox.newformattry": "Start the farm's newest program, then send again.",
	"outbox.noid": "The entry has no id.", "outbox.noidtry": "Open the form again and fill it in anew.",
	"outbox.other": "An entry with this id is in the journal, and it says something else.", "outbox.othertry": "Strike the one in the journal if it is wrong, and enter this one anew.",
	"outbox.device": "phone %s", "outbox.deviceslow": "%s, its clock %s behind", "outbox.devicefast": "%s, its clock %s ahead",
	"outbox.clockslow": "This phone's clock is %s behind the farm's. The entry was put right to %s.", "outbox.clockfast": "This phone's clock is %s ahead of the farm's. The entry was put right to %s.",

	"undo.do": "Undo", "undo.why": "undone", "undo.nonetry": "It is not in the journal, so there is nothing to undo.",
	"step.less": "Less: %s", "step.more": "More: %s",

	"photo.take": "Photo", "photo.alt": "The photo just taken", "photo.drop": "Without the photo", "photo.working": "Making it small", "photo.ready": "%d kB, goes with the entry", "photo.unread": "That is no picture this phone can read.",
	"photo.of": "Photo with: %s", "photo.gone": "The photo of this entry is not here.", "photo.nowhere": "This farm keeps no photos.", "photo.broken": "The photo did not come whole.", "photo.type": "The photo is not a JPEG.", "photo.size": "The photo is larger than a phone should send.",
	"photo.wrongtry": "Take it again, or send the entry without it.",
}
