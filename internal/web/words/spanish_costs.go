package words

var spanishCosts = map[string]string{
	"costs.title": "Costos", "more.costsnote": "Lo que cuesta una yarda cúbica, y lo que queda de un precio",
	"costs.partof.yard": "Lo que tiene precio de una yarda cúbica de humus cuesta %s %s", "costs.partof.metre": "Lo que tiene precio de un metro cúbico de humus cuesta %s %s",
	"costs.say.yard": "Una yarda cúbica de humus cuesta %s %s", "costs.say.metre": "Un metro cúbico de humus cuesta %s %s",
	"costs.of": "Promedio de %s de los últimos doce meses, %s que se pueden vender.", "costs.lots.one": "%d lote", "costs.lots.many": "%d lotes",
	"costs.none":  "Todavía ningún lote tiene volumen, así que no hay entre qué repartir los costos. Anote una cosecha con su lote y su volumen o peso.",
	"costs.range": "%s (%s a %s)", "costs.unknown": "no se sabe", "costs.less": "Como está, cuesta %s; con lo que usted prueba, %s menos.", "costs.more": "Como está, cuesta %s; con lo que usted prueba, %s más.", "costs.same": "Como está, cuesta %s; lo que usted prueba no cambia nada.",
	"cost.kind.feedstock": "Material", "cost.kind.haulage": "Transporte", "cost.kind.crew": "Cuadrilla", "cost.kind.truck": "Cargador y montacargas", "cost.kind.heat": "Calefacción", "cost.kind.bags": "Bolsas", "cost.kind.totes": "Supersacos",
	"costs.notin": "no está", "costs.notsaid": "Nadie dijo lo que cuesta.", "costs.partly": "Una parte no tiene precio y no se cuenta.",
	"costs.left": "Lo que todavía no está", "costs.used.crew": "%s horas; diga lo que cuesta una", "costs.used.truck": "%s horas; diga lo que cuesta una", "costs.used.heat": "%s kWh; diga lo que cuesta uno", "costs.used.bags": "%s bolsas; diga lo que cuesta una vacía", "costs.used.totes": "%s supersacos; diga lo que cuesta uno vacío",
	"costs.tryhead": "Y si", "costs.tryhelp": "Cambie un número y vea moverse el costo. Nada de esto se guarda.", "costs.try": "Ver qué resulta", "costs.asitis": "Como está",
	"costs.try.wage": "Jornal de una hora", "costs.try.truck": "Cargador o montacargas, una hora", "costs.try.power": "Luz, un kWh", "costs.try.bag": "Una bolsa vacía", "costs.try.tote": "Un supersaco vacío", "costs.try.haul": "Transporte, de lo que se pagó", "costs.try.times": "Precios de venta, de lo que fueron", "costs.try.yield": "De la cosecha, lo que se puede vender",
	"costs.yieldhelp": "Vacío: lo que pasó por las cribas.", "costs.noprice": "%s es %q, que no es un precio.", "costs.nopricetry": "Escriba un número entre 0 y 1,000,000, como 18.50.", "costs.noyieldtry": "Escriba una parte entre 0 y 100 %.",
	"costs.spent": "%s gastado", "costs.tosell": "%s para vender", "costs.bylot.yard": "La yarda cúbica, por lote", "costs.bylot.metre": "El metro cúbico, por lote", "costs.bymonth.yard": "La yarda cúbica, por mes de cosecha", "costs.bymonth.metre": "El metro cúbico, por mes de cosecha", "costs.soldfor": "vendido por %s", "costs.itcost": "costó %s", "costs.month": "%s de %d", "costs.lacks": "sin una parte de %s",
	"costs.products": "Lo que queda del precio, por producto", "costs.unpriced.one": "no se cuenta %d venta sin precio", "costs.unpriced.many": "no se cuentan %d ventas sin precio",
	"costs.bagof": "Bolsas de %s", "costs.bags": "Bolsas de varios tamaños", "costs.loosevolume": "Suelto, por volumen", "costs.loosemass": "Suelto, por peso",
	"costs.waiting":     "%s de %s gastados no están en ningún lote: esperan en el patio y en las camas, o son de toda la granja. Renta, edificios, máquinas, intereses, oficina, ventas e impuestos no están en estos números.",
	"costs.assumed":     "Lo que se supone",
	"costs.assumedhelp": "Los costos siguen al material hasta los lotes por peso, y el trabajo por lo que se anotó y lo que suele tardar.", "costs.noload": "Cargas y calentadores sin precio", "costs.howlong": "Cuánto tarda el trabajo", "costs.set": "Poner precios y minutos",
	"costs.minutes": "%s min, como usted dijo", "costs.minutesrange": "%s min (%s a %s)",
	"costs.act.receive": "Una carga de material que entra", "costs.act.blend": "Un metro cúbico de tanda mezclado", "costs.act.feed": "Dar de comer a una caja", "costs.act.water": "Regar una caja", "costs.act.cover": "Poner o quitar una cubierta", "costs.act.turn": "Voltear una cama", "costs.act.look": "Revisar una caja", "costs.act.reading": "Meter el termómetro", "costs.act.depth": "Medir la altura", "costs.act.count": "Contar lombrices", "costs.act.move": "Mover una caja", "costs.act.harvest": "Cosechar una caja", "costs.act.screen": "Cribar un metro cúbico", "costs.act.bag": "Llenar una bolsa",

	"farm.money": "Precios", "farm.moneysay": "Lo que a usted le cuestan el trabajo, la luz y las bolsas. De esto vive la página Costos; lo que se deja vacío allí no se cuenta y se nombra.", "farm.currency": "Moneda", "farm.currencyhelp": "Por ejemplo USD.",
	"farm.badcurrency": "La moneda es %q.", "farm.badcurrencytry": "Use cuando mucho %d letras, como USD.", "farm.minutes": "Minutos que aquí tarda el trabajo", "farm.minuteshelp": "Lo usual: %s, de %s a %s.", "unit.minutes": "min", "farm.badminutes": "%q minutos no puede ser.", "farm.badminutestry": "Escriba minutos entre 0 y 1,440.",

	"prices.title": "Lista de precios", "prices.under": "Lo que usted vende, cómo se vende y lo que cuesta uno. De aquí toman los precios los pedidos y las ventas.", "prices.line": "Producto %d", "prices.name": "Nombre", "prices.as": "Se vende", "prices.size": "Cuánto es uno", "prices.price": "Precio de uno", "prices.steps": "Más barato por más",
	"prices.sizehelp": "Por ejemplo 1 cu ft, 1 yd3, 40 L o 1 lb de lombrices.", "prices.stepshelp": "Desde cierto número, por ejemplo 10: 17.50, 40: 15.", "prices.as.bag": "en bolsas", "prices.as.tote": "en supersacos", "prices.as.loose": "suelto", "prices.as.worms": "como lombrices vivas por peso", "prices.as.kit": "como paquetes para empezar",
	"prices.nosize": "El tamaño de %s es %q, que no es ni volumen ni peso.", "prices.nosizetry": "Escriba cuánto es uno con su unidad, como 1 cu ft.", "prices.nostep": "Un escalón de precio de %s es %q.", "prices.nosteptry": "Ponga el número, dos puntos y el precio de uno desde ahí, como 10: 17.50.",
}
