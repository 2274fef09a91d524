package words

import "testing"

// BenchmarkTold tells a text that no format makes, which takes longest.
func BenchmarkTold(b *testing.B) {
	es := Spanish()
	es.Told("warm up.")
	for b.Loop() {
		es.Told("Somebody wrote this by hand and it has no format. It is left as it is.")
	}
}
