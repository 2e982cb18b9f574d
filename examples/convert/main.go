// Command convert plans the conversion of an ignition.
package main

import (
	_ "embed"
	"fmt"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/sheet"
)

const usage = `convert: can this ignition be changed for another, and how?

  convert                an invented creamery pump, whose module is dead
  convert JOB.toml       a job file; - reads standard input
  convert -list          the conversions that the book has

  -json        the plan as JSON, every figure in it
  -specs DIR   your own tables, laid over the book; recipes too

For example:

  go run ./examples/convert examples/convert/creamery-pump.toml

The file beside this program, creamery-pump.toml, shows how a job is written:
which conversion, what engine, what machine, what is known of the facts that
decide, and how far apart things are.

Ends with 0 where the conversion can be done or a look must come first, 1 where
it is not advised or not possible, 2 on bad input.
`

const defaultName = "examples/convert/creamery-pump.toml"

//go:embed creamery-pump.toml
var creameryPump []byte

func main() { shell.Main(run, usage) }

func run(p *shell.Program) int {
	list := p.Flags.Bool("list", false, "")
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	args := p.Flags.Args()
	switch {
	case *list && len(args) > 0:
		return p.Fail(fmt.Errorf("-list takes no file: %q", args[0]))
	case *list:
		for _, id := range book.Conversions() {
			c, err := book.Conversion(id)
			if err != nil {
				return p.Fail(err)
			}
			fmt.Fprintf(p.Stdout, "%-28s %s\n", id, c.Label)
		}
		return shell.Good
	case len(args) > 1:
		return p.Fail(fmt.Errorf("one job at a time: %s", strings.Join(args, " ")))
	}
	name, src := defaultName, creameryPump
	if len(args) == 1 {
		name = args[0]
		if src, err = p.Input(name); err != nil {
			return p.Fail(err)
		}
	}
	job, err := convert.ReadJob(name, src)
	if err != nil {
		return p.Fail(err)
	}
	plan, err := convert.NewPlan(book, job)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(sheet.PlanJSON(plan))
	} else {
		fmt.Fprint(p.Stdout, sheet.Plan(plan, p.Style()))
	}
	if plan.Verdict == convert.NotAdvised || plan.Verdict == convert.NotPossible {
		return shell.Fault
	}
	return shell.Good
}
