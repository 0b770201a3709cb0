package verdict

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math"
	"reflect"
	"testing"

	"maulstick/render/check"
	"maulstick/render/shape"
	"maulstick/render/wire"
)

// filled gives every field below a value another value that is not zero. Whole numbers
// are 1: some of them tell values, of which there are two.
func filled(t *testing.T, v reflect.Value, next *int) {
	t.Helper()
	*next++
	switch {
	case v.Type() == reflect.TypeFor[shape.Steps]():
		steps, err := shape.EqualSteps(2 + *next%7)
		if err != nil {
			t.Fatal(err)
		}
		v.Set(reflect.ValueOf(steps))
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			filled(t, v.Field(i), next)
		}
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		filled(t, v.Elem(), next)
	case v.Kind() == reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case v.Kind() == reflect.Array:
		for i := range v.Len() {
			filled(t, v.Index(i), next)
		}
	case v.Kind() == reflect.String:
		v.SetString(string(rune('a'+*next%26)) + "é")
	case v.CanFloat():
		v.SetFloat(float64(*next) + 1.0/3)
	case v.CanInt():
		v.SetInt(1)
	case v.Kind() == reflect.Bool:
		v.SetBool(true)
	default:
		t.Fatalf("a field of type %v cannot be filled", v.Type())
	}
}

// Every field of a question and of an answer crosses.
func TestEveryFieldCrosses(t *testing.T) {
	next := 0
	var ask, askBack Ask
	filled(t, reflect.ValueOf(&ask).Elem(), &next)
	data, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	if err := askBack.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(ask, askBack) {
		t.Errorf("the question %+v comes back as %+v, %v", ask, askBack, err)
	}
	var full, back Answer
	filled(t, reflect.ValueOf(&full).Elem(), &next)
	if data, err = full.MarshalBinary(); err != nil {
		t.Fatal(err)
	}
	if err := back.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(full, back) {
		t.Errorf("the answer %+v comes back as %+v, %v", full, back, err)
	}
}

// Pairs of values that are not there are refused, and so is what is no number.
func TestOnlyWhatIsThereCrosses(t *testing.T) {
	for name, a := range map[string]Answer{
		"a pair of a value too many":   {Values: make([]Value, 2), Broken: [][2]int{{0, 2}}},
		"a pair of a value before all": {Values: make([]Value, 2), Broken: [][2]int{{-1, 0}}},
		"a slip that is no number":     {Slips: []check.Slip{{Within: 1}, {}}, Range: Range{Of: math.NaN()}},
	} {
		data, err := a.MarshalBinary()
		var back Answer
		if err == nil && back.UnmarshalBinary(data) == nil {
			t.Errorf("%s crosses as %+v", name, back)
		}
	}
}

// FuzzAnswer reads bytes that no one wrote, under a checksum that is right.
func FuzzAnswer(f *testing.F) {
	for _, a := range []Answer{{}, {Err: "no", Hint: "yes"}, {Values: make([]Value, 3), Broken: [][2]int{{0, 2}}, Colour: &Colour{Kept: [][2]string{{"red", "green"}}}}} {
		data, err := a.MarshalBinary()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[len(answered) : len(data)-wire.Checked])
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		data := append([]byte(answered), body...)
		data = binary.LittleEndian.AppendUint32(data, crc32.ChecksumIEEE(data))
		var a, again Answer
		if a.UnmarshalBinary(data) != nil {
			return
		}
		back, err := a.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := again.UnmarshalBinary(back); err != nil || !reflect.DeepEqual(a, again) {
			t.Errorf("%+v comes back as %+v, %v", a, again, err)
		}
		if other, _ := again.MarshalBinary(); !bytes.Equal(back, other) {
			t.Error("equal answers are other bytes")
		}
	})
}
