package specs

import (
	"fmt"
)

// ruleConditions holds the speed and the temperature of a figure to what an
// engine and a coil can have.
//
// A figure with a wrong speed or temperature is a wrong figure. Speeds lie
// between the least plausible cranking speed and the greatest plausible
// overspeed; temperatures are those of the class figure of coils, label stated.
// All are data in limits and parts.
//
// Refused: temperature = "200 °C"; rpm = "36000 rpm".
var ruleConditions = lintRule{code: "conditions", claim: func(l *linter, c claim) {
	if c.class || c.Status == Doubtful {
		return
	}
	if !c.RPM.IsZero() {
		least, most := Value{}, Value{}
		for _, end := range []struct {
			key  Key
			from func(Band) Value
			to   *Value
		}{{"cranking", func(b Band) Value { return b.Min }, &least}, {"overspeed", func(b Band) Value { return b.Max }, &most}} {
			if limits, ok := l.book.Limits(end.key); ok && len(limits.Plausible) > 0 {
				*end.to = end.from(limits.Plausible[0].Band)
			}
		}
		at := c.RPM.Quantity()
		if !least.IsZero() && at.Cmp(least.Quantity) < 0 || !most.IsZero() && at.Cmp(most.Quantity) > 0 {
			l.claim(c, "rpm", fmt.Sprintf("no engine of the book turns at %s: plausible is %s to %s", c.RPM, least.Text, most.Text), "look at the page again")
		}
	}
	if class, ok := l.book.PartClass("coil"); ok && c.HasTemperature {
		for _, v := range class.Values {
			if v.Attribute != "temperature" || v.Label != "stated" {
				continue
			}
			if k := c.Temperature.Kelvins(); !v.Band.holds(k) {
				l.claim(c, "temperature", fmt.Sprintf("no figure is read at %s: plausible is %s to %s", c.Temperature, v.Band.Min.Text, v.Band.Max.Text), "look at the page again")
			}
		}
	}
}}
