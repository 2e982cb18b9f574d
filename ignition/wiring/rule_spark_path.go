package wiring

import (
	"strings"

	"gapbook.example/ignition"
)

// RuleSparkPath finds too much resistance in lead, cap and plug together, and
// notes none at all where electronics stand near.
const RuleSparkPath = "spark-path"

func sparkPath(c *checker) {
	fig, limits, ok := c.limit("spark_path", "usual")
	if !ok {
		return
	}
	for _, tower := range c.towers() {
		island := c.h.reach(c.h.nodeAt[tower], nil, []Kind{Lead, Cap, Connector})
		low, nominal, high := 0.0, 0.0, 0.0
		var names []string
		for _, p := range c.h.parts {
			t := map[Kind]string{Lead: "a", Cap: "lead", Plug: "terminal"}[p.Kind]
			if t == "" || !island[c.h.nodeAt[p.Name+"."+t]] {
				continue
			}
			v, ok := p.Values[Resistance]
			if p.Kind == Lead && hasLength(p.Values) && !ok {
				per, long := p.Values[PerLength], p.Values[Length]
				low, nominal, high = low+per.Min.SI()*long.Min.SI(), nominal+per.Nominal.SI()*long.Nominal.SI(), high+per.Max.SI()*long.Max.SI()
				names = append(names, p.Name)
			} else if ok {
				low, nominal, high = low+v.Min.SI(), nominal+v.Nominal.SI(), high+v.Max.SI()
				names = append(names, p.Name)
			}
		}
		if severity, bad := weigh(nominal, low, high, fig.Band.Max, false, fig, limits); bad {
			c.add(fault("lead, cap and plug together have too much resistance", append(names, partOf(tower))...).weighs(severity).
				figure("spark path", ohm(nominal), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
				harm("the spark loses its energy on the way: misfiring when hot or under load").
				cure("keep one suppressor: a resistor cap or a resistor plug on a solid lead").
				path(tower + " > " + strings.Join(names, " > ")))
			continue
		}
		if electronic := c.h.OfKind(Module, CDUnit, CDBox, FlywheelModule); len(electronic) > 0 && nominal == 0 && len(names) > 0 {
			c.add(fault("lead, cap and plug have no resistance at all, and "+electronic[0]+" stands near", names...).weighs(ignition.Note).
				figure("spark path", ohm(0), "", "").
				harm("such a spark is loud on the radio and may upset electronics; local law may ask for suppression").
				cure("a resistor plug or cap quietens it, unless the engine's own book forbids one"))
		}
	}
}
