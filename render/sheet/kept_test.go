package sheet

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"os"
	"slices"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/study"
)

// keptStudy is the study in testdata and its photograph, decoded without
// photo.Decode, which is not for browsers.
func keptStudy(t testing.TB) (study.Document, *photo.Picture) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/sheet/fig-in-a-red-bowl.maulstick.json")
	if err != nil {
		t.Fatal(err)
	}
	d, kept, err := study.DecodeFile(data)
	if err != nil {
		t.Fatal(err)
	}
	stored, err := jpeg.Decode(bytes.NewReader(kept))
	if err != nil {
		t.Fatal(err)
	}
	upright := image.NewRGBA(stored.Bounds())
	draw.Draw(upright, upright.Rect, stored, image.Point{}, draw.Src)
	return d, &photo.Picture{Width: upright.Rect.Dx(), Height: upright.Rect.Dy(), Pix: upright.Pix}
}

// ownKinds are the sheets of what is on the easel: all but the board.
func ownKinds() []string {
	return slices.DeleteFunc(study.SheetKinds(), func(k string) bool { return k == study.SheetBoard })
}

// worked is everything that the study in testdata can print, worked out once.
var worked *Work

func keptWork(t testing.TB) Work {
	t.Helper()
	if worked == nil {
		d, picture := keptStudy(t)
		w, err := Of(d, picture, ownKinds(), nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		worked = &w
	}
	return *worked
}

// written is a work as PDF.
func written(t testing.TB, w Work) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, w, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
