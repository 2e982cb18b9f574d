// Package spark computes one ignition spark exactly, within a stated model: the
// current a coil holds when its points open, the kilovolts it could make, when
// the plug fires, how long it burns and with what energy; the kilovolts that a
// gap in a cylinder asks for; and the reserve between the two, with all that is
// not known of the parts. It covers coils on a battery, broken by points or a
// transistor, magnetos and capacitor-discharge sets.
//
// [Compute] works out an event from [Parts]; [Trace] follows it in time.
// [Demand] is the cylinder's side, [Reserves] puts both together over speeds,
// [Study] over tolerances, [Chances] over both; each has its twins for magnetos
// and capacitor-discharge sets. [FromBook] puts an engine's set together from its
// record and from classes of parts, and lists what it took for granted; a [Set]
// then computes whatever its kind, and [Set.Curve] is its reserve over speed with
// a band. What a bench wants to know the other way round, a coil's ratio,
// coupling, ballast, heat, draw or best condenser, stands in inverse.go, the speed
// of an impulse coupling in [SnapSpeed]. [ReadCase] reads a set from a file;
// [NewReport] and [NewEngineReport] compute all that a sheet shows. Of trembler and igniter sets
// [ComputeLowTension] gives current and stored energy, and nothing more.
//
// # The circuit
//
// Battery, wiring, ballast and primary in series, to points and condenser at
// one node; the condenser with its series resistance and leakage. The secondary,
// coupled to the primary, with its resistance, into the tower: its capacitance,
// and a resistor for the core's loss. The lead's resistance from there to the
// plug: its capacitance, fouling across the gap, the gap. Shorted turns are a
// third winding on a resistor. The points are closed from rest for the dwell, at
// most 40 ms, then open for good; the spark is followed for 5 ms or until the
// points would close.
//
// The gap fires when its voltage, of either sense, reaches the breakdown
// voltage. It burns with a constant voltage and a resistance in series, and goes
// out when the current falls below the extinction current. With a [HotGap] it
// then fires again at less for a while. Without one a gap that goes out
// mid-ring cannot relight, and burning times come out absurdly short (0.06 ms
// instead of 1.05 ms in one case): give one unless the full threshold is meant.
//
// Points with an [Arc] strike one when their voltage reaches what the parting
// contacts withstand, a start and a rise in time. The arc is a voltage with a
// resistance until its current falls below the holding current. A [Switch] is a
// transistor: a voltage and a resistance while on, and a clamp.
//
// # Magnets
//
// [ComputeMagneto] puts a turning magnet in the battery's place: its flux through
// the core follows half cosines between knots, and its voltage stands in every
// winding, closed and open. Points, a breakerless [Module], an [Impulse]
// coupling and an energy-transfer set's [SourceCoil] are variants;
// [ComputeDischarge] is a capacitor-discharge set. Their absolute kilovolts are
// worth ±50 % unless the linkage was measured ([Magnet.Linkage] says how); they
// are for ratios and for the shape over speed. Angles and speeds are the
// magnet's: a half-speed rotor halves the one and doubles crank degrees.
//
// Against the simulator on 20 cases: current 7e-8, kilovolts 2e-6, burn 2e-4,
// trip angle within 1e-5 degrees; a charge 1e-5; with an impulse coupling or a
// saturating core, whose closed phase is followed by the primary's linkage
// alone, 6e-5. Left out: eddy currents (above some 3,000 rpm read kilovolts as
// an upper value; one source puts the loss of an old armature at 30 %),
// hysteresis and a magnet's change with heat, saturation while the points are
// open (1 to 2 %), an inductance that changes with angle (to 3.5 %), a
// thyristor's turn-off time, and a module's switching time. A module that holds
// its current is a source of just that current, with its stray capacity across it.
//
// # How it is solved
//
// Between switchings the circuit is linear. Its state is kept in coordinates
// whose square is the stored energy, taken apart into modes once per position
// of the switches, and followed in closed form; no step size is chosen anywhere.
// Events and peaks are found by bounds that cannot miss one (search.go). Charge
// and heat are closed-form integrals.
//
// Against a general-purpose circuit simulator on 32 cases (testdata/spark):
// current 6e-9, kilovolts 4e-7, primary volts 4e-7, firing time 4e-5, burning
// time 3e-6 and energy 4e-5 on a single strike, 2e-4 restriking, which is what
// the simulator's own steps leave. Thirty-five sets of our own design, of every
// kind, run beside it behind the build tag ngspice: kilovolts 2e-6, a store's
// charge 2e-7. Energy balances to 1e-11, of capacitor-discharge sets to 3e-10.
// That proves the arithmetic, not the model.
//
// Class figures ([FromBook]) are held to the test gaps that engines' records
// print: within the ±50 % of a magneto they reach every one.
//
// # What is assumed
//
// Constants that no part carries, all assumed as orders of magnitude:
//
//   - open points and terminal insulate with 1 GΩ
//   - closed contacts and arcs have at least 0.1 mΩ, burning gaps 10 mΩ
//   - at least 100 pF stay across the points without a condenser, and 1 pF at
//     tower and plug
//   - a lead under 0.1 Ω joins tower and plug into one
//   - coupling is at most 1 - 1e-9
//   - a closed time over 40 ms, and a spark over 5 ms, add nothing
//   - a gap that relights 60 times is given up and reported as capped
//   - a module's transistor keeps at least 1 mV while on
//   - what a plug is like changes its kilovolts by factors of the book's class
//     figures, most of them assumed: see [Conditions]
//   - 1 MΩ stays across a capacitor-discharge coil while its thyristor is off
//   - a magneto's air gap is 0.30 of its magnet's loop, and 0.40 of its
//     inductance does not cross it ([Magneto.WithGap])
//   - polytropic exponent 1.3 (common practice); the density does not use it
//
// Strength and rise of points (60 V and 15 V/µs in the examples: 0.2 m/s times
// 75 V/µm), a hot gap's voltage and recovery (2.5 kV, 150 µs) and an arc (14 V,
// 0.4 A: between silver, 12 V and 0.4 A as a relay maker's note prints it, and
// tungsten, from memory) are inputs; those figures are assumed too. The core's
// loss as one resistor of 3 to 10 MΩ is assumed.
//
// # What is left out
//
// Saturation of the core (a coil that carries more than it is made for stores
// less than is computed), the change from arc to glow and a burning voltage that
// depends on current, showers of arcs at the points with their quenching, bounce
// of the points, heat, and the current that a secondary tied to the primary
// adds (about 1 % of kilovolts). The breakdown voltage is a band and never known
// to better than some ten per cent. Use: coils, points and plugs of small
// engines, 4 to 24 V, from hand cranking to 6,000 sparks a minute. Between
// neighbouring counts of relighting the burning time jumps, so differences of
// a few per cent in burn or energy mean nothing where [Fired.Strikes] is more
// than 1.
package spark
