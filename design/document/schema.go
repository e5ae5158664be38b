package document

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"mutewright/design/quantity"
)

// A jsonSchema is a piece of a JSON Schema.
type jsonSchema map[string]any

// Schema returns the JSON Schema (draft 2020-12) of the files that fill a record,
// made from its table of fields; id and title head it. It holds against a file as
// YAML reads it: a value without unit or quotes is a number there.
//
// It sees keys, words, forms and units. It does not see limits of quantities, names
// that must exist, keys that are required under a condition, and duplicate keys.
func Schema(r Record, id, title string) ([]byte, error) {
	new(Document).Lay(r, "") // names the choices that other keys hang on
	s := ofBlock(r.Fields())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["$id"], s["title"] = id, title
	text, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("schema of %s: %w", title, err)
	}
	return append(text, '\n'), nil
}

// ofBlock is the schema of a block with a table of fields.
func ofBlock(fields []Field) jsonSchema {
	properties, required := jsonSchema{}, []string{}
	kinds := map[string]map[string][]string{} // choice, word, keys that go with it
	alike := map[string][]jsonSchema{}        // of keys that stand under several words
	for i := range fields {
		f := &fields[i]
		one := f.schema()
		if f.goesWith != nil {
			choice, word, _ := strings.Cut(f.goesWith(), ": ")
			if kinds[choice] == nil {
				kinds[choice] = map[string][]string{}
			}
			kinds[choice][word] = append(kinds[choice][word], f.key)
		}
		alike[f.key] = append(alike[f.key], one)
		if f.always {
			required = append(required, f.key)
		}
	}
	for key, list := range alike {
		one := list[0]
		if len(list) > 1 {
			one = jsonSchema{"anyOf": list}
		}
		for _, name := range spelled([]string{key}) {
			properties[name.(string)] = one
		}
	}
	s := jsonSchema{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	if rules := exclusions(kinds); len(rules) > 0 {
		s["allOf"] = rules
	}
	return s
}

// exclusions say which keys may not stand beside a word of a choice: those that go
// with other words only.
func exclusions(kinds map[string]map[string][]string) []jsonSchema {
	var rules []jsonSchema
	for _, choice := range slices.Sorted(maps.Keys(kinds)) {
		words := kinds[choice]
		for _, word := range slices.Sorted(maps.Keys(words)) {
			bars := jsonSchema{}
			for other, keys := range words {
				for _, key := range keys {
					if other == word || slices.Contains(words[word], key) {
						continue
					}
					for _, name := range spelled([]string{key}) {
						bars[name.(string)] = false
					}
				}
			}
			if len(bars) > 0 {
				rules = append(rules, jsonSchema{
					"if":   jsonSchema{"properties": jsonSchema{choice: jsonSchema{"const": word}}, "required": []string{choice}},
					"then": jsonSchema{"properties": bars},
				})
			}
		}
	}
	return rules
}

// schema is that of one key's value, with the words that it takes.
func (f *Field) schema() jsonSchema {
	var forms []jsonSchema
	if f.shape != nil {
		forms = append(forms, f.shape(f))
	}
	if f.short != nil {
		forms = append(forms, f.short.shape(f.short))
	}
	switch {
	case f.element != nil:
		forms = append(forms, f.many()...)
	case f.table != nil:
		f.leaveOut(new(Document), f.key)
		forms = append(forms, ofBlock(f.table()))
	}
	words := []any{}
	if !f.always {
		words = append(words, stateWords[Unknown])
	}
	for _, w := range f.words {
		words = append(words, stateWords[w])
	}
	if len(words) > 0 {
		forms = append(forms, jsonSchema{"enum": words})
	}
	s := forms[0]
	if len(forms) > 1 {
		s = jsonSchema{"anyOf": forms}
	}
	s["description"] = OneOf(f.forms)
	return s
}

// many is the schema of a list or of a block of names.
func (f *Field) many() []jsonSchema {
	e := f.element()
	one := e.schema()
	if f.names != nil {
		s := jsonSchema{"type": "object", "additionalProperties": one}
		names := jsonSchema{"pattern": plainName.String()}
		if f.names.except != nil {
			names["not"] = jsonSchema{"enum": f.names.except}
		}
		s["propertyNames"] = names
		return []jsonSchema{f.counted(s, "minProperties", "maxProperties")}
	}
	s := f.counted(jsonSchema{"type": "array", "items": one}, "minItems", "maxItems")
	if f.orOne {
		return []jsonSchema{s, one}
	}
	return []jsonSchema{s}
}

func (f *Field) counted(s jsonSchema, least, most string) jsonSchema {
	if f.atLeast > 0 {
		s[least] = f.atLeast
	}
	if f.atMost > 0 {
		s[most] = f.atMost
	}
	return s
}

// bounded adds the limits of a number.
func (f *Field) bounded(s jsonSchema) jsonSchema {
	if f.positive {
		s["exclusiveMinimum"] = 0
	}
	if f.low != nil {
		s["minimum"] = *f.low
	}
	if f.high != nil {
		s["maximum"] = *f.high
	}
	return s
}

// patterned is the shape of a quantity, whose pattern is written when it is wanted:
// reading a plan does not want it. Where the unit may be left out, YAML reads a
// number.
func patterned(u quantity.Unit, pattern func(quantity.Unit) string) func(f *Field) jsonSchema {
	return func(f *Field) jsonSchema {
		s := matching(pattern(u))(f)
		if u == quantity.Proportion {
			s["type"] = []string{"string", "number"}
			f.bounded(s)
		}
		return s
	}
}

func matching(pattern string) func(*Field) jsonSchema {
	return func(*Field) jsonSchema {
		return jsonSchema{"type": "string", "pattern": "^(?:" + strings.TrimSuffix(strings.TrimPrefix(pattern, "^"), "$") + ")$"}
	}
}

// anyWords is a text; YAML reads some as numbers.
func anyWords(*Field) jsonSchema {
	return jsonSchema{"type": []string{"string", "number", "boolean"}, "maxLength": textLimit}
}

// spelled are words in every spelling that is read.
func spelled(words []string) []any {
	var list []any
	for _, w := range words {
		list = append(list, w)
		for _, other := range slices.Sorted(maps.Keys(spellings)) {
			if variant := word.ReplaceAllStringFunc(w, func(part string) string {
				if part == spellings[other] {
					return other
				}
				return part
			}); variant != w {
				list = append(list, variant)
			}
		}
	}
	return list
}
