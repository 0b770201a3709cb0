package study

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// FileEnding is what the name of a study's file ends in, see package portfolio;
// SingleEnding what it ended in while it was a single JSON file.
const (
	FileEnding   = ".maulstick.zip"
	SingleEnding = ".maulstick.json"
)

// keptForm is the newest form of kept file this program writes.
const keptForm = 1

// kept is a study and its photograph in one file. The photograph's bytes are
// base64 in JSON; the document holds their hash.
type kept struct {
	Form       int             `json:"maulstick_file"`
	Study      json.RawMessage `json:"study"`
	Photograph []byte          `json:"photograph"`
}

// FileName is the name that a study is kept under as a file.
func (d Document) FileName() string { return d.FileStem() + FileEnding }

// FileStem is the study's name as far as it can be a file's, without an ending.
func (d Document) FileStem() string {
	name := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) {
			return '-'
		}
		return r
	}, d.Name)
	if name = strings.Trim(name, ". "); name == "" {
		name = "study"
	}
	return name
}

// EncodeFile is a study and the bytes of its photograph as one file that can be
// opened again anywhere. The bytes must be those the document was made with.
func EncodeFile(d Document, photograph []byte) ([]byte, error) {
	if err := d.Reference.holds(photograph); err != nil {
		return nil, &Problem{Wrong: fmt.Sprintf("writing study %q to a file", d.Name), Cause: err}
	}
	study, err := Encode(d)
	if err != nil {
		return nil, err
	}
	return spell(kept{Form: keptForm, Study: study, Photograph: photograph})
}

// DecodeFile reads what EncodeFile wrote. A photograph whose bytes are not the
// ones the study was made with is refused. Errors are *Problem, or *Newer with
// what could be read, as in Decode.
func DecodeFile(data []byte) (Document, []byte, error) {
	var head struct {
		Form *int `json:"maulstick_file"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return Document{}, nil, damagedFile(plain(err))
	}
	if head.Form == nil || *head.Form < 1 {
		return Document{}, nil, &Problem{
			Wrong:  "this file is not a study kept by Maulstick",
			Advice: "choose a photograph, or a file whose name ends in " + SingleEnding,
		}
	}
	if *head.Form > keptForm {
		return Document{}, nil, &Newer{Found: *head.Form}
	}
	k, err := exactly[kept](data)
	if err != nil {
		return Document{}, nil, damagedFile(err)
	}
	d, err := Decode(k.Study)
	if d.ID == "" {
		return Document{}, nil, err
	}
	if bad := d.Reference.holds(k.Photograph); bad != nil {
		return Document{}, nil, damagedFile(bad)
	}
	return d, k.Photograph, err
}

// holds says whether the bytes are the photograph's.
func (r Reference) holds(photograph []byte) error {
	if len(photograph) != r.Bytes {
		return fmt.Errorf("its photograph is %d bytes long where %d are wanted", len(photograph), r.Bytes)
	}
	if sum := sha256.Sum256(photograph); hex.EncodeToString(sum[:]) != r.Hash {
		return errors.New("its photograph is not the one that the study was made with")
	}
	return nil
}

func damagedFile(err error) *Problem {
	return &Problem{
		Wrong:  "this kept study is damaged",
		Advice: "save it to a file again where it was made, or open the photograph itself",
		Cause:  err,
	}
}
