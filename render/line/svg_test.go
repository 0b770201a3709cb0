package line_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// The drawing is well-formed, as large as the canvas, and holds each line.
func TestSVG(t *testing.T) {
	s := draw(t, "thirds,squares:100mm:bottom-right", "300x250mm")
	var out bytes.Buffer
	if err := s.WriteSVG(&out, 0.5); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	lines, names := 0, 0
	for decoder := xml.NewDecoder(strings.NewReader(text)); ; {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if element, ok := token.(xml.StartElement); ok {
			switch element.Name.Local {
			case "line":
				lines++
			case "text":
				names++
			}
		}
	}
	if lines != len(s.Lines) || names != 3+3 {
		t.Errorf("it has %d lines and %d names, want %d and 6", lines, names, len(s.Lines))
	}
	for _, want := range []string{`width="300mm" height="250mm" viewBox="0 0 300 250"`, `<line class="thirds" x1="100" y1="0" x2="100" y2="250"/>`, `y1="83.3333"`} {
		if !strings.Contains(text, want) {
			t.Errorf("it lacks %s", want)
		}
	}
	if err := s.WriteSVG(broken{}, 1); err == nil {
		t.Error("writing to what cannot be written to succeeds")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("no room") }
