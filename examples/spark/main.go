// Command spark computes one ignition spark from the values of its parts.
package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"os"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/spark"
)

const usage = `spark: how many kilovolts do these parts make, and what does the spark do?

  spark                an invented set, to see what it looks like
  spark CASE.toml      a case file; - reads standard input

  -json        the answer as JSON, in SI units
  -specs DIR   your own tables, laid over the book (a case needs none)

For example:

  go run ./examples/spark -json examples/spark/pump.toml

Ends with 0 where the event was computed, spark or none, 2 on bad input.
A case file is described by the example beside this program, pump.toml: every
table and key in it is needed but arc, shorted_turns and hot_gap. OL stands
for no leakage, no core loss and a clean plug. A battery-fed breakerless set
has [switch] in place of [points]: saturation, resistance, and where it has
them limit (a current), clamp (a voltage) and clamp_resistance.
`

//go:embed pump.toml
var pump []byte

func main() { os.Exit(run(shell.New(usage))) }

func run(p *shell.Program) int {
	if code, done := p.Parse(); done {
		return code
	}
	if p.Specs != "" { // a broken folder is bad input even where nothing is read from it
		if _, err := p.Book(); err != nil {
			return p.Fail(err)
		}
	}
	name, src := "examples/spark/pump.toml", pump
	switch args := p.Flags.Args(); len(args) {
	case 0:
	case 1:
		var err error
		if src, err = p.Input(args[0]); err != nil {
			return p.Fail(err)
		}
		name = args[0]
	default:
		return p.Fail(fmt.Errorf("one case at a time, and %d were named", len(args)))
	}
	parts, err := readCase(name, src)
	if err != nil {
		return p.Fail(err)
	}
	event, err := spark.Compute(parts)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(asJSON(&event))
		return shell.Good
	}
	text, err := describe(parts, &event, p.Style().Width)
	if err != nil {
		return p.Fail(err)
	}
	fmt.Fprint(p.Stdout, text)
	return shell.Good
}

// answer is the JSON of an event, in SI units.
type answer struct {
	Current float64 `json:"primary_current_A"`
	Open    struct {
		Secondary float64   `json:"peak_secondary_V"`
		Time      float64   `json:"time_to_peak_s"`
		Primary   float64   `json:"peak_primary_V"`
		Rings     []float64 `json:"ring_Hz"`
	} `json:"open"`
	Fired struct {
		Breakdown bool     `json:"breakdown"`
		Time      *float64 `json:"breakdown_time_s"`
		Burn      *float64 `json:"burn_time_s"`
		Energy    *float64 `json:"spark_energy_J"`
		Strikes   int      `json:"strikes"`
		Primary   float64  `json:"peak_primary_V"`
	} `json:"fired"`
}

func asJSON(e *spark.Event) []byte {
	var a answer
	a.Current = e.Current.Amperes()
	a.Open.Secondary = e.Open.Secondary.Volts()
	a.Open.Time = e.Open.PeakTime.Seconds()
	a.Open.Primary = e.Open.Primary.Volts()
	a.Open.Rings = []float64{}
	for _, f := range e.Open.Rings {
		if !f.IsZero() {
			a.Open.Rings = append(a.Open.Rings, f.Hertz())
		}
	}
	a.Fired.Breakdown = e.Fired.Sparked
	a.Fired.Strikes = e.Fired.Strikes
	a.Fired.Primary = e.Fired.Primary.Volts()
	if e.Fired.Sparked {
		time, burn, energy := e.Fired.Time.Seconds(), e.Fired.Burn.Seconds(), e.Fired.Energy.Joules()
		a.Fired.Time, a.Fired.Burn, a.Fired.Energy = &time, &burn, &energy
	}
	out, _ := json.MarshalIndent(a, "", "  ")
	return append(out, '\n')
}
