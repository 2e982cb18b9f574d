package timing

import (
	"errors"
	"strconv"

	"gapbook.example/ignition/meter"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// readingProblem reports a reading that package meter refused.
func readingProblem(w *table.Walker, n *gate.Node, err error) {
	var unit *units.ParseError
	var input *meter.InputError
	switch {
	case errors.As(err, &unit):
		w.UnitProblem(n, unit)
	case errors.As(err, &input):
		w.AtValue(n, "bad-reading", strconv.Quote(input.Input)+" "+input.Problem, input.Want)
	default:
		w.AtValue(n, "bad-value", err.Error(), "")
	}
}
