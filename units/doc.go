// Package units holds quantities of the ignition bench that neither a bare
// number nor the wrong kind can become: a points gap is a [Length], what a
// meter reads is a [Resistance], and the compiler keeps them apart. Crank,
// cam and magnet degrees are three types; so are speed and frequency, torque
// and energy, a temperature and a temperature difference.
//
// # In and out
//
// A number enters by naming its unit, [Thou](20) or [ParseLength]("20 thou"),
// and leaves the same way, gap.Millimetres(). Text goes through one exact
// path: the decimal as it is written, times an exact ratio, rounded once to
// a float64; and constructors take the decimal that their float prints as.
// So these hold under ==:
//
//	MustLength("0.020 in") == MustLength("20 thou")
//	MustLength("0.020 in") == Millimetres(0.508)
//
// Sums do not keep that up: Thou(1).Add(Thou(2)) != Thou(3). What was
// computed compares with a tolerance.
//
// String gives the shortest decimal that reads back to the same bits, in a
// customary unit: "0.020 in", "0.5 mm", "11.5 kΩ", "23° BTDC". MarshalText
// and UnmarshalText are String and the lenient parser, for JSON and flags.
//
// # Two parsers
//
// The lenient parser takes what people write: 0.35mm, .020", 1 1/32 in, 4k7,
// n22, .22 mfd, 5 °ATDC, 1e-06 Ω. The strict one, for the book, takes one
// way: number, one space, unit in its canonical spelling or plain ASCII twin
// ("4.7 kΩ", "4.7 kohm"; a degree sign stands close, "23° BTDC", and "23 deg
// BTDC" is its twin); fractions in inches and turns only. Neither guesses: a
// comma, a mil, a bare mF, a number without a unit, a range are refused, and
// the [ParseError] says what would be right. The case of a letter always
// counts: mΩ and MΩ are 10⁹ apart.
//
// # Values
//
// Quantities are small comparable structs: copy them, compare them, use them
// as map keys. There is no NaN, no infinity but the resistance that prints
// OL, and no minus zero: parsers refuse them, constructors and [FromSI]
// panic on them as errors of the program, and arithmetic stays at the ends
// of its range. The zero value of each type is its nought, not "unknown".
//
// [Quantity] is a value whose kind is known only at run time, with [Kind]
// to name it; [ParseWritten] also tells how a value was written.
package units

//go:generate go run ./internal/gen
