// Package convert chooses parts that suit an engine and each other, and plans
// the conversion of an ignition so that the engine starts, runs and stops.
//
//	job, err := convert.ReadJob("pump.toml", src)
//	plan, err := convert.NewPlan(specs.Builtin(), job)
//
// What conversions there are, what must be verified before one is begun, and
// the steps of its work are recipes in the book (specs/conversions): data, with
// sources. This package assembles a plan from a recipe and the facts of one
// machine: it lays out the harness before and after with package wiring, runs
// both through all circuit rules in all states, chooses parts with [Choose],
// makes the list of wires to cut, puts the steps in an order that their needs
// allow, and says what each reading should be. A plan whose harness fails a
// rule is refused, with the finding. [CheckPlan] looks through a finished plan
// without making it again.
//
// That a machine lacks what a conversion needs is an answer and no error: the
// plan says so, with the reason and the figure.
package convert
