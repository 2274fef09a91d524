package words

var spanishCastings = map[string]string{
	"castings.title": "Humus", "castings.under": "%s, unas %s si no se perdió nada.", "castings.count.one": "Hay %d lote", "castings.count.many": "Hay %d lotes",
	"castings.empty":   "Ninguna cosecha ha entrado en un lote todavía. Ponga el nombre de un lote en una cosecha, y aparece aquí.",
	"castings.harvest": "Anotar una cosecha", "castings.sell": "Anotar una venta",
	"castings.sold.one": "%d lote del que no queda nada", "castings.sold.many": "%d lotes de los que no queda nada", "castings.soldnote": "%s, desde el %s",
	"castings.since": "desde el %s", "castings.left": "quedan unas %s de %s", "castings.unsure": "se sabe de %s, algo quedó sin pesar", "castings.bags": "%d bolsas llenas, %d vendidas", "castings.held": "detenido: %s", "castings.alt": "Lote %s, %s",
	"more.castingsnote": "Los lotes según cómo van", "more.tracenote": "De dónde salió, quién lo tiene",

	"lot.title": "Lote %s", "lot.under": "%s, desde el %s", "lot.released": "Autorizado el %s según %s, por %s", "lot.heldhead": "Detenido desde el %s",
	"lot.state.raw": "Cosechado", "lot.state.screened": "Cribado", "lot.state.curing": "Curándose", "lot.state.held": "Detenido", "lot.state.released": "Autorizado", "lot.state.sold": "No queda nada",
	"lot.act.screen": "Cribar", "lot.act.cure": "Poner a curar", "lot.act.assay": "Analizar", "lot.act.bag": "Embolsar", "lot.act.sell": "Vender", "lot.act.join": "Juntar con otro", "lot.act.hold": "Detener", "lot.act.release": "Autorizar",
	"lot.made": "Lo que le entró, por partes", "lot.madenothing": "Nadie anotó de qué se hicieron ni qué comieron sus camas.", "lot.beds": "De estas camas", "lot.out": "Lo que entró y lo que salió", "lot.balance": "Cómo cuadran los pesos", "lot.notests": "Todavía no hay ningún análisis de este lote.",
	"lot.in": "Cosechado", "lot.overs": "Rechazo de la criba", "lot.oversto": "El rechazo está en", "lot.overslie": "%s ahí ahora", "lot.bagged": "Embolsado", "lot.bulk": "Vendido a granel", "lot.given": "A otros lotes", "lot.kept": "Guardado en muestras", "lot.bags": "Bolsas", "lot.cure": "Se cura en",
	"lot.traceback": "Todo lo que lleva", "lot.traceforward": "Todo lo que lo lleva", "fault.nolot": "No hay ningún lote %s en la bitácora.",

	"lot.steps": "Del montón al cliente", "lot.step.not": "todavía no", "lot.step.screened": "%s, %s retenidos", "lot.step.cured": "desde el %s", "lot.step.curedat": "%s, %s", "lot.step.last": "%s, lo último el %s", "lot.step.slides.one": "%d preparación", "lot.step.slides.many": "%d preparaciones", "lot.step.tests.one": "%d resultado", "lot.step.tests.many": "%d resultados",
	"lot.step.held": "detenido: %s", "lot.step.released": "%s por %s, según: %s", "lot.step.labels": "con lote, análisis y código, en PDF", "lot.step.bagged": "%s llenas, %s", "lot.step.here.one": "%d aquí", "lot.step.here.many": "%d aquí",
	"lot.here.loose": "Aquí hay sueltos cerca de %s", "lot.here.volume": "%s (%s)", "lot.here.bags": "%s, y %s sin vender", "lot.here.unsure": "No todo se pesó, así que no se sabe cuánto hay aquí",
	"harvest.nolot": "Este humus no entra en ningún lote.", "harvest.nolottry": "Elija un lote, por ejemplo %s: sin lote no se puede seguir, autorizar ni etiquetar. Si ha de quedar sin lote, diga que sí.", "harvest.newlot": "%s, lote nuevo", "harvest.openlot": "%s, empezado %s", "harvest.lothelp": "El humus se sigue por lote hasta quien lo compra.", "harvest.otherlot": "Otro nombre", "harvest.taken": "Entretanto se empezó el lote %s, %s, por %s. El formulario lo proponía como nuevo.", "harvest.takentry": "Diga que sí si esta cosecha va al mismo lote; si no, elija uno nuevo, como %s.",

	"balance.in": "Entró", "balance.water": "Además, agua", "balance.out": "Salió", "balance.left": "Queda ahí", "balance.rest": "Sin explicar", "balance.lies": "Sigue ahí, o se perdió",
	"balance.unsure": "Algunos pesos no están anotados, así que las sumas son de los que sí.", "balance.usual": "Los volúmenes cuentan a %s, que es lo usual; pese y mida una cosecha, y contará la suya.", "balance.measured": "Los volúmenes cuentan a %s, como esta granja pesó y midió sus cosechas.",

	"trace.title": "Rastro y retiro", "trace.under": "Qué lleva un lote, y quién tiene aquello en que entró una carga.", "trace.of": "Rastro de %s", "trace.back": "De qué se hizo. La parte es lo que salió de cada cosa.", "trace.forward": "Todo lo que lo puede llevar. La parte es lo que en cada cosa salió de ahí.",
	"trace.goback": "De qué se hizo", "trace.goforward": "Qué lo puede llevar", "trace.sheet": "Como hoja (CSV)", "trace.ask": "Rastrear algo", "trace.box": "Lote, carga, montón, tanda, caja o cliente", "trace.boxhelp": "Por ejemplo 25-20, pile hay (montón), hay 2026-05-03 (carga), batch 41 (tanda), bin B12 (caja).",
	"trace.nothing": "Nada se llama %q en la bitácora.", "trace.near": "¿Quiso decir %s?", "trace.try": "Escríbalo como está en la bitácora: un lote por su nombre, lo demás con lo que es, por ejemplo pile hay (montón).",
	"trace.recall": "Pueden llevar %s: %s, %s. Se halló en %s s.", "trace.recallmore": "De las bolsas, %d están vendidas y %d siguen aquí. %s, de %s.", "trace.bags.one": "%d bolsa", "trace.bags.many": "%d bolsas", "trace.customers.one": "%d cliente", "trace.customers.many": "%d clientes",
	"trace.sales.one": "%d venta", "trace.sales.many": "%d ventas", "trace.lots.one": "%d lote", "trace.lots.many": "%d lotes",
	"trace.loophead": "Un lote quedaría hecho de sí mismo", "trace.loop": "Estos entraron uno en otro: %s. Tache la anotación que está mal; mientras tanto no se saben las partes que siguen, y sí quién lo puede tener.",
	"trace.unknown": "no se sabe", "trace.percent": "%s %%", "lot.tests": "Análisis de este lote", "balance.over": "Salió más de lo que entró: los volúmenes pueden pesar menos de lo que cuentan, o falta una cosecha.", "trace.little": "menos de 1 %", "trace.about": "más o menos %s", "trace.more.one": "%d más", "trace.more.many": "%d más", "trace.oversto": "fue a: %s", "trace.alt": "Dibujo del rastro de %s; la lista de abajo dice lo mismo",
	"trace.drawn":             "Las líneas anchas son mucho, las delgadas poco, las cortadas de peso que no se sabe. Las partes chicas van en un solo cuadro; la lista las tiene todas.",
	"trace.kind.delivery.one": "%d carga", "trace.kind.delivery.many": "%d cargas", "trace.kind.pile.one": "%d montón", "trace.kind.pile.many": "%d montones", "trace.kind.batch.one": "%d tanda", "trace.kind.batch.many": "%d tandas", "trace.kind.bedding.one": "%d cama sin tanda", "trace.kind.bedding.many": "%d camas sin tanda",
	"trace.kind.bed.one": "%d cama", "trace.kind.bed.many": "%d camas", "trace.kind.lot.one": "%d lote", "trace.kind.lot.many": "%d lotes", "trace.kind.overs.one": "Rechazo de %d lote", "trace.kind.overs.many": "Rechazo de %d lotes", "trace.kind.bags.one": "Bolsas de %d lote y tamaño", "trace.kind.bags.many": "Bolsas de %d lotes y tamaños",
	"trace.kind.sample.one": "%d muestra guardada", "trace.kind.sample.many": "%d muestras guardadas", "trace.kind.sale.one": "%d venta", "trace.kind.sale.many": "%d ventas", "trace.kind.customer.one": "%d cliente", "trace.kind.customer.many": "%d clientes",
	"trace.column.delivery": "Cargas", "trace.column.pile": "Montones", "trace.column.batch": "Tandas", "trace.column.bed": "Camas", "trace.column.lot": "Lotes", "trace.column.bags": "Bolsas", "trace.column.overs": "Rechazo", "trace.column.sale": "Ventas", "trace.column.customer": "Clientes",
	"trace.name.delivery": "%s del %s", "trace.name.bedding": "cama de: %s", "trace.name.bed": "Caja %s, cama del %s", "trace.name.overs": "Rechazo del lote %s", "trace.name.bags": "%s del lote %s", "trace.name.sale": "Venta del %s, a granel", "trace.name.salebags": "Venta del %s, %s",
}
