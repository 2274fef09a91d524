package words

var spanishOrders = map[string]string{
	"orders.title": "Pedidos", "more.ordersnote": "Quién quiere qué y para cuándo, y la lista de precios",
	"orders.open.one": "%d pedido está abierto", "orders.open.many": "%d pedidos están abiertos", "orders.openlate": "%s, %s", "orders.late.one": "%d de ellos atrasado", "orders.late.many": "%d de ellos atrasados",
	"orders.empty": "Todavía no hay pedidos en el libro. Anote uno, o traiga una hoja.", "orders.new": "Pedido nuevo", "orders.import": "Traer una hoja",
	"orders.overdue": "Atrasados", "orders.noday": "Sin día", "orders.week": "Semana del %s", "orders.withlate": "%s, con lo atrasado", "orders.row": "%s: %s", "orders.due": "para el %s", "orders.left": "faltan %s", "orders.latesince": "%s, atrasado",
	"orders.pieces": "%s × %s", "orders.of": "%s de %s", "orders.worth": "%s (%s)", "orders.each": "%s por %s", "orders.from": "desde %d a %s",
	"orders.byweek": "Lo que falta entregar, por semana", "orders.closed.one": "%d pedido entregado o cancelado", "orders.closed.many": "%d pedidos entregados o cancelados",
	"orders.stale.one": "%d pedido atrasado desde hace mucho", "orders.stale.many": "%d pedidos atrasados desde hace mucho", "orders.stalehelp": "Eran para hace más de dos meses, y nadie anotó qué fue de ellos. No cuentan en ninguna semana. Entréguelos o cancélelos.",
	"orders.noprices": "Todavía no hay lista de precios. Con ella el pedido tiene su precio, y la venta sus bolsas.", "orders.setprices": "Poner la lista de precios",
	"orders.imported.one": "%d pedido está ahora en el libro.", "orders.imported.many": "%d pedidos están ahora en el libro.",
	"order.state.open": "Abierto", "order.state.part": "Entregado en parte", "order.state.done": "Entregado", "order.state.cancelled": "Cancelado",
	"order.none": "En la bitácora no hay tal pedido.", "order.title": "Pedido de %s", "order.under": "%s, %s",
	"order.deliver": "Entregar", "order.worms": "Entregar lombrices vivas", "order.cancel": "Cancelar el pedido", "order.paper": "Pedido en PDF",
	"order.wanted": "Pedido", "order.got": "Entregado", "order.left": "Falta", "order.due": "Para cuándo", "order.worth": "Vale", "order.bylist": "%s %s según la lista de precios", "order.agreed": "%s %s según lo acordado", "order.ref": "Su número", "order.why": "Se canceló porque", "order.entered": "Anotado",
	"order.sales": "Lo que se entregó", "order.nosales": "Todavía nada.", "order.part": "%s", "order.partof": "%s: %s", "order.ofalot": "%s, del lote %s", "order.note": "Nota de entrega del %s",
	"order.act.deliver": "Entregar a %s", "order.act.worms": "Lombrices vivas para %s", "order.act.cancel": "Cancelar el pedido de %s", "order.leftsay": "Falta: %s",
	"order.lot": "%s, %s sueltos", "order.lotbags": "%s, %s", "order.lotheld": "%s, detenido: %s", "order.lotraw": "%s, sin autorizar",
	"orders.importtitle": "Pedidos de una hoja", "orders.importunder": "Un CSV o XLSX con un pedido en cada fila. Primero usted ve cómo se leen las columnas y todo lo que está mal; luego se guarda entera o nada.",
	"orders.notable": "%s no es una tabla. Guarde los pedidos como CSV o XLSX.", "orders.leaveout": "dejarla fuera", "orders.orderday": "Día del pedido", "orders.column": "La columna %q es", "orders.columns": "Qué son las columnas", "orders.again": "Mirar otra vez con estas", "orders.dates": "Las fechas como 3/4/2026 son", "orders.datesplain": "como se puedan leer", "orders.mdy": "primero el mes", "orders.dmy": "primero el día",
	"complaint.title": "Quejas", "complaint.head": "Queja del %s de %s", "complaint.nobody": "un cliente", "complaint.lot": "%s, lote %s", "complaint.bags": "%s Bolsas: %s.", "complaint.done": "%s Lo que se hizo: %s",
	"lot.act.keep": "Guardar una muestra", "lot.act.complaint": "Anotar una queja", "lot.sample": "Muestra %s", "lot.sampleplace": "guardada", "lot.sampleuntil": "hasta el %s",
}
