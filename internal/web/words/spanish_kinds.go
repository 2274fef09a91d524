package words

// spanishKinds is the words of the kinds of entries (package journal) in
// Spanish: "kind.KIND" and "kind.KIND.help", a field as "kind.KIND.FIELD", or as
// "kind.any.FIELD" where every kind says it alike, and its help likewise with
// ".help" behind it; a choice as "choice.FIELD.CHOICE". Columns of a table are
// fields with the table's name before theirs. What a sheet may call a column
// stays English, since it is matched and not said.
var spanishKinds = map[string]string{
	"kind.any.bins": "Cajas", "kind.any.bins.help": "Los nombres como están pintados, separados con comas o espacios.", "kind.any.bin": "Caja",
	"kind.any.note": "Nota", "kind.any.pile": "Montón", "kind.any.batch": "Tanda", "kind.any.lot": "Lote", "kind.any.barn": "Granero", "kind.any.why": "Por qué",
	"kind.any.material": "Material", "kind.any.cover": "Cubierta", "kind.any.place": "Lugar", "kind.any.water_kg": "Agua añadida", "kind.any.day": "Día", "kind.any.customer": "Cliente", "kind.any.price": "Precio",

	"kind.receive": "Entra material", "kind.receive.help": "Llega material y se vuelve un montón, o se junta con uno.",
	"kind.receive.volume_m3": "Volumen recibido", "kind.receive.mass_kg_wet": "Peso recibido", "kind.receive.price": "Precio pagado", "kind.receive.price.help": "Menos que cero cuando paga quien lo da.", "kind.receive.haulage": "Pagado por el transporte", "kind.receive.haulage.help": "Aparte del precio.",
	"kind.receive.declared": "Tratamientos declarados", "kind.receive.declared.help": "Lo que quien lo da dice que se usó.", "kind.receive.dosed_on": "Día del tratamiento",

	"kind.assay": "Análisis", "kind.assay.help": "Un análisis de laboratorio o de campo de un montón, una tanda, una caja o un lote.",
	"kind.assay.subject": "Qué se analizó", "kind.assay.subject.help": "Por ejemplo: pile rabbit 3 (un montón).", "kind.assay.analyte": "Qué se midió", "kind.assay.analyte.help": "Como lo llama el laboratorio: humedad, nitrógeno, sales, pH, coliformes fecales.",
	"kind.assay.value": "Resultado", "kind.assay.unit": "Unidad", "kind.assay.method": "Método", "kind.assay.detection_limit": "Límite de detección", "kind.assay.laboratory": "Laboratorio",
	"kind.assay.basis": "Base", "choice.basis.dry": "seca", "choice.basis.wet": "como está", "choice.reads.less than": "menos de", "choice.reads.more than": "más de", "choice.reads.not detected": "no detectado", "choice.reads.present": "presente", "choice.reads.too many": "demasiados para contar", "kind.assay.basis.help": "Si el resultado es de la materia como está (wet) o de su materia seca (dry).", "kind.assay.reads": "Se lee como", "kind.assay.reads.help": "Cuando el resultado no es la cantidad misma: menos de 3 es 3, leído como menos de.", "kind.assay.sample": "Número de muestra",

	"kind.blend": "Tanda mezclada", "kind.blend.help": "Se mezcla una tanda de los montones.",
	"kind.blend.purpose": "Para qué es", "kind.blend.purpose.help": "starting bed (cama inicial), feed (alimento), woody feed (alimento leñoso), bedding (material de cama) o hot pile (montón caliente).", "kind.blend.parts": "Partes", "kind.blend.parts.pile": "Montón", "kind.blend.parts.volume_m3": "Volumen tomado", "kind.blend.parts.mass_kg_wet": "Peso tomado",
	"kind.blend.water_frac_wet": "Humedad de la tanda", "kind.blend.shrink_frac": "Volumen perdido al mezclar",

	"kind.build": "Caja construida", "kind.build.help": "Se construyen, reparan o retiran cajas.",
	"kind.build.length_m": "Largo de la caja", "kind.build.width_m": "Ancho de la caja", "kind.build.depth_m": "Hondura de la caja", "kind.build.wall": "Pared", "kind.build.wall.help": "Un tipo de pared con nombre.", "kind.build.liner": "Forro", "kind.build.holes_m2": "Área de los agujeros",
	"kind.build.row": "Fila", "kind.build.stack": "Estiba", "kind.build.level": "Nivel", "kind.build.level.help": "El 1 está en el piso.", "kind.build.slots": "Lugares", "kind.build.slots.help": "GRANERO/FILA/ESTIBA/NIVEL de cada caja, en el mismo orden.", "kind.build.state": "Estado",

	"kind.bed": "Cama hecha", "kind.bed.help": "Se hace la cama en las cajas, o ya la tenían cuando empezó la bitácora.",
	"kind.bed.pile": "Directo del montón", "kind.bed.pile.help": "Cama que no se mezcló con nada, como el rechazo de la criba.", "kind.bed.depth_m": "Hondura de la cama", "kind.bed.age_days": "Edad de la cama", "kind.bed.age_low_days": "Edad mínima de la cama", "kind.bed.age_high_days": "Edad máxima de la cama", "kind.bed.last_feed_days": "Días desde la última comida", "kind.bed.last_feed_depth_m": "Grueso de la última comida", "kind.bed.castings_frac": "Parte que es humus",

	"kind.stock": "Se ponen lombrices", "kind.stock.help": "Se ponen lombrices en las cajas.",
	"kind.stock.kg": "Lombrices puestas", "kind.stock.kg.help": "Peso vivo en cada caja.", "kind.stock.kg_low": "Lombrices puestas, al menos", "kind.stock.kg_high": "Lombrices puestas, cuando mucho", "kind.stock.from_bin": "De la caja", "kind.stock.bought": "Compradas",

	"kind.feed": "Comida", "kind.feed.help": "Se reparte una tanda en las camas.",
	"kind.feed.depth_m": "Grueso de la comida", "kind.feed.mass_kg_wet": "Peso de la comida", "kind.feed.mass_kg_wet.help": "En cada caja.", "kind.feed.side": "Dónde",

	"kind.water": "Riego", "kind.water.help": "Se da agua a las camas.", "kind.water.kg": "Agua dada", "kind.water.kg.help": "A cada caja.",
	"kind.cover": "Cubierta", "kind.cover.help": "Se pone o se quita una cubierta.",
	"kind.heat": "Calefacción", "kind.heat.help": "Se prende, se apaga o se ajusta la calefacción.", "kind.heat.watts": "Potencia", "kind.heat.set_c": "Temperatura puesta", "kind.heat.on": "Prendida",
	"kind.turn": "Volteo", "kind.turn.help": "Se voltea o se afloja una cama, o se le quita comida de arriba.", "kind.turn.what": "Qué se hizo", "kind.turn.taken_off_m": "Quitado de arriba",

	"kind.reading": "Lectura", "kind.reading.help": "Lo que marcó una sonda, en una caja o en un granero.",
	"kind.reading.temp_c": "Temperatura", "kind.reading.water_frac_wet": "Humedad de la cama", "kind.reading.oxygen_frac": "Oxígeno", "kind.reading.ammonia_ppm": "Amoníaco", "kind.reading.ec_ds_m": "Sales", "kind.reading.ph": "pH", "kind.reading.depth_m": "Hondura de la sonda", "kind.reading.probe": "Sonda", "kind.reading.probe_id": "Nombre de la sonda",

	"kind.look": "Revisión", "kind.look.help": "Lo que hallaron la mano, el ojo y la nariz; todo se puede dejar vacío.",
	"kind.look.squeeze": "Apretón de la mano", "kind.look.feed_left": "Comida que queda", "kind.look.worms": "Lombrices", "kind.look.where": "Dónde están", "kind.look.colour": "Color", "kind.look.crumb": "Grumo", "kind.look.chips": "Astillas que quedan", "kind.look.smell": "Olor",

	"kind.tend": "Cuidado del montón", "kind.tend.help": "Un montón se voltea, se moja, se mide o se cubre.", "kind.tend.act": "Qué se hizo", "kind.tend.temp_c": "Temperatura del montón", "kind.tend.depth_m": "Hondura del termómetro",

	"kind.site": "Clima", "kind.site.help": "Mínima y máxima de afuera o de un granero, lluvia, falta de luz.",
	"kind.site.place.help": "outside (afuera), o barn y su nombre.", "kind.site.low_c": "Mínima", "kind.site.high_c": "Máxima", "kind.site.rain_mm": "Lluvia", "kind.site.power_lost_hours": "Horas sin luz", "kind.site.outlook": "Pronóstico",

	"kind.weigh": "Pesada", "kind.weigh.help": "Una caja entera en la báscula.", "kind.weigh.mass_kg": "Peso de la caja",
	"kind.depth": "Altura de la cama", "kind.depth.help": "La altura medida de las camas.", "kind.depth.depth_m": "Altura de la cama",

	"kind.count": "Conteo de lombrices", "kind.count.help": "Una muestra de lombrices: qué se tomó y qué tenía.",
	"kind.count.area_m2": "Área de la muestra", "kind.count.mass_kg_wet": "Peso de la muestra", "kind.count.depth_m": "Hondura de la muestra", "kind.count.adults": "Adultas", "kind.count.juveniles": "Jóvenes", "kind.count.cocoons": "Capullos", "kind.count.worms_kg": "Peso de las lombrices",

	"kind.sighting": "Hallazgo", "kind.sighting.help": "Una plaga, un olor, una fuga de lombrices o moho.",
	"kind.sighting.what": "Qué se vio", "kind.sighting.what.help": "En sus palabras, si ninguna señal lo dice.", "kind.sighting.signs": "Señales", "kind.sighting.signs.help": "Todas las que vengan al caso.", "kind.sighting.severity": "Qué tan grave",

	"kind.move": "Caja movida", "kind.move.help": "El montacargas lleva una caja de un lugar a otro.", "kind.move.from": "De", "kind.move.to": "A", "kind.move.to.help": "GRANERO/FILA/ESTIBA/NIVEL, o el nombre de un lugar de paso.",

	"kind.harvest": "Cosecha", "kind.harvest.help": "Sale humus de las cajas.",
	"kind.harvest.how": "Cómo", "kind.harvest.mass_kg_wet": "Humus, peso", "kind.harvest.mass_kg_wet.help": "De todas las cajas juntas.", "kind.harvest.volume_m3": "Humus, volumen", "kind.harvest.worms_kg": "Lombrices recuperadas", "kind.harvest.worms_to": "Lombrices devueltas a", "kind.harvest.worms_to.bin": "Caja", "kind.harvest.worms_to.kg": "Lombrices", "kind.harvest.ends_bed": "La caja quedó vacía",

	"kind.screen": "Cribado", "kind.screen.help": "Un lote pasa por las cribas.", "kind.screen.decks": "Cribas", "kind.screen.decks.opening_mm": "Abertura", "kind.screen.decks.through_kg": "Pasó", "kind.screen.decks.over_kg": "Se quedó", "kind.screen.decks.type": "Criba", "kind.screen.decks.rate_frac": "Velocidad, de la usual", "choice.type.flat": "plana", "choice.type.drum": "tambor", "kind.screen.water_frac_wet": "Humedad del lote", "kind.screen.overs_to": "El rechazo fue a otra parte", "kind.screen.overs_pile": "El rechazo fue al montón", "kind.screen.overs_pile.help": "Desde entonces es materia prima otra vez. Un nombre nuevo empieza un montón.",
	"kind.cure": "Curado", "kind.cure.help": "Un lote se pone a curar.",
	"kind.bag": "Embolsado", "kind.bag.help": "Se embolsa un lote.", "kind.bag.size_m3": "Tamaño de la bolsa", "kind.bag.number": "Bolsas",
	"kind.join": "Lotes juntados", "kind.join.help": "Se juntan lotes, o partes de ellos, en uno solo.", "kind.join.lot.help": "El lote que resulta.", "kind.join.parts": "Hecho de", "kind.join.parts.lot": "Lote", "kind.join.parts.volume_m3": "Volumen tomado", "kind.join.parts.mass_kg_wet": "Peso tomado",
	"kind.sell": "Venta", "kind.sell.help": "Se vende humus.", "kind.sell.volume_m3": "Volumen vendido", "kind.sell.mass_kg_wet": "Peso vendido", "kind.sell.bags": "Bolsas vendidas", "kind.sell.price.help": "Por todo.",

	"kind.microscope": "Microscopio", "kind.microscope.help": "Conteos por campo de visión.", "kind.microscope.group": "Qué se contó", "kind.microscope.objective_x": "Objetivo", "kind.microscope.field_number_mm": "Número de campo del ocular", "kind.microscope.dilution": "Dilución", "kind.microscope.dilution.help": "Partes del total por una parte de muestra: 5 para una parte en cinco, 1 si no se añadió nada.", "kind.microscope.drop_ml": "Gota", "kind.microscope.cover_mm": "Cubreobjetos",
	"kind.microscope.fields": "Campos", "kind.microscope.fields.count": "Conteo", "kind.microscope.fields.length_um": "Largo", "kind.microscope.fields.diameter_um": "Diámetro", "kind.microscope.fields.intersections": "Cruces",
	"kind.microscope.fields.bacteria": "Bacterias", "kind.microscope.fields.flagellates": "Flagelados", "kind.microscope.fields.amoebae": "Amebas", "kind.microscope.fields.ciliates": "Ciliados", "kind.microscope.fields.nematodes_bacteria": "Nematodos que comen bacterias", "kind.microscope.fields.nematodes_fungi": "Nematodos que comen hongos", "kind.microscope.fields.nematodes_plants": "Nematodos que comen raíces", "kind.microscope.fields.nematodes_predators": "Nematodos cazadores", "kind.microscope.fields.unknown": "Sin reconocer",
	"kind.microscope.sub_sample": "Puñado", "kind.microscope.sub_sample.help": "De qué puñado del lote se hizo el portaobjetos: 1, 2, 3, o caja y hondura. Dos puñados o más hablan por el lote.", "kind.microscope.slide": "Portaobjetos", "kind.microscope.slide.help": "Cuál de ese puñado. Quien cuenta otra vez el mismo pone el mismo número.",
	"kind.microscope.water_frac_wet": "Humedad de lo que se miró", "kind.microscope.cell_length_um": "Largo de las bacterias", "kind.microscope.cell_width_um": "Ancho de las bacterias", "kind.microscope.field_area_mm2": "Área de un campo", "kind.microscope.field_area_mm2.help": "Medida con un micrómetro de platina; vale en lugar del objetivo y el número de campo.",
	"kind.microscope.um_per_px": "Escala de la foto", "kind.microscope.um_per_px.help": "De un punto de la imagen.", "kind.microscope.traces": "Marcas en la foto", "kind.microscope.traces.what": "Qué", "kind.microscope.traces.points": "Puntos", "kind.microscope.traces.length_um": "Largo",

	"kind.trial": "Ensayo", "kind.trial.help": "Se marcan cajas como lados parejos de una comparación.", "kind.trial.name": "Nombre del ensayo", "kind.trial.sides": "Lados", "kind.trial.question": "Pregunta", "kind.trial.what": "En qué se distinguen",
	"kind.order": "Pedido", "kind.order.help": "Quién quiere qué, y cuándo.", "kind.order.what": "Qué se pide", "kind.order.volume_m3": "Volumen pedido", "kind.order.mass_kg": "Peso pedido", "kind.order.due": "Para cuándo",
	"kind.release": "Liberación", "kind.release.help": "Un lote se puede vender según una regla.", "kind.release.rule": "Regla", "kind.release.by": "Lo decidió", "kind.release.shown": "Pruebas según quien firma", "kind.release.shown.key": "Prueba", "kind.release.shown.entries": "Anotaciones que lo muestran", "kind.release.shown.entries.help": "Sus claves.", "kind.release.shown.what": "Qué lo muestra",
	"kind.hold": "Retención", "kind.hold.help": "Un lote o un montón tiene que esperar, o una caja descansa hasta que se le vuelva a dar de comer.",
	"kind.setting": "Ajuste", "kind.setting.help": "Algo que la granja dice de sí misma: su nombre, zona, unidades, lugar, costumbres, gente, graneros.", "kind.setting.key": "Ajuste", "kind.setting.value": "Valor",
	"kind.strike": "Tachadura", "kind.strike.help": "Anula una anotación; las dos se pueden seguir leyendo.",
	"kind.truck check": "Revisión del montacargas", "kind.truck check.help": "La revisión de un montacargas antes de su primera levantada del día.", "kind.truck check.truck": "Montacargas", "kind.truck check.truck.help": "Su nombre o número.", "kind.truck check.hours": "Horas en su medidor", "kind.truck check.wrong": "Lo que no está como debe", "kind.truck check.wrong.help": "Si no marca nada: todo está en orden.", "kind.truck check.fit": "Se puede usar hoy",

	"kind.left": "Quedó sin hacer", "kind.left.help": "Trabajo de la ronda que se saltó, o que no se pudo hacer, y por qué.", "kind.left.act": "Qué tocaba hacer", "kind.left.how": "Se saltó o no se pudo",
	"choice.act.open": "destapar", "choice.act.feed": "dar de comer", "choice.act.water": "regar", "choice.act.cover": "cubrir", "choice.act.warm": "abrigar", "choice.act.look": "revisar", "choice.act.harvest": "cosechar", "choice.act.split": "dividir", "choice.act.turn": "voltear", "choice.act.wet": "mojar", "choice.act.measure": "medir",
	"choice.how.skipped": "se saltó", "choice.how.could not": "no se pudo",

	"choice.declared.dewormer": "desparasitante", "choice.declared.herbicide": "herbicida", "choice.declared.dye": "tinte", "choice.declared.antibiotic": "antibiótico", "choice.declared.insecticide": "insecticida", "choice.declared.preservative": "conservador", "choice.declared.none": "ninguno",
	"choice.cover.none": "ninguna", "choice.cover.cloth": "tela", "choice.cover.board": "tablas", "choice.cover.film": "plástico",
	"choice.state.built": "construida", "choice.state.repaired": "reparada", "choice.state.retired": "retirada",
	"choice.side.whole": "todo", "choice.side.left": "izquierda", "choice.side.right": "derecha",
	"choice.probe.dial": "carátula", "choice.probe.logger": "registrador", "choice.probe.other": "otra",
	"choice.squeeze.dry": "seca", "choice.squeeze.crumbly": "se desmorona", "choice.squeeze.few drops": "unas gotas", "choice.squeeze.drips": "gotea", "choice.squeeze.runs": "chorrea",
	"choice.feed_left.gone": "nada", "choice.feed_left.some": "algo", "choice.feed_left.most": "casi todo",
	"choice.worms.few": "pocas", "choice.worms.usual": "las de siempre", "choice.worms.many": "muchas",
	"choice.where.spread": "repartidas", "choice.where.top": "arriba", "choice.where.bottom": "abajo", "choice.where.sides": "en los lados", "choice.where.lid": "en la tapa",
	"choice.chips.none": "ninguna", "choice.chips.some": "algunas", "choice.chips.many": "muchas",
	"choice.smell.none": "ninguno", "choice.smell.earth": "a tierra", "choice.smell.sour": "a agrio", "choice.smell.ammonia": "a amoníaco", "choice.smell.rotten": "a podrido",
	"choice.act.turned": "volteado", "choice.act.wetted": "mojado", "choice.act.measured": "medido", "choice.act.covered": "cubierto",
	"choice.severity.slight": "poco", "choice.severity.some": "algo", "choice.severity.bad": "grave",
	"choice.how.side feeding": "comida a un lado", "choice.how.screening": "criba", "choice.how.table": "mesa", "choice.how.whole": "entera",
	"choice.signs.sour smell": "olor agrio", "choice.signs.ammonia smell": "olor a amoníaco", "choice.signs.rotten smell": "olor a podrido", "choice.signs.bed cold": "cama fría", "choice.signs.bed hot": "cama caliente", "choice.signs.bed dry": "cama seca", "choice.signs.bed wet": "cama mojada",
	"choice.signs.worms on the lid": "lombrices en la tapa", "choice.signs.worms at the sides": "lombrices en los lados", "choice.signs.worms deep": "lombrices en el fondo", "choice.signs.few worms": "pocas lombrices", "choice.signs.worms beaded": "lombrices con cuentas", "choice.signs.worms bitten": "lombrices mordidas", "choice.signs.worms limp": "lombrices flojas",
	"choice.signs.pale mites": "ácaros blancos o cafés", "choice.signs.red mites": "ácaros rojos", "choice.signs.mite dust": "ácaros como polvo", "choice.signs.fruit flies": "moscas de la fruta", "choice.signs.gnats": "mosquitos", "choice.signs.springtails": "colémbolos", "choice.signs.pot worms": "lombrices blancas", "choice.signs.ants": "hormigas", "choice.signs.centipedes or moles": "ciempiés o topos", "choice.signs.flatworm": "gusano plano", "choice.signs.mould": "moho",
	"choice.signs.feed not eaten": "comida sin comer", "choice.signs.feed open": "comida destapada", "choice.signs.meal or grain on top": "harina o grano encima", "choice.signs.fresh manure": "estiércol fresco",
	"choice.wrong.capacity plate": "placa de capacidad", "choice.wrong.attachment": "aditamento", "choice.wrong.leaks": "fugas", "choice.wrong.tires": "llantas", "choice.wrong.forks": "horquillas", "choice.wrong.mast and chains": "mástil y cadenas", "choice.wrong.overhead guard": "techo de protección", "choice.wrong.load backrest": "respaldo de carga", "choice.wrong.seat and belt": "asiento y cinturón", "choice.wrong.battery or fuel": "batería o combustible", "choice.wrong.oil and dirt": "aceite y mugre",
	"choice.wrong.brakes": "frenos", "choice.wrong.parking brake": "freno de mano", "choice.wrong.steering": "dirección", "choice.wrong.lift and tilt": "levante e inclinación", "choice.wrong.horn": "claxon", "choice.wrong.lights and alarm": "luces y alarma", "choice.wrong.exhaust": "escape",

	"kind.sell.size_m3": "Tamaño de la bolsa", "kind.sell.size_m3.help": "Si el lote se puso en bolsas de varios tamaños.", "kind.sell.what": "Producto", "kind.sell.what.help": "Como lo llama la lista de precios.", "kind.sell.order": "Pedido", "kind.sell.order.help": "La clave del pedido que entrega.",
	"kind.order.lines": "Productos", "kind.order.lines.help": "De un pedido de varios productos, en lugar de qué se pide y cuánto.", "kind.order.lines.what": "Qué se pide", "kind.order.lines.number": "Cuántos", "kind.order.lines.number.help": "Bolsas, supersacos o paquetes.", "kind.order.lines.volume_m3": "Volumen pedido", "kind.order.lines.mass_kg": "Peso pedido", "kind.order.lines.due": "Para cuándo", "kind.order.lines.price": "Precio acordado",
	"kind.any.line": "Producto del pedido", "kind.any.line.help": "Su número en un pedido de varios productos.", "kind.any.delivery": "Entrega", "kind.any.delivery.help": "La misma palabra para todo lo que salió junto; una sola nota de entrega lo dice.", "kind.cancel order.line": "Producto del pedido", "kind.cancel order.line.help": "Su número en un pedido de varios productos; vacío son todos.",
	"kind.order.number": "Cuántos", "kind.order.number.help": "Bolsas, supersacos o paquetes.", "kind.order.price": "Precio acordado", "kind.order.price.help": "Por todo; vacío es según la lista de precios.", "kind.order.ref": "Su número", "kind.order.ref.help": "Como el cliente numera el pedido.",
	"kind.cancel order": "Pedido cancelado", "kind.cancel order.help": "Un pedido, o lo que falta de él, ya no se quiere.", "kind.cancel order.order": "Pedido", "kind.cancel order.order.help": "La clave del pedido.",
	"kind.worms sold": "Venta de lombrices vivas", "kind.worms sold.help": "Salen lombrices de las cajas para un cliente, por peso o como paquetes para empezar.", "kind.worms sold.kg": "Lombrices sacadas", "kind.worms sold.kg.help": "Peso vivo de todas estas cajas juntas.", "kind.worms sold.number": "Paquetes", "kind.worms sold.what": "Producto", "kind.worms sold.what.help": "Como lo llama la lista de precios.", "kind.worms sold.price.help": "Por todo.", "kind.worms sold.order": "Pedido", "kind.worms sold.order.help": "La clave del pedido que entrega.",
	"kind.kept sample": "Muestra guardada", "kind.kept sample.help": "Se guarda una muestra de un lote, para mirarla otra vez cuando alguien pregunte.", "kind.kept sample.sample": "Nombre en la muestra", "kind.kept sample.mass_kg_wet": "Peso", "kind.kept sample.until": "Se guarda hasta",
	"kind.recall drill": "Ensayo de retiro", "kind.recall drill.help": "Qué tan rápido se halla adónde fue algo, probado antes de que haga falta.", "kind.recall drill.of": "Qué se preguntó", "kind.recall drill.of.help": "Como lo llama la página Rastro: lot 25-20, delivery hay 2026-05-03.", "kind.recall drill.seconds": "Hallado en", "kind.recall drill.bags": "Bolsas que pueden contenerlo", "kind.recall drill.customers": "Clientes que tienen algo", "kind.recall drill.mend": "Qué hay que arreglar", "kind.recall drill.mend.help": "Lo que faltaba o tardó: un nombre, un día, el número de una bolsa.",
	"kind.complaint": "Queja", "kind.complaint.help": "Lo que un cliente halla mal en un lote o en bolsas de él.", "kind.complaint.lot.help": "Como dice la etiqueta; déjelo vacío mientras nadie lo sepa.", "kind.complaint.bags": "Qué bolsas", "kind.complaint.bags.help": "Sus números o cuántas, como dice el cliente.", "kind.complaint.what": "Qué está mal", "kind.complaint.done": "Qué se hizo",
	"kind.duty": "Obligación", "kind.duty.help": "Algo que hay que hacer para un día, una vez o una y otra vez: un registro, un permiso, la revisión de un montacargas o de una criba, un inventario.", "kind.duty.duty": "Obligación", "kind.duty.duty.help": "Un nombre propio. El mismo nombre otra vez reemplaza lo que se dijo antes.", "kind.duty.what": "Qué es", "kind.duty.due": "Para cuándo",
	"kind.duty.every": "Otra vez cada", "kind.duty.every.help": "Vacío: una sola vez.", "kind.duty.period": "Semanas o meses", "kind.duty.period.help": "Un año son 12 meses.", "kind.duty.hours": "Horas que lleva", "kind.duty.hours.help": "Se quitan de las horas de la cuadrilla cuando se planea el año.",
	"kind.duty done": "Obligación hecha", "kind.duty done.help": "Se hizo una obligación; vuelve a tocar después de su tiempo.", "kind.duty done.duty": "Obligación", "kind.duty done.duty.help": "Como se llamó.", "kind.duty done.hours": "Horas que llevó", "kind.duty done.next": "Toca de nuevo el", "kind.duty done.next.help": "Vacío: después de su tiempo.", "kind.duty done.over": "No vuelve a tocar",
	"choice.what.registration": "registro", "choice.what.permit": "permiso", "choice.what.truck check": "revisión del montacargas", "choice.what.screen check": "revisión de la criba", "choice.what.stocktake": "inventario", "choice.what.other": "otra cosa",
	"choice.period.weeks": "semanas", "choice.period.months": "meses",
}
