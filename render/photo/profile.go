//go:build !js || darkroom

package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"math"
)

// maxProfile bounds how much of a compressed profile is read.
const maxProfile = 4 << 20

// inflate is the profile inside an iCCP chunk: a name, a zero, a zero for the
// method, and the compressed profile.
func inflate(chunk []byte) ([]byte, error) {
	_, body, found := bytes.Cut(chunk, []byte{0})
	if !found || len(body) < 1 {
		return nil, io.ErrUnexpectedEOF
	}
	reader, err := zlib.NewReader(bytes.NewReader(body[1:]))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(io.LimitReader(reader, maxProfile))
}

// profileTags are the parts of an ICC profile by their names (ICC.1:2010,
// section 7).
func profileTags(p []byte) (tags map[string][]byte, ok bool) {
	if len(p) < 132 || string(p[36:40]) != "acsp" || uint64(binary.BigEndian.Uint32(p)) > uint64(len(p)) {
		return nil, false
	}
	tags = map[string][]byte{}
	table := p[132:]
	for range min(binary.BigEndian.Uint32(p[128:]), 200) {
		if len(table) < 12 {
			return nil, false
		}
		start, size := uint64(binary.BigEndian.Uint32(table[4:])), uint64(binary.BigEndian.Uint32(table[8:]))
		if start+size > uint64(len(p)) {
			return nil, false
		}
		tags[string(table[:4])] = p[start : start+size]
		table = table[12:]
	}
	return tags, true
}

// profileSpace reads what an ICC profile says of red, green and blue, or of
// greys, by curves and a matrix (ICC.1:2010, annex F). It gives nil and a note
// where the profile is none, or says it by tables.
func profileSpace(p []byte) (*space, string) {
	tags, ok := profileTags(p)
	if !ok {
		return nil, noteUnreadable
	}
	s := new(space)
	switch names := [3]string{"rTRC", "gTRC", "bTRC"}; {
	case string(p[16:20]) == "GRAY":
		c := tagCurve(tags["kTRC"])
		if c == nil {
			return nil, noteUnreadable
		}
		return &space{[3]*curve{c, c, c}, matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, ""
	case string(p[16:20]) != "RGB " || tags["rTRC"] == nil:
		return nil, noteTables
	default:
		for i, name := range names {
			if i > 0 && bytes.Equal(tags[name], tags[names[0]]) {
				s.curves[i] = s.curves[0]
				continue
			}
			if s.curves[i] = tagCurve(tags[name]); s.curves[i] == nil {
				return nil, noteUnreadable
			}
		}
	}
	for i, name := range [3]string{"rXYZ", "gXYZ", "bXYZ"} {
		if len(tags[name]) < 20 {
			return nil, noteUnreadable
		}
		for j := range 3 {
			s.matrix[j][i] = fixed(tags[name][8+4*j:])
		}
	}
	s.matrix = s.matrix.then(fromXYZ(whiteD50))
	return s, ""
}

// fixed is a signed number with 16 bits after the point.
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// tagCurve tabulates a curve tag, nil where it makes no sense.
func tagCurve(tag []byte) *curve {
	if len(tag) < 12 {
		return nil
	}
	if string(tag[:4]) == "para" {
		return formula(tag)
	}
	count := uint64(binary.BigEndian.Uint32(tag[8:]))
	if string(tag[:4]) != "curv" || uint64(len(tag)) < 12+2*count {
		return nil
	}
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(tag[12+2*i:])) }
	switch count {
	case 0:
		return newCurve(func(v float64) float64 { return v })
	case 1:
		return newCurve(func(v float64) float64 { return math.Pow(v, at(0)/256) })
	}
	return newCurve(func(v float64) float64 {
		place := v * float64(count-1)
		i := min(int(place), int(count)-2)
		return (at(i) + (place-float64(i))*(at(i+1)-at(i))) / 65535
	})
}

// formula is the curve of a parametric tag (ICC.1:2010, table 65): a power above
// a place, and below it a straight line, nothing, or the same power.
func formula(tag []byte) *curve {
	form := int(binary.BigEndian.Uint16(tag[8:]))
	if form > 4 || len(tag) < 12+4*[5]int{1, 3, 4, 5, 7}[form] {
		return nil
	}
	number := func(i int) float64 { return fixed(tag[12+4*i:]) }
	gamma, a, b, c, d, e, f := number(0), 1.0, 0.0, 0.0, math.Inf(-1), 0.0, 0.0
	if form > 0 {
		a, b = number(1), number(2)
		d = -b / a
	}
	switch form {
	case 2: // c lifts the whole
		e, f = number(3), number(3)
	case 3, 4:
		c, d = number(3), number(4)
	}
	if form == 4 {
		e, f = number(5), number(6)
	}
	return newCurve(func(v float64) float64 {
		if v < d {
			return c*v + f
		}
		return math.Pow(a*v+b, gamma) + e
	})
}
