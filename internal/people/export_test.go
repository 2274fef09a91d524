package people

// Counted counts derivations and makes them cheap.
func (d *Door) Counted() *int {
	n := new(int)
	d.Cost = Cost{Time: 1, Memory: 8, Lanes: 1}
	d.derive = func(secret, salt []byte, c Cost) []byte {
		*n++
		return derive(secret, salt, c)
	}
	return n
}

// Hash gives what is kept of a token.
func Hash(token string) string { return hashOf(token) }

// Crowd makes the queue at the door full, and the function it gives empties it.
func (d *Door) Crowd() func() {
	d.waiting.Add(mostWaiting)
	return func() { d.waiting.Add(-mostWaiting) }
}
