package main

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
)

// describeLowTension tells what a coil holds whose spark has no model here.
func describeLowTension(book *specs.Book, l spark.LowTension, from *spark.LowTensionSet, e spark.LowTensionEvent, trembler bool, width int) string {
	w := &words{width: width}
	if from != nil {
		trembler = from.System == "trembler"
		w.para(0, "%s (%s), as %s.", from.Engine.Identity.Label, from.Engine.ID, from.System)
		w.blank()
		w.origins(book, "From its record:", from.Known)
		w.origins(book, "Taken for granted, for the record does not say; measure what you can, and write a case:", from.Granted)
	}
	what := "low-tension coil, as the igniter's contacts part"
	if trembler {
		what = "trembler coil's primary, as the trembler's contacts part"
	}
	w.para(0, "Current and stored energy of a %s.", what)
	w.blank()
	settled := "closed for long enough"
	if !l.Closed.IsZero() {
		settled = fmt.Sprintf("closed for %s", l.Closed)
	}
	w.para(2, "- The coil carries %s, contacts %s, and holds %s.", e.Current.Quantity().Text("A", 2), settled, e.Stored.Quantity().Text("mJ", 1))
	w.para(2, "- Its current builds up with a time constant of %s: in three of them it is at 95 %%.", e.TimeConstant.Quantity().Text("ms", 2))
	w.blank()
	why := "an igniter draws its spark out of contacts that part inside the cylinder, at the coil's own few hundred volts"
	if trembler {
		why = "a trembler breaks the current many times a spark, at whatever current its spring and core let go, so that what is given is the most it can hold"
	}
	w.para(0, "That is all that is computed for this kind of ignition: no kilovolts, no burning, no reserve. There is no model of the rest: %s. Compare stored energies: half the current holds a quarter.", why)
	w.cautions()
	return w.b.String()
}
