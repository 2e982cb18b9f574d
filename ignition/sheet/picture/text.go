package picture

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// advances are the widths of the characters 32 to 126 in thousandths of the
// size, each the wider of two common sans-serif faces; text is measured with
// the widest font it may be shown in, so that it never needs more room than
// was kept.
var advances = [95]uint16{
	318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,
	636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 556, 1015,
	684, 686, 722, 770, 667, 611, 778, 752, 295, 500, 667, 557, 863, 748, 787, 667, 787, 722, 667, 611, 732, 684, 989, 685, 667, 685,
	390, 337, 390, 838, 556, 500,
	613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525,
	636, 337, 636, 838,
}

const boldWider = 1.15

func advance(r rune) float64 {
	switch {
	case r >= ' ' && r <= '~':
		return float64(advances[r-' '])
	case r == 'Ω':
		return 764
	case r == '·':
		return 318
	case r == '°':
		return 500
	case r >= 0x1100 && unicode.In(r, unicode.So, unicode.Lo):
		return 1400
	}
	return 1000
}

// textWidth returns the room that a text needs.
func textWidth(s string, size float64, bold bool) float64 {
	sum := 0.0
	for _, r := range s {
		sum += advance(r)
	}
	if bold {
		sum *= boldWider
	}
	return sum * size / 1000
}

// clean makes a text fit for one line of a drawing: no control characters, no
// characters that turn or hide text, no runs of spaces.
func clean(s string) string {
	plain := true
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' || s[i] == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' ') {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	s = strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF:
			return unicode.ReplacementChar
		case unicode.IsSpace(r):
			return ' '
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Cs, unicode.Co, unicode.Mn, unicode.Me, unicode.Zl, unicode.Zp):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Join(strings.Fields(s), " ")
}

// clip shortens a text to a width, with an ellipsis where something was cut.
func clip(s string, size float64, bold bool, width float64) string {
	if textWidth(s, size, bold) <= width {
		return s
	}
	width -= textWidth("…", size, bold)
	cut, sum := 0, 0.0
	for i, r := range s {
		a := advance(r) * size / 1000
		if bold {
			a *= boldWider
		}
		if sum += a; sum > width {
			break
		}
		cut = i + utf8.RuneLen(r)
	}
	return strings.TrimRight(s[:cut], " -:") + "…"
}

// wrap breaks a text into lines of a width, between words where it can; at
// most the given number of lines, the last one clipped.
func wrap(s string, size float64, bold bool, width float64, lines int) []string {
	var out []string
	line := ""
	rest := strings.Fields(s)
	for len(rest) > 0 {
		w := rest[0]
		switch {
		case line == "":
			if textWidth(w, size, bold) > width && len(out) < lines-1 {
				// A single word wider than the line: cut it.
				cut := 0
				for i, r := range w {
					if cut > 0 && textWidth(w[:i+utf8.RuneLen(r)], size, bold) > width {
						break
					}
					cut = i + utf8.RuneLen(r)
				}
				if cut < len(w) {
					out = append(out, w[:cut])
					rest[0] = w[cut:]
					continue
				}
			}
			line, rest = w, rest[1:]
		case textWidth(line, size, bold)+textWidth(" "+w, size, bold) <= width:
			line, rest = line+" "+w, rest[1:]
		case len(out) == lines-1:
			return append(out, clip(line+" "+strings.Join(rest, " "), size, bold, width))
		default:
			out, line = append(out, line), ""
		}
	}
	if line != "" {
		out = append(out, clip(line, size, bold, width))
	}
	return out
}
