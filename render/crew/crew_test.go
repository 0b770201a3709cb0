package crew

import (
	"runtime"
	"sync/atomic"
	"testing"
)

// TestShare: every piece is worked once, whatever the cores and the sizes, and no
// band but the last is shorter than asked.
func TestShare(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(cores)
		for _, n := range []int{0, 1, 2, 15, 16, 17, 1000} {
			for _, least := range []int{0, 1, 5, 400, 5000} {
				worked := make([]atomic.Int32, n)
				Share(n, least, func(first, end int) {
					if first >= end || end-first < least && end < n {
						t.Errorf("%d cores, %d pieces, at least %d: a band goes from %d to %d", cores, n, least, first, end)
					}
					for i := first; i < end; i++ {
						worked[i].Add(1)
					}
				})
				for i := range worked {
					if got := worked[i].Load(); got != 1 {
						t.Fatalf("%d cores, %d pieces, at least %d: piece %d is worked %d times", cores, n, least, i, got)
					}
				}
			}
		}
	}
}
