package convert_test

import (
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/specs"
)

// TestEveryConversion makes the plan of every conversion for eight invented
// machines: each harness passes every circuit rule in every state, and each plan
// holds together.
func TestEveryConversion(t *testing.T) {
	for id, list := range plans(specs.Builtin()) {
		if len(list) < 8 {
			t.Errorf("%s: only %d machines", id, len(list))
		}
		for i, p := range list {
			for _, r := range p.Reasons {
				if r.Makes == convert.NotPossible || r.Code == "before-fails" || r.Code == "contradiction" {
					t.Errorf("%s %d: %s: %s: %s (%s)", id, i, r.Makes, r.Code, r.Text, r.Figure)
				}
			}
			if p.After == nil || p.AfterReport == nil || p.Before == nil {
				t.Errorf("%s %d: no harness", id, i)
				continue
			}
			for _, f := range p.AfterReport.Findings {
				if f.Severity == ignition.Fault {
					t.Errorf("%s %d: %s", id, i, f)
				}
			}
			for _, problem := range convert.CheckPlan(p) {
				t.Errorf("%s %d: %s", id, i, problem)
			}
			if len(p.Proof()) < 4 || len(p.Steps) < 15 || len(p.Changes) < 3 {
				t.Errorf("%s %d: %d steps, %d of proof, %d changes", id, i, len(p.Steps), len(p.Proof()), len(p.Changes))
			}
		}
	}
}
