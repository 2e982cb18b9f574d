// Command spark computes one ignition spark from the values of its parts.
package main

import (
	_ "embed"
	"encoding/json"
	"errors"
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
flywheel.toml (a magneto). OL stands for no leakage, no core loss, a clean plug.
A [cylinder] (gap, compression, spark; electrodes, centre_electrode, heat) gets
the kilovolts that its plug needs, and the reserve over speeds with all
tolerances. A [bench] asks the other way round: primary_open, primary_shorted,
secondary_open, ring and ring_capacitance, current_limit, temperature and
thermal_resistance, test_gap.
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
	var low *spark.LowTensionSet
	if *engine != "" {
		var other *spark.SystemError
		from, err = spark.FromBook(book, *engine, *system)
		switch {
		case err == nil:
			parts, is = ofBook(from)
		case errors.As(err, &other) && (other.System == "trembler" || other.System == "make-and-break"):
			if low, err = spark.LowTensionFromBook(book, *engine, other.System); err != nil {
				return p.Fail(err)
			}
			parts, is = &set{low: low.Coil}, lowTension
		default:
			return p.Fail(err)
		}
	} else if parts, is, err = readCase(name, src); err != nil {
		return p.Fail(err)
	}
	width := p.Style().Width
	if is == lowTension {
		e, err := spark.ComputeLowTension(parts.low)
		if err != nil {
			return p.Fail(err)
		}
		if p.JSON {
			p.Stdout.Write(asJSON(&outcome{Event: spark.Event{Current: e.Current, Stored: e.Stored}, low: true}, nil))
			return shell.Good
		}
		fmt.Fprint(p.Stdout, describeLowTension(book, parts.low, low, e, parts.trembler, width))
		return shell.Good
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
	need, err := reserveOf(book, parts, is, from)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		p.Stdout.Write(asJSON(out, need))
		return shell.Good
	}
	head := ""
	if from != nil {
		head = describeOrigin(book, from, width)
	}
	var text string
	switch is {
	case battery:
		text, err = describe(&parts.Parts, &out.Event, width)
	case magneto:
		text, err = describeMagneto(parts, out, width)
	case discharge:
		text, err = describeDischarge(parts, out, width)
	}
	if err != nil {
		return p.Fail(err)
	}
	asked, err := describeBench(parts, is, width)
	if err != nil {
		return p.Fail(err)
	}
	fmt.Fprint(p.Stdout, head, text, describeReserve(need, width), asked)
	return shell.Good
}

// An outcome is an event of any kind of set.
type outcome struct {
	spark.Event
	charge  *float64 // volts of the store
	trip    *float64 // degrees at which points or module open
	tripped bool
	low     bool // only current and stored energy
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

func asJSON(e *outcome, need *reserves) []byte {
	a := answer{Current: e.Current.Amperes(), Charge: e.charge, Trip: e.trip}
	if e.low {
		stored := e.Stored.Joules()
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
	if need != nil {
		for _, c := range need.at {
			r := reserveAnswer{Situation: c.Reserve.Situation.Name, Speed: c.Reserve.Situation.Speed.RPM(), Reserve: c.Result.Reserve,
				Needed: [2]float64{c.Reserve.Need.Band.Low.Volts(), c.Reserve.Need.Band.High.Volts()},
				Miss:   [3]float64{c.Result.Miss, c.Result.MissLow, c.Result.MissHigh}}
			for i, v := range c.Result.Available {
				r.Available[i] = v.Volts()
			}
			a.Reserve = append(a.Reserve, r)
		}
	}
	out, _ := json.MarshalIndent(a, "", "  ")
	return append(out, '\n')
}
