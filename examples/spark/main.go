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
  spark -engine ID     an engine of the book; what is not in its record is
                       taken from classes of parts, and listed

  -system SLUG the kind of ignition, where the record does not say or says
               another: battery-points, flywheel-magneto-points, ...
  -json        the answer as JSON, in SI units
  -specs DIR   your own tables, laid over the book

For example:

  go run ./examples/spark -json examples/spark/pump.toml

Ends with 0 where the event was computed, spark or none, 2 on bad input.

Cases stand beside this program: pump.toml (battery and points) and
flywheel.toml (a magneto). A [cylinder] (gap, compression, spark) gets the
kilovolts that its plug needs, and the reserve over speeds. OL stands for no
leakage, no core loss, a clean plug.
Optional are arc, shorted_turns and hot_gap, and in other kinds of set:

  battery-fed breakerless   [switch] in place of [points]: saturation,
                            resistance, limit, clamp, clamp_resistance
  magneto                   [magnet] linkage, flux, ratio, saturation, or
                            circuit (reluctances) in place of linkage;
                            [points] closes, opens (degrees of the magnet);
                            [impulse] hold, snap_speed;
                            [source_coil] inductance, resistance
  breakerless magneto       [module] in place of [points]: saturation,
                            on_resistance, trip_current, clamp, reverse
  capacitor discharge       [charge_coil] inductance, resistance, linkage,
                            pole_pairs, phase; [store] capacitance, regulator;
                            [thyristor] drop, resistance, freewheel
`

//go:embed pump.toml
var pump []byte

func main() { os.Exit(run(shell.New(usage))) }

func run(p *shell.Program) int {
	engine := p.Flags.String("engine", "", "")
	system := p.Flags.String("system", "", "")
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	name, src := "examples/spark/pump.toml", pump
	switch args := p.Flags.Args(); {
	case len(args) > 0 && *engine != "":
		return p.Fail(fmt.Errorf("-engine %s and the case %s were both given: take one", *engine, args[0]))
	case len(args) > 1:
		return p.Fail(fmt.Errorf("one case at a time, and %d were named", len(args)))
	case *system != "" && *engine == "":
		return p.Fail(fmt.Errorf("-system goes with -engine: a case says what it is by its tables"))
	case len(args) == 1:
		if src, err = p.Input(args[0]); err != nil {
			return p.Fail(err)
		}
		name = args[0]
	}
	var parts *set
	var is kind
	var from *spark.Set
	if *engine != "" {
		if from, err = spark.FromBook(book, *engine, *system); err != nil {
			return p.Fail(err)
		}
		parts, is = ofBook(from)
	} else if parts, is, err = readCase(name, src); err != nil {
		return p.Fail(err)
	}
	out := new(outcome)
	switch is {
	case battery:
		out.Event, err = spark.Compute(&parts.Parts)
	case magneto:
		var e spark.MagnetoEvent
		e, err = spark.ComputeMagneto(&parts.magneto)
		out.Event, out.tripped = e.Event, e.Tripped
		if trip := e.Trip.MagnetDegrees(); e.Tripped {
			out.trip = &trip
		}
	case discharge:
		var e spark.DischargeEvent
		e, err = spark.ComputeDischarge(&parts.discharge)
		charge := e.Charge.Volts()
		out.Event, out.charge = e.Event, &charge
	}
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(asJSON(out))
		return shell.Good
	}
	width := p.Style().Width
	head := ""
	if from != nil {
		head = describeOrigin(book, from, width)
	}
	need, err := describeReserve(book, parts, is, from, width)
	if err != nil {
		return p.Fail(err)
	}
	var text string
	switch is {
	case battery:
		text, err = describe(&parts.Parts, &out.Event, width)
	case magneto:
		text = describeMagneto(&parts.magneto, out, width)
	case discharge:
		text = describeDischarge(&parts.discharge, out, width)
	}
	if err != nil {
		return p.Fail(err)
	}
	fmt.Fprint(p.Stdout, head, text, need)
	return shell.Good
}

// An outcome is an event of any kind of set.
type outcome struct {
	spark.Event
	charge  *float64 // volts of the store
	trip    *float64 // degrees at which points or module open
	tripped bool
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
	// Charge is there for capacitor-discharge sets, Trip for magnetos.
	Charge *float64 `json:"charge_V,omitempty"`
	Trip   *float64 `json:"trip_deg,omitempty"`
}

func asJSON(e *outcome) []byte {
	a := answer{Charge: e.charge, Trip: e.trip}
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
