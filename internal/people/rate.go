package people

import (
	"sync"
	"time"
)

// Tries at the door. A device on which a person has signed in counts for
// itself, so that nobody can lock another out by guessing.
const (
	nameTries    = 8
	nameEvery    = time.Minute
	addressTries = 24
	addressEvery = 10 * time.Second
	mostCounted  = 4096
	mostWaiting  = 12
	busyWait     = 10 * time.Second
)

// limiter lets a number of tries through at once and then one in a while, by
// key. It forgets keys that are full again, and counts a bounded number.
type limiter struct {
	tries float64
	every time.Duration

	mutex sync.Mutex
	left  map[string]bucket
}

type bucket struct {
	left float64
	at   time.Time
}

func newLimiter(tries int, every time.Duration) *limiter {
	return &limiter{tries: float64(tries), every: every, left: map[string]bucket{}}
}

// take counts a try, or says how long to wait for the next.
func (l *limiter) take(key string, now time.Time) time.Duration {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	b, ok := l.left[key]
	if !ok {
		if len(l.left) >= mostCounted {
			l.forget(now)
		}
		b = bucket{l.tries, now}
	}
	b = l.filled(b, now)
	if b.left < 1 {
		l.left[key] = b
		return time.Duration((1-b.left)*float64(l.every)).Round(time.Second) + time.Second
	}
	b.left--
	l.left[key] = b
	return 0
}

func (l *limiter) filled(b bucket, now time.Time) bucket {
	if gone := now.Sub(b.at); gone > 0 {
		b.left = min(l.tries, b.left+float64(gone)/float64(l.every))
	}
	b.at = now
	return b
}

// forget drops what is full again; when nothing is, it drops the fullest half,
// which has waited longest.
func (l *limiter) forget(now time.Time) {
	for _, least := range []float64{l.tries, l.tries / 2, 0} {
		for key, b := range l.left {
			if l.filled(b, now).left >= least {
				delete(l.left, key)
			}
		}
		if len(l.left) < mostCounted/2 {
			return
		}
	}
}

// clear forgets the tries of a key.
func (l *limiter) clear(key string) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	delete(l.left, key)
}
