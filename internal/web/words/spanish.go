package words

// Spanish gives the catalogue for crews who read Spanish, as it is spoken on
// farms of the United States. Numbers keep the decimal point and the comma of
// thousands: so do es-US and es-MX, so do the scale, the thermometer and the
// sacks in the same barn, and a form reads back what a page has printed. The
// language says es-US, so that browsers print numbers in their boxes alike.
func Spanish() *Catalogue {
	return &Catalogue{
		Lang: "es-US",
		say:  whole(spanish, spanishPages, spanishDoor, spanishLabel, spanishTrouble, spanishBarn, spanishWalk, spanishRound, spanishKinds, spanishMixPage, spanishQuick, spanishMap, spanishHabits, spanishRemedy, spanishCharts, spanishDoubt, spanishLearned, spanishScore, spanishSeason, spanishSample, spanishCastings, spanishHarvest, spanishBag, spanishPaper, spanishBench, spanishRelease, spanishWorkshop, spanishCosts, spanishOrders, spanishLabSheet, spanishRulesPage, spanishMoves),
		plural: func(n int) string {
			if n == 1 {
				return "one"
			}
			return "many"
		},
		days:   [7]string{"domingo", "lunes", "martes", "miércoles", "jueves", "viernes", "sábado"},
		months: [12]string{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"},
	}
}

var spanish = map[string]string{
	"layout.skip": "Ir a la página", "layout.pages": "Páginas",
	"layout.demo": "Granja inventada, con el reloj parado en el %s.",
	"nav.round":   "Ronda", "nav.barn": "Granero", "nav.yard": "Patio", "nav.mix": "Mezcla", "nav.more": "Más",

	"date.day": "%s %d de %s", "date.short": "%d de %s", "date.date": "%d de %s de %d", "date.tick": "%d %s", "date.dated": "%s %d", "date.datedclock": "%s %s", "date.clock": "%d:%02d",
	"date.today": "hoy %s", "date.yesterday": "ayer %s", "date.weekday": "%s %s", "date.shortclock": "%s, %s",
	"age.minutes.one": "%d minuto", "age.minutes.many": "%d minutos", "age.hours.one": "%d hora", "age.hours.many": "%d horas",
	"age.days.one": "%d día", "age.days.many": "%d días", "age.weeks.one": "%d semana", "age.weeks.many": "%d semanas", "age.months.one": "%d mes", "age.months.many": "%d meses",
	"span.minutes": "%d min", "span.hours": "%d h", "span.both": "%d h %d min",
	"list.and": "%s y %s", "list.comma": ", ", "list.semicolon": "; ",
	"chance.none": "casi nunca", "chance.sure": "casi siempre", "chance.all": "todo", "chance.of": "%d de cada %d", "chance.range": "%s (de %d a %d de cada 10)", "chance.nothing": "nada",
	"range.short": "%s (%s a %s)", "range.long": "%s (%s a %s)",
	"unit.inches": "pulgadas", "unit.cm": "cm", "unit.days": "días", "unit.span": "%s %s",

	"said.saved": "Anotado: %s", "said.delivery": "Anotado: %d ventas salieron juntas para %s. Para retirar una, ábrala en lo que se entregó.", "said.struck": "Tachado. Las dos anotaciones se pueden seguir leyendo.", "said.undo": "Eso estaba mal",

	"form.wrong": "Todavía no se guardó nada. Por favor revise esto:", "form.doubt": "¿Está bien así?", "form.yes": "Sí, está bien",
	"form.save": "Anotar", "form.cancel": "Volver", "form.more": "Más datos, si quiere", "form.other": "o escríbalo:",
	"form.yesword": "sí", "form.noword": "no", "form.kind": "Qué va a anotar",
	"form.row": "Fila %d", "form.rowof": "%s, fila %d", "form.addrow": "Añadir una fila", "form.rowsmany": "%s: %d filas son más de las %d que caben en una anotación.", "form.rowsmanytry": "Anote los demás aparte.",
	"form.table":   "Uno por renglón, en este orden y separado con comas: %s.",
	"form.nowater": "%s: %q no es una cantidad de agua.", "form.nowatertry": "Escríbala con su unidad, por ejemplo %s.",
	"form.again": "Este formulario ya se había anotado: %s", "form.againtry": "Diga que sí si es uno más. Si el primero estaba mal, táchelo en la bitácora.", "form.doubtlater": "Y esto no es común. Se le volverá a preguntar cuando lo demás esté bien:",
	"form.nonumber": "%s: %q no se puede leer como número.", "form.nonumbertry": "Escriba un número, por ejemplo %s.",
	"form.whole": "%s: %q no es un número entero.", "form.wholetry": "Escriba un número entero, por ejemplo 12.",
	"form.columns": "El renglón %d de %s tiene más de %d columnas.", "form.columnstry": "Ponga cada uno en su propio renglón.", "form.line": "Renglón %d",
	"form.unread": "No se pudo leer el formulario.", "form.unreadtry": "Por favor envíelo otra vez.",

	"when.at": "Cuándo pasó", "when.who": "Quién", "when.help": "Si lo deja vacío, es ahora.", "when.now": "Ahora, por %s", "when.then": "%s, por %s", "when.nobody": "nadie con nombre",
	"when.bad": "%q no es un día y una hora.", "when.badtry": "Escríbalo así: %s, o déjelo vacío si es ahora.",
	"when.skipped": "Aquí no hubo las %s el %s: el reloj se adelantó y se las saltó.", "when.noday": "El año %d no tiene el %d de %s.", "when.nodaytry": "Escriba %s o %s.", "when.skippedtry": "Ponga una hora antes o una después.",

	"fault.title": "No se encontró", "fault.none": "Esa página no existe", "fault.nonetry": "Vuelva atrás, o empiece por la ronda.", "fault.nopage": "No hay nada en esta dirección.",
	"fault.nobin": "Ninguna caja se llama %q.", "fault.nearest": "¿Quiso decir %s?", "fault.nobarn": "Ningún granero se llama %q. Los que hay: %s.", "fault.nopile": "Ningún montón se llama %q.",
	"fault.nobatch": "Ninguna tanda se llama %q.", "fault.noentry": "La bitácora no tiene esa anotación.", "fault.nokind": "Aquí no hay un formulario que se llame %q.", "fault.nofigure": "Ningún cálculo se llama %q.",
	"fault.ours": "Fue culpa nuestra", "fault.oursay": "Algo falló dentro del programa. Lo que usted ya había anotado está a salvo.", "fault.ourtry": "Vuelva atrás e intente una vez más; lo que escribió sigue en el formulario.",
	"fault.reference": "Si pide ayuda, diga %s: con eso se encuentran los detalles en el registro.",
	"fault.toolarge":  "Es demasiado de una vez", "fault.large": "Se enviaron más de %d MB; es lo más que se acepta aquí.", "fault.largetry": "Parta el archivo, o impórtelo con el comando: wormyard journal import FILE.",
	"fault.form": "No se pudo leer el formulario.", "fault.formtry": "Vuelva atrás y envíelo otra vez.",
	"fault.host": "Otro nombre", "fault.hostsay": "Esta página se pidió como %q, y esta máquina no se llama así.", "fault.hosttry": "Ábrala con la dirección que imprimió el programa.",
	"fault.cross": "Desde aquí no", "fault.crosssay": "El formulario se envió desde otro sitio, así que no se hizo nada.", "fault.crosstry": "Abra la página aquí y envíelo otra vez.",

	"act.open": "destapar", "act.feed": "dar de comer", "act.water": "regar", "act.cover": "cubrir", "act.warm": "abrigar", "act.rest": "descansa", "act.look": "revisar", "act.harvest": "madura", "act.split": "dividir",
	"act.blend": "mezclar una tanda", "act.turn": "voltear", "act.wet": "mojar", "act.measure": "medir", "act.wait": "esperar",
	"urgency.now": "antes que nada", "urgency.today": "hoy", "urgency.thisweek": "esta semana", "urgency.nohurry": "sin prisa",

	"round.title": "Ronda", "round.first": "Primero", "round.yard": "En el patio", "round.spots": "Fuera de las filas", "round.row": "%s, fila %s",
	"round.lines.one": "%d renglón", "round.lines.many": "%d renglones", "round.undertoday": "%s: unos %s hoy, %s más en la semana.", "round.under": "%s, unos %s.",
	"round.making.begun": "La ronda se está calculando.", "round.making.weeks": "La ronda se está calculando: se aprendió de %d de %d semanas, luego siguen las cajas.", "round.making.bins": "La ronda se está calculando: van %d de %d cajas.", "round.making.last": "Lo que ve es la anterior.", "round.making.first": "Es la primera y tarda uno o dos minutos; la página se pone al día sola.", "round.percent": "%d %%", "round.leftseconds": "Faltan unos %d s.", "round.leftminutes": "Faltan unos %d minutos.",
	"round.age":   "Esta ronda se hizo %s, hace %s.",
	"round.fault": "El último intento de hacer una ronda salió mal %s. Queda la anterior; el registro dice por qué.", "round.none": "Todavía no se ha hecho ninguna ronda.", "round.nothing": "Hoy nada le necesita.",
	"round.resting.one": "%d caja descansa: hoy no hay nada que hacer ahí.", "round.resting.many": "%d cajas descansan: hoy no hay nada que hacer ahí.",
	"round.alldone": "Hecho %s por %s.", "round.somedone": "Van %d de %d; lo último %s por %s.",
	"round.asgood": "%s: igual de bueno sería %s.", "also.title": "Y junto con eso", "also.water": "agua: %s", "also.cover": "cubierta: %s", "round.since": "Anotado desde entonces", "round.back": "Todos los renglones", "round.print": "Hoja para imprimir", "round.again": "Calcularla otra vez", "round.noline": "Ese renglón ya no está en la ronda de hoy. Puede que la ronda se haya vuelto a hacer.",
	"round.urgency": "cuándo", "round.minutes": "toma unos", "round.sure": "qué tan seguro", "round.working": "En qué se basan las probabilidades",
	"round.bins.one": "La caja", "round.bins.many": "Las %d cajas", "round.piles.one": "El montón", "round.piles.many": "Los %d montones", "round.except": "Menos: %s.",
	"round.chance":  "%s, %s: %s, según %d gemelos.",
	"chanceof.left": "sobra alimento", "chanceof.too_warm": "demasiado caliente", "chanceof.refuge": "poca cama fresca", "chanceof.sour": "agria", "chanceof.dry": "seca arriba", "chanceof.leave": "se van las lombrices", "chanceof.frozen": "congelada", "chanceof.hungry": "con hambre", "chanceof.alarm": "sobre la alarma",
	"answer.done": "Hecho", "answer.all": "Todo hecho", "answer.changed": "Con cambio", "answer.except": "Todas menos…", "answer.which.one": "Cuál", "answer.which.many": "Cuáles %d", "answer.why": "Por qué",
	"answer.look": "Apretar y revisar", "answer.harvest": "Cosechada", "answer.split": "Dividida", "answer.warm": "Cubierta", "answer.measure": "Medido", "answer.blend": "A la mezcla",
	"tried.title": "Qué más se probó para %s", "tried.what": "se probó", "tried.left": "alimento que sobra", "tried.more": "sobra demasiado", "tried.warm": "muy caliente", "tried.sour": "agria", "tried.dry": "seca", "tried.castings": "humus hecho", "tried.value": "vale, kg secos",
	"tried.percent": "%s %%", "tried.note": "Se probó en al menos %d gemelos de la caja. Se escoge por lo que vale: el humus hecho en los próximos 14 días en toda la caja, en kg secos, el valor de en medio de los gemelos (ecuación R1); va entre paréntesis cuando un límite de riesgo lo prohíbe (R2).",
	"print.back": "Volver a la ronda", "print.how": "Imprima esta página con su navegador. Marque lo que se hizo, escriba lo que salió distinto, y páselo al programa en la tarde.",
	"print.who": "Quién", "print.start": "Empezó", "print.end": "Terminó",
	"blank.feed": "Otro grueso", "blank.not": "No se hizo, por qué", "blank.water": "Cuánta", "blank.squeeze": "Apretón", "blank.left": "Alimento que queda", "blank.worms": "Lombrices", "blank.smell": "Olor", "blank.temp": "Termómetro, %s", "blank.deep": "Hondura, %s", "blank.castings": "Humus", "blank.note": "Nota",

	"barn.word": "granero", "barn.number": "Granero %s", "barn.named": "granero %s", "barn.bins.one": "%d caja", "barn.bins.many": "%d cajas", "barn.needs.one": "%d necesita algo hoy", "barn.needs.many": "%d necesitan algo hoy", "barn.under": "%s, %s.",
	"barn.none": "Todavía no hay granero. Dé de alta la granja, o anote las cajas conforme se construyen.", "barn.row": "Fila %s, vista desde el pasillo", "barn.aisle": "pasillo",
	"barn.view.all": "Todo", "barn.view.needs": "Solo lo que me necesita", "barn.view.warmth": "Calor", "barn.view.list": "Como lista",
	"barn.bin": "caja", "barn.state": "hoy", "barn.warm": "lo más caliente", "barn.spots": "Fuera de las filas", "barn.air": "Aire del granero", "barn.noair": "Nadie ha leído un termómetro en este granero en las últimas cuatro semanas.",
	"barn.write": "Mínima y máxima", "barn.recent": "Anotado del granero", "barn.last": "última lectura", "barn.lowhigh": "mínima y máxima", "barn.lowhighsay": "%s a %s", "barn.size": "tamaño", "barn.sizesay": "%s por %s", "barn.heater": "calefactor", "barn.watts": "%s W",
	"barn.airalt": "Lectura más baja y más alta del granero por día, cuatro semanas", "barn.aircaption": "La banda va de la lectura más baja a la más alta de cada día.",
	"key.title": "Qué significan los dibujos", "key.feed": "comida", "key.water": "agua", "key.look": "revisar", "key.harvest": "madura", "key.cover": "cubrir o abrigar", "key.turn": "dividir", "key.now": "peligro: primero",
	"state.rests": "descansa", "state.empty": "vacía", "state.retired": "retirada", "state.unknown": "sin datos aún", "state.feed": "comida %s", "state.now": "%s ya", "state.warm": "%s (%s a %s)",

	"bin.title": "%s, caja %s", "bin.plain": "Caja %s", "bin.formtitle": "%s, %s", "bin.empty": "Esta caja está vacía.", "bin.retired": "Esta caja está retirada.",
	"bin.under": "Cama del %s, %s.", "bin.notfed": "todavía sin comer", "bin.fed.one": "ha comido una vez", "bin.fed.many": "ha comido %d veces",
	"bin.notwin": "Todavía no se ha calculado lo que hay adentro de esta caja. Se hace con la próxima ronda.",
	"bin.stages": "Lombrices por edad", "bin.stage": "edad", "bin.stagenow": "ahora", "bin.stagethen": "en dos semanas", "bin.stageshelp": "Cuántas hay probablemente, y entre qué en 9 de 10, si se deja la caja como está.", "stage.cocoons": "capullos", "stage.young": "jóvenes", "stage.grown": "adultas, con anillo",
	"bin.layers": "Capa por capa", "bin.layer": "capa", "bin.thick": "grueso", "bin.warm": "calor", "bin.wet": "agua, %", "bin.air": "oxígeno, %", "bin.box": "La caja de madera", "bin.past": "Camas anteriores", "bin.more": "Anotar otra cosa",
	"bin.history": "Últimamente", "bin.all": "Todo lo anotado de ella", "bin.pastname": "%s a %s", "bin.pastnote": "comió %d veces",
	"bin.act.feed": "Dar de comer", "bin.act.water": "Regar", "bin.act.look": "Revisar", "bin.act.reading": "Lectura", "bin.act.depth": "Altura de la cama", "bin.act.sighting": "Hallazgo", "bin.act.cover": "Cubrir", "bin.act.weigh": "Pesar", "bin.act.turn": "Voltear",
	"bin.act.stock": "Poner lombrices", "bin.act.count": "Contar lombrices", "bin.act.harvest": "Cosechar", "bin.act.move": "Mover", "bin.act.assay": "Análisis", "bin.act.bed": "Hacer la cama", "bin.act.build": "Construir o reparar",
	"box.size": "por dentro", "box.by": "%s por %s, %s de hondo", "box.holds": "le caben", "box.wall": "pared", "box.liner": "forro", "box.cover": "cubierta", "box.assumed": "se toma lo usual",
	"fact.lastfeed": "última comida", "fact.feed": "%s de %s, %s", "fact.lain.days.one": "un día en el montón", "fact.lain.days.many": "%d días en el montón", "fact.lain.weeks.one": "una semana en el montón", "fact.lain.weeks.many": "%d semanas en el montón", "fact.lastlook": "última revisión", "fact.lastreading": "última lectura", "fact.at": "(%s)", "fact.deep": "a %s", "fact.stocked": "lombrices puestas",
	"look.squeeze": "apretón: %s", "look.left": "alimento que queda: %s", "look.worms": "lombrices: %s", "look.where": "están: %s", "look.smell": "olor: %s",
	"likely.warmest": "lo más caliente", "likely.at": "%s a %s", "likely.eaten": "comido: %s", "likely.oxygen": "oxígeno mínimo %s; afuera es 21 %%", "likely.cast": "%s de la materia seca", "likely.ripe": "madura en %s semanas", "likely.ripenow": "madura ya", "likely.ripeorsoon": "madura ya, o dentro de %s semanas", "likely.ripesoon": "madura en menos de una semana", "likely.wet": "humedad", "likely.left": "última comida",
	"bin.rests": "Hoy no hay nada que hacer.", "bin.assumed": "Lo que se da por supuesto", "worms.upto": "ninguna a %s", "worms.none": "ninguna o casi ninguna", "worms.look": "no se sabe: de %s; una mirada lo diría",
	"likely.worms": "lombrices", "likely.air": "aire", "likely.refuge": "habitable", "likely.castings": "humus",
	"layer.feed": "alimento", "layer.bedding": "cama", "layer.castings": "humus", "layer.chips": "astillas", "layer.of": "%s, tanda %s", "layer.perhaps": "%s, quizá",
	"draw.title": "La cama ahora", "draw.caption": "Un corte de la cama, a escala, calculado %s. Línea: lo más probable. Banda: 9 de cada 10. Cada lombriz dibujada vale por unas %s.", "draw.circles": "Círculos: lo que se leyó.", "draw.alt": "Corte de la cama desde arriba: %s. Al lado, el calor y la humedad según la hondura.",
	"draw.wet": "agua, %", "draw.layer": "%s, %s", "draw.reading": "%s, leído %s", "draw.today": "ahora",
	"limit.alarm": "%s: lombrices en peligro", "limit.refuge": "%s: se acaba el refugio", "limit.frost": "%s: helada",

	"yard.title": "Patio", "yard.under": "%s, %s en total.", "yard.count.one": "%d montón", "yard.count.many": "%d montones", "yard.empty": "No hay nada en el patio. Anote lo que vaya llegando.", "yard.receive": "Entra material", "yard.mix": "Mezclar una tanda", "yard.piles": "Montones", "yard.batches": "Tandas", "yard.tests": "Análisis de este montón",
	"pile.title": "Montón %s", "pile.under": "%s, primera carga el %s.", "pile.left": "quedan %s", "pile.left1": "queda", "pile.of": "de %s", "pile.load": "%s, %s", "pile.age": "%s de edad", "pile.alt": "Montón %s de %s, %s", "pile.held": "retenido: %s", "pile.heldhead": "Retenido",
	"pile.came": "edad", "pile.temp": "termómetro largo", "pile.declared": "declarado", "pile.cost": "pagado", "pile.costsay": "%s por %s", "pile.unknown": "Nadie lo sabe todavía: %s. Las cantidades que lo necesitan se dejan fuera; no se adivinan.",
	"pile.act.measured": "Medido", "pile.act.turned": "Volteado", "pile.act.wetted": "Mojado", "pile.act.covered": "Cubierto", "pile.act.assay": "Análisis", "pile.act.receive": "Llegó más", "pile.act.hold": "Retener",
	"hazard.refuse": "No es para lombrices: %s", "hazard.hold": "Espere: %s", "hazard.warn": "Con cuidado: %s", "hazard.clears": "Se despeja con: %s", "hazard.in": "En %s.",
	"batch.name": "Tanda %s, %s", "batch.plain": "Tanda %s", "batch.chip": "%s, %s", "batch.gone": "se acabó", "batch.left": "quedan %s", "batch.under": "Mezclada %s por %s.", "batch.made": "hecha", "batch.share": "(%s %% del volumen)", "batch.bins": "se usó en", "batch.again": "Mezclarla otra vez",
	"matter.water": "agua", "matter.cn": "carbono a nitrógeno", "matter.cnsay": "%s a 1", "matter.density": "pesa", "matter.salts": "sales", "matter.saltsay": "%s dS/m", "matter.ph": "pH", "matter.phsay": "%s a %s", "matter.ammoniasay": "%s mg/kg seco",

	"mix.title": "Mezcla", "mix.under": "Partes por cucharón. Vea lo que dan, o deje que se busquen las partes.", "mix.noyard": "No hay nada en el patio. Anote lo que llega y luego mézclelo aquí.", "enter.nobins": "Todavía no hay cajas en esta granja. Primero dela de alta.", "feed.nobatch": "No queda nada mezclado. Mezcle primero una tanda, o escriba el número de una.", "mix.hint": "Aquí se ve lo que dan las partes: agua, carbono a nitrógeno, aire, sales; cada cosa junto a lo que se quiere, y qué tan probable es lograrlo.", "mix.purpose": "Para qué es", "mix.parts": "Partes", "mix.choose": "escoja un montón", "mix.pileoption": "%s (%s)", "mix.buckets": "Cucharones", "mix.bucketsof": "Cucharones de %s",
	"mix.drawn": "%s cucharones de %s", "mix.volume": "%s sueltos", "mix.water": "Agua por añadir", "mix.settings": "Cucharón, tamaño de la tanda, merma", "mix.bucket": "Cucharón del cargador", "mix.buckethelp": "Con su unidad, por ejemplo 0.5 yd3.", "mix.total": "Tamaño de la tanda que se busca", "mix.totalhelp": "Con su unidad, por ejemplo 10 yd3; vacío, tanto como los cucharones de arriba.",
	"mix.shrink": "Volumen que se pierde al mezclar", "mix.shrinkhelp": "Lo fino cae entre las astillas: de 5 a 25 % es práctica común, sin fuente. Vacío es nada.",
	"mix.see": "Ver lo que da", "mix.find": "Buscar las partes", "mix.row": "Un montón más", "mix.result": "Lo que da, para %s", "mix.all": "Todo como se quiere: %s.", "mix.chance": "Como se quiere: %s.", "mix.range": "9 veces de cada 10 queda entre %s y %s.", "mix.atleast": "Se quiere: al menos %s.", "mix.atmost": "Se quiere: cuando mucho %s.", "mix.between": "Se quiere: %s a %s.",
	"mix.alt": "%s: %s. %s", "mix.blocked": "Ninguna mezcla de estos montones lo logra", "mix.blockedsay": "%s no se puede alcanzar. %s", "mix.blockedbest": "%s: lo mejor que dan estos montones es %s. %s", "mix.found": "Se encontraron estas partes, en cucharones que su cargador puede tomar. Cámbielas como guste.",
	"mix.nexttest": "El análisis que más ayudaría: %s %s", "mix.working": "Cómo se calcularon estos números", "mix.save": "¿Ya la mezcló?", "mix.savebutton": "Anotar la tanda", "mix.batch": "Número o nombre de la tanda", "mix.measured": "Humedad, si la midió", "mix.measuredhelp": "Vale en lugar de la calculada.",
	"mix.care":   "El material seco se moja antes de voltearlo: polvo, esporas y Legionella. Mascarilla puesta, con el viento a la espalda, nadie cerca del cucharón.",
	"mix.nopile": "La parte %d tiene cucharones pero no montón.", "mix.nopiletry": "Escoja el montón de donde sale.", "mix.nothing": "Ninguna parte tiene cucharones todavía.", "mix.nothingtry": "Escoja un montón y cuántos cucharones de él, o apriete Buscar las partes.",
	"mix.negative": "%s: %s cucharones es menos que nada.", "mix.negativetry": "Escriba cuántos cucharones van, 0 si ninguno.", "mix.many": "%s: %s cucharones es más de lo que cabe en cualquier patio.", "mix.manytry": "Escriba un número más chico.",
	"mix.badbucket": "En un cucharón de %s no cabe nada.", "mix.badbuckettry": "Escriba un volumen mayor que 0 con su unidad, por ejemplo 0.5 yd3.", "mix.badtotal": "Una tanda de %s no es tanda.", "mix.badshrink": "Una merma de %s %% no puede ser.", "mix.badshrinktry": "Escriba de 0 a 95.",
	"mix.lesswater": "%s de agua es menos que nada.", "mix.lesswatertry": "Escriba cuánta se le echa, o déjelo vacío.", "mix.nobatch": "La tanda no tiene número.", "mix.nobatchtry": "Escriba un número o un nombre que todavía no se use.",
	"out.water_frac_wet": "Agua", "out.cn": "Carbono a nitrógeno", "out.air_filled_frac": "Espacio de aire", "out.ec_ds_m": "Sales", "out.ph_low": "pH, la parte más baja", "out.ph_high": "pH, la parte más alta", "out.ph": "pH", "out.ammonia_n_mg_kg_dry": "Nitrógeno amoniacal", "out.density_kg_m3_wet": "Pesa", "out.nitrogen_frac_dry": "Nitrógeno, de lo seco", "out.carbon_frac_dry": "Carbono, de lo seco", "out.ash_frac_dry": "Ceniza, de lo seco", "out.lignin_frac_dry": "Lignina, de lo seco",
	"out.volume_m3": "Volumen", "out.mass_kg_wet": "Peso", "out.water_to_add_kg": "Agua por añadir", "out.cost": "Costo",
}
