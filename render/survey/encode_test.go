package survey

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math"
	"reflect"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/wire"
)

// filled gives every field below a value another value that is not zero.
func filled(t *testing.T, v reflect.Value, next *int) {
	t.Helper()
	*next++
	switch {
	case v.Type() == reflect.TypeFor[shape.Steps]():
		v.Set(reflect.ValueOf(equal(t, 2+*next%8)))
	case v.Type() == reflect.TypeFor[*photo.Picture](): // crosses beside the bytes
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
		v.SetInt(int64(*next) * 1000)
	case v.CanUint():
		v.SetUint(uint64(1 + *next%255))
	case v.Kind() == reflect.Bool:
		v.SetBool(true)
	default:
		t.Fatalf("a field of type %v cannot be filled", v.Type())
	}
}

// Every field of a question and of an answer crosses, each by itself.
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

// Real answers cross unchanged, and so do those that hold nothing.
func TestAnswersCross(t *testing.T) {
	all := []Answer{{}, {Flat: &Shapes{}}, {Edges: &Hard{}}, {Piles: &Mixes{}}, {Tones: &Tints{}}, {Clean: &Swept{}}}
	for _, k := range Kinds() {
		all = append(all, answer(t, sceneCopy(), about(t, k)))
	}
	for _, a := range all {
		a.Picture = nil
		data, err := a.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var back Answer
		if err := back.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(a, back) {
			t.Errorf("%+v comes back as %+v, %v", a, back, err)
		}
	}
}

// Questions that differ in anything have different keys; equal ones have the same.
// What a hierarchy answers at once is not part of the base.
func TestKeysTellQuestionsApart(t *testing.T) {
	at, same := place.PhotoPoint{X: 1, Y: 2}, place.PhotoPoint{X: 1, Y: 2}
	first := about(t, Flat)
	first.Focal = &at
	again := first
	again.Focal = &same
	if first.Key() == "" || first.Key() != again.Key() {
		t.Errorf("equal questions have the keys %q and %q", first.Key(), again.Key())
	}
	keys := map[string]string{first.Key(): "nothing"}
	for name, change := range map[string]struct {
		change func(*Ask)
		based  bool // the base changes too
	}{
		"kind": {func(a *Ask) { a.Kind = Edges }, true}, "crop": {func(a *Ask) { a.Crop.Width = math.Nextafter(a.Crop.Width, 0) }, true},
		"canvas": {func(a *Ask) { a.Canvas.Height++ }, true}, "unit": {func(a *Ask) { a.Canvas.Unit = place.Inch }, true},
		"steps": {func(a *Ask) { a.Steps = a.Steps.Dragged(1, 25) }, true}, "filter": {func(a *Ask) { a.Filter = true }, true},
		"sheet": {func(a *Ask) { a.Sheet++ }, true}, "smallest": {func(a *Ask) { a.Smallest++ }, true},
		"wheel": {func(a *Ask) { a.Wheel++ }, true}, "each": {func(a *Ask) { a.Each++ }, true},
		"neutral": {func(a *Ask) { a.Neutral.B++ }, true}, "white": {func(a *Ask) { a.White = true }, true},
		// By number the shapes come from another squint than by size.
		"count": {func(a *Ask) { a.Count++ }, true}, "focal": {func(a *Ask) { a.Focal = nil }, false},
		"last": {func(a *Ask) { a.Last = true }, false}, "outlines": {func(a *Ask) { a.Outlines = true }, false},
	} {
		changed := first
		change.change(&changed)
		if other, known := keys[changed.Key()]; known {
			t.Errorf("changing the %s gives the key of changing %s", name, other)
		}
		keys[changed.Key()] = name
		if (changed.Base() != first.Base()) != change.based {
			t.Errorf("changing the %s changes the base: %v", name, !change.based)
		}
	}
	few, many := first, first
	few.Count, many.Count, many.Smallest = 5, 300, 2*first.Smallest
	if few.Base() != many.Base() {
		t.Error("5 and 300 shapes have other bases")
	}
}

// Bytes that are damaged anywhere, cut or longer are refused, and so are those of
// another version and of another thing; what was there stays.
func TestDamagedBytesAreRefused(t *testing.T) {
	a := answer(t, sceneCopy(), about(t, Tones))
	data, err := a.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	question, err := about(t, Tones).MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	sealed := func(text string) []byte {
		return binary.LittleEndian.AppendUint32([]byte(text), crc32.ChecksumIEEE([]byte(text)))
	}
	later := bytes.Replace(data[:len(data)-wire.Checked], []byte("answer 2"), []byte("answer 3"), 1)
	wrong := map[string][]byte{
		"nothing": nil, "no more than a heading": []byte(answered), "an empty body": sealed(answered), "longer": append(bytes.Clone(data), 0),
		"a longer body": sealed(string(data[:len(data)-wire.Checked]) + "\x00"), "a question": question, "another version": sealed(string(later)),
	}
	for name, bytes := range wrong {
		back := Answer{Side: 7}
		if err := back.UnmarshalBinary(bytes); err == nil || !reflect.DeepEqual(back, Answer{Side: 7}) {
			t.Errorf("%s is read as %+v, %v", name, back, err)
		}
	}
	for i := range data {
		bent := bytes.Clone(data)
		bent[i] ^= 1 << (i % 8)
		var back Answer
		if back.UnmarshalBinary(bent) == nil || back.UnmarshalBinary(data[:i]) == nil {
			t.Fatalf("bytes damaged or cut at %d of %d are read", i, len(data))
		}
	}
	for i := range question {
		bent := bytes.Clone(question)
		bent[i] ^= 1 << (i % 8)
		var back Ask
		if back.UnmarshalBinary(bent) == nil || back.UnmarshalBinary(question[:i]) == nil {
			t.Fatalf("a question damaged or cut at %d of %d is read", i, len(question))
		}
	}
}

// What is no finite number does not cross.
func TestOnlyFiniteNumbersCross(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		ask := Ask{Kind: Tones, Crop: place.Crop{X: v}}
		if _, err := ask.MarshalBinary(); err == nil || ask.Key() != "" {
			t.Errorf("a crop that begins at %v crosses", v)
		}
		if _, err := (Answer{Side: v}).MarshalBinary(); err == nil {
			t.Errorf("a side of %v crosses", v)
		}
	}
}

// Questions that have no answer are refused in words.
func TestQuestionsWithoutAnswer(t *testing.T) {
	s := New(sceneCopy())
	for name, change := range map[string]func(*Ask){
		"no kind": func(a *Ask) { a.Kind = "" }, "a kind to come": func(a *Ask) { a.Kind = "glazes" },
		"no steps": func(a *Ask) { a.Steps = shape.Steps{} }, "no canvas": func(a *Ask) { a.Canvas = place.Size{} },
		"a canvas that is no number": func(a *Ask) { a.Canvas.Width = place.MM(math.NaN()) },
		"an endless canvas":          func(a *Ask) { a.Canvas.Height = place.MM(math.Inf(1)) },
		"a size below nothing":       func(a *Ask) { a.Smallest = -1 }, "an endless size": func(a *Ask) { a.Smallest = place.MM(math.Inf(1)) },
		"a focal point nowhere": func(a *Ask) { a.Focal = &place.PhotoPoint{X: math.NaN()} },
		"no wheel":              func(a *Ask) { a.Kind, a.Wheel = Tones, 3 }, "too many piles": func(a *Ask) { a.Kind, a.Each = Piles, 10 },
	} {
		ask := about(t, Flat)
		change(&ask)
		if found, err := s.Answer(ask, nil); err == nil {
			t.Errorf("a question with %s has the answer %+v", name, found)
		}
	}
}

// FuzzQuestion reads bytes as a question, and asks what can be read about a picture
// of a few pixels: there is an answer that crosses, or an error, and no panic.
func FuzzQuestion(f *testing.F) {
	for _, k := range Kinds() {
		ask := about(f, k)
		ask.Focal, ask.Outlines = &place.PhotoPoint{X: 50, Y: 60}, true
		data, err := ask.MarshalBinary()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[len(asked) : len(data)-wire.Checked])
	}
	small := photo.New(7, 5)
	for i := range small.Width * small.Height {
		copy(small.Pix[4*i:], []byte{uint8(i * 41), uint8(i * i * 7), uint8(i * 97), 255})
	}
	c := NewCopy(pyramidOf(small), 0, 0, 1, place.WholeCrop(small.Size()))
	f.Fuzz(func(t *testing.T, body []byte) {
		var ask Ask
		data := append([]byte(asked), body...)
		if ask.UnmarshalBinary(binary.LittleEndian.AppendUint32(data, crc32.ChecksumIEEE(data))) != nil {
			return
		}
		data, err := ask.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var back Ask
		if err := back.UnmarshalBinary(data); err != nil || back.Key() != ask.Key() {
			t.Fatalf("%+v comes back as %+v, %v", ask, back, err)
		}
		found, err := New(c).Answer(ask, nil)
		if err != nil {
			return
		}
		if _, err := found.MarshalBinary(); err != nil {
			t.Errorf("the answer to %+v does not cross: %v", ask, err)
		}
	})
}

// FuzzAnswer reads bytes as an answer: what can be read is written again as it was
// read, and nothing panics.
func FuzzAnswer(f *testing.F) {
	for _, k := range Kinds() {
		data, err := answer(f, sceneCopy(), about(f, k)).MarshalBinary()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[len(answered) : len(data)-wire.Checked])
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var a, back Answer
		data := append([]byte(answered), body...)
		if a.UnmarshalBinary(binary.LittleEndian.AppendUint32(data, crc32.ChecksumIEEE(data))) != nil {
			return
		}
		data, err := a.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := back.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(a, back) {
			t.Fatalf("%+v comes back as %+v, %v", a, back, err)
		}
	})
}
