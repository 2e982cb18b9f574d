// Command timing prints the setting card of one engine: its timing in every
// form that a shed can measure.
package main

import (
	_ "embed"
	"fmt"
	"os"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/timing"
	"gapbook.example/specs/gate"
)

const usage = `timing: one engine's timing in degrees, millimetres, marks and gaps.

  timing               an invented engine, to see what it looks like
  timing CASE.toml     a case file; - reads standard input
  timing -engine ID    an engine of the book (lookup finds its id), with
                       what you measured yourself:
  -stroke TEXT         stroke, such as "60 mm"
  -rod TEXT            connecting rod, centre to centre
  -offset TEXT         how far the cylinder stands beside the crank
  -slant TEXT          angle between plug hole and bore, such as "30°"
  -wheel TEXT          diameter of the flywheel's rim
  -around TEXT         its circumference instead

  -json        the answer as JSON
  -specs DIR   your own tables, laid over the book

For example, with an id that lookup gave you:

  go run ./examples/timing -engine ID -stroke "62 mm" -wheel "7 1/8 in"

Ends with 0 where no fault was found, 1 with a fault, 2 on bad input.
Case files: see orchard-pump.toml beside this program; the keys are those of
"go doc ./ignition/timing ReadCase".
`

//go:embed orchard-pump.toml
var orchardPump []byte

func main() { os.Exit(run(shell.New(usage))) }

func run(p *shell.Program) int {
	engine := p.Flags.String("engine", "", "")
	var measured [len(measuredKeys)]*string
	for i, key := range measuredKeys {
		measured[i] = p.Flags.String(key, "", "")
	}
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	args := p.Flags.Args()
	var c *timing.Case
	switch {
	case *engine != "":
		if len(args) > 0 {
			return p.Fail(fmt.Errorf("a case file and -engine do not go together; in the file write engine = %q", *engine))
		}
		c, err = fromFlags(*engine, measured)
	case anySet(measured):
		return p.Fail(fmt.Errorf("-stroke, -rod, -offset, -slant, -wheel and -around go with -engine; in a case file write them under [engine]"))
	case len(args) == 0:
		c, err = timing.ReadCase("examples/timing/orchard-pump.toml", orchardPump)
	case len(args) == 1:
		var src []byte
		if src, err = p.Input(args[0]); err == nil {
			c, err = timing.ReadCase(args[0], src)
		}
	default:
		return p.Fail(fmt.Errorf("one case at a time, and %d were named", len(args)))
	}
	if err != nil {
		return p.Fail(err)
	}
	card, err := timing.NewCard(book, c)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(sheet.CardJSON(card))
	} else {
		fmt.Fprint(p.Stdout, sheet.CardDocument(card).Text(p.Style()))
	}
	if card.Verdict == ignition.Unfit {
		return shell.Fault
	}
	return shell.Good
}

// measuredKeys are flags and keys of [measured] alike.
var measuredKeys = [...]string{"stroke", "rod", "offset", "slant", "wheel", "around"}

func anySet(values [len(measuredKeys)]*string) bool {
	for _, v := range values {
		if *v != "" {
			return true
		}
	}
	return false
}

// fromFlags makes the case that the flags stand for, through the same reader.
func fromFlags(engine string, values [len(measuredKeys)]*string) (*timing.Case, error) {
	c := &timing.Case{}
	var problems gate.Problems
	for i, v := range values {
		if *v == "" {
			continue
		}
		one, err := timing.Measure(measuredKeys[i], *v)
		if err != nil {
			problems = append(problems, gate.Problem{File: "-" + measuredKeys[i], Code: "bad-value", Message: err.Error()})
			continue
		}
		one(c)
	}
	if err := problems.Err(); err != nil {
		return nil, err
	}
	c.Engine = engine
	return c, nil
}
