package specs

import (
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/table"
)

// Template returns a table of one kind to begin from: every key that the field
// table knows, in its order, with what it is for. Keys that must or usually do
// stand are filled with invented values; the rest waits behind "#". ok is false
// where there is no such kind; see [SchemaKinds].
//
// The template can be read as it stands, so that a person changes one thing at
// a time and sees at once what a change breaks.
func Template(kind string) (text []byte, ok bool) {
	if _, ok := folderOf[kind]; !ok {
		return nil, false
	}
	s := &skeleton{}
	s.line("#:schema ../schema/" + kind + ".json")
	s.line("# A new " + kind + ". Everything in it is invented: put what your page says in its")
	s.line("# place, take out what you do not know, and with it these comments.")
	folder, _ := Folder(kind)
	s.line("# Save it as specs/" + folder + "/ID.toml, under the name behind id; here that is")
	const name = "# its own name"
	s.line(name)
	s.line("")
	switch kind {
	case "engine":
		skeletonKeys(s, engineFields)
		s.head("identity")
		skeletonKeys(s, identityFields, "maker", "models", "class", "size", "cycle", "cylinders")
		s.note("A range is min and max; a figure without limits is nominal and stays", "without them. Delete the keys that do not apply.")
		s.head("points_gap.orchard-manual-1958")
		skeletonKeys(s, figureFields, "#min=0.018 in", "nominal=0.020 in", "#max=0.022 in", "-text", "also", "place=page 12", "as_printed", "condition=points fully open")
		s.note("A range. Every key of the table above may stand in the others too.")
		s.head("plug_gap.orchard-manual-1958")
		skeletonOnly(s, figureFields, "min=0.025 in", "max=0.030 in", "as_printed=.025 to .030 in.")
		s.note("Several figures of one quantity have a word between quantity and source.")
		s.head("timing.full-advance.orchard-manual-1958")
		skeletonOnly(s, figureFields, "nominal=23° BTDC", "as_printed=23 deg. before top dead centre", "condition=fully advanced")
		s.note("A tolerance is worked out into min and max; ohms have their temperature.")
		s.head("primary.orchard-manual-1958")
		skeletonOnly(s, figureFields, "min=2.88 Ω", "nominal=3.2 Ω", "max=3.52 Ω", "as_printed=3.2 ohms +/- 10%", "test_points=small terminal to small terminal", "temperature=68 °F")
		s.note("At least is min alone, at most is max alone.")
		s.head("spark_test_gap.orchard-manual-1958")
		skeletonOnly(s, figureFields, "min=5 mm", "as_printed=not less than 5 mm")
		s.note("A figure for one of several models.")
		s.head("bore.orchard-manual-1958")
		skeletonOnly(s, figureFields, "nominal=2-1/2 in", "as_printed=2 1/2\"", "models=[\"Pump 6\"]")
		s.note("A fact in words: the quantities at the end of the list below.")
		s.head("rotation.orchard-manual-1958")
		skeletonOnly(s, figureFields, "text=clockwise, seen from the flywheel", "as_printed=clockwise, seen from the flywheel")
		s.note("What no quantity fits, in words.")
		s.head("other.oil.orchard-manual-1958")
		skeletonOnly(s, figureFields, "text=two drops on the felt at each service", "as_printed=two drops on the felt at each service")
		s.note("A figure that stands on the page and cannot be used.")
		s.head("set_aside.plug_gap.orchard-manual-1958")
		skeletonKeys(s, setAsideFields, "as_printed")
		s.note("The quantities, in the order in which their tables stand:")
		for _, q := range quantities {
			s.line("#   " + string(q.Key) + strings.Repeat(" ", max(1, 26-len(q.Key))) + q.Title + ", such as " + q.Example)
		}
	case "source":
		skeletonKeys(s, sourceFields, "id=orchard-manual-1958", "title=Orchard Pump 6, instruction book", "edition", "publisher=Orchard, the engine's maker", "origin=orchard-manual", "#number=leaflet 14")
	case "bound":
		skeletonKeys(s, boundsFields, "id=orchard-bounds")
		s.head("bound.example")
		skeletonKeys(s, boundFields, "of=parts.example", "min", "max")
	case "exception":
		skeletonKeys(s, exceptionsFields, "id=orchard-exceptions")
		s.head("exception.example")
		skeletonKeys(s, exceptionFields)
	case "limit":
		skeletonKeys(s, limitsFields, "id=points-gap", "quantity=points_gap")
		s.head("plausible.common-practice")
		skeletonKeys(s, classFigureFields, "min=0.2 mm", "#nominal=0.5 mm", "max=1.0 mm", "-text", "place=what the trade does, no source", "basis=common-practice")
		s.head("tolerance.usual.common-practice")
		skeletonKeys(s, toleranceFields, "absolute=0.002 in", "basis=common-practice")
		s.head("band.usual.common-practice")
		skeletonOnly(s, classFigureFields, "nominal=0.020 in", "systems", "basis=common-practice")
		s.head("gross.common-practice")
		skeletonKeys(s, grossFields, "low", "high", "basis=common-practice")
		s.head("advice")
		skeletonKeys(s, adviceFields, "how", "low", "high", "open", "good")
	case "meter":
		skeletonKeys(s, meterFields, "id=meter-orchard")
		s.head("accuracy.resistance.common-practice")
		skeletonKeys(s, rangeFields, "percent", "basis=common-practice")
	case "caution":
		skeletonKeys(s, cautionFields, "id=orchard-caution", "quantities")
		s.head("source.common-practice")
		skeletonKeys(s, cautionSourceFields)
	case "part":
		skeletonKeys(s, partFields, "id=orchard-part", "label=a part of the book's own, invented", "#role=coil", "#kind=coil", "#word=ballasted", "#ask=a 12 volt coil for contact points", "#enough=any that reads 3 to 4.5 Ω", "#test=ohmmeter cold: 3 to 4.5 Ω")
		s.note("The figures a part may have:")
		for _, a := range partAttributes {
			s.line("#   " + a.Key + strings.Repeat(" ", max(1, 26-len(a.Key))) + a.Title)
		}
		s.head("resistance.common-practice")
		skeletonKeys(s, classValueFields, "#min=2.9 Ω", "nominal=3.2 Ω", "#max=3.5 Ω", "basis=common-practice")
	case "switch":
		skeletonKeys(s, switchFields, "id=orchard-switch", "terminals=[\"B\", \"I\", \"S\"]")
		s.note("Joined terminals have + between them; [] joins none.")
		s.head("positions")
		s.line("off = []")
		s.line("run = [\"B+I\"]")
		s.line("start = [\"B+I+S\"]")
		s.head("roles")
		skeletonKeys(s, switchRoleFields, "battery=B", "feed=I", "starter=S")
		s.head("source.common-practice")
		skeletonKeys(s, switchSourceFields, "basis=common-practice")
	case "wire":
		skeletonKeys(s, wireFields, "id=orchard-wires", "gauges=[\"18 AWG\", \"16 AWG\"]")
		s.head("column.t60")
		skeletonKeys(s, wireColumnFields, "insulation=60 °C", "amperes=[\"10 A\", \"15 A\"]", "source=common-practice", "basis=common-practice")
	case "conversion":
		skeletonKeys(s, conversionFields, "id=orchard-conversion", "source=common-practice")
		s.head("fact.room")
		skeletonKeys(s, conversionFactFields, "source=common-practice")
		s.head("step.fit")
		skeletonKeys(s, conversionStepFields, "gives=[\"proved\"]", "source=common-practice")
		s.head("outcome.gain")
		skeletonKeys(s, conversionOutcomeFields, "source=common-practice")
	case "finish":
		skeletonKeys(s, finishFields, "id=finish-orchard", "source=common-practice")
		s.head("end.battery")
		skeletonKeys(s, finishWordFields, "text=ring on the clamp bolt", "source=common-practice")
		s.head("route.battery-dash")
		skeletonKeys(s, finishRouteFields, "source=common-practice")
	case "fault":
		skeletonKeys(s, faultTableFields, "id=orchard-faults")
		s.note("Sections: [fault.ID], [test.ID], [quantity.ID], [sign.TEST.LABEL] and more;", "the tables in specs/faults show each.")
		s.head("says.stops-when-hot")
		skeletonKeys(s, faultSayingFields)
	}
	filled := s.text.String()
	_, id, _ := strings.Cut(filled, "\nid = \"")
	id, _, _ = strings.Cut(id, "\"")
	return []byte(strings.Replace(filled, name, "# specs/"+folder+"/"+id+".toml.", 1)), true
}

// A skeleton is a template that is being written.
type skeleton struct {
	text   strings.Builder
	indent bool
}

func (s *skeleton) line(text string) { s.text.WriteString(text + "\n") }

// words lists the words that the next key may be, some to a line.
func (s *skeleton) words(list []string) {
	line := "# one of:"
	for i, w := range list {
		if i < len(list)-1 {
			w += ","
		}
		if len(line)+1+len(w) > 78 {
			s.line(line)
			line = "#  "
		}
		line += " " + w
	}
	s.line(line)
}

// note prints comments in front of what follows.
func (s *skeleton) note(lines ...string) {
	s.line("")
	for _, l := range lines {
		s.line("# " + l)
	}
	s.indent = true
}

func (s *skeleton) head(name string) {
	if !s.indent {
		s.line("")
	}
	s.indent = false
	s.line("[" + name + "]")
}

// skeletonKeys writes the keys of one table. Those that are required or shown
// are filled in, with their example or with what stands behind "="; the rest
// are comments. "#key=value" gives a comment a value of its own, "-key" leaves a
// key out that has no place there.
func skeletonKeys[T any](s *skeleton, fields []table.Field[T], shown ...string) {
	skeletonFields(s, fields, true, shown)
}

// skeletonOnly writes the keys that are required or shown and no others, for
// tables that have a like one above them.
func skeletonOnly[T any](s *skeleton, fields []table.Field[T], shown ...string) {
	skeletonFields(s, fields, false, shown)
}

func skeletonFields[T any](s *skeleton, fields []table.Field[T], all bool, shown []string) {
	for _, f := range fields {
		value, show, leave := f.Example, f.Required, !all
		for _, k := range shown {
			key, own, has := strings.Cut(k, "=")
			switch {
			case key == f.Key:
				show = true
			case key == "-"+f.Key:
				leave = true
				continue
			case key != "#"+f.Key:
				continue
			}
			if has {
				value = own
			}
		}
		if leave && !show {
			continue
		}
		line := f.Key + " = " + tomlValue(f.Form, value)
		if !show {
			line = "# " + line
		}
		title := f.Title
		if len(f.Words) > 0 && !slices.Contains([]table.Form{table.FormTexts}, f.Form) {
			if words := strings.Join(f.Words, ", "); len(words) < 40 {
				title += ": " + words
			} else if all {
				s.words(f.Words)
			}
		}
		if width := len([]rune(line)); width < 44 {
			line += strings.Repeat(" ", 44-width)
		}
		s.line(line + " # " + title)
	}
}

// tomlValue writes an example of the field table as TOML.
func tomlValue(f table.Form, example string) string {
	switch {
	case f == table.FormInteger, f == table.FormBool:
		return example
	case strings.HasPrefix(example, "["), strings.HasPrefix(example, "{"):
		return example
	}
	return strconv.Quote(example)
}
