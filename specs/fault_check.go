package specs

import (
	"fmt"
	"path"
	"slices"
	"strconv"

	"gapbook.example/specs/gate"
)

type faultSource struct {
	source, key string
	at          Position
}

// sources lists every source that the table names.
func (t *FaultTable) sources() []faultSource {
	var list []faultSource
	add := func(source, key string, at Position) {
		if source != "" {
			list = append(list, faultSource{source, key, at})
		}
	}
	for _, f := range t.Faults {
		add(f.Source, "fault."+f.ID+".source", f.At)
	}
	for _, x := range t.Tests {
		add(x.Source, "test."+x.ID+".source", x.At)
	}
	for _, q := range t.Quantities {
		add(q.Source, "quantity."+q.ID+".source", q.At)
	}
	for _, s := range t.Signs {
		add(s.Source, "sign."+s.Test+"."+s.Label+".source", s.At)
	}
	return list
}

// checkFaults reports names in the fault tables that lead nowhere, and ids that
// stand twice. It looks only where this folder brought fault tables, and only
// at tables that could be read.
func (b *Book) checkFaults() gate.Problems {
	brought := false
	for file := range b.files {
		brought = brought || path.Dir(file) == "faults"
	}
	if !brought {
		return nil
	}
	all := b.Faults()
	var problems gate.Problems
	report := func(at Position, key, code, message string) {
		problems = append(problems, gate.Problem{File: at.File, Line: at.Line, Col: at.Col, Key: key, Code: code, Message: message})
	}
	known := func(what string, ids []string) func(at Position, key, id string) {
		slices.Sort(ids)
		return func(at Position, key, id string) {
			if _, ok := slices.BinarySearch(ids, id); ok {
				return
			}
			p := gate.Problem{File: at.File, Line: at.Line, Col: at.Col, Key: key, Code: "unknown-" + what, Message: fmt.Sprintf("there is no %s %q", what, id)}
			if near, ok := gate.Nearest(id, ids); ok {
				p.Hint = "did you mean " + strconv.Quote(near) + "?"
			}
			problems = append(problems, p)
		}
	}
	seen := map[string]bool{}
	once := func(section, id string, at Position) {
		key := section + "." + id
		if seen[key] {
			report(at, key, "id-twice", "this id stands in two tables")
		}
		seen[key] = true
	}
	ids := func(n int, at func(int) string) []string {
		list := make([]string, n)
		for i := range list {
			list[i] = at(i)
		}
		return list
	}
	fault := known("fault", ids(len(all.Faults), func(i int) string { return all.Faults[i].ID }))
	test := known("test", ids(len(all.Tests), func(i int) string { return all.Tests[i].ID }))
	quantity := known("quantity", ids(len(all.Quantities), func(i int) string { return all.Quantities[i].ID }))
	opening := known("opening", ids(len(all.Openings), func(i int) string { return all.Openings[i].ID }))
	manner := known("complaint", ids(len(all.Complaints), func(i int) string { return all.Complaints[i].Manner }))
	caution := known("caution", ids(len(b.cautions), func(i int) string { return b.cautions[i].id }))

	for i := range all.Faults {
		f := &all.Faults[i]
		once("fault", f.ID, f.At)
		manner(f.At, "fault."+f.ID+".manner", f.Manner)
		for _, c := range f.Changes {
			quantity(f.At, "fault."+f.ID+".changes", c.Quantity)
		}
		for _, c := range f.Cautions {
			caution(f.At, "fault."+f.ID+".cautions", c)
		}
	}
	for i := range all.Tests {
		t := &all.Tests[i]
		once("test", t.ID, t.At)
		if t.Reads != "" {
			quantity(t.At, "test."+t.ID+".reads", t.Reads)
		}
		for _, o := range t.Openings {
			opening(t.At, "test."+t.ID+".openings", o)
		}
		for _, s := range t.Stale {
			test(t.At, "test."+t.ID+".stale", s)
		}
		for _, c := range t.Cautions {
			caution(t.At, "test."+t.ID+".cautions", c)
		}
	}
	for _, q := range all.Quantities {
		once("quantity", q.ID, q.At)
	}
	for _, u := range all.Units {
		once("unit", u.ID, u.At)
		for _, f := range u.Faults {
			fault(u.At, "unit."+u.ID+".faults", f)
		}
		for _, x := range slices.Concat(u.Tests, u.Instead) {
			test(u.At, "unit."+u.ID+".tests", x)
		}
	}
	for _, o := range all.Openings {
		once("opening", o.ID, o.At)
	}
	saying := known("saying", ids(len(all.Sayings), func(i int) string { return all.Sayings[i].ID }))
	for _, c := range all.Complaints {
		once("complaint", c.Manner, c.At)
		for _, x := range c.Chances {
			saying(c.At, "complaint."+c.Manner+".chances", x.Name)
		}
	}
	for _, s := range all.Sayings {
		once("says", s.ID, s.At)
		if s.Prove != "" {
			test(s.At, "says."+s.ID+".prove", s.Prove)
		}
	}
	for _, f := range all.Figures {
		once("tracing", f.ID, f.At)
	}
	taken := map[string]bool{}
	for _, s := range all.Signs {
		key := "sign." + s.Test + "." + s.Label
		test(s.At, key, s.Test)
		var answers []FaultAnswer
		for _, t := range all.Tests {
			if t.ID == s.Test {
				answers = t.Answers
			}
		}
		for _, c := range s.Chances {
			if len(answers) > 0 && !slices.ContainsFunc(answers, func(a FaultAnswer) bool { return a.Word == c.Name }) {
				report(s.At, key, "unknown-answer", strconv.Quote(c.Name)+" is not an answer of the test")
			}
		}
		for _, f := range s.Faults {
			fault(s.At, key+".faults", f)
			if pair := s.Test + " " + f; taken[pair] {
				report(s.At, key+".faults", "id-twice", "two signs of this test name "+strconv.Quote(f))
			} else {
				taken[pair] = true
			}
		}
	}
	for _, p := range all.Together {
		once("together", p.ID, p.At)
		for _, f := range p.Faults {
			fault(p.At, "together."+p.ID+".faults", f)
		}
	}
	for _, l := range all.Fitted {
		once("fitted", l.ID, l.At)
	}
	return problems
}
