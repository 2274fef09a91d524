package words

// englishCastings is what is said of lots, and of where they came from and went.
var englishCastings = map[string]string{
	"castings.title": "Castings", "castings.under": "%s, about %s if nothing was lost.", "castings.count.one": "%d lot lies here", "castings.count.many": "%d lots lie here",
	"castings.empty":   "No harvest went into a lot yet. Write the name of a lot with a harvest, and it stands here.",
	"castings.harvest": "Write down a harvest", "castings.sell": "Write down a sale",
	"castings.sold.one": "%d lot with nothing left", "castings.sold.many": "%d lots with nothing left", "castings.soldnote": "%s, since %s",
	"castings.since": "since %s", "castings.left": "about %s left of %s", "castings.unsure": "%s known to be in it, some not weighed", "castings.bags": "%d bags filled, %d sold", "castings.held": "on hold: %s", "castings.alt": "Lot %s, %s",
	"more.castingsnote": "Lots by how far they are", "more.tracenote": "Where it came from, who has it",

	"lot.title": "Lot %s", "lot.under": "%s, since %s", "lot.released": "Released on %s under %s, by %s", "lot.heldhead": "On hold since %s",
	"lot.state.raw": "Harvested", "lot.state.screened": "Screened", "lot.state.curing": "Curing", "lot.state.held": "On hold", "lot.state.released": "Released", "lot.state.sold": "Nothing left",
	"lot.act.screen": "Screen", "lot.act.cure": "Lay to cure", "lot.act.assay": "Test", "lot.act.bag": "Bag", "lot.act.sell": "Sell", "lot.act.join": "Put together with another", "lot.act.hold": "Hold", "lot.act.release": "Release",
	"lot.made": "What went in, by share", "lot.madenothing": "Nobody wrote down what its beds were laid and fed with.", "lot.beds": "Out of these beds", "lot.out": "What came in and went out", "lot.balance": "How the masses add up", "lot.notests": "No test of this lot is written down yet.",
	"lot.in": "Harvested", "lot.overs": "Screened out", "lot.oversto": "Overs lie on", "lot.overslie": "%s there now", "lot.bagged": "Bagged", "lot.bulk": "Sold loose", "lot.given": "Into other lots", "lot.kept": "Kept back", "lot.bags": "Bags", "lot.cure": "Cures at",
	"lot.traceback": "All that is in it", "lot.traceforward": "All that has it", "fault.nolot": "There is no lot %s in the journal.",

	"lot.steps": "From the heap to the customer", "lot.step.not": "not yet", "lot.step.screened": "%s, %s kept back", "lot.step.cured": "since %s", "lot.step.curedat": "%s, %s", "lot.step.last": "%s, last on %s", "lot.step.slides.one": "%d slide", "lot.step.slides.many": "%d slides", "lot.step.tests.one": "%d result", "lot.step.tests.many": "%d results",
	"lot.step.held": "on hold: %s", "lot.step.released": "%s by %s, under: %s", "lot.step.labels": "with lot, analysis and code, as PDF", "lot.step.bagged": "%s filled, %s", "lot.step.here.one": "%d here", "lot.step.here.many": "%d here",
	"lot.here.loose": "About %s of it lies here loose", "lot.here.volume": "%s (%s)", "lot.here.bags": "%s, and %s not sold", "lot.here.unsure": "Not all of it was weighed, so what lies here is not known",
	"harvest.nolot": "These castings go into no lot.", "harvest.nolottry": "Choose a lot, such as %s: without one they cannot be traced, released or labelled. If they are to stay without, say yes.", "harvest.newlot": "%s, a new lot", "harvest.openlot": "%s, begun %s", "harvest.lothelp": "Castings are followed by lot to whoever buys them.", "harvest.otherlot": "Another name", "harvest.taken": "Lot %s was begun meanwhile, %s by %s. The form proposed it as a new one.", "harvest.takentry": "Say yes if this harvest goes into the same lot; else choose a new one, such as %s.",

	"balance.in": "Went in", "balance.water": "Water besides", "balance.out": "Came out", "balance.left": "Lies there", "balance.rest": "Not explained", "balance.lies": "Lies there still, or was lost",
	"balance.unsure": "Some masses are not written down, so the sums are of those that are.", "balance.usual": "Volumes count at %s, which is usual; weigh and measure one harvest, and the farm's own counts.", "balance.measured": "Volumes count at %s, as this farm weighed and measured its harvests.",

	"trace.title": "Trace and recall", "trace.under": "What is in a lot, and who has what a load went into.", "trace.of": "Trace of %s", "trace.back": "What it was made of. The share is the part of it that came from each.", "trace.forward": "All that can contain it. The share is the part of each that came from it.",
	"trace.goback": "What it was made of", "trace.goforward": "What can contain it", "trace.sheet": "As a sheet (CSV)", "trace.ask": "Trace something", "trace.box": "Lot, load, pile, batch, bin or customer", "trace.boxhelp": "Such as 25-20, pile hay, hay 2026-05-03, batch 41, bin B12.",
	"trace.nothing": "Nothing is called %q in the journal.", "trace.near": "Did you mean %s?", "trace.try": "Write it as the journal has it: a lot by its name, the rest with what it is, such as pile hay.",
	"trace.recall": "Can contain %s: %s, %s. Found in %s s.", "trace.recallmore": "%d of the bags are sold, %d are still here. %s, of %s.", "trace.bags.one": "%d bag", "trace.bags.many": "%d bags", "trace.customers.one": "%d customer", "trace.customers.many": "%d customers",
	"trace.sales.one": "%d sale", "trace.sales.many": "%d sales", "trace.lots.one": "%d lot", "trace.lots.many": "%d lots",
	"trace.loophead": "A lot would be made of itself", "trace.loop": "These went into one another: %s. Strike the entry that is wrong; until then the shares behind it are not known, and who can have it is.",
	"trace.unknown": "not known", "trace.percent": "%s %%", "lot.tests": "Tests of this lot", "balance.over": "More came out than went in: volumes may weigh less than they count, or a harvest is missing.", "trace.little": "under 1 %", "trace.about": "about %s", "trace.more.one": "%d more", "trace.more.many": "%d more", "trace.oversto": "went to: %s", "trace.alt": "Drawing of the trace of %s; the list below says the same",
	"trace.drawn":             "Wide lines are much, thin ones little, dashed ones of unknown mass. Small shares share a box; the list has all.",
	"trace.kind.delivery.one": "%d load", "trace.kind.delivery.many": "%d loads", "trace.kind.pile.one": "%d pile", "trace.kind.pile.many": "%d piles", "trace.kind.batch.one": "%d batch", "trace.kind.batch.many": "%d batches", "trace.kind.bedding.one": "%d bedding of no batch", "trace.kind.bedding.many": "%d beddings of no batch",
	"trace.kind.bed.one": "%d bed", "trace.kind.bed.many": "%d beds", "trace.kind.lot.one": "%d lot", "trace.kind.lot.many": "%d lots", "trace.kind.overs.one": "Overs of %d lot", "trace.kind.overs.many": "Overs of %d lots", "trace.kind.bags.one": "Bags of %d lot and size", "trace.kind.bags.many": "Bags of %d lots and sizes",
	"trace.kind.sample.one": "%d sample kept back", "trace.kind.sample.many": "%d samples kept back", "trace.kind.sale.one": "%d sale", "trace.kind.sale.many": "%d sales", "trace.kind.customer.one": "%d customer", "trace.kind.customer.many": "%d customers",
	"trace.column.delivery": "Loads", "trace.column.pile": "Piles", "trace.column.batch": "Batches", "trace.column.bed": "Beds", "trace.column.lot": "Lots", "trace.column.bags": "Bags", "trace.column.overs": "Overs", "trace.column.sale": "Sales", "trace.column.customer": "Customers",
	"trace.name.delivery": "%s of %s", "trace.name.bedding": "bedding: %s", "trace.name.bed": "Bin %s, bed of %s", "trace.name.overs": "Overs of lot %s", "trace.name.bags": "%s of lot %s", "trace.name.sale": "Sale of %s, loose", "trace.name.salebags": "Sale of %s, %s",
}
