package specs

import (
	"slices"
	"strconv"
	"strings"

	"gapbook.example/units"
)

// confused lists, for each unit, those that a page prints beside it or that
// differ from it by a letter: what a slip mostly puts in its place. The order
// is that of trying.
var confused = map[string][]string{
	"mm": {"in", "thou", "cm"}, "in": {"mm", "thou"}, "thou": {"mm", "in"}, "m": {"mm", "cm"}, "cm": {"mm"}, "km": {"mi", "m"}, "mi": {"km"},
	"Ω": {"kΩ", "mΩ"}, "kΩ": {"Ω", "MΩ"}, "MΩ": {"kΩ", "mΩ", "Ω"}, "mΩ": {"Ω", "MΩ"},
	"V": {"kV", "mV"}, "kV": {"V"}, "mV": {"V"},
	"N·m": {"lb-ft", "lb-in", "kgf·m"}, "lb-ft": {"lb-in", "N·m"}, "lb-in": {"lb-ft", "N·m"}, "kgf·m": {"N·m", "lb-ft", "kgf·cm"}, "kgf·cm": {"kgf·m", "N·m"},
	"N": {"gf", "ozf", "lbf"}, "gf": {"ozf", "N", "kgf"}, "ozf": {"gf", "lbf"}, "lbf": {"ozf", "N"}, "kgf": {"gf"},
	"kPa": {"psi", "bar"}, "psi": {"kPa", "bar", "kgf/cm²"}, "bar": {"kPa", "psi"}, "kgf/cm²": {"kPa", "psi"},
	"cm³": {"in³", "L"}, "in³": {"cm³"}, "L": {"cm³"}, "hp": {"kW", "W"}, "kW": {"W", "hp"}, "W": {"kW"}, "PS": {"kW"},
	"µF": {"nF", "pF"}, "nF": {"µF", "pF"}, "pF": {"nF", "µF"}, "H": {"mH"}, "mH": {"H"}, "h": {"min"}, "min": {"h"},
}

// slipFactors are those by which figures go wrong, and what does it.
var slipFactors = []struct {
	factor float64
	what   string
}{
	{10, "a decimal point out of place"}, {0.1, "a decimal point out of place"},
	{25.4, "inches and millimetres mixed up"}, {1 / 25.4, "inches and millimetres mixed up"},
	{100, "a decimal point lost"}, {0.01, "a decimal point lost"},
	{1000, "a factor of a thousand"}, {0.001, "a factor of a thousand"},
	{12, "feet and inches of torque mixed up"}, {1.0 / 12, "feet and inches of torque mixed up"},
	{2, "crank and cam degrees mixed up"}, {0.5, "crank and cam degrees mixed up"},
}

// likelySlip names the slip of the pen that would make sense of a value: first
// another unit, then a factor. fits says which values make sense. It returns
// nothing where no slip explains the value.
func likelySlip(k units.Kind, v Value, fits func(si float64) bool) string {
	w, err := units.ParseWritten(k, v.Text, true)
	if err != nil {
		return ""
	}
	for _, unit := range confused[w.Unit] {
		q, err := units.Parse(k, w.Number+" "+unit)
		if err == nil && fits(q.SI()) {
			return "did you mean " + strconv.Quote(w.Number+" "+unit) + "? It looks like " + w.Unit + " for " + unit
		}
	}
	for _, s := range slipFactors {
		switch {
		case (s.factor > 20 && s.factor < 30 || s.factor > 0.03 && s.factor < 0.05) && k != units.KindLength,
			(s.factor == 12 || s.factor == 1.0/12) && k != units.KindTorque,
			(s.factor == 2 || s.factor == 0.5) && !slices.Contains([]units.Kind{units.KindCrankAngle, units.KindCamAngle, units.KindMagnetAngle}, k):
			continue
		}
		si := cleaned(w.Quantity.SI() * s.factor)
		if !fits(si) {
			continue
		}
		text := show(k, si, v)
		if k == units.KindCrankAngle && strings.HasSuffix(v.Text, "TDC") && !strings.HasSuffix(text, "TDC") {
			text = ""
		}
		if text == "" {
			return "it looks like " + s.what
		}
		return "did you mean " + strconv.Quote(text) + "? It looks like " + s.what
	}
	return ""
}

// lookAgain adds the likely slip to a hint.
func lookAgain(slip, hint string) string {
	if slip == "" {
		return hint
	}
	return slip + "; " + hint
}
