// Package wiring checks the circuit of an ignition before the power goes on.
//
// A [Draft] says what is joined to what: parts with named terminals, and wires
// between them. [Build] checks it, fills in what it does not say from the
// classes of the book, and makes a [Harness], which never changes again.
// [Layout] makes sound harnesses from a few facts, [Read] reads one from TOML
// and [Marshal] writes it.
//
// A harness has states: each position of the key, with the points open and
// closed, with every safety switch in both of its conditions, every button
// pressed and free, and the engine still, cranking or running. [Harness.Solve]
// finds the direct-current solution of one state: the volts at every terminal
// against the engine block, the amperes in every wire and part. A terminal
// that nothing ties to the block is floating: it has no volts, not 0 V.
// [Harness.SolveAll] solves every state, each different circuit once.
//
// # The model
//
// Wires are copper of their gauge and length at the harness's temperature; a
// wire without both is a direct joint of no resistance. Windings are copper,
// their resistance given at 20 °C. Batteries and chargers are a source behind a
// resistance. Condensers and plug gaps are open, unless a leak is given. A
// coil's secondary ends on its points terminal; that of a double-ended coil is
// on its own. Anything under a microohm counts as no resistance.
//
// While the engine turns, flywheel and rotor magnetos, source, charge and
// trigger coils stand as a small steady source behind their winding. Their
// volts are not what a meter would show; they tell whether current flows in the
// primary with the points closed and stops when they open, which is what makes
// the spark and what stopping must prevent.
//
// Relays and solenoids start released and their contacts are worked until
// nothing changes any more; one that never settles is named by
// [Solution.Unsettled].
package wiring
