package easel

import (
	"fmt"

	"maulstick/render/place"
	"maulstick/render/study"
)

// Little is a little picture for a row of a list: a part of a photograph, set right.
type Little struct {
	Key       string // tells it apart from every other
	Reference study.Reference
	Righting  study.Righting
	Part      place.Crop // zero for the whole of it
}

// NewLittle is the little picture of a part of a photograph.
func NewLittle(r study.Reference, righting study.Righting, part place.Crop) Little {
	return Little{Key: fmt.Sprint(r.Hash, " ", righting.Key(), " ", part), Reference: r, Righting: righting, Part: part}
}

// littleOf is the little picture of a part of a reference on the board.
func (e *Easel) littleOf(pin int, part place.Crop) Little {
	r, righting, _ := e.doc().PhotographOf(pin)
	return NewLittle(r, righting, part)
}

// askLittles asks for the little pictures of the lists in sight that were not asked for
// yet.
func (e *Easel) askLittles() {
	d := e.doc()
	var all []Little
	switch {
	case e.onPart("board"):
		for _, p := range d.Board.Pins {
			all = append(all, e.littleOf(p.ID, place.Crop{}))
		}
		for _, l := range d.Board.Borrowed {
			all = append(all, e.littleOf(l.From, l.Part))
		}
	case e.onPart("studies"):
		for _, c := range e.cardsListed() {
			if c.OnEasel.Hash != "" && len(all) < mostPictured {
				all = append(all, pictureOf(c))
			}
		}
	case e.onPart("log") || e.onCheck("stages"):
		for _, entry := range d.Log {
			if entry.Photograph != nil {
				all = append(all, NewLittle(*entry.Photograph, study.Righting{}, place.Crop{}))
			}
		}
	}
	for _, l := range all {
		if _, asked := e.littles[l.Key]; !asked {
			e.littles[l.Key] = ""
			e.host.Little(l)
		}
	}
}

// LittleFailed says that a little picture cannot be made, and why: its photograph is not
// here.
func (e *Easel) LittleFailed(key, why string) {
	if _, asked := e.littles[key]; asked {
		e.littles[key] = sentence(why)
	}
	e.after()
}
