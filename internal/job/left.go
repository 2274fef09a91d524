package job

import "time"

// Meter reckons how long work of many like parts still takes. The zero Meter is
// ready.
type Meter struct {
	at   time.Time // when it first heard of parts
	part int       // that were done then, perhaps before a restart
	of   int       // parts in all; of another step they are other parts
}

// Left gives how much longer the work takes with part of its parts done, by how
// long those took that were done since it first heard; false until there are some.
func (m *Meter) Left(now time.Time, part, of int) (time.Duration, bool) {
	if of <= 0 || part > of {
		return 0, false
	}
	if m.at.IsZero() || part < m.part || of != m.of {
		m.at, m.part, m.of = now, part, of
	}
	if part <= m.part || !now.After(m.at) {
		return 0, false
	}
	each := now.Sub(m.at) / time.Duration(part-m.part)
	return each * time.Duration(of-part), true
}
