package plan_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"mutewright/catalog"
	"mutewright/design/plan"
)

// A validator holds values against a JSON Schema by the keywords of draft 2020-12
// that ours uses; any other keyword is a mistake of the test.
type validator struct{ patterns map[string]*regexp.Regexp }

// check returns what is wrong with a value, "" for nothing.
func (v validator) check(at string, schema, value any) string {
	if allowed, ok := schema.(bool); ok {
		if !allowed {
			return at + ": may not stand here"
		}
		return ""
	}
	rules := schema.(map[string]any)
	for _, key := range slices.Sorted(maps.Keys(rules)) {
		if wrong := v.keyword(at, key, rules, value); wrong != "" {
			return wrong
		}
	}
	return ""
}

func (v validator) keyword(at, key string, rules map[string]any, value any) string {
	rule := rules[key]
	object, isObject := value.(map[string]any)
	list, isList := value.([]any)
	text, isText := value.(string)
	number, isNumber := value.(float64)
	fail := func(ok bool) string {
		if ok {
			return ""
		}
		return fmt.Sprintf("%s: %v against %s %v", at, value, key, rule)
	}
	switch key {
	case "$schema", "$id", "title", "description", "then":
		return ""
	case "type":
		var types []any
		if one, ok := rule.(string); ok {
			types = []any{one}
		} else {
			types = rule.([]any)
		}
		is := map[string]bool{
			"object": isObject, "array": isList, "string": isText, "number": isNumber,
			"integer": isNumber && number == float64(int(number)), "boolean": reflect.TypeOf(value) == reflect.TypeOf(true),
		}
		return fail(slices.ContainsFunc(types, func(t any) bool { return is[t.(string)] }))
	case "enum":
		return fail(slices.ContainsFunc(rule.([]any), func(one any) bool { return reflect.DeepEqual(one, value) }))
	case "const":
		return fail(reflect.DeepEqual(rule, value))
	case "pattern":
		return fail(!isText || v.pattern(rule.(string)).MatchString(text))
	case "maxLength":
		return fail(!isText || float64(utf8.RuneCountInString(text)) <= rule.(float64))
	case "minimum":
		return fail(!isNumber || number >= rule.(float64))
	case "maximum":
		return fail(!isNumber || number <= rule.(float64))
	case "exclusiveMinimum":
		return fail(!isNumber || number > rule.(float64))
	case "minItems":
		return fail(!isList || float64(len(list)) >= rule.(float64))
	case "maxItems":
		return fail(!isList || float64(len(list)) <= rule.(float64))
	case "minProperties":
		return fail(!isObject || float64(len(object)) >= rule.(float64))
	case "maxProperties":
		return fail(!isObject || float64(len(object)) <= rule.(float64))
	case "anyOf":
		var wrong []string
		for _, one := range rule.([]any) {
			w := v.check(at, one, value)
			if w == "" {
				return ""
			}
			wrong = append(wrong, w)
		}
		return strings.Join(wrong, "; ")
	case "allOf":
		for _, one := range rule.([]any) {
			if w := v.check(at, one, value); w != "" {
				return w
			}
		}
		return ""
	case "not":
		return fail(v.check(at, rule, value) != "")
	case "if":
		if v.check(at, rule, value) == "" {
			return v.check(at, rules["then"], value)
		}
		return ""
	case "items":
		for i, item := range list {
			if w := v.check(fmt.Sprintf("%s.%d", at, i+1), rule, item); w != "" {
				return w
			}
		}
		return ""
	case "required":
		for _, name := range rule.([]any) {
			if _, ok := object[name.(string)]; isObject && !ok {
				return at + ": " + name.(string) + " is missing"
			}
		}
		return ""
	case "propertyNames":
		for _, name := range slices.Sorted(maps.Keys(object)) {
			if w := v.check(at+"."+name, rule, name); w != "" {
				return w
			}
		}
		return ""
	case "properties":
		for _, name := range slices.Sorted(maps.Keys(object)) {
			if one, ok := rule.(map[string]any)[name]; ok {
				if w := v.check(at+"."+name, one, object[name]); w != "" {
					return w
				}
			}
		}
		return ""
	case "additionalProperties":
		known, _ := rules["properties"].(map[string]any)
		for _, name := range slices.Sorted(maps.Keys(object)) {
			if _, ok := known[name]; !ok {
				if w := v.check(at+"."+name, rule, object[name]); w != "" {
					return w
				}
			}
		}
		return ""
	}
	panic("keyword " + key + " is not checked")
}

func (v validator) pattern(text string) *regexp.Regexp {
	if v.patterns[text] == nil {
		v.patterns[text] = regexp.MustCompile(text)
	}
	return v.patterns[text]
}

// asJSON is what YAML reads, in the types of JSON: a date is a text.
func asJSON(n *yaml.Node) any {
	switch n.Kind {
	case yaml.DocumentNode:
		return asJSON(n.Content[0])
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = asJSON(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, item := range n.Content {
			list = append(list, asJSON(item))
		}
		return list
	}
	var v any
	switch n.ShortTag() {
	case "!!int", "!!float":
		var f float64
		if n.Decode(&f) == nil {
			v = f
		}
	case "!!bool":
		var b bool
		if n.Decode(&b) == nil {
			v = b
		}
	case "!!null":
		return nil
	}
	if v == nil {
		return n.Value
	}
	return v
}

func schemaOfPlans(t *testing.T) any {
	t.Helper()
	text, err := plan.Schema()
	require.NoError(t, err)
	var schema any
	require.NoError(t, json.Unmarshal(text, &schema))
	return schema
}

// What the reader takes fits the schema, for every plan of testdata.
func TestEveryPlanFitsTheSchema(t *testing.T) {
	schema, v := schemaOfPlans(t), validator{map[string]*regexp.Regexp{}}
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "plans", "*", "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	seen := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		if _, err := plan.Read(file, data, catalog.Default()); err != nil {
			continue // a broken one
		}
		seen++
		var n yaml.Node
		require.NoError(t, yaml.Unmarshal(data, &n))
		assert.Empty(t, v.check("plan", schema, asJSON(&n)), file)
	}
	assert.Greater(t, seen, 100)
}

// unseen are the broken plans whose fault lies beyond a schema: in the notation of
// the file, in names that must exist, in two values that do not go together, in the
// range of a quantity.
var unseen = strings.Fields(`anchors-and-aliases given-twice second-document tags
	antenna-in-a-return point-in-two-returns serves-nothing-known standby-return-unknown
	unknown-point-in-a-return unknown-relay unknown-supply unknown-tube
	crest-below-one out-of-range`)

func TestBrokenPlansDoNotFitTheSchema(t *testing.T) {
	schema, v := schemaOfPlans(t), validator{map[string]*regexp.Regexp{}}
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "plans", "broken", "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		var n yaml.Node
		if yaml.Unmarshal(data, &n) != nil || len(n.Content) == 0 {
			continue // no YAML, or nothing: no schema is asked
		}
		fits := v.check("plan", schema, asJSON(&n)) == ""
		assert.Equal(t, slices.Contains(unseen, name), fits, name)
	}
}
