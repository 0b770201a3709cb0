package check

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/crew"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// The pictures that scenes are made of; testdata/PROVENANCE says whose they are.
var pictures = []string{
	"photo/fig-in-red-bowl-1800.jpg", "photo/picosdeeuropa_by_Aitzol_Berasategi.jpg", "photo/aitzgorri_by_Aitzol_Berasategi.jpg",
	"photo/citrus-fruits.jpg", "photo/european-honey-bee.jpg", "photo/seeding_by_Clements_Engelhardt.jpg", "photo/sunset_by_Aitzol_Berasategi.jpg",
	"shape/bee.jpg", "shape/brushes.jpg", "shape/citrus.jpg", "shape/hillside.jpg", "shape/mountains.jpg",
}

func load(t testing.TB, name string) *photo.Picture {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return p.Picture
}

// studio is a simulated canvas on an easel before a wall, and the camera that
// photographs it. Canvas places are millimetres on the canvas, image places half
// diagonals of the photograph from its middle.
type studio struct {
	size     place.Pixels
	canvas   place.Size
	to       [3][3]float64 // canvas to image, as a pinhole camera sees it
	k1, k2   float64       // the lens (Brown 1971)
	wall     colour.Linear
	floor    float64 // height of the floor's edge in the image
	wood     colour.Linear
	clutter  []clutter
	lamp     colour.Linear // colour and strength of the light
	rise     [2]float64    // how much more light at the right and lower edge than in the middle, as a part
	falloff  float64       // of the lens: the part of light lost at the photograph's corners
	flare    float64       // light added everywhere, of a white's
	tone     float64       // 0 a camera as the standard says, up to 0.6 a strong S-curve
	noise    float64       // at white, of a white's light
	glare    *glare
	quality  int // of the JPEG
	rng      *rand.Rand
	textured float64 // of the wall
	cards    []greyCard
}

// greyCard is a square card of so many millimetres, at a place beside the canvas in its
// plane.
type greyCard struct {
	x, y  float64
	value colour.Value
}

const cardSide = 60

type clutter struct {
	x0, y0, x1, y1 float64 // on the wall in image places
	c              colour.Linear
}

// glare is a soft shine on the canvas.
type glare struct{ x, y, wide, strength float64 }

// newStudio is a studio by chance: tilted up to 18 degrees, rolled up to 3, lenses of
// 24 to 70 mm on 35 mm film, bows from -6 to 3 hundredths at the corner.
func newStudio(rng *rand.Rand, size place.Pixels, canvas place.Size) *studio {
	s := &studio{size: size, canvas: canvas, rng: rng}
	even := s.even
	s.k1, s.k2 = even(-0.06, 0.03), even(-0.008, 0.008)
	grey := even(0.05, 0.7)
	s.wall = colour.Linear{R: grey * even(0.9, 1.1), G: grey * even(0.92, 1.05), B: grey * even(0.8, 1.1)}
	s.floor = even(0.3, 0.75)
	s.wood = colour.Linear{R: even(0.1, 0.4), G: even(0.07, 0.25), B: even(0.03, 0.12)}
	s.textured = even(0, 0.06)
	for range rng.IntN(4) {
		x, y := even(-1, 0.8), even(-0.7, 0.2)
		s.clutter = append(s.clutter, clutter{x, y, x + even(0.05, 0.25), y + even(0.05, 0.3), colour.Linear{R: even(0, 0.8), G: even(0, 0.8), B: even(0, 0.8)}})
	}
	exposure := math.Exp2(even(-0.7, -0.05))
	s.lamp = colour.Linear{R: exposure * even(0.85, 1.15), G: exposure, B: exposure * even(0.82, 1.15)}
	s.rise = [2]float64{even(-0.12, 0.12), even(-0.12, 0.12)}
	s.falloff, s.flare, s.tone, s.noise, s.quality = even(0, 0.3), even(0, 0.01), even(0, 0.6), even(0.004, 0.012), 78+rng.IntN(17)
	if rng.IntN(4) == 0 {
		w, h := float64(canvas.Width), float64(canvas.Height)
		s.glare = &glare{even(0.1, 0.9) * w, even(0.1, 0.9) * h, even(0.06, 0.12) * math.Hypot(w, h), even(0.05, 0.25)}
	}
	for !s.stand(even) {
	}
	return s
}

// even is a figure by chance between two.
func (s *studio) even(a, b float64) float64 { return a + (b-a)*s.rng.Float64() }

// showCards puts five cards up to the left of the canvas and the middle one once more to
// the right, and moves the camera to where it sees all of them; they are as they would be
// touched on the photograph.
func (s *studio) showCards() (touched []card.Card) {
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	for i, v := range []colour.Value{1.5, 3.5, 5.5, 7.5, 9} {
		s.cards = append(s.cards, greyCard{-1.2 * cardSide, h/2 + 1.4*cardSide*float64(i-2), v})
	}
	s.cards = append(s.cards, greyCard{w + 1.2*cardSide, h / 2, 5.5})
	for touched == nil {
		for !s.stand(s.even) {
		}
		for _, k := range s.cards {
			at := s.onPhoto(k.x, k.y)
			if at.X < 30 || at.X > float64(s.size.Width)-30 {
				touched = nil
				break
			}
			touched = append(touched, card.Card{Value: k.value, At: at})
		}
	}
	return touched
}

// stand puts the camera somewhere; false where it does not see all of the canvas.
func (s *studio) stand(even func(a, b float64) float64) bool {
	focal := even(24, 70) / (math.Hypot(36, 24) / 2)
	yaw, pitch, roll := even(-18, 18)*math.Pi/180, even(-12, 12)*math.Pi/180, even(-3, 3)*math.Pi/180
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	photoW, photoH := float64(s.size.Width), float64(s.size.Height)
	half := math.Hypot(photoW, photoH) / 2
	fill := even(0.55, 0.85)
	away := focal * max(w/(2*photoW/half), h/(2*photoH/half)) * 2 / fill
	sy, cy := math.Sincos(yaw)
	sp, cp := math.Sincos(pitch)
	sr, cr := math.Sincos(roll)
	// Columns of the turn: yaw about the upright, then pitch, then roll.
	turn := func(x, y, z float64) (float64, float64, float64) {
		x, z = cy*x+sy*z, -sy*x+cy*z
		y, z = cp*y-sp*z, sp*y+cp*z
		x, y = cr*x-sr*y, sr*x+cr*y
		return x, y, z
	}
	ax, ay, az := turn(1, 0, 0)
	bx, by, bz := turn(0, 1, 0)
	ox, oy, oz := turn(-w/2, -h/2, 0)
	ox, oy = ox+even(-0.08, 0.08)*away, oy+even(-0.06, 0.06)*away
	oz += away
	s.to = [3][3]float64{{focal * ax, focal * bx, focal * ox}, {focal * ay, focal * by, focal * oy}, {az, bz, oz}}
	for _, c := range s.corners() {
		if c.X < 0.02*photoW || c.Y < 0.02*photoH || c.X > 0.98*photoW || c.Y > 0.98*photoH {
			return false
		}
	}
	return true
}

// bend carries an image place through the lens.
func (s *studio) bend(x, y float64) (float64, float64) {
	r := x*x + y*y
	grow := 1 + r*(s.k1+r*s.k2)
	return x * grow, y * grow
}

// straighten is bend backwards.
func (s *studio) straighten(x, y float64) (float64, float64) {
	u, v := x, y
	for range 5 {
		r := u*u + v*v
		grow := 1 + r*(s.k1+r*s.k2)
		u, v = x/grow, y/grow
	}
	return u, v
}

// onPhoto is where a canvas place lies on the photograph.
func (s *studio) onPhoto(x, y float64) place.PhotoPoint {
	h := &s.to
	z := h[2][0]*x + h[2][1]*y + h[2][2]
	u, v := s.bend((h[0][0]*x+h[0][1]*y+h[0][2])/z, (h[1][0]*x+h[1][1]*y+h[1][2])/z)
	half := math.Hypot(float64(s.size.Width), float64(s.size.Height)) / 2
	return place.PhotoPoint{X: float64(s.size.Width)/2 + u*half, Y: float64(s.size.Height)/2 + v*half}
}

// corners are the true corners on the photograph.
func (s *studio) corners() place.Quad {
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	return place.Quad{s.onPhoto(0, 0), s.onPhoto(w, 0), s.onPhoto(w, h), s.onPhoto(0, h)}
}

// shoot photographs a painting that fills the canvas and decodes the JPEG.
func (s *studio) shoot(t testing.TB, painting *photo.Picture) *photo.Picture {
	t.Helper()
	paint := litOf(painting)
	half := math.Hypot(float64(s.size.Width), float64(s.size.Height)) / 2
	back, ok := place.Homography(s.to).Inverse()
	if !ok {
		t.Fatal("the camera looks along the canvas")
	}
	out := image.NewRGBA(image.Rect(0, 0, s.size.Width, s.size.Height))
	seeds := make([]uint64, s.size.Height)
	for y := range seeds {
		seeds[y] = s.rng.Uint64()
	}
	tone := s.curve()
	crew.Share(s.size.Height, 8, func(first, end int) {
		for y := first; y < end; y++ {
			rng := rand.New(rand.NewPCG(seeds[y], 1))
			for x := range s.size.Width {
				var sum colour.Linear
				// Only the canvas's own edge needs more than one sample a pixel.
				fine := 1
				if s.nearEdge(back, (float64(x)+0.5-float64(s.size.Width)/2)/half, (float64(y)+0.5-float64(s.size.Height)/2)/half) {
					fine = 3
				}
				for j := range fine {
					for i := range fine {
						u := (float64(x) + (float64(i)+0.5)/float64(fine) - float64(s.size.Width)/2) / half
						v := (float64(y) + (float64(j)+0.5)/float64(fine) - float64(s.size.Height)/2) / half
						c := s.light(back, paint, u, v, x/3, y/3)
						part := 1 / float64(fine*fine)
						sum.R, sum.G, sum.B = sum.R+part*c.R, sum.G+part*c.G, sum.B+part*c.B
					}
				}
				p := out.Pix[y*out.Stride+4*x:][:4]
				for k, l := range []float64{sum.R, sum.G, sum.B} {
					l += s.flare + s.noise*rng.NormFloat64()*math.Sqrt(max(l, 0)+0.01)
					p[k] = tone[min(max(int(l*4095+0.5), 0), 4095)]
				}
				p[3] = 255
			}
		}
	})
	var file bytes.Buffer
	if err := jpeg.Encode(&file, out, &jpeg.Options{Quality: s.quality}); err != nil {
		t.Fatal(err)
	}
	shot, err := photo.Decode(file.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return shot.Picture
}

// nearEdge says whether an image place lies within 4 mm of the canvas's edge.
func (s *studio) nearEdge(back place.Homography, u, v float64) bool {
	p := onCanvas(back, u, v, s)
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	const near = 4
	inner := p.X > near && p.Y > near && p.X < w-near && p.Y < h-near
	outer := p.X < -near || p.Y < -near || p.X > w+near || p.Y > h+near
	return !inner && !outer
}

// onCanvas is where an image place lies on the canvas's plane.
func onCanvas(back place.Homography, u, v float64, s *studio) place.PhotoPoint {
	x, y := s.straighten(u, v)
	z := back[2][0]*x + back[2][1]*y + back[2][2]
	return place.PhotoPoint{X: (back[0][0]*x + back[0][1]*y + back[0][2]) / z, Y: (back[1][0]*x + back[1][1]*y + back[1][2]) / z}
}

// curve is the camera's tone curve, from light in 4095ths to codes: sRGB bent by an
// S about its middle.
func (s *studio) curve() []uint8 {
	table := make([]uint8, 4096)
	for i := range table {
		e := colour.EncodeUnit(float64(i) / 4095)
		bent := e + s.tone*(e*e*(3-2*e)-e)
		table[i] = uint8(math.Round(255 * min(max(bent, 0), 1)))
	}
	return table
}

// light is what falls on the sensor at an image place.
func (s *studio) light(back place.Homography, paint lit, u, v float64, gx, gy int) colour.Linear {
	fall := 1 - s.falloff*(u*u+v*v)
	x, y := s.straighten(u, v)
	p := onCanvas(back, u, v, s)
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	var c colour.Linear
	lamp := fall * (1 + s.rise[0]*(2*p.X/w-1) + s.rise[1]*(2*p.Y/h-1))
	lamp = max(lamp, 0.1)
	if p.X >= 0 && p.Y >= 0 && p.X < w && p.Y < h {
		var rgb [3]float32
		paint.read(p.X/w*float64(paint.width), p.Y/h*float64(paint.height), rgb[:])
		c = colour.Linear{R: float64(rgb[0]), G: float64(rgb[1]), B: float64(rgb[2])}
		if g := s.glare; g != nil {
			shine := g.strength * math.Exp(-((p.X-g.x)*(p.X-g.x)+(p.Y-g.y)*(p.Y-g.y))/(2*g.wide*g.wide))
			c.R, c.G, c.B = c.R+shine, c.G+shine, c.B+shine
		}
	} else {
		c = s.behind(p, x, y, gx, gy)
	}
	return colour.Linear{R: c.R * lamp * s.lamp.R, G: c.G * lamp * s.lamp.G, B: c.B * lamp * s.lamp.B}
}

// behind is the wall, the floor, the easel's mast and ledge and a soft shadow.
func (s *studio) behind(p place.PhotoPoint, x, y float64, gx, gy int) colour.Linear {
	w, h := float64(s.canvas.Width), float64(s.canvas.Height)
	for _, k := range s.cards {
		if math.Abs(p.X-k.x) < cardSide/2 && math.Abs(p.Y-k.y) < cardSide/2 {
			y := float64(k.value.Luminance())
			return colour.Linear{R: y, G: y, B: y}
		}
	}
	c, light := s.wall, 1.0
	if y > s.floor {
		c = colour.Linear{R: s.wood.R * 0.8, G: s.wood.G * 0.9, B: s.wood.B}
	}
	for _, k := range s.clutter {
		if x > k.x0 && x < k.x1 && y > k.y0 && y < k.y1 {
			c = k.c
		}
	}
	grain := math.Sin(float64(gx)*12.9898+float64(gy)*78.233) * 43758.5453
	light += s.textured * 2 * (grain - math.Floor(grain) - 0.5)
	// A shadow of the canvas falls to the lower right.
	dx := max(-p.X+30, 0, p.X-w-30)
	dy := max(-p.Y+30, 0, p.Y-h-30)
	light *= 1 - 0.45*math.Exp(-(dx*dx+dy*dy)/(2*25*25))
	if mast := math.Abs(p.X - w/2); mast < 35 {
		c = s.wood
	}
	if p.Y > h && p.Y < h+40 && math.Abs(p.X-w/2) < 0.4*w {
		c = colour.Linear{R: s.wood.R * 1.2, G: s.wood.G * 1.2, B: s.wood.B * 1.2}
	}
	return colour.Linear{R: c.R * light, G: c.G * light, B: c.B * light}
}
