package specs

// conversionSchema is the schema of a recipe: facts, steps and outcomes by id.
func conversionSchema() object {
	s := tableSchema("the recipe of one conversion", conversionFields, 0)
	properties := s["properties"].(object)
	for _, section := range []struct {
		key   string
		entry object
	}{
		{"fact", tableSchema("a fact to be verified first", conversionFactFields, 0)},
		{"step", tableSchema("one step of the work", conversionStepFields, 0)},
		{"outcome", tableSchema("what the owner gains or loses", conversionOutcomeFields, 0)},
	} {
		properties[section.key] = byID(section.entry)
	}
	return s
}

// finishSchema is the schema of a table of how wires are finished.
func finishSchema() object {
	s := tableSchema("how wires are finished", finishFields, 0)
	properties := s["properties"].(object)
	for key, title := range map[string]string{"end": "terminal by kind of part", "colour": "colour by name of wire", "site": "where a kind of part sits"} {
		properties[key] = byID(tableSchema(title, finishWordFields, 0))
	}
	properties["route"] = byID(tableSchema("usual length between two places", finishRouteFields, 0))
	return s
}

// byID allows a table of entries under ids.
func byID(entry object) object {
	return object{"type": "object", "propertyNames": object{"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}, "additionalProperties": entry}
}

// conversionInOrder holds a recipe to the order of its fields.
func (l *linter) conversionInOrder(t *linted) {
	l.inOrder(t, t.doc.Root, append(fieldKeys(conversionFields), "fact", "step", "outcome"))
	l.entriesInOrder(t, "fact", fieldKeys(conversionFactFields))
	l.entriesInOrder(t, "step", fieldKeys(conversionStepFields))
	l.entriesInOrder(t, "outcome", fieldKeys(conversionOutcomeFields))
}

// finishInOrder does the same for a finish table.
func (l *linter) finishInOrder(t *linted) {
	l.inOrder(t, t.doc.Root, append(fieldKeys(finishFields), "end", "colour", "route", "site"))
	for _, key := range []string{"end", "colour", "site"} {
		l.entriesInOrder(t, key, fieldKeys(finishWordFields))
	}
	l.entriesInOrder(t, "route", fieldKeys(finishRouteFields))
}

func (l *linter) entriesInOrder(t *linted, section string, keys []string) {
	n := t.doc.Root.Child(section)
	if n == nil {
		return
	}
	for _, entry := range n.Children {
		l.inOrder(t, entry, keys)
	}
}
