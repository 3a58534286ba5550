package live

import (
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// While one ask is worked out, of those that come meanwhile only the newest has its turn.
func TestOnlyTheNewestAskWaits(t *testing.T) {
	var q queue
	done, ok := q.turn(1)
	require.True(t, ok)
	var wait sync.WaitGroup
	var mu sync.Mutex
	served := map[int64]bool{}
	for n := int64(2); n <= 9; n++ {
		wait.Go(func() {
			done, ok := q.turn(n)
			mu.Lock()
			served[n] = ok
			mu.Unlock()
			if ok {
				done()
			}
		})
	}
	for q.newest.Load() != 9 {
		runtime.Gosched()
	}
	done()
	wait.Wait()
	assert.True(t, served[9])
	_, ok = q.turn(5)
	assert.False(t, ok, "one that comes late is not answered")
	done, ok = q.turn(10)
	require.True(t, ok)
	done()
}
