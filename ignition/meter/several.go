package meter

import (
	"math"
	"strings"

	"gapbook.example/units"
)

// Several is one reading judged against several sources that may disagree.
// The zero value has judged nothing.
type Several struct {
	// Results are in the order of the bands given, preferred source first.
	Results []Result
	// Decision is Pass or Fail only where every source with limits says so,
	// else Undecided: a part is neither condemned nor cleared on one word
	// against another.
	Decision Decision
	// Parted is true where two sources with limits come to different
	// decisions.
	Parted bool
}

// JudgeAll judges a reading against each band. Bands without limits are
// reported and do not count.
func JudgeAll(r Reading, bands []Band, rule Rule) Several {
	var s Several
	counted := 0
	for _, b := range bands {
		res := Judge(r, b, rule)
		s.Results = append(s.Results, res)
		if res.Reason == ReasonNoLimits {
			continue
		}
		if counted > 0 && res.Decision != s.Decision {
			s.Parted = true
		}
		if counted == 0 {
			s.Decision = res.Decision
		}
		counted++
	}
	if s.Parted {
		s.Decision = Undecided
	}
	return s
}

// Common returns the band that satisfies every source with limits: the
// greatest minimum to the least maximum. ok is false where there is none,
// because no source has limits or because no value satisfies them all. Its
// temperature is that of the first band and its Source is empty.
func (s Several) Common() (common Band, ok bool) {
	lower, upper := math.Inf(-1), math.Inf(1)
	for _, res := range s.Results {
		b := res.Band
		if !b.HasLimits() || b.wantsOpen() {
			continue
		}
		low, high := b.limits()
		if low > lower {
			lower, common.Min = low, b.Min
		}
		if high < upper {
			upper, common.Max = high, b.Max
		}
		if !ok {
			common.Temperature = b.Temperature
		}
		common.Hearsay = common.Hearsay || b.Hearsay
		ok = true
	}
	if overshoot(lower, upper) > 0 {
		return Band{}, false
	}
	return common, ok && common.kind() != 0
}

// Words says where the sources part: what each makes of the reading, and what
// would satisfy them all. It is one line, empty for fewer than two results.
func (s Several) Words() string {
	if len(s.Results) < 2 {
		return ""
	}
	var b strings.Builder
	if s.Parted {
		b.WriteString("the sources part: ")
	} else {
		b.WriteString("the sources differ in figures and agree on this reading, " + s.Decision.String() + ": ")
	}
	for i, res := range s.Results {
		if i > 0 {
			b.WriteString("; ")
		}
		b.WriteString(res.Band.String())
		if res.Band.Source != "" {
			b.WriteString(" [" + res.Band.Source + "]")
		}
		if s.Parted {
			b.WriteString(": " + res.Decision.String())
		}
		if off := res.ByHowMuch(); off != "" {
			b.WriteString(", " + off)
		}
	}
	if common, ok := s.Common(); ok {
		if common.Min == common.Max && common.Min != (units.Quantity{}) {
			b.WriteString("; all allow only " + common.Min.String())
		} else {
			b.WriteString("; all allow " + common.String())
		}
	} else {
		b.WriteString("; no value satisfies them all")
	}
	return b.String()
}
