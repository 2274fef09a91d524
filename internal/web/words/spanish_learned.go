package words

var spanishLearned = whole(map[string]string{
	"learned.title":   "Lo último que movió el cálculo",
	"learned.moved":   "%s: %s. Los gemelos tenían %s y ahora tienen %s.",
	"learned.part":    "Queda tan lejos que solo cuenta en parte hasta que se lea otra vez.",
	"learned.not":     "%s: %s. Los gemelos tienen %s, tan lejos que ha de pasar otra cosa: no movió nada. Mire otra vez.",
	"learned.warmer":  "el termómetro a %s de hondo marcó %s más de lo esperado",
	"learned.colder":  "el termómetro a %s de hondo marcó %s menos de lo esperado",
	"learned.wet":     "la sonda de humedad a %s de hondo marcó %s de agua",
	"learned.height":  "la cama medía %s de alto",
	"learned.weight":  "la caja pesó %s",
	"learned.count":   "el conteo de lombrices da %s en la caja",
	"learned.none":    "no había ninguna lombriz en la muestra",
	"learned.number":  "el conteo da %s lombrices en la caja",
	"learned.squeeze": "un puñado apretado salió «%s»",
	"learned.left":    "de la última comida quedaba «%s»",
	"learned.worms":   "las lombrices a la vista eran «%s»",
	"learned.booked":  "Lo que se encontró de esta cama le ha puesto, o quitado donde dice menos, %s de materia seca y %s de agua que no trajo ninguna comida ni riego (ecuaciones T5 a T7).",
})
