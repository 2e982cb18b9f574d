package timing

import (
	"math"

	"gapbook.example/units"
)

// A Twin is the arrangement of two cylinders. The zero Twin has two pistons
// side by side that go up and down together.
type Twin struct {
	// Strokes of a working cycle, 2 or 4; 0 counts as 4.
	Strokes int
	// Bank is the angle from the first cylinder to the second the way the
	// crank turns: 0 side by side, 45° or 90° for a V, 180° for an opposed twin.
	Bank units.PlaneAngle
	// Pins is the angle from the first crank pin to the second the way the
	// crank turns: 0 for both rods on one pin, 180° for an opposed twin whose
	// pistons go out together and for pistons side by side that go up in turn.
	Pins units.PlaneAngle
	// SameTurn makes the second cylinder of a four-stroke twin fire in the
	// same turn of the crank as the first, where the usual camshaft spaces
	// them as evenly as can be.
	SameTurn bool
}

// Firing returns the crank angles from the first cylinder's spark to the
// second's, and from there to the first's again; they add up to one cycle.
//
// The second piston is highest when the crank has turned, since the first was,
// by the bank less the angle of the pins, d, taken within one turn. A
// two-stroke engine fires there. A four-stroke engine fires there or a turn
// later, as its camshaft has it; whichever is nearer to even is taken, unless
// SameTurn is set. At d = 180° both are alike and the shorter comes first.
//
// Source: geometry. An industrial twin's repair book prints 540° and then
// 180°, and 360° for its sister; a 45° V on one pin fires at 315° and 405°
// (textbook case, from memory).
func (t Twin) Firing() (first, second units.CrankAngle) {
	d := math.Mod(t.Bank.Degrees()-t.Pins.Degrees(), 360)
	if d < 0 {
		d += 360
	}
	if t.Strokes == 2 {
		return units.CrankDegrees(d), units.CrankDegrees(360 - d)
	}
	if !t.SameTurn && d < 180 {
		d += 360
	}
	return units.CrankDegrees(d), units.CrankDegrees(720 - d)
}

// WastedSpark reports whether a drive makes more sparks than a single cylinder
// of so many strokes can burn: one a turn on a four-stroke engine fires into
// the exhaust every second time.
func WastedSpark(d Drive, strokes int) bool {
	return strokes == 4 && d.SparksPerTurn().Number() > 0.5
}
