package specs

import (
	"fmt"
	"regexp"
	"strings"

	"gapbook.example/units"
)

// saidSlack is how far words may round a figure: "about 1.6 Ω".
const saidSlack = 1.05

// ruleSaid holds what a part's words say to what its figures say.
//
// A counter hand reads the words out and the plan is worked out from the
// figures: "any coil that reads 3 to 4.5 Ω" beside nominal = "37.5 Ω" sells one
// coil and calculates another. Every number with a unit in label, ask, enough
// and test meets a figure of its kind of the same table, where there is one;
// "under" and "near" name no figure.
//
// Refused: label = "6 V points coil" and volts nominal = "60 V".
var ruleSaid = lintRule{code: "said", table: func(l *linter, t *linted) {
	c, ok := t.value.(*PartClass)
	if !ok {
		return
	}
	for _, w := range []struct{ key, text string }{{"label", c.Label}, {"ask", c.Ask}, {"enough", c.Enough}, {"test", c.Test}} {
		for _, m := range saidNumber.FindAllStringSubmatchIndex(w.text, -1) {
			part := func(i int) string {
				if m[2*i] < 0 {
					return ""
				}
				return w.text[m[2*i]:m[2*i+1]]
			}
			before := strings.TrimRight(w.text[:m[0]], " ")
			if strings.HasSuffix(before, "under") || strings.HasSuffix(before, "near") || strings.HasSuffix(before, "over") {
				continue
			}
			unit := part(3)
			if symbol, ok := saidUnits[unit]; ok {
				unit = symbol
			}
			low, high := part(1)+" "+unit, part(2)+" "+unit
			if part(2) == "" {
				high = low
			}
			if kind, ok := c.contradicts(low, high); ok {
				l.problems = append(l.problems, t.doc.Root.Child(w.key).ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q meets no figure of this table, which has others of that kind (%s)", w.text[m[0]:m[1]], kind), "words and figures must say the same; look at both"))
			}
		}
	}
}}

var (
	saidNumber = regexp.MustCompile(`(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (V|volt|volts|kΩ|Ω|ohm|ohms|µF|microfarad|mm|millimetre)\b?`)
	// saidUnits are units as words spell them.
	saidUnits = map[string]string{"volt": "V", "volts": "V", "ohm": "Ω", "ohms": "Ω", "microfarad": "µF", "millimetre": "mm"}
)

// contradicts reports whether no figure of the values' kind meets what runs
// from one to the other, though there are some.
func (c *PartClass) contradicts(from, to string) (kind units.Kind, wrong bool) {
	for _, x := range c.Values {
		for _, v := range x.Band.values() {
			k := v.Quantity.Kind()
			least, err := units.ParseStrict(k, from)
			most, err2 := units.ParseStrict(k, to)
			if err != nil || err2 != nil {
				continue
			}
			low, high := v.Quantity.SI(), v.Quantity.SI()
			if !x.Band.Min.IsZero() {
				low = x.Band.Min.Quantity.SI()
			}
			if !x.Band.Max.IsZero() {
				high = x.Band.Max.Quantity.SI()
			}
			if !x.Band.HasLimits() {
				low, high = low*(1-x.Spread), high*(1+x.Spread)
			}
			if most.SI() >= low/saidSlack && least.SI() <= high*saidSlack {
				return 0, false
			}
			kind, wrong = k, true
		}
	}
	return kind, wrong
}
