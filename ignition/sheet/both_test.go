package sheet

import "testing"

// The other unit by hand: an inch is 25.4 mm, a pound-force foot 1.3558 N·m, a
// psi 6.8948 kPa, exactly or as NIST Special Publication 811 (2008), appendix
// B.8 prints them.
func TestBothUnits(t *testing.T) {
	for in, want := range map[string]string{
		"0.018 to 0.022 in":                "0.018 to 0.022 in = 0.46 to 0.56 mm",
		"0.020 in (0.018 to 0.022 in)":     "0.020 in (0.018 to 0.022 in) = 0.51 mm (0.46 to 0.56 mm)",
		"at most 0.4 mm":                   "at most 0.4 mm = at most 0.016 in",
		"20 lb-ft":                         "20 lb-ft = 27.1 N·m",
		"at least 60 psi":                  "at least 60 psi = at least 414 kPa",
		"0.018 in to 0.022 in":             "0.018 in to 0.022 in = 0.46 mm to 0.56 mm",
		"3.0 to 3.8 Ω":                     "3.0 to 3.8 Ω",
		"0.35 mm (0.014 in)":               "0.35 mm (0.014 in)",
		"2-1/4 in":                         "2-1/4 in = 57.15 mm",
		"1/2 to 5/8 in":                    "1/2 to 5/8 in = 12.70 to 15.88 mm",
		"20° BTDC":                         "20° BTDC",
		"4.5 to 6.9 V":                     "4.5 to 6.9 V",
		"":                                 "",
		"14 mm (taken as 13.5 to 14.5 mm)": "14 mm (taken as 13.5 to 14.5 mm) = 0.551 in (taken as 0.531 to 0.571 in)",
	} {
		if got := bothUnits(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

func TestInPassing(t *testing.T) {
	for in, want := range map[string]string{
		"9 thou above the maximum (40.9 %).":                 "9 thou (0.23 mm) above the maximum (40.9 %).",
		"A gap of 0.49 mm ± 0.03 mm brings the timing in.":   "A gap of 0.49 mm ± 0.03 mm (0.019 ± 0.001 in) brings the timing in.",
		"The stop holds the piston 5.8 mm down.":             "The stop holds the piston 5.8 mm (0.228 in) down.",
		"2.31 mm (0.091 in) below the top":                   "2.31 mm (0.091 in) below the top",
		"0.46 to 0.56 mm, then 20 lb-ft":                     "0.46 to 0.56 mm (0.018 to 0.022 in), then 20 lb-ft (27.1 N·m)",
		"0.4 mm":                                             "0.4 mm (0.016 in)",
		"across 13 mm (a book, page 2)":                      "across 13 mm (0.512 in) (a book, page 2)",
		"9.5 mm (3/8 in) reach; 4 ft 9 in (1.45 m) of wire":  "9.5 mm (3/8 in) reach; 4 ft 9 in (1.45 m) of wire",
		"0.347 Ω below the maximum, 96 % sure in 3 innings.": "0.347 Ω below the maximum, 96 % sure in 3 innings.",
		"": "",
	} {
		if got := inPassing(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}
