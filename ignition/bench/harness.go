package bench

import (
	"errors"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs/gate"
)

// checkHarness checks the circuit of a job that carries one, by the rules of
// package wiring, and adds what they find.
func (c *checker) checkHarness() {
	n := c.job.harness
	if n == nil {
		return
	}
	h, err := wiring.ReadNode(c.book, c.job.File, n)
	if err == nil {
		var report *wiring.Report
		if report, err = wiring.Check(c.book, h); err == nil {
			c.report.Harness, c.report.Circuit = h, report.Findings
			for _, f := range report.Findings {
				c.report.Findings = append(c.report.Findings, inWords(f))
			}
			return
		}
	}
	var problems gate.Problems
	if !errors.As(err, &problems) {
		problems = gate.Problems{{File: c.job.File, Line: n.Line, Col: n.Col, Key: "harness", Code: "bad-harness", Message: err.Error()}}
	}
	c.problems = append(c.problems, problems...)
}

// inWords puts what a circuit finding carries beside its sentence into it: the
// state that shows it, the way the current takes, and the harm.
func inWords(f wiring.Finding) ignition.Finding {
	out := f.Finding
	state, path := "", ""
	if f.State != "" {
		state = "shown by: " + f.State
	}
	if f.Path != "" {
		path = "current: " + f.Path
	}
	out.Text = sentences([]string{f.Text, f.Harm, state, path})
	return out
}
