package shape

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// smallestScene is the least side in pixels of a copy in which edges are looked
// for: on a smaller one nothing is far enough from the border.
const smallestScene = 14

// falseAlarm is how likely noise alone makes one edge anywhere in a picture, by
// the rule of Elder and Zucker: see FindEdges.
const falseAlarm = 0.05

// linkShare is how steep the places of an edge are at least, of what one of them
// has to be to be no noise.
const linkShare = 0.6

// FindEdges finds the edges of the part of a picture that a mapping's crop
// holds, and measures how wide and how strong each is all along it. Limits go
// by the distance from which the canvas is seen; 0 means ViewingDistance.
//
// Edges are places where the lightness L* rises most steeply: in lightness,
// since the painter sees and mixes values, and since a camera's noise is about
// even there. Each is taken from the least smoothed copy of the picture in which
// noise cannot be mistaken for it and its width can be told (Elder and Zucker,
// Local scale control for edge detection and blur estimation, IEEE TPAMI 20,
// 1998, 699-716); copies are halved for speed. Its width comes from the ratio of
// its gradients at two known amounts of smoothing (Zhuo and Sim 2011). Straight
// Gaussian edges of 20 to 80 L* in noise of up to 2 L* come back within 10 % of
// their width from 1 to 100 pixels, as the median along an edge of 400 pixels;
// a single place is less sure the fainter and narrower the edge is. The pixels'
// own size is part of the width. Near other edges, closer than about twice its
// width, an edge reads too narrow; where a camera has sharpened, too.
//
// progress may be nil; an error that it returns ends the work.
func FindEdges(p *photo.Picture, m place.Mapping, distance place.MM, progress func(done float64) error) (*Edges, error) {
	if err := m.Crop.Check(p.Size()); err != nil {
		return nil, fmt.Errorf("finding edges: %w", err)
	}
	e := &Edges{Mapping: m, Limits: LimitsOf(m, distance)}
	w := windowOf(p, m.Crop)
	if min(w.width, w.height) < smallestScene {
		return nil, &place.Problem{
			Doing:  "finding edges",
			What:   fmt.Sprintf("the crop holds %d x %d pixels", w.width, w.height),
			Wanted: fmt.Sprintf("choose a part of at least %d x %d pixels", smallestScene, smallestScene),
		}
	}
	// The picture is gone through six times, each of the halved ones five times.
	const passes = 6 + 5./3
	t := &pace{tell: progress, total: passes * float64(w.width) * float64(w.height)}
	f := &finder{Edges: e, window: w, pace: t}
	f.search(lightnessPlane(p, w, t))
	if t.err != nil {
		return nil, t.err
	}
	least := e.Limits.shortest()
	e.Strands = slices.DeleteFunc(e.Strands, func(s Strand) bool { return e.length(s) < least })
	return e, t.end()
}

// finder is a search for edges in a window of a picture.
type finder struct {
	*Edges
	window
	pace  *pace
	known []bool // pixels of the level about edges that are measured already
}

// search goes through ever smaller copies of the picture.
func (f *finder) search(p plane) {
	levels := f.measureNoise(p)
	chance := -math.Expm1(math.Log1p(-falseAlarm) / float64(len(p.at)))
	clear := math.Sqrt(-2 * math.Log(chance))
	f.known = make([]bool, len(p.at))
	for level := 0; level < levels && f.pace.err == nil; level++ {
		s := newScene(p, level, f.Noise, f.pace)
		sure := max(clear*s.noise.fine, s.faintest(f.softest()))
		lines := link(s, f.unknown(s, s.crests(linkShare*sure, f.pace)), sure, f.pace)
		last := level == levels-1
		var taken []crest
		for i := 0; i < len(lines) && f.pace.beat(len(lines[i])); i++ {
			line := lines[i]
			taken = append(taken, f.take(s, line, last)...)
		}
		if !last {
			f.cover(p, taken)
			p = p.halved(f.pace)
		}
	}
}

// measureNoise finds the picture's noise and tells in how many copies edges are
// looked for.
func (f *finder) measureNoise(p plane) (levels int) {
	free := &pace{}
	f.Noise = storedNoise
	for min(p.width, p.height) >= smallestScene {
		if levels < noiseLevels {
			f.Noise = max(f.Noise, noiseOf(p, levels))
			p = p.halved(free)
		} else {
			p = plane{width: (p.width + 1) / 2, height: (p.height + 1) / 2}
		}
		levels++
	}
	return levels
}

// softest is the widest edge that is not lost, as a variance in pixels squared.
func (f *finder) softest() float64 {
	sigma := float64(f.Limits.Soft/f.Mapping.Pixel()) / widthOfSigma
	return sigma * sigma
}

// faintest is how steep the faintest edge is at least, in L* a pixel, if it is
// of a variance that is measured at this level.
func (s *edgeScene) faintest(softest float64) float64 {
	widest := min(widestHere, softest/math.Pow(4, float64(s.level)))
	return FaintestEdge / math.Sqrt(2*math.Pi*(widest+s.prior+fineVariance))
}

// unknown are the crests that belong to no edge measured before.
func (f *finder) unknown(s *edgeScene, crests []crest) []crest {
	return slices.DeleteFunc(crests, func(c crest) bool { return f.known[int(c.y)*s.fine.width+int(c.x)] })
}

// take adds the parts of a line whose width can be told at this level, and
// returns the crests that it added.
func (f *finder) take(s *edgeScene, line []crest, last bool) (taken []crest) {
	measures := s.measure(line)
	for from := 0; from < len(line); {
		here := measures[from].here(last)
		to := from + 1
		for to < len(line) && measures[to].here(last) == here {
			to++
		}
		if here && to-from >= shortest {
			f.Strands = append(f.Strands, f.strand(s, line[from:to], measures[from:to])...)
			taken = append(taken, line[from:to]...)
		}
		from = to
	}
	return taken
}

// here says whether an edge is measured at this level: wider ones only at the
// last, and none there that would not fit into the picture.
func (b blurred) here(last bool) bool {
	widest := widestHere
	if last {
		widest = widestLast
	}
	return b.crest && b.variance <= widest
}

// strand is a line in pixels of the picture and on the canvas, without the
// stretches too faint to be seen.
func (f *finder) strand(s *edgeScene, line []crest, measures []blurred) []Strand {
	var strands []Strand
	var strand Strand
	pixel := float64(int(1) << s.level)
	for i, c := range line {
		width := widthOfSigma * pixel * math.Sqrt(max(measures[i].variance, narrowest))
		point := EdgePoint{
			At: place.PhotoPoint{
				X: (float64(c.x)+float64(float64(c.off)*float64(c.nx)))*pixel + 0.5 + float64(f.left),
				Y: (float64(c.y)+float64(float64(c.off)*float64(c.ny)))*pixel + 0.5 + float64(f.top),
			},
			LightX: c.nx, LightY: c.ny, Pixels: float32(width),
			Width:    f.millimetres(float64(c.nx)*width, float64(c.ny)*width),
			Contrast: float32(measures[i].contrast),
		}
		point.Class = f.Limits.Class(point.Width, measures[i].contrast)
		if point.Class != NoEdge {
			strand = append(strand, point)
		}
		if (point.Class == NoEdge || i == len(line)-1) && len(strand) > 0 {
			if len(strand) >= shortest {
				strands = append(strands, strand)
			}
			strand = nil
		}
	}
	return strands
}

// coverReach is how many pixels of the next copy about an edge are its own.
const coverReach = 1

// cover carries what is known to the next, halved level, p being this one.
func (f *finder) cover(p plane, taken []crest) {
	for _, c := range taken {
		f.known[int(c.y)*p.width+int(c.x)] = true
	}
	next := newPlane((p.width+1)/2, (p.height+1)/2)
	known := make([]bool, len(next.at))
	for y := range p.height {
		for x, k := range f.known[y*p.width : (y+1)*p.width] {
			if !k {
				continue
			}
			for v := max((y+1)/2-coverReach, 0); v <= min(y/2+coverReach, next.height-1); v++ {
				for u := max((x+1)/2-coverReach, 0); u <= min(x/2+coverReach, next.width-1); u++ {
					known[v*next.width+u] = true
				}
			}
		}
	}
	f.known = known
}

// pace tells how far the work has come. The first error it meets ends the work.
type pace struct {
	tell               func(done float64) error
	done, total, since float64
	err                error
}

// paceStep is how many pixels are gone through between two tellings, a few
// milliseconds of work, and crestWork how many of them take as long as one crest.
const (
	paceStep  = 1 << 16
	crestWork = 16
)

// row counts pixels that are about to be gone through, and says whether to go on.
func (t *pace) row(pixels int) bool {
	t.done += float64(pixels)
	return t.work(float64(pixels))
}

// beat is told of crests that are about to be worked on. There is no telling
// beforehand how many there will be, so they do not count as progress.
func (t *pace) beat(crests int) bool { return t.work(float64(crestWork * crests)) }

// work tells how far the work has come if there has been enough of it.
func (t *pace) work(pixels float64) bool {
	t.since += pixels
	if t.since >= paceStep && t.err == nil && t.tell != nil {
		t.since = 0
		t.err = t.tell(min(t.done/t.total, 1))
	}
	return t.err == nil
}

// end tells that the work is done.
func (t *pace) end() error {
	if t.tell == nil {
		return nil
	}
	return t.tell(1)
}
