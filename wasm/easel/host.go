// Package easel is the painter's page without the page: a machine that is fed
// what the painter does and answers with what the screen should show. It knows
// nothing of browsers; package wasm connects it to one.
package easel

import (
	"time"

	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// Host is what the easel asks of the page around it. Every method returns at
// once, and none may call the easel back before it has returned.
type Host interface {
	// Keep writes the study away; the answer comes as Kept, one for each Keep,
	// in their order. The photograph is written with it if it is not kept yet.
	Keep(doc study.Document)
	// Survey answers a question about the whole picture, from what is kept or by
	// working it out; how far that is comes as Surveying, the answer as Surveyed or
	// SurveyFailed.
	Survey(request SurveyRequest)
	// StopSurvey gives up what is being worked out of a kind.
	StopSurvey(kind survey.Kind)
	// SetOut sets lines out on a canvas; the answer comes as SetOut with the
	// request's number. A newer request makes older ones needless: they are not
	// answered.
	SetOut(id int, ask setout.Ask)
	// Right makes the pixels of the study's photograph anew, set right as it says, or
	// those of another photograph that it is to stand on;
	// how far that is comes as Righting, the pixels as Righted or RightFailed. A newer
	// request makes older ones needless, and so does another study that is shown.
	Right(id int, doc study.Document)
	// Lay makes a small copy of a photograph, set right, to be seen beside the one on the
	// easel; how far that is comes as Laying, the copy as Laid or LayFailed.
	Lay(id int, r study.Reference, righting study.Righting)
	// Little makes a little picture, or has it kept, and shows it in the rows that name
	// it. It is not answered, but for LittleFailed.
	Little(l Little)
	// PinFiles lets the painter choose photographs for the board; each that can be opened
	// comes as Pinned, others as Refuse.
	PinFiles()
	// LogFile lets the painter choose or take a photograph of the canvas, which comes as
	// Logged, or as Refuse.
	LogFile()
	// Camera asks the browser for a camera by its device, or "" for one at the back, in
	// place of the one that is on; it is answered by CameraOpened and CameraFrame, or by
	// CameraFailed. Frames are read while Watching says so.
	Camera(id int, device string)
	// CameraOff switches the camera off at once. It is not answered.
	CameraOff()
	// LogFrame takes a frame of the camera as a file of that name for the log, which comes
	// as Logged, or as Refuse.
	LogFrame(name string, frame *photo.Picture)
	// PaletteFile lets the painter choose or take a photograph of the grey cards and the
	// palette, which comes as PaletteTaken, or as Refuse.
	PaletteFile()
	// PaletteFrame takes a frame of the camera as a file of that name for the same.
	PaletteFrame(name string, frame *photo.Picture)
	// ReadPalette reads cards and piles on such a photograph; how far bringing that is
	// comes as PaletteReading, the answer as PaletteRead or PaletteFailed. A newer request
	// makes older ones needless: they are not answered.
	ReadPalette(id int, r study.Reference, ask palette.Ask)
	// CheckPainting finds the canvas on a photograph of the log, or compares what is
	// painted there with the photograph on the easel, which must not change meanwhile; how
	// far that is comes as Checking, the answer as Checked or CheckFailed. A newer request
	// makes older ones needless.
	CheckPainting(id int, ask PaintingAsk)
	// StopChecking gives up what is being found or checked. It is not answered.
	StopChecking()
	// PrintSheets hands the painter the study's sheets as a PDF file; how far that is
	// comes as Printing, its end as Printed or PrintFailed.
	PrintSheets(id int, doc study.Document)
	// StopPlotting gives up what is being set right or printed. It is not answered.
	StopPlotting()
	// SaveChart draws the palette chart of the piles in an answer and hands it to the
	// painter as a PNG file.
	SaveChart(name string, answer survey.Answer)
	// SaveBytes hands the painter a file of a type.
	SaveBytes(name, mime string, data []byte)
	// Count counts the lightness of every pixel of a crop at full resolution;
	// the answer comes as Counted with the request's number. A newer request
	// makes older ones needless.
	Count(request CountRequest)
	// OpenFile lets the painter choose a photograph or a kept study.
	OpenFile()
	// StopOpening gives up the file that is being opened.
	StopOpening()
	// SaveFile hands the painter the study and its photographs as one file: as they came,
	// or free of what the camera wrote beside them. It is answered by Saved or Refuse.
	SaveFile(name string, doc study.Document, came bool)
	// Shelf asks for something to be done with the studies that are kept, in its turn
	// among the Keeps; the answer comes as Shelved, and a study to be opened as Show.
	Shelf(ask ShelfAsk)
	// Reminded keeps when the painter was last reminded to save a file.
	Reminded(at time.Time)
	// Awake asks that the screen be kept from going dark, or lets it; asking
	// is answered by WakeLock.
	Awake(on bool)
	// UseUpdate starts the new version of the page that was offered.
	UseUpdate()
	// KeepCalibration keeps how many CSS pixels a millimetre has on this screen.
	KeepCalibration(pixels float64)
	// Redraw says that Plan has changed and a frame is wanted.
	Redraw()
}

// CountRequest asks for the counts of a crop of the open photograph.
type CountRequest struct {
	ID    int // of this request, from 1
	Crop  place.Crop
	Sheet colour.Sheet // of the red filter
}

// ShelfDeed is what can be done with the studies that are kept.
type ShelfDeed int

// What can be done with the studies that are kept.
const (
	ShelfList   ShelfDeed = iota
	ShelfOpen             // one in place of the open one
	ShelfCopy             // beside it, under Name; an earlier state if At is not 0
	ShelfRename           // to Name
	ShelfBin              // put into the bin
	ShelfBack             // out of the bin
	ShelfRemove           // for good, out of the bin
)

// ShelfAsk asks for something to be done with a study that is kept.
type ShelfAsk struct {
	Do   ShelfDeed
	ID   string
	At   int64 // of an earlier state, Unix milliseconds; 0 for the newest
	Name string
}

// PointerKind is what a pointer did.
type PointerKind int

// What a pointer can do.
const (
	Down PointerKind = iota
	Move
	Up
	Cancel
)

// Device is what a pointer is.
type Device int

// The devices that point.
const (
	Mouse Device = iota
	Touch
	Pen
)

// Pointer is one event of a mouse, finger or pen on the picture's area: X and
// Y are CSS pixels right and down from the area's top left corner.
type Pointer struct {
	Kind   PointerKind
	ID     int
	Device Device
	X, Y   float64
}
