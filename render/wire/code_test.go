package wire_test

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"maulstick/render/wire"
)

// things is a value of each sort that can be written.
type things struct {
	Number  float64
	Whole   int
	Octet   uint8
	Flag    bool
	Text    string
	Bytes   []byte
	There   *string
	Nowhere *string
	Several []string
}

func (v *things) code(c *wire.Code) {
	wire.Numbers(c, &v.Number)
	wire.Wholes(c, &v.Whole)
	wire.Octets(c, &v.Octet)
	wire.Flags(c, &v.Flag)
	wire.Texts(c, &v.Text)
	c.Bytes(&v.Bytes)
	for _, maybe := range []**string{&v.There, &v.Nowhere} {
		wire.Maybe(c, maybe, func(s *string) { wire.Texts(c, s) })
	}
	wire.List(c, &v.Several, func(s *string) { wire.Texts(c, s) })
}

// The bytes are those of published forms: 1 as binary64 (IEEE 754-2019, section 3.4),
// 300 and -2 as whole numbers of variable length (Protocol Buffers documentation,
// "Encoding"), and the CRC-32 of the digits 1 to 9, hexadecimal CBF43926 (G. Cook,
// "Catalogue of parametrised CRC algorithms", CRC-32/ISO-HDLC; from memory).
func TestBytesArePublishedForms(t *testing.T) {
	for name, c := range map[string]struct {
		heading  string
		describe func(*wire.Code)
		want     []byte // but for the last four
	}{
		"1":         {"", func(c *wire.Code) { one := 1.0; wire.Numbers(c, &one) }, []byte{0, 0, 0, 0, 0, 0, 0xf0, 0x3f}},
		"-2":        {"", func(c *wire.Code) { n := -2; wire.Wholes(c, &n) }, []byte{3}},
		"300 bytes": {"", func(c *wire.Code) { b := make([]byte, 300); c.Bytes(&b) }, append([]byte{0xac, 0x02}, make([]byte, 300)...)},
	} {
		data, err := wire.Write(c.heading, c.describe)
		if err != nil || !bytes.Equal(data[:len(data)-wire.Checked], c.want) {
			t.Errorf("%s is written as % x, %v", name, data, err)
		}
	}
	data, err := wire.Write("123456789", func(*wire.Code) {})
	if want := "123456789\x26\x39\xf4\xcb"; err != nil || string(data) != want {
		t.Errorf("a bare heading is written as %q, %v, want %q", data, err, want)
	}
}

// Values come back as they were written; bytes that are cut or changed anywhere are
// refused.
func TestValuesComeBack(t *testing.T) {
	there := "hier"
	v := things{
		Number: -0.1, Whole: math.MinInt64, Octet: 255, Flag: true, Text: "½ inch", Bytes: []byte{0, 1}, There: &there,
		Several: []string{"", "two"},
	}
	data, err := wire.Write("things 1\n", v.code)
	if err != nil {
		t.Fatal(err)
	}
	var back things
	if err := wire.Read("things 1\n", data, back.code); err != nil || !reflect.DeepEqual(v, back) {
		t.Errorf("%+v comes back as %+v, %v", v, back, err)
	}
	if wire.Read("things 2\n", data, back.code) == nil {
		t.Error("they are read under another heading")
	}
	for i := range data {
		bent := bytes.Clone(data)
		bent[i] ^= 1 << (i % 8)
		var other things
		if wire.Read("things 1\n", bent, other.code) == nil || wire.Read("things 1\n", data[:i], other.code) == nil {
			t.Fatalf("bytes damaged or cut at %d of %d are read", i, len(data))
		}
	}
}

// What is no finite number is not written.
func TestOnlyFiniteNumbersAreWritten(t *testing.T) {
	for _, number := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if data, err := wire.Write("things 1\n", (&things{Number: number}).code); err == nil {
			t.Errorf("%v is written as % x", number, data)
		}
	}
}
