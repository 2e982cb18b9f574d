package specs

// faultSchema is the schema of a fault table: sections of entries by id.
func faultSchema() object {
	s := tableSchema("faults, tests, signs and what else tracing needs", faultTableFields, 0)
	byID := func(entry object) object {
		return object{"type": "object", "propertyNames": object{"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}, "additionalProperties": entry}
	}
	numbers := func(title string, names []string) object {
		o := object{"title": title, "type": "object", "additionalProperties": object{"type": "number", "minimum": 0}}
		if names != nil {
			o["propertyNames"] = object{"enum": names}
		}
		return o
	}
	words := func(title string) object {
		return object{"title": title, "type": "object", "minProperties": 2, "additionalProperties": object{"type": "string", "minLength": 1}}
	}
	set := func(entry object, key string, value object) { entry["properties"].(object)[key] = value }
	number := func(entry object, keys ...string) {
		for _, key := range keys {
			p := entry["properties"].(object)[key].(object)
			p["type"], p["minimum"] = "number", 0
			delete(p, "minLength")
			delete(p, "examples")
		}
	}

	fault := tableSchema("one fault", faultFields, 0)
	set(fault, "prior", numbers("relative weight among callers, by kind of system", faultSystems))
	set(fault, "shows", numbers("chance that it is there to be seen", append([]string{"otherwise"}, conditions...)))
	set(fault, "changes", object{"title": "what it does to quantities", "type": "object", "additionalProperties": object{"anyOf": []any{
		object{"enum": []string{"open", "short"}},
		object{"type": "object", "additionalProperties": object{"type": "number"}, "propertyNames": object{"enum": []string{"times", "shift", "spread"}}},
	}}})
	number(fault, "cleaning_cures")

	test := tableSchema("one test", faultTestFields, 0)
	set(test, "answers", words("the answers of a look"))
	set(test, "healthy", numbers("chance of each answer where nothing is wrong", nil))
	number(test, "none_below", "jumps_above", "edge_spread", "if_right", "by_chance", "intermittent")

	quantity := tableSchema("one quantity", faultQuantityFields, 0)
	for key, title := range map[string]string{"usual": "what a healthy one reads", "ballasted": "the same for a 6 V coil or one behind a ballast"} {
		set(quantity, key, object{"title": title, "type": "object", "propertyNames": object{"enum": faultSystems}, "additionalProperties": object{"type": "string", "minLength": 1}})
	}
	set(quantity, "of_volts", numbers("nominal volts of the battery that usual ones are of", faultSystems))
	set(quantity, "spreads", numbers("spread of healthy readings", faultSystems))
	set(quantity, "edges", object{"title": "edges of bands", "type": "array", "items": object{"type": "number"}})
	number(quantity, "strange")

	unit := tableSchema("what is renewed as one part", faultUnitFields, 0)
	opening := tableSchema("one opening", faultOpeningFields, 0)
	for _, system := range faultSystems {
		set(opening, system, tableSchema("the work for this system", openingWayFields, 0))
	}
	complaint := tableSchema("what callers say", faultComplaintFields, 0)
	set(complaint, "chances", numbers("chance of each complaint", nil))
	sign := tableSchema("a sign", faultSignFields, 0)
	set(sign, "chances", numbers("chance of each answer", nil))
	saying := tableSchema("what a caller says", faultSayingFields, 0)
	figures := tableSchema("figures that a tracer weighs by", tracingFields, 0)
	set(figures, "slips", numbers("shares of the sorts of slip", slipSorts))
	number(figures, "pairs", "slip", "slips_again", "sharpness", "spark_spread", "battery_spread", "scale_spread", "copper_spread", "leads_left", "calls_worth", "sights_worth")
	pair := tableSchema("two faults that come together", faultPairFields, 0)
	number(pair, "factor")
	shares := tableSchema("how common each thing is", sharesFields, 0)
	set(shares, "weights", numbers("how common each is", nil))
	look := tableSchema("a look at what is fitted", fittedFields, 0)
	set(look, "answers", words("the answers of the look"))
	set(look, "chances", object{"title": "by what is fitted", "type": "object", "additionalProperties": numbers("chance of each answer", nil)})

	properties := s["properties"].(object)
	for _, section := range []struct {
		key   string
		entry object
	}{{"fault", fault}, {"test", test}, {"quantity", quantity}, {"unit", unit}, {"opening", opening}, {"complaint", complaint}, {"says", saying}, {"tracing", figures}, {"together", pair}, {"fitted", look}, {"shares", shares}} {
		properties[section.key] = byID(section.entry)
	}
	properties["sign"] = byID(byID(sign))
	return s
}
