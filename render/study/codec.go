package study

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Problem is a study or a kept file that cannot be read or written, in words
// for the painter: what is wrong, and what to do about it.
type Problem struct {
	Wrong  string // "this study is damaged: ..."
	Advice string // may be empty
	Cause  error  // may be nil
}

// Error is what is wrong, and its cause.
func (p *Problem) Error() string {
	if p.Cause == nil {
		return p.Wrong
	}
	return p.Wrong + ": " + p.Cause.Error()
}

// Hint is what the painter can do about it, or "".
func (p *Problem) Hint() string { return p.Advice }

// Unwrap is the cause.
func (p *Problem) Unwrap() error { return p.Cause }

// Newer says that a document was written by a newer Maulstick. What could be
// read of it comes beside the error, to be looked at and never written back.
type Newer struct{ Found int }

// Error says which form was found and which is the newest known here.
func (n *Newer) Error() string {
	return fmt.Sprintf("this study was kept by a newer Maulstick (form %d; this one knows up to %d)", n.Found, Format)
}

// Hint is what the painter can do about it.
func (n *Newer) Hint() string {
	return "it opens to be looked at; what you change is not kept until this Maulstick is brought up to date"
}

// Encode is the canonical file form of a document: JSON of two-space indent,
// fields in a fixed order, numbers in their shortest exact spelling, one line
// end at the end. A document that breaks a rule of Check is refused, and so is
// one of a newer form, of which something would be lost.
func Encode(d Document) ([]byte, error) {
	if d.Format != Format {
		return nil, &Problem{Wrong: fmt.Sprintf("writing study %q: it is of form %d, and this Maulstick writes form %d", d.Name, d.Format, Format)}
	}
	if err := d.Check(); err != nil {
		return nil, &Problem{Wrong: fmt.Sprintf("writing study %q", d.Name), Cause: err}
	}
	return spell(d)
}

// spell is any value in the canonical spelling.
func spell(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// longestFile bounds the bytes of a document: a thousand marks with the
// longest names stay well below it.
const longestFile = 4 << 20

// Decode reads the file form. Decoding what Encode wrote and encoding it again
// gives the same bytes. Errors are *Problem, or *Newer for a document of a
// newer form: then the document holds what this program understands of it, or
// is the zero Document if that is too little to show.
func Decode(data []byte) (Document, error) {
	if len(data) > longestFile {
		return Document{}, damaged(fmt.Errorf("it is %d bytes long, and no study is over %d", len(data), longestFile))
	}
	var head struct {
		Format *int `json:"maulstick_study"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return Document{}, damaged(plain(err))
	}
	if head.Format == nil || *head.Format < 1 {
		return Document{}, &Problem{
			Wrong:  "this file is not a study of Maulstick",
			Advice: "a study's file begins with \"maulstick_study\" and the number of its form",
		}
	}
	if *head.Format > Format {
		return newer(data, *head.Format)
	}
	d, err := exactly[Document](data)
	if err != nil {
		return Document{}, damaged(err)
	}
	d = upgraded(d)
	if err := d.Check(); err != nil {
		return Document{}, damaged(err)
	}
	return d, nil
}

// newer reads what it can of a document of a newer form.
func newer(data []byte, format int) (Document, error) {
	var d Document
	problem := &Newer{Found: format}
	if err := json.Unmarshal(data, &d); err != nil {
		return Document{}, problem
	}
	if d.Check() != nil {
		return Document{}, problem
	}
	return d, problem
}

// exactly reads one JSON value with no field that T does not have and nothing
// after it.
func exactly[T any](data []byte) (T, error) {
	var v T
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		return v, plain(err)
	}
	if err := d.Decode(new(struct{})); !errors.Is(err, io.EOF) {
		return v, errors.New("something follows the study's end")
	}
	return v, nil
}

func damaged(err error) *Problem {
	return &Problem{
		Wrong:  "this study is damaged",
		Advice: "open a copy of it that you kept, or start again from the photograph",
		Cause:  err,
	}
}

// plain puts the decoder's errors in words without Go in them.
func plain(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return errors.New("it ends too soon")
	case errors.As(err, &syntax):
		return fmt.Errorf("it is not well written at byte %d", syntax.Offset)
	case errors.As(err, &kind):
		return fmt.Errorf("%q holds a %s, which cannot stand there", kind.Field, kind.Value)
	}
	if name, unknown := strings.CutPrefix(err.Error(), "json: unknown field "); unknown {
		return fmt.Errorf("it has a field %s that no study has", name)
	}
	return err
}
