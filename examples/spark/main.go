// Command spark computes one ignition spark from the values of its parts.
package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"os"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/sheet"
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
flywheel.toml (a magneto); "go doc ./ignition/spark ReadCase" has every table.
As a page to keep: go run ./examples/sheet CASE.toml -as html.

OL stands for no leakage, no core loss, a clean plug. A [cylinder] (gap,
compression, spark; electrodes, centre_electrode, heat) gets the kilovolts that
its plug needs, and the reserve over speeds with all tolerances. A [bench] asks
the other way round: primary_open, primary_shorted, secondary_open, ring and
ring_capacitance, current_limit, temperature and thermal_resistance, test_gap.
Optional are arc, shorted_turns and hot_gap, and in other kinds of set:

  battery-fed breakerless   [switch] in place of [points]: saturation,
                            resistance, limit, clamp, clamp_resistance
  magneto                   [magnet] linkage, measured, flux, ratio,
                            saturation, or circuit (reluctances) in place of
                            linkage; [points] closes, opens, from (degrees of
                            the magnet); [impulse] hold, snap_speed or
                            spring_torque and inertia, lag;
                            [source_coil] inductance, resistance
  breakerless magneto       [module] in place of [points]: saturation,
                            on_resistance, trip_current or pick_up, limit,
                            clamp, reverse
  capacitor discharge       [charge_coil] inductance, resistance, linkage,
                            measured, pole_pairs, phase; [store] capacitance,
                            regulator; [thyristor] drop, resistance, freewheel
  igniter, trembler coil    [igniter] or [trembler] contact_resistance, closed;
                            [coil] primary_resistance, primary_inductance:
                            current and stored energy only
`

//go:embed pump.toml
var pump []byte

// sparks is how many each study draws. Tests draw less.
var sparks = spark.UsualSparks

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
	var report *spark.Report
	if *engine != "" {
		report, err = spark.NewEngineReport(book, *engine, *system, sparks)
	} else {
		var c *spark.Case
		if c, err = spark.ReadCase(name, src); err != nil {
			return p.Fail(err)
		}
		report, err = spark.NewReport(book, c, sparks)
	}
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(asJSON(report))
		return shell.Good
	}
	doc, err := sheet.SparkDocument(report)
	if err != nil {
		return p.Fail(err)
	}
	fmt.Fprint(p.Stdout, doc.Text(p.Style()))
	return shell.Good
}

// answer is the JSON of an event, in SI units.
type answer struct {
	Current float64 `json:"primary_current_A"`
	// Open and Fired are null for igniter and trembler sets.
	Open  *openAnswer  `json:"open"`
	Fired *firedAnswer `json:"fired"`
	// Charge is there for capacitor-discharge sets, Trip for magnetos, Stored
	// where nothing more is computed, Reserve where there is a cylinder.
	Charge  *float64        `json:"charge_V,omitempty"`
	Trip    *float64        `json:"trip_deg,omitempty"`
	Stored  *float64        `json:"stored_J,omitempty"`
	Reserve []reserveAnswer `json:"reserve,omitempty"`
}

type openAnswer struct {
	Secondary float64   `json:"peak_secondary_V"`
	Time      float64   `json:"time_to_peak_s"`
	Primary   float64   `json:"peak_primary_V"`
	Rings     []float64 `json:"ring_Hz"`
}

type firedAnswer struct {
	Breakdown bool     `json:"breakdown"`
	Time      *float64 `json:"breakdown_time_s"`
	Burn      *float64 `json:"burn_time_s"`
	Energy    *float64 `json:"spark_energy_J"`
	Strikes   int      `json:"strikes"`
	Primary   float64  `json:"peak_primary_V"`
}

// reserveAnswer is the reserve at one speed of the crank.
type reserveAnswer struct {
	Situation string     `json:"situation"`
	Speed     float64    `json:"speed_rpm"`
	Needed    [2]float64 `json:"needed_V"`    // at least, at most
	Available [3]float64 `json:"available_V"` // at 5, 50, 95 % of the sparks
	Reserve   [3]float64 `json:"reserve"`
	Miss      [3]float64 `json:"miss"` // chance, and its limits
}

func asJSON(r *spark.Report) []byte {
	e := &r.Event
	a := answer{Current: e.Current.Amperes()}
	if r.Discharge != nil {
		charge := r.Discharge.Charge.Volts()
		a.Charge = &charge
	}
	if r.Magneto != nil && r.Magneto.Tripped {
		trip := r.Magneto.Trip.MagnetDegrees()
		a.Trip = &trip
	}
	if r.Low != nil {
		stored := r.Low.Stored.Joules()
		a.Stored = &stored
	} else {
		a.Open = &openAnswer{e.Open.Secondary.Volts(), e.Open.PeakTime.Seconds(), e.Open.Primary.Volts(), []float64{}}
		for _, f := range e.Open.Rings {
			if !f.IsZero() {
				a.Open.Rings = append(a.Open.Rings, f.Hertz())
			}
		}
		a.Fired = &firedAnswer{Breakdown: e.Fired.Sparked, Strikes: e.Fired.Strikes, Primary: e.Fired.Primary.Volts()}
		if e.Fired.Sparked {
			time, burn, energy := e.Fired.Time.Seconds(), e.Fired.Burn.Seconds(), e.Fired.Energy.Joules()
			a.Fired.Time, a.Fired.Burn, a.Fired.Energy = &time, &burn, &energy
		}
	}
	for _, c := range r.Reserves {
		one := reserveAnswer{Situation: c.Reserve.Situation.Name, Speed: c.Reserve.Situation.Speed.RPM(), Reserve: c.Result.Reserve,
			Needed: [2]float64{c.Reserve.Need.Band.Low.Volts(), c.Reserve.Need.Band.High.Volts()},
			Miss:   [3]float64{c.Result.Miss, c.Result.MissLow, c.Result.MissHigh}}
		for i, v := range c.Result.Available {
			one.Available[i] = v.Volts()
		}
		a.Reserve = append(a.Reserve, one)
	}
	out, _ := json.MarshalIndent(a, "", "  ") // finite numbers and text
	return append(out, '\n')
}
