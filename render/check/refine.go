package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Tuning of the sides at full resolution.
const (
	samplesASide = 160  // places at which a side is looked for
	endsLeft     = 0.03 // of a side left out at either end
	sideScale    = 1.2  // pixels: an edge further off than three of these is not the side's
	leastHeld    = 0.35 // of the samples that lie on each side
	mostCorner   = 3.0  // pixels of doubt about a corner above which the canvas is declined
)

// refined is a canvas with how good its outline is.
type refined struct {
	Canvas
	quality float64 // share of samples that lie on the outline
	misfit  float64
}

// apart is how far the corners of two outlines are apart, as a part of the diagonal.
func (r refined) apart(c Canvas) float64 {
	return quadApart(r.Corners, c.Corners) / math.Hypot(float64(c.Bow.Photo.Width), float64(c.Bow.Photo.Height))
}

// side is a side's samples on the photograph.
type side []place.PhotoPoint

// refine finds the edges of a frame again on the photograph itself, in two rounds,
// and fits four straight lines and a bow to them.
func refine(p *photo.Picture, f frame, scale float64, canvas place.Size) (refined, error) {
	var sides [4]side
	for i, l := range f.sides {
		a, b := f.corners[i], f.corners[(i+1)%4]
		t, _ := l.along(a.X, a.Y)
		u, _ := l.along(b.X, b.Y)
		curve := func(part float64) (x, y, dx, dy float64) {
			at := t + part*(u-t)
			x, y = l.place(at)
			dx, dy = l.tangent(at)
			return x * scale, y * scale, dx * math.Copysign(1, u-t), dy * math.Copysign(1, u-t)
		}
		sides[i] = look(p, curve, 2.2*scale+2)
	}
	o, err := fitOutline(sides, p.Size())
	if err != nil {
		return refined{}, err
	}
	for range 2 {
		for i := range 4 {
			sides[i] = look(p, o.curve(i), 4)
		}
		if o, err = fitOutline(sides, p.Size()); err != nil {
			return refined{}, err
		}
	}
	off := misfit(o.straightCorners(), canvas, p.Size())
	if off > mostMisfit {
		return refined{}, noCanvas("the outline that was found has not the canvas's proportion under any lens")
	}
	r := refined{Canvas: Canvas{Bow: o.bow, Found: true, Within: o.within}, quality: o.held, misfit: off}
	for i, c := range o.straightCorners() {
		r.Corners[i] = o.bow.Bent(c)
		if c := r.Corners[i]; c.X < -1 || c.Y < -1 || c.X > float64(p.Width)+1 || c.Y > float64(p.Height)+1 {
			return refined{}, &Declined{"a corner of the canvas lies beyond the photograph", "photograph the whole canvas", WantsNothing}
		}
	}
	if o.within > mostCorner {
		return refined{}, noCanvas("the canvas's edges are too faint to tell its corners from")
	}
	return r, nil
}

// look finds the steepest place across a curve at each of its samples, within a
// reach in pixels, the nearer of equally steep ones first. Samples without an edge
// are left out.
func look(p *photo.Picture, curve func(part float64) (x, y, dx, dy float64), reach float64) side {
	const pace = 0.5
	n := int(math.Ceil(reach/pace)) + 3
	profile := make([][3]float64, 2*n+1)
	var found side
	for s := range samplesASide {
		x, y, dx, dy := curve(endsLeft + (1-2*endsLeft)*(float64(s)+0.5)/samplesASide)
		length := math.Hypot(dx, dy)
		dx, dy = dx/length, dy/length
		for i := range profile {
			off := float64(i-n) * pace
			profile[i] = labAlong(p, x-off*dy, y+off*dx, dx, dy)
		}
		best, at := 0.0, 0
		steep := make([]float64, len(profile))
		for i := 2; i < len(profile)-2; i++ {
			var sum float64
			for k := range 3 {
				d := (profile[i+2][k] - profile[i-2][k] + profile[i+1][k] - profile[i-1][k]) / 3
				sum += d * d
			}
			steep[i] = math.Sqrt(sum)
			off := float64(i-n) * pace / reach
			if v := steep[i] * (1 - 0.35*off*off); math.Abs(off) <= 1 && v > best {
				best, at = v, i
			}
		}
		if at < 3 || at > len(profile)-4 || steep[at] < leastSteep || steep[at] < steep[at-1] || steep[at] < steep[at+1] {
			continue
		}
		shift := 0.0
		if bend := steep[at-1] - 2*steep[at] + steep[at+1]; bend < 0 {
			shift = (steep[at-1] - steep[at+1]) / (2 * bend)
		}
		off := (float64(at-n) + min(max(shift, -0.5), 0.5)) * pace
		found = append(found, place.PhotoPoint{X: x - off*dy, Y: y + off*dx})
	}
	return found
}

// labAlong is the colour in OKLab of a short stretch along an edge.
func labAlong(p *photo.Picture, x, y, dx, dy float64) [3]float64 {
	var sum colour.Linear
	for _, s := range [...]float64{-2, -1, 0, 1, 2} {
		c := between(p, x+s*dx, y+s*dy)
		sum.R += c.R / 5
		sum.G += c.G / 5
		sum.B += c.B / 5
	}
	lab := sum.OKLab()
	return [3]float64{lab.L, lab.A, lab.B}
}

// between is the light at a place of a photograph, between four pixels.
func between(p *photo.Picture, x, y float64) (sum colour.Linear) {
	i, j := math.Floor(x-0.5), math.Floor(y-0.5)
	fx, fy := x-0.5-i, y-0.5-j
	for v := range 2 {
		for u := range 2 {
			w := math.Abs(1-float64(u)-fx) * math.Abs(1-float64(v)-fy)
			c := p.At(int(i)+u, int(j)+v).Linear()
			sum.R += w * c.R
			sum.G += w * c.G
			sum.B += w * c.B
		}
	}
	return sum
}

// outline is four straight lines as they would be without the lens's bow: top,
// right, bottom, left.
type outline struct {
	bow    Bow
	lines  [4]straight
	held   float64 // share of the samples that lie on the lines
	within float64 // doubt about the corners, pixels
}

// straight is a line: a place on it, its direction, and how well samples hold it.
type straight struct {
	x, y, dx, dy float64
	held         float64 // share of samples asked for that lie on it
	error        float64 // sum of squares, clipped, pixels
	within       float64 // doubt at its ends
}

// fitOutline finds the bow under which the samples of the sides lie straightest, and
// the lines through them.
func fitOutline(sides [4]side, photo place.Pixels) (outline, error) {
	for _, s := range sides {
		if float64(len(s)) < leastHeld*samplesASide {
			return outline{}, noCanvas("one side of the canvas hardly stands out from what is behind it")
		}
	}
	try := func(k float64) (o outline, cost float64) {
		o.bow = Bow{K: k, Photo: photo}
		for i, s := range sides {
			o.lines[i] = fitLine(s, o.bow)
			cost += o.lines[i].error
			o.held += o.lines[i].held / 4
			o.within = max(o.within, o.lines[i].within)
		}
		// Lenses are more often straight than not: half a pixel at the corner.
		_, _, half := o.bow.unit()
		return o, cost + math.Pow(k*half/20, 2)
	}
	best, least := try(0)
	low, high := -mostBow, mostBow
	const cuts = 10
	for range 5 {
		for i := range cuts + 1 {
			if o, cost := try(low + (high-low)*float64(i)/cuts); cost < least {
				best, least = o, cost
			}
		}
		width := (high - low) / cuts * 1.5
		low, high = max(best.bow.K-width, -mostBow), min(best.bow.K+width, mostBow)
	}
	for i := range best.lines {
		if best.lines[i].held < leastHeld {
			return outline{}, noCanvas("one side of the canvas is not straight enough to tell")
		}
	}
	return best, nil
}

// fitLine fits a line to straightened samples, the far ones counting less (Tukey's
// biweight), beginning with the line through which most pass.
func fitLine(s side, bow Bow) straight {
	places := make([]place.PhotoPoint, len(s))
	for i, p := range s {
		places[i] = bow.Straight(p)
	}
	l := consensus(places)
	for range 6 {
		l = l.settled(places)
	}
	within := 0
	const reach = 3 * sideScale
	l.error = 0
	var squares float64
	for _, p := range places {
		off := l.off(p)
		l.error += math.Min(off*off, reach*reach)
		if math.Abs(off) < reach {
			within++
			squares += off * off
		}
	}
	l.held = float64(within) / samplesASide
	if within > 2 {
		// At the ends of a line its fit is twice as doubtful as a mean; neighbours
		// share their errors, about eight samples to one.
		l.within = 2*math.Sqrt(squares/float64(within-2)/(float64(within)/8)) + 0.1
	} else {
		l.within = math.Inf(1)
	}
	return l
}

// off is how far a place is from the line.
func (l straight) off(p place.PhotoPoint) float64 { return (p.Y-l.y)*l.dx - (p.X-l.x)*l.dy }

// consensus is the line through two of the samples that most others lie on.
func consensus(places []place.PhotoPoint) straight {
	best, most := straight{dx: 1}, -1.0
	n := len(places)
	const tries = 16
	for i := range tries {
		for j := range tries {
			a := places[min(i*n/(2*tries), n-1)]
			b := places[min(n/2+j*n/(2*tries), n-1)]
			length := math.Hypot(b.X-a.X, b.Y-a.Y)
			if length == 0 {
				continue
			}
			l := straight{x: a.X, y: a.Y, dx: (b.X - a.X) / length, dy: (b.Y - a.Y) / length}
			score := 0.0
			for _, p := range places {
				if r := l.off(p) / (3 * sideScale); r*r < 1 {
					score += (1 - r*r) * (1 - r*r)
				}
			}
			if score > most {
				best, most = l, score
			}
		}
	}
	return best
}

// settled is the line of least squares through the places near it.
func (l straight) settled(places []place.PhotoPoint) straight {
	var w, x, y float64
	weight := func(p place.PhotoPoint) float64 {
		r := l.off(p) / (3 * sideScale)
		return math.Pow(max(1-r*r, 0), 2)
	}
	for _, p := range places {
		k := weight(p)
		w, x, y = w+k, x+k*p.X, y+k*p.Y
	}
	if w == 0 {
		return l
	}
	x, y = x/w, y/w
	var xx, xy, yy float64
	for _, p := range places {
		k := weight(p)
		xx += k * (p.X - x) * (p.X - x)
		xy += k * (p.X - x) * (p.Y - y)
		yy += k * (p.Y - y) * (p.Y - y)
	}
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	return straight{x: x, y: y, dx: cos, dy: sin}
}

// straightCorners are where the lines cross, from the top left on.
func (o outline) straightCorners() (q place.Quad) {
	for i := range q {
		l, m := o.lines[(i+3)%4], o.lines[i]
		t := ((m.x-l.x)*m.dy - (m.y-l.y)*m.dx) / (l.dx*m.dy - l.dy*m.dx)
		q[i] = place.PhotoPoint{X: l.x + t*l.dx, Y: l.y + t*l.dy}
	}
	return q
}

// curve is side i as it runs on the photograph, for look.
func (o outline) curve(i int) func(part float64) (x, y, dx, dy float64) {
	q := o.straightCorners()
	a, b := q[i], q[(i+1)%4]
	at := func(part float64) place.PhotoPoint {
		return o.bow.Bent(place.PhotoPoint{X: a.X + part*(b.X-a.X), Y: a.Y + part*(b.Y-a.Y)})
	}
	return func(part float64) (x, y, dx, dy float64) {
		p, next := at(part), at(part+1e-4)
		return p.X, p.Y, next.X - p.X, next.Y - p.Y
	}
}

// GivenCanvas is a canvas whose corners were touched: they stay as they are, to within
// a finger's two pixels, and the bow is that of the edges between them, none where
// they do not stand out.
func GivenCanvas(p *photo.Picture, corners place.Quad) Canvas {
	c := Canvas{Corners: corners, Bow: Bow{Photo: p.Size()}, Within: 2}
	var sides [4]side
	for i := range sides {
		a, b := corners[i], corners[(i+1)%4]
		curve := func(part float64) (x, y, dx, dy float64) {
			return a.X + part*(b.X-a.X), a.Y + part*(b.Y-a.Y), b.X - a.X, b.Y - a.Y
		}
		sides[i] = look(p, curve, 0.01*math.Hypot(b.X-a.X, b.Y-a.Y)+3)
	}
	o, err := fitOutline(sides, p.Size())
	if err != nil {
		return c
	}
	for i, corner := range o.straightCorners() {
		bent := o.bow.Bent(corner)
		if math.Hypot(bent.X-corners[i].X, bent.Y-corners[i].Y) > 0.01*math.Hypot(float64(p.Width), float64(p.Height)) {
			return c // these are other edges than the canvas's
		}
	}
	c.Bow = o.bow
	return c
}
