package words

var spanishBag = map[string]string{
	"bag.title": "Etiquetas del lote %s", "bag.under": "Para bolsas y sacos grandes: qué contiene, cuánto, de cuándo, y un código para encontrarlo.", "bag.link": "Etiquetas",
	"bag.heldhead": "Este lote no está autorizado", "bag.heldsay": "DETENIDO: NO SE VENDE va atravesado en sus etiquetas. Autorícelo primero, y luego imprímalas.",
	"bag.size": "Volumen de una bolsa", "bag.sizehelp": "Llena y asentada, por ejemplo 1 ft3 o 25 L. El humus se vende por volumen, porque se seca.",
	"bag.mass": "Peso de una bolsa", "bag.masshelp": "Pese una. Si se deja vacío, se calcula a %s y la etiqueta dice aproximado.",
	"bag.number": "Cuántas etiquetas", "bag.numberhelp": "Hasta %s en un archivo.", "bag.from": "Número de la primera bolsa", "bag.fromhelp": "Las bolsas se numeran desde ahí, para distinguir una de otra.",
	"bag.paper.letter4": "Carta, cuatro de 4 × 5 in", "bag.paper.letter6": "Carta, seis de 4 × 3⅓ in", "bag.paper.letter10": "Carta, diez de 4 × 2 in", "bag.paper.a4x4": "A4, cuatro de 105 × 148.5 mm", "bag.paper.a4x8": "A4, ocho de 99.1 × 67.7 mm", "bag.paper.4x6": "Rollo, 4 × 6 in", "bag.paper.4x3": "Rollo, 4 × 3 in", "bag.paper.3x2": "Rollo, 3 × 2 in",
	"bag.product": "Qué contiene", "bag.usualname": "Humus de lombriz", "bag.own": "Sus propias palabras", "bag.ownhelp": "Se revisan: en una etiqueta no puede ir nada contra plagas o enfermedades; de la vida que lleva, solo con pruebas.",
	"bag.tests": "Análisis que se imprimen", "bag.testshelp": "Se imprimen con su base y su día donde hay lugar. Los nutrientes lo hacen fertilizante en casi todos los estados.",
	"bag.code": "El código cuadrado lleva", "bag.codeas.text": "palabras: granja, lote, día, volumen", "bag.codeas.page": "la página del lote en esta granja", "bag.basehelp": "Solo para la página del lote. Los clientes llegan a ella solo si a la máquina de la granja se llega desde afuera.",
	"bag.goods": "Número de artículo", "bag.goodshelp": "Las 12 o 13 cifras de un UPC o EAN, si lo tiene. Se imprime en barras.", "bag.lang": "Idioma de la etiqueta", "bag.more": "Peso, números, código, idioma",
	"bag.facts": "Lo que pone el diario", "bag.facts.lot": "Lote y letras de control", "bag.facts.check": "Un nombre mal escrito o mal oído no va con las letras.", "bag.facts.harvest": "Cosechado", "bag.facts.made": "Hecho de",
	"bag.file": "etiquetas-lote-%s",

	"bag.net": "CONT. NETO %s (%s)", "bag.weighs": "pesó %s (%s) al envasar", "bag.weighsabout": "aprox. %s (%s) al envasar", "bag.check": "Control %s", "bag.packed": "Envasado %s", "bag.harvested": "Cosechado %s", "bag.span": "%s a %s", "bag.nth": "Bolsa %s", "bag.made": "Hecho de", "bag.analysis": "Analizado:",
	"bag.caution":     "No se come. Ábrase lejos de la cara, no respire el polvo, lávese las manos después. Guárdese húmedo, sin sol ni heladas, y que le entre aire.",
	"bag.cautionless": "No se come. No respire el polvo. Lávese las manos.",
	"bag.banner":      "DETENIDO: NO SE VENDE", "bag.share": "%s %s", "bag.shareabout": "%s aprox. %s", "bag.sharelittle": "%s menos de %s", "bag.sharenot": "%s, no se sabe cuánto", "bag.basis.wet": "tal como está", "bag.basis.dry": "de la materia seca",

	"bag.none": "%q no es un número de etiquetas.", "bag.nonetry": "Escriba cuántas, 1 o más.", "bag.many": "%s etiquetas son demasiadas para un archivo; lo más son %s.", "bag.manytry": "Imprima las primeras %s, y después las demás con la primera bolsa en %s.",
	"bag.badfrom": "%q no es el número de una bolsa.", "bag.badfromtry": "Escriba 1, o el número que sigue a la última bolsa.", "bag.nosize": "No se puede imprimir una bolsa de %q.", "bag.nosizetry": "Escriba su volumen con la unidad, por ejemplo 1 ft3 o 25 L, cuando mucho 10 m3.", "bag.nomass": "No se puede imprimir una bolsa que pesa %q.", "bag.nomasstry": "Escriba lo que pesa una bolsa, por ejemplo 40 lb, o déjelo vacío.",
	"bag.nopapertry": "Escoja uno de la lista.", "bag.noname": "La etiqueta no dice qué contiene la bolsa.", "bag.nonametry": "Escríbalo, por ejemplo Humus de lombriz.", "bag.unprintable": "Las letras %s no se pueden imprimir.", "bag.unprintabletry": "Escríbalo en letras latinas, griegas o cirílicas.", "bag.unprintablename": "Están en el nombre de la granja o del lote. Imprima esas a mano.",
	"bag.badgoods": "%q no es un número de artículo.", "bag.badgoodstry": "Escriba las 12 o 13 cifras bajo las barras, o déjelo vacío.", "bag.wronggoods": "En %s la última cifra es %s; por las demás sería %d.", "bag.wronggoodstry": "Revise cada cifra.",
	"bag.noroom": "Las palabras no caben en esa etiqueta.", "bag.noroomtry": "Use etiquetas más grandes, o menos palabras.", "bag.toolongtry": "Use un nombre más corto para la máquina de la granja, o deje que el código lleve palabras.",
	"bag.claim": "%q en una etiqueta: %s", "bag.nutrient": "%s en una etiqueta hace de la bolsa un fertilizante en casi todos los estados.", "bag.nutrienttry": "Quítelo, o diga que sí si está registrado y su análisis garantizado.",
	"bag.other": "Esa etiqueta es del lote %s de otra granja. No se abrió nada.", "bag.garbled": "Las letras que siguen al lote no van con su nombre. Escanéela otra vez, o busque el lote en Humus.",

	"analyte.water_frac_wet": "Humedad", "analyte.carbon_frac_dry": "Carbono", "analyte.nitrogen_frac_dry": "Nitrógeno", "analyte.ash_frac_dry": "Ceniza", "analyte.volatile_frac_dry": "Materia orgánica", "analyte.lignin_frac_dry": "Lignina", "analyte.phosphorus_frac_dry": "Fósforo", "analyte.potassium_frac_dry": "Potasio", "analyte.cn": "Carbono a nitrógeno", "analyte.density_kg_m3_wet": "Densidad", "analyte.ec_ds_m": "Sales", "analyte.ph": "pH", "analyte.ammonia_n_mg_kg_dry": "Nitrógeno amoniacal", "analyte.nitrate_n_mg_kg_dry": "Nitrógeno de nitratos", "analyte.bioassay": "Prueba de frijol y chícharo", "analyte.glass_frac_wet": "Vidrio", "analyte.plastic_frac_wet": "Plástico",
}
