package shape

import "math"

// shortest is how many crests in a row make an edge at least: fewer are specks.
const shortest = 4

// linker joins crests into lines.
type linker struct {
	width  int
	crests []crest
	index  []int32 // by pixel: one more than the crest there, 0 where there is none or it is taken
}

// link joins crests to lines from neighbour to neighbour, each used once, and
// keeps the lines of at least shortest crests in which one is as steep as sure,
// in L* a pixel. A line with one end on the other is closed by having its first
// crest again at its end.
func link(s *edgeScene, crests []crest, sure float64, t *pace) [][]crest {
	k := &linker{width: s.fine.width, crests: crests, index: make([]int32, len(s.fine.at))}
	for n, c := range crests {
		k.index[k.pixel(c)] = int32(n) + 1
	}
	var lines [][]crest
	for _, c := range crests {
		if k.index[k.pixel(c)] == 0 {
			continue
		}
		line := k.line(c)
		if len(line) >= shortest && steepest(line) >= float32(sure) {
			lines = append(lines, line)
		}
		if !t.beat(len(line)) {
			break
		}
	}
	return lines
}

func (k *linker) pixel(c crest) int { return int(c.y)*k.width + int(c.x) }

// line is what is joined through a crest, in both directions.
func (k *linker) line(c crest) []crest {
	k.index[k.pixel(c)] = 0
	ahead := k.follow(c, -1)
	behind := k.follow(c, 1)
	line := make([]crest, 0, len(ahead)+len(behind)+2)
	for i := len(behind) - 1; i >= 0; i-- {
		line = append(line, behind[i])
	}
	line = append(append(line, c), ahead...)
	first, last := line[0], line[len(line)-1]
	if len(line) > 2*shortest && max(abs32(first.x-last.x), abs32(first.y-last.y)) <= 1 {
		line = append(line, first)
	}
	return line
}

// follow walks from a crest to its neighbours with the lighter side on one hand
// until there is none left.
func (k *linker) follow(c crest, hand float32) []crest {
	var line []crest
	for {
		next := k.next(c, hand)
		k.drop(c, next)
		if next == 0 {
			return line
		}
		c = k.crests[next-1]
		k.index[k.pixel(c)] = 0
		line = append(line, c)
	}
}

// next is the neighbour that continues the edge best: the way to it lies along
// the edge, and it rises in much the same direction.
func (k *linker) next(c crest, hand float32) int32 {
	wayX, wayY := -c.ny*hand, c.nx*hand
	best, chosen := float32(0), int32(0)
	for dy := int32(-1); dy <= 1; dy++ {
		for dx := int32(-1); dx <= 1; dx++ {
			n := k.index[(int(c.y+dy))*k.width+int(c.x+dx)]
			if n == 0 {
				continue
			}
			other := k.crests[n-1]
			alike := float32(c.nx*other.nx) + float32(c.ny*other.ny)
			gone := (float32(float32(dx)*wayX) + float32(float32(dy)*wayY)) / float32(math.Sqrt(float64(dx*dx+dy*dy)))
			if alike < leastAlike || gone < leastAlong {
				continue
			}
			if fit := alike + gone; fit > best {
				best, chosen = fit, n
			}
		}
	}
	return chosen
}

// drop removes the neighbours other than the next that stand for the same stretch
// of the edge: a slanting edge passes through pixels side by side.
func (k *linker) drop(c crest, next int32) {
	for dy := int32(-1); dy <= 1; dy++ {
		for dx := int32(-1); dx <= 1; dx++ {
			at := (int(c.y+dy))*k.width + int(c.x+dx)
			n := k.index[at]
			if n == 0 || n == next {
				continue
			}
			other := k.crests[n-1]
			u := float32(dx) + float32(other.off*other.nx) - float32(c.off*c.nx)
			v := float32(dy) + float32(other.off*other.ny) - float32(c.off*c.ny)
			if float32(u*u)+float32(v*v) < leastApart*leastApart {
				k.index[at] = 0
			}
		}
	}
}

// leastApart is how many pixels places of one edge are apart at least.
const leastApart = 0.9

// Neighbours belong to one edge if they rise in directions less than 45 degrees
// apart, and if the way from one to the other lies within 72 degrees of the edge.
const (
	leastAlike = 0.7
	leastAlong = 0.3
)

func steepest(line []crest) float32 {
	most := float32(0)
	for _, c := range line {
		most = max(most, c.fine)
	}
	return most
}

func abs32(v int32) int32 { return max(v, -v) }
