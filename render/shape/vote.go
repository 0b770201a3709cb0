package shape

import (
	"sync"

	"maulstick/render/colour"
)

// How a pixel's vote depends on its distance from an edge, in L*.
const (
	fullVote   = 3.0  // from here on it is worth no more
	fadingVote = 16.0 // from here on it is worth less
	noVote     = 26.0 // from here on it is worth nothing
	sureSide   = 8.0  // from here on a pixel is on its side without one
)

const (
	// ayes is the largest vote: a sixteenth of an L* is told apart.
	ayes = int(fullVote * 16)
	// boxReach is how far, in pixels each way, a box of voters reaches. Votes go
	// through two boxes across and two down, which together come near a Gaussian
	// with a standard deviation of 3.65 pixels.
	boxReach = 4
)

// A pixel's stand, added up over five pixels without carrying over: those sure to
// be on the lighter side, and those sure to be on the darker one.
const (
	lighter = 1
	darker  = 16
)

// ballotShift is how many lower bits of a light a ballot does not look at.
const ballotShift = 9

// ballots is how many lights a ballot tells apart; FullLight has 24 bits.
const ballots = 1 << (24 - ballotShift)

// ballot is the votes of every light on one edge between two steps, found by
// their upper bits.
type ballot struct {
	threshold colour.Light
	vote      [ballots]int32
	stand     [ballots]uint8
}

// ballotLightness is the lightness of all lights that a ballot tells apart.
var ballotLightness = sync.OnceValue(func() *[ballots]colour.Lightness {
	known := new([ballots]colour.Lightness)
	for i := range known {
		known[i] = (colour.Light(i)<<ballotShift + 1<<(ballotShift-1)).Lightness()
	}
	return known
})

// newBallot is the ballot of an edge.
func newBallot(threshold colour.Light, edge colour.Lightness) *ballot {
	b, known := &ballot{threshold: threshold}, ballotLightness()
	for i := range b.vote {
		away := float64(known[i] - edge)
		side, far := 1.0, away
		if away < 0 {
			side, far = -1, -away
		}
		weight := min(max((noVote-far)/(noVote-fadingVote), 0), 1)
		b.vote[i] = int32(side * weight * min(far, fullVote) * 16)
		switch {
		case away >= sureSide:
			b.stand[i] = lighter
		case away <= -sureSide:
			b.stand[i] = darker
		}
	}
	return b
}

// of is a light's vote. Close to the edge, where the upper bits do not tell, the
// threshold itself decides the side.
func (b *ballot) of(l colour.Light) int32 {
	v := b.vote[l>>ballotShift%ballots]
	if l >= b.threshold {
		return max(v, 0)
	}
	return min(v, -1)
}

// standOf is what a light is sure of.
func (b *ballot) standOf(l colour.Light) uint8 { return b.stand[l>>ballotShift%ballots] }

// vote moves the pixels that come out lighter than an edge up by one step.
func (c *Cleaned) vote(light []colour.Light, threshold colour.Light, edge colour.Lightness, progress func(float64) error) error {
	b := newBallot(threshold, edge)
	row, between := make([]int32, c.Width), make([]int32, c.Width)
	first, second := newColumns(c.Width), newColumns(c.Width)
	for y := range c.Height + 2*boxReach {
		if y%rowsAtATime == 0 {
			if err := progress(float64(y) / float64(c.Height+2*boxReach)); err != nil {
				return err
			}
		}
		clear(row)
		if y < c.Height {
			for x, l := range light[y*c.Width:][:c.Width] {
				between[x] = b.of(l)
			}
			boxAcross(between, row)
			boxAcross(row, between)
			copy(row, between)
		}
		sums := second.add(first.add(row))
		if at := y - 2*boxReach; at >= 0 {
			c.decide(b, light, at, sums)
		}
	}
	return nil
}

// decide moves the pixels of row y up that are surely lighter than the edge, or
// not surely darker and voted lighter.
func (c *Cleaned) decide(b *ballot, light []colour.Light, y int, sums []int32) {
	row := light[y*c.Width:][:c.Width]
	above, below := row, row
	if y > 0 {
		above = light[(y-1)*c.Width:][:c.Width]
	}
	if y < c.Height-1 {
		below = light[(y+1)*c.Width:][:c.Width]
	}
	steps := c.Step[y*c.Width:][:len(row)]
	above, below, sums = above[:len(row)], below[:len(row)], sums[:len(row)]
	before, own := b.standOf(row[0]), b.standOf(row[0])
	for x := range row {
		after := own
		if x+1 < len(row) {
			after = b.standOf(row[x+1])
		}
		most := before + own + after + b.standOf(above[x]) + b.standOf(below[x])
		if most%darker >= 3 || most/darker < 3 && sums[x] >= 0 {
			steps[x]++
		}
		before, own = own, after
	}
}

// boxAcross adds up each pixel of a row with those within boxReach of it. Beyond
// the ends there is nothing.
func boxAcross(row, out []int32) {
	n := len(row)
	out = out[:n]
	var sum int32
	for _, v := range row[:min(boxReach, n)] {
		sum += v
	}
	// At the middle of a row, which is most of it, all of the box lies on the row.
	middle := min(max(n-boxReach, 0), boxReach+1)
	for x := range middle {
		if x+boxReach < n {
			sum += row[x+boxReach]
		}
		out[x] = sum
	}
	for x := middle; x < n-boxReach; x++ {
		sum += row[x+boxReach] - row[x-boxReach-1]
		out[x] = sum
	}
	for x := max(middle, n-boxReach); x < n; x++ {
		if x > boxReach {
			sum -= row[x-boxReach-1]
		}
		out[x] = sum
	}
}

// columns adds up the last rows that it was given.
type columns struct {
	rows [2*boxReach + 1][]int32
	next int
	sums []int32
}

func newColumns(width int) *columns {
	c := &columns{sums: make([]int32, width)}
	for i := range c.rows {
		c.rows[i] = make([]int32, width)
	}
	return c
}

// add takes a row in, lets the oldest go, and returns the sums, which are read
// only until the next call.
func (c *columns) add(row []int32) []int32 {
	oldest, sums := c.rows[c.next][:len(row)], c.sums[:len(row)]
	c.next = (c.next + 1) % len(c.rows)
	for x, n := range row {
		sums[x] += n - oldest[x]
		oldest[x] = n
	}
	return c.sums
}
