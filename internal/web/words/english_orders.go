package words

// englishOrders is what is said of orders, samples kept back and complaints.
var englishOrders = map[string]string{
	"orders.title": "Orders", "more.ordersnote": "Who wants what by when, and the price list",
	"orders.open.one": "%d order is open", "orders.open.many": "%d orders are open", "orders.openlate": "%s, %s", "orders.late.one": "%d of them overdue", "orders.late.many": "%d of them overdue",
	"orders.empty": "No order is in the book yet. Type one, or take in a sheet.", "orders.new": "New order", "orders.import": "Take in a sheet",
	"orders.overdue": "Overdue", "orders.noday": "Without a day", "orders.week": "Week of %s", "orders.withlate": "%s, with what is overdue", "orders.row": "%s: %s", "orders.due": "due %s", "orders.left": "%s still to come", "orders.latesince": "%s, overdue",
	"orders.pieces": "%s × %s", "orders.of": "%s %s", "orders.worth": "%s (%s)", "orders.each": "%s for %s", "orders.from": "from %d on %s",
	"orders.byweek": "Still to be delivered, by week", "orders.closed.one": "%d order delivered or cancelled", "orders.closed.many": "%d orders delivered or cancelled",
	"orders.stale.one": "%d order long overdue", "orders.stale.many": "%d orders long overdue", "orders.stalehelp": "Due more than two months ago, and nobody wrote down what became of them. They count in no week. Deliver or cancel each.",
	"orders.noprices": "No price list yet. With one, an order has its price, and a sale its bags.", "orders.setprices": "Set the price list",
	"orders.imported.one": "%d order is in the book now.", "orders.imported.many": "%d orders are in the book now.",
	"order.state.open": "Open", "order.state.part": "Partly delivered", "order.state.done": "Delivered", "order.state.cancelled": "Cancelled",
	"order.none": "There is no such order in the journal.", "order.title": "Order of %s", "order.under": "%s, %s",
	"order.deliver": "Deliver", "order.worms": "Deliver live worms", "order.cancel": "Cancel the order", "order.paper": "Order as PDF",
	"order.products.one": "%d product", "order.products.many": "%d products", "order.line": "%d. %s", "order.state": "State", "order.cancelall": "Cancel all of it", "order.cancelline": "Cancel this product", "order.leftworth": "Still to come, worth", "order.noline": "The order has %d products.", "order.whichproduct": "of which product nobody wrote",
	"order.newunder": "Who wants what, and by when: a row a product.", "order.row": "Product %d", "order.drop": "Take product %d out", "order.add": "Another product", "order.more": "A price agreed, another day",
	"order.howmuch": "How much", "order.howmuchhelp": "How many, or an amount with its unit: 40, %s, %s.", "order.otherday": "Due on another day", "order.pricehelp": "For all of this product; empty is by the price list.",
	"order.nocustomer": "It is not said who orders.", "order.nocustomertry": "Type the customer's name.", "order.nothing": "It is not said what is wanted.", "order.nowhat": "Row %d has no product.", "order.nowhattry": "Type what is wanted, such as a name of the price list.", "order.noamount": "%q is no amount of %s.", "order.noamounttry": "Type how many, such as 40, or an amount with its unit, such as %s or %s.",
	"order.wanted": "Ordered", "order.got": "Delivered", "order.left": "Still to come", "order.due": "Due", "order.worth": "Worth", "order.bylist": "%s %s by the price list", "order.agreed": "%s %s as agreed", "order.ref": "Their number", "order.why": "Cancelled because", "order.entered": "Written down",
	"order.sales": "What was delivered", "order.nosales": "Nothing yet.", "order.part": "%s", "order.partof": "%s: %s", "order.ofalot": "%s, of lot %s", "order.note": "Delivery note of %s",
	"order.act.deliver": "Deliver to %s", "order.act.worms": "Live worms to %s", "order.act.cancel": "Cancel the order of %s", "order.leftsay": "Still to come: %s",
	"order.lot": "%s, %s loose", "order.lotbags": "%s, %s", "order.lotheld": "%s, on hold: %s", "order.lotraw": "%s, not released",
	"orders.importtitle": "Orders from a sheet", "orders.importunder": "A CSV or XLSX with a row a product; rows of one customer with one order number are one order. First you see what its columns are read as and all that is wrong; then it is kept whole or not at all.",
	"orders.several": "orders of several rows", "orders.notable": "%s is no table. Save the orders as CSV or XLSX.", "orders.leaveout": "leave it out", "orders.orderday": "Day of the order", "orders.column": "Column %q is", "orders.columns": "What the columns are", "orders.again": "Look again with these", "orders.dates": "Dates such as 3/4/2026 are", "orders.datesplain": "as they can be read", "orders.mdy": "month first", "orders.dmy": "day first",
	"complaint.title": "Complaints", "complaint.head": "Complaint of %s from %s", "complaint.nobody": "a customer", "complaint.lot": "%s, lot %s", "complaint.bags": "%s Bags: %s.", "complaint.done": "%s Done about it: %s",
	"lot.act.keep": "Keep a sample back", "lot.act.complaint": "Write down a complaint", "lot.sample": "Sample %s", "lot.sampleplace": "kept back", "lot.sampleuntil": "until %s",
}
