// Package timing turns the ways in which a shed can measure ignition timing
// into one another, and says how far off each may be: crank degrees, piston
// travel, marks on a flywheel, points gap and dwell.
//
//	measured.go     a value with its standard uncertainty; judging it
//	crank.go        degrees and piston travel, exact, with offset cylinders (slider.go)
//	hole.go         gauges through slanted plug holes; zero error
//	stop.go         top dead centre by a positive stop
//	wheel.go        arc, strip and chord on a rim; keys; magneto edge gap
//	rotation.go     which way round a mark lies
//	drive.go        lobes and shafts: dwell, spark rate, degrees in a time
//	breaker.go      the opening curve: gap, dwell, timing, contact speed
//	sensitivity.go  "one thou is so many degrees", wear, the paper method
//	together.go     whether gap and timing can be right at once
//	advance.go      advance curves, impulse lag
//	firing.go       firing intervals of twins, wasted sparks
//	compression.go  cranking pressure
//	implied.go      what stroke or rod a printed pair was made for
//	case.go         the case file
//	book.go         what the book adds to a case
//	card.go         the setting card of an engine (card_points.go, card_readings.go, card_steps.go)
//
// Conversions take and give [Measured] values: a best estimate and a standard
// uncertainty, by linearisation (JCGM 100:2008, the GUM, 5.1.2). Numbers of the
// trade (usual rods, usual slopes, usual errors of gauges) come from the book;
// this package holds geometry and physics.
//
// Crank angles are positive before top dead centre, as in package units.
// Conversions allocate nothing; they keep no state and are safe to share.
package timing
