package sheet

import (
	"regexp"
	"strings"

	"gapbook.example/units"
)

// otherUnits says in which second unit a shed may have its gauges, and to how many
// decimals a figure is worth telling there.
var otherUnits = map[string]struct {
	kind     units.Kind
	unit     string
	decimals int
}{
	"in": {units.KindLength, "mm", 2}, "thou": {units.KindLength, "mm", 2}, "mm": {units.KindLength, "in", 3},
	"lb-ft": {units.KindTorque, "N·m", 1}, "lb-in": {units.KindTorque, "N·m", 1}, "N·m": {units.KindTorque, "lb-ft", 1}, "kgf·m": {units.KindTorque, "N·m", 0},
	"psi": {units.KindPressure, "kPa", 0}, "kPa": {units.KindPressure, "psi", 0}, "bar": {units.KindPressure, "psi", 0}, "kgf/cm²": {units.KindPressure, "kPa", 0},
	"ozf": {units.KindForce, "N", 1}, "lbf": {units.KindForce, "N", 0}, "gf": {units.KindForce, "N", 1}, "kgf": {units.KindForce, "N", 0},
}

var figureWithUnit = regexp.MustCompile(`(\d+(?:\.\d+)?|\d+-\d+/\d+|\d+/\d+)(?: to (\d+(?:\.\d+)?|\d+-\d+/\d+|\d+/\d+))? (in|thou|mm|lb-ft|lb-in|N·m|kgf·m|psi|kPa|bar|kgf/cm²|ozf|lbf|gf|kgf)([ ,;.)]|$)`)

// spread is the uncertainty that may follow a figure.
var spread = regexp.MustCompile(`^ ± (\d+(?:\.\d+)?) (\S+?)([ ,;.)]|$)`)

var bracketed = regexp.MustCompile(`^ \(\d`)

// inPassing puts behind each figure of a sentence, in brackets, what it is in
// the other unit: "9 thou above the maximum" becomes "9 thou (0.23 mm) above
// the maximum". A figure that has its other unit beside it stays as it is.
func inPassing(text string) string {
	var b strings.Builder
	for {
		at := figureWithUnit.FindStringSubmatchIndex(text)
		if at == nil {
			b.WriteString(text)
			return b.String()
		}
		unit, end := text[at[6]:at[7]], at[7]
		o := otherUnits[unit]
		told := func(from, to int) string {
			q, err := units.Parse(o.kind, text[from:to]+" "+unit)
			if err != nil {
				return ""
			}
			return strings.TrimSuffix(q.Text(o.unit, o.decimals), " "+o.unit)
		}
		other := told(at[2], at[3])
		if at[4] >= 0 {
			other += " to " + told(at[4], at[5])
		}
		if u := spread.FindStringSubmatchIndex(text[end:]); u != nil && text[end+u[4]:end+u[5]] == unit {
			other += " ± " + told(end+u[2], end+u[3])
			end += u[5]
		}
		b.WriteString(text[:end])
		// A figure in brackets behind this one, or around it, is the other.
		beside := bracketed.MatchString(text[end:]) || strings.HasPrefix(text[end:], " = ") || strings.HasSuffix(text[:at[0]], "(") && strings.HasPrefix(text[end:], ")")
		if !beside {
			b.WriteString(" (" + other + " " + o.unit + ")")
		}
		text = text[end:]
	}
}

// bothUnits adds to a figure what it is in the other units that a shed may
// have: "0.018 to 0.022 in" becomes "0.018 to 0.022 in = 0.46 to 0.56 mm". A
// text without such a figure, or with both already, stays as it is.
func bothUnits(text string) string {
	found := figureWithUnit.FindAllStringSubmatchIndex(text, -1)
	if len(found) == 0 {
		return text
	}
	var b strings.Builder
	last := 0
	for _, at := range found {
		unit := text[at[6]:at[7]]
		o := otherUnits[unit]
		if strings.Contains(text, " "+o.unit) {
			return text
		}
		b.WriteString(text[last:at[0]])
		for i, part := range []int{2, 4} {
			if at[part] < 0 {
				continue
			}
			q, err := units.Parse(o.kind, text[at[part]:at[part+1]]+" "+unit)
			if err != nil {
				return text
			}
			if i == 1 {
				b.WriteString(" to ")
			}
			b.WriteString(strings.TrimSuffix(q.Text(o.unit, o.decimals), " "+o.unit))
		}
		b.WriteString(" " + o.unit)
		last = at[7]
	}
	b.WriteString(text[last:])
	return text + " = " + b.String()
}
