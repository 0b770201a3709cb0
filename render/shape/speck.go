package shape

import "container/heap"

// regions are the connected runs of pixels of one step. Each is known by its
// first pixel in reading order.
type regions struct {
	*Cleaned
	parent []int32 // of each pixel, towards the first of its region
	next   []int32 // the pixels of a region, in a ring
	size   []int32 // of a region, kept at its first pixel
}

// absorb joins every connected speck of fewer pixels than area to the step that
// it has the longest border with, the smallest speck first and of equal ones the
// first in reading order. Pixels are connected by their sides.
func (c *Cleaned) absorb(steps, area int, progress func(float64) error) error {
	if area < 2 {
		return nil
	}
	const connecting = 0.8 // of what is left to do
	r, err := c.connect(func(share float64) error {
		return progress(voteShare + (1-voteShare)*connecting*share)
	})
	if err != nil {
		return err
	}
	queue := &specks{}
	for i := range r.parent {
		if first := r.first(int32(i)); first == int32(i) && int(r.size[i]) < area {
			*queue = append(*queue, speck{r.size[i], first})
		}
	}
	heap.Init(queue)
	var pixels []int32
	for most, handled := queue.Len(), 0; queue.Len() > 0; handled++ {
		if handled%1024 == 0 {
			done := min(float64(handled)/float64(2*most), 1)
			if err := progress(voteShare + (1-voteShare)*(connecting+(1-connecting)*done)); err != nil {
				return err
			}
		}
		s := heap.Pop(queue).(speck)
		if r.first(s.first) != s.first || r.size[s.first] != s.size {
			continue // it has grown or been joined since it was queued
		}
		pixels = r.ring(s.first, pixels[:0])
		if !r.join(pixels, steps) {
			continue
		}
		if first := r.first(s.first); int(r.size[first]) < area {
			heap.Push(queue, speck{r.size[first], first})
		}
	}
	return nil
}

// connect finds the regions.
func (c *Cleaned) connect(progress func(float64) error) (*regions, error) {
	n := len(c.Step)
	r := &regions{c, make([]int32, n), make([]int32, n), make([]int32, n)}
	for y := range c.Height {
		if y%rowsAtATime == 0 {
			if err := progress(float64(y) / float64(c.Height)); err != nil {
				return nil, err
			}
		}
		for i := y * c.Width; i < (y+1)*c.Width; i++ {
			r.parent[i], r.next[i], r.size[i] = int32(i), int32(i), 1
			if i > y*c.Width && c.Step[i] == c.Step[i-1] {
				r.unite(int32(i), int32(i-1))
			}
			if y > 0 && c.Step[i] == c.Step[i-c.Width] {
				r.unite(int32(i), int32(i-c.Width))
			}
		}
	}
	return r, nil
}

// first is the first pixel of the region of pixel i.
func (r *regions) first(i int32) int32 {
	for r.parent[i] != i {
		r.parent[i] = r.parent[r.parent[i]]
		i = r.parent[i]
	}
	return i
}

// unite makes one region of those of two pixels.
func (r *regions) unite(a, b int32) {
	a, b = r.first(a), r.first(b)
	if a == b {
		return
	}
	if a > b {
		a, b = b, a
	}
	r.parent[b] = a
	r.size[a] += r.size[b]
	r.next[a], r.next[b] = r.next[b], r.next[a]
}

// ring appends the pixels of the region of pixel i.
func (r *regions) ring(i int32, pixels []int32) []int32 {
	pixels = append(pixels, i)
	for at := r.next[i]; at != i; at = r.next[at] {
		pixels = append(pixels, at)
	}
	return pixels
}

// around calls visit with every pixel beside pixel i.
func (r *regions) around(i int32, visit func(j int32)) {
	x := int(i) % r.Width
	if x > 0 {
		visit(i - 1)
	}
	if x < r.Width-1 {
		visit(i + 1)
	}
	if int(i) >= r.Width {
		visit(i - int32(r.Width))
	}
	if int(i)+r.Width < len(r.Step) {
		visit(i + int32(r.Width))
	}
}

// join gives the pixels of a region the step that they have the longest border
// with, of equal ones the nearest and then the lighter, and unites them with the
// regions of that step beside them. It returns false if there is no border.
func (r *regions) join(pixels []int32, steps int) bool {
	own := r.Step[pixels[0]]
	var border [MostSteps + 1]int
	for _, i := range pixels {
		r.around(i, func(j int32) { border[r.Step[j]]++ })
	}
	chosen := 0
	for step := 1; step <= steps; step++ {
		away, before := step-int(own), int(own)-chosen
		if step != int(own) && border[step] > 0 && (chosen == 0 || border[step] > border[chosen] ||
			border[step] == border[chosen] && away <= before) {
			chosen = step
		}
	}
	if chosen == 0 {
		return false
	}
	for _, i := range pixels {
		r.Step[i] = byte(chosen)
	}
	for _, i := range pixels {
		r.around(i, func(j int32) {
			if r.Step[j] == byte(chosen) {
				r.unite(i, j)
			}
		})
	}
	return true
}

// speck is a region in the queue: its size and its first pixel when queued.
type speck struct{ size, first int32 }

// specks are a heap, the smallest first.
type specks []speck

func (q specks) Len() int { return len(q) }

func (q specks) Less(i, j int) bool {
	return q[i].size < q[j].size || q[i].size == q[j].size && q[i].first < q[j].first
}

func (q specks) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

// Push takes a speck for package heap.
func (q *specks) Push(s any) { *q = append(*q, s.(speck)) }

// Pop gives the last speck to package heap.
func (q *specks) Pop() any {
	last := len(*q) - 1
	s := (*q)[last]
	*q = (*q)[:last]
	return s
}
