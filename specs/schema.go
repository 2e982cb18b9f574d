package specs

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// SchemaKinds lists the kinds of table that have a JSON Schema.
func SchemaKinds() []string {
	return []string{"bound", "caution", "conversion", "engine", "exception", "fault", "finish", "limit", "meter", "part", "source", "switch", "wire"}
}

// Schema returns the JSON Schema (draft-07) of one kind of table, for editors.
// It is looser than the checks of this package, which judge. Nil means there
// is no such kind.
func Schema(kind string) []byte {
	var s object
	switch kind {
	case "engine":
		s = engineSchema()
	case "source":
		s = tableSchema("a source that figures are read from", sourceFields, units.KindLength)
	case "limit":
		s = limitsSchema()
	case "meter":
		s = tableSchema("a class of measuring means", meterFields, units.KindLength)
		ranges := object{"type": "object", "additionalProperties": bySource(tableSchema("accuracy for one kind of quantity", rangeFields, 0))}
		s["properties"].(object)["accuracy"] = ranges
	case "caution":
		s = tableSchema("a caution printed beside a step", cautionFields, 0)
		s["properties"].(object)["source"] = bySource(tableSchema("where it is printed", cautionSourceFields, 0))
	case "switch":
		s = tableSchema("which terminals of a switch are joined in each position", switchFields, 0)
		properties := s["properties"].(object)
		properties["positions"] = object{"title": "joined terminals by position", "type": "object", "minProperties": 1,
			"additionalProperties": object{"type": "array", "items": object{"type": "string", "pattern": `^[^+]+(\+[^+]+)+$`}}}
		properties["roles"] = tableSchema("what each terminal is for", switchRoleFields, 0)
		properties["source"] = bySource(tableSchema("where it is printed", switchSourceFields, 0))
	case "part":
		s = tableSchema("what a kind of part usually is", partFields, 0)
		for _, a := range partAttributes {
			value := tableSchema(a.Title, classValueFields, a.Kind)
			for _, key := range []string{"min", "nominal", "max"} {
				if a.Kind != 0 {
					value["properties"].(object)[key] = fieldSchema(table.FormValue, a.Title, "", nil, a.Kind)
				}
			}
			s["properties"].(object)[a.Key] = bySource(value)
		}
	case "conversion":
		s = conversionSchema()
	case "finish":
		s = finishSchema()
	case "fault":
		s = faultSchema()
	case "bound":
		s = tableSchema("what figures of other tables can be at all", boundsFields, 0)
		s["properties"].(object)["bound"] = object{"type": "object", "propertyNames": object{"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}, "additionalProperties": tableSchema("one sort of figure", boundFields, 0)}
	case "exception":
		s = tableSchema("problems of the lint that stand for a reason", exceptionsFields, 0)
		s["properties"].(object)["exception"] = bySource(tableSchema("one problem that stands", exceptionFields, 0))
	case "wire":
		s = tableSchema("a published table about wires", wireFields, 0)
		s["properties"].(object)["column"] = object{"type": "object", "minProperties": 1, "additionalProperties": tableSchema("one column", wireColumnFields, 0)}
	default:
		return nil
	}
	s["$schema"] = "http://json-schema.org/draft-07/schema#"
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(s); err != nil {
		panic(err) // maps of strings always encode
	}
	return b.Bytes()
}

type object = map[string]any

func tableSchema[T any](title string, fields []table.Field[T], kind units.Kind) object {
	properties := object{}
	var required []string
	for _, f := range fields {
		properties[f.Key] = fieldSchema(f.Form, f.Title, f.Example, f.Words, kind)
		if f.Required {
			required = append(required, f.Key)
		}
	}
	s := object{"title": title, "type": "object", "additionalProperties": false, "properties": properties}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

func fieldSchema(f table.Form, title, example string, words []string, kind units.Kind) object {
	if f == table.FormValue || f == table.FormBands {
		example = exampleOf(f, kind, example)
	}
	s := object{"title": title, "description": title + ", such as " + example}
	if e := exampleJSON(f, example); e != nil {
		s["examples"] = []any{e}
	}
	text := object{"type": "string", "minLength": 1}
	switch f {
	case table.FormInteger:
		s["type"] = "integer"
	case table.FormBool:
		s["type"] = "boolean"
	case table.FormTexts, table.FormIDs, table.FormBands:
		s["type"] = "array"
		if len(words) > 0 {
			text["enum"] = words
		}
		s["items"] = text
	case table.FormWord:
		s["type"] = "string"
		s["enum"] = words
	case table.FormLink:
		s["type"] = "string"
		s["pattern"] = "^https://"
	case table.FormID:
		s["type"] = "string"
		s["pattern"] = "^[a-z0-9]+(-[a-z0-9]+)*$"
	case table.FormValue:
		s["type"] = "string"
		s["pattern"] = "^-?[0-9]"
		if kind != 0 {
			s["description"] = title + "; a number, a space and one of: " + strings.Join(kind.Units(), ", ")
		}
	default:
		s["type"] = "string"
		s["minLength"] = 1
	}
	return s
}

// exampleOf is an example of the table's own kind of quantity.
func exampleOf(f table.Form, kind units.Kind, example string) string {
	for _, q := range quantities {
		if kind != 0 && q.Kind == kind && q.Example != "" {
			if f == table.FormBands {
				return "[" + strconv.Quote(q.Example) + "]"
			}
			return q.Example
		}
	}
	return example
}

// exampleJSON is an example of the field table as JSON; nil where TOML and JSON
// write it differently.
func exampleJSON(f table.Form, example string) any {
	switch {
	case f == table.FormInteger, f == table.FormBool, strings.HasPrefix(example, "["):
		var v any
		if json.Unmarshal([]byte(example), &v) != nil {
			return nil
		}
		return v
	case example == "", strings.HasPrefix(example, "{"):
		return nil
	}
	return example
}

// bySource allows [key.source-id] and [key.label.source-id].
func bySource(leaf object) object {
	return object{
		"type":          "object",
		"propertyNames": object{"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"},
		"additionalProperties": object{"anyOf": []any{
			leaf,
			object{"type": "object", "minProperties": 1, "propertyNames": object{"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}, "additionalProperties": leaf},
		}},
	}
}

func engineSchema() object {
	s := tableSchema("an engine family", engineFields, 0)
	properties := s["properties"].(object)
	properties["identity"] = tableSchema("which engine this is", identityFields, 0)
	definitions := object{}
	for _, q := range quantities {
		name := "words"
		if !q.Words() {
			name = strings.ReplaceAll(q.Kind.String(), " ", "-")
		}
		if _, ok := definitions[name]; !ok {
			definitions[name] = bySource(tableSchema("one claim", figureFields, q.Kind))
		}
		properties[string(q.Key)] = object{"title": q.Title, "description": q.Title + ", such as " + q.Example, "$ref": "#/definitions/" + name}
	}
	properties["other"] = object{"title": "facts that no quantity fits, as printed", "type": "object", "additionalProperties": object{"$ref": "#/definitions/words"}}
	definitions["set-aside"] = bySource(tableSchema("a figure that cannot be used", setAsideFields, 0))
	properties["set_aside"] = object{"title": "figures that exist in print but cannot be used", "type": "object",
		"additionalProperties": object{"anyOf": []any{object{"$ref": "#/definitions/set-aside"}, object{"type": "object", "additionalProperties": object{"$ref": "#/definitions/set-aside"}}}}}
	s["definitions"] = definitions
	s["required"] = []string{"schema", "id", "identity"}
	return s
}

func limitsSchema() object {
	s := tableSchema("the book's own figures about one quantity", limitsFields, 0)
	properties := s["properties"].(object)
	properties["plausible"] = bySource(tableSchema("outside this band a value is a slip until shown otherwise", classFigureFields, 0))
	properties["band"] = bySource(tableSchema("what a class of engine reads", classFigureFields, 0))
	properties["tolerance"] = bySource(tableSchema("how a bare nominal is judged", toleranceFields, 0))
	properties["gross"] = bySource(tableSchema("how far off condemns even on hearsay", grossFields, 0))
	properties["advice"] = tableSchema("what to do about a reading", adviceFields, 0)
	return s
}
