//go:build !js

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

// What a note says of a profile that is not sRGB, or makes no sense.
const (
	noteOther      = "the photograph carries a colour profile other than sRGB, which is not applied yet: strong colours read a little wrong"
	noteUnreadable = "the photograph carries a colour profile that cannot be read: it is taken to be sRGB"
)

// profileNote is what to say about the header's colour profile, "" for none or
// for sRGB.
func profileNote(h Header) string {
	profile := h.Profile
	if profile == nil {
		return ""
	}
	if h.Kind == PNG {
		var err error
		if profile, err = inflate(profile); err != nil {
			return noteUnreadable
		}
	}
	tags, ok := profileTags(profile)
	switch {
	case !ok:
		return noteUnreadable
	case !isSRGB(tags):
		return noteOther
	}
	return ""
}

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
	if len(p) < 132 || string(p[36:40]) != "acsp" {
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

// isSRGB tells whether a profile's primaries are those of sRGB, adapted to D50
// (IEC 61966-2-1 annex; 0.003 allows for the roundings in use), and whether
// its curve gives half the code about the light that sRGB's does, 0.2140.
func isSRGB(tags map[string][]byte) bool {
	primaries := map[string][3]float64{
		"rXYZ": {0.4361, 0.2225, 0.0139},
		"gXYZ": {0.3851, 0.7169, 0.0971},
		"bXYZ": {0.1431, 0.0606, 0.7141},
	}
	for name, want := range primaries {
		tag := tags[name]
		if len(tag) < 20 {
			return false
		}
		for i, w := range want {
			if math.Abs(fixed(tag[8+4*i:])-w) > 0.003 {
				return false
			}
		}
	}
	half, ok := curveAtHalf(tags["rTRC"])
	return ok && math.Abs(half-0.2140) < 0.01
}

// fixed is a signed number with 16 bits after the point.
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// curveAtHalf is the light that a curve tag gives for half the greatest code.
func curveAtHalf(tag []byte) (light float64, ok bool) {
	if len(tag) < 12 {
		return 0, false
	}
	if string(tag[:4]) == "para" {
		return parametricAtHalf(tag)
	}
	count := int(binary.BigEndian.Uint32(tag[8:]))
	if string(tag[:4]) != "curv" || len(tag) < 12+2*count {
		return 0, false
	}
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(tag[12+2*i:])) }
	switch count {
	case 0:
		return 0.5, true
	case 1:
		return math.Pow(0.5, at(0)/256), true
	default:
		return (at((count-1)/2) + at(count/2)) / 2 / 65535, true
	}
}

// parametricAtHalf is curveAtHalf for a formula: (a*x+b)^gamma, with gamma
// alone in the simplest form. Half the code lies above every toe in use.
func parametricAtHalf(tag []byte) (light float64, ok bool) {
	gamma, a, b := 0.0, 1.0, 0.0
	if len(tag) < 16 {
		return 0, false
	}
	gamma = fixed(tag[12:])
	if form := binary.BigEndian.Uint16(tag[8:]); form > 0 {
		if len(tag) < 24 {
			return 0, false
		}
		a, b = fixed(tag[16:]), fixed(tag[20:])
	}
	return math.Pow(a*0.5+b, gamma), true
}
