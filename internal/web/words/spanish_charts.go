package words

// spanishCharts is what pictures over time say, and what stands on paper.
var spanishCharts = map[string]string{
	"times.title": "Tres semanas atrás, dos adelante", "times.warm": "lugar más caliente, %s", "times.wet": "humedad a media cama, %",
	"times.alt":     "Calor y humedad de la cama a lo largo del tiempo con sus rangos, lecturas como círculos, y abajo lo que se hizo. La tabla de abajo dice lo mismo con palabras.",
	"times.caption": "Línea: lo más probable. Banda oscura: la mitad de lo que puede ser; banda clara: 9 de cada 10. Los círculos se leyeron, cada uno a su hondura; su rayita dice cuánto puede errar la sonda. Los días que vienen son como si nadie tocara la cama.",
	"times.pick":    "Día que se lee", "times.said": "%s: lugar más caliente %s, humedad %s.", "times.saiddone": "%s Ese día: %s.",
	"times.fed": "comida", "times.watered": "riego", "times.looked": "se revisó", "times.turned": "se volteó", "times.other": "otro trabajo",
	"times.act.cover": "cambio de cubierta", "times.act.heat": "calefacción prendida o apagada", "times.act.stock": "lombrices puestas o sacadas", "times.act.take": "humus sacado", "times.act.move": "cambio de lugar",
	"times.read": "se leyó %s, con %s de más o de menos", "times.table": "Lo mismo en una tabla", "times.day": "día", "times.warmhead": "más caliente, %s", "times.wethead": "humedad, %", "times.done": "hecho y leído",
	"draw.done": "%s, %s", "paper.head": "%s, impreso el %s a las %s",
	"past.title":    "Cómo ha estado la granja",
	"past.say":      "Se hace con la ronda, a partir de la bitácora y de los modelos de todas las camas. Las camas terminadas no cuentan, salvo en los días que se guardaron mientras vivían.",
	"past.alt":      "%s a lo largo del tiempo, al final %s",
	"past.last":     "Al final: %s.",
	"past.worms":    "Lombrices en todas las camas, %s",
	"past.wormssay": "Banda: los rangos de todas las camas sumados, como si todas fallaran hacia el mismo lado; el verdadero es más angosto.",
	"past.eaten":    "Alimento comido al día, %s",
	"past.eatensay": "Lo que comieron las lombrices de todas las camas, tal como estaba, lo más probable.",
	"past.made":     "Humus hecho al día, seco, %s",
	"past.madesay":  "Materia seca que se volvió humus en todas las camas, lo más probable. Lo cosechado no se resta.",
	"past.air":      "Aire de %s",
	"past.airsay":   "Lo más bajo, la media y lo más alto de cada día a ras del suelo: como se leyó donde alguien lo lee, si no, calculado con el clima.",
	"past.work":     "Horas de trabajo por semana",
	"past.worksay":  "Lo que se anotó, cada cosa con los minutos con que cuenta la ronda; la última semana puede no haber terminado.",
}
