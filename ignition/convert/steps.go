package convert

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// A StepProblem says what is wrong with the order of steps.
type StepProblem struct {
	// Step is the step that cannot be done where it stands; empty for the end.
	Step string
	// Code is "needs", "ends", "left-off", "left-on", "twice", "undone",
	// "not-handled" or "no-caution".
	Code string
	// Missing is the state, part, wire or hazard that it is about.
	Missing string
	// Text says it in words.
	Text string
}

// String returns the step and the problem.
func (p StepProblem) String() string {
	if p.Step == "" {
		return p.Text
	}
	return p.Step + ": " + p.Text
}

// CheckSteps walks through the steps of a plan as somebody at the machine
// would, and reports every step whose needs do not hold when its turn comes,
// parts and wires that are taken off or put on at the wrong time, twice or
// never, hazards without a caution, and states that do not hold at the end. It
// knows nothing of the recipe and makes no order of its own.
func CheckSteps(p *Plan) []StepProblem {
	var out []StepProblem
	say := func(step, code, missing, format string, args ...any) {
		out = append(out, StepProblem{step, code, missing, fmt.Sprintf(format, args...)})
	}
	state := map[string]bool{}
	for _, s := range p.Given {
		state[s] = true
	}
	off, on := map[string]string{}, map[string]string{}
	leaves := p.goes()
	for _, s := range p.Steps {
		for _, need := range s.Needs {
			if !state[need] {
				say(s.ID, "needs", need, "needs %q, which does not hold here", need)
			}
		}
		for _, end := range s.Ends {
			if !state[end] {
				say(s.ID, "ends", end, "ends %q, which does not hold here", end)
			}
			delete(state, end)
		}
		for _, g := range s.Gives {
			state[g] = true
		}
		for _, name := range s.Removes {
			if by, ok := off[name]; ok {
				say(s.ID, "twice", name, "takes %s off, which %s has done", name, by)
			}
			off[name] = s.ID
		}
		for _, name := range s.Fits {
			if by, ok := on[name]; ok {
				say(s.ID, "twice", name, "fits %s, which %s has done", name, by)
			}
			if slices.Contains(leaves, name) && off[name] == "" {
				say(s.ID, "left-on", name, "fits %s before the old one is off", name)
			}
			on[name] = s.ID
		}
		covered := map[string]bool{}
		for _, c := range s.Cautions {
			for _, h := range c.Hazards {
				covered[h] = true
			}
		}
		for _, h := range s.Hazards {
			if !covered[h] {
				say(s.ID, "no-caution", h, "carries the hazard %q without its caution", h)
			}
		}
	}
	for _, d := range p.Done {
		if !state[d] {
			say("", "undone", d, "at the end %q does not hold", d)
		}
	}
	for _, name := range leaves {
		if off[name] == "" {
			say("", "not-handled", name, "no step takes %s off", name)
		}
	}
	for _, name := range p.comes() {
		if on[name] == "" {
			say("", "not-handled", name, "no step fits %s", name)
		}
	}
	return out
}

// goes lists parts and wires that must be taken off, comes those to be fitted;
// what is changed is in both.
func (p *Plan) goes() []string {
	var out []string
	for _, e := range slices.Concat(p.Goes, p.Changed) {
		out = append(out, e.Name)
	}
	for _, c := range p.Wires {
		if c.Action == CutOff || c.Action == CutMoved || c.Out != "" {
			out = append(out, c.Name)
		}
	}
	return out
}

func (p *Plan) comes() []string {
	var out []string
	for _, e := range slices.Concat(p.Comes, p.Changed) {
		out = append(out, e.Name)
	}
	for _, c := range p.Wires {
		if c.Action == CutNew || c.Action == CutMoved {
			out = append(out, c.Name)
		}
	}
	return out
}

// An OrderError says that steps wait for one another in a ring.
type OrderError struct{ Rings [][]string }

// Error names the steps of each ring.
func (e *OrderError) Error() string {
	var rings []string
	for _, r := range e.Rings {
		rings = append(rings, strings.Join(r, ", "))
	}
	return "steps wait for one another: " + strings.Join(rings, "; ")
}

// arrange puts steps into an order: what gives a state before what needs it,
// and that before what ends it. Where the order is free it stays at one place
// as long as there is something to do there, and else follows the recipe. The
// error is an [*OrderError].
func arrange(steps []Step) ([]Step, error) {
	g := simple.NewDirectedGraph()
	for i := range steps {
		g.AddNode(simple.Node(i))
	}
	edge := func(a, b int) {
		if a != b {
			g.SetEdge(g.NewEdge(simple.Node(a), simple.Node(b)))
		}
	}
	givers, needers, enders := map[string][]int{}, map[string][]int{}, map[string][]int{}
	removers := map[string][]int{}
	for i, s := range steps {
		for _, x := range s.Gives {
			givers[x] = append(givers[x], i)
		}
		for _, x := range s.Needs {
			needers[x] = append(needers[x], i)
		}
		for _, x := range s.Ends {
			enders[x] = append(enders[x], i)
		}
		for _, x := range s.Removes {
			removers[x] = append(removers[x], i)
		}
	}
	for i, s := range steps {
		for _, x := range slices.Concat(s.Needs, s.Ends) {
			for _, from := range givers[x] {
				edge(from, i)
			}
		}
		for _, x := range s.Ends {
			for _, n := range needers[x] {
				edge(n, i)
			}
		}
		for _, x := range s.Fits {
			for _, r := range removers[x] {
				edge(r, i)
			}
		}
	}
	if _, err := topo.Sort(g); err != nil {
		out := &OrderError{}
		if rings, ok := err.(topo.Unorderable); ok {
			for _, r := range rings {
				var names []string
				for _, n := range r {
					names = append(names, steps[n.ID()].ID)
				}
				slices.Sort(names)
				out.Rings = append(out.Rings, names)
			}
		}
		return nil, out
	}
	waits := make([]int, len(steps))
	for i := range steps {
		waits[i] = g.To(int64(i)).Len()
	}
	done := make([]bool, len(steps))
	var out []Step
	here := ""
	for len(out) < len(steps) {
		next := -1
		for i, s := range steps {
			if done[i] || waits[i] > 0 {
				continue
			}
			if s.Where == here {
				next = i
				break
			}
			if next < 0 {
				next = i
			}
		}
		done[next] = true
		here = steps[next].Where
		out = append(out, steps[next])
		for to := g.From(int64(next)); to.Next(); {
			waits[to.Node().ID()]--
		}
	}
	return out, nil
}
