package kinetics

import "sync"

// memo keeps what was worked out for a key, and begins anew when it has so many: a
// book of many noises would keep one table for each.
type memo[K comparable, V any] struct {
	most int
	mu   sync.RWMutex
	kept map[K]V
}

// of is what is kept of a key, worked out where nothing is.
func (m *memo[K, V]) of(key K, work func() V) V {
	m.mu.RLock()
	v, ok := m.kept[key]
	m.mu.RUnlock()
	if ok {
		return v
	}
	v = work()
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept == nil || len(m.kept) >= m.most {
		m.kept = map[K]V{}
	}
	m.kept[key] = v
	return v
}
