// Package bench reads a job file and checks it: every reading against the
// engine's own figures, or the figures of its class, with the meter's
// uncertainty, and what to do next.
//
// A shop tool needs three lines:
//
//	job, err := bench.Quick{Engine: "orchard-pump-6"}.Job("points gap 18 thou", "secondary 11.2 kΩ")
//	report, err := bench.Check(specs.Builtin(), job)
//	verdict := report.Verdict
//
// A job is TOML, read through the book's own gate:
//
//	title  = "Cider press, spring service"
//	engine = "orchard-pump-6"            # an id of the book, or a table [engine]
//
//	[meter]
//	class       = "meter-hand"           # a class of the book
//	accuracy    = "0.8 % + 3"            # or what the meter's own book says
//	lead_zero   = "0.2 Ω"                # leads held together
//	temperature = "68 °F"                # of the parts, when read
//
//	[readings]
//	points_gap = "18 thou"
//	condenser  = "0.22 µF"
//
//	[readings.secondary]                 # the long form
//	value       = "11.2 kΩ"
//	range       = "20 kΩ"
//	test_points = "plug terminal to ground"
//
//	[readings.compression.left]          # several of one quantity are named
//	value = "85 psi"
//
// A job may carry the engine's circuit too, in a table [harness] with the keys
// of package wiring; then its rules are part of the check.
//
// A table [figures] says what the job itself knows of the engine, in place of
// the book's figure. An engine that the book lacks is described in place:
//
//	[engine]
//	label  = "Pressing-floor pump, maker's plate lost"
//	system = "battery-points"
//	volts  = "12 V"
//
//	[figures.points_gap]
//	nominal = "0.020 in"
//	says    = "stamped on the points cover"
//	basis   = "published"
package bench
