package gpu

import (
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/photo"
)

// keptTiles is how many tiles stay up, 4 MB of the graphics unit's memory each,
// unless one plan needs more at once.
const keptTiles = 40

// tiles is what is up of a picture.
type tiles struct {
	other   bool // the picture is shown in the photograph's place
	pyramid *photo.Pyramid
	up      map[render.Tile]*tile
	wanted  []render.Tile // of the last plan, up or not
	plans   int           // plans drawn so far
	renewed int           // how often its pixels have changed
}

// tile is a tile that is up: its image, its size with gutters, and the last
// plan that wanted it.
type tile struct {
	image         *ebiten.Image
	width, height int
	used          int
}

func (t *tiles) reset(y *photo.Pyramid) {
	for _, held := range t.up {
		held.image.Deallocate()
	}
	t.pyramid, t.up, t.wanted = y, map[render.Tile]*tile{}, nil
}

// of are the tiles that a plan is drawn from, the one that holds the whole
// picture first; none of another picture than the photograph that the plan does not show.
// It is nil without a picture alone.
func (t *tiles) of(p render.Plan) []render.Tile {
	y := t.pyramid
	if y == nil {
		return nil
	}
	list := []render.Tile{}
	if !t.other {
		list = append(list, render.Tile{Level: y.Levels() - 1})
	}
	for _, pane := range p.Panes {
		if source := pane.Source(); t.other != (source != nil) || t.other && source != y {
			continue
		}
		if s, on := p.Squint(pane, y); on {
			list = append(list, s.Tiles()...)
			continue
		}
		if t.other && !pane.Other.Live {
			list = append(list, render.Tile{Level: y.Levels() - 1})
		}
		for _, patch := range p.Patches(pane, y, 0) {
			list = append(list, patch.Tile)
		}
	}
	return list
}

// whole says whether all of a plan's tiles are up.
func (t *tiles) whole(p render.Plan) bool { return t.allUp(t.of(p)) }

// lacking says whether tiles of the last plan are not up.
func (t *tiles) lacking() bool { return !t.allUp(t.wanted) }

func (t *tiles) allUp(list []render.Tile) bool {
	return !slices.ContainsFunc(list, func(id render.Tile) bool { return t.up[id] == nil })
}

// want remembers what a plan needs.
func (t *tiles) want(p render.Plan) {
	t.plans++
	t.wanted = t.of(p)
	for _, id := range t.wanted {
		if held := t.up[id]; held != nil {
			held.used = t.plans
		}
	}
}

// upload puts up the first wanted tile that is not up and whose pixels are
// there, and says whether there was one. Pixels go through the buffer.
func (t *tiles) upload(buf []byte) bool {
	if t.pyramid == nil {
		return false
	}
	wanted := t.wanted
	if wanted == nil {
		wanted = []render.Tile{{Level: t.pyramid.Levels() - 1}}
	}
	for _, id := range wanted {
		if t.up[id] == nil && t.pyramid.TileReady(id.Level, id.Row) {
			t.put(id, buf)
			return true
		}
	}
	return false
}

func (t *tiles) put(id render.Tile, buf []byte) {
	t.makeRoom()
	w, h := t.pyramid.Tile(id.Level, id.Column, id.Row, buf)
	img := blank(w, h)
	img.WritePixels(buf[:4*w*h])
	t.up[id] = &tile{image: img, width: w, height: h, used: t.plans}
}

// renew puts the pixels of now into the tiles that are wanted, and lets go of others
// that are up, which would be out of date. Pixels go through the buffer.
func (t *tiles) renew(buf []byte) {
	t.renewed++
	for id, held := range t.up {
		if !slices.Contains(t.wanted, id) {
			held.image.Deallocate()
			delete(t.up, id)
			continue
		}
		w, h := t.pyramid.Tile(id.Level, id.Column, id.Row, buf)
		held.image.WritePixels(buf[:4*w*h])
	}
}

// makeRoom lets go of the tile that has been unused longest, if there are
// enough and the last plan can do without it.
func (t *tiles) makeRoom() {
	if len(t.up) < keptTiles {
		return
	}
	oldest, found := render.Tile{}, false
	for id, held := range t.up {
		if held.used < t.plans && (!found || held.used < t.up[oldest].used) {
			oldest, found = id, true
		}
	}
	if found {
		t.up[oldest].image.Deallocate()
		delete(t.up, oldest)
	}
}
