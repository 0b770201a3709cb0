package palette

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// laid is a thing of one colour on a photograph.
type laid struct {
	x, y, width, height int
	colour              colour.SRGB
}

// onWood is a photograph of things on a ground of streaks and noise, as light as the
// camera's exposure makes it.
func onWood(exposure float64, things ...laid) *photo.Picture {
	p := photo.New(1200, 900)
	rng := rand.New(rand.NewPCG(5, 9))
	for y := range p.Height {
		for x := range p.Width {
			streak := 14*math.Sin(float64(y)/5+3*math.Sin(float64(x)/90)) + 6*rng.NormFloat64()
			c := colour.SRGB{R: code(140 + streak), G: code(104 + streak), B: code(72 + streak)}
			for _, one := range things {
				if x >= one.x && x < one.x+one.width && y >= one.y && y < one.y+one.height {
					grain := rng.NormFloat64()
					c = colour.SRGB{R: code(float64(one.colour.R) + grain), G: code(float64(one.colour.G) + grain), B: code(float64(one.colour.B) + grain)}
				}
			}
			for k, v := range [3]uint8{c.R, c.G, c.B} {
				p.Pix[4*(y*p.Width+x)+k] = colour.Encode(colour.Decode(v) * exposure)
			}
			p.Pix[4*(y*p.Width+x)+3] = 255
		}
	}
	return p
}

func code(v float64) uint8 { return uint8(math.Round(min(max(v, 0), 255))) }

func greyOf(v colour.Value) colour.SRGB { return colour.GreyOf(v.Luminance().Lightness()) }

// Five patches of the ColorChecker as published for sRGB, and three cards.
var (
	darkSkin = colour.SRGB{R: 115, G: 82, B: 68}
	blueSky  = colour.SRGB{R: 98, G: 122, B: 157}
	orange   = colour.SRGB{R: 214, G: 126, B: 44}
	red      = colour.SRGB{R: 175, G: 54, B: 60}
	neutral5 = colour.SRGB{R: 122, G: 122, B: 121}
)

// bench is the photograph of a palette: three cards in a row, below them five piles.
func bench() (p *photo.Picture, cards []card.Card, piles []laid) {
	things := []laid{{100, 80, 180, 120, greyOf(2)}, {500, 80, 180, 120, greyOf(5)}, {900, 80, 180, 120, greyOf(9)}}
	for i, v := range []colour.Value{2, 5, 9} {
		cards = append(cards, card.Card{Value: v, At: things[i].middle()})
	}
	piles = []laid{
		{80, 400, 130, 110, darkSkin}, {330, 420, 120, 100, blueSky}, {560, 400, 140, 120, orange}, {800, 410, 110, 110, red}, {1000, 600, 120, 140, neutral5},
	}
	return onWood(0.6, append(things, piles...)...), cards, piles
}

func (l laid) middle() place.PhotoPoint {
	return place.PhotoPoint{X: float64(l.x+l.width/2) + 0.5, Y: float64(l.y+l.height/2) + 0.5}
}

// Piles are read as the chart's colours have it in sRGB, whatever the exposure, and held
// against their cards and the plan.
func TestPilesAreReadByTheCards(t *testing.T) {
	p, cards, piles := bench()
	five := colour.Value(5)
	ask := Ask{Cards: cards, Step: 20, Plan: []Step{
		{Value: 1}, {Value: 3, Piles: []Pile{{darkSkin, "dark"}}}, {Value: 5, Piles: []Pile{{colour.SRGB{R: 130, G: 130, B: 130}, "grey"}, {colour.SRGB{R: 220, G: 130, B: 40}, "orange"}}},
	}}
	for _, one := range piles {
		ask.Piles = append(ask.Piles, Touch{At: one.middle(), Card: &five})
	}
	ask.Piles[0].Card = nil
	a := Read(p, ask)
	if a.Cards == nil || len(a.Piles) != len(piles) || a.Found != nil {
		t.Fatalf("the answer is %+v", a)
	}
	if len(a.Cards.Faces) != 3 || a.Cards.Checked != 1 || a.Cards.Colours != 3 || a.Cards.Greys != 1 || a.Cards.Measured {
		t.Errorf("the cards are %+v", a.Cards)
	}
	for i, r := range a.Piles {
		want := piles[i].colour
		if off := r.Colour.Lab().Difference(want.Lab()); off > 2 {
			t.Errorf("pile %d is %v, %.1f off %v", i, r.Colour, off, want)
		}
		if r.Planned == nil || r.Card == nil {
			t.Fatalf("pile %d is %+v", i, r)
		}
		if want := float64(r.Lightness-r.Card.Luminance().Lightness()) / 20; math.Abs(r.Difference-want) > 1e-9 || r.Within != 3.0/2/20 {
			t.Errorf("pile %d is off by %v within %v, want %v", i, r.Difference, r.Within, want)
		}
	}
	for i, want := range []struct {
		card        colour.Value
		step        int
		temperature string
		warned      bool
	}{{3, 2, "clearly warm", false}, {5, 3, "clearly cool", false}, {5, 3, "clearly warm", true}, {5, 2, "clearly warm", true}, {5, 3, "neither warm nor cool", false}} {
		r := a.Piles[i]
		if *r.Card != want.card || r.Planned.Step != want.step || r.Temperature != want.temperature || (r.Warning != "") != want.warned {
			t.Errorf("pile %d of %v is %+v against %v and %+v, want %+v", i, piles[i].colour, r, *r.Card, *r.Planned, want)
		}
	}
	if way := strings.Join(a.Piles[4].Planned.Way, ", "); way != "lighter" {
		t.Errorf("to the planned grey the way is %q", way)
	}
}

// Cards that cannot be right refuse all, with the reason; a pile that cannot be read is
// refused alone.
func TestWhatCannotBeRead(t *testing.T) {
	p, cards, piles := bench()
	swapped := []card.Card{{Value: 9, At: cards[0].At}, {Value: 2, At: cards[2].At}}
	if a := Read(p, Ask{Cards: swapped, Piles: []Touch{{At: piles[0].middle()}}, Step: 20}); a.Cards != nil || a.Piles != nil || !strings.Contains(a.Wrong, "out of order") || a.Wanted == "" {
		t.Errorf("cards out of order are answered by %+v", a)
	}
	shine := piles[1]
	for y := shine.y; y < shine.y+shine.height; y++ {
		for x := shine.x; x < shine.x+shine.width; x++ {
			if (x+y)%4 == 0 {
				copy(p.Pix[4*(y*p.Width+x):], []byte{255, 255, 255})
			}
		}
	}
	a := Read(p, Ask{Cards: cards, Step: 20, Piles: []Touch{{At: shine.middle()}, {At: place.PhotoPoint{X: 5000, Y: 5}}, {At: piles[0].middle()}}})
	for i, want := range []string{"clipped", "not lie on the photograph", ""} {
		r := a.Piles[i]
		if !strings.Contains(r.Wrong, want) || (r.Wrong == "") != (want == "") || (r.Wanted == "") != (want == "") {
			t.Errorf("pile %d is %+v", i, r)
		}
	}
	if r := a.Piles[2]; r.Card != nil || r.Planned != nil || r.Said != "" {
		t.Errorf("without a card and a plan a pile is %+v", r)
	}
}

// Every card and pile is found, in rows from the top left, its place well inside, and
// nothing on the wood; the ground is no patch, and neither is what is too small.
func TestPatchesAreFound(t *testing.T) {
	p, cards, piles := bench()
	found := Patches(p)
	if len(found) != len(cards)+len(piles) {
		t.Fatalf("found are %v", found)
	}
	for i, c := range cards {
		if !nearTo(found[i], c.At, 15) {
			t.Errorf("card %d at %v is found at %v", i, c.At, found[i])
		}
	}
	for _, one := range piles {
		hit := false
		for _, at := range found[len(cards):] {
			hit = hit || nearTo(at, one.middle(), 15)
		}
		if !hit {
			t.Errorf("the pile at %v is not among %v", one.middle(), found)
		}
	}
	even := onWood(1, laid{0, 0, 1200, 900, neutral5}, laid{300, 300, 200, 200, orange}, laid{700, 300, 24, 24, red})
	if found := Patches(even); len(found) != 1 || !nearTo(found[0], place.PhotoPoint{X: 400, Y: 400}, 15) {
		t.Errorf("on an even ground found are %v", found)
	}
	if found := Patches(photo.New(3, 2)); len(found) > 0 {
		t.Errorf("on six pixels found are %v", found)
	}
}

func nearTo(a, b place.PhotoPoint, within float64) bool {
	return math.Hypot(a.X-b.X, a.Y-b.Y) <= within
}

// A photograph that is held halved is read from its pixels, at places of its own.
func TestHalvedPhotographIsRead(t *testing.T) {
	p, cards, piles := bench()
	halved := photo.NewHalved(p.Size(), 1)
	photo.Halve(p.Pix, p.Width, 1, halved.Pix)
	ask := Ask{Cards: cards, Step: 20, Find: true, Piles: []Touch{{At: piles[0].middle()}}}
	whole, half := Read(p, ask), Read(halved, ask)
	for _, at := range whole.Found {
		if !slices.ContainsFunc(half.Found, func(other place.PhotoPoint) bool { return nearTo(at, other, 15) }) {
			t.Errorf("halved, the patch at %v is not among %v", at, half.Found)
		}
	}
	if half.Cards == nil || half.Piles[0].At != piles[0].middle() || half.Cards.Faces[0].At != cards[0].At {
		t.Fatalf("halved it is read as %+v", half)
	}
	if off := half.Piles[0].Colour.Lab().Difference(whole.Piles[0].Colour.Lab()); off > 0.5 {
		t.Errorf("the pile is %v, and %v halved", whole.Piles[0].Colour, half.Piles[0].Colour)
	}
}

func TestNearestPlanned(t *testing.T) {
	plan := []Step{{}, {Piles: []Pile{{Colour: red}}}, {Piles: []Pile{{Colour: neutral5}}}}
	near, step, ok := nearest(plan, colour.SRGB{R: 160, G: 70, B: 60}.Linear())
	if !ok || step != 2 || near.Colour != red {
		t.Errorf("the nearest is %v in step %d", near.Colour, step)
	}
	if _, _, ok := nearest(nil, colour.Linear{}); ok {
		t.Error("of no piles one is the nearest")
	}
}
