package specs

import (
	"fmt"
	"strings"

	"gapbook.example/units"
)

// A Basis says what kind of word a figure rests on.
type Basis string

// The bases, from what a reader can check to what nobody can.
const (
	Published      Basis = "published"       // read in a document of a grade that counts as published
	Reported       Basis = "reported"        // read at an owner's, club's or advice page
	Measured       Basis = "measured"        // measured by a contributor, with the means stated
	CommonPractice Basis = "common-practice" // what the trade does; no source
	Memory         Basis = "memory"          // recalled, not seen
	Derived        Basis = "derived"         // worked out from other figures of the book
	Invented       Basis = "invented"        // made up for an example; never in the shipped book
)

// Firm reports whether a figure on this basis may condemn a part. What is only
// reported, recalled, derived or common practice can raise a doubt and no more.
func (b Basis) Firm() bool { return b == Published || b == Measured || b == Invented }

// A Status says how far a figure is confirmed.
type Status string

// The statuses.
const (
	Verified     Status = "verified"      // two independent sources agree
	SingleSource Status = "single-source" // one source, or sources that may have copied one another
	Disputed     Status = "disputed"      // sources disagree; one is preferred, with the reason
	Doubtful     Status = "doubtful"      // the source itself is unsure, or the page is damaged
)

// A Value is one figure as a table writes it. The zero Value is absent.
type Value struct {
	// Quantity is the value itself; its zero Kind marks an absent Value.
	Quantity units.Quantity
	// Text is the value as the table spells it, in the unit of the page.
	Text string
	// Step is one step of the last written decimal place, in the SI unit.
	Step float64
}

// IsZero reports whether the value is absent.
func (v Value) IsZero() bool { return v.Quantity.Kind() == 0 }

// A Band is what a source prints for a quantity: a nominal, limits, or both.
// Absent ends are zero Values. The zero Band holds nothing.
type Band struct {
	Min, Nominal, Max Value
}

// IsZero reports whether the band holds no figure.
func (b Band) IsZero() bool { return b.Min.IsZero() && b.Nominal.IsZero() && b.Max.IsZero() }

// HasLimits reports whether the band has at least one limit.
func (b Band) HasLimits() bool { return !b.Min.IsZero() || !b.Max.IsZero() }

// String prints the band in the words of a bench sheet, such as
// "0.018 in to 0.022 in", "at most 0.1 V" or "0.020 in".
func (b Band) String() string {
	lo, nom, hi := b.Min.Text, b.Nominal.Text, b.Max.Text
	limits := ""
	switch {
	case lo != "" && hi != "":
		limits = joinRange(lo, hi)
	case lo != "":
		limits = "at least " + lo
	case hi != "":
		limits = "at most " + hi
	}
	switch {
	case nom == "":
		return limits
	case limits == "":
		return nom
	default:
		return nom + " (" + limits + ")"
	}
}

// joinRange writes a range with the unit once where both ends share it.
func joinRange(lo, hi string) string {
	ln, lu, lok := strings.Cut(lo, " ")
	_, hu, hok := strings.Cut(hi, " ")
	if lok && hok && lu == hu {
		return ln + " to " + hi
	}
	return lo + " to " + hi
}

// ParseBand reads the spelling of [Band.String] for quantities of kind k:
// "0.6 mm", "0.6 mm to 0.7 mm", "0.6 to 0.7 mm", "at least 5 MΩ" or
// "at most 0.1 V". Values are read strictly, as in the book.
func ParseBand(k units.Kind, text string) (Band, error) {
	if rest, ok := strings.CutPrefix(text, "at least "); ok {
		v, err := parseValue(k, rest)
		return Band{Min: v}, err
	}
	if rest, ok := strings.CutPrefix(text, "at most "); ok {
		v, err := parseValue(k, rest)
		return Band{Max: v}, err
	}
	if lo, hi, ok := strings.Cut(text, " to "); ok {
		high, err := parseValue(k, hi)
		if err != nil {
			return Band{}, err
		}
		if !strings.Contains(lo, " ") {
			if _, unit, ok := strings.Cut(hi, " "); ok {
				lo += " " + unit
			}
		}
		low, err := parseValue(k, lo)
		if err != nil {
			return Band{}, err
		}
		if low.Quantity.Cmp(high.Quantity) > 0 {
			return Band{}, fmt.Errorf("%q runs from high to low", text)
		}
		return Band{Min: low, Max: high}, nil
	}
	v, err := parseValue(k, text)
	return Band{Nominal: v}, err
}

func parseValue(k units.Kind, text string) (Value, error) {
	w, err := units.ParseWritten(k, text, true)
	if err != nil {
		return Value{}, err
	}
	return Value{Quantity: w.Quantity, Text: text, Step: w.Step}, nil
}

// A Position is a place in a file of the book. Line and Col count from 1.
type Position struct {
	File      string
	Line, Col int
}

// String prints the position as editors expect it.
func (p Position) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// A Figure is one claim: what one source says of one quantity.
type Figure struct {
	// Quantity is the key of the quantity.
	Quantity Key
	// Label parts figures of one quantity, such as "full-advance"; it may be empty.
	Label string
	// Band holds the figure, in the unit the page prints first.
	Band Band
	// Text holds a fact in words, for quantities that are words.
	Text string
	// Also holds the same printed figure in the page's other units.
	Also []Band
	// UnitsDisagree says how the page's own units contradict each other, if they do.
	UnitsDisagree string
	// Source is the id of the source document.
	Source string
	// Place is the place in the source: page, paragraph, table.
	Place string
	// AsPrinted is the figure as the page prints it.
	AsPrinted string
	// Basis is what kind of word the figure rests on.
	Basis Basis
	// Status is how far the figure is confirmed.
	Status Status
	// Condition says what the figure holds for, in words.
	Condition string
	// Models lists the models the figure holds for; empty means all.
	Models []string
	// Years says which years of manufacture the figure holds for.
	Years string
	// TestPoints says where the meter leads go.
	TestPoints string
	// Temperature is the temperature the figure holds for; HasTemperature
	// keeps "not stated" apart from 0 K.
	Temperature    units.Temperature
	HasTemperature bool
	// RPM is the speed the figure holds for; zero means not stated.
	RPM units.Speed
	// Prefer gives the reason this figure is judged first where sources disagree.
	Prefer string
	// Witness names the figure in another record that confirms this one.
	Witness string
	// Note is a remark for the reader.
	Note string
	// Link is an https address, kept for government documents and web-only pages.
	Link string
	// Systems, Volts and When say which engines a class figure of a limits
	// table applies to; they are empty in engine records.
	Systems []string
	Volts   units.Voltage
	When    string
	// At is the place of the figure in the book.
	At Position
}

// Path is the table key of the figure, such as "timing.full-advance.source".
func (f Figure) Path() string {
	if f.Label == "" {
		return string(f.Quantity) + "." + f.Source
	}
	return string(f.Quantity) + "." + f.Label + "." + f.Source
}

// A SetAside is a figure that exists on a page but cannot be used, kept so
// that nobody hunts for it again.
type SetAside struct {
	Quantity  Key
	Label     string
	Source    string
	Place     string
	AsPrinted string
	Why       string
	Link      string
	At        Position
}
