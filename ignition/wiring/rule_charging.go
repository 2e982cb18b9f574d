package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleChargingShort finds a charging set that cannot carry the ignition.
const RuleChargingShort = "charging-short"

func chargingShort(c *checker) {
	shareTable, ok1 := c.book.WireTable("charge-share")
	closedTable, ok2 := c.book.WireTable("closed-share")
	chargers := c.h.OfKind(Alternator, Generator)
	if !ok1 || !ok2 || c.live == "" || len(chargers) == 0 {
		return
	}
	rating, given := 0.0, true
	for _, name := range chargers {
		p, _ := c.h.Part(name)
		rating += p.Values[Rating].Nominal.SI()
		given = given && !p.Values[Rating].Assumed
	}
	draws := func(s State) float64 {
		sum := -c.amperes(c.battery, s)
		for _, name := range chargers {
			sum += math.Abs(c.amperes(name, s))
		}
		return sum
	}
	s := c.running()
	closed, open := draws(s), draws(c.opened(s))
	average := open + closedTable.Columns[0].Factor*(closed-open)
	if closed < open {
		average = closed + closedTable.Columns[0].Factor*(open-closed)
	}
	column := shareTable.Columns[0]
	limit := column.Factor * rating
	if average <= limit {
		return
	}
	severity := ignition.Doubt
	if average > rating && given {
		severity = ignition.Fault
	}
	text := "the charging set cannot carry what the running engine draws"
	if average <= rating {
		text = "the charging set carries what the running engine draws with too little to spare"
	}
	c.add(fault(text, append(chargers, c.battery)...).weighs(severity).
		figure("average draw", amps(average), "at most "+amps(limit)+", "+share(column.Factor)+" of "+amps(rating), c.citeBasis(column.Source, column.Place, column.Basis)).
		harm("the battery runs down while the engine runs, and the next start fails").
		cure("a bigger charging set, less load, or a battery that is charged elsewhere and known to last the job").shown(c.h, s))
}
