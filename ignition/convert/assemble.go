package convert

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/specs"
)

// steps picks the recipe's steps for this machine, fills in its figures, and
// puts them in order.
func (p *planner) steps() {
	pl := p.plan
	var active []specs.ConversionStep
	gives := map[string]bool{}
	for _, g := range p.recipe.Given {
		gives[g] = true
	}
	for _, s := range p.recipe.Steps {
		if p.does(s) {
			active = append(active, s)
			for _, g := range s.Gives {
				gives[g] = true
			}
		}
	}
	// A state that only steps give which this machine does not need is no need.
	held := func(states []string) []string {
		return slices.DeleteFunc(slices.Clone(states), func(x string) bool { return !gives[x] })
	}
	blank := p.blanks()
	off, on := pl.goes(), pl.comes()
	claimed := map[string]map[string]bool{"off": {}, "on": {}}
	pick := func(names, patterns []string, claim string) []string {
		var out []string
		for _, n := range names {
			if !claimed[claim][n] && slices.ContainsFunc(patterns, func(x string) bool { return match(x, n) }) {
				claimed[claim][n] = true
				out = append(out, n)
			}
		}
		return out
	}
	var list []Step
	for _, s := range active {
		step := Step{
			ID: s.ID, Where: s.Where, Power: s.Power, Do: fill(s.Do, blank), Tool: fill(s.Tool, blank), Why: fill(s.Why, blank), Proof: fill(s.Proof, blank),
			If: p.open1(s.When), Time: s.Time, Needs: held(s.Needs), Gives: s.Gives, Ends: held(s.Ends),
			Removes: pick(off, s.Removes, "off"), Fits: pick(on, s.Fits, "on"), Hazards: s.Hazards, Final: s.Final, Source: p.cite(s.Source, s.Place),
		}
		for _, id := range s.Cautions {
			if c, ok := p.book.Caution(id); ok && p.all(c.When) {
				step.Cautions = append(step.Cautions, Warning{c.ID, c.Text, c.Hazards})
			}
		}
		for _, r := range s.Reads {
			if x, ok := p.expected(r); ok {
				step.Reads = append(step.Reads, x)
			}
		}
		list = append(list, step)
	}
	pl.Done = held(pl.Done)
	ordered, err := arrange(list)
	if err != nil {
		p.reason(Reason{Code: "steps", Makes: NotPossible, Text: "the recipe's steps have no order: " + err.Error(), Cure: "mend the recipe " + p.recipe.ID})
		return
	}
	pl.Steps = ordered
	for _, problem := range CheckSteps(pl) {
		p.reason(Reason{Code: "steps", Makes: NotPossible, Text: "the recipe's steps do not do this machine's work: " + problem.String(), Cure: "mend the recipe " + p.recipe.ID})
	}
}

// does reports whether a step of the recipe is done on this machine. Two words
// are about what the step itself fits: "cut" where a wire of it is new or moves
// an end, "changes" where a part or wire of it comes or is changed.
func (p *planner) does(s specs.ConversionStep) bool {
	own := func(name string) bool {
		return slices.ContainsFunc(s.Fits, func(x string) bool { return match(x, name) })
	}
	for _, w := range s.When {
		is := false
		switch strings.TrimPrefix(w, "not ") {
		case "cut":
			is = slices.ContainsFunc(p.plan.Wires, func(c Cut) bool { return !c.Own && (c.Action == CutNew || c.Action == CutMoved) && own(c.Name) })
		case "changes":
			is = slices.ContainsFunc(p.plan.comes(), own)
		default:
			is = p.holds(strings.TrimPrefix(w, "not "))
		}
		if is == strings.HasPrefix(w, "not ") {
			return false
		}
	}
	return true
}

// startLocks names the safety switches that open the starter's feed.
func (p *planner) startLocks() []string {
	return slices.DeleteFunc(slices.Clone(p.job.Machine.Interlocks), func(x string) bool { return x == "seat" })
}

// match reports whether a pattern of a recipe names a part or wire.
func match(pattern, name string) bool {
	if stem, ok := strings.CutSuffix(pattern, "*"); ok {
		return strings.HasPrefix(name, stem)
	}
	return pattern == name
}

// open1 says on which unknown fact a step depends.
func (p *planner) open1(when []string) string {
	for _, w := range when {
		plain := strings.TrimPrefix(w, "not ")
		if f := p.recipe.Fact(plain); f != nil && p.answer(plain) == AnswerUnknown {
			return "only if the answer is no: " + f.Question
		}
	}
	return ""
}

func fill(text string, blank map[string]string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "{")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		name, after, _ := strings.Cut(rest, "}")
		b.WriteString(blank[name])
		text = after
	}
}

// CheckPlan looks through a finished plan: its steps, as [CheckSteps] does,
// and whether the cut list and the harness are the same wires. It makes
// nothing again.
func CheckPlan(p *Plan) []StepProblem {
	out := CheckSteps(p)
	if p.After == nil {
		return out
	}
	cuts := map[string]Cut{}
	for _, c := range p.Wires {
		if c.Action != CutOff {
			cuts[c.Name] = c
		}
	}
	for _, w := range p.After.Wires() {
		if w.IsJoint() {
			continue
		}
		c, ok := cuts[w.Name]
		switch {
		case !ok:
			out = append(out, StepProblem{Code: "not-cut", Missing: w.Name, Text: fmt.Sprintf("the cut list lacks the wire %s", w.Name)})
		case c.From != w.From || c.To != w.To || c.Gauge != w.Gauge || c.Length != w.Length:
			out = append(out, StepProblem{Code: "not-cut", Missing: w.Name, Text: fmt.Sprintf("the cut list has another wire %s than the harness", w.Name)})
		}
		delete(cuts, w.Name)
	}
	for _, name := range sortedKeys(cuts) {
		out = append(out, StepProblem{Code: "not-cut", Missing: name, Text: fmt.Sprintf("the harness lacks the wire %s of the cut list", name)})
	}
	return out
}
