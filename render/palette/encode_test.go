package palette

import (
	"reflect"
	"testing"
)

// filled gives every field below a value another value that is not zero.
func filled(t *testing.T, v reflect.Value, next *int) {
	t.Helper()
	*next++
	switch {
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			filled(t, v.Field(i), next)
		}
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		filled(t, v.Elem(), next)
	case v.Kind() == reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
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

// Every field of a question and of an answer crosses, each by itself; what is cut short
// or no such thing is refused.
func TestEveryFieldCrosses(t *testing.T) {
	next := 0
	var ask, askBack Ask
	filled(t, reflect.ValueOf(&ask).Elem(), &next)
	asked, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	if err := askBack.UnmarshalBinary(asked); err != nil || !reflect.DeepEqual(ask, askBack) {
		t.Errorf("the question %+v comes back as %+v, %v", ask, askBack, err)
	}
	var answer, back Answer
	filled(t, reflect.ValueOf(&answer).Elem(), &next)
	answered, err := answer.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	if err := back.UnmarshalBinary(answered); err != nil || !reflect.DeepEqual(answer, back) {
		t.Errorf("the answer %+v comes back as %+v, %v", answer, back, err)
	}
	for n := range answered {
		if back.UnmarshalBinary(answered[:n]) == nil {
			t.Fatalf("%d bytes of %d are read as an answer", n, len(answered))
		}
	}
	if askBack.UnmarshalBinary(answered) == nil || !reflect.DeepEqual(ask, askBack) {
		t.Error("an answer is read as a question")
	}
}

// Bytes that no one wrote are refused, or are those of a question.
func FuzzAsk(f *testing.F) {
	next := 0
	for _, a := range []Ask{{}, {Find: true, Step: 20}} {
		data, _ := a.MarshalBinary()
		f.Add(data)
	}
	var full Ask
	filled(&testing.T{}, reflect.ValueOf(&full).Elem(), &next)
	data, _ := full.MarshalBinary()
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		var a Ask
		if a.UnmarshalBinary(data) != nil {
			return
		}
		if again, err := a.MarshalBinary(); err != nil || string(again) != string(data) {
			t.Errorf("%q is read as %+v and written as %q, %v", data, a, again, err)
		}
	})
}
