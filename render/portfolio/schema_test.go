package portfolio

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"maulstick/render/study"
)

// schema is the schema as a validator that is none of ours reads it.
func schema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("study.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("study.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func value(t testing.TB, text []byte) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Studies keep to the schema, and so does the one in testdata once it is upgraded.
func TestStudiesKeepToTheSchema(t *testing.T) {
	s := schema(t)
	d, _ := sample(t)
	kept, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheet", "fig-in-a-red-bowl.maulstick.json"))
	if err != nil {
		t.Fatal(err)
	}
	old, _, err := study.DecodeFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	plain := study.New("plain", d.Reference)
	sheets := plain.Sheets
	sheets.Kinds = study.SheetKinds()
	for _, d := range []study.Document{d, old, plain, d.TakenUp(2), plain.WithPart("studies"), plain.WithPart("log"), plain.WithSheets(sheets)} {
		text, err := study.Encode(d)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(value(t, text)); err != nil {
			t.Errorf("%s: %v", d.Name, err)
		}
	}
}

// What lacks a field, has one more, or another sort of value in one, is refused by the
// schema and by the decoder alike, wherever that is.
func TestSchemaAndDecoderRefuseAlike(t *testing.T) {
	s := schema(t)
	d, _ := sample(t)
	text, err := study.Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	check := func(what string, root map[string]any) {
		tried++
		changed, err := json.Marshal(root)
		if err != nil {
			t.Fatal(err)
		}
		_, decoding := study.Decode(changed)
		if err := s.Validate(value(t, changed)); err == nil || decoding == nil {
			t.Errorf("%s: the schema says %v, the decoder %v", what, err, decoding)
		}
	}
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	objects(root, "", func(path string, o map[string]any) {
		o["unheard_of"] = 1
		check("one field more in "+path, root)
		delete(o, "unheard_of")
		for _, field := range slices.Sorted(maps.Keys(o)) {
			was := o[field]
			o[field] = map[string]any{"a": "b"}
			if was, nullable := was.(map[string]any); !nullable || was == nil || field != "left" && field != "photograph" {
				check(path+"."+field+" as another sort", root)
			}
			o[field] = was
		}
	})
	if tried < 200 {
		t.Errorf("only %d changes were tried", tried)
	}
}

// objects visits every object in a value.
func objects(v any, path string, visit func(path string, o map[string]any)) {
	switch v := v.(type) {
	case map[string]any:
		visit(path, v)
		for _, name := range slices.Sorted(maps.Keys(v)) {
			objects(v[name], path+"."+name, visit)
		}
	case []any:
		for i, item := range v {
			objects(item, fmt.Sprintf("%s[%d]", path, i), visit)
		}
	}
}

// The schema has every field of a study, wherever it stands, and asks for each: what is
// added to the document and forgotten here is found.
func TestSchemaNamesEveryField(t *testing.T) {
	var root map[string]any
	if err := json.Unmarshal(Schema, &root); err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("urn:maulstick:study:%d", study.Format); root["$id"] != want {
		t.Errorf("the schema is %v, want %s", root["$id"], want)
	}
	named := 0
	compare(t, root, root, reflect.TypeFor[study.Document](), "study", &named)
	if named < 200 {
		t.Errorf("only %d fields were compared", named)
	}
}

func compare(t *testing.T, root, node map[string]any, of reflect.Type, path string, named *int) {
	t.Helper()
	for node["$ref"] != nil {
		name := strings.TrimPrefix(node["$ref"].(string), "#/$defs/")
		node, _ = root["$defs"].(map[string]any)[name].(map[string]any)
	}
	switch {
	case of.Kind() == reflect.Pointer:
		either, _ := node["anyOf"].([]any)
		if len(either) != 2 {
			t.Errorf("%s may be null, and the schema says %v", path, node)
			return
		}
		compare(t, root, either[1].(map[string]any), of.Elem(), path, named)
	case of.Kind() == reflect.Slice:
		items, _ := node["items"].(map[string]any)
		if items == nil {
			t.Errorf("%s is a list, and the schema says %v", path, node)
			return
		}
		compare(t, root, items, of.Elem(), path+"[]", named)
	case of.Kind() == reflect.Struct && of != reflect.TypeFor[time.Time]() && !spelt(of):
		compareFields(t, root, node, of, path, named)
	}
}

// spelt says whether a type spells itself.
func spelt(of reflect.Type) bool { return of.Implements(reflect.TypeFor[json.Marshaler]()) }

func compareFields(t *testing.T, root, node map[string]any, of reflect.Type, path string, named *int) {
	t.Helper()
	properties, _ := node["properties"].(map[string]any)
	left := maps.Clone(properties)
	required, _ := node["required"].([]any)
	if node["additionalProperties"] != false || len(required) != len(properties) {
		t.Errorf("%s: the schema lets fields be added or left out", path)
	}
	for field := range of.Fields() {
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		if name == "" {
			name = field.Name
		}
		property, ok := properties[name].(map[string]any)
		if !ok {
			t.Errorf("the schema lacks %s.%s", path, name)
			continue
		}
		delete(left, name)
		*named++
		compare(t, root, property, field.Type, path+"."+name, named)
	}
	for name := range left {
		t.Errorf("the schema has %s.%s, and no study has", path, name)
	}
}
