package shape

import (
	"math"

	"maulstick/render/place"
)

// MapAlong draws lines as AlongOutline found their edges: the runs are of the lines.
func (e *Edges) MapAlong(lines [][]place.PhotoPoint, runs [][]OutlineRun) EdgeMap {
	m := e.emptyMap()
	for i, line := range lines {
		at, next := place.MM(0), 0
		for j := 1; j < len(line); j++ {
			a, b := line[j-1], line[j]
			pieces := max(int(math.Ceil(max(math.Abs(b.X-a.X), math.Abs(b.Y-a.Y)))), 1)
			length := e.between(a, b) / place.MM(pieces)
			for k := range pieces {
				for at += length; next+1 < len(runs[i]) && at > runs[i][next].To; {
					next++
				}
				t := (float64(k) + 0.5) / float64(pieces)
				if next < len(runs[i]) {
					m.put(a.X+float64(t*(b.X-a.X)), a.Y+float64(t*(b.Y-a.Y)), runs[i][next].Class)
				}
			}
		}
	}
	return m
}

// SharesAlong is how much of the length of lines is of each class, as AlongOutline
// found them; all 0 without a line.
func SharesAlong(runs [][]OutlineRun) EdgeShares {
	var by [Sharp + 1]place.MM
	var whole place.MM
	for _, line := range runs {
		for _, r := range line {
			by[r.Class] += r.To - r.From
			whole += r.To - r.From
		}
	}
	if whole == 0 {
		return EdgeShares{}
	}
	share := func(c EdgeClass) float64 { return float64(by[c] / whole) }
	return EdgeShares{Lost: share(Lost), Soft: share(Soft), Firm: share(Firm), Sharp: share(Sharp)}
}
