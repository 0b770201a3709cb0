package portfolio

import (
	"slices"

	"maulstick/render/study"
)

// exchanged is the study with the file of a photograph exchanged for another that looks
// the same, wherever it is named: hash and bytes are those of the new file. What was
// done on it stays as it is.
func exchanged(d study.Document, old, hash string, bytes int) study.Document {
	exchange := func(r *study.Reference) {
		if r.Hash == old {
			r.Hash, r.Bytes = hash, bytes
		}
	}
	exchange(&d.Reference)
	d.Board.Pins = slices.Clone(d.Board.Pins)
	for i, p := range d.Board.Pins {
		if p.Left != nil {
			left := *p.Left
			exchange(&left.Reference)
			d.Board.Pins[i].Left = &left
		}
	}
	d.Log = slices.Clone(d.Log)
	for i, e := range d.Log {
		if e.Photograph != nil {
			kept := *e.Photograph
			exchange(&kept)
			d.Log[i].Photograph = &kept
		}
	}
	if r := d.Palette.Photograph; r != nil {
		kept := *r
		exchange(&kept)
		d.Palette.Photograph = &kept
	}
	return d
}
