// Package crew shares work on a long row of equal pieces, the rows or pixels of
// a picture, among the processor's cores. In a browser there is one.
package crew

import (
	"runtime"
	"sync"
)

// bands is how many bands each core is handed, so that one that is held up
// leaves what it has not begun to the others.
const bands = 4

// Share calls do with bands of the pieces 0..n-1, each from first up to, not
// including, end, that together hold every piece once, and returns when all are
// done. Bands run at the same time on as many goroutines as GOMAXPROCS says and
// must not depend on each other; none but the last is shorter than least pieces,
// at least 1. With one core do is called once, by the caller's goroutine.
func Share(n, least int, do func(first, end int)) {
	cores := runtime.GOMAXPROCS(0)
	size := max((n+cores*bands-1)/(cores*bands), least, 1)
	if cores == 1 || n <= size {
		if n > 0 {
			do(0, n)
		}
		return
	}
	var group sync.WaitGroup
	starts := make(chan int, n/size+1)
	for first := 0; first < n; first += size {
		starts <- first
	}
	close(starts)
	for range min(cores, len(starts)) {
		group.Go(func() {
			for first := range starts {
				do(first, min(first+size, n))
			}
		})
	}
	group.Wait()
}
