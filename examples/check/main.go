// Command check judges the readings of one engine.
package main

import (
	"fmt"

	"gapbook.example/examples/jobs"
	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/sheet"
)

const usage = `check: are these readings good? Fit, unfit, or cannot tell, and why.

  check                       an invented job, to see what it looks like
  check JOB.toml              a job file; - reads standard input
  check -engine ID READING... readings without a file, each in quotes:
                              a quantity, then its value with the unit

  -json        the answer as JSON
  -specs DIR   your own tables, laid over the book
  -model NAME  which model of the engine family (with -engine)
  -meter TEXT  accuracy of your meter, such as "0.8 % + 3" (with -engine)
  -leads TEXT  what it shows with its leads held together, such as "0.2 Ω"
  -at TEXT     temperature of the parts, such as "68 °F" (with -engine)
  -names       everything that can be read, by the names check knows

For example, with an id that lookup gave you:

  go run ./examples/check -engine ID "points gap 18 thou" "secondary 11.2 kΩ"

Ends with 0 where no fault was found, 1 with a fault, 2 on bad input.
Job files are described in examples/jobs and in "go doc ./ignition/bench".
`

// defaultJob is what runs when nothing is asked.
const defaultJob = "sprayer.toml"

func main() { shell.Main(run, usage) }

func run(p *shell.Program) int {
	engine := p.Flags.String("engine", "", "")
	model := p.Flags.String("model", "", "")
	meter := p.Flags.String("meter", "", "")
	leads := p.Flags.String("leads", "", "")
	temperature := p.Flags.String("at", "", "")
	names := p.Flags.Bool("names", false, "")
	if code, done := p.Parse(); done {
		return code
	}
	if *names {
		fmt.Fprint(p.Stdout, sheet.Names(p.Style()))
		return shell.Good
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	args := p.Flags.Args()
	var job *bench.Job
	switch {
	case *engine != "":
		job, err = bench.Quick{Engine: *engine, Model: *model, Meter: *meter, LeadZero: *leads, Temperature: *temperature}.Job(args...)
	case *model != "" || *meter != "" || *leads != "" || *temperature != "":
		return p.Fail(fmt.Errorf("-model, -meter, -leads and -at go with -engine; in a job file write them under [meter]"))
	case len(args) == 0:
		src, _ := jobs.Files.ReadFile(defaultJob)
		job, err = bench.ReadJob("examples/jobs/"+defaultJob, src)
	case len(args) == 1:
		var src []byte
		if src, err = p.Input(args[0]); err == nil {
			job, err = bench.ReadJob(args[0], src)
		}
	default:
		return p.Fail(fmt.Errorf("one job at a time; for readings without a file, name the engine first: -engine ID %q", args[0]))
	}
	if err != nil {
		return p.Fail(err)
	}
	report, err := bench.Check(book, job)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(sheet.ReportJSON(report))
	} else {
		fmt.Fprint(p.Stdout, sheet.Report(report, p.Style()))
	}
	if report.Verdict == ignition.Unfit {
		return shell.Fault
	}
	return shell.Good
}
