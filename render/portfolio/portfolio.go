// Package portfolio is the one-file form of a study: a zip archive of the study's own
// JSON, a schema of that, the photographs and a picture of the board, which any
// computer can take apart. FORM.md beside this file describes it.
//
// It knows no disk and no browser: files are read piecemeal through Bytes, and an
// archive is written as pieces of which the photographs' files are some, so that
// nothing has to hold all of it.
package portfolio

import (
	_ "embed"
	"io"

	"maulstick/render/study"
)

// Form is the newest form of the archive that is written. Form 1 was a single JSON
// file, see study.EncodeFile.
const Form = 2

// The names of what is in an archive. Each photograph is under its hash, with the
// ending that its own file had.
const (
	indexFile   = "maulstick.json"
	studyFile   = "study.json"
	schemaFile  = "study.schema.json"
	boardFile   = "board.jpg"
	photographs = "photographs/"
)

// Schema describes study.json, as JSON Schema of draft 2020-12.
//
//go:embed study.schema.json
var Schema []byte

// Bytes is a file that is read piecemeal; *bytes.Reader is one.
type Bytes interface {
	io.ReaderAt
	Size() int64
}

// Strip takes out of a photograph's file what tells where, when, by whom and with what
// it was taken, and nothing that changes how it looks. Doing so twice must come to the
// same as doing it once. A file that it cannot free of that, being of another kind, is
// nil, and goes into the archive as it came. An error ends the writing.
type Strip func(photograph []byte) ([]byte, error)

// index says what an archive holds.
type index struct {
	Form        int          `json:"maulstick_file"`
	Study       part         `json:"study"`
	Photographs []photograph `json:"photographs"`
	Missing     []string     `json:"missing"` // hashes of photographs that were not at hand
	Board       *part        `json:"board"`   // null for none
}

// part is one file of an archive.
type part struct {
	File  string `json:"file"`
	Hash  string `json:"sha256"` // lower-case hex
	Bytes int64  `json:"bytes"`
}

// photograph is a photograph's file in an archive.
type photograph struct {
	part
	Name     string `json:"name"`     // as the painter's file was called
	Stripped bool   `json:"stripped"` // of what told where, when and by whom it was taken
}

// Opened is what was found whole in a file.
type Opened struct {
	Study       study.Document
	Newer       bool     // written by a newer Maulstick: to be looked at and not to be written
	Photographs []Found  // in the order of Study.References
	Stripped    bool     // all of them are free of where, when and by whom they were taken
	Board       bool     // the picture of the board is whole
	Damage      []string // what was not whole or is not there, each a clause for the painter
	Lost        []string // the hashes of photographs that the study names and are not there whole
}

// Found is the whole file of a photograph: Bytes bytes from Offset on in the file that
// was opened, or, if they were packed there, Data.
type Found struct {
	Reference study.Reference
	Offset    int64
	Data      []byte
}

// Photograph is the file of a photograph by its hash, and whether it was found whole.
func (o Opened) Photograph(hash string) (Found, bool) {
	for _, f := range o.Photographs {
		if f.Reference.Hash == hash {
			return f, true
		}
	}
	return Found{}, false
}

// Read is the bytes of a photograph that was found in a file.
func (f Found) Read(file Bytes) ([]byte, error) {
	if f.Data != nil {
		return f.Data, nil
	}
	data := make([]byte, f.Reference.Bytes)
	_, err := io.ReadFull(io.NewSectionReader(file, f.Offset, int64(len(data))), data)
	return data, err
}
